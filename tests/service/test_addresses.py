"""Each address has one spelling: no other reaches a call or a page, or avoids a limit."""

import json
import re
from urllib.parse import urlsplit

import pytest
from flask.testing import FlaskClient
from gunicorn.util import split_request_uri, unquote_to_wsgi_str
from werkzeug.test import EnvironBuilder

from running import Service, TalkingService
from scaldloaf.http import create_app
from scaldloaf.http.settings import Settings
from scaldloaf.operations.lantern_quay import TIN_LOAF
from spellings import HOST, addresses, other_spellings, raw

PROBLEM = "application/problem+json"
JSON = "application/json"
BODY = json.dumps({"formula": TIN_LOAF}).encode()


@pytest.fixture(scope="module")
def counting():
    """The application with metrics, so that /metrics is one of its addresses."""
    return create_app(Settings(metrics=True))


def status_of(app, environ: dict) -> str:
    """The status line of the application's answer."""
    begun = []
    app(environ, lambda status, *_: begun.append(status))
    (status,) = begun
    return status


def ask(
    app, method: str, target: str, body: bytes = b"", media: str = JSON, **more
) -> tuple[str, dict, bytes]:
    """The application's answer to a request line, parsed as gunicorn would."""
    parts = split_request_uri(target)
    environ = EnvironBuilder(method=method, data=body, content_type=media).get_environ()
    environ |= {
        "RAW_URI": target,
        "REQUEST_URI": target,
        "PATH_INFO": unquote_to_wsgi_str(parts.path),
        "QUERY_STRING": parts.query,
        **more,
    }
    begun = []
    answer = app(environ, lambda status, headers, _=None: begun.append((status, dict(headers))))
    content = b"".join(answer)
    if hasattr(answer, "close"):
        answer.close()
    return *begun[0], content


def test_every_address_answers_to_one_spelling_only(counting):
    known = addresses(counting)
    assert {
        "/",
        "/v1/scaling",
        "/v1/bulk",
        "/v1/units",
        "/livez",
        "/readyz",
        "/metrics",
        "/openapi.json",
        "/docs",
        "/embed",
        "/problems",
        "/problems/not-json",
        "/sw.js",
        "/panel.js",
        "/docs/swagger-ui-bundle.js",
    } <= set(known)
    for path, methods in known.items():
        method = "POST" if "POST" in methods else "GET"
        assert ask(counting, method, path)[0] not in ("404 NOT FOUND", "405 METHOD NOT ALLOWED"), path
        for target in other_spellings(path) - set(known):
            status, headers, content = ask(counting, method, target)
            assert status == "404 NOT FOUND", f"{target!r} is taken for {path!r}"
            assert headers["Content-Type"] == PROBLEM and json.loads(content)["type"] == "/problems/not-found"
            # As little as any other address that isn't there.
            assert headers["Content-Security-Policy"] == "default-src 'none'; frame-ancestors 'none'"
            assert headers["Cache-Control"] == "no-store" and "Location" not in headers
    # None of these requests counts under the label of a route.
    counted = re.findall(
        r'_count\{method="[A-Z]+",route="([^"]+)",status="4xx"\}',
        FlaskClient(counting).get("/metrics").get_data(as_text=True),
    )
    assert "none" in counted and not set(counted) & {"/", "/<file:path>", "/metrics", "/livez"}


@pytest.mark.parametrize("method", ["GET", "HEAD", "POST", "PUT", "OPTIONS"])
def test_other_spellings_are_refused_with_every_method(counting, method):
    for target in other_spellings("/v1/scaling"):
        status, headers, content = ask(counting, method, target)
        assert status == "404 NOT FOUND" and "Allow" not in headers, target
        assert bool(content) == (method != "HEAD")


