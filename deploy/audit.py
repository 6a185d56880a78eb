"""Check every pinned package for known faults; run by deploy/audit.

It asks the advisory services (pip-audit, npm audit), deploy/advisories.toml and the package index, which
knows the withdrawn releases. It also lists newer releases, for information only. Exit status:

  0  all questions answered, nothing found
  1  a pin has a known fault or was withdrawn
  2  nothing found, but a question had no answer, so the pins are not cleared

pip-audit is installed from the package index into a temporary folder, unless PIP_AUDIT names its program.
"""

import argparse
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
import venv
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).resolve().parent.parent
FILES = ("deploy/requirements.txt", "tests/requirements.txt", "tests/clients/package-lock.json")
ADVISORIES = ROOT / "deploy" / "advisories.toml"
# Scripts that flask-swagger-ui (served at /docs) bundles in one file, and how to find their versions there.
BUNDLE = "flask_swagger_ui/dist/swagger-ui-bundle.js"
BUNDLED = {"swagger-ui-dist": r'PACKAGE_VERSION:"([0-9.]+)"', "dompurify": r'DOMPurify\.version="([0-9.]+)"'}
WAIT_S = 600


class NotAsked(Exception):
    """A question without a complete answer: the reason, and what was found anyway."""

    def __init__(self, why: str, found: Sequence[str] = ()):
        super().__init__(why)
        self.found = list(found)


@dataclass
class Findings:
    found: list[str] = field(default_factory=list)
    not_asked: list[str] = field(default_factory=list)

    def report(self, question: str, ask) -> None:
        """Ask a question and print the result. ``ask`` returns the findings and what it searched."""
        try:
            found, searched = ask()
            print(f"  {question}: {len(found) or 'none'} in {searched}")
        except NotAsked as why:
            self.not_asked.append(question)
            found = why.found
            print(f"  {question}: NOT ASKED: {why}")
        self.found += found
        for line in found:
            print(f"    {line}", flush=True)


