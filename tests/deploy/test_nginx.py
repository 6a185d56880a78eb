"""The nginx site of deploy/, in a real nginx in front of the real service."""

import json
import os
import signal
import socket
import ssl
import subprocess
import threading
import time
import warnings
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import requests
from flask.testing import FlaskClient

import tools
from backends import UNLIMITED, Nginx, free_port
from replies import PROBLEM
from running import ROOT, Service, TalkingService, until
from scaldloaf.http import create_app
from scaldloaf.http.bulk import MEDIA
from scaldloaf.http.pages import TYPES
from scaldloaf.http.problems import KINDS
from scaldloaf.http.settings import Settings
from scaldloaf.operations.facts import FACTS
from scaldloaf.operations.lantern_quay import TIN_LOAF
from spellings import HOST, other_spellings, raw

BODY = {"formula": TIN_LOAF}
STATIC = sorted(
    path.relative_to(ROOT / "web").as_posix()
    for path in (ROOT / "web").rglob("*")
    if path.suffix in TYPES and path.suffix not in (".html", ".json")
)
SAME = (
    "Content-Type",
    "Cache-Control",
    "X-Content-Type-Options",
    "Referrer-Policy",
    "Access-Control-Allow-Origin",
    "Cross-Origin-Resource-Policy",
)


EXPOSED = "Request-Id, traceparent, Retry-After, Scaldloaf-Version, Deprecation, Link"
TRACE = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"


def ids_in(log: str) -> set[str]:
    """The ids of the requests that a log of JSON lines tells of."""
    return {json.loads(line).get("request") for line in log.splitlines()}


def address(service) -> str:
    return service.url.removeprefix("http://")


def children(service) -> list[str]:
    return Path(f"/proc/{service.process.pid}/task/{service.process.pid}/children").read_text().split()


@pytest.fixture(scope="module")
def front(service):
    with Nginx(address(service)) as nginx:
        yield nginx
        assert (
            nginx.errors(
                "intended to send too large body",
                "limiting connections",
                "is forbidden",
                "client sent invalid",
            )
            == []
        )


@pytest.fixture
def web():
    with requests.Session() as session:
        session.trust_env = False
        yield session


def test_nginx_accepts_the_site():
    nginx = Nginx("127.0.0.1:9")
    checked = nginx.test()
    assert checked.returncode == 0 and "warn" not in checked.stderr, checked.stderr


def test_calls_pages_and_problems_come_through_unchanged(front, service, session, contract):
    for path in ("/", "/openapi.json", "/v1/units", "/readyz", "/nowhere"):
        direct, through = session.get(service.url + path), session.get(front.url + path)
        assert through.status_code == direct.status_code
        own = direct.headers["Request-Id"].encode(), through.headers["Request-Id"].encode()
        assert through.content == direct.content.replace(*own)
        assert through.headers["Content-Security-Policy"] == direct.headers["Content-Security-Policy"]
        assert through.headers["X-Content-Type-Options"] == "nosniff"
    for path in ("/", "/v1/units"):
        etag = session.get(front.url + path).headers["ETag"]
        assert session.get(front.url + path, headers={"If-None-Match": etag}).status_code == 304
    good = session.post(f"{front.url}/v1/breakdown", json=BODY)
    assert good.status_code == 200 and good.headers["Cache-Control"] == "no-store"
    assert session.post(f"{front.url}/v1/breakdown", json={}).status_code == 422
    # The service says what is too large, with the limit; far beyond that nginx does.
    over = session.post(
        f"{front.url}/v1/breakdown", data=b" " * 66_000, headers={"Content-Type": "application/json"}
    )
    assert over.status_code == 413 and over.json()["errors"][0]["nearest"] == 64 * 1024
    far = session.post(
        f"{front.url}/v1/breakdown", data=b" " * 300_000, headers={"Content-Type": "application/json"}
    )
    assert far.status_code == 413 and far.headers["Content-Type"] == PROBLEM


