"""Optional features set by environment variables: limits, metrics, logs."""

import json
import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import requests
from flask.testing import FlaskClient

import tools
from backends import Redis, free_port
from running import ROOT, TalkingService, environment, until
from scaldloaf.http import create_app
from scaldloaf.http.limits import client_of
from scaldloaf.http.settings import BadSetting, Settings, settings_from
from scaldloaf.operations.lantern_quay import TIN_LOAF
from spellings import raw

BODY = {"formula": TIN_LOAF}
TRACE = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"


# Settings


@pytest.mark.parametrize(
    "name, value, words",
    [
        ("RATE", "60", "off, or a number up to 10000 and one of second, minute, hour, day, as in 60/minute"),
        ("RATE", "60/fortnight", "as in 60/minute"),
        ("RATE", "0/minute", "as in 60/minute"),
        ("RATE", "60 / minute", "as in 60/minute"),
        ("RATE", "10001/day", "as in 60/minute"),
        ("BULK_RATE", "-1/hour", "as in 60/minute"),
        ("PROXIES", "one", "a whole number from 0 to 10"),
        ("PROXIES", "11", "a whole number from 0 to 10"),
        ("PROXIES", "00000000000000999", "a whole number from 0 to 10"),
        ("METRICS", "yes", "off or on"),
        ("METRICS_BIND", "9000", "host:port with a port from 1 to 65535"),
        ("METRICS_BIND", "127.0.0.1:0", "host:port with a port from 1 to 65535"),
        ("METRICS_BIND", "127.0.0.1:65536", "host:port with a port from 1 to 65535"),
        ("METRICS_BIND", "unix:/run/metrics", "host:port with a port from 1 to 65535"),
        ("METRICS_BIND", ":9000", "host:port with a port from 1 to 65535"),
        ("LOG", "text", "off or json"),
        ("LOG_ADDRESSES", "1", "off or on"),
        ("MAX_BODY_BYTES", "1e6", "a whole number from 1024"),
        ("MAX_BULK_BYTES", "²", "a whole number from 1048576"),
        ("MAX_BULK_LINES", "0", "a whole number from 1 to "),
        ("MAX_BULK_SECONDS", "ten", "a whole number from 1 to "),
        ("BULKS", "8", "a whole number from 1 to 7"),
    ],
)
def test_a_bad_value_says_what_it_should_be(name, value, words):
    with pytest.raises(
        BadSetting, match=f"^SCALDLOAF_{name} is {re.escape(repr(value))}; it should be .*{re.escape(words)}"
    ):
        settings_from({f"SCALDLOAF_{name}": value})


def test_a_metrics_port_without_metrics_is_refused():
    with pytest.raises(BadSetting, match="^SCALDLOAF_METRICS_BIND is set but SCALDLOAF_METRICS is not on"):
        settings_from({"SCALDLOAF_METRICS_BIND": "127.0.0.1:9000"})
    for address in ("127.0.0.1:9000", "[::1]:1", "metrics.bakery.example:65535"):
        assert (
            settings_from({"SCALDLOAF_METRICS": "on", "SCALDLOAF_METRICS_BIND": address}).metrics_bind
            == address
        )


@pytest.mark.parametrize(
    "slip, meant",
    [
        ("RAET", "SCALDLOAF_RATE"),
        ("RATES", "SCALDLOAF_RATE"),
        ("RATE_LIMIT", "SCALDLOAF_RATE"),
        ("rate", "SCALDLOAF_RATE"),
        ("BULKRATE", "SCALDLOAF_BULK_RATE"),
        ("PROXY", "SCALDLOAF_PROXIES"),
        ("REDIS", "SCALDLOAF_REDIS_URL"),
        ("METRIC", "SCALDLOAF_METRICS"),
        ("WORKER", "SCALDLOAF_WORKERS"),
        ("LOG_ADDRESS", "SCALDLOAF_LOG_ADDRESSES"),
        ("MAX_BODY", "SCALDLOAF_MAX_BODY_BYTES"),
        ("BIND", "BIND"),
    ],
)
@pytest.mark.parametrize("value", ["60/minute", "", "on"])
def test_an_unknown_name_is_refused_with_the_nearest_setting(slip, meant, value):
    with pytest.raises(BadSetting, match=f"^SCALDLOAF_{slip} is not a setting; the nearest is {meant}$"):
        settings_from({f"SCALDLOAF_{slip}": value})


