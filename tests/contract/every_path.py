"""schemathesis on every path: requests made from the document, good and bad, and replies held to it.

What a gate refuses has words, and what it accepts has none.

The short form of ``tests/benchmarks/fuzz_contract.py``, which runs the same with many more cases. Run by
``test_schemathesis.py``.
"""

from hypothesis import HealthCheck, settings

from fuzzing import ask, check, contract

schema = contract(short=True)


@schema.parametrize()
@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
def test_every_path(case):
    check(case, ask(case))
