"""The files for systemd, a container engine and Kubernetes, checked without running any of them.

tests/benchmarks/engines.py does it with the first two for real, which takes root and minutes.
"""

import ast
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
from contextlib import ExitStack
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import requests
import yaml
from kubernetes_validate.utils import all_versions, validate

import tools
from backends import Activated, free_port
from running import ROOT, TalkingService, environment, until
from scaldloaf import __version__
from scaldloaf.http.settings import MOST_THREADS, MOST_WORKERS, VARIABLES, settings_from

UNITS = ROOT / "deploy" / "systemd"
CONTAINERFILE = (ROOT / "deploy" / "container" / "Containerfile").read_text("utf-8")
MANIFESTS = list(yaml.safe_load_all((ROOT / "deploy" / "kubernetes" / "scaldloaf.yaml").read_text("utf-8")))
BY_KIND = {manifest["kind"]: manifest for manifest in MANIFESTS}
FOR_PROMETHEUS = list(
    yaml.safe_load_all((ROOT / "deploy" / "kubernetes" / "servicemonitor.yaml").read_text("utf-8"))
)
POD = BY_KIND["Deployment"]["spec"]["template"]
(CONTAINER,) = POD["spec"]["containers"]
ENV = {entry["name"]: entry["value"] for entry in CONTAINER["env"]}
PORTS = {port["name"]: port for port in CONTAINER["ports"]}
MOST_EXPOSURE = 1.0  # of 10, as systemd calculates it


# systemd


@pytest.fixture
def units(tmp_path):
    """The units with this project's path, so that the files they name exist."""
    for unit in UNITS.iterdir():
        text = unit.read_text("utf-8").replace("/opt/scaldloaf/.venv/bin/python", sys.executable)
        (tmp_path / unit.name).write_text(text.replace("/opt/scaldloaf", str(ROOT)))
    return tmp_path