def test_all_unknown_names_are_refused_however_far_off():
    with pytest.raises(BadSetting) as refused:
        settings_from(
            {"SCALDLOAF_": "1", "SCALDLOAF_Ω": "1", "SCALDLOAF_RATE": "bad", "SCALDLOAF_SOURDOUGH": "on"}
        )
    parts = str(refused.value).split("; the nearest is ")
    assert len(parts) == 4
    for name in ("", "SOURDOUGH", "Ω"):
        assert f"SCALDLOAF_{name} is not a setting" in str(refused.value)


def service_variables(service: str, protocol: str, host: str, port: int, name: str) -> dict[str, str]:
    """The variables that Kubernetes sets in every pod of a namespace for each of its Services."""
    prefix, low = service.upper().replace("-", "_"), protocol.lower()
    link = f"{prefix}_PORT_{port}_{protocol}"
    return {
        f"{prefix}_SERVICE_HOST": host,
        f"{prefix}_SERVICE_PORT": str(port),
        f"{prefix}_SERVICE_PORT_{name.upper().replace('-', '_')}": str(port),
        f"{prefix}_PORT": f"{low}://{host}:{port}",
        link: f"{low}://{host}:{port}",
        f"{link}_PROTO": low,
        f"{link}_PORT": str(port),
        f"{link}_ADDR": host,
    }


@pytest.mark.parametrize(
    "service", ["scaldloaf", "scaldloaf-2", "scaldloaf-night-bake", "scaldloaf-redis", "scaldloaf-metrics"]
)
@pytest.mark.parametrize(
    "protocol, host",
    [("TCP", "10.96.0.12"), ("UDP", "10.96.0.12"), ("SCTP", "fd00::c"), ("TCP", "[fd00::c]")],
)
def test_the_variables_of_kubernetes_are_ignored(service, protocol, host):
    theirs = service_variables(service, protocol, host.strip("[]"), 80, "http-1") | {
        f"{service.upper().replace('-', '_')}_PORT": f"{protocol.lower()}://{host}:80"
    }
    assert len(theirs) == 8 and settings_from({**theirs, "RATES": "x", "scaldloaf_rates": "x"}) == Settings()
    for name in theirs:  # with any other value they are somebody's attempt to set something
        for value in ("8000x", "yes", "", "http://bakery.example:80"):
            with pytest.raises(BadSetting, match=f"{name} is not a setting"):
                settings_from({name: value})
    with pytest.raises(BadSetting, match="^SCALDLOAF_RAET is not a setting"):
        settings_from({**theirs, "SCALDLOAF_RAET": "60/minute"})


def test_the_port_is_part_of_bind():
    with pytest.raises(BadSetting, match="^SCALDLOAF_PORT is not a setting"):
        settings_from({"SCALDLOAF_PORT": "8000"})


def test_the_application_alone_checks_the_names_too(monkeypatch):
    monkeypatch.setenv("SCALDLOAF_RAET", "60/minute")
    with pytest.raises(BadSetting, match="^SCALDLOAF_RAET is not a setting; the nearest is SCALDLOAF_RATE$"):
        create_app()


def test_one_list_has_the_settings_of_gunicorn_too():
    assert settings_from({"SCALDLOAF_WORKERS": "3", "SCALDLOAF_THREADS": "1"}) == Settings(
        workers=3, threads=1, bulks=1
    )
    assert settings_from({}) == Settings()
    for name in ("WORKERS", "THREADS"):
        with pytest.raises(
            BadSetting, match=f"^SCALDLOAF_{name} is '0'; it should be a whole number from 1 to "
        ):
            settings_from({f"SCALDLOAF_{name}": "0"})


