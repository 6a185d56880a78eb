"""What a gate refuses has words, and what it accepts has none: ``keywords`` and ``check`` agree, field
by field and over whole bodies (test_schemathesis.py has more of them). Finding the words takes no longer for
thousands of faults than for twenty.
"""

import json
import random

import jsonschema_rs
import pytest
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import ValidationError

from mangling import assert_gate_and_words_agree, mangle
from scaldloaf.http import schemas as http_schemas
from scaldloaf.operations.facts import FACTS
from scaldloaf.operations.faults import MAX_FAULTS, InputFault
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME, OPERATIONS
from scaldloaf.operations.schemas import explain, fields, objects
from scaldloaf.operations.schemas.explain import explained, schema_faults
from scaldloaf.operations.schemas.fields import LARGEST, AnyText, Number, WireField, described
from scaldloaf.operations.schemas.json_schema import _decisive, gate, referenced
from scaldloaf.operations.schemas.objects import Closed, Items, Object, Open, Shape, Union
from scaldloaf.operations.schemas.replies import REPLIES

ENDS = [
    *(operation.request for operation in OPERATIONS),
    *REPLIES.values(),
    http_schemas.BulkLine,
    http_schemas.BulkAnswer,
    http_schemas.Problem,
    http_schemas.Health,
    http_schemas.Readiness,
]


# ---- Field by field -------------------------------------------------------------------------------


def shapes_within(schema: type[Shape]) -> set[type[Shape]]:
    """The schema and all that its fields lead to."""
    found, waiting = set(), [schema]
    while waiting:
        shape = waiting.pop()
        if shape in found:
            continue
        found.add(shape)
        for field in shape.declared().values():
            while isinstance(field, Items):
                field = field.item
            waiting += (
                field.kinds
                if isinstance(field, Union)
                else [field.shape]
                if isinstance(field, Object)
                else []
            )
    return found


SHAPES = sorted(set().union(*map(shapes_within, ENDS)), key=lambda shape: shape.__name__)
PLACES = [(shape, name) for shape in SHAPES for name in shape.declared()]


ODD = [
    None,
    True,
    False,
    0,
    -0.0,
    1,
    1.5,
    6.0,
    1e300,
    -1e300,
    2**63,
    "",
    "1",
    "a\n",
    "a\x7f",
    "é",
    "\u2028",
    [],
    [None],
    {},
]


def edges_of(field: WireField) -> list:
    """Values of every kind, and those on either side of each bound of a field and near each of its names."""
    values = [*ODD, {"kind": 1}, {"kind": "box"}]
    for bound in (getattr(field, "minimum", None), getattr(field, "maximum", None)):
        if bound is not None and abs(bound) < 1e300:
            little = 1e-9 * max(1, abs(bound))
            values += [bound, bound - little, bound + little, int(bound), str(bound)]
    for bound in (getattr(field, "min_length", None), getattr(field, "max_length", None)):
        if bound is not None:
            values += ["é" * length for length in (bound - 1, bound, bound + 1)]
    for bound in (getattr(field, "min_items", None), getattr(field, "max_items", None)):
        if bound is not None:
            values += [[entry] * length for length in (bound - 1, bound, bound + 1) for entry in ("x", 1, {})]
    for name in (*getattr(field, "names", ()), *([] if field.value is None else [field.value])):
        values += [name, f"{name} ", str(name).upper(), [name]]
    return values


@pytest.mark.parametrize("shape, name", PLACES, ids=lambda part: getattr(part, "__name__", part))
def test_what_a_field_publishes_and_what_it_checks_are_one(shape, name):
    field = next(field for field in shape().fields.values() if name in (field.data_key, field.name))
    published, components = referenced(shape.component()["properties"][name])
    validator = jsonschema_rs.Draft202012Validator({**published, "components": {"schemas": components}})
    for value in edges_of(field):
        try:
            field.deserialize(value)
            taken = True
        except ValidationError:
            taken = False
        assert taken is validator.is_valid(value), (value, published)


def test_every_shape_has_a_description_and_a_name_of_its_own():
    assert all(map(described, SHAPES))
    referenced({}, *ENDS)  # fails for two of one name


