"""A bakery's whole night through clients made from the document: 5,000 orders over 40 formulas in one call, a
refusal in codes that they know, and the same in an array of calls. Each gets the figures of plain calls.
"""

import json
import re
import sys
from pathlib import Path

import pytest
import requests

import tools
from npm import CLIENTS, DOCUMENT, run
from scaldloaf.operations.lantern_quay import TIN_LOAF

LOAVES, ORDERS = 40, 5000
SOLD = {"raw": ("pieces", "mass"), "baked": ("baked_pieces", "mass"), "in pans": ("pans", "dough_mass")}


def night() -> dict:
    """What a till writes: loaves, each a little saltier than the one before, and who ordered how many."""
    *lines, salt, yeast = TIN_LOAF["lines"]
    kinds = list(SOLD)
    return {
        "loaves": [
            {
                "name": f"loaf {number}",
                "lines": [
                    {"part": "dough", **line} for line in (*lines, {**salt, "mass": 8 + number / 20}, yeast)
                ],
            }
            for number in range(LOAVES)
        ],
        "orders": [
            {
                "customer": f"customer {number}",
                "loaf": f"loaf {number * 7 % LOAVES}",
                "sold": kinds[number % len(kinds)],
                "count": 1 + number % 24,
                "mass": 400 + number % 5 * 20,
            }
            for number in range(ORDERS)
        ],
    }


@pytest.fixture(scope="module")
def till(tmp_path_factory) -> Path:
    """The file that the till writes."""
    file = tmp_path_factory.mktemp("till") / "night.json"
    file.write_text(json.dumps(night()))
    return file


@pytest.fixture(scope="module")
def by_plain_calls(service) -> dict:
    written = night()
    request = {
        "formulas": [
            {
                "id": loaf["name"],
                "formula": loaf,
                "losses": {"handling_percent": 2, "bake_percent": 10},
                "mixer_capacity": 20_000,
            }
            for loaf in written["loaves"]
        ],
        "orders": [
            {
                "id": order["customer"],
                "formula": order["loaf"],
                "target": {"kind": kind, "count": order["count"], field: order["mass"]},
            }
            for order in written["orders"]
            for kind, field in [SOLD[order["sold"]]]
        ],
        "scale": {"resolution": 5, "fine_resolution": 0.1},
    }

    def ask(status: int) -> dict:
        answer = requests.post(f"{service.url}/v1/order-demand?show=result", json=request, timeout=120)
        assert answer.status_code == status, answer.text[:500]
        return answer.json()

    demand = ask(200)
    request["orders"][-1]["formula"] += "!"
    (fault,) = ask(422)["errors"]
    assert fault["code"] == "unknown_formula" and fault["pointer"] == f"/orders/{ORDERS - 1}/formula"
    return {
        "stock": [[row["ingredient"], row["mass"], row["scald"]] for row in demand["ingredients"]],
        "batches": [[made["id"], made["batches"], made["scald_mass"]] for made in demand["formulas"]],
        "orders": [[order["id"], order["dough_mass"]] for order in demand["orders"]],
        "refused": [422, fault["pointer"], fault["code"], fault["nearest"]],
    }


def assert_the_night_is_done(found: dict, by_plain_calls: dict) -> None:
    assert len(found["orders"]) == ORDERS and len(found["batches"]) == LOAVES
    assert found.pop("in_bulk") == ["night", 200]
    assert found == by_plain_calls


def test_in_python(python_client, service, till, by_plain_calls):
    program = CLIENTS / "night_job.py"
    done = run(sys.executable, "-W", "error", program, service.url, till, PYTHONPATH=str(python_client))
    assert_the_night_is_done(json.loads(done.stdout), by_plain_calls)


def test_in_typescript(typescript_client, service, till, by_plain_calls):
    done = run(tools.find("node"), typescript_client / "out/night_job.js", service.url, till)
    assert_the_night_is_done(json.loads(done.stdout), by_plain_calls)


def test_with_models_in_python(tmp_path, service, till, by_plain_calls):
    module = tmp_path / "scaldloaf_models.py"
    made = run(
        sys.executable,
        "-m",
        "datamodel_code_generator",
        "--input",
        DOCUMENT,
        "--input-file-type",
        "openapi",
        "--output-model-type",
        "pydantic_v2.BaseModel",
        "--use-subclass-enum",
        "--formatters",
        "builtin",
        "--output",
        module,
    )
    assert made.stderr == ""
    classes = re.findall(r"^class (\w+)", module.read_text("utf-8"), re.MULTILINE)
    assert len(classes) > 300 and not [name for name in classes if name[-1].isdigit()]
    done = run(
        sys.executable,
        "-W",
        "error",
        CLIENTS / "night_models.py",
        service.url,
        till,
        PYTHONPATH=str(tmp_path),
    )
    assert_the_night_is_done(json.loads(done.stdout), by_plain_calls)