@pytest.mark.parametrize(
    "value",
    [
        "localhost:6379",
        "http://a:1",
        "redis://",
        "redis://a:b",
        "redis://a:70000",
        "unix:",
        "redis://[::1",
        "redis://u:secret@a:0",
    ],
)
def test_a_bad_address_of_redis_is_not_repeated_as_it_may_hold_a_password(value):
    with pytest.raises(BadSetting) as refused:
        settings_from({"SCALDLOAF_RATE": "1/second", "SCALDLOAF_REDIS_URL": value})
    said = str(refused.value)
    assert said.startswith("SCALDLOAF_REDIS_URL is not valid; it should be redis://host:port/number")
    assert "secret" not in said and "localhost" not in said


def test_redis_without_a_limit_is_refused_and_empty_means_unset():
    with pytest.raises(BadSetting, match="is set without a limit"):
        settings_from({"SCALDLOAF_REDIS_URL": "redis://127.0.0.1:6379/0"})
    assert settings_from({"SCALDLOAF_RATE": "", "SCALDLOAF_REDIS_URL": "", "SCALDLOAF_LOG": ""}) == Settings()
    assert settings_from({"SCALDLOAF_RATE": "off", "SCALDLOAF_METRICS": "off"}) == Settings()
    for url in ("redis://u:p@redis.example:6379/2", "rediss://redis.example", "unix:///run/redis.sock"):
        assert settings_from({"SCALDLOAF_RATE": "9/day", "SCALDLOAF_REDIS_URL": url}).redis_url == url


# Limits


def post(client, path="/v1/breakdown", address="192.0.2.1", **headers):
    return client.post(path, json=BODY, headers=headers, environ_overrides={"REMOTE_ADDR": address})


def test_a_client_beyond_its_rate_waits_and_others_do_not(assert_problem):
    client = FlaskClient(create_app(Settings(rate="3/minute")))
    assert [post(client).status_code for _ in range(3)] == [200, 200, 200]
    refused = post(client)
    assert assert_problem(refused, 429, "", "too_many_requests")
    assert (
        1 <= int(refused.headers["Retry-After"]) <= 60
        and refused.headers["Access-Control-Allow-Origin"] == "*"
    )
    assert post(client, address="192.0.2.2").status_code == 200
    # Probes and the page are never refused.
    for path in ("/livez", "/readyz", "/", "/openapi.json"):
        assert client.get(path, environ_overrides={"REMOTE_ADDR": "192.0.2.1"}).status_code == 200
    assert client.options("/v1/breakdown", environ_overrides={"REMOTE_ADDR": "192.0.2.1"}).status_code == 200
    assert client.get("/readyz").json == {"status": "ok", "rate_limit": "memory"}


def test_a_client_that_waits_is_answered():
    client = FlaskClient(create_app(Settings(rate="2/second")))
    for _ in range(3):
        refused = next(reply for reply in iter(lambda: post(client), None) if reply.status_code == 429)
        time.sleep(int(refused.headers["Retry-After"]))
        assert post(client).status_code == 200


HOURS_S = 3 * 3600.0


@pytest.fixture
def clock(monkeypatch):
    """clock(seconds): set the machine's clock forward or back."""
    now = time.time

    def set_by(seconds):
        monkeypatch.setattr(time, "time", lambda: now() + seconds)

    return set_by


def wait_of(reply) -> int:
    assert reply.status_code == 429
    return int(reply.headers["Retry-After"])


@pytest.mark.parametrize("first, then", [(0, HOURS_S), (0, -HOURS_S), (HOURS_S, 0), (-HOURS_S, 0)])
def test_setting_the_clock_changes_no_limit(clock, first, then):
    clock(first)
    client = FlaskClient(create_app(Settings(rate="3/minute")))
    assert [post(client).status_code for _ in range(3)] == [200] * 3
    clock(then)
    assert 0 < wait_of(post(client)) <= 60
    clock(0)
    assert 0 < wait_of(post(client)) <= 60


@pytest.mark.parametrize("then", [HOURS_S, -HOURS_S])
def test_a_client_that_waits_is_answered_whatever_the_clock_says(clock, then):
    client = FlaskClient(create_app(Settings(rate="2/second")))
    refused = next(reply for reply in iter(lambda: post(client), None) if reply.status_code == 429)
    clock(then)
    time.sleep(wait_of(refused))
    assert post(client).status_code == 200