def test_two_shapes_of_one_name_are_an_error():
    def order():
        class Order(Closed):
            """An order."""

        return Order

    with pytest.raises(ValueError, match="two shapes are called Order"):
        referenced([{"$ref": order()}, {"$ref": order()}])


def test_a_gate_leaves_out_what_readers_need_and_no_field_of_that_name():
    class Described:
        @staticmethod
        def component():
            fields = {"title": {"type": "string", "title": "Title."}, "default": {"enum": [{"title": 1}]}}
            return {"type": "object", "description": "Described.", "properties": fields}

    assert gate(Described).is_valid({"title": "", "default": {"title": 1}})
    assert not gate(Described).is_valid({"title": 1}) and not gate(Described).is_valid({"default": {}})
    written = _decisive(*referenced({"$ref": Described}))
    assert (
        "Described." not in str(written) and "$ref" not in str(written) and "title" in written["properties"]
    )


def test_every_call_and_every_table_has_a_reply():
    assert set(REPLIES) == {each.name for each in (*OPERATIONS, *FACTS)}


# ---- Whole bodies ---------------------------------------------------------------------------------


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_spoilt_requests_are_refused_with_words_or_not_at_all(operation):
    chance = random.Random(operation.name)
    for _ in range(150):
        assert_gate_and_words_agree(
            operation.request, json.loads(json.dumps(mangle(chance.choice(operation.examples).body, chance)))
        )


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_replies_whole_and_spoilt(operation):
    chance, schema = random.Random(operation.name), REPLIES[operation.name]
    for example in operation.examples:
        reply = json.loads(json.dumps(perform(operation, example.body)))
        assert not explained(schema, reply)
        assert_gate_and_words_agree(schema, reply)
        for _ in range(10):
            assert_gate_and_words_agree(schema, json.loads(json.dumps(mangle(reply, chance))))


@pytest.mark.parametrize("facts", FACTS, ids=lambda facts: facts.name)
def test_facts(facts):
    assert not explained(REPLIES[facts.name], json.loads(json.dumps(facts.produce())))


@pytest.mark.parametrize(
    "body", [None, 1, "x", [], {}, {"units": None}, {"_schema": 1}, {"": 1}, {"formula": {"lines": {}}}]
)
@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_bodies_that_are_hardly_any(operation, body):
    assert_gate_and_words_agree(operation.request, body)


def test_a_field_called_as_marshmallow_calls_a_whole_object_is_an_unknown_field():
    (fault,) = explained(BY_NAME["breakdown"].request, {"_schema": 1, "formula": {"lines": [LINES[0]]}})
    assert (fault.pointer, fault.code, fault.given) == ("/_schema", "unknown_field", 1)


def test_what_only_the_gate_refuses_has_its_words():
    class Even(Number):
        """A number whose check forgets that it must be even."""

        def keywords(self):
            return {**super().keywords(), "multipleOf": 2}

    class Odd(Closed):
        """A schema with a mistake in it."""

        numbers = Items(Even("A number."), "Numbers.", required=True)

    assert not explained(Odd, {"numbers": [2, 3]})
    (fault,) = schema_faults(Odd, {"numbers": [2, 3]})
    assert (fault.pointer, fault.code) == (
        "/numbers/1",
        "not_as_documented",
    ) and "multiple of 2" in fault.detail


# ---- Bounded --------------------------------------------------------------------------------------

LINES = [
    {"ingredient": "water", "mass": 1},
    {"ingredient": "water", "mass": "1"},
    {"ingredient": "water"},
    7,
    {"ingredient": 5, "mass": -1},
    {"ingredient": "water", "mass": 1, "composition": {"fat_percent": 101}},
    {"ingredient": "rye", "mass": 1, "composition": {"allergens": ["milk", 3, "egg\n"]}},
    {"ingredient": ["water"], "mass": {"g": [[1]]}, "own": [[{}]]},
    {"ingredient": "rye", "mass": 1, "composition": []},
]
TARGETS = [
    {"kind": "pieces", "mass": [], "pieces": {"a": 1}},
    {"kind": ["pieces"]},
    [{}],
    {"kind": "dough_mass", "mass": 900},
    {"kind": "pieces", "mass": 60},
    {"kind": "crates"},
    None,
    {},
]
ORDERS = [{"formula": "tin", "target": target} for target in TARGETS] + [{"target": TARGETS[0]}, []]


