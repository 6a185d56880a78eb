"""Two linters for OpenAPI find nothing in the document. Both run once, in one process."""

import json

import npm
import tools
from npm import CLIENTS, DOCUMENT


def test_the_document_is_as_two_linters_recommend(tmp_path):
    """And in one with mistakes, which comes along to judge the judges, each of them finds its own."""
    spoilt = tmp_path / "spoilt.json"
    spoilt.write_text(
        json.dumps(
            {
                "openapi": "3.1.0",
                "info": {"title": "A document with mistakes", "version": "1"},
                "paths": {"/v1/{name}": {"get": {"operationId": "a", "responses": {}}}},
            }
        )
    )
    npm.node_modules()
    found = json.loads(npm.run(tools.find("node"), CLIENTS / "lint.mjs", DOCUMENT, spoilt).stdout)
    of_document, of_spoilt = found
    assert of_document == []
    assert {line.split()[0] for line in of_spoilt} == {"spectral", "redocly"} and len(of_spoilt) > 4