def test_no_wait_is_longer_than_the_window(monkeypatch):
    """As if the clock of Redis were set back between the refusal and the question how long to wait."""
    from limits.strategies import MovingWindowRateLimiter
    from limits.util import WindowStats

    monkeypatch.setattr(
        MovingWindowRateLimiter, "get_window_stats", lambda *_: WindowStats(time.monotonic() + HOURS_S, 0)
    )
    client = FlaskClient(create_app(Settings(rate="1/minute")))
    assert post(client).status_code == 200 and wait_of(post(client)) == 60


def test_bulk_has_a_rate_of_its_own():
    client = FlaskClient(create_app(Settings(bulk_rate="1/hour")))

    def send():
        return client.post("/v1/bulk", data=b"", content_type="application/x-ndjson").status_code

    assert [send(), send()] == [200, 429]
    assert {post(client).status_code for _ in range(20)} == {200}


def test_only_our_own_proxies_are_trusted():
    named = {"REMOTE_ADDR": "10.0.0.9", "HTTP_X_FORWARDED_FOR": "198.51.100.1, 203.0.113.5, 10.0.0.8"}
    assert [client_of(named, proxies) for proxies in range(5)] == [
        "10.0.0.9",
        "10.0.0.8",
        "203.0.113.5",
        "198.51.100.1",
        "10.0.0.9",
    ]
    assert client_of({"REMOTE_ADDR": "2001:db8:1:2:3:4:5:6"}, 0) == client_of(
        {"REMOTE_ADDR": "2001:db8:1:2::9"}, 0
    )
    assert client_of({"REMOTE_ADDR": "::ffff:192.0.2.4"}, 0) == "192.0.2.4"
    assert client_of({"HTTP_X_FORWARDED_FOR": "192.0.2.4:5123"}, 1) == "192.0.2.4"
    assert client_of({"HTTP_X_FORWARDED_FOR": "[2001:db8:1:2::9]:80"}, 1) == "2001:db8:1:2::/64"
    assert client_of({"REMOTE_ADDR": ""}, 0) == client_of({"HTTP_X_FORWARDED_FOR": "<script>"}, 1) == ""
    # A client can't make itself another by a header when no proxy is trusted.
    client = FlaskClient(create_app(Settings(rate="1/hour")))
    assert [post(client, **{"X-Forwarded-For": f"192.0.2.{number}"}).status_code for number in (50, 51)] == [
        200,
        429,
    ]


def test_the_tools_are_here():
    assert tools.find("redis") and tools.find("nginx")


def statuses(services, count: int) -> list[int]:
    return [
        requests.post(
            f"{services[number % len(services)].url}/v1/breakdown?show=result", json=BODY, timeout=120
        ).status_code
        for number in range(count)
    ]


def says(service, words: str) -> bool:
    """Whether every worker reports this at /readyz."""
    said = [requests.get(f"{service.url}/readyz", timeout=120).json()["rate_limit"] for _ in range(4)]
    return said == [words] * 4


def test_instances_count_together_in_redis_and_work_without_it():
    with Redis() as redis:
        settings = {"SCALDLOAF_RATE": "30/hour", "SCALDLOAF_REDIS_URL": redis.url, "SCALDLOAF_WORKERS": "1"}
        with TalkingService(**settings) as one, TalkingService(**settings) as other:
            both = [one, other]
            assert all(says(service, "redis") for service in both)
            assert sorted(statuses(both, 36)) == [200] * 30 + [429] * 6
            redis.kill()
            # No call is refused because of Redis: each worker starts its own count.
            assert statuses(both, 8) == [200] * 8
            until(lambda: all(says(service, "memory, as redis is gone") for service in both))
            redis.start()
            until(lambda: all(says(service, "redis") for service in both))
            assert sorted(statuses(both, 36)) == [200] * 30 + [429] * 6  # it came back empty
            log = one.output()
            assert "Redis does not answer" in log and "Redis answers again" in log and "Traceback" not in log
            assert log.count("Redis does not answer") == 1  # not once per request


