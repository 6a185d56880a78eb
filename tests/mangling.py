"""Requests spoilt at random, for fuzzing: the examples of every call with something about them changed.

What the fuzzer and its short form in the tests share: how a request is spoilt, how it is read and answered,
and what must hold for every one. ``perform`` may refuse (InputFault, NotJson); all else is a failure.
"""

import json
import random
from collections.abc import Callable
from io import BytesIO
from itertools import chain

from scaldloaf.http.bulk_lines import answer_line, read_lines
from scaldloaf.http.reading import NotJson, read_json, write_json
from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME, OPERATIONS
from scaldloaf.operations.schemas.explain import explained
from scaldloaf.operations.schemas.json_schema import gate
from scaldloaf.operations.schemas.objects import Shape

LIMIT = 64 * 1024
NUMBERS = (
    0,
    -0.0,
    1,
    -1,
    0.5,
    1e-300,
    5e-324,
    1e-9,
    1e9,
    1e9 + 1,
    -1e9,
    1e15,
    1.7e308,
    -1.7e308,
    99.999999,
    100,
    100.0001,
    1e6,
    2**53,
    2**63,
    2**64,
    3,
    20,
    35,
    1e-3,
    4.2,
    65.536,
)
WORDS = (
    "",
    " ",
    "water",
    "bread_flour",
    "Bread Flour",
    "wholemeal",
    "instant_yeast",
    "\u0000",
    "é" * 90,
    "\u202egnp.exe",
    "a/b~c",
    "{given}",
    "%s",
    "{0}",
    "=1+1",
    "<script>",
    "𝟙/𝟚",
    "١٢",
    "½",
    "1e400",
    "NaN",
    "x" * 130,
    "\n",
    "\ud7ff",
    "\ufffd",
)
TEXTS = (
    "1 cup flour",
    "2 1/2 Tbsp. sugar",
    "½–¾ cup (120–180 g) bread flour, sifted",
    "For the tangzhong:",
    "1.000,5 g Mehl",
    "牛乳 150cc",
    "薄力粉 250g",
    "3 eggs",
    "1 lb 3 oz water",
    "a pinch of salt",
    "100 %",
    "10 x 3 g",
    "1/0 cup milk",
    "٣ cups flour",
    "１２０ｇ",
    "1,234,567.89 g water",
    "flour: 500 g",
    "[ ] 2 tsp yeast",
    "<li>1 tbsp honey</li>",
    "&frac12; cup &amp; 3 g",
    "0.0000001 g salt",
    "1e5 g flour",
    "200g/7oz butter",
    "1-2-3 g",
    "((((",
    "))))",
    "°",
    "–",
    "1 1 1 1 1",
)


def example_texts() -> list[bytes]:
    """The examples of all calls, as bodies."""
    return [json.dumps(example.body).encode() for operation in OPERATIONS for example in operation.examples]


def _places(value, path=()):
    yield path
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, part in inner:
        yield from _places(part, (*path, key))


def _spoilt(value, chance: random.Random):
    """A value like this one, or not at all."""
    if isinstance(value, int | float) and not isinstance(value, bool) and chance.random() < 0.5:
        return value * chance.choice((0.3, 0.8, 0.99, 1.01, 1.2, 3))
    match chance.randrange(8):
        case 0:
            return chance.choice(NUMBERS)
        case 1:
            return chance.choice(WORDS)
        case 2:
            return chance.choice((None, True, False, [], {}, [[]], {"": {}}))
        case 3 if isinstance(value, bool | int | float):
            return value * chance.choice((-1, 0, 1e-6, 0.1, 0.5, 1.01, 2, 10, 1e6))
        case 4 if isinstance(value, list) and value:
            return (value * chance.choice((2, 3, 20)))[: chance.choice((1, 2, 60, 201))]
        case 5 if isinstance(value, str):
            at = chance.randrange(len(value) + 1)
            return value[:at] + chance.choice((*WORDS, *TEXTS)) + value[at:]
        case 6 if isinstance(value, str):
            return "\n".join(chance.choices(TEXTS, k=chance.randrange(1, 8)))
        case _:
            return chance.uniform(-10, 300)


