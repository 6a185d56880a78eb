"""A long answer is compressed for a client that takes gzip, and says the same."""

import gzip
import json

import pytest
from flask.testing import FlaskClient

from scaldloaf.http.calculations import PACKED_FROM_BYTES
from scaldloaf.operations.lantern_quay import TIN_LOAF

BODY = {"formula": TIN_LOAF}


def test_gzip_when_it_is_taken(client, app):
    plain = client.post("/v1/breakdown", json=BODY)
    packed = FlaskClient(app).post("/v1/breakdown", json=BODY, headers={"Accept-Encoding": "gzip, deflate"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(packed.data)) == json.loads(plain.data)
    assert len(packed.data) < len(plain.data) / 2
    assert "Accept-Encoding" in packed.headers["Vary"] and "Accept-Encoding" in plain.headers["Vary"]


@pytest.mark.parametrize("accepted", ["", "identity", "deflate", "gzip;q=0", "br"])
def test_plain_otherwise(client, accepted):
    response = client.post("/v1/breakdown", json=BODY, headers={"Accept-Encoding": accepted})
    assert "Content-Encoding" not in response.headers
    assert json.loads(response.data)["totals"]["dough"] == 929


def test_short_answers_stay_plain(client):
    short = {"formula": {"lines": [{"ingredient": "bread_flour", "mass": 1}]}}
    response = client.post(
        "/v1/breakdown", json=short, query_string={"show": "result"}, headers={"Accept-Encoding": "gzip"}
    )
    assert len(response.data) < PACKED_FROM_BYTES
    assert "Content-Encoding" not in response.headers
