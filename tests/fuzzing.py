"""Fuzzing the contract with schemathesis: one configuration for the short form in the tests and the long one.

Requests are made from the document, good and bad, and every reply is held to it.
"""

import json

import schemathesis
from schemathesis.config import SchemathesisConfig
from schemathesis.core.transport import Response

from mangling import assert_gate_and_words_agree
from scaldloaf.http import create_app
from scaldloaf.http.reading import NotJson, read_json
from scaldloaf.operations.registry import BY_NAME

# A request can be of the right shape and still make no bread (no flour, a scald without its
# water): the document promises 422 for that, so it is an answer to data of the right shape. So is 413 to
# a list within its bounds whose text is larger than a body may be.
CONFIG = {
    "checks": {
        "positive_data_acceptance": {"expected-statuses": ["2xx", "304", "413", "422"]},
        "negative_data_rejection": {"expected-statuses": ["400", "404", "405", "406", "413", "415", "422"]},
    },
    # bulk takes any bytes and answers line by line, so no body is of the wrong shape as a whole.
    "operations": [{"include-path": "/v1/bulk", "checks": {"negative_data_rejection": {"enabled": False}}}],
}
# Calls that have the request of another, or loaf-plan's in their own: every value at its bounds is tried with
# that one, so in the short form they get requests at random only.
TRIED_ELSEWHERE = (
    "/v1/variants",
    "/v1/variants.csv",
    "/v1/share-limit",
    "/v1/recipe-export",
    "/v1/order-demand.csv",
)


@schemathesis.serializer("application/x-ndjson")
def lines_of_json(context, value):
    return value.encode("utf-8", "surrogatepass") if isinstance(value, str) else repr(value).encode()


def contract(short: bool = False):
    """The document of an application in this process, as schemathesis reads it."""
    config = {**CONFIG}
    if short:
        config["operations"] = CONFIG["operations"] + [
            {"include-path": path, "phases": {"coverage": {"enabled": False}}} for path in TRIED_ELSEWHERE
        ]
    return schemathesis.openapi.from_wsgi(
        "/openapi.json", create_app(), config=SchemathesisConfig.from_dict(config)
    )


def ask(case) -> Response:
    """Send a case; its in-process client asks for gzip and cannot read it, so it does without."""
    return case.call(headers={"Accept-Encoding": "identity"})


def check(case, response: Response) -> None:
    """Assert that the reply follows the document, and that the gate and the explained faults agree."""
    case.validate_response(response)
    operation = BY_NAME.get(case.path.removeprefix("/v1/"))
    if operation and isinstance(case.body, dict | list | str | int | float | None):
        try:
            body = read_json(json.dumps(case.body).encode())
        except NotJson:
            return
        assert_gate_and_words_agree(operation.request, body)
