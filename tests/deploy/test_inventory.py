"""deploy/notices and deploy/sbom: every package of an installation, its licence, and what is inside it."""

import importlib
import json
import re
import subprocess
import sys
from email.message import Message
from importlib.metadata import Distribution, version
from types import SimpleNamespace

import pytest
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
from packaging.requirements import Requirement

from running import ROOT, environment


@pytest.fixture(scope="module")
def inventory():
    sys.path.insert(0, str(ROOT / "deploy"))
    try:
        return importlib.import_module("inventory")
    finally:
        sys.path.remove(str(ROOT / "deploy"))


def written(*arguments) -> bytes:
    done = subprocess.run(
        [sys.executable, ROOT / "deploy" / "inventory.py", *arguments], capture_output=True, env=environment()
    )
    assert (done.returncode, done.stderr) == (0, b"")
    return done.stdout


@pytest.fixture(scope="module")
def bill():
    return json.loads(written("sbom"))


def here() -> dict[str, set[str]]:
    """The pins for this Python -> their hashes, read in another way than the command reads them."""
    text = (ROOT / "deploy/requirements.txt").read_text("utf-8")
    rows = re.findall(r"^(\S+)==(\S+)( ; .*?)? \\\n((?: +--hash=\S+(?: \\)?\n)+)", text, re.MULTILINE)
    assert len(rows) == text.count("==")
    return {
        f"pkg:pypi/{name}@{number}": set(re.findall(r"sha256:(\w+)", hashes))
        for name, number, marker, hashes in rows
        if not marker or Requirement(f"{name}{marker}").marker.evaluate()
    }


def test_the_bill_of_materials_is_valid_and_has_every_pin_with_its_hashes(bill):
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(json.dumps(bill)) is None
    wrong = {**bill, "components": [{**bill["components"][0], "type": "bread"}]}
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(json.dumps(wrong)) is not None
    listed = {
        each["purl"]: {row["content"] for row in each["externalReferences"][0]["hashes"]}
        for each in bill["components"]
    }
    assert listed == here()
    assert [each["version"] for each in bill["components"]] == [
        version(each["name"]) for each in bill["components"]
    ]


def test_everything_in_it_is_reached_from_the_application(bill):
    needs = {row["ref"]: row["dependsOn"] for row in bill["dependencies"]}
    reached, rest = set(), [bill["metadata"]["component"]["bom-ref"]]
    while rest:
        if (each := rest.pop()) not in reached:
            reached.add(each)
            rest += needs[each]
    assert reached == set(needs) and len(reached) == len(bill["components"]) + 1


def test_it_lists_what_is_inside_other_packages(bill):
    inside = {
        each["name"]: {part["name"] for part in each["components"]}
        for each in bill["components"]
        if "components" in each
    }
    assert {"jsonschema-rs", "orjson", "flask-swagger-ui"} <= set(inside)
    assert "fancy-regex" in inside["jsonschema-rs"] and inside["flask-swagger-ui"] == {"swagger-ui-dist"}


def test_the_same_installation_gives_the_same_bytes(tmp_path, bill):
    written("sbom", tmp_path / "sbom.json")
    assert json.loads((tmp_path / "sbom.json").read_text("utf-8")) == bill


def test_the_notices_have_every_package_with_the_text_of_its_licence(inventory):
    said = written("notices").decode()
    for package in inventory.packages():
        _, mark, notice = said.partition(
            f"\n{package.name} {package.version}\nLicence: {package.used_under}\n"
        )
        assert mark, package.name
        notice = notice.partition(f"\n\n{'=' * 80}\n")[0]
        assert re.search(r"copyright|\(c\)", notice, re.IGNORECASE), package.name
        plain = " ".join(notice.split())
        for licence in package.used_under.split(" AND "):
            assert inventory.SAYS[licence] in plain, (package.name, licence)
    # What may only be changed openly is used as it comes, and its source is named.
    assert re.search(r"\norjson \S+\nLicence: MPL-2.0 AND MIT\nOffered under: .*\nSource: http", said)
    assert "DOMPurify (Apache-2.0)" in said and "swagger-ui-dist" in said


class Installed(Distribution):
    """A package that is not here, by its metadata and its files."""

    def __init__(self, files: dict[str, str], **about: str):
        self._files, self._about = files, Message()
        for name, value in {"Name": "oats", "Version": "1.0", **about}.items():
            self._about[name.replace("_", "-")] = value

    @property
    def metadata(self):
        return self._about

    @property
    def version(self):
        return self._about["Version"]

    @property
    def files(self):
        names = [f"oats-1.0.dist-info/{name}" for name in self._files]
        return [
            SimpleNamespace(
                name=name.rpartition("/")[2],
                suffix="",
                parts=tuple(name.split("/")),
                read_text=lambda _, text=text: text,
            )
            for name, text in zip(names, self._files.values(), strict=True)
        ]

    def read_text(self, filename):
        return None

    def locate_file(self, path):
        return path


@pytest.mark.parametrize(
    "about, words",
    [
        (
            {"License_Expression": "GPL-3.0-only"},
            r"not accepted by \S+: oats \(GPL-3.0-only\)",
        ),
        ({"License_Expression": "MIT OR GPL-3.0-only"}, "not accepted"),  # nobody has chosen
        ({"License": "see the website"}, "states no licence that is known here"),
        ({}, "states no licence"),
    ],
)
def test_an_unclear_licence_is_an_error(inventory, about, words):
    package = inventory.Package(Requirement("oats==1.0"), (), frozenset(), Installed({}, **about))
    with pytest.raises(inventory.Unclear, match=words):
        inventory.check([package])


def test_a_choice_is_made_again_when_the_offer_changes(inventory):
    package = inventory.Package(
        Requirement("orjson==1.0"), (), frozenset(), Installed({}, License_Expression="MIT")
    )
    with pytest.raises(inventory.Unclear, match="is now under MIT: choose again"):
        inventory.check([package])


def test_a_package_without_a_licence_file_gets_the_plain_text_and_its_author(inventory):
    about = {"License": "MIT", "Author_email": "A. Baker <baker@bakery.example>"}
    package = inventory.Package(Requirement("oats==1.0"), (), frozenset(), Installed({}, **about))
    said = inventory.all_notices([package])
    assert "Copyright (c) A. Baker\n\nPermission is hereby granted" in said
    nameless = inventory.Package(Requirement("oats==1.0"), (), frozenset(), Installed({}, License="MIT"))
    with pytest.raises(inventory.Unclear, match="neither licence file nor author"):
        inventory.all_notices([nameless])


def test_pins_that_are_not_installed_are_an_error(inventory, tmp_path):
    pins = tmp_path / "requirements.txt"
    pins.write_text(
        "oats==1.0 \\\n    --hash=sha256:00\nflask==0.1 \\\n    --hash=sha256:00\n    # via oats\n"
    )
    with pytest.raises(
        inventory.Unclear, match=r"oats is not installed; flask \S+ is installed, not flask==0.1"
    ):
        inventory.packages(pins)
