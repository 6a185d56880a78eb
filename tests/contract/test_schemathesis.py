"""schemathesis on every path: requests made from the document, good and bad, and replies held to it.

The short form of ``tests/benchmarks/fuzz_contract.py``, which runs the same with many more cases.
"""

import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.config import SchemathesisConfig

from scaldloaf.http import create_app

# A request can be of the right shape and still make no bread (no flour, a scald without its
# water): the document promises 422 for that, so it is an answer to data of the right shape.
CONFIG = SchemathesisConfig.from_dict({
    "checks": {"positive_data_acceptance": {"expected-statuses": ["2xx", "304", "422"]}},
})

schema = schemathesis.openapi.from_wsgi("/openapi.json", create_app(), config=CONFIG)


@schema.parametrize()
@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
def test_every_path(case):
    # Its in-process client asks for gzip and cannot read it.
    case.call_and_validate(headers={"Accept-Encoding": "identity"})