def test_only_public_answers_are_cached():
    with (
        TalkingService(SCALDLOAF_LOG="json") as service,
        Nginx(address(service)) as nginx,
        requests.Session() as session,
    ):
        session.trust_env = False
        kept = (
            *(f"/v1/{facts.name}" for facts in FACTS),
            "/openapi.json",
            "/problems",
            "/problems/not-json",
            "/docs/swagger-ui-bundle.js",
        )
        first = {path: session.get(nginx.url + path) for path in kept}
        for path in ("/", "/sw.js", "/readyz", "/nowhere", "/v1/units?x=1"):
            session.get(nginx.url + path)
        assert session.post(f"{nginx.url}/v1/breakdown", json=BODY).status_code == 200
        again = {path: session.get(nginx.url + path) for path in kept}
        for path in kept:
            assert first[path].content == again[path].content
        # Its own id and trace for each request, from the cache too.
        named = {"X-Request-Id": "till-7", "traceparent": TRACE}
        told = session.get(f"{nginx.url}/v1/units", headers=named)
        assert (told.headers["Request-Id"], told.headers["traceparent"]) == ("till-7", TRACE)
        untold = session.get(f"{nginx.url}/v1/units", headers={"X-Request-Id": "a b", "traceparent": "00-0"})
        assert "traceparent" not in untold.headers
        same = {"If-None-Match": again["/v1/units"].headers["ETag"]}
        unchanged = session.get(f"{nginx.url}/v1/units", headers=same)
        assert (unchanged.status_code, unchanged.content) == (304, b"")
        hidden = [told, untold, unchanged, *again.values()]
        seen = [*first.values(), session.post(f"{nginx.url}/v1/breakdown", json=BODY)]
        assert len({reply.headers["Request-Id"] for reply in hidden + seen}) == len(hidden + seen)
        assert all(reply.headers["Access-Control-Expose-Headers"] == EXPOSED for reply in hidden + seen)
        service.stop()
        # The service has seen each the first time only; nginx logs them all, by the same ids.
        served = ids_in(service.output())
        assert served.issuperset(reply.headers["Request-Id"] for reply in seen)
        assert served.isdisjoint(reply.headers["Request-Id"] for reply in hidden)
        log = (nginx.folder / "scaldloaf.log").read_text()
        assert ids_in(log).issuperset(reply.headers["Request-Id"] for reply in hidden + seen)
        assert "127.0.0.1" not in log and "?" not in log and "/nowhere" not in log
        assert session.get(f"{nginx.url}/v1/units").content == first["/v1/units"].content
        for path in ("/", "/readyz", "/v1/units?x=1", "/livez"):
            assert session.get(nginx.url + path).status_code == 503, path
        assert session.post(f"{nginx.url}/v1/breakdown", json=BODY).status_code == 503
        held = [path.read_bytes() for path in (nginx.folder / "cache").rglob("*") if path.is_file()]
        assert len(held) == len(kept)


