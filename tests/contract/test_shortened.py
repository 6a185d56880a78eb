"""Telling faults makes no more work for thousands of them, and tells the same as for all."""

import pytest
from hypothesis import given, strategies as st

from scaldloaf.operations import _ROOTS, _VALIDATORS, BY_NAME, perform
from scaldloaf.operations.faults import MAX_FAULTS, InputFault, _explain, schema_faults
from work import work

LINES = [{"ingredient": "water", "mass": 1}, {"ingredient": "water", "mass": "1"}, {"ingredient": "water"}, 7,
         {"ingredient": 5, "mass": -1}, {"ingredient": "water", "mass": 1, "composition": {"fat_percent": 101}},
         {"ingredient": "rye", "mass": 1, "composition": {"allergens": ["milk", 3, "egg\n"]}},
         {"ingredient": ["water"], "mass": {"g": [[1]]}, "own": [[{}]]}, {"ingredient": "rye", "mass": 1, "composition": []}]
TARGETS = [{"kind": "pieces", "mass": [], "pieces": {"a": 1}}, {"kind": ["pieces"]}, [{}],
           {"kind": "dough_mass", "mass": 900}, {"kind": "pieces", "mass": 60}, {"kind": "crates"}, None, {}]
ORDERS = [{"formula": "tin", "target": target} for target in TARGETS] + [{"target": TARGETS[0]}, []]


def all_faults(name, request):
    """What schema_faults tells, from every error there is."""
    found = {}
    for error in _VALIDATORS[name].iter_errors(request):
        for fault in _explain(error, _ROOTS[name], request):
            found.setdefault((fault.pointer, fault.code), fault)
    return found


@given(st.lists(st.lists(st.sampled_from(LINES), max_size=230), min_size=1, max_size=4),
       st.lists(st.sampled_from(ORDERS), max_size=60))
def test_the_faults_told_are_the_first_there_are(formulas, orders):
    request = {"formulas": [{"id": str(index), "formula": {"lines": lines}} for index, lines in enumerate(formulas)],
               "orders": orders}
    every = all_faults("order-demand", request)
    told = schema_faults(_VALIDATORS["order-demand"], request, _ROOTS["order-demand"])
    assert {(fault.pointer, fault.code): fault for fault in told}.items() <= every.items()
    assert len(told) == min(MAX_FAULTS, len(every))


def test_a_list_that_is_too_long_is_told_as_long_as_it_is():
    with pytest.raises(InputFault) as refused:
        perform(BY_NAME["breakdown"], {"formula": {"lines": [{"ingredient": "water", "mass": 1}, 0] * 9000}})
    first = refused.value.faults[0]
    assert (first.pointer, first.code, first.given) == ("/formula/lines", "too_long", "a list of 18000")
    assert [fault.pointer for fault in refused.value.faults[1:4]] == [f"/formula/lines/{at}" for at in (1, 3, 5)]


class Watched:
    """A validator that notes what it is to find the errors of: it makes all there are before it gives the first."""

    def __init__(self, name):
        self._validator, self.given = _VALIDATORS[name], None

    def iter_errors(self, instance):
        self.given = instance
        return self._validator.iter_errors(instance)


@pytest.mark.parametrize("entry", [0, {}, {"ingredient": 1, "mass": "1", "own": [0] * 20}, {"k" * 30: {"k": 0}}],
                         ids=["numbers", "empty", "wrong", "unknown"])
def test_of_thousands_of_faults_only_the_first_are_made(entry):
    def tell(count):
        validator = Watched("breakdown")
        schema_faults(validator, {"formula": {"lines": [entry] * count}}, _ROOTS["breakdown"])
        return validator.given["formula"]["lines"]

    assert len(tell(60_000 // len(str(entry)))) == MAX_FAULTS
    assert work(lambda: tell(1000)) == work(lambda: tell(300)) < 1000 * MAX_FAULTS
