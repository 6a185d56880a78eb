"""What others wrote and an installation uses; run by deploy/notices and deploy/sbom.

  notices   the licences of all packages with their texts, as one text file
  sbom      the same as a bill of materials, in CycloneDX 1.6 (JSON)

Both read deploy/requirements.txt and the packages of the Python that runs this, and need no network. A
package that is not installed as pinned, or whose licence is not one that deploy/licences.toml accepts, is
named, and ends the command with status 1.
"""

import argparse
import hashlib
import json
import re
import sys
import tomllib
import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path
from typing import Any

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
PINS = ROOT / "deploy" / "requirements.txt"
RULES = tomllib.loads((ROOT / "deploy" / "licences.toml").read_text("utf-8"))
sys.path.insert(0, str(ROOT / "api"))

from scaldloaf import __version__  # noqa: E402
from scaldloaf.http.swagger_ui import bundled, licence_text, notices  # noqa: E402

LICENCE_FILES = re.compile(r"(icon_)?licen[cs]e|copying|notice|authors", re.IGNORECASE)
FAMILIES = (".APACHE", ".BSD", ".MIT", ".0")  # LICENSE-MPL-2.0
# What only the text of a licence says.
SAYS = {
    "Apache-2.0": "Apache License",
    "BSD-2-Clause": "Redistribution and use in source and binary forms",
    "BSD-3-Clause": "endorse or promote products derived",
    "ISC": "Permission to use, copy, modify, and",
    "MIT": "Permission is hereby granted, free of charge",
    "MPL-2.0": "Mozilla Public License Version 2.0",
    "PSF-2.0": "PYTHON SOFTWARE FOUNDATION LICENSE VERSION 2",
}
RULE = "=" * 80


class Unclear(Exception):
    """Something that must be known is not."""


@dataclass(frozen=True)
class Package:
    """A pinned package that is installed here."""

    pin: Requirement
    hashes: tuple[str, ...]  # of all archives of this release that may be installed
    asked_for_by: frozenset[str]  # names of packages, or of this project
    installed: Distribution

    @property
    def name(self) -> str:
        return canonicalize_name(self.pin.name)

    @property
    def version(self) -> str:
        return self.installed.version

    @property
    def url(self) -> str:
        """Its purl: a package URL, which names no host."""
        return f"pkg:pypi/{self.name}@{self.version}"

    @cached_property
    def texts(self) -> list[str]:
        """What it brings on licences, each text once: first what its metadata folder has."""
        files = sorted(
            self.installed.files or (), key=lambda file: (".dist-info" not in str(file), str(file))
        )
        return list(
            dict.fromkeys(
                file.read_text("utf-8").strip("\n")
                for file in files
                if LICENCE_FILES.match(file.name) and file.suffix in ("", ".txt", ".md", ".rst", *FAMILIES)
            )
        )

    @property
    def stated(self) -> str:
        """Its licence as an SPDX expression, as stated by its author."""
        about = self.installed.metadata
        if expression := about.get("License-Expression"):
            return expression
        words = {
            text.rpartition(":: ")[2]
            for text in about.get_all("Classifier") or ()
            if text.startswith("License ::")
        } or {about.get("License", "")}
        if len(words) == 1:
            (word,) = words
            if word == "BSD License":  # a family: the text tells which
                word = "BSD-3-Clause" if SAYS["BSD-3-Clause"] in self._plain() else "BSD-2-Clause"
            word = RULES["names"].get(word, word)
            if word in RULES["accepted"]:
                return word
        raise Unclear(f"{self.name} {self.version} states no licence that is known here: {sorted(words)}")

    def _plain(self) -> str:
        return " ".join(" ".join(self.texts).split())

    @property
    def texts_missing(self) -> list[str]:
        """The licences that we use it under and whose text it does not bring."""
        plain = self._plain()
        return [each for each in self.used_under.split(" AND ") if SAYS[each] not in plain]

    @property
    def used_under(self) -> str:
        """The licence that we use it under: as stated, or what we chose where it gives a choice."""
        choice = RULES["choices"].get(self.name)
        if choice is None:
            return self.stated
        if choice["stated"] != self.stated:
            raise Unclear(f"{self.name} {self.version} is now under {self.stated}: choose again")
        return choice["chosen"]

    @property
    def homes(self) -> dict[str, str]:
        """Labels of the addresses in its metadata -> addresses."""
        rows = [row.partition(", ") for row in self.installed.metadata.get_all("Project-URL") or ()]
        found = {label.lower(): address for label, _, address in rows}
        if home := self.installed.metadata.get("Home-page"):
            found.setdefault("homepage", home)
        return found

    @property
    def source(self) -> str | None:
        """Where its source is."""
        labels = ("source", "source code", "repository", "code", "github", "homepage", "home")
        return next((self.homes[label] for label in labels if label in self.homes), None)

    @cached_property
    def compiled_in(self) -> list[dict[str, Any]]:
        """Components of its compiled module, as the bill of materials in its own wheel lists them."""
        return [
            component
            for file in sorted(self.installed.files or (), key=str)
            if file.parts[0].endswith(".dist-info") and "sboms" in file.parts and file.suffix == ".json"
            for component in json.loads(file.read_text("utf-8")).get("components", ())
            if component.get("scope") != "excluded"  # used to build it only
        ]