def test_answers_are_compressed(front, session):
    reply = session.post(f"{front.url}/v1/breakdown", json=BODY)
    assert reply.headers["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in reply.headers["Vary"]
    plain = session.post(f"{front.url}/v1/breakdown", json=BODY, headers={"Accept-Encoding": "identity"})
    assert "Content-Encoding" not in plain.headers and plain.json() == reply.json()


def test_nginx_and_the_service_send_the_same_files(front, service, web):
    for path in STATIC:
        direct, through = web.get(f"{service.url}/{path}"), web.get(f"{front.url}/{path}")
        assert through.status_code == direct.status_code == 200, path
        assert through.content == direct.content, path
        for name in SAME:
            assert through.headers.get(name, "").lower() == direct.headers.get(name, "").lower(), (
                f"{name} of {path}"
            )
        assert "frame-ancestors 'none'" in through.headers["Content-Security-Policy"]
        again = web.get(f"{front.url}/{path}", headers={"If-None-Match": through.headers["ETag"]})
        assert again.status_code == 304, path
    # What a service worker may do is said by the policy that comes with it.
    assert (
        web.get(f"{front.url}/sw.js").headers["Content-Security-Policy"]
        == web.get(f"{service.url}/sw.js").headers["Content-Security-Policy"]
    )


def test_other_paths_go_to_the_service(front, web):
    missing = web.get(f"{front.url}/no-such-part.js")
    assert missing.status_code == 404 and missing.headers["Content-Type"] == PROBLEM
    assert web.get(f"{front.url}/../deploy/serve").status_code == 404
    assert web.get(f"{front.url}/..%2fdeploy%2fserve").status_code in (400, 404)
    posted = web.post(f"{front.url}/styles/page.css")
    assert posted.status_code == 405 and posted.headers["Content-Type"] == PROBLEM


# One address of each location of the site.
@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/page/page-main.js",
        "/messages/en/page.js",
        "/sw.js",
        "/embed",
        "/docs/swagger-ui-bundle.js",
        "/v1/units",
        "/openapi.json",
        "/problems/not-json",
        "/v1/breakdown",
        "/v1/bulk",
    ],
)
def test_no_location_is_reached_by_another_spelling(front, path):
    where = "127.0.0.1", front.port
    assert raw(where, "GET", path)[0] in (200, 405) and raw(where, "GET", HOST + path)[0] in (200, 405)
    # nginx leaves the scheme of a whole URL unread.
    for target in sorted(target for target in other_spellings(path) if not target.startswith("ftp:")):
        status, headers, content = raw(where, "GET", target)
        assert status in (400, 404) and headers["content-type"] == PROBLEM, (
            f"{target!r} is taken for {path!r}"
        )
        assert json.loads(content)["status"] == status and "location" not in headers
        assert headers["content-security-policy"] == "default-src 'none'; frame-ancestors 'none'"
    # The answer is about the address, not about the size of the body.
    status, _, content = raw(where, "POST", f"/{path}", b" " * 300_000)
    assert status == json.loads(content)["status"] == 404


def test_no_spelling_bypasses_a_limit():
    with (
        Service(
            SCALDLOAF_RATE="2/hour",
            SCALDLOAF_BULK_RATE="2/hour",
            SCALDLOAF_PROXIES="1",
            SCALDLOAF_WORKERS="1",
        ) as service,
        Nginx(address(service)) as nginx,
    ):
        body = json.dumps(BODY).encode()

        def post(target, media):
            return raw(("127.0.0.1", nginx.port), "POST", target, body, {"Content-Type": media})[0]

        for path, media in (("/v1/breakdown", "application/json"), ("/v1/bulk", MEDIA)):
            assert [post(target, media) for target in (HOST + path, path, path)] == [200, 200, 429]
            assert {
                post(target, media) for target in other_spellings(path) - {f"ftp://bakery.example{path}"}
            } <= {400, 404, 429}


def test_a_query_fills_no_cache(front, service, web):
    """Facts take no query, but an empty one such as ?& is accepted; each would be one more entry."""
    for query in ("?&", "?&&", "?%26=", "?x=1"):
        assert (
            web.get(f"{front.url}/v1/units{query}").status_code
            == web.get(f"{service.url}/v1/units{query}").status_code
        )
    web.get(f"{front.url}/docs/swagger-ui-bundle.js?v=1")
    held = [path.read_bytes() for path in (front.folder / "cache").rglob("*") if path.is_file()]
    assert not [entry for entry in held if b"?" in entry.partition(b"KEY: ")[2].partition(b"\n")[0]]