def test_systemd_accepts_the_units(units):
    checked = subprocess.run(
        [tools.find("systemd-analyze"), "verify", units / "scaldloaf.service", units / "scaldloaf.socket"],
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert (checked.returncode, checked.stderr) == (0, "")


def test_the_service_unit_is_hardened(units):
    judged = subprocess.run(
        [tools.find("systemd-analyze"), "security", "--offline=true", units / "scaldloaf.service"],
        capture_output=True,
        text=True,
        timeout=120,
    )
    exposure = re.search(r"Overall exposure level for scaldloaf.service: ([0-9.]+)", judged.stdout)
    assert exposure and float(exposure[1]) <= MOST_EXPOSURE, judged.stdout + judged.stderr


def test_the_unit_starts_what_serve_starts():
    command = re.search(r"^exec .venv/bin/(.*)$", (ROOT / "deploy/serve").read_text("utf-8"), re.MULTILINE)[1]
    unit = (UNITS / "scaldloaf.service").read_text("utf-8")
    assert f"ExecStart=/opt/scaldloaf/.venv/bin/{command}\n" in unit
    listen = re.search(r"^ListenStream=(.*)$", (UNITS / "scaldloaf.socket").read_text("utf-8"), re.MULTILINE)[
        1
    ]
    assert f"server unix:{listen} " in (ROOT / "deploy/nginx/scaldloaf.conf").read_text("utf-8")
    stop = int(re.search(r"^TimeoutStopSec=(\d+)$", unit, re.MULTILINE)[1])
    assert stop > gunicorn_setting("graceful_timeout")


def gunicorn_setting(name: str):
    tree = ast.parse((ROOT / "deploy/gunicorn.conf.py").read_text("utf-8"))
    return next(
        ast.literal_eval(node.value)
        for node in tree.body
        if isinstance(node, ast.Assign) and [getattr(target, "id", "") for target in node.targets] == [name]
    )


def most_tasks(workers: int, threads: int) -> int:
    """The maximum of processes and threads, as deploy/README.md calculates it."""
    return 1 + 2 * workers * (4 + 3 * threads)


def test_the_unit_allows_all_tasks_that_the_settings_do():
    allowed = int(
        re.search(r"^TasksMax=(\d+)$", (UNITS / "scaldloaf.service").read_text("utf-8"), re.MULTILINE)[1]
    )
    most = most_tasks(MOST_WORKERS, MOST_THREADS)
    assert most <= allowed <= 1.1 * most
    guide = (ROOT / "deploy/README.md").read_text("utf-8")
    for number in (allowed, most, most_tasks(8, 8)):
        assert re.search(rf"\b{number:,}\b", guide), f"{number:,}"


def children(process: int) -> list[int]:
    return [int(child) for child in Path(f"/proc/{process}/task/{process}/children").read_text().split()]


def tasks_of(*processes: int) -> int:
    return sum(len(os.listdir(f"/proc/{process}/task")) for process in processes)


def test_the_service_never_has_more_tasks_than_that():
    """As many bulks as possible, and a reload, so that old and new workers exist at the same time."""
    threads = 4
    head = (
        b"POST /v1/bulk HTTP/1.1\r\nHost: bakery.example\r\nContent-Type: application/x-ndjson\r\n"
        b"Transfer-Encoding: chunked\r\n\r\n2\r\n\n\n\r\n"
    )
    with (
        TalkingService(
            SCALDLOAF_WORKERS="1",
            SCALDLOAF_THREADS=str(threads),
            SCALDLOAF_BULKS=str(threads - 1),
            SCALDLOAF_RATE="10000/second",
            SCALDLOAF_METRICS="on",
            GUNICORN_CMD_ARGS="--graceful-timeout 300",
        ) as service,
        ExitStack() as held,
    ):
        where, main = urlsplit(service.url), service.process.pid

        def fill():
            """Occupy all threads of the newest worker; the one before may take a few connections first."""

            def is_full() -> bool:
                connection = socket.create_connection((where.hostname, where.port), timeout=120)
                held.enter_context(connection).sendall(head)
                return tasks_of(children(main)[-1]) > threads

            for _ in range(2 * threads):
                is_full()
            until(is_full)

        (old,) = children(main)
        fill()
        assert tasks_of(old) <= 2 + 3 * threads
        service.process.send_signal(signal.SIGHUP)
        until(lambda: len(children(main)) > 1)
        fill()
        both = children(main)
        assert old in both and len(both) == 2
        assert 2 * threads < tasks_of(main, *both) <= most_tasks(1, threads)


def test_requests_during_a_restart_wait_in_the_socket():
    """As with systemd: the service inherits the socket, which stays open when the service stops."""
    with Activated() as activated:
        assert requests.get(f"{activated.url}/livez", timeout=120).status_code == 200
        assert activated.stop_service() == 0
        waiting = socket.create_connection(("127.0.0.1", activated.port), timeout=120)
        waiting.sendall(b"GET /livez HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")
        activated.start_service()
        with waiting:
            assert waiting.recv(15) == b"HTTP/1.1 200 OK"


def test_metrics_have_their_own_systemd_socket_or_the_start_fails():
    own = free_port()
    settings = {"SCALDLOAF_METRICS": "on", "SCALDLOAF_METRICS_BIND": f"127.0.0.1:{own}"}
    with Activated(own, **settings) as activated:
        for path, statuses in (("/metrics", [404, 200]), ("/livez", [200, 404])):
            assert [
                requests.get(f"http://127.0.0.1:{port}{path}", timeout=120).status_code
                for port in (activated.port, own)
            ] == statuses
    with Activated(**settings) as activated:
        assert activated.process.wait(120) == 1
        assert (
            f"SCALDLOAF_METRICS_BIND is '127.0.0.1:{own}'; none of systemd's sockets has that port"
            in activated.output()
        )


def test_it_notifies_systemd_when_ready(tmp_path):
    listener = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
    listener.bind(str(tmp_path / "notify"))
    listener.settimeout(120)
    process = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"],
        cwd=ROOT,
        env=environment(BIND="127.0.0.1:0", NOTIFY_SOCKET=str(tmp_path / "notify")),
        stdout=subprocess.PIPE,
    )
    with listener, process:
        try:
            assert b"READY=1" in listener.recv(1000)
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait(120)


def test_every_setting_is_documented():
    table = (
        (ROOT / "deploy/README.md").read_text("utf-8").partition("## Settings")[2].partition("**Rates.**")[0]
    )
    assert set(re.findall(r"^\| `([A-Z_]+)`", table, re.MULTILINE)) == set(VARIABLES.values())
    # Read nowhere else, so that no name is known to one reader only.
    started = (ROOT / "deploy/gunicorn.conf.py").read_text("utf-8")
    assert not re.findall(r"(?:environ|getenv)[^\n]*SCALDLOAF_", started)