def test_machines_whose_clocks_disagree_count_together_by_the_clock_of_redis(clock):
    with Redis() as redis:

        def machine():
            return FlaskClient(create_app(Settings(rate="6/hour", redis_url=redis.url)))

        machines = {by: machine() for by in (HOURS_S, 0, -HOURS_S)}
        for _ in range(2):
            for by, client in machines.items():
                clock(by)
                assert post(client).status_code == 200
        for by, client in machines.items():
            clock(by)
            assert 3590 < wait_of(post(client)) <= 3600
            assert client.get("/readyz").json["rate_limit"] == "redis"


def test_setting_the_clock_of_redis_back_blocks_no_client(clock):
    """Afterwards, what was counted is in the future."""
    from redis import Redis as Client

    with Redis() as redis, Client(port=redis.port) as store:
        client = FlaskClient(create_app(Settings(rate="2/hour", redis_url=redis.url)))
        assert [post(client).status_code for _ in range(3)] == [200, 200, 429]
        (key,) = store.keys()
        for index, entry in enumerate(store.lrange(key, 0, -1)):
            store.lset(key, index, float(entry) + HOURS_S)
        assert 0 < store.ttl(key) <= 3600
        assert [post(client).status_code for _ in range(3)] == [200, 200, 429]
        assert wait_of(post(client)) <= 3600
        # Retry-After follows the clock of Redis, too.
        for index, entry in enumerate(store.lrange(key, 0, -1)):
            store.lset(key, index, float(entry) - 10)
        assert wait_of(post(client)) <= 3590


def test_a_redis_that_hangs_delays_no_call_for_long():
    with (
        Redis() as redis,
        TalkingService(
            SCALDLOAF_RATE="10000/hour", SCALDLOAF_REDIS_URL=redis.url, SCALDLOAF_WORKERS="1"
        ) as service,
    ):
        asked = redis.connections()
        os.kill(redis.process.pid, signal.SIGSTOP)
        try:
            assert statuses([service], 30) == [200] * 30
        finally:
            os.kill(redis.process.pid, signal.SIGCONT)
        assert "Redis does not answer" in service.output()
        # Whoever waits for it connects anew. It is left alone for seconds, in which most of the calls were
        # answered.
        assert redis.connections() - asked < 15


# Figures


def figures(service) -> dict[str, float]:
    reply = requests.get(f"{service.url}/metrics", timeout=120)
    assert reply.status_code == 200 and reply.headers["Content-Type"].startswith("text/plain")
    return {
        name: float(value)
        for name, value in re.findall(r"^([a-z_]+(?:\{[^}]*\})?) (\S+)$", reply.text, re.MULTILINE)
    }


def children(service) -> list[str]:
    return Path(f"/proc/{service.process.pid}/task/{service.process.pid}/children").read_text().split()


ANSWERED = 'scaldloaf_request_seconds_count{method="POST",route="/v1/breakdown",status="2xx"}'
REFUSED = 'scaldloaf_request_seconds_count{method="POST",route="/v1/breakdown",status="4xx"}'