@given(
    st.lists(st.lists(st.sampled_from(LINES), max_size=230), min_size=1, max_size=4),
    st.lists(st.sampled_from(ORDERS), max_size=60),
)
def test_the_faults_found_are_the_first_there_are(formulas, orders):
    request = {
        "formulas": [{"id": str(index), "formula": {"lines": lines}} for index, lines in enumerate(formulas)],
        "orders": orders,
    }
    schema = BY_NAME["order-demand"].request
    with pytest.MonkeyPatch.context() as patch:
        for module in (objects, explain):
            patch.setattr(module, "MAX_FAULTS", 10_000)
        every = explained(schema, request)
    assert explained(schema, request) == every[:MAX_FAULTS]


def test_a_list_that_is_too_long_is_told_as_long_as_it_is():
    with pytest.raises(InputFault) as refused:
        perform(BY_NAME["breakdown"], {"formula": {"lines": [{"ingredient": "water", "mass": 1}, 0] * 9000}})
    first = refused.value.faults[0]
    assert (first.pointer, first.code, first.given) == ("/formula/lines", "too_long", "a list of 18000")
    assert [fault.pointer for fault in refused.value.faults[1:4]] == [
        f"/formula/lines/{at}" for at in (1, 3, 5)
    ]
    (only,) = explained(BY_NAME["breakdown"].request, {"formula": {"lines": [LINES[0]] * 200 + [0]}})
    assert only.code == "too_long"  # entries beyond the most are not looked into


ORDER = {"formula": "a", "target": {"kind": "dough_mass", "mass": 5}}
MANY_ORDERS = {
    "formulas": [{"id": "a", "formula": {"lines": [{"ingredient": "bread_flour", "mass": 1}] * 200}}]
}


@pytest.mark.parametrize(
    "call, request_",
    [
        ("breakdown", {"formula": {"lines": [{}] * 21_000}}),
        (
            "breakdown",
            {"formula": {"lines": [{"ingredient": "w", "mass": "1", "part": "x", "own": 1}] * 200}},
        ),
        ("breakdown", {f"k{index}formula": 1 for index in range(3500)}),
        ("order-demand", {**MANY_ORDERS, "orders": [*[ORDER] * 999, {}]}),
        (
            "order-demand",
            {
                "formulas": [{"id": "a", "formula": {"lines": [{"ingredient": 1}] * 20}}] * 100,
                "orders": [{"target": {"kind": "piecs", "mas": 1}}] * 1000,
            },
        ),
    ],
    ids=[
        "objects for lines",
        "faulty lines",
        "unknown fields",
        "one faulty order of a thousand",
        "faults in lists of lists",
    ],
)
def test_few_objects_are_looked_into_for_the_faults_of_thousands(monkeypatch, call, request_):
    looked_into, compared = [], []
    load, closest = objects.load, fields.closest
    monkeypatch.setattr(
        objects, "load", lambda schema, value: looked_into.append(schema) or load(schema, value)
    )
    for module in (fields, objects):
        monkeypatch.setattr(
            module, "closest", lambda word, names: compared.append(word) or closest(word, names)
        )
    assert schema_faults(BY_NAME[call].request, request_)
    assert len(looked_into) <= 3 * MAX_FAULTS and len(compared) <= 3 * MAX_FAULTS


def test_a_reply_has_no_bounds_and_a_request_has_no_number_without():
    def numbers(kind):
        return [
            field
            for shape in SHAPES
            if issubclass(shape, kind)
            for field in shape().fields.values()
            if isinstance(field, Number)
        ]

    assert all(abs(bound) <= LARGEST for field in numbers(Closed) for bound in (field.minimum, field.maximum))
    assert all(abs(bound) > 1e300 for field in numbers(Open) for bound in (field.minimum, field.maximum))


def test_a_text_of_a_request_is_bounded():
    texts = [
        field
        for shape in SHAPES
        if issubclass(shape, Closed)
        for field in shape.declared().values()
        if isinstance(field, AnyText)
    ]
    assert texts and all(field.max_length is not None for field in texts)
