"""The packages of an installation: pinned by hash, and no others are needed."""

import re
import subprocess
import sys
from importlib.metadata import packages_distributions
from importlib.resources import files
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from scaldloaf.http import swagger_ui

ROOT = Path(__file__).resolve().parents[2]
RENDERER = files("flask_swagger_ui") / "dist"
FILES = ["deploy/requirements.txt", "tests/requirements.txt"]


def pins(file: str) -> dict[str, list[str]]:
    """Requirement -> its hashes."""
    text = (ROOT / file).read_text("utf-8").replace("\\\n", " ")
    found = {}
    for line in text.splitlines():
        if line.strip() and not line.lstrip().startswith("#"):
            requirement, *hashes = re.split(r"\s--hash=", line.strip())
            found[requirement.strip()] = [each.strip() for each in hashes]
    return found


@pytest.mark.parametrize("file", FILES)
def test_every_package_is_pinned_with_its_hashes(file):
    found = pins(file)
    assert len(found) > 15
    for text, hashes in found.items():
        requirement = Requirement(text)
        assert requirement.url is None, f"{text} comes from elsewhere"
        assert [part.operator for part in requirement.specifier] == ["=="], text
        assert hashes and all(re.fullmatch(r"sha256:[0-9a-f]{64}", each) for each in hashes), text


def test_what_is_served_is_what_was_tested():
    tested = pins("tests/requirements.txt")
    for text, hashes in pins("deploy/requirements.txt").items():
        assert set(tested[text]) == set(hashes)


# A fresh process in which what is installed for the tests alone can't be found, as where the service runs.
STARTING = """
import sys

class Missing:
    def find_spec(name, path=None, target=None):
        if name.partition(".")[0] in set(sys.argv[1:]):
            raise ModuleNotFoundError(f"no module named {name!r}", name=name)

sys.meta_path.insert(0, Missing)
from scaldloaf.http import create_app
create_app()
"""


def test_the_service_starts_with_only_what_it_declares():
    pinned = {canonicalize_name(Requirement(text).name) for text in pins("deploy/requirements.txt")}
    others = {
        module
        for module, bringers in packages_distributions().items()
        if not pinned & set(map(canonicalize_name, bringers))
    }
    assert {"numpy", "pytest", "requests"} <= others and not {"flask", "pint"} & others
    done = subprocess.run(
        [sys.executable, "-c", STARTING, *others],
        cwd=ROOT,
        env={"PYTHONPATH": "api"},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr


def test_the_renderer_of_docs_comes_with_its_notices(client):
    bundle = swagger_ui.bundled()
    # The list was read from this version; another needs another look.
    assert bundle["version"] == (RENDERER / "VERSION").read_text().strip().removeprefix("v")
    reply = client.get("/docs/notices.txt")
    assert reply.status_code == 200 and reply.mimetype == "text/plain"
    said = reply.text
    for part in (bundle, *bundle["parts"]):
        assert f"{part['name']}" in said and all(f"(c) {holder}\n" in said for holder in part["copyright"])
        assert swagger_ui.licence_text(part["licence"]) in said
    assert "TERMS AND CONDITIONS FOR USE, REPRODUCTION, AND DISTRIBUTION" in said
    assert 'href="docs/notices.txt"' in client.get("/docs").text
