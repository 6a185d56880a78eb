"""Clients made by general-purpose generators from the document, once for all tests of a process."""

import re
import shutil
import sys
from pathlib import Path

import pytest

import npm
import tools
from npm import CLIENTS, DOCUMENT, run


@pytest.fixture(scope="session")
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


@pytest.fixture(scope="session")
def typescript_client() -> Path:
    """The types made from the document, and the programs compiled with them."""
    build = CLIENTS / "build"
    shutil.rmtree(build, ignore_errors=True)
    npm.write_types(build / "schema.ts")
    run(tools.find("node"), npm.node_modules() / "typescript/bin/tsc", "--project", CLIENTS)
    return build