def test_metrics_are_for_this_machine_only(front, web, contract):
    nginx = Nginx("127.0.0.1:9", **{"allow 127.0.0.1;": ""})
    with nginx:
        hidden = web.get(f"{nginx.url}/metrics", headers={"traceparent": TRACE})
    assert hidden.status_code == 404 and hidden.headers["Content-Type"] == PROBLEM
    assert hidden.headers["traceparent"] == TRACE
    assert hidden.headers["Access-Control-Expose-Headers"] == EXPOSED
    assert web.get(f"{front.url}/metrics").status_code == 404  # off by default
    with (
        TalkingService(SCALDLOAF_METRICS="on") as service,
        Nginx(address(service)) as here,
        Nginx(address(service), **{"allow 127.0.0.1;": ""}) as elsewhere,
    ):
        shown = web.get(f"{here.url}/metrics", headers={"Origin": "https://recipes.example"})
        assert shown.status_code == 200 and "scaldloaf_request_seconds" in shown.text
        assert (
            "Access-Control-Allow-Origin" not in shown.headers
            and shown.headers["Cache-Control"] == "no-store"
        )
        assert shown.headers["Cross-Origin-Resource-Policy"] == "same-origin"
        for target in ("/metrics", f"{HOST}/metrics", "/metrics?a", *sorted(other_spellings("/metrics"))):
            for headers in ({}, {"X-Forwarded-For": "127.0.0.1", "X-Real-IP": "127.0.0.1"}):
                status, _, content = raw(("127.0.0.1", elsewhere.port), "GET", target, headers=headers)
                assert status in (400, 404) and b"scaldloaf_" not in content, target


def test_what_nginx_itself_refuses_is_a_problem_too(web, contract):
    with Nginx("127.0.0.1:9") as nginx:  # no service is there
        gone = web.post(f"{nginx.url}/v1/breakdown", json=BODY)
        assert gone.headers["Retry-After"]
        long = web.get(f"{nginx.url}/{'a' * 9000}")
        for reply, status in ((gone, 503), (long, 414)):
            assert (reply.status_code, reply.headers["Content-Type"]) == (status, PROBLEM)
            assert reply.headers["Cache-Control"] == "no-store" and "Content-Security-Policy" in reply.headers
            assert reply.json()["status"] == status
            assert reply.json()["request_id"] == reply.headers["Request-Id"]
            contract.check("GET", "", 400, PROBLEM, reply.content)  # 400: any problem will do
            kind = KINDS[reply.json()["type"].removeprefix("/problems/")]
            assert kind.title == reply.json()["title"] and kind.status in (status, 400)


def lines(count: int):
    for start in range(0, count, 50):
        yield b"".join(
            json.dumps({"id": number, "call": "breakdown", "body": BODY}).encode() + b"\n"
            for number in range(start, min(start + 50, count))
        )


def test_bulk_streams_its_answers_and_may_be_large(front, web):
    count = 8_000  # 5 MB: more than any buffer on the way
    with web.post(
        f"{front.url}/v1/bulk?show=result",
        data=lines(count),
        headers={"Content-Type": MEDIA},
        stream=True,
        timeout=120,
    ) as reply:
        assert reply.status_code == 200
        seen = 0
        for line in reply.iter_lines(chunk_size=65536):
            answer = json.loads(line)
            assert (answer["id"], answer["status"]) == (seen, 200)
            seen += 1
    assert seen == count


def test_bulks_per_client_are_limited(front, web):
    head = (
        b"POST /v1/bulk HTTP/1.1\r\nHost: bakery.example\r\nContent-Type: application/x-ndjson\r\n"
        b"Content-Length: 100000\r\n\r\n"
    )
    held = []
    try:
        for _ in range(4):
            held.append(socket.create_connection(("127.0.0.1", front.port), timeout=60))
            held[-1].sendall(head)
        fifth = until(
            lambda: web.post(f"{front.url}/v1/bulk", data=b"{}", headers={"Content-Type": MEDIA}),
            lambda reply: reply.status_code == 429,
        )  # nginx may not have seen the four yet
        assert (fifth.status_code, fifth.headers["Content-Type"]) == (429, PROBLEM) and fifth.headers[
            "Retry-After"
        ]
    finally:
        for connection in held:
            connection.close()