def test_metrics_include_all_workers_even_dead_ones():
    with TalkingService(SCALDLOAF_METRICS="on", SCALDLOAF_WORKERS="3") as service:
        breakdown = f"{service.url}/v1/breakdown"

        def send(count):
            for _ in range(count):
                assert requests.post(breakdown, json=BODY, timeout=120).status_code == 200

        threads = [threading.Thread(target=send, args=(10,)) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert requests.post(breakdown, json={}, timeout=120).status_code == 422
        requests.get(f"{service.url}/no/such/place", timeout=120)
        lines = "\n".join([json.dumps({"call": "breakdown", "body": BODY})] * 7 + ["{"])
        requests.post(
            f"{service.url}/v1/bulk",
            data=lines,
            headers={"Content-Type": "application/x-ndjson"},
            timeout=120,
        )
        wanted = {
            ANSWERED: 40,
            REFUSED: 1,
            'scaldloaf_bulk_lines_total{status="2xx"}': 7,
            'scaldloaf_bulk_lines_total{status="4xx"}': 1,
            'scaldloaf_request_seconds_count{method="GET",route="none",status="4xx"}': 1,
            "scaldloaf_requests_running": 1,
        }  # the one that asks
        # A request is counted when its answer has gone, so the caller may be a moment ahead.
        until(lambda: wanted.items() <= figures(service).items())
        assert not any("no/such" in name for name in figures(service))

        workers = children(service)
        for worker in workers:
            os.kill(int(worker), signal.SIGKILL)
            time.sleep(0.1)

        def counted():
            try:
                return figures(service)[ANSWERED] == 40
            except requests.ConnectionError:
                return False

        until(counted)
        until(lambda: figures(service)["scaldloaf_requests_running"] == 1)
        (folder,) = {
            path.parent
            for place in ("/dev/shm", tempfile.gettempdir())
            for path in Path(place).glob(f"scaldloaf-{service.process.pid}-*/*.db")
        }
        # The main process gathers a worker's figures once it has seen it end; they are counted before, too.
        until(lambda: not [path for worker in workers for path in folder.glob(f"*_{worker}.db")])
        assert service.stop() == 0 and not folder.exists()


def test_there_are_no_metrics_by_default(client, assert_problem):
    assert_problem(client.get("/metrics"), 404)


def test_metrics_of_one_process():
    client = FlaskClient(create_app(Settings(metrics=True)))
    assert client.post("/v1/breakdown", json=BODY, buffered=True).status_code == 200
    assert ANSWERED + " 1.0" in client.get("/metrics").get_data(as_text=True)


@pytest.mark.parametrize("threads", ["1", "8"])  # gunicorn has a worker of another kind for one thread
def test_metrics_have_their_own_port(threads):
    port = free_port()
    settings = {
        "SCALDLOAF_WORKERS": "3",
        "SCALDLOAF_THREADS": threads,
        "SCALDLOAF_RATE": "10000/second",
        "SCALDLOAF_METRICS": "on",
        "SCALDLOAF_METRICS_BIND": f"127.0.0.1:{port}",
    }
    with TalkingService(**settings) as service:
        own = f"http://127.0.0.1:{port}"
        assert f"Metrics are at {own}/metrics" in service.output()
        threads = [threading.Thread(target=statuses, args=([service], 10)) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        # Whichever worker answers: those of all.
        counted = 'scaldloaf_request_seconds_count{method="POST",route="/v1/breakdown",status="2xx"} 40.0'
        until(lambda: counted in requests.get(f"{own}/metrics", timeout=120).text)
        where = "127.0.0.1", port
        for path in ("/", "/v1/units", "/readyz", "/openapi.json", "/metrics/", "//metrics"):
            assert raw(where, "GET", path)[0] == 404, path
        body = json.dumps(BODY).encode()
        assert raw(where, "POST", "/v1/breakdown", body, {"Content-Type": "application/json"})[0] == 404
        assert requests.post(f"{own}/metrics", timeout=120).status_code == 405
        public = urlsplit(service.url)
        for host in ("bakery.example", f"127.0.0.1:{port}", f":{port}"):
            for target in ("/metrics", f"http://127.0.0.1:{port}/metrics"):
                assert raw((public.hostname, public.port), "GET", target, headers={"Host": host})[0] == 404
        workers = set(children(service))
        service.process.send_signal(signal.SIGHUP)
        until(lambda: not workers & set(children(service)))
        assert requests.get(f"{own}/metrics", timeout=120).status_code == 200
        assert requests.get(f"{service.url}/metrics", timeout=120).status_code == 404


def test_no_host_header_makes_a_unix_socket_the_metrics_port(tmp_path):
    port, file = free_port(), tmp_path / "socket"
    process = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"],
        cwd=ROOT,
        text=True,
        stdout=subprocess.PIPE,
        env=environment(
            BIND=f"unix:{file}", SCALDLOAF_METRICS="on", SCALDLOAF_METRICS_BIND=f"127.0.0.1:{port}"
        ),
    )
    with process:
        try:
            assert process.stdout.readline() == f"Scaldloaf is at unix:{file}\n"
            assert process.stdout.readline() == f"Metrics are at http://127.0.0.1:{port}/metrics\n"
            for path, host, status in (
                ("/metrics", f"a:{port}", 404),
                ("/livez", f"a:{port}", 200),
                ("/livez", "a", 200),
            ):
                with socket.socket(socket.AF_UNIX) as connection:
                    connection.connect(str(file))
                    connection.sendall(
                        f"GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n".encode()
                    )
                    assert connection.recv(12) == f"HTTP/1.1 {status}".encode()
            assert requests.get(f"http://127.0.0.1:{port}/metrics", timeout=120).status_code == 200
        finally:
            process.terminate()
            assert process.wait(120) == 0


def test_metrics_with_their_own_port_are_nowhere_else(assert_problem):
    client = FlaskClient(create_app(Settings(metrics=True, metrics_bind="127.0.0.1:9000")))
    for base in ("http://localhost", "http://localhost:9000"):
        assert_problem(client.get("/metrics", base_url=base), 404)
        assert client.get("/livez", base_url=base).status_code == 200


def test_no_page_of_another_host_may_read_metrics():
    client = FlaskClient(create_app(Settings(metrics=True)))
    for reply in (client.get("/metrics"), client.options("/metrics"), client.post("/metrics")):
        assert reply.headers["Cross-Origin-Resource-Policy"] == "same-origin"
        assert (
            reply.headers["X-Content-Type-Options"] == "nosniff"
            and "Content-Security-Policy" in reply.headers
        )
        assert not [name for name in dict(reply.headers) if name.lower().startswith("access-control-")]


# Logs


def logged(service) -> list[dict]:
    return [json.loads(line) for line in service.output().splitlines()]


def test_the_log_has_a_line_per_request_without_user_data():
    words = "midnight-rye"
    with TalkingService(SCALDLOAF_LOG="json") as service:
        breakdown = f"{service.url}/v1/breakdown"
        first = requests.post(
            f"{breakdown}?show=result", json={"formula": {**TIN_LOAF, "name": words}}, timeout=120
        )
        requests.post(
            f"{breakdown}?{words}={words}", json={words: words}, timeout=120, headers={"User-Agent": words}
        )
        requests.request("GET", f"{service.url}/{words}?{words}", headers={"traceparent": TRACE}, timeout=120)
        requests.request(words.upper(), breakdown, timeout=120)
        assert service.stop() == 0
        lines = [
            line for line in logged(service) if line["logger"] == "requests" and line["route"] != "/readyz"
        ]
        assert words not in service.output().lower() and "127.0.0.1" not in json.dumps(lines)
    # Written when the answer has gone, by whichever thread and worker had it: in no order.
    by_status = {line["status"]: line for line in lines}
    assert {(line["method"], line["route"], line["status"]) for line in lines} == {
        ("POST", "/v1/breakdown", 200),
        ("POST", "/v1/breakdown", 422),
        ("GET", "none", 404),
        ("other", "none", 405),
    }
    assert by_status[200]["request"] == first.headers["Request-Id"]
    assert by_status[200]["bytes"] == int(first.headers["Content-Length"])  # as sent, compressed or not
    assert 0 < by_status[200]["milliseconds"] < 20_000
    assert len({line["request"] for line in lines}) == 4
    assert by_status[404].pop("traceparent") == TRACE
    assert all(
        set(line)
        == {
            "time",
            "level",
            "logger",
            "request",
            "method",
            "route",
            "status",
            "bytes",
            "milliseconds",
            "process",
        }
        for line in lines
    )


def test_addresses_are_logged_if_set():
    with TalkingService(SCALDLOAF_LOG="json", SCALDLOAF_LOG_ADDRESSES="on", SCALDLOAF_PROXIES="1") as service:
        requests.get(f"{service.url}/livez", headers={"X-Forwarded-For": "203.0.113.5"}, timeout=120)
        assert service.stop() == 0
        assert [line["address"] for line in logged(service) if line.get("route") == "/livez"] == [
            "203.0.113.5"
        ]


def test_an_internal_error_is_a_line_of_json_too(capsys):
    import logging
    import sys

    from scaldloaf.http.logs import JsonLines

    try:
        raise ValueError("midnight-rye")
    except ValueError:
        record = logging.LogRecord("scaldloaf", logging.ERROR, __file__, 1, "unforeseen", (), sys.exc_info())
    line = json.loads(JsonLines().format(record))
    assert line["error"] == "ValueError" and "test_running" in line["trace"]
    assert "midnight-rye" not in line["message"] + line["error"]
