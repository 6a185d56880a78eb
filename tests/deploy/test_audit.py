"""deploy/audit: its findings, its reports of missing answers, and its exit status."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

import tools
from package_index import answering, index_of, pin
from running import ROOT, environment

NOWHERE = "http://127.0.0.1:9"
# Prints what pip-audit would: each pin of the file it is given with the faults its service knows, in ANSWERS.
STAND_IN = """#!{python}
import json, os, sys
answers = json.loads(os.environ["ANSWERS"])
if answers is None:
    sys.exit("requests.exceptions.ConnectionError: HTTPSConnectionPool: no answer")
listed = [line.split("==") for line in open(sys.argv[sys.argv.index("--requirement") + 1]).read().split()]
assert len(dict(listed)) == len(listed), "pip-audit takes a package once"
def entry(name, version):
    vulns = answers.get(f"{{name}}=={{version}}")
    return {{"name": name, "version": version, "vulns": vulns}} if vulns is not None else {{
        "name": name, "skip_reason": "not found"}}
print(json.dumps({{"dependencies": [entry(*pin) for pin in listed], "fixes": []}}))
"""


@pytest.fixture
def audit(tmp_path):
    """audit(*pins, answers, index): the finished command. answers: of the advisory service; None: none."""
    program = tmp_path / "pip-audit"
    program.write_text(STAND_IN.format(python=sys.executable))
    program.chmod(0o755)

    def run(
        *pins: str, answers: dict | None = None, index: str = NOWHERE, file: Path | None = None, **variables
    ):
        if file is None:
            file = tmp_path / "requirements.txt"
            file.write_text("".join(pins))
        return subprocess.run(
            [sys.executable, ROOT / "deploy" / "audit.py", file],
            capture_output=True,
            text=True,
            timeout=120,
            env=environment(
                PIP_AUDIT=str(program),
                ANSWERS=json.dumps(answers),
                PIP_INDEX_URL=f"{index}/simple/",
                PIP_CONFIG_FILE="/dev/null",
                PIP_FIND_LINKS="",
                PIP_EXTRA_INDEX_URL="",
                PIP_RETRIES="0",
                no_proxy="127.0.0.1",
                **variables,
            ),
        )

    return run


GOOD = [("jinja2", "99.0", False), ("oats", "1.0", False), ("oats", "2.0", False)]


def test_nothing_found(audit):
    with answering(index_of(GOOD)) as (index, _):
        done = audit(
            pin("jinja2", "99.0"),
            pin("oats", "1.0"),
            index=index,
            answers={"jinja2==99.0": [], "oats==1.0": []},
        )
    assert (done.returncode, done.stderr) == (0, "")
    assert "none in 2 pins\n" in done.stdout and "withdrawn from the index: none in 2 pins" in done.stdout
    assert "newer releases, pinned in brackets: oats 2.0 (1.0)" in done.stdout
    assert done.stdout.endswith("All questions answered, nothing found.\n")


def test_pins_without_an_answer_are_not_cleared(audit):
    with answering(index_of(GOOD)) as (index, _):
        done = audit(pin("jinja2", "99.0"), index=index)
        partly = audit(pin("jinja2", "99.0"), pin("oats", "1.0"), index=index, answers={"oats==1.0": []})
    assert done.returncode == partly.returncode == 2
    assert (
        "known to PyPI or OSV: NOT ASKED: no answer for 1 of 1 pins; pypi: ConnectionError; osv: "
        "ConnectionError\n" in done.stdout
    )
    assert "no answer for 1 of 2 pins" in partly.stdout
    assert "Nothing found, but 1 of the questions had no answer." in done.stdout
    alone = audit(pin("jinja2", "99.0"), answers={"jinja2==99.0": []})
    assert alone.returncode == 2 and "withdrawn from the index: NOT ASKED" in alone.stdout


def test_a_known_fault_is_found_without_any_service(audit):
    done = audit(pin("jinja2", "3.1.5"), pin("oats", "1.0"))
    assert done.returncode == 1 and "jinja2 3.1.5: CVE-2025-27516, fixed in 3.1.6" in done.stdout
    assert "CVE-2024-56326" not in done.stdout  # fixed in that very version


def test_a_service_is_asked_twice_about_a_package_pinned_for_two_pythons(audit):
    fault = {"id": "PYSEC-0000-1", "fix_versions": ["1.1"]}
    with answering(index_of(GOOD)) as (index, _):
        done = audit(
            pin("oats", "1.0", " ; python_full_version < '3.4'"),
            pin("oats", "2.0", " ; python_full_version >= '3.4'"),
            index=index,
            answers={"oats==1.0": [fault], "oats==2.0": []},
        )
        found = audit(pin("oats", "1.0"), pin("jinja2", "99.0"), index=index, answers={"oats==1.0": [fault]})
    assert done.returncode == 1 and "oats 1.0: PYSEC-0000-1, fixed in 1.1" in done.stdout
    # What was found counts where another pin had no answer.
    assert found.returncode == 1 and "NOT ASKED: no answer for 1 of 2 pins" in found.stdout


def test_a_withdrawn_pin_is_found(audit):
    with answering(index_of([("oats", "1.0", True), ("oats", "2.0", False)])) as (index, _):
        done = audit(pin("oats", "1.0"), index=index, answers={"oats==1.0": []})
    assert done.returncode == 1 and "oats 1.0: withdrawn from the index" in done.stdout


def test_bundled_scripts_are_checked(audit):
    inside = "known to deploy/advisories.toml, bundled in flask-swagger-ui"
    done = audit(pin("flask-swagger-ui", "99.0"), answers={"flask-swagger-ui==99.0": []})
    assert f"{inside}: none in" in done.stdout


@pytest.mark.parametrize(
    "version, answer, status, words",
    [
        ("4.3.2", {}, 0, "All questions answered, nothing found."),
        ("4.0.0", {}, 1, "js-yaml 4.0.0: CVE-2025-64718, fixed in 4.1.1"),
        (
            "4.3.2",
            {
                "js-yaml": [
                    {
                        "id": 1,
                        "url": "u",
                        "title": "slow on long lines",
                        "severity": "high",
                        "vulnerable_versions": "<5",
                        "cwe": [],
                        "cvss": {"score": 0, "vectorString": None},
                    }
                ]
            },
            1,
            "js-yaml: high, slow on long lines",
        ),
        ("4.3.2", None, 2, "known to npm's service: NOT ASKED"),
    ],
)
def test_packages_from_npm(audit, tmp_path, version, answer, status, words):
    lock = tmp_path / "package-lock.json"
    root = {"name": "x", "version": "1.0.0", "dependencies": {"js-yaml": version}}
    (tmp_path / "package.json").write_text(json.dumps(root))
    answers = (
        {}
        if answer is None
        else {"/-/npm/v1/security/advisories/bulk": ("application/json", json.dumps(answer).encode())}
    )
    with answering(answers) as (registry, asked):
        lock.write_text(
            json.dumps(
                {
                    "name": "x",
                    "version": "1.0.0",
                    "lockfileVersion": 3,
                    "requires": True,
                    "packages": {
                        "": root,
                        "node_modules/js-yaml": {"version": version, "resolved": f"{registry}/js-yaml.tgz"},
                    },
                }
            )
        )
        done = audit(
            file=lock,
            npm_config_registry=registry,
            npm_config_cache=str(tmp_path / "cache"),
            npm_config_fetch_retries="0",
            PATH=f"{Path(tools.find('npm')).parent}:{Path(tools.find('node')).parent}:/usr/bin:/bin",
        )
    assert done.returncode == status and words in done.stdout, done.stdout + done.stderr
    assert any(json.loads(received) == {"js-yaml": [version]} for _, received in asked if received)


def test_the_pins_have_no_known_fault():
    sys.path.insert(0, str(ROOT / "deploy"))
    try:
        import audit
    finally:
        sys.path.remove(str(ROOT / "deploy"))
    seen = 0
    for file in map(ROOT.joinpath, audit.FILES):
        ecosystem, pins = (
            ("npm", audit.locked_in(file))
            if file.suffix == ".json"
            else ("pypi", [(row.name, audit.version_of(row)) for row in audit.pins_of(file)])
        )
        found, through = audit.known_to_us(ecosystem, pins)
        assert found == []
        seen += int(through.split()[0])
    assert audit.known_to_us("npm", audit.bundled())[0] == [] and seen > 50
