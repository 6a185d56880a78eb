"""Runs the image in podman and the units under systemd.

    python tests/benchmarks/engines.py PART ...

PART is image, units or all. Needs root, podman, runc and debootstrap (Debian: apt-get install podman runc
debootstrap), the package index and Debian's packages. It takes some minutes and 3 GB of disk, in one
temporary folder that is removed afterwards. Nothing that runs on this machine is touched.

image   builds deploy/container/Containerfile on a base of Debian's Python 3.13 under the name that the file
        asks for, runs it as its first lines say, and calls it over loopback.
units   creates a machine with debootstrap and the commands of deploy/README.md, in which systemd starts
        socket, service and nginx; calls continue while the service is restarted, reloaded and killed.

Exit status 1 if anything is not as documented.
"""

import argparse
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "api")]

import requests  # noqa: E402

from backends import free_port  # noqa: E402
from scaldloaf import __version__  # noqa: E402
from scaldloaf.operations.lantern_quay import TIN_LOAF  # noqa: E402

CERTIFICATES = Path("/etc/ssl/certs/ca-certificates.crt")
BASE_PACKAGES = "python3,python3-venv,python-is-python3,ca-certificates"
MACHINE_PACKAGES = "systemd,systemd-sysv,dbus,nginx-light,python3,python3-venv,ca-certificates,curl,procps"
# A hard limit that a machine in a machine may lower to, whatever podman's own is.
LIMITS = ("--ulimit", "nofile=4096:4096", "--ulimit", "nproc=4096:4096")
BULK_LINES = 20_000  # 17 MB: well beyond what a worker keeps in memory
CALLERS = 8

broken: list[str] = []


def expect(true: bool, what: str) -> None:
    print(f"  {'as promised' if true else 'NOT AS PROMISED'}: {what}", flush=True)
    if not true:
        broken.append(what)


def run(*command, check: bool = True, **options) -> str:
    done = subprocess.run(command, capture_output=True, text=True, stdin=subprocess.DEVNULL, **options)
    if check and done.returncode != 0:
        sys.exit(
            f"{' '.join(map(str, command[:4]))} ended with status {done.returncode}:\n{done.stdout[-2000:]}\n"
            f"{done.stderr[-2000:]}"
        )
    return done.stdout


class Podman:
    """Podman with its own store, which is removed afterwards."""

    def __init__(self, folder: Path):
        self._own = (
            "podman",
            "--root",
            folder / "store",
            "--runroot",
            folder / "running",
            "--storage-driver",
            "vfs",
            "--cgroup-manager",
            "cgroupfs",
            "--runtime",
            "runc",
        )

    def __call__(self, *arguments, check: bool = True) -> str:
        return run(*self._own, *arguments, check=check)

    @contextmanager
    def running(self, *arguments):
        """The name of a container, which is removed after the block."""
        self("run", "--detach", "--name", "it", *LIMITS, *arguments)
        try:
            yield "it"
        finally:
            self("rm", "--force", "--time", "2", "it", check=False)

    def imported(self, tree: Path, name: str, *changes: str) -> None:
        with subprocess.Popen(["tar", "-C", tree, "-c", "."], stdout=subprocess.PIPE) as packed:
            subprocess.run(
                [
                    *self._own,
                    "import",
                    *(part for change in changes for part in ("--change", change)),
                    "-",
                    name,
                ],
                stdin=packed.stdout,
                check=True,
                capture_output=True,
            )


def debian(suite: str, packages: str, folder: Path) -> Path:
    print(f"Making Debian {suite} ...", flush=True)
    run("debootstrap", "--variant=minbase", f"--include={packages}", suite, folder)
    if CERTIFICATES.exists():  # those this machine trusts, where they are not Debian's
        shutil.copy(CERTIFICATES, folder / CERTIFICATES.relative_to("/"))
    return folder


def ready(url: str, within_s: float = 30) -> bool:
    end = time.monotonic() + within_s
    while time.monotonic() < end:
        try:
            return requests.get(f"{url}/readyz", timeout=5).status_code == 200
        except requests.ConnectionError:
            time.sleep(0.1)
    return False


def do_the_job(url: str) -> None:
    """Page, a script of it, the main job's first call, and a bulk that does not fit into memory."""
    expect(requests.get(url, timeout=10).status_code == 200, "the page is served")
    expect("customElements" in requests.get(f"{url}/panel.js", timeout=10).text, "and its scripts")
    moved = requests.post(
        f"{url}/v1/hydration-correction?show=result",
        timeout=10,
        json={"formula": TIN_LOAF, "scalded_share_percent": 35},
    )
    expect(
        moved.status_code == 200 and round(moved.json()["hydration_percent"], 1) == 70.5,
        "the main job is done",
    )
    line = json.dumps({"id": 1, "call": "breakdown", "body": {"formula": TIN_LOAF}}).encode() + b"\n"
    answers = requests.post(
        f"{url}/v1/bulk?show=result",
        data=line * BULK_LINES,
        timeout=120,
        headers={"Content-Type": "application/x-ndjson"},
    ).content.splitlines()
    expect(
        len(answers) == BULK_LINES and all(json.loads(each)["status"] == 200 for each in answers),
        f"{BULK_LINES} lines of bulk are answered, {len(line) * BULK_LINES >> 20} MB through /tmp",
    )


