"""The scripts for setting up and starting, run as on a new machine."""

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from running import ROOT, environment

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
EXTRAS = PROJECT["optional-dependencies"]
PINS = {
    "deploy/requirements.txt": EXTRAS["serve"],
    "tests/requirements.txt": EXTRAS["serve"] + EXTRAS["test"],
}


def pinned(name: str) -> dict[str, list[tuple[Requirement, str]]]:
    """Package -> its pins (one, or one per range of Python), each with its hashes."""
    text = re.sub(r"^ *#.*\n", "", (ROOT / name).read_text("utf-8"), flags=re.MULTILINE)
    found = {}
    for entry in text.replace("\\\n", " ").splitlines():
        requirement, _, hashes = entry.partition(" --hash=")
        requirement = Requirement(requirement)
        found.setdefault(canonicalize_name(requirement.name), []).append((requirement, hashes))
    return found


GUNICORN = (sys.executable, "-m", "gunicorn", "--config", ROOT / "deploy/gunicorn.conf.py")


def run(*command, **variables) -> subprocess.CompletedProcess:
    return subprocess.run(
        command,
        capture_output=True,
        text=True,
        timeout=600,
        stdin=subprocess.DEVNULL,
        env=environment(**variables),
    )


@pytest.mark.parametrize(
    "name",
    ["deploy/serve", "deploy/pin", "deploy/notices", "deploy/sbom", "deploy/wheels", "tests/run", ".ci/run"],
)
def test_scripts_can_be_run_and_are_read_without_complaint(name):
    assert os.access(ROOT / name, os.X_OK)
    shell = "bash" if "bash" in (ROOT / name).read_text("utf-8").splitlines()[0] else "sh"
    assert run(shell, "-n", ROOT / name).returncode == 0


@pytest.mark.parametrize("name, extras", PINS.items(), ids=PINS)
def test_pins_lie_within_the_ranges_and_have_hashes(name, extras):
    pins = pinned(name)
    for range_ in map(Requirement, PROJECT["dependencies"] + extras):
        for pin, _ in pins[canonicalize_name(range_.name)]:
            (only,) = pin.specifier
            assert only.operator == "==" and range_.specifier.contains(only.version), f"{pin} is not {range_}"
    for entries in pins.values():
        for pin, hashes in entries:
            assert re.fullmatch(r"sha256:[0-9a-f]{64}( +--hash=sha256:[0-9a-f]{64})*", hashes.strip()), pin
    assert not re.search(r"://|--index|--find-links| @ ", (ROOT / name).read_text("utf-8"))


def test_what_is_served_is_what_is_tested():
    tested = pinned("tests/requirements.txt")
    for name, entries in pinned("deploy/requirements.txt").items():
        assert [str(pin) for pin, _ in entries] == [str(pin) for pin, _ in tested[name]]


def test_this_very_environment_holds_the_pins():
    from importlib.metadata import version

    for name, entries in pinned("tests/requirements.txt").items():
        here = [pin for pin, _ in entries if pin.marker is None or pin.marker.evaluate()]
        for pin in here:
            assert pin.specifier.contains(version(name)), f"{name} {version(name)} is here, not {pin}"


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT])
def test_serve_runs_from_any_folder_and_stops_with_status_0(tmp_path, how):
    serve = tmp_path / "serve"
    serve.symlink_to(ROOT / "deploy" / "serve")
    process = subprocess.Popen(
        [serve],
        cwd=tmp_path,
        env=environment(BIND="127.0.0.1:0"),
        text=True,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        start_new_session=True,
    )
    with process:
        said = []
        for line in process.stdout:
            said.append(line)
            if line.startswith("Scaldloaf is at http://127.0.0.1:"):
                break
        os.killpg(process.pid, how)  # as a terminal does: to the whole group
        rest = process.stdout.read()
        assert process.wait(120) == 0, "".join(said) + rest
    assert rest == "Scaldloaf has stopped.\n"
    assert list(tmp_path.iterdir()) == [serve]


