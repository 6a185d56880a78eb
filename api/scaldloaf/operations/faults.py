"""What is wrong with a request, said once for every transport: pointer, why, given, nearest."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from difflib import get_close_matches

from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.operation import plain
from scaldloaf.operations.shortened import shortened
from scaldloaf.units import Units

MAX_FAULTS = 20
MAX_REPEATED = 80           # characters of what was given that a problem repeats
MOST_HOPS = 8               # from a nearest value to a nearer one, until it works
A_NAME = "unknown_field"    # the code whose nearest is the field's name, not its value


@dataclass(frozen=True, slots=True)
class Fault:
    pointer: str
    code: str
    detail: str
    given: object = None
    nearest: object = None

    def as_wire(self) -> dict:
        return {"pointer": self.pointer, "code": self.code, "detail": self.detail,
                "given": self.given, "nearest": self.nearest}


class InputFault(Exception):
    """A request that does not make sense (422), with every fault found."""

    def __init__(self, faults: list[Fault]):
        super().__init__(faults)
        self.faults = faults


def pointer(path) -> str:
    """A JSON Pointer (RFC 6901) from path segments."""
    return "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in path)


def path_of(at: str) -> list[str]:
    """The path segments of a JSON Pointer."""
    return [part.replace("~1", "/").replace("~0", "~") for part in at.split("/")[1:]]


def repeated(value):
    """What was given, when it is a short scalar; else a word on what it was."""
    if isinstance(value, str):
        return value if len(value) <= MAX_REPEATED else value[:MAX_REPEATED] + "…"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        return f"an object of {len(value)} fields"
    return value


def closest(word, names) -> str | None:
    """The name most like a word, whatever its case; None when none is like it."""
    by_lower = {str(name).lower(): name for name in names}
    close = get_close_matches(word[:MAX_REPEATED].lower(), by_lower, 1, 0.4) if isinstance(word, str) else []
    return by_lower[close[0]] if close else None


_TYPE_WORDS = {"number": "a number", "integer": "a whole number", "string": "text", "boolean": "true or false",
               "object": "an object", "array": "a list", "null": "null"}


def _as_number(value, types):
    """The number a text was meant to be, when that is plain."""
    if not isinstance(value, str) or len(value) > 40 or not {"number", "integer"} & set(types):
        return None
    try:
        number = float(value.strip().replace(",", "."))
    except ValueError:
        return None
    if number != number or number in (float("inf"), float("-inf")):
        return None
    if "number" not in types:
        return int(number) if number.is_integer() else None
    return number


def _nearest_whole(value):
    return round(value) if isinstance(value, float) and abs(value) < 1e15 else None


def _node(root, path):
    for part in path:
        root = root[part]
    return root


def _too_many_entries(path, given: list, most: int) -> Fault:
    return Fault(pointer(path), "too_long", f"must have at most {most} entries; send the rest in another call",
                 repeated(given), f"a list of {most}")


def _explain(error, root: dict, request: object):
    """Faults of one schema error, in words."""
    kind, value = error.kind.name, error.kind.value
    path = list(error.instance_path)
    given = _node(request, path)        # the error's own may have been shortened
    at = pointer(path)
    if kind == "oneOf":
        yield from _explain_kinds(error, root, request)
    elif kind == "required":
        fields = _node(root, error.schema_path[:-1]).get("properties", {})
        wanted = fields.get(value, {})
        misspelt = [name for name in given if name not in fields]
        hint = closest(value, misspelt)
        yield Fault(pointer([*path, value]), "missing",
                    f"{value} is needed here" + (f"; {hint} is not a field of this object" if hint else ""),
                    None, wanted.get("default", wanted.get("const")))
    elif kind == "additionalProperties":
        fields = _node(root, error.schema_path[:-1]).get("properties", {})
        for name in value[:MAX_FAULTS]:
            best = closest(name, [field for field in fields if field not in given])
            yield Fault(pointer([*path, name]), "unknown_field",
                        f"there is no such field here; the fields are {', '.join(fields)}",
                        repeated(given[name]), best)
    elif kind == "type":
        types = value if isinstance(value, list) else [value]
        words = " or ".join(_TYPE_WORDS[name] for name in types)
        nearest = _as_number(given, types)
        if nearest is None and "integer" in types:
            nearest = _nearest_whole(given)
        yield Fault(at, "wrong_type", f"must be {words}", repeated(given), nearest)
    elif kind in ("minimum", "maximum"):
        word, code = ("at least", "too_small") if kind == "minimum" else ("at most", "too_large")
        yield Fault(at, code, f"must be {word} {plain(value)}", given, value)
    elif kind in ("enum", "const"):
        names = value if isinstance(value, list) else [value]
        yield Fault(at, "not_one_of", f"must be one of {', '.join(map(str, names))}", repeated(given),
                    closest(given, names) or (names[0] if len(names) == 1 else None))
    elif kind in ("minItems", "minLength"):
        what = "entries" if kind == "minItems" else "characters"
        yield Fault(at, "too_short", f"must have at least {value} {what}", repeated(given), None)
    elif kind == "maxItems":
        yield _too_many_entries(path, given, value)
    elif kind == "maxLength":
        yield Fault(at, "too_long", f"must have at most {value} characters", repeated(given), given[:value])
    elif kind == "pattern":
        clean = "".join(character for character in given if character.isprintable())
        yield Fault(at, "not_plain_text", "must be plain text without control characters", repeated(clean),
                    clean or None)
    else:
        yield Fault(at, kind, str(error.message)[:200], repeated(given), None)


def _explain_kinds(error, root: dict, request: object):
    """The faults of an object told apart by ``kind``: those of the kind it names."""
    at = list(error.instance_path)
    given = _node(request, at)
    branches = _node(root, error.schema_path)
    names = [branch["properties"]["kind"]["const"] for branch in branches]
    if not isinstance(given, dict):
        yield Fault(pointer(at), "wrong_type", f"must be an object with a kind: {', '.join(names)}", repeated(given))
    elif given.get("kind") not in names:
        code = "not_one_of" if "kind" in given else "missing"
        yield Fault(pointer([*at, "kind"]), code, f"kind must be one of {', '.join(names)}",
                    repeated(given.get("kind")), closest(given.get("kind"), names) or names[0])
    else:
        for inner in error.kind.value[names.index(given["kind"])]:
            yield from _explain(inner, root, request)


def schema_faults(validator, instance, root: dict) -> list[Fault]:
    """Every fault a schema finds (at most MAX_FAULTS), in the words of _explain."""
    short, too_long = shortened(instance, root, root, MAX_FAULTS)
    faults: dict[tuple[str, str], Fault] = {}
    for path, most in too_long:
        fault = _too_many_entries(path, _node(instance, path), most)
        faults[fault.pointer, fault.code] = fault
    for error in validator.iter_errors(short):
        for fault in _explain(error, root, instance):
            faults.setdefault((fault.pointer, fault.code), fault)
        if len(faults) >= MAX_FAULTS:
            break
    return list(faults.values())[:MAX_FAULTS]


def refusal_fault(refusal: Refusal, units: Units, pointers) -> Fault:
    """A Refusal of the craft on the wire: its amounts in the request's units, its argument as a pointer."""
    head, _, rest = refusal.argument.partition(".")
    start = pointers.get(head, f"/{head}")
    at = start + (pointer(rest.split(".")) if rest else "")

    def out(value):
        return units.to_wire(value, refusal.quantity) if isinstance(value, (int, float)) else value

    words = {name: plain(units.to_wire(value, quantity)) + (f" {units.symbol(quantity)}" if quantity else "")
             for name, (value, quantity) in refusal.amounts.items()}
    detail = refusal.message.format(**words) if words else refusal.message
    return Fault(at, refusal.code, detail, repeated(out(refusal.given)), out(refusal.nearest))