def image(folder: Path, podman: Podman) -> None:
    (asked_for,) = set(
        re.findall(
            r"^ARG PYTHON_IMAGE=(\S+)", (ROOT / "deploy/container/Containerfile").read_text("utf-8"), re.M
        )
    )
    podman.imported(
        debian("trixie", BASE_PACKAGES, folder / "base"), asked_for, f"ENV PIP_CERT={CERTIFICATES}"
    )
    print("Building the image ...", flush=True)
    began = time.monotonic()
    podman(
        "build",
        "--format",
        "docker",
        "--isolation",
        "chroot",
        "--pull=never",
        "--network",
        "host",
        "--file",
        ROOT / "deploy/container/Containerfile",
        "--tag",
        f"scaldloaf:{__version__}",
        ROOT,
    )
    size = int(podman("image", "inspect", "--format", "{{.Size}}", f"scaldloaf:{__version__}"))
    base = int(podman("image", "inspect", "--format", "{{.Size}}", asked_for))
    print(
        f"  built in {time.monotonic() - began:.0f} s; {(size - base) / 1e6:.0f} MB on top of its base",
        flush=True,
    )
    port = free_port()
    with podman.running(
        "--read-only",
        "--tmpfs",
        "/tmp",
        "--cap-drop",
        "all",
        "--security-opt",
        "no-new-privileges",
        "--publish",
        f"127.0.0.1:{port}:8000",
        f"scaldloaf:{__version__}",
    ) as it:
        url = f"http://127.0.0.1:{port}"
        expect(ready(url), "it starts with only /tmp writable")
        do_the_job(url)
        expect(podman("exec", it, "id", "-u").strip() == "10001", "it is user 10001")
        status = podman("exec", it, "cat", "/proc/1/status")
        expect(
            re.search(r"^CapEff:\t0+$", status, re.M) and re.search(r"^NoNewPrivs:\t1$", status, re.M),
            "and has no capabilities",
        )
        for place in ("/", "/opt/scaldloaf/api"):
            refused = podman("exec", it, "sh", "-c", f"touch {place}/x 2>&1", check=False)
            expect("Read-only" in refused, f"{place} can't be written to")
        about = podman("exec", it, "sh", "-c", "cat THIRD-PARTY.txt sbom.cdx.json")
        expect(
            "flask-swagger-ui" in about and '"bomFormat": "CycloneDX"' in about,
            "it has the licences of others and its bill of materials",
        )
        podman("healthcheck", "run", it)
        expect(True, "its own health check finds it well")
        podman("stop", "--time", "25", it)
        code = podman("inspect", "--format", "{{.State.ExitCode}}", it).strip()
        expect(code == "0", "it ends with status 0 when it is stopped")


class Calls:
    """Callers through nginx until the block ends; ``failed`` counts answers other than 200."""

    def __init__(self, url: str):
        self._url, self.failed, self.answered = url, 0, 0

    def __enter__(self):
        self._folder = tempfile.TemporaryDirectory()
        script = Path(self._folder.name, "call.py")
        script.write_text(
            "import json, signal, sys, threading, time\nimport requests\n"
            "url, body, going, counts = sys.argv[1], json.loads(sys.argv[2]), [True], []\n"
            "signal.signal(signal.SIGTERM, lambda *_: going.clear())\n"
            "def call():\n"
            "    with requests.Session() as session:\n"
            "        while going:\n"
            "            try:\n"
            "                counts.append(session.post(url, json=body, timeout=30).status_code == 200)\n"
            "            except requests.RequestException:\n"
            "                counts.append(False)\n"
            "            time.sleep(0.1)\n"  # within nginx's limit per address
            f"threads = [threading.Thread(target=call) for _ in range({CALLERS})]\n"
            "[thread.start() for thread in threads]\n[thread.join() for thread in threads]\n"
            "print(sum(counts), len(counts) - sum(counts))\n"
        )
        body = json.dumps({"formula": TIN_LOAF, "target": {"kind": "dough_mass", "mass": 1200}})
        self._process = subprocess.Popen(
            [sys.executable, script, f"{self._url}/v1/scaling?show=result", body],
            stdout=subprocess.PIPE,
            text=True,
        )
        time.sleep(1)
        return self

    def __exit__(self, *_):
        time.sleep(1)
        self._process.terminate()
        self.answered, self.failed = map(int, self._process.communicate(timeout=60)[0].split())
        self._folder.cleanup()