def mangle(request, chance: random.Random):
    """The request with one to four things about it changed: values, entries, fields."""
    request = json.loads(json.dumps(request))
    for _ in range(chance.choice((1, 1, 2, 4))):
        *path, last = chance.choice([place for place in _places(request) if place] or [("x",)])
        holder = request
        for part in path:
            holder = holder[part]
        if not isinstance(holder, dict | list):
            continue
        move = chance.randrange(6)
        if isinstance(holder, list):
            if move == 0:
                del holder[last]
            elif move == 1:
                holder.insert(last, holder[chance.randrange(len(holder))])
            else:
                holder[last] = _spoilt(holder[last], chance)
        elif move == 0:
            holder.pop(last, None)
        elif move == 1:
            holder[chance.choice((*WORDS, *holder))] = holder.get(last)
        else:
            holder[last] = _spoilt(holder.get(last), chance)
    return request


def assert_gate_and_words_agree(schema: type[Shape], body) -> None:
    """marshmallow finds faults, each with a text, exactly where the gate refuses."""
    faults = explained(schema, body)
    assert gate(schema).is_valid(body) is (not faults), (body, faults)
    for fault in faults:
        assert fault.code and fault.detail, fault
    _finite([fault.as_wire() for fault in faults])


def _finite(reply) -> None:
    json.dumps(reply, allow_nan=False)  # ValueError for a number that is none


def answer(name: str, body: bytes) -> int:
    """Read and answer one body as the service does; the status it would have."""
    try:
        request = read_json(body)
    except NotJson as fault:
        _finite([fault.detail, fault.given])
        return 400
    try:
        _finite(perform(BY_NAME[name], request))
    except InputFault as refused:
        assert refused.faults
        _finite([fault.as_wire() for fault in refused.faults])
        return 422
    return 200


def answer_lines(body: bytes, piece: int = 4096) -> list[int]:
    """Answer a bulk's lines, arriving in pieces; the status of each."""

    class Pieces(BytesIO):
        def read(self, size=-1):
            return super().read(min(piece, size))

    statuses = []
    for line in chain.from_iterable(read_lines(Pieces(body), LIMIT)):
        identity, status, reply, _ = answer_line(line, LIMIT, True)
        _finite([json.loads(write_json(identity)), reply])
        assert status < 500, reply
        statuses.append(status)
    return statuses


class _Equal(ValueError):
    """Two equal keys in one object."""


def _members(pairs: list[tuple[str, object]]) -> dict:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise _Equal
    return found


def _whole(text: str) -> int | float:
    """Whole numbers beyond 64 bits are read as a double, as most readers do."""
    value = int(text)
    return value if -(2**63) <= value < 2**64 else float(text)


def _refuse_constant(word: str):
    raise ValueError(word)


def read_text(body: bytes) -> int:
    """Read a text. An accepted value equals the standard library's, and no object has two equal keys."""
    try:
        value = read_json(body)
    except NotJson as fault:
        _finite([fault.detail, fault.given])
        return 400
    wanted = json.loads(body, object_pairs_hook=_members, parse_constant=_refuse_constant, parse_int=_whole)
    assert value == wanted or json.dumps(value) == json.dumps(wanted), body
    _finite(value)
    return 200


def answer_call(data: bytes) -> int:
    """Answer a fuzzer's bytes, and see that its gate and marshmallow agree on them."""
    name, body = call_of(data)
    status = answer(name, body)
    if status != 400:
        assert_gate_and_words_agree(BY_NAME[name].request, read_json(body))
    return status


def call_of(data: bytes) -> tuple[str, bytes]:
    """A call and its body of a fuzzer's bytes: the first says which call."""
    return OPERATIONS[data[0] % len(OPERATIONS)].name if data else OPERATIONS[0].name, data[1:]


