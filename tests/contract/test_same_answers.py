"""Answers stay what they were: every example's reply against the one on record.

Made so that work on speed changes no answer by a bit. When a change to the craft is meant to change
answers, record them anew and let the difference be read in review:

    PYTHONPATH=api:tests python tests/contract/test_same_answers.py
"""

import json
from pathlib import Path

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import OPERATIONS

RECORD = Path(__file__).with_name("answers.json")
# These only add, multiply and divide, so they are the same to the last bit on every machine;
# exponentials and logarithms may differ in the last place between C libraries.
EXACT = {"breakdown", "scaling", "hydration-correction", "order-demand"}
NEARLY = 1e-11


def answers() -> dict:
    return {
        f"{operation.name} {example.name}": perform(operation, example.body, False)
        for operation in OPERATIONS
        for example in operation.examples
    }


def compare(now, then, exact: bool, where: str) -> None:
    if isinstance(then, dict):
        assert isinstance(now, dict) and set(now) == set(then), where
        for key in then:
            compare(now[key], then[key], exact, f"{where}/{key}")
    elif isinstance(then, list):
        assert isinstance(now, list) and len(now) == len(then), where
        for index, value in enumerate(then):
            compare(now[index], value, exact, f"{where}/{index}")
    elif isinstance(then, float) and not exact:
        assert now == pytest.approx(then, rel=NEARLY, abs=NEARLY), where
    else:
        assert now == then, where


def with_codes(value):
    """An answer whose cautions, and those of its parts, are codes: their words are no answers."""
    if isinstance(value, dict):
        return {
            field: [caution["code"] for caution in each] if field == "cautions" else with_codes(each)
            for field, each in value.items()
        }
    return [with_codes(each) for each in value] if isinstance(value, list) else value


CASES = [(operation.name, example.name) for operation in OPERATIONS for example in operation.examples]


@pytest.mark.parametrize("call, example", CASES)
def test_answer_is_the_one_on_record(call, example):
    name = f"{call} {example}"
    recorded = json.loads(RECORD.read_text("utf-8"))
    assert name in recorded, f"no answer on record for {name}; see the top of this file"
    now = json.loads(json.dumps(answers()[name]))
    then = recorded[name]
    compare(with_codes(now), with_codes(then), call in EXACT, name)


def test_nothing_on_record_is_left_over():
    assert set(json.loads(RECORD.read_text("utf-8"))) == set(answers())


if __name__ == "__main__":
    RECORD.write_text(json.dumps(answers(), indent=0, ensure_ascii=False) + "\n", "utf-8")
