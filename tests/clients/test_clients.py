"""Clients made by general-purpose generators from the document. They compile, do the main job on the real
service, and get the same figures as a plain call.
"""

import compileall
import json
import re
import sys

import pytest

import tools
from npm import CLIENTS, run
from scaldloaf.operations.lantern_quay import TIN_LOAF


@pytest.fixture(scope="module")
def found_by_plain_calls(service) -> dict:
    import requests

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


def test_the_main_job_in_typescript(typescript_client, service, found_by_plain_calls):
    done = run(tools.find("node"), typescript_client / "out/main_job.js", service.url)
    assert_main_job_done(json.loads(done.stdout), found_by_plain_calls)


def test_the_lock_pins_every_package_by_hash_and_names_no_host():
    lock = json.loads((CLIENTS / "package-lock.json").read_text("utf-8"))
    packages = {name: package for name, package in lock["packages"].items() if name}
    wanted = json.loads((CLIENTS / "package.json").read_text("utf-8"))
    named = {f"node_modules/{name}" for name in (*wanted["dependencies"], *wanted["devDependencies"])}
    assert named <= packages.keys()
    for name, package in packages.items():
        assert re.fullmatch(r"sha512-[A-Za-z0-9+/]{86}==", package["integrity"]), name
        assert "resolved" not in package and not package.get("hasInstallScript"), name