def pinned(file: Path) -> Iterator[tuple[Requirement, tuple[str, ...], frozenset[str]]]:
    """The requirements of a file written by deploy/pin, each with its hashes and who asked for it."""
    for block in re.split(r"^(?=[^\s#])", file.read_text("utf-8"), flags=re.MULTILINE)[1:]:
        asked_for_by = re.findall(r"^ +# +(?:via +)?([\w.-]+)(?: \(|$)", block, re.MULTILINE)
        yield (
            Requirement(block.partition("\\\n")[0].strip()),
            tuple(re.findall(r"--hash=sha256:([0-9a-f]{64})", block)),
            frozenset(asked_for_by) - {"via"},
        )


def packages(file: Path = PINS) -> list[Package]:
    """The packages of ``file`` that this Python needs, in its order."""
    found, wrong = [], []
    for pin, hashes, asked_for_by in pinned(file):
        if pin.marker is not None and not pin.marker.evaluate():
            continue  # for another Python
        try:
            package = Package(pin, hashes, asked_for_by, distribution(pin.name))
        except PackageNotFoundError:
            wrong.append(f"{pin.name} is not installed")
            continue
        if not pin.specifier.contains(package.version):
            wrong.append(f"{pin.name} {package.version} is installed, not {pin}")
        found.append(package)
    if wrong:
        raise Unclear("; ".join(wrong))
    return found


def _is_accepted(expression: str) -> bool:
    if " OR " in expression:
        return False  # a choice that was not made
    return set(re.split(r" AND |[()]", expression)) - {""} <= {*RULES["accepted"], *RULES["as_it_comes"]}


def check(found: Iterable[Package]) -> None:
    if refused := [f"{each.name} ({each.used_under})" for each in found if not _is_accepted(each.used_under)]:
        raise Unclear("not accepted by deploy/licences.toml: " + ", ".join(refused))


def all_notices(found: list[Package]) -> str:
    """The licences of all packages with their texts."""
    told = [
        f"Scaldloaf {__version__} uses the following software of others, unchanged. Where software offers a\n"
        "choice of licences, the one that we use it under is named. Python and the system below it are not\n"
        "listed here. They bring their own licences; in the image: /usr/local/lib/python3*/LICENSE.txt and\n"
        "/usr/share/doc/*/copyright.",
        "\n".join(f"{each.name} {each.version} ({each.used_under})" for each in found),
    ]
    told += [_notice(each) for each in found]
    told.append(f"{RULE}\nThe renderer of /docs, inside flask-swagger-ui\n{RULE}\n\n{notices().rstrip()}")
    return "\n\n".join(told) + "\n"


def _notice(package: Package) -> str:
    lines = [RULE, f"{package.name} {package.version}", f"Licence: {package.used_under}"]
    if package.used_under != package.stated:
        lines.append(f"Offered under: {package.stated}")
    if package.source:
        lines.append(f"Source: {package.source}")
    if inside := package.compiled_in:
        lines.append("Compiled into it, according to its wheel:")
        lines += sorted(
            f"  {part['name']} {part.get('version', '')} ({_expression(part)})"
            + (f", {part['author']}" if part.get("author") else "")
            for part in inside
        )
    lines.append(RULE)
    told = ["\n".join(lines), *package.texts]
    if not package.texts:
        told.append(f"Copyright (c) {_author(package)}")
    told += [licence_text(each) for each in package.texts_missing]
    return "\n\n".join(told)