def is_limited(reply: requests.Response, contract) -> bool:
    """Whether nginx refused the call, with the same problem as the service."""
    if reply.status_code != 429:
        return False
    own = FlaskClient(create_app(Settings(rate="1/hour")))
    of_service = [own.post("/v1/breakdown", json=BODY) for _ in range(2)][1]
    for name in (
        "Content-Type",
        "Cache-Control",
        "Content-Security-Policy",
        "X-Content-Type-Options",
        "Access-Control-Allow-Origin",
    ):
        assert reply.headers[name] == of_service.headers[name], name
    assert reply.headers["Access-Control-Expose-Headers"] == EXPOSED
    wait = reply.headers["Retry-After"]
    assert int(wait) > 0 and "Retry-After" in of_service.headers
    contract.check("POST", "", 429, PROBLEM, reply.content)
    named = of_service.headers["Retry-After"]
    wanted = json.loads(of_service.get_data(as_text=True).replace(f"in {named} s", f"in {wait} s"))
    assert reply.json() == {**wanted, "instance": "", "request_id": reply.headers["Request-Id"]}
    return True


def test_calls_per_address_are_limited_and_probes_are_not(service, web, contract):
    def ask(url):
        return is_limited(web.post(f"{url}/v1/breakdown?show=result", json=BODY), contract)

    with Nginx(address(service), **{"rate=100r/s": "rate=1r/m", "burst=500": "burst=3"}) as nginx:
        assert [ask(nginx.url) for _ in range(6)] == [False] * 4 + [True] * 2
        for path in ("/", "/v1/units", "/styles/page.css", "/nowhere"):
            assert is_limited(web.get(nginx.url + path), contract), path
        assert is_limited(
            web.post(f"{nginx.url}/v1/bulk", data=b"", headers={"Content-Type": MEDIA}), contract
        )
        for _ in range(5):
            assert (
                web.get(f"{nginx.url}/livez").status_code == web.get(f"{nginx.url}/readyz").status_code == 200
            )
    with Nginx(
        address(service), **{"limit_conn scaldloaf_calls 64": "limit_conn scaldloaf_calls 2"}
    ) as nginx:
        held = []
        try:
            for _ in range(2):
                held.append(socket.create_connection(("127.0.0.1", nginx.port), timeout=120))
                held[-1].sendall(b"POST /v1/breakdown HTTP/1.1\r\nHost: a\r\nContent-Length: 9\r\n\r\n")
            until(lambda: ask(nginx.url))  # nginx may not have accepted both yet
            assert web.get(f"{nginx.url}/livez").status_code == 200
        finally:
            for connection in held:
                connection.close()


def test_a_page_and_a_till_stay_far_below_the_limits(front, web):
    """Every part of the page at once, and then two hundred calls."""
    for path in STATIC:
        assert web.get(f"{front.url}/{path}").status_code == 200
    assert {web.post(f"{front.url}/v1/breakdown?show=result", json=BODY).status_code for _ in range(200)} == {
        200
    }


@pytest.mark.parametrize("threads", ["1", "8"])
def test_the_refusal_of_a_body_too_large_passes_through_nginx(web, threads):
    """The service refuses while nginx is still sending."""
    with Service(SCALDLOAF_THREADS=threads) as service, Nginx(address(service), **UNLIMITED) as nginx:
        for number in range(300):
            reply = web.post(
                f"{nginx.url}/v1/breakdown",
                data=b" " * (66_000 + number * 600),
                headers={"Content-Type": "application/json"},
            )
            assert reply.status_code == 413 and reply.json()["errors"][0]["nearest"] == 64 * 1024
        assert nginx.errors() == []


def test_the_refusal_of_a_bulk_too_large_passes_through_nginx(web):
    with Service(SCALDLOAF_MAX_BULK_BYTES=str(1024**2)) as service, Nginx(address(service)) as nginx:
        for _ in range(5):
            reply = web.post(f"{nginx.url}/v1/bulk", data=b" " * 50_000_000, headers={"Content-Type": MEDIA})
            assert reply.status_code == 413 and reply.json()["errors"][0]["nearest"] == 1024**2