def run(*command, **options) -> subprocess.CompletedProcess:
    try:
        return subprocess.run(
            command, capture_output=True, text=True, timeout=WAIT_S, stdin=subprocess.DEVNULL, **options
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        raise NotAsked(f"{Path(command[0]).name}: {type(error).__name__}") from error


def last_words(done: subprocess.CompletedProcess) -> str:
    """Why a program failed: the type of its error, or its last line of output."""
    lines = [line for line in (done.stderr or done.stdout).splitlines() if line.strip()] or [
        f"status {done.returncode}"
    ]
    kind = re.match(r"(?:\w+\.)*(\w+(?:Error|Exception|Timeout)): ", lines[-1])
    return kind[1] if kind else lines[-1][:200]


def pins_of(file: Path) -> list[Requirement]:
    """The requirements in a file written by uv or pip-tools."""
    lines = re.sub(r"^\s*#.*\n", "", file.read_text("utf-8"), flags=re.M).replace("\\\n", " ").splitlines()
    pins = [Requirement(line.partition(" --hash=")[0]) for line in lines if line.strip()]
    for pin in pins:
        if [part.operator for part in pin.specifier] != ["=="]:
            sys.exit(f"{file}: {pin} is not pinned to one version.")
    return pins


def version_of(pin: Requirement) -> str:
    return next(iter(pin.specifier)).version


def locked_in(file: Path) -> list[tuple[str, str]]:
    """Name and version of each package in a package-lock.json."""
    packages = json.loads(file.read_text("utf-8"))["packages"]
    return [
        (path.rpartition("node_modules/")[2], entry["version"]) for path, entry in packages.items() if path
    ]


def known_to_us(ecosystem: str, pins: list[tuple[str, str]]) -> tuple[list[str], str]:
    known = tomllib.loads(ADVISORIES.read_text("utf-8"))
    rows = [
        (name, version, fault, fixed)
        for name, version in pins
        for fault, fixed in known[ecosystem].get(name.lower(), {}).items()
    ]
    return (
        [
            f"{name} {version}: {fault}, fixed in {fixed}"
            for name, version, fault, fixed in rows
            if Version(version) < Version(fixed)
        ],
        f"{len(rows)} advisories looked up on {known['looked_up']}",
    )


class Auditors:
    """pip-audit, in an environment created on first use, and this environment's own pip."""

    def __init__(self, folder: Path, osv_url: str | None):
        self._folder, self._osv_url = folder, osv_url
        self._failed: NotAsked | None = None

    def _program(self) -> Path:
        if named := os.environ.get("PIP_AUDIT"):
            return Path(named)
        program = self._folder / "bin" / "pip-audit"
        if self._failed is None and not program.exists():
            venv.create(self._folder, with_pip=True)
            done = run(
                self._folder / "bin" / "python",
                "-m",
                "pip",
                "install",
                "--quiet",
                "--disable-pip-version-check",
                "pip-audit>=2.9,<3",
            )
            if done.returncode != 0:
                self._failed = NotAsked(f"pip-audit could not be installed: {last_words(done)}")
        if self._failed is not None:
            raise self._failed
        return program

    def _answers(self, service: list[str], pins: list[Requirement]) -> dict[Requirement, list[str]]:
        """The pins that a service knows, each with its known faults."""
        program = self._program()
        by_pin = {(pin.name.lower(), version_of(pin)): pin for pin in pins}
        answers, rest = {}, list(by_pin.values())
        while rest:  # a package pinned twice, for two ranges of Python, takes two rounds
            this_round = list({pin.name: pin for pin in reversed(rest)}.values())
            rest = [pin for pin in rest if pin not in this_round]
            listed = self._folder / "pins.txt"
            listed.write_text("".join(f"{pin.name}=={version_of(pin)}\n" for pin in this_round))
            done = run(
                program,
                "--progress-spinner",
                "off",
                "--format",
                "json",
                "--disable-pip",
                "--no-deps",
                "--requirement",
                listed,
                *service,
            )
            try:
                listed_faults = json.loads(done.stdout)["dependencies"]
            except (ValueError, KeyError, TypeError):
                raise NotAsked(last_words(done)) from None
            for entry in listed_faults:
                if "vulns" in entry:
                    pin = by_pin[entry["name"].lower(), entry["version"]]
                    answers[pin] = [
                        f"{pin.name} {entry['version']}: {fault['id']}"
                        + (f", fixed in {', '.join(fault['fix_versions'])}" if fault["fix_versions"] else "")
                        for fault in entry["vulns"]
                    ]
        return answers

    def known_to_services(self, pins: list[Requirement]) -> tuple[list[str], str]:
        """Faults known to PyPI, or to OSV where PyPI does not answer; also of pins for other Pythons."""
        services = (
            [["--vulnerability-service", "osv", "--osv-url", self._osv_url]]
            if self._osv_url
            else [["--vulnerability-service", "pypi"], ["--vulnerability-service", "osv"]]
        )
        answers: dict[Requirement, list[str]] = {}
        problems = []
        for service in services:
            if rest := [pin for pin in pins if pin not in answers]:
                try:
                    answers |= self._answers(service, rest)
                except NotAsked as why:
                    problems.append(f"{service[1]}: {why}")
        found = [line for lines in answers.values() for line in lines]
        if silent := [pin for pin in pins if pin not in answers]:
            problems.insert(0, f"no answer for {len(silent)} of {len(pins)} pins")
            raise NotAsked("; ".join(problems), found)
        return found, f"{len(answers)} pins"

    def _seen_in_index(self, *wanted) -> tuple[list[dict], str]:
        """What pip would install, and its warnings. pip installs a yanked release only if it is pinned."""
        done = run(
            sys.executable,
            "-m",
            "pip",
            "install",
            "--dry-run",
            "--ignore-installed",
            "--no-deps",
            "--quiet",
            "--no-color",
            "--disable-pip-version-check",
            "--report",
            "-",
            *wanted,
        )
        if done.returncode != 0:
            raise NotAsked(last_words(done))
        return [entry["metadata"] for entry in json.loads(done.stdout)["install"]], done.stderr

    def withdrawn(self, file: Path) -> tuple[list[str], str]:
        seen, warned = self._seen_in_index("--requirement", file)
        found = re.findall(r"is a yanked version: '([^']+)' candidate \(version (\S+)", warned)
        return [
            f"{name} {version}: withdrawn from the index" for name, version in found
        ], f"{len(seen)} pins for this Python"

    def report_newer(self, pins: list[Requirement]) -> None:
        here = {pin.name: version_of(pin) for pin in pins if pin.marker is None or pin.marker.evaluate()}
        try:
            seen = {canonicalize_name(row["name"]): row["version"] for row in self._seen_in_index(*here)[0]}
        except NotAsked as why:
            print(f"  newer releases: NOT ASKED: {why}")
            return
        newer = [
            f"{name} {seen[name]} ({version})"
            for name, version in here.items()
            if name in seen and Version(seen[name]) > Version(version)
        ]
        print(f"  newer releases, pinned in brackets: {', '.join(newer) or 'none'}", flush=True)


def bundled() -> list[tuple[str, str]]:
    """Name and version of the scripts inside the installed flask-swagger-ui."""
    for place in map(Path, sys.path):
        if (place / BUNDLE).is_file():
            text = (place / BUNDLE).read_text("utf-8")
            break
    else:
        raise NotAsked("flask-swagger-ui is not installed")
    found = {name: re.search(pattern, text) for name, pattern in BUNDLED.items()}
    if missing := [name for name, match in found.items() if match is None]:
        raise NotAsked(f"{' and '.join(missing)} could not be found in it")
    return [(name, match[1]) for name, match in found.items()]


def known_to_npm(folder: Path) -> tuple[list[str], str]:
    program = shutil.which("npm")
    if program is None:
        raise NotAsked("npm is not installed")
    done = run(program, "audit", "--json", "--package-lock-only", cwd=folder)
    try:
        answer = json.loads(done.stdout)
        faulty = answer["vulnerabilities"]
    except (ValueError, KeyError, TypeError):
        raise NotAsked("npm's advisory service does not answer") from None
    return (
        [
            f"{name}: {row['severity']}, "
            + "; ".join(via if isinstance(via, str) else via["title"] for via in row["via"])
            for name, row in faulty.items()
        ],
        f"{answer['metadata']['dependencies']['total']} packages",
    )


def audit(file: Path, findings: Findings, auditors: Auditors) -> None:
    """Ask all questions about one file."""
    print(f"{file.resolve().relative_to(ROOT) if file.resolve().is_relative_to(ROOT) else file}:", flush=True)
    if file.suffix == ".json":
        findings.report("known to npm's service", lambda: known_to_npm(file.resolve().parent))
        findings.report("known to deploy/advisories.toml", lambda: known_to_us("npm", locked_in(file)))
        return
    pins = pins_of(file)
    findings.report("known to PyPI or OSV", lambda: auditors.known_to_services(pins))
    findings.report(
        "known to deploy/advisories.toml",
        lambda: known_to_us("pypi", [(pin.name, version_of(pin)) for pin in pins]),
    )
    if any(pin.name == "flask-swagger-ui" for pin in pins):
        findings.report(
            "known to deploy/advisories.toml, bundled in flask-swagger-ui",
            lambda: known_to_us("npm", bundled()),
        )
    findings.report("withdrawn from the index", lambda: auditors.withdrawn(file))
    auditors.report_newer(pins)


def main() -> int:
    parser = argparse.ArgumentParser(
        prog="deploy/audit", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument(
        "files",
        nargs="*",
        type=Path,
        default=[ROOT / file for file in FILES],
        metavar="FILE",
        help=f"pinned requirements or a package-lock.json; default: {', '.join(FILES)}",
    )
    parser.add_argument("--osv-url", help="ask only this service, which must have OSV's interface")
    options = parser.parse_args()
    findings = Findings()
    with tempfile.TemporaryDirectory() as folder:
        auditors = Auditors(Path(folder), options.osv_url)
        for file in options.files:
            audit(file, findings, auditors)
    if findings.found:
        print(f"{len(findings.found)} found.")
        return 1
    if findings.not_asked:
        print(f"Nothing found, but {len(findings.not_asked)} of the questions had no answer.")
        return 2
    print("All questions answered, nothing found.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
