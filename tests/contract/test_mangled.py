"""A few hundred spoilt requests, always the same; ``tests/benchmarks/fuzz_reading.py`` makes many more."""

import json
import random

import pytest

from mangling import answer, answer_lines, mangle, mutated, read_recipe, read_text, seeds_of
from scaldloaf.operations.registry import OPERATIONS


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_spoilt_requests_are_answered_or_refused(operation):
    chance = random.Random(operation.name)
    statuses = []
    for _ in range(40):
        request = mangle(chance.choice(operation.examples).body, chance)
        statuses.append(answer(operation.name, json.dumps(request).encode()))
    assert set(statuses) <= {200, 400, 422} and {200, 422} <= set(statuses)


@pytest.mark.parametrize("name, read", [("bulk", answer_lines), ("import", read_recipe)])
def test_spoilt_lines_and_recipes_are_answered_or_refused(name, read):
    chance = random.Random(name)
    for seed in seeds_of(name):
        read(seed)
        for _ in range(3):
            read(mutated(name, seed, chance))


def test_bodies_cut_short_or_with_a_byte_changed():
    chance = random.Random(7)
    for operation in OPERATIONS:
        body = json.dumps(operation.examples[0].body).encode()
        for _ in range(12):
            at = chance.randrange(len(body))
            answer(operation.name, body[:at])
            answer(operation.name, body[:at] + bytes([chance.randrange(256)]) + body[at + 1 :])


def test_texts_are_read_as_the_standard_library_reads_them_or_refused():
    chance = random.Random(3)
    for seed in seeds_of("json"):
        read_text(seed)
        for _ in range(6):
            at = chance.randrange(len(seed))
            read_text(
                seed[:at]
                + chance.choice((b"", b"0", b'"', b"\\", b":", b"{", b"]", b"e9", b"\xff", b"\x00"))
                + seed[at + 1 :]
            )