def test_a_slow_reader_behind_nginx_occupies_no_place_for_bulk(web):
    """nginx stores the answers: 20 MB, more than the connections buffer."""
    body = b"".join(lines(4000))
    with (
        Service(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="2") as service,
        Nginx(address(service)) as nginx,
        socket.socket() as slow,
    ):
        slow.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 65536)
        slow.settimeout(60)
        slow.connect(("127.0.0.1", nginx.port))
        slow.sendall(
            b"POST /v1/bulk HTTP/1.1\r\nHost: a\r\nContent-Type: application/x-ndjson\r\n"
            b"Content-Length: %d\r\n\r\n" % len(body) + body
        )
        assert slow.recv(1)
        end = time.monotonic() + 60
        while web.post(f"{nginx.url}/v1/bulk", data=b"", headers={"Content-Type": MEDIA}).status_code == 429:
            assert time.monotonic() < end
            time.sleep(0.1)
        answer = bytearray()
        while not answer.endswith(b"\r\n0\r\n\r\n"):
            part = slow.recv(65536)
            assert part, "the answers were cut"
            answer += part
        assert answer.count(b'"status":200') == 4000


def test_the_client_is_the_one_nginx_sees():
    with (
        Service(SCALDLOAF_RATE="2/hour", SCALDLOAF_PROXIES="1", SCALDLOAF_WORKERS="1") as service,
        Nginx(address(service)) as nginx,
    ):

        def post(named):
            return requests.post(
                f"{nginx.url}/v1/breakdown", json=BODY, headers={"X-Forwarded-For": named}, timeout=120
            )

        replies = [post(f"203.0.113.{number}") for number in range(3)]
        assert [reply.status_code for reply in replies] == [200, 200, 429]
        assert int(replies[-1].headers["Retry-After"]) > 0


def until_answered(count: int, done: list, wrong: list) -> None:
    """Wait for this many more answers in ``done``, or a failure in ``wrong``."""
    enough = len(done) + count
    until(lambda: wrong or len(done) >= enough)


def test_no_call_is_lost_when_its_worker_dies():
    """Workers are killed again and again; nginx retries their calls at another."""
    with TalkingService(SCALDLOAF_WORKERS="3") as service, Nginx(address(service), **UNLIMITED) as nginx:
        enough, wrong, done = threading.Event(), [], []

        def ask():
            with requests.Session() as session:
                while not enough.is_set():
                    try:
                        reply = session.post(f"{nginx.url}/v1/breakdown", json=BODY, timeout=120)
                        assert reply.status_code == 200 and reply.json()["scalded_share_percent"] == 20
                        done.append(reply)
                    except Exception as error:
                        wrong.append(error)

        threads = [threading.Thread(target=ask) for _ in range(6)]
        for thread in threads:
            thread.start()
        try:
            for _ in range(10):
                alive = until(lambda: children(service), lambda workers: len(workers) > 1)
                os.kill(int(alive[0]), signal.SIGKILL)
                until_answered(20, done, wrong)
        finally:
            enough.set()
            for thread in threads:
                thread.join()
        assert wrong == []


def test_slow_callers_behind_nginx_block_no_worker():
    """Forty callers, more than threads, send a byte now and then; a whole call still gets its answer."""
    with Service(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="2") as service, Nginx(address(service)) as nginx:
        body = json.dumps(BODY).encode()
        head = (
            b"POST /v1/breakdown HTTP/1.1\r\nHost: bakery.example\r\nContent-Type: application/json\r\n"
            b"Content-Length: %d\r\n\r\n" % len(body)
        )
        slow = [socket.create_connection(("127.0.0.1", nginx.port), timeout=60) for _ in range(40)]
        try:
            for connection in slow:
                connection.sendall(head + body[:1])
            for position in range(1, 5):
                for connection in slow:
                    connection.sendall(body[position : position + 1])
                assert requests.post(f"{nginx.url}/v1/breakdown", json=BODY, timeout=60).status_code == 200
            for connection in slow:  # and each is answered in the end
                connection.sendall(body[5:])
            assert all(connection.recv(15) == b"HTTP/1.1 200 OK" for connection in slow)
        finally:
            for connection in slow:
                connection.close()