def _author(package: Package) -> str:
    about = package.installed.metadata
    author = about.get("Author") or re.sub(r"\s*<[^>]*>", "", about.get("Author-email") or "")
    if not author:
        raise Unclear(f"{package.name} {package.version} brings neither licence file nor author")
    return author


def _expression(component: dict[str, Any]) -> str:
    rows = component.get("licenses", ())
    return (
        " AND ".join(
            row.get("expression") or row["license"].get("id") or row["license"]["name"] for row in rows
        )
        or "no licence stated"
    )


def bill(found: list[Package]) -> dict[str, Any]:
    """The bill of materials. The same packages give the same bytes: it has no time and no random number."""
    us = f"pkg:generic/scaldloaf@{__version__}"
    content: dict[str, Any] = {
        "metadata": {
            "component": {
                "type": "application",
                "bom-ref": us,
                "name": "scaldloaf",
                "version": __version__,
                "purl": us,
            },
            "lifecycles": [{"phase": "post-build"}],
            "properties": [
                {"name": "scaldloaf:python", "value": ".".join(map(str, sys.version_info[:3]))},
                {"name": "scaldloaf:platform", "value": sys.platform},
            ],
        },
        "components": [_component(each) for each in found],
        "dependencies": [
            {"ref": url, "dependsOn": [each.url for each in found if name in each.asked_for_by]}
            for name, url in [("scaldloaf", us), *((each.name, each.url) for each in found)]
        ],
    }
    digest = hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()
    return {
        "$schema": "http://cyclonedx.org/schema/bom-1.6.schema.json",
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "serialNumber": f"urn:uuid:{uuid.UUID(digest[:32], version=4)}",
        "version": 1,
        **content,
    }


def _component(package: Package) -> dict[str, Any]:
    component = {
        "type": "library",
        "bom-ref": package.url,
        "name": package.name,
        "version": package.version,
        "purl": package.url,
        "licenses": [{"expression": package.stated, "acknowledgement": "declared"}],
        "externalReferences": [
            {
                "type": "distribution",
                "url": package.url,
                "comment": "one of these archives is installed, by pip --require-hashes",
                "hashes": [{"alg": "SHA-256", "content": digest} for digest in package.hashes],
            }
        ],
    }
    if package.used_under != package.stated:
        component["properties"] = [{"name": "scaldloaf:used-under", "value": package.used_under}]
    if package.source:
        component["externalReferences"].append({"type": "vcs", "url": package.source})
    inside = [_part(package, part) for part in package.compiled_in]
    if package.name == "flask-swagger-ui":
        inside += list(_renderer(package))
    if inside:
        component["components"] = inside
    return component


def _part(package: Package, part: dict[str, Any]) -> dict[str, Any]:
    kept = ("type", "name", "version", "purl", "licenses", "hashes", "author")
    return {
        **{name: part[name] for name in kept if name in part},
        "bom-ref": f"{package.url}#{part['name']}@{part.get('version', '')}",
    }


def _renderer(package: Package) -> Iterator[dict[str, Any]]:
    bundle = bundled()
    yield {
        "type": "library",
        "bom-ref": f"{package.url}#{bundle['name']}",
        "name": bundle["name"],
        "version": bundle["version"],
        "purl": f"pkg:npm/{bundle['name']}@{bundle['version']}",
        "licenses": [{"license": {"id": bundle["licence"]}}],
        "components": [
            {
                "type": "library",
                "bom-ref": f"{package.url}#{name}",
                "name": name,
                "purl": f"pkg:npm/{name.replace('@', '%40')}",
            }
            for name in bundle["inside"]["packages"]
        ],
    }


def main() -> int:
    parser = argparse.ArgumentParser(
        prog="deploy/inventory.py", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("what", choices=["notices", "sbom"])
    parser.add_argument("file", nargs="?", type=Path, help="where to write; default: standard output")
    options = parser.parse_args()
    try:
        found = packages()
        check(found)
        text = (
            all_notices(found)
            if options.what == "notices"
            else json.dumps(bill(found), indent=1, ensure_ascii=False) + "\n"
        )
    except Unclear as why:
        print(f"deploy/{options.what}: {why}.", file=sys.stderr)
        return 1
    if options.file:
        options.file.write_text(text, "utf-8")
    else:
        sys.stdout.write(text)
    return 0


if __name__ == "__main__":
    sys.exit(main())