# The image


def instructions() -> list[tuple[str, str]]:
    text = re.sub(r"\\\n\s*", " ", re.sub(r"^#.*\n", "", CONTAINERFILE, flags=re.MULTILINE))
    return [tuple(line.split(maxsplit=1)) for line in text.splitlines() if line.strip()]


def test_the_image_is_built_from_files_that_are_here_and_let_in():
    let_in = (ROOT / "deploy/container/Containerfile.containerignore").read_text("utf-8").splitlines()
    assert let_in[0] == "*"
    for word, rest in instructions():
        assert word != "ADD"
        if word == "COPY" and not rest.startswith("--from"):
            source = rest.split()[0]
            assert (ROOT / source).exists() and f"!{source}" in let_in
    assert {
        f"!{name}" for name in ("api", "web", "deploy/requirements.txt", "deploy/gunicorn.conf.py")
    } < set(let_in)


def test_the_image_runs_pinned_packages_without_root():
    steps = instructions()
    assert [rest for word, rest in steps if word == "USER"] == ["10001:10001"]
    assert "--require-hashes" in CONTAINERFILE and "--no-deps" in CONTAINERFILE
    assert {rest.split()[0] for word, rest in steps if word == "FROM"} == {"${PYTHON_IMAGE}"}
    # By tag, or by digest as well.
    assert re.fullmatch(r"PYTHON_IMAGE=python:3\.\d+-slim(@sha256:[0-9a-f]{64})?", steps[0][1])
    made = [rest for word, rest in steps if word == "RUN" and "inventory.py" in rest]
    assert re.findall(r"inventory\.py (\S+) (\S+)", *made) == [
        ("notices", "/opt/scaldloaf/THIRD-PARTY.txt"),
        ("sbom", "/opt/scaldloaf/sbom.cdx.json"),
    ]
    command = next(rest for word, rest in reversed(steps) if word == "CMD")
    assert ast.literal_eval(command)[1:] == ["-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"]


def test_the_image_is_built_in_the_format_that_keeps_its_health_check():
    assert "HEALTHCHECK" in dict(instructions())
    for text in (CONTAINERFILE, (ROOT / "deploy/README.md").read_text("utf-8")):
        (command,) = re.findall(r"podman build .*", text)
        assert "--format docker" in command


def test_the_image_serves_from_a_read_only_root(tmp_path):
    """Only the files of the COPY lines, made read-only, with the image's variables."""
    here = tmp_path / "image"
    for word, rest in instructions():
        if word == "COPY" and not rest.startswith("--from"):
            source, target = rest.split()
            if not target.startswith("/opt/scaldloaf/"):
                continue
            place = here / target.removeprefix("/opt/scaldloaf/")
            if (ROOT / source).is_dir():
                shutil.copytree(ROOT / source, place, ignore=shutil.ignore_patterns("__pycache__"))
            else:
                place.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy(ROOT / source, place)
    before = sorted(path for path in here.rglob("*"))
    variables = dict(
        re.findall(r"([A-Z_]+)=(\S+)", next(rest for word, rest in instructions() if word == "ENV"))
    )
    assert variables["BIND"].startswith("0.0.0.0:")
    process = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"],
        cwd=here,
        env=environment(**{**variables, "BIND": "127.0.0.1:0"}),
        stdout=subprocess.PIPE,
        text=True,
    )
    with process:
        try:
            where = re.search(r"http://[\d.:]+", process.stdout.readline())[0]
            assert requests.get(f"{where}/readyz", timeout=120).json() == {"status": "ok"}
            assert requests.get(f"{where}/", timeout=120).status_code == 200
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait(120)
    assert sorted(path for path in here.rglob("*")) == before  # it wrote nothing where it lies


# Kubernetes


@pytest.mark.parametrize("manifest", [*MANIFESTS, FOR_PROMETHEUS[0]], ids=lambda manifest: manifest["kind"])
@pytest.mark.parametrize("version", all_versions()[-3:])
def test_manifests_are_valid(manifest, version):
    validate(manifest, version, strict=True)