def test_settings_and_workers_are_renewed_without_losing_a_call():
    """SIGHUP during calls, with and without nginx."""
    with Service(SCALDLOAF_METRICS="on") as service, Nginx(address(service), **UNLIMITED) as nginx:
        enough, wrong, done = threading.Event(), [], []

        def ask(url):
            while not enough.is_set():
                try:
                    reply = requests.post(f"{url}/v1/breakdown", json=BODY, timeout=120)
                    assert reply.status_code == 200
                    done.append(reply)
                except Exception as error:
                    wrong.append(error)

        threads = [
            threading.Thread(target=ask, args=(where.url,)) for where in (service, nginx) for _ in range(2)
        ]
        for thread in threads:
            thread.start()
        try:
            for _ in range(2):
                until_answered(10, done, wrong)
                workers = set(children(service))
                service.process.send_signal(signal.SIGHUP)
                until(lambda: children(service), lambda now, old=workers: now and not set(now) & old)
        finally:
            enough.set()
            for thread in threads:
                thread.join()
        assert wrong == []
        # Counted when its answer has gone: the caller may be a moment ahead.
        counted = f'route="/v1/breakdown",status="2xx"}} {float(len(done))}'
        until(
            lambda: requests.get(f"{service.url}/metrics", timeout=120).text,
            lambda figures: counted in figures,
        )


# TLS and access control


def openssl(*arguments: str) -> str:
    command = [tools.find("openssl"), *arguments]
    return subprocess.run(command, check=True, capture_output=True, text=True, timeout=120).stdout


@pytest.fixture(scope="module")
def closed(service, tmp_path_factory):
    """The site with TLS and access control: (nginx, address by TLS, the certificate that callers trust)."""
    folder, port = tmp_path_factory.mktemp("tls"), free_port()
    key, certificate = folder / "key.pem", folder / "certificate.pem"
    curve = "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes"
    named = "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"
    openssl("req", "-x509", *curve, *named, "-days", "2", "-keyout", str(key), "-out", str(certificate))
    tls, access = ((ROOT / "deploy/nginx" / name).read_text("utf-8") for name in ("tls.conf", "access.conf"))
    here = tls.replace("listen 443 ", f"listen 127.0.0.1:{port} ").replace("listen [::]:443 ssl http2;", "")
    assert here.count("listen ") == 1
    own = {
        "tls.conf": here,
        "access.conf": access,
        "key.pem": key.read_text(),
        "certificate.pem": certificate.read_text(),
        "users": f"till:{openssl('passwd', '-6', 'crust')}",
    }
    with Nginx(address(service), own) as nginx:
        os.chmod(nginx.folder, 0o755)  # the users' file is read by the worker of nginx
        yield nginx, f"https://localhost:{port}", certificate
        assert nginx.errors("user ", "password mismatch", "no user/password", "plain HTTP request") == []


def test_every_answer_by_tls_says_that_tls_is_a_must(closed, web):
    _, url, certificate = closed
    for path, status in {
        "/": 200,
        "/v1/units": 200,
        "/page/page-main.js": 200,
        "/livez": 200,
        "/nowhere": 404,
        "//": 404,
        "/metrics": 404,
        "/v1/bulk": 401,
    }.items():
        # Not by ``requests``, which would spell the path in its own way.
        said = curl(certificate, "-D", "-", "-o", "/dev/null", "--path-as-is", url + path)
        assert f" {status} " in said.splitlines()[0] + " ", path
        assert said.lower().count("strict-transport-security: max-age=31536000\r\n".strip()) == 1, path
        assert said.lower().count("\nrequest-id: ") == 1, path
    embedded = web.get(f"{url}/embed", verify=certificate)
    assert "https://localhost " in embedded.headers["Content-Security-Policy"].replace(";", " ")
    assert "Cross-Origin-Opener-Policy" not in embedded.headers


