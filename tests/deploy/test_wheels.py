"""deploy/wheels, and an installation from its folder without a package index."""

import shutil
import subprocess
import sys

import pytest

from package_index import answering, index_of, pin
from running import ROOT, environment


@pytest.fixture
def project(tmp_path):
    """A scratch project whose environment is this one; nothing is installed into it."""
    folder = tmp_path / "a folder with spaces"
    python = folder / ".venv/bin/python"
    python.parent.mkdir(parents=True)
    python.write_text(f'#!/bin/sh\nexec "{sys.executable}" "$@"\n')
    python.chmod(0o755)
    (folder / "deploy").mkdir()
    shutil.copy(ROOT / "deploy/wheels", folder / "deploy")
    (folder / "deploy/environment.sh").write_text("make_environment() { :; }\n")
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


def test_what_was_downloaded_is_installed_without_an_index(project, tmp_path):
    wheels = tmp_path / "wheels"
    releases = [("oats", "1.0", False), ("oats", "2.0", False), ("rye", "2.0", False)]
    with answering(index_of(releases)) as (index, _):
        done = run(project / "deploy/wheels", wheels, PIP_INDEX_URL=f"{index}/simple/")
    assert done.returncode == 0 and done.stdout == f"2 wheels are in {wheels}.\n", done
    assert {file.name.partition("-py3")[0] for file in wheels.iterdir()} == {"oats-1.0", "rye-2.0"}

    def install(name: str) -> subprocess.CompletedProcess:
        return run(
            *(sys.executable, "-m", "pip", "install", "-qq", "--no-deps", "--require-hashes"),
            *("--requirement", project / "deploy/requirements.txt", "--target", tmp_path / name),
            PIP_NO_INDEX="1",
            PIP_FIND_LINKS=str(wheels),
        )

    assert install("there").returncode == 0
    assert {file.name for file in (tmp_path / "there").iterdir()} == {
        "oats-1.0.dist-info",
        "rye-2.0.dist-info",
    }
    (wheel,) = wheels.glob("oats*")
    wheel.write_bytes(wheel.read_bytes() + b"more")
    changed = install("nowhere")
    assert changed.returncode == 1 and "DO NOT MATCH THE HASHES" in changed.stderr


def test_it_says_how_it_is_called():
    for arguments, status in ((), 2), (("--help",), 0), (("--platform", "any"), 2):
        done = run(ROOT / "deploy/wheels", *arguments)
        assert done.returncode == status and "PIP_NO_INDEX=1 PIP_FIND_LINKS=" in done.stdout
