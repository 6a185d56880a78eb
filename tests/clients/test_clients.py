"""Clients made from the document by general-purpose generators: made without a complaint, compiled, and
run through the main job against the real service. Both must find what a plain call finds.

The TypeScript generator and compiler come from npm, exactly as package-lock.json pins them, into
node_modules beside it; that is kept until the lock changes.
"""

import compileall
import fcntl
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import tools
from running import ROOT
from scaldloaf.operations.lantern_quay import TIN_LOAF

HERE = Path(__file__).parent
DOCUMENT = ROOT / "openapi" / "openapi.json"


def run(*command, **variables) -> subprocess.CompletedProcess:
    done = subprocess.run(command, cwd=HERE, capture_output=True, text=True, timeout=300, stdin=subprocess.DEVNULL,
                          env={**os.environ, "no_proxy": "127.0.0.1,localhost", **variables})
    assert done.returncode == 0, f"{command[:3]} ended with {done.returncode}:\n{done.stdout}\n{done.stderr}"
    return done


@pytest.fixture(scope="module")
def found_by_plain_calls(service) -> dict:
    import requests

    def ask(call, body, status=200):
        response = requests.post(f"{service.url}/v1/{call}?show=result", json=body, timeout=120)
        assert response.status_code == status, response.text
        return response.json()

    moved = ask("hydration-correction", {"formula": TIN_LOAF, "scalded_share_percent": 35})
    filled = ask("pan-fill", {
        "formula": moved["formula"], "pan": {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}, "pans": 3,
        "scalded_share_percent": 35, "bread": {"kind": "reference_loaf", "dough_mass": 440, "loaf_volume": 1715,
                                               "bake_loss_percent": 10, "scalded_share_percent": 20}})
    sheet = ask("scaling", {
        "formula": filled["formula"], "target": {"kind": "pieces", "count": 3, "mass": filled["dough_mass"]["best"]},
        "losses": {"handling_percent": 2}, "scale": {"resolution": 1, "fine_resolution": 0.1}})
    budget = ask("sugar-budget", {"formula": sheet["formula"], "stages": [
        {"name": "bulk", "minutes": 90, "temperature": 28}, {"name": "proof", "minutes": 60, "temperature": 32}]})
    refused = ask("hydration-correction", {"formula": TIN_LOAF, "scalded_share_percent": 35,
                                           "scald_liquid_ratio": 5}, 422)
    return {"hydration_percent": moved["optimum_hydration_percent"]["best"], "assessment": moved["assessment"],
            "dough_mass": filled["dough_mass"]["best"],
            "weigh_out": [[line["ingredient"], line["part"], line["mass"]] for line in sheet["weigh_out"]],
            "sugar": budget["assessment"], "sweetness_percent": budget["sweetness_percent"]["best"],
            "free_sugar_spent_hours": budget["free_sugar_spent_hours"],
            "refused": [422, refused["errors"][0]["pointer"], refused["errors"][0]["code"]], "units": True}


def assert_main_job_done(found: dict, by_plain_calls: dict) -> None:
    # By hand: 440 g x (1 - 0.40 x 0.15) / (1 - 0.40 x 0.30).
    assert found["dough_mass"] == pytest.approx(440 * 0.94 / 0.88, rel=1e-3)
    assert found == by_plain_calls


@pytest.fixture(scope="module")
def python_client(tmp_path_factory) -> Path:
    """A folder with the generated package scaldloaf_client in it."""
    folder = tmp_path_factory.mktemp("python")
    settings = folder / "settings.yaml"
    settings.write_text("post_hooks: []\n")      # formatting is not what is tested
    made = run(sys.executable, "-m", "openapi_python_client", "generate", "--path", DOCUMENT, "--meta", "none",
               "--config", settings, "--output-path", folder / "scaldloaf_client", NO_COLOR="1", COLUMNS="200")
    # It has no words for lines of JSON; whoever streams them does so by hand (openapi/examples/stock_system.py).
    complaints = re.findall(r"^(?:WARNING|ERROR|Unable)\b.*", made.stdout + made.stderr, re.MULTILINE)
    assert complaints == ["WARNING parsing POST /v1/bulk within calculations. Endpoint will not be generated."]
    return folder


def test_the_python_client_has_every_call_and_compiles(python_client, document):
    assert compileall.compile_dir(python_client, quiet=1)
    made = {file.stem for file in (python_client / "scaldloaf_client/api").glob("*/*.py")} - {"__init__"}
    named = {re.sub(r"([A-Z])", r"_\1", operation["operationId"]).lower()
             for item in document["paths"].values() for operation in item.values()}
    assert made == named - {"bulk"}
    nameless = [file.name for file in (python_client / "scaldloaf_client/models").iterdir() if "_type_" in file.name]
    assert not nameless


def test_the_main_job_in_python(python_client, service, found_by_plain_calls):
    done = run(sys.executable, "-W", "error", HERE / "main_job.py", service.url, PYTHONPATH=str(python_client))
    assert_main_job_done(json.loads(done.stdout), found_by_plain_calls)


@pytest.fixture(scope="module")
def node_modules() -> Path:
    """The packages that package-lock.json pins, installed once for each state of it."""
    wanted = hashlib.sha256(b"".join((HERE / name).read_bytes() for name in ("package-lock.json", "package.json")))
    folder = HERE / "node_modules"
    stamp = folder / ".lock-installed"
    turn = os.open(HERE, os.O_RDONLY)
    try:
        fcntl.flock(turn, fcntl.LOCK_EX)
        if not stamp.is_file() or stamp.read_text() != wanted.hexdigest():
            run(tools.find("npm"), "ci", "--ignore-scripts")
            stamp.write_text(wanted.hexdigest())
    finally:
        os.close(turn)
    return folder


@pytest.fixture(scope="module")
def node() -> str:
    return tools.find("node")


@pytest.fixture(scope="module")
def typescript_client(node, node_modules) -> Path:
    """The types made from the document, beside the program that uses them."""
    build = HERE / "build"
    shutil.rmtree(build, ignore_errors=True)
    build.mkdir()
    # Unless told otherwise it takes a field with a default for one that a request must have.
    run(node, node_modules / "openapi-typescript/bin/cli.js", DOCUMENT, "--output", build / "schema.ts",
        "--default-non-nullable=false")
    return build


def test_the_typescript_client_compiles_and_does_the_main_job(node, node_modules, typescript_client, service,
                                                              found_by_plain_calls):
    run(node, node_modules / "typescript/bin/tsc", "--project", HERE)
    done = run(node, typescript_client / "out/main_job.js", service.url)
    assert_main_job_done(json.loads(done.stdout), found_by_plain_calls)


def test_the_lock_pins_every_package_by_hash_and_names_no_host():
    lock = json.loads((HERE / "package-lock.json").read_text("utf-8"))
    packages = {name: package for name, package in lock["packages"].items() if name}
    assert {"node_modules/openapi-typescript", "node_modules/openapi-fetch",
            "node_modules/typescript"} <= packages.keys()
    for name, package in packages.items():
        assert re.fullmatch(r"sha512-[A-Za-z0-9+/]{86}==", package["integrity"]), name
        assert "resolved" not in package and not package.get("hasInstallScript"), name