def units(folder: Path, podman: Podman) -> None:
    machine = debian("bookworm", MACHINE_PACKAGES, folder / "machine")
    for name in ("resolv.conf", "hosts"):
        shutil.copy(f"/etc/{name}", machine / "etc" / name)
    home = machine / "opt/scaldloaf"
    home.mkdir(parents=True)
    tree = subprocess.run(["git", "-C", ROOT, "archive", "HEAD"], check=True, capture_output=True).stdout
    subprocess.run(["tar", "-C", home, "-x"], input=tree, check=True)
    commands = re.search(
        r"## One machine.*?```sh\n(.*?)```", (ROOT / "deploy/README.md").read_text("utf-8"), re.S
    )[1]
    # In a machine that is not running yet: no copy onto itself, nothing to tell a systemd or an nginx.
    commands = commands.replace("cp -r . /opt/scaldloaf && ", "").replace("enable --now", "enable")
    commands = re.sub(r" && systemctl (daemon-reload|reload nginx)", "", commands) + "nginx -t\n"
    pip = {"PIP_CERT": str(CERTIFICATES)} if CERTIFICATES.exists() else {}
    run("chroot", machine, "sh", "-ec", commands, env={"PATH": os.environ["PATH"], "HOME": "/root", **pip})
    podman.imported(machine, "machine")
    port = free_port()
    with podman.running(
        "--privileged", "--systemd=always", "--publish", f"127.0.0.1:{port}:80", "machine", "/sbin/init"
    ) as it:
        url = f"http://127.0.0.1:{port}"

        def inside(command: str) -> str:
            return podman("exec", it, "sh", "-c", command, check=False)

        expect(ready(url), "systemd starts socket, service and nginx")
        do_the_job(url)
        main = "$(systemctl show -p MainPID --value scaldloaf)"
        status = inside(f"cat /proc/{main}/status")
        expect(
            re.search(r"^CapEff:\t0+$", status, re.M)
            and re.search(r"^Seccomp:\t2$", status, re.M)
            and not re.search(r"^Uid:\t0\t", status, re.M),
            "without root, privileges or unfiltered system calls",
        )
        exposure = float(
            re.search(
                r"level for scaldloaf.service: ([\d.]+)",
                inside("systemd-analyze security scaldloaf.service --no-pager"),
            )[1]
        )
        expect(exposure <= 1, f"systemd judges its exposure {exposure} of 10")
        with Calls(url) as calls:
            inside("for i in 1 2 3; do systemctl restart scaldloaf; sleep 2; done")
            inside("for i in 1 2; do systemctl reload scaldloaf; sleep 2; done")
            inside(f"for i in 1 2 3; do kill -9 $(pgrep -P {main} | head -1); sleep 1; done")
        expect(
            calls.failed == 0,
            f"{calls.answered} calls, {calls.failed} lost, through 3 restarts, 2 reloads and 3 "
            "killed workers",
        )
        inside(f"kill -9 {main}")
        expect(
            ready(url) and "active" in inside("systemctl is-active scaldloaf"),
            "killed whole, it is started again",
        )
        inside("printf 'SCALDLOAF_METRICS=on\\n' > /etc/scaldloaf.env; systemctl restart scaldloaf")
        expect(
            "scaldloaf_request_seconds"
            in inside(
                "sleep 1; curl -s http://127.0.0.1/readyz > /dev/null; curl -s http://127.0.0.1/metrics"
            ),
            "a restart applies new settings; the machine itself gets the metrics",
        )
        expect(requests.get(f"{url}/metrics", timeout=10).status_code == 404, "and no other machine does")
        inside("printf 'SCALDLOAF_WORKERS=many\\n' > /etc/scaldloaf.env; systemctl restart scaldloaf")
        expect(
            "should be a whole number from 1 to 256" in inside("journalctl -u scaldloaf --no-pager"),
            "a bad setting stops the start and the journal says what it should be",
        )
        inside("rm /etc/scaldloaf.env; systemctl reset-failed; systemctl restart scaldloaf")
        expect(ready(url), "corrected, it starts")


PARTS = {"image": image, "units": units}


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("parts", nargs="+", choices=(*PARTS, "all"))
    chosen = parser.parse_args().parts
    if missing := [name for name in ("podman", "runc", "debootstrap") if shutil.which(name) is None]:
        sys.exit(f"{' and '.join(missing)} needed; on Debian: apt-get install podman runc debootstrap")
    if os.geteuid() != 0:
        sys.exit("Needs to be root, as debootstrap does.")
    with tempfile.TemporaryDirectory() as name:
        for part in PARTS if "all" in chosen else dict.fromkeys(chosen):
            print(f"{part}:", flush=True)
            PARTS[part](Path(name), Podman(Path(name)))
    print(f"{len(broken)} not as promised." if broken else "All as promised.")
    return bool(broken)


if __name__ == "__main__":
    sys.exit(main())