def test_all_kinds_of_manifest_are_present():
    assert len(MANIFESTS) == len(BY_KIND)
    assert set(BY_KIND) == {
        "Namespace",
        "Ingress",
        "ServiceAccount",
        "Deployment",
        "Service",
        "HorizontalPodAutoscaler",
        "PodDisruptionBudget",
        "NetworkPolicy",
    }
    labels = POD["metadata"]["labels"]
    assert BY_KIND["Deployment"]["spec"]["selector"]["matchLabels"] == labels
    assert BY_KIND["Service"]["spec"]["selector"] == labels
    assert BY_KIND["PodDisruptionBudget"]["spec"]["selector"]["matchLabels"] == labels
    assert BY_KIND["NetworkPolicy"]["spec"]["podSelector"]["matchLabels"] == labels
    assert (
        BY_KIND["HorizontalPodAutoscaler"]["spec"]["scaleTargetRef"]["name"]
        == BY_KIND["Deployment"]["metadata"]["name"]
    )
    assert "replicas" not in BY_KIND["Deployment"]["spec"]  # or each apply would undo the autoscaler


def test_the_pod_has_no_privileges():
    pod, own = POD["spec"]["securityContext"], CONTAINER["securityContext"]
    assert pod["runAsNonRoot"] is True and pod["runAsUser"] == 10001
    assert pod["seccompProfile"] == {"type": "RuntimeDefault"}
    assert own == {
        "allowPrivilegeEscalation": False,
        "readOnlyRootFilesystem": True,
        "capabilities": {"drop": ["ALL"]},
    }
    assert POD["spec"]["automountServiceAccountToken"] is False
    assert BY_KIND["NetworkPolicy"]["spec"]["egress"] == []
    assert f"{pod['runAsUser']}:{pod['runAsGroup']}" in CONTAINERFILE
    assert CONTAINER["image"] == f"scaldloaf:{__version__}"


def test_its_settings_exist(client):
    settings = settings_from(ENV)
    assert settings.metrics and settings.log and settings.proxies == 1
    assert set(ENV) <= set(VARIABLES.values())
    port = PORTS["http"]
    assert ENV["BIND"] == f"0.0.0.0:{port['containerPort']}"
    for probe in ("startupProbe", "readinessProbe", "livenessProbe"):
        get = CONTAINER[probe]["httpGet"]
        assert get["port"] == port["name"] and client.get(get["path"]).status_code == 200


def test_metrics_have_a_port_that_the_public_cannot_reach():
    assert set(PORTS) == {"http", "metrics"}
    assert ENV["SCALDLOAF_METRICS_BIND"] == f"0.0.0.0:{PORTS['metrics']['containerPort']}"
    assert POD["metadata"]["annotations"] == {
        "prometheus.io/scrape": "true",
        "prometheus.io/port": str(PORTS["metrics"]["containerPort"]),
        "prometheus.io/path": "/metrics",
    }
    (served,) = BY_KIND["Service"]["spec"]["ports"]
    assert (
        served["targetPort"] == "http" and BY_KIND["Service"]["spec"].get("type", "ClusterIP") == "ClusterIP"
    )
    let_in = {
        tuple(port["port"] for port in rule["ports"]): rule.get("from")
        for rule in BY_KIND["NetworkPolicy"]["spec"]["ingress"]
    }
    assert set(let_in) == {("http",), ("metrics",)}
    assert all(source["namespaceSelector"]["matchLabels"] for (source,) in let_in.values())


def test_prometheus_finds_the_port_of_the_metrics():
    """Kinds that a cluster may not have are in a file of their own, or the rest could not be applied."""
    service, monitor = FOR_PROMETHEUS
    assert monitor["kind"] == "ServiceMonitor" and "monitoring" not in {
        manifest["apiVersion"].partition(".")[0] for manifest in MANIFESTS
    }
    labels, spec = service["metadata"]["labels"], monitor["spec"]
    assert spec["selector"]["matchLabels"] == labels and labels[spec["jobLabel"]] == "scaldloaf"
    assert not spec["selector"]["matchLabels"].items() <= BY_KIND["Service"]["metadata"]["labels"].items()
    assert service["spec"]["selector"] == POD["metadata"]["labels"]
    (port,), (endpoint,) = service["spec"]["ports"], spec["endpoints"]
    assert port["targetPort"] == "metrics" and port["port"] == PORTS["metrics"]["containerPort"]
    assert (endpoint["port"], endpoint["path"]) == (port["name"], "/metrics")


