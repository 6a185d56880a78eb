"""Clients made by general-purpose generators from the document. They compile, do the main job and a bakery's
whole night on the real service, and get the same figures as plain calls. All are in this file, so that each
is made only once.
"""

import compileall
import json
import re
import shutil
import sys
from pathlib import Path

import pytest
import requests

import npm
import tools
from npm import CLIENTS, DOCUMENT, run
from scaldloaf.operations.lantern_quay import TIN_LOAF


@pytest.fixture(scope="module")
def found_by_plain_calls(service) -> dict:
    def ask(call, body, status=200):
        response = requests.post(f"{service.url}/v1/{call}?show=result", json=body, timeout=120)
        assert response.status_code == status, response.text
        return response.json()

    moved = ask("hydration-correction", {"formula": TIN_LOAF, "scalded_share_percent": 35})
    filled = ask(
        "pan-fill",
        {
            "formula": moved["formula"],
            "pan": {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5},
            "pans": 3,
            "scalded_share_percent": 35,
            "bread": {
                "kind": "reference_loaf",
                "dough_mass": 440,
                "loaf_volume": 1715,
                "bake_loss_percent": 10,
                "scalded_share_percent": 20,
            },
        },
    )
    sheet = ask(
        "scaling",
        {
            "formula": filled["formula"],
            "target": {"kind": "pieces", "count": 3, "mass": filled["dough_mass"]["best"]},
            "losses": {"handling_percent": 2},
            "scale": {"resolution": 1, "fine_resolution": 0.1},
        },
    )
    budget = ask(
        "sugar-budget",
        {
            "formula": sheet["formula"],
            "stages": [
                {"name": "bulk", "minutes": 90, "temperature": 28},
                {"name": "proof", "minutes": 60, "temperature": 32},
            ],
        },
    )
    refused = ask(
        "hydration-correction",
        {"formula": TIN_LOAF, "scalded_share_percent": 35, "scald_liquid_ratio": 5},
        422,
    )
    return {
        "hydration_percent": moved["optimum_hydration_percent"]["best"],
        "assessment": moved["assessment"],
        "dough_mass": filled["dough_mass"]["best"],
        "weigh_out": [[line["ingredient"], line["part"], line["mass"]] for line in sheet["weigh_out"]],
        "sugar": budget["assessment"],
        "sweetness_percent": budget["sweetness_percent"]["best"],
        "free_sugar_spent_hours": budget["free_sugar_spent_hours"],
        "refused": [422, refused["errors"][0]["pointer"], refused["errors"][0]["code"]],
        "units": True,
    }


def assert_main_job_done(found: dict, by_plain_calls: dict) -> None:
    # By hand: 440 g x (1 - 0.40 x 0.15) / (1 - 0.40 x 0.30).
    assert found["dough_mass"] == pytest.approx(440 * 0.94 / 0.88, rel=1e-3)
    assert found == by_plain_calls


@pytest.fixture(scope="module")
def python_client(tmp_path_factory) -> Path:
    """A folder with the generated package scaldloaf_client in it."""
    folder = tmp_path_factory.mktemp("python")
    settings = folder / "settings.yaml"
    settings.write_text("post_hooks: []\n")  # the test does not concern formatting
    made = run(
        sys.executable,
        "-m",
        "openapi_python_client",
        "generate",
        "--path",
        DOCUMENT,
        "--meta",
        "none",
        "--config",
        settings,
        "--output-path",
        folder / "scaldloaf_client",
        NO_COLOR="1",
        COLUMNS="200",
    )
    # The generator knows neither lines of JSON, in place of which bulk takes an array, nor pictures: whoever
    # calls link-code finds the SVG in the content of the response.
    complaints = re.findall(r"^(?:WARNING|ERROR|Unable)\b.*", made.stdout + made.stderr, re.MULTILINE)
    assert complaints == [
        "WARNING parsing POST /v1/bulk within calculations.",
        "WARNING parsing POST /v1/link-code within calculations.",
    ]
    return folder


def test_the_python_client_has_every_call_and_compiles(python_client, document):
    assert compileall.compile_dir(python_client, quiet=1)
    made = {file.stem for file in (python_client / "scaldloaf_client/api").glob("*/*.py")} - {"__init__"}
    named = {
        re.sub(r"([A-Z])", r"_\1", operation["operationId"]).lower()
        for item in document["paths"].values()
        for operation in item.values()
    }
    assert made == named
    nameless = [
        file.name for file in (python_client / "scaldloaf_client/models").iterdir() if "_type_" in file.name
    ]
    assert not nameless