IMPORT_CHOICES = tuple(
    {key: value for key, value in choice.items() if value}
    for choice in (
        {},
        {"cup": "us"},
        {"cup": "metric"},
        {"decimal_comma": "yes"},
        {"decimal_comma": "no"},
        {"number_alone": "mass"},
        {"egg_mass": 50.0},
        {"units": {"mass": "oz"}},
    )
)


def read_recipe(data: bytes) -> int:
    """Import a fuzzer's bytes: as text, as lines or as a recipe's lines, by the first byte."""
    if not data:
        return 422
    text = data[1:].decode("utf-8", "replace").replace("\ufffd", " ")
    choice = IMPORT_CHOICES[data[0] % 8]
    match data[0] // 8 % 3:
        case 0:
            request = {"text": text[: LIMIT - 100], **choice}
        case 1:
            request = {"lines": text.split("\n")[:220], **choice}
        case _:
            request = {
                "recipe": {"@type": "Recipe", "recipeIngredient": text.split("\n"), "name": text[:200]},
                **choice,
            }
    try:
        _finite(perform(BY_NAME["recipe-import"], request))
    except InputFault:
        return 422
    return 200


def target_of(name: str) -> Callable[[bytes], object]:
    """What the fuzzer throws its bytes at."""
    return {"json": read_text, "calls": answer_call, "bulk": answer_lines, "import": read_recipe}[name]


def seeds_of(name: str) -> list[bytes]:
    """What the fuzzer begins with."""
    bodies = [
        (number, operation.name, json.dumps(example.body).encode())
        for number, operation in enumerate(OPERATIONS)
        for example in operation.examples
    ]
    if name == "calls":
        return [bytes([number]) + body for number, _, body in bodies]
    if name == "json":
        return [body for _, _, body in bodies] + [
            b'{"a":1,"a":2}',
            b'{"a":1,"\\u0061":2}',
            b"[1e400]",
            b"[[[[",
            b'"\\ud800"',
            b"NaN",
            b"[" + b"1" * 400 + b"]",
            b'{"a":{"b":[0.1,-0,1E5,1e-9]},"":":\\":"}',
            b"\xff\xfe",
            b"null",
            b'"\\ud83d\\ude00"',
            b'{"\xc3\xa9":"\xf0\x9f\x8d\x9e"}',
        ]
    if name == "bulk":
        lines = [
            b'{"id": %d, "call": "%s", "body": %s}' % (number, call.encode(), body)
            for number, call, body in bodies
        ]
        return [
            b"\n".join(lines[:3]),
            b"\n\n".join(lines[3:5]),
            *lines,
            b'{"id":[]}\n\n[]\n{"call":"x"}\r\n{',
        ]
    return [
        bytes([number]) + text.encode()
        for number in range(24)
        for text in ("\n".join(TEXTS), *TEXTS[number % 4 :: 4])
    ]


def mutated(name: str, data: bytes, chance: random.Random) -> bytes:
    """A fuzzer's bytes changed with sense: the request within them, or lines put together anew."""
    if name == "import":
        lines = data[1:].split(b"\n") + [chance.choice(TEXTS).encode()]
        for _ in range(chance.randrange(1, 4)):
            at, other = chance.randrange(len(lines)), chance.choice(lines)
            words = lines[at].split() + other.split()
            chance.shuffle(words)
            lines[at] = b" ".join(words[: chance.randrange(1, len(words) + 2)])
        return bytes([chance.randrange(256)]) + b"\n".join(lines[:220])
    if name == "json":
        head, body = b"", data
    else:
        head, body = (b"", data.split(b"\n")[0]) if name == "bulk" else (data[:1], data[1:])
    try:
        spoilt = json.dumps(mangle(json.loads(body), chance)).encode()
    except (ValueError, RecursionError, OverflowError, AttributeError, TypeError):
        return data
    return head + spoilt + (b"\n" + data if name == "bulk" else b"")