def test_all_are_in_a_namespace_that_refuses_privileged_pods():
    name = BY_KIND["Namespace"]["metadata"]["name"]
    for manifest in [*MANIFESTS, *FOR_PROMETHEUS]:
        assert manifest["kind"] == "Namespace" or manifest["metadata"]["namespace"] == name
    levels = BY_KIND["Namespace"]["metadata"]["labels"]
    for mode in ("enforce", "audit", "warn"):
        assert levels[f"pod-security.kubernetes.io/{mode}"] == "restricted"


def test_the_ingress_sends_everything_to_the_service_by_tls():
    spec = BY_KIND["Ingress"]["spec"]
    (rule,), (tls,) = spec["rules"], spec["tls"]
    assert tls["hosts"] == [rule["host"]] and tls["secretName"]
    (path,) = rule["http"]["paths"]
    assert path["path"] == "/"
    backend, (served,) = path["backend"]["service"], BY_KIND["Service"]["spec"]["ports"]
    assert (backend["name"], backend["port"]["name"]) == ("scaldloaf", served["name"])
    (size,) = [
        value for name, value in BY_KIND["Ingress"]["metadata"]["annotations"].items() if "body-size" in name
    ]
    assert size == f"{settings_from(ENV).max_bulk_bytes // 1024**2}m"


def test_a_zone_or_a_machine_may_fail():
    spread = POD["spec"]["topologySpreadConstraints"]
    assert [each["topologyKey"] for each in spread] == [
        "topology.kubernetes.io/zone",
        "kubernetes.io/hostname",
    ]
    assert {each["whenUnsatisfiable"] for each in spread} == {"ScheduleAnyway"}
    assert all(each["labelSelector"]["matchLabels"] == POD["metadata"]["labels"] for each in spread)


def test_a_pod_shows_its_metrics_at_that_port_only():
    ports = {name: free_port() for name in PORTS}
    bound = {"BIND": f"127.0.0.1:{ports['http']}", "SCALDLOAF_METRICS_BIND": f"127.0.0.1:{ports['metrics']}"}
    with TalkingService(**{**ENV, **bound}) as service:
        public, own = service.url, f"http://127.0.0.1:{ports['metrics']}"
        assert requests.get(f"{public}/metrics", timeout=120).status_code == 404
        assert requests.get(f"{public}/readyz", timeout=120).status_code == 200
        scrape = own + POD["metadata"]["annotations"]["prometheus.io/path"]
        assert requests.get(scrape, timeout=120).status_code == 200
        # A request counts once its worker has closed the answer, which may be after the caller has read it.
        until(lambda: 'route="/readyz"' in requests.get(scrape, timeout=120).text)
        assert requests.get(f"{own}/readyz", timeout=120).status_code == 404


def quantity_bytes(text: str) -> int:
    number, unit = re.fullmatch(r"(\d+)(Mi|Gi)", text).groups()
    return int(number) * 1024 ** (2 if unit == "Mi" else 3)


def test_a_pod_has_room_for_the_waiting_lines_of_all_bulks():
    settings = settings_from(ENV)
    kept = int(ENV["SCALDLOAF_WORKERS"]) * settings.bulks * settings.max_bulk_bytes
    (volume,) = POD["spec"]["volumes"]
    assert {"name": volume["name"], "mountPath": "/tmp"} in CONTAINER["volumeMounts"]
    room = quantity_bytes(volume["emptyDir"]["sizeLimit"])
    resources = CONTAINER["resources"]
    # What is full ends the whole pod.
    assert kept < room < quantity_bytes(resources["limits"]["ephemeral-storage"])
    assert quantity_bytes(resources["requests"]["ephemeral-storage"]) >= room
    assert "medium" not in volume["emptyDir"]  # or it would be memory


def test_large_bulks_wait_on_disk_not_in_memory():
    """/tmp may be in memory, of which the unit allows little."""
    unit = (UNITS / "scaldloaf.service").read_text("utf-8")
    assert "\nEnvironment=TMPDIR=/var/tmp\n" in unit and "\nPrivateTmp=yes\n" in unit


def test_a_pod_is_given_time_to_finish():
    drain = settings_from(ENV).drain_seconds
    probe = CONTAINER["readinessProbe"]
    assert drain >= probe["periodSeconds"]  # so that it is seen
    assert POD["spec"]["terminationGracePeriodSeconds"] > drain + gunicorn_setting("graceful_timeout")
