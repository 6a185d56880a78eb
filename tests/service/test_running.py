"""What an installation turns on by environment: limits, figures, logs."""

import json
import os
import re
import signal
import tempfile
import threading
import time
from pathlib import Path

import pytest
import requests
from flask.testing import FlaskClient

import tools
from backends import Redis
from running import TalkingService, until
from scaldloaf.http import create_app
from scaldloaf.http.limits import client_of
from scaldloaf.http.settings import BadSetting, Settings, settings_from
from scaldloaf.operations.lantern_quay import TIN_LOAF

BODY = {"formula": TIN_LOAF}


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
        ("LOG", "text", "off or json"),
        ("LOG_ADDRESSES", "1", "off or on"),
        ("MAX_BODY_BYTES", "1e6", "a whole number from 1024"),
        ("MAX_BULK_BYTES", "²", "a whole number from 1048576"),
    ],
)
def test_a_bad_value_says_what_it_should_be(name, value, words):
    with pytest.raises(
        BadSetting, match=f"^SCALDLOAF_{name} is {re.escape(repr(value))}; it should be .*{re.escape(words)}"
    ):
        settings_from({f"SCALDLOAF_{name}": value})


@pytest.mark.parametrize("slip, meant", [
    ("RATES", "RATE"), ("BULKRATE", "BULK_RATE"), ("METRIC", "METRICS"), ("PROXIE", "PROXIES"),
    ("WORKER", "WORKERS"), ("LOG_ADDRESS", "LOG_ADDRESSES"), ("MAX_BODY_BYTE", "MAX_BODY_BYTES")])
def test_a_name_nearly_right_is_a_mistake(slip, meant):
    with pytest.raises(BadSetting, match=f"^SCALDLOAF_{slip} is no setting; it should be SCALDLOAF_{meant}$"):
        settings_from({f"SCALDLOAF_{slip}": "60/minute"})


def test_names_of_others_are_let_be():
    others = {f"SCALDLOAF_{name}": "x" for name in ("SERVICE_HOST", "PORT", "PORT_80_TCP_ADDR", "CHROMIUM", "NODE", "NPM",
                                                    "NGINX", "REDIS", "SYSTEMD_ANALYZE")}
    assert settings_from({**others, "RATES": "x", "scaldloaf_rates": "x"}) == Settings()
    assert settings_from({"SCALDLOAF_WORKERS": "2", "SCALDLOAF_THREADS": "1"}) == Settings()


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
    assert said.startswith("SCALDLOAF_REDIS_URL can't be read; it should be redis://host:port/number")
    assert "secret" not in said and "localhost" not in said


def test_redis_without_a_limit_is_a_mistake_and_empty_means_unset():
    with pytest.raises(BadSetting, match="nothing is limited"):
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
    # What tells a proxy or a kitchen that all is well is never refused, nor is the page.
    for path in ("/livez", "/readyz", "/", "/openapi.json"):
        assert client.get(path, environ_overrides={"REMOTE_ADDR": "192.0.2.1"}).status_code == 200
    assert client.options("/v1/breakdown", environ_overrides={"REMOTE_ADDR": "192.0.2.1"}).status_code == 200
    assert client.get("/readyz").json == {"status": "ok", "rate_limit": "memory"}


def test_whoever_waits_as_told_is_answered():
    client = FlaskClient(create_app(Settings(rate="2/second")))
    for _ in range(3):
        refused = next(reply for reply in iter(lambda: post(client), None) if reply.status_code == 429)
        time.sleep(int(refused.headers["Retry-After"]))
        assert post(client).status_code == 200


def test_bulk_has_a_rate_of_its_own():
    client = FlaskClient(create_app(Settings(bulk_rate="1/hour")))

    def send():
        return client.post("/v1/bulk", data=b"", content_type="application/x-ndjson").status_code

    assert [send(), send()] == [200, 429]
    assert {post(client).status_code for _ in range(20)} == {200}


def test_only_what_our_own_proxies_say_is_believed():
    named = {"REMOTE_ADDR": "10.0.0.9", "HTTP_X_FORWARDED_FOR": "198.51.100.1, 203.0.113.5, 10.0.0.8"}
    assert [client_of(named, proxies) for proxies in range(5)] == [
        "10.0.0.9", "10.0.0.8", "203.0.113.5", "198.51.100.1", "10.0.0.9"]
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
    return [requests.post(f"{services[number % len(services)].url}/v1/breakdown?show=result", json=BODY,
                          timeout=120).status_code for number in range(count)]


def says(service, words: str) -> bool:
    """Whether every worker comes to say so at /readyz."""
    said = [requests.get(f"{service.url}/readyz", timeout=120).json()["rate_limit"] for _ in range(4)]
    return said == [words] * 4