def test_a_port_in_use_is_reported(service):
    bind = service.url.removeprefix("http://")
    done = run(*GUNICORN, BIND=bind)
    assert done.returncode == 1
    assert f"Port {bind.partition(':')[2]} on 127.0.0.1 is in use" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "name, value, words",
    [
        ("BIND", "127.0.0.1:99999", "should be host:port"),
        ("BIND", "127.0.0.1:http", "should be host:port"),
        ("BIND", "no-such-host.invalid:8000", "nothing can listen"),
        ("SCALDLOAF_WORKERS", "0", "whole number from 1 to 256"),
        ("SCALDLOAF_WORKERS", "many", "whole number from 1 to 256"),
        ("SCALDLOAF_THREADS", "1e3", "whole number from 1 to 64"),
        ("SCALDLOAF_MAX_BODY_BYTES", "64k", "whole number from"),
        ("SCRIPT_NAME", "/bread", "at the root of its host"),
    ],
)
def test_a_bad_setting_stops_the_start_and_says_what_it_should_be(name, value, words):
    done = run(*GUNICORN, **{"BIND": "127.0.0.1:0", name: value})
    assert done.returncode == 1
    assert name in done.stderr and value in done.stderr and words in done.stderr
    assert "Traceback" not in done.stderr


def test_the_metrics_port_is_checked_too(service):
    taken, metrics = service.url.removeprefix("http://"), {"SCALDLOAF_METRICS": "on"}
    done = run(*GUNICORN, BIND="127.0.0.1:0", SCALDLOAF_METRICS_BIND=taken, **metrics)
    assert (
        done.returncode == 1
        and "is in use" in done.stderr
        and "SCALDLOAF_METRICS_BIND=127.0.0.1:" in done.stderr
    )
    done = run(*GUNICORN, BIND="127.0.0.1:9", SCALDLOAF_METRICS_BIND="0.0.0.0:9", **metrics)
    assert done.returncode == 1 and "should have another port than BIND" in done.stderr
    # An address of another machine, and a name that cannot be one.
    for nowhere in ("192.0.2.1:9000", "bakery..example:9000"):
        done = run(*GUNICORN, BIND="127.0.0.1:0", SCALDLOAF_METRICS_BIND=nowhere, **metrics)
        assert done.returncode == 1 and f"SCALDLOAF_METRICS_BIND is '{nowhere}'" in done.stderr
        assert "Traceback" not in done.stderr


def test_a_start_that_fails_leaves_no_folder_for_metrics(service):
    start = subprocess.Popen(
        GUNICORN,
        env=environment(BIND=service.url.removeprefix("http://"), SCALDLOAF_METRICS="on"),
        stderr=subprocess.PIPE,
        text=True,
    )
    with start:
        assert "is in use" in start.stderr.read()
    for place in ("/dev/shm", tempfile.gettempdir()):
        assert not list(Path(place).glob(f"scaldloaf-{start.pid}-*"))


@pytest.mark.parametrize("command", [GUNICORN, (ROOT / "deploy/serve",)], ids=["gunicorn", "serve"])
def test_misspelled_settings_stop_the_start_and_are_all_named(command):
    done = run(
        *command,
        BIND="127.0.0.1:0",
        SCALDLOAF_RAET="60/minute",
        SCALDLOAF_PROXY="1",
        SCALDLOAF_WORKERS="2",
        SCALDLOAF_PORT="tcp://10.96.0.12:80",
    )
    assert done.returncode == 1
    assert done.stderr == (
        "SCALDLOAF_PROXY is not a setting; the nearest is SCALDLOAF_PROXIES; "
        "SCALDLOAF_RAET is not a setting; the nearest is SCALDLOAF_RATE.\n"
    )


def test_it_listens_on_a_socket_file(tmp_path):
    file = tmp_path / "socket"
    process = subprocess.Popen(
        GUNICORN, env=environment(BIND=f"unix:{file}"), text=True, stdout=subprocess.PIPE
    )
    with process:
        assert process.stdout.readline() == f"Scaldloaf is at unix:{file}\n"
        with socket.socket(socket.AF_UNIX) as connection:
            connection.connect(str(file))
            connection.sendall(b"GET /livez HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")
            assert connection.recv(100).startswith(b"HTTP/1.1 200")
        process.terminate()
        assert process.wait(120) == 0
    assert not file.exists()


def test_serve_takes_settings_by_environment_only():
    assert "BIND" in run(ROOT / "deploy/serve", "--help").stdout
    refused = run(ROOT / "deploy/serve", "--port", "80")
    assert refused.returncode == 2 and "Usage" in refused.stdout


@pytest.mark.parametrize(
    "named, words", [("/no/such/program", "names '/no/such/program'"), ("", "apt-get install")]
)
def test_a_missing_browser_is_named_and_fails(named, words, tmp_path):
    # An empty PATH: no browser, no apt-get to fetch one with.
    done = run(sys.executable, ROOT / "tests/tools.py", "chromium", TESTS_CHROMIUM=named, PATH=str(tmp_path))
    assert done.returncode == 1 and words in done.stderr and "Traceback" not in done.stderr


