"""The simulation behind the advice on many machines agrees with what is known of queues."""

import importlib
import sys

import pytest

from running import ROOT


@pytest.fixture(scope="module")
def simulation():
    sys.path.insert(0, str(ROOT / "tests" / "benchmarks"))
    try:
        return importlib.import_module("past_one_machine")
    finally:
        sys.path.remove(str(ROOT / "tests" / "benchmarks"))


def test_it_agrees_with_closed_forms(simulation):
    for name, seen, known in simulation.checks(40_000):
        assert seen == pytest.approx(known, rel=0.1), name


@pytest.mark.parametrize("servers", [1, 2, 8])
def test_erlangs_formula_has_its_known_ends(simulation, servers):
    assert simulation.wait_m_m_c(0.01, servers) == pytest.approx(0, abs=0.011)
    # A queue that is hardly ever empty waits as one fast server's does.
    assert simulation.wait_m_m_c(0.999, servers) == pytest.approx(1 / servers / 0.001, rel=0.01)
    # c = 1 is M/M/1, c = 2 has a closed form of its own.
    own = {1: 0.6 / 0.4, 2: 0.6**2 / (1 - 0.6**2)}
    if servers in own:
        assert simulation.wait_m_m_c(0.6, servers) == pytest.approx(own[servers])


def test_the_same_seed_gives_the_same_waits_and_a_choice_of_two_shortens_them(simulation):
    def waits(policy):
        return [wait for wait, _ in simulation.simulate(8, simulation.exponential, policy, 5, 20_000)]

    by = {policy.name: waits(policy) for policy in simulation.POLICIES}
    assert by["two choices"] == waits(simulation.OF_TWO)
    mean = {name: sum(found) / len(found) for name, found in by.items()}
    assert mean["least of all"] < mean["two choices"] < mean["round robin"] < mean["random"]