def test_instances_count_together_in_redis_and_outlive_it():
    with Redis() as redis:
        settings = {"SCALDLOAF_RATE": "30/hour", "SCALDLOAF_REDIS_URL": redis.url, "SCALDLOAF_WORKERS": "1"}
        with TalkingService(**settings) as one, TalkingService(**settings) as other:
            both = [one, other]
            assert all(says(service, "redis") for service in both)
            assert sorted(statuses(both, 36)) == [200] * 30 + [429] * 6
            redis.kill()
            # Nobody is turned away for Redis's sake: each worker begins a count of its own.
            assert statuses(both, 8) == [200] * 8
            until(lambda: all(says(service, "memory, as redis is gone") for service in both))
            redis.start()
            until(lambda: all(says(service, "redis") for service in both))
            assert sorted(statuses(both, 36)) == [200] * 30 + [429] * 6     # it came back empty
            log = one.output()
            assert "Redis is gone" in log and "Redis is back" in log and "Traceback" not in log
            assert log.count("Redis is gone") == 1      # not once a request


def test_a_redis_that_hangs_holds_nobody_up():
    with Redis() as redis, TalkingService(SCALDLOAF_RATE="10000/hour", SCALDLOAF_REDIS_URL=redis.url,
                                          SCALDLOAF_WORKERS="1") as service:
        asked = redis.connections()
        os.kill(redis.process.pid, signal.SIGSTOP)
        try:
            assert statuses([service], 30) == [200] * 30
        finally:
            os.kill(redis.process.pid, signal.SIGCONT)
        assert "Redis is gone" in service.output()
        # Whoever waits for it connects anew. It is left alone for seconds, in which most of the calls were answered.
        assert redis.connections() - asked < 15


# Figures

def figures(service) -> dict[str, float]:
    reply = requests.get(f"{service.url}/metrics", timeout=120)
    assert reply.status_code == 200 and reply.headers["Content-Type"].startswith("text/plain")
    return {name: float(value) for name, value in
            re.findall(r"^([a-z_]+(?:\{[^}]*\})?) (\S+)$", reply.text, re.MULTILINE)}


ANSWERED = 'scaldloaf_request_seconds_count{method="POST",route="/v1/breakdown",status="2xx"}'
REFUSED = 'scaldloaf_request_seconds_count{method="POST",route="/v1/breakdown",status="4xx"}'


def test_figures_are_those_of_all_workers_the_dead_ones_too():
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
            f"{service.url}/v1/bulk", data=lines, headers={"Content-Type": "application/x-ndjson"}, timeout=120
        )
        wanted = {ANSWERED: 40, REFUSED: 1, 'scaldloaf_bulk_lines_total{status="2xx"}': 7,
                  'scaldloaf_bulk_lines_total{status="4xx"}': 1,
                  'scaldloaf_request_seconds_count{method="GET",route="none",status="4xx"}': 1,
                  "scaldloaf_requests_running": 1}      # the one that asks
        # A request is counted when its answer has gone, so the caller may be a moment ahead.
        until(lambda: wanted.items() <= figures(service).items())
        assert not any("no/such" in name for name in figures(service))

        workers = Path(f"/proc/{service.process.pid}/task/{service.process.pid}/children").read_text().split()
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
        (folder,) = {path.parent for place in ("/dev/shm", tempfile.gettempdir())
                     for path in Path(place).glob(f"scaldloaf-{service.process.pid}-*/*.db")}
        left = [path.name for path in folder.iterdir()]
        assert not [name for name in left for worker in workers if name.endswith(f"_{worker}.db")]
        assert service.stop() == 0 and not folder.exists()


def test_figures_are_nobodys_business_unless_asked_for(client, assert_problem):
    assert_problem(client.get("/metrics"), 404)


def test_figures_of_one_process():
    client = FlaskClient(create_app(Settings(metrics=True)))
    assert client.post("/v1/breakdown", json=BODY, buffered=True).status_code == 200
    assert ANSWERED + " 1.0" in client.get("/metrics").get_data(as_text=True)


# Logs

def logged(service) -> list[dict]:
    return [json.loads(line) for line in service.output().splitlines()]


def test_a_line_a_request_and_no_word_of_the_users():
    words = "midnight-rye"
    with TalkingService(SCALDLOAF_LOG="json") as service:
        breakdown = f"{service.url}/v1/breakdown"
        first = requests.post(
            f"{breakdown}?show=result", json={"formula": {**TIN_LOAF, "name": words}}, timeout=120
        )
        requests.post(
            f"{breakdown}?{words}={words}", json={words: words}, timeout=120, headers={"User-Agent": words}
        )
        requests.request("GET", f"{service.url}/{words}?{words}", timeout=120)
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
    assert by_status[200]["bytes"] == int(first.headers["Content-Length"])      # as sent, compressed or not
    assert 0 < by_status[200]["milliseconds"] < 20_000
    assert len({line["request"] for line in lines}) == 4
    assert all(set(line) == {"time", "level", "logger", "request", "method", "route", "status", "bytes",
                             "milliseconds", "process"} for line in lines)


def test_addresses_are_written_when_told_to():
    with TalkingService(SCALDLOAF_LOG="json", SCALDLOAF_LOG_ADDRESSES="on", SCALDLOAF_PROXIES="1") as service:
        requests.get(f"{service.url}/livez", headers={"X-Forwarded-For": "203.0.113.5"}, timeout=120)
        assert service.stop() == 0
        assert [line["address"] for line in logged(service) if line.get("route") == "/livez"] == [
            "203.0.113.5"
        ]


def test_a_fault_of_ours_is_a_line_of_json_too(capsys):
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