def _with(request: object, path: list[str], value: object) -> object:
    """A request with a value at a place; as it was where there is no such place."""
    if not path:
        return value
    head, *rest = path
    if isinstance(request, list) and head.isdigit() and int(head) < len(request):
        index = int(head)
        return [*request[:index], _with(request[index], rest, value), *request[index + 1:]]
    if isinstance(request, dict) and (head in request or not rest):
        return {**request, head: _with(request.get(head), rest, value)}
    return request


def _is_one_value(request: object, path: list[str]) -> bool:
    """Whether one value belongs at a place: neither a list nor an object stands there."""
    for part in path:
        if isinstance(request, list):
            request = request[int(part)] if part.isdigit() and int(part) < len(request) else None
        else:
            request = request.get(part) if isinstance(request, dict) else None
    return not isinstance(request, dict | list)


def settled(faults: list[Fault], request: object, faults_of: Callable[[object], list[Fault]]) -> list[Fault]:
    """The faults, with nearest values that work.

    A bound of the schema is not always one that the craft takes too, and one bound of the craft can
    hide another. So each nearest value is tried; while its own place is refused again, the value named
    there is tried instead, and that refusal is told as well.
    """
    nearest = {fault.pointer: fault.nearest for fault in faults
               if fault.nearest is not None and fault.code != A_NAME
               and _is_one_value(request, path_of(fault.pointer))}
    said: dict[str, str] = {}
    for hop in range(MOST_HOPS + 1):
        trial = request
        for at, value in nearest.items():
            if value is not None:
                trial = _with(trial, path_of(at), value)
        again = [] if trial is request else [fault for fault in faults_of(trial)
                                             if nearest.get(fault.pointer) is not None]
        if not again:
            break
        for fault in again:
            nearest[fault.pointer] = fault.nearest if hop < MOST_HOPS else None
            said[fault.pointer] = fault.detail
    return [replace(fault, nearest=nearest[fault.pointer], detail=_and_then(fault.detail, said.get(fault.pointer)))
            if fault.pointer in nearest and fault.code != A_NAME else fault for fault in faults]


def _and_then(detail: str, following: str | None) -> str:
    return detail if following in (None, detail) else f"{detail}; then: {following}"