def curl(certificate: Path, *arguments: str) -> str:
    return subprocess.run(
        ["curl", "-s", "--cacert", str(certificate), *arguments],
        check=True,
        capture_output=True,
        text=True,
        timeout=120,
        env={**os.environ, "no_proxy": "*"},
    ).stdout


def test_calls_by_http_2_and_only_by_tls_that_is_sound(closed):
    _, url, certificate = closed
    version = curl(
        certificate,
        "--http2",
        "-H",
        "Content-Type: application/json",
        "-d",
        json.dumps(BODY),
        "-o",
        "/dev/null",
        "-w",
        "%{http_version} %{http_code}",
        f"{url}/v1/breakdown",
    )
    assert version == "2 200"
    where = urlsplit(url)
    for most, spoken in ((ssl.TLSVersion.TLSv1_3, "TLSv1.3"), (ssl.TLSVersion.TLSv1_2, "TLSv1.2")):
        assert spoken_with(where, certificate, most) == spoken
    with pytest.raises(ssl.SSLError, match="(?i)alert protocol version"), warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        spoken_with(where, certificate, ssl.TLSVersion.TLSv1_1)


def spoken_with(where, certificate: Path, most: ssl.TLSVersion) -> str | None:
    context = ssl.create_default_context(cafile=str(certificate))
    context.minimum_version = ssl.TLSVersion.MINIMUM_SUPPORTED
    context.maximum_version = most
    context.set_ciphers("ALL:@SECLEVEL=0")  # or the caller itself would refuse
    with (
        socket.create_connection((where.hostname, where.port), timeout=120) as plain,
        context.wrap_socket(plain, server_hostname=where.hostname) as connection,
    ):
        return connection.version()


def test_what_comes_in_clear_is_sent_to_tls(closed, web):
    nginx, url, _ = closed
    for method, path in (("GET", "/"), ("POST", "/v1/breakdown?show=result"), ("GET", "/page/page-main.js")):
        sent = web.request(method, nginx.url + path, allow_redirects=False)
        assert (sent.status_code, sent.headers["Location"]) == (308, f"https://127.0.0.1{path}")
        assert "Strict-Transport-Security" not in sent.headers and sent.headers["Request-Id"]
    challenge = web.get(f"{nginx.url}/.well-known/acme-challenge/word", allow_redirects=False)
    assert challenge.status_code == 404
    for probe in ("/livez", "/readyz"):
        assert web.get(nginx.url + probe, allow_redirects=False).status_code == 200
    assert (
        web.get(url.replace("https", "http"), allow_redirects=False).status_code == 308
    )  # at TLS's own port


def test_the_sample_of_access_control_wants_a_password_for_bulk_only(closed, web):
    _, url, certificate = closed
    web.verify = str(certificate)
    bulk, ndjson = f"{url}/v1/bulk", {"Content-Type": MEDIA}
    for caller in (None, ("till", "crumb"), ("other", "crust")):
        refused = web.post(bulk, data=b"", headers=ndjson, auth=caller)
        assert (refused.status_code, refused.headers["Content-Type"]) == (401, PROBLEM)
        assert refused.headers["WWW-Authenticate"] == 'Basic realm="Scaldloaf"'
        assert refused.json()["request_id"] == refused.headers["Request-Id"]
        # A kind of the installation, not of the service: the document does not list it.
        assert refused.json()["type"] == "about:blank" and refused.json()["status"] == 401
    (line,) = lines(1)
    answered = web.post(bulk, data=line, headers=ndjson, auth=("till", "crust"))
    assert answered.status_code == 200 and answered.json()["status"] == 200
    for path in ("/v1/order-demand", "/v1/order-demand.csv"):
        assert web.post(url + path, json={}).status_code == 401
        assert web.post(url + path, json={}, auth=("till", "crust")).status_code in (404, 422)
    assert web.post(f"{url}/v1/breakdown", json=BODY).status_code == 200
    asked = {"Origin": "https://recipes.example", "Access-Control-Request-Method": "POST"}
    assert web.options(bulk, headers=asked).status_code == 200