# The environment, made in a scratch project whose requirements need no network: there are none.


@pytest.fixture
def scratch(tmp_path) -> Path:
    project = tmp_path / "a folder with spaces"
    (project / "deploy").mkdir(parents=True)
    for name in ("environment.sh", "environment.py"):
        shutil.copy(ROOT / "deploy" / name, project / "deploy")
    (project / "deploy/requirements.txt").write_text("# pins nothing\n")
    return project


def prepare(project: Path, **variables) -> subprocess.CompletedProcess:
    script = 'set -eu; . "$1/deploy/environment.sh"; make_environment "$1" deploy/requirements.txt'
    return run("sh", "-c", script, "sh", project, **variables)


def test_the_environment_is_made_once_and_again_when_something_changed(scratch):
    first = prepare(scratch)
    assert first.returncode == 0 and "Making the environment" in first.stdout, first
    assert prepare(scratch).stdout == ""

    (scratch / "deploy/requirements.txt").write_text("# pins nothing either\n")
    assert re.fullmatch(r"Installing 0 pinned packages .*\n", prepare(scratch).stdout)
    assert prepare(scratch).stdout == ""

    (scratch / ".venv/bin/python").unlink()  # the Python it was made with has gone
    mended = prepare(scratch)
    assert mended.returncode == 0 and "Making the environment" in mended.stdout
    assert run(scratch / ".venv/bin/python", "-c", "import pip").returncode == 0


def test_an_interrupted_start_is_repaired_and_simultaneous_starts_take_turns(scratch):
    (scratch / ".venv/bin").mkdir(parents=True)
    (scratch / ".venv/unfinished").touch()
    script = [sys.executable, scratch / "deploy/environment.py", "deploy/requirements.txt"]
    starts = [subprocess.Popen(script, stdout=subprocess.PIPE, text=True) for _ in range(3)]
    said = [start.communicate(timeout=120)[0] for start in starts]
    assert [start.returncode for start in starts] == [0, 0, 0]
    assert sum("Making the environment" in words for words in said) == 1
    assert any("waiting" in words for words in said)
    assert not (scratch / ".venv/unfinished").exists()


def test_a_failed_installation_is_reported_and_repeated(scratch):
    missing = "no-such-file @ file:///nowhere.whl --hash=sha256:" + "0" * 64
    (scratch / "deploy/requirements.txt").write_text(missing + "\n")
    failed = prepare(scratch)
    assert failed.returncode == 1
    assert "could not be made" in failed.stderr and "Traceback" not in failed.stderr
    assert (scratch / ".venv/unfinished").exists()  # so that the next start makes it afresh


def stand_in(folder: Path, name: str, body: str) -> None:
    (folder / name).write_text(f"#!/bin/sh\n{body}\n")
    (folder / name).chmod(0o755)


def test_the_newest_python_that_was_tested_is_taken(tmp_path):
    bin_ = tmp_path / "bin"
    bin_.mkdir()
    (bin_ / "sh").symlink_to(shutil.which("sh"))

    def taken(**variables) -> str:
        script = f'. "{ROOT}/deploy/environment.sh"; find_python && echo "$python"'
        return run("sh", "-c", script, PATH=str(bin_), **variables).stdout.strip()

    for name, status in (("python3.14", 0), ("python3", 0), ("python3.12", 0), ("python3.13", 127)):
        stand_in(bin_, name, f"exit {status}")  # 127: another program's stub, for a Python that is not here
    assert taken() == "python3.12"
    stand_in(bin_, "python3.13", "exit 0")
    assert taken() == "python3.13" and taken(PYTHON="python3") == "python3"
    for name in ("python3.13", "python3.12"):
        (bin_ / name).unlink()
    assert taken() == "python3"


def test_a_missing_python_is_named(scratch, tmp_path):
    bin_ = tmp_path / "bin"
    bin_.mkdir()
    (bin_ / "sh").symlink_to(shutil.which("sh"))

    def attempt(**variables):
        done = prepare(scratch, PATH=str(bin_), **variables)
        assert done.returncode == 1
        return done.stderr

    assert "needs Python 3.11 or newer" in attempt()
    stand_in(bin_, "python3", "exit 3")  # too old
    assert "needs Python 3.11 or newer" in attempt()
    stand_in(bin_, "python3.12", 'test "$1" = -c && echo 3.12 && exit 0; exit 4')  # no venv module
    assert "apt-get install python3.12-venv" in attempt()
    assert "PYTHON names 'snake'" in attempt(PYTHON="snake")
    assert not (scratch / ".venv").exists()
