"""deploy/wheels, and an installation from its folder without a package index."""

import shutil
import subprocess

import pytest

from package_index import answering, index_of, pin
from running import ROOT, environment


@pytest.fixture
def project(tmp_path):
    folder = tmp_path / "a folder with spaces"
    (folder / "deploy").mkdir(parents=True)
    for name in ("environment.sh", "environment.py", "wheels"):
        shutil.copy(ROOT / "deploy" / name, folder / "deploy")
    (folder / "deploy/requirements.txt").write_text(pin("oats", "1.0") + pin("rye", "2.0"))
    return folder


def run(*command, **variables) -> subprocess.CompletedProcess:
    settings = {"PIP_CONFIG_FILE": "/dev/null", "PIP_EXTRA_INDEX_URL": "", "PIP_RETRIES": "0"}
    return subprocess.run(
        command,
        capture_output=True,
        text=True,
        timeout=600,
        env=environment(no_proxy="127.0.0.1", **settings, **variables),
    )


def test_what_was_downloaded_is_installed_without_a_network(project, tmp_path):
    wheels = tmp_path / "wheels"
    with answering(index_of([("oats", "1.0", False), ("oats", "2.0", False), ("rye", "2.0", False)])) as (
        index,
        _,
    ):
        done = run(project / "deploy/wheels", wheels, PIP_INDEX_URL=f"{index}/simple/")
    assert done.returncode == 0 and f"2 wheels are in {wheels}." in done.stdout, done
    assert {file.name.partition("-py3")[0] for file in wheels.iterdir()} == {"oats-1.0", "rye-2.0"}

    python = project / ".venv/bin/python"
    script = 'set -eu; . "$1/deploy/environment.sh"; make_environment "$1" deploy/requirements.txt'
    offline = {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(wheels)}

    def installed_again() -> subprocess.CompletedProcess:
        run(python, "-m", "pip", "uninstall", "--yes", "oats", "rye")
        shutil.rmtree(project / ".venv/installed")
        return run("sh", "-c", script, "sh", project, **offline)

    assert installed_again().returncode == 0
    assert run(python, "-m", "pip", "show", "oats", "rye").returncode == 0

    (wheel,) = wheels.glob("oats*")
    wheel.write_bytes(wheel.read_bytes() + b"more")
    changed = installed_again()
    assert changed.returncode == 1 and "DO NOT MATCH THE HASHES" in changed.stderr


def test_it_says_how_it_is_called():
    for arguments, status in ((), 2), (("--help",), 0), (("--platform", "any"), 2):
        done = run(ROOT / "deploy/wheels", *arguments)
        assert done.returncode == status and "PIP_NO_INDEX=1 PIP_FIND_LINKS=" in done.stdout
