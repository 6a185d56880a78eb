"""The README's calls are run as printed, against the real service; what it shows must be what comes back."""

import json
import os
import re
import stat
import subprocess
from decimal import Decimal
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")
BLOCK = re.compile(r"```sh\n(curl .*?)```\s*(?:[^`]*?)```json\n(.*?)```", re.S)
CALLS = BLOCK.findall(README)


def shown_in(shown, actual, where=""):
    """Every field that the README shows is in the reply, to the digits it shows."""
    if isinstance(shown, dict):
        for key, value in shown.items():
            assert key in actual, f"{where}/{key} is not in the reply"
            shown_in(value, actual[key], f"{where}/{key}")
    elif isinstance(shown, list):
        for index, value in enumerate(shown):
            shown_in(value, actual[index], f"{where}/{index}")
    elif isinstance(shown, Decimal):
        digits = -shown.as_tuple().exponent
        assert round(Decimal(repr(float(actual))), digits) == shown, f"{where}: {actual}, not {shown}"
    else:
        assert shown == actual, f"{where}: {actual!r}, not {shown!r}"


def test_readme_shows_at_least_four_calls():
    assert len(CALLS) >= 4


@pytest.mark.parametrize(
    "command, answer", CALLS, ids=[re.search(r"/v1/([\w-]+)", call[0]).group(1) for call in CALLS]
)
def test_call_and_its_answer(command, answer, service):
    here = command.replace("http://127.0.0.1:8000", service.url.rstrip("/"))
    assert here != command
    done = subprocess.run(
        ["bash", "-c", here],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
        env={**os.environ, "no_proxy": "*"},
    )
    shown_in(json.loads(answer, parse_float=Decimal, parse_int=Decimal), json.loads(done.stdout))


@pytest.mark.parametrize("script", ["deploy/serve", "tests/run"])
def test_the_two_commands_are_there(script):
    assert f"./{script}" in README
    assert (ROOT / script).stat().st_mode & stat.S_IXUSR


def test_every_file_the_contributors_page_names_exists():
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    named = {
        name
        for words in re.findall(r"`([^`]+)`", text)
        for name in words.split()
        if re.fullmatch(r"(?:api|web|openapi|tests|deploy)/[\w./-]*", name)
    }
    assert len(named) > 60  # also those of a list, such as the tests to run
    missing = {name for name in named if not (ROOT / name).exists()}
    assert not missing


def test_the_top_level_is_what_a_newcomer_has_to_know():
    shown = {path.name for path in ROOT.iterdir() if not path.name.startswith((".", "__"))}
    assert shown == {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "api",
        "web",
        "openapi",
        "tests",
        "deploy",
    }


@pytest.mark.parametrize("name", re.findall(r"`(openapi/examples/[\w./]+)`", README))
def test_the_integrations_are_there(name):
    assert (ROOT / name).is_file()


def test_the_documented_limits_are_the_real_ones():
    from scaldloaf.http import bulk
    from scaldloaf.http.settings import Settings
    from scaldloaf.operations.schemas import common, keeping, order_demand, trial_fit

    settings = Settings()
    assert settings.max_body_bytes == 64 * 1024 and "| 64 kB (`SCALDLOAF_MAX_BODY_BYTES`) |" in README
    assert settings.max_orders_bytes == 2 * 1024**2 and "| 2 MB (`SCALDLOAF_MAX_ORDERS_BYTES`) |" in README
    assert settings.max_bulk_bytes == 256 * 1024**2 and "256 MB of lines waiting" in README
    assert f"| {settings.max_bulk_lines:,} lines (`SCALDLOAF_MAX_BULK_LINES`)" in README
    assert f" {settings.max_bulk_seconds} s of processor time (`SCALDLOAF_MAX_BULK_SECONDS`)" in README
    assert f"{bulk.MOST_UNREADABLE:,} lines in a row" in README
    assert f"| bulks at a time | {settings.bulks} in each process" in README
    assert f"| time for a request to arrive | {settings.read_seconds} s," in README
    assert settings.rate is None and settings.log is False
    assert f"| formula | {common.MAX_LINES} lines |" in README
    assert f"| {order_demand.MOST_FORMULAS} formulas, {order_demand.MOST_ORDERS:,} orders |" in README
    assert f"| trial-fit | {trial_fit.MOST_TRIALS} bakes" in README
    assert f"| keeping | {keeping.MAX_LOAVES} loaves of {keeping.MAX_SCORES} scores each |" in README


def test_the_client_commands_are_those_that_the_tests_run():
    files = ("tests/clients/test_clients.py", "tests/npm.py")
    tested = " ".join(" ".join((ROOT / file).read_text("utf-8") for file in files).split())
    for words in (
        "openapi_python_client",
        '"--meta", "none"',
        "openapi-typescript",
        "--default-non-nullable=false",
        '"--input-file-type", "openapi"',
        '"--output-model-type", "pydantic_v2.BaseModel"',
        '"--use-subclass-enum", "--formatters", "builtin"',
    ):
        assert words in tested
        assert words.replace('", "', " ").strip('"').replace("_", "-") in README.replace("_", "-")