def test_an_absolute_url_counts_as_its_path(counting):
    for scheme in ("http", "HTTP", "https"):
        for query in ("", "?", "?show=result"):
            target = f"{scheme}://bakery.example:8000/v1/breakdown{query}"
            assert ask(counting, "POST", target, BODY)[0] == "200 OK", target
    for target in (HOST, f"{HOST}/", f"{HOST}?a=/b"):  # an empty path is the first page's
        status, headers, content = ask(counting, "GET", target)
        assert status == "200 OK" and content == ask(counting, "GET", "/")[2], target
    for target in ("*", "?", "?a=://", "a:?://", "http://", "http://?a", "http://[::1/"):
        environ = EnvironBuilder().get_environ() | {
            "RAW_URI": target,
            "PATH_INFO": "*" if target == "*" else "",
        }
        assert status_of(counting, environ) == "404 NOT FOUND", target


def test_a_server_without_the_raw_target_works_too(counting):
    def status_without(path):
        environ = EnvironBuilder().get_environ()
        del environ["RAW_URI"]
        if path is None:
            del environ["PATH_INFO"]  # as a server may, of one that is empty
        else:
            environ["PATH_INFO"] = path
        return status_of(counting, environ)

    assert [status_without(path) for path in ("/", "", None, "/livez")] == ["200 OK"] * 4
    assert [
        status_without(path) for path in ("//livez", "livez", "/livez/", "//", "/livez\n", "/sw.js\n")
    ] == ["404 NOT FOUND"] * 6


def test_an_application_below_another_path_is_not_served(counting):
    """The pages link to the root of their host, so they would not work there."""
    for before in ("/bread", "/v1", "/"):
        status, _, _ = ask(counting, "GET", f"{before}/livez", SCRIPT_NAME=before, PATH_INFO="/livez")
        assert status == "404 NOT FOUND"


def test_no_spelling_bypasses_a_limit():
    for path, body, media in (("/v1/breakdown", BODY, JSON), ("/v1/bulk", b"", "application/x-ndjson")):
        app = create_app(Settings(rate="2/hour", bulk_rate="2/hour"))
        # A whole URL is counted as its path is.
        targets = [f"{HOST}{path}", f"{path}?show=result", path, f"{HOST}{path}"]
        assert [ask(app, "POST", target, body, media)[0][:3] for target in targets] == [
            "200",
            "200",
            "429",
            "429",
        ]
        # A path under /v1/ counts even if nothing is there; any other gets a 404.
        others = other_spellings(path)
        assert {ask(app, "POST", target, body, media)[0][:3] for target in others} == {"404", "429"}


# ---- The same through a real server


def where(service) -> tuple[str, int]:
    parts = urlsplit(service.url)
    return parts.hostname, parts.port


def test_no_spelling_bypasses_a_limit_over_the_wire():
    with Service(SCALDLOAF_RATE="2/hour", SCALDLOAF_WORKERS="1") as service:

        def post(target):
            return raw(where(service), "POST", target, BODY, {"Content-Type": JSON})

        assert [post(target)[0] for target in (f"{HOST}/v1/breakdown", "/v1/breakdown", "/v1/breakdown")] == [
            200,
            200,
            429,
        ]
        for target in sorted(other_spellings("/v1/breakdown")):
            status, headers, content = post(target)
            # 400: gunicorn itself finds no request in it.
            assert status in (400, 404, 429) and headers["content-type"] == PROBLEM, target
            assert "location" not in headers and json.loads(content)["status"] == status


def test_a_caller_cannot_set_the_path_of_the_application():
    with TalkingService(SCALDLOAF_METRICS="on") as service:
        for name in (
            "SCRIPT_NAME",
            "SCRIPT-NAME",
            "X-Script-Name",
            "X-Forwarded-Prefix",
            "X-Original-URL",
            "X-Rewrite-URL",
        ):
            assert raw(where(service), "GET", "/livez", headers={name: "/v1"})[0] == 200, name
            assert raw(where(service), "GET", "/v1/livez", headers={name: "/v1"})[0] == 404, name
        for path in ("/", "/embed", "/metrics", "/docs", "/v1/units", "/sw.js"):
            assert raw(where(service), "GET", path)[0] == 200
            for target in sorted(other_spellings(path)):
                status, headers, _ = raw(where(service), "GET", target)
                assert status in (400, 404), target
                assert "frame-ancestors 'none'" in headers["content-security-policy"]