def test_the_main_job_in_python(python_client, service, found_by_plain_calls):
    done = run(
        sys.executable, "-W", "error", CLIENTS / "main_job.py", service.url, PYTHONPATH=str(python_client)
    )
    assert_main_job_done(json.loads(done.stdout), found_by_plain_calls)


@pytest.fixture(scope="module")
def typescript_client() -> Path:
    """The types made from the document, and the programs compiled with them."""
    build = CLIENTS / "build"
    shutil.rmtree(build, ignore_errors=True)
    npm.write_types(build / "schema.ts")
    run(tools.find("node"), npm.node_modules() / "typescript/bin/tsc", "--project", CLIENTS)
    return build


def test_the_main_job_in_typescript(typescript_client, service, found_by_plain_calls):
    done = run(tools.find("node"), typescript_client / "out/main_job.js", service.url)
    assert_main_job_done(json.loads(done.stdout), found_by_plain_calls)


# ---- A whole night: 5,000 orders over 40 formulas in one call, a refusal, and a line of bulk

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
                "sku": f"LQ-{number:03}",
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
def night_by_plain_calls(service) -> dict:
    written = night()
    request = {
        "formulas": [
            {
                "id": loaf["name"],
                "formula": {"name": loaf["name"], "lines": loaf["lines"]},
                "own": {"sku": loaf["sku"]},
                "losses": {"handling_percent": 2, "bake_percent": 10},
                "mixer_capacity": 20_000,
            }
            for loaf in written["loaves"]
        ],
        "orders": [
            {
                "id": order["customer"],
                "formula": order["loaf"],
                "own": {"round": order["customer"][-1]},
                "target": {"kind": kind, "count": order["count"], field: order["mass"]},
            }
            for order in written["orders"]
            for kind, field in [SOLD[order["sold"]]]
        ],
        "scale": {"resolution": 5, "fine_resolution": 0.1},
        "packs": [{"ingredient": "bread_flour", "pack_mass": 25_000, "stock_unit": "sack"}],
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
        "packs": [
            [row["packs"]["count"], row["packs"]["left_over"]]
            for row in demand["ingredients"]
            if row["packs"]
        ],
        "batches": [[made["own"]["sku"], made["batches"], made["scald_mass"]] for made in demand["formulas"]],
        "orders": [[order["own"]["round"], order["dough_mass"]] for order in demand["orders"]],
        "refused": [422, fault["pointer"], fault["code"], fault["nearest"]],
    }


def assert_the_night_is_done(found: dict, by_plain_calls: dict) -> None:
    assert len(found["orders"]) == ORDERS and len(found["batches"]) == LOAVES
    assert found["batches"][1][0] == "LQ-001" and found["orders"][12][0] == "2" and len(found["packs"]) == 1
    assert found.pop("in_bulk") == ["night", 200]
    assert found == by_plain_calls


def test_the_night_in_python(python_client, service, till, night_by_plain_calls):
    program = CLIENTS / "night_job.py"
    done = run(sys.executable, "-W", "error", program, service.url, till, PYTHONPATH=str(python_client))
    assert_the_night_is_done(json.loads(done.stdout), night_by_plain_calls)


def test_the_night_in_typescript(typescript_client, service, till, night_by_plain_calls):
    done = run(tools.find("node"), typescript_client / "out/night_job.js", service.url, till)
    assert_the_night_is_done(json.loads(done.stdout), night_by_plain_calls)


def test_the_night_with_models_in_python(tmp_path, service, till, night_by_plain_calls):
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
    assert_the_night_is_done(json.loads(done.stdout), night_by_plain_calls)


# ---- The packages


def test_the_lock_pins_every_package_by_hash_and_names_no_host():
    lock = json.loads((CLIENTS / "package-lock.json").read_text("utf-8"))
    packages = {name: package for name, package in lock["packages"].items() if name}
    wanted = json.loads((CLIENTS / "package.json").read_text("utf-8"))
    named = {f"node_modules/{name}" for name in (*wanted["dependencies"], *wanted["devDependencies"])}
    assert named <= packages.keys()
    for name, package in packages.items():
        assert re.fullmatch(r"sha512-[A-Za-z0-9+/]{86}==", package["integrity"]), name
        assert "resolved" not in package and not package.get("hasInstallScript"), name
