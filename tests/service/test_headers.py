"""The headers of every kind of answer, over the wire from the real service."""

import gzip
import http.client
import json
import re
import socket
from urllib.parse import urlsplit

import brotli
import pytest

from scaldloaf import __version__
from scaldloaf.http.pages import EMBED_POLICY, embed_policy
from scaldloaf.operations.facts import FACTS
from scaldloaf.operations.lantern_quay import TIN_LOAF

JSON = {"Content-Type": "application/json"}
NDJSON = {"Content-Type": "application/x-ndjson"}
GOOD = json.dumps({"formula": TIN_LOAF}).encode()
LINE = json.dumps({"id": 1, "call": "breakdown", "body": {"formula": TIN_LOAF}}).encode() + b"\n"
LINK = json.dumps({"link": "https://bakery.example/#plan=q1bKS8xNVbJSUPJJzCtJLUpVCCxNzakEAA"}).encode()
ORDER = json.dumps(
    {
        "formulas": [{"id": "tin", "formula": TIN_LOAF}],
        "orders": [{"formula": "tin", "target": {"kind": "dough_mass", "mass": 900}}],
    }
).encode()

# kind of answer -> method, path, body, headers, status
ANSWERS = {
    "page": ("GET", "/", None, {}, 200),
    "page_packed": ("GET", "/", None, {"Accept-Encoding": "gzip"}, 200),
    "page_packed_smaller": ("GET", "/", None, {"Accept-Encoding": "gzip, deflate, br, zstd"}, 200),
    "script": ("GET", "/page/page-main.js", None, {}, 200),
    "style": ("GET", "/styles/page.css", None, {}, 200),
    "service_worker": ("GET", "/sw.js", None, {}, 200),
    "docs": ("GET", "/docs", None, {}, 200),
    "renderer": ("GET", "/docs/swagger-ui-bundle.js", None, {}, 200),
    "embed": ("GET", "/embed", None, {}, 200),
    "embed_as_a_file": ("GET", "/embed.html", None, {}, 200),
    "problem_page": ("GET", "/problems/invalid-request", None, {}, 200),
    "problem_list": ("GET", "/problems", None, {}, 200),
    "facts": ("GET", "/v1/units", None, {}, 200),
    "document": ("GET", "/openapi.json", None, {}, 200),
    "health": ("GET", "/livez", None, {}, 200),
    "ready": ("GET", "/readyz", None, {}, 200),
    "calculation": ("POST", "/v1/breakdown", GOOD, JSON, 200),
    "calculation_packed": ("POST", "/v1/breakdown", GOOD, {**JSON, "Accept-Encoding": "gzip"}, 200),
    "csv": ("POST", "/v1/order-demand.csv?table=batches", ORDER, JSON, 200),
    "csv_as_it_was": ("POST", "/v1/order-demand", ORDER, {**JSON, "Accept": "text/csv"}, 200),
    "bulk": ("POST", "/v1/bulk", LINE, NDJSON, 200),
    "link_code": ("POST", "/v1/link-code", LINK, JSON, 200),
    "refused": ("POST", "/v1/breakdown", b"{}", JSON, 422),
    "not_json": ("POST", "/v1/breakdown", b"{", JSON, 400),
    "not_found": ("GET", "/<script>alert(1)</script>", None, {}, 404),
    "wrong_method": ("GET", "/v1/breakdown", None, {}, 405),
    "wrong_method_of_a_page": ("POST", "/", b"", {}, 405),
    "not_acceptable": ("GET", "/v1/units", None, {"Accept": "image/png"}, 406),
    "too_large": ("POST", "/v1/breakdown", b" " * 66_000, JSON, 413),
    "wrong_media_type": (
        "POST",
        "/v1/breakdown",
        b"a=1",
        {"Content-Type": "application/x-www-form-urlencoded"},
        415,
    ),
    "compressed": ("POST", "/v1/breakdown", b"\x1f\x8b", {**JSON, "Content-Encoding": "gzip"}, 415),
    "wrong_query": ("GET", "/v1/units?x=1", None, {}, 422),
    "bulk_as_an_array": ("POST", "/v1/bulk", b"[%b]" % LINE, JSON, 200),
    "wrong_bulk": ("POST", "/v1/bulk", LINE, {"Content-Type": "text/plain"}, 415),
    "preflight": (
        "OPTIONS",
        "/v1/breakdown",
        None,
        {"Origin": "https://recipes.example", "Access-Control-Request-Method": "POST"},
        200,
    ),
    "options_nowhere": ("OPTIONS", "/nowhere", None, {}, 404),
    "head_of_a_page": ("HEAD", "/", None, {}, 200),
    "head_of_facts": ("HEAD", "/v1/units", None, {}, 200),
    "head_nowhere": ("HEAD", "/nowhere", None, {}, 404),
}
HTML = {
    "page",
    "page_packed",
    "page_packed_smaller",
    "docs",
    "embed",
    "embed_as_a_file",
    "problem_page",
    "problem_list",
    "head_of_a_page",
}


def ask(service, method: str, path: str, body: bytes | None = None, headers: dict | None = None):
    """Status, headers (every one, in a list) and body of an answer."""
    where = urlsplit(service.url)
    connection = http.client.HTTPConnection(where.hostname, where.port, timeout=120)
    try:
        connection.putrequest(method, path, skip_accept_encoding=True)
        for name, value in (headers or {}).items():
            connection.putheader(name, value)
        if body is not None:
            connection.putheader("Content-Length", str(len(body)))
        connection.endheaders(body)
        response = connection.getresponse()
        return response.status, response.getheaders(), response.read()
    finally:
        connection.close()


def only(headers: list[tuple[str, str]], name: str) -> str | None:
    """The value of a header that may occur once."""
    found = [value for key, value in headers if key.lower() == name.lower()]
    assert len(found) <= 1, f"{name} occurs {len(found)} times: {found}"
    return found[0] if found else None


def policy_of(headers: list[tuple[str, str]]) -> dict[str, list[str]]:
    """The content policy by directive."""
    text = only(headers, "Content-Security-Policy")
    assert text, "no content policy"
    return {part.split()[0]: part.split()[1:] for part in text.split(";")}


ID, TRACE = "till-7:0042", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"


@pytest.fixture(params=ANSWERS)
def answered(request, service):
    """(kind of answer, its headers, its body)."""
    method, path, body, headers, status = ANSWERS[request.param]
    got, found, content = ask(service, method, path, body, {**headers, "X-Request-Id": ID})
    assert got == status, content[:300]
    return request.param, found, content


EXPOSED = "Request-Id, traceparent, Retry-After, Scaldloaf-Version, Deprecation, Link"
OF_THE_PAGE = HTML | {"script", "style", "service_worker", "renderer"}


def test_every_answer_of_the_api_tells_its_version_to_any_page(answered):
    kind, headers, _ = answered
    of_page = kind in OF_THE_PAGE
    assert only(headers, "Scaldloaf-Version") == (None if of_page else __version__)
    exposed = only(headers, "Access-Control-Expose-Headers")
    assert exposed == (None if of_page else EXPOSED)


def test_a_page_of_this_service_reads_the_version_without_being_told_that_it_may(service):
    _, headers, _ = ask(service, "POST", "/v1/breakdown", GOOD, {**JSON, "Sec-Fetch-Site": "same-origin"})
    assert only(headers, "Scaldloaf-Version") == __version__
    assert not [name for name, _ in headers if name.startswith("Access-Control-")]
    # This answer may be kept by a cache, and then be for a page of another host.
    _, headers, _ = ask(service, "GET", "/v1/units", headers={"Sec-Fetch-Site": "same-origin"})
    assert "Scaldloaf-Version" in only(headers, "Access-Control-Expose-Headers")


def test_headers_of_every_kind_of_answer(answered, service):
    kind, headers, _ = answered
    own = urlsplit(service.url).netloc
    assert only(headers, "X-Content-Type-Options") == "nosniff"
    assert only(headers, "Access-Control-Allow-Origin") == "*"
    assert only(headers, "Request-Id") == ID and only(headers, "traceparent") is None
    page = kind in HTML and kind != "embed"
    assert (only(headers, "Cross-Origin-Opener-Policy") == "same-origin") == (
        page or kind in ("service_worker", "renderer")
    )
    assert kind not in HTML or "camera=()" in only(headers, "Permissions-Policy")
    # What is opened, or shown without being asked for by CORS; the rest does without.
    shown = kind in HTML | {"style"}
    assert only(headers, "Referrer-Policy") == ("no-referrer" if shown else None)
    assert only(headers, "Cross-Origin-Resource-Policy") == ("cross-origin" if shown else None)
    names = {name.lower() for name, _ in headers}
    assert not names & {"access-control-allow-credentials", "set-cookie", "server", "x-powered-by", "via"}
    policy = policy_of(headers)
    # A script or style sheet is under the policy of the page that loads it.
    assert policy.get("default-src") == (None if kind in ("script", "style") else ["'none'"])
    assert policy["frame-ancestors"] == (["*"] if kind == "embed" else ["'none'"])
    for directive, sources in policy.items():
        assert not any("unsafe" in source or source in ("http:", "https:") for source in sources), (
            directive,
            sources,
        )
        if kind == "embed" and directive == "connect-src":
            sources = [source for source in sources if not source.endswith(f"://{own}")]
        if directive not in ("frame-ancestors", "img-src", "sandbox"):
            assert set(sources) <= {"'self'", "'none'"}, (directive, sources)
    if kind in HTML:
        assert policy["base-uri"] == policy["form-action"] == ["'none'"] and policy["script-src"] == [
            "'self'"
        ]


def test_every_request_has_an_id_of_its_own_or_the_callers(service):
    def told(**headers) -> tuple[str, str | None]:
        _, found, content = ask(service, "GET", "/nowhere", headers=headers)
        identity = only(found, "Request-Id")
        assert json.loads(content)["request_id"] == identity
        return identity, only(found, "traceparent")

    new = re.compile("[a-z0-9]{7}-[0-9a-f]+")
    drawn = [told()[0] for _ in range(50)]
    assert len(set(drawn)) == 50 and all(map(new.fullmatch, drawn))
    assert told(**{"Request-Id": ID}) == told(**{"X-Request-Id": ID, "Request-Id": "other"}) == (ID, None)
    assert told(traceparent=TRACE)[1] == TRACE
    for bad in ("", "a b", "a,b", "a" * 129, 'a"b', "ä", "<b>"):
        assert new.fullmatch(told(**{"X-Request-Id": bad.encode("latin-1")})[0]), bad
    no_trace = TRACE.replace(TRACE[3:35], "0" * 32)
    for bad in ("", "00", TRACE.upper(), "ff" + TRACE[2:], no_trace, TRACE + "-x"):
        assert told(traceparent=bad)[1] is None, bad
    for path in ("/", "/v1/units"):  # what may be cached: an answer that nothing has changed has its own, too
        _, first, _ = ask(service, "GET", path)
        tag = {"If-None-Match": only(first, "ETag")}
        status, again, _ = ask(service, "GET", path, headers=tag)
        assert status == 304 and only(first, "Request-Id") != only(again, "Request-Id")
    _, found, _ = ask(service, "GET", "/v1/units", headers={"traceparent": TRACE})
    assert only(found, "Cache-Control").endswith(', private="Request-Id, traceparent"')


@pytest.mark.parametrize(
    ("host", "named"),
    [
        ("bakery.example", True),
        ("bakery.example:8443", True),
        ("[2001:db8::7]:8000", True),
        ("bakery.example; script-src *", False),
        ("bakery.example *", False),
        ("", False),
    ],
)
def test_the_frame_may_call_the_host_it_was_asked_of_and_no_other(host, named):
    """To WebKit the opaque origin of the frame is not 'self': that alone would let it call nothing."""
    policy = embed_policy(host)["Content-Security-Policy"]
    assert (f"connect-src 'self' http://{host} https://{host};" in policy) == named
    assert named or policy == EMBED_POLICY["Content-Security-Policy"]


def test_caching_headers(answered):
    kind, headers, _ = answered
    cache = only(headers, "Cache-Control")
    method, *_, status = ANSWERS[kind]
    if method == "POST" or status >= 400 or kind in ("health", "ready"):
        assert cache == "no-store" and only(headers, "ETag") is None
    if kind in ("facts", "document", "head_of_facts"):
        assert re.fullmatch(r'public, max-age=\d+, private="Request-Id"', cache)
    if "packed" in kind:
        assert only(headers, "Content-Encoding") == ("br" if kind.endswith("smaller") else "gzip")
        assert "Accept-Encoding" in only(headers, "Vary")


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/page/page-main.js",
        "/styles/look.css",
        "/icon.svg",
        "/v1/labels",
        "/openapi.json",
        "/docs/swagger-ui-bundle.js",
    ],
)
def test_every_encoding_is_the_same_file_with_its_own_etag(service, path):
    unpack = {None: bytes, "gzip": gzip.decompress, "br": brotli.decompress}
    tags = set()
    for encoding in (None, "gzip", "br"):
        _, headers, content = ask(
            service, "GET", path, headers={"Accept-Encoding": encoding} if encoding else {}
        )
        got = only(headers, "Content-Encoding")
        assert got in (encoding, None)  # None where packing would make it larger
        plain = unpack[got](content)
        if encoding is None:
            whole = plain
        assert plain == whole and (got is None or len(content) < len(whole))
        tags.add((got, only(headers, "ETag")))
    assert len({tag for _, tag in tags}) == len(tags)
    _, headers, _ = ask(service, "GET", path, headers={"Accept-Encoding": "br;q=0, gzip;q=0"})
    assert only(headers, "Content-Encoding") is None


def test_no_header_names_the_software(answered):
    _, headers, content = answered
    values = " ".join(value for _, value in headers).lower()
    assert not re.search(r"gunicorn|werkzeug|flask|python|nginx", values)
    if not content.startswith((b"<!doctype", b"/*", b"\x1f")) and len(content) < 2000:
        assert not re.search(rb"traceback|werkzeug|site-packages|\.py\b", content.lower())


@pytest.mark.parametrize("kind", sorted(HTML))
def test_pages_have_nothing_inline(service, kind):
    method, path, *_ = ANSWERS[kind]
    _, _, content = ask(service, "GET", path)
    text = content.decode()
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=|javascript:", text, re.IGNORECASE)
    assert all(re.search(r"\ssrc=", tag) for tag in re.findall(r"<script[^>]*>", text))
    assert not re.search(r"(?:src|href)=\"(?:https?:)?//", text), "something comes from another host"


@pytest.mark.parametrize(
    "path", [facts.path for facts in FACTS] + ["/openapi.json", "/", "/page/page-main.js", "/embed"]
)
def test_not_modified_keeps_the_policy_and_the_tag(service, path):
    _, headers, content = ask(service, "GET", path)
    tag = only(headers, "ETag")
    assert content and re.fullmatch(r'"[^"]+"', tag), "a strong tag"
    for known in (tag, f'"other", {tag}', "*"):
        status, again, nothing = ask(service, "GET", path, headers={"If-None-Match": known})
        assert (status, nothing) == (304, b"")
        assert only(again, "ETag") == tag and only(again, "X-Content-Type-Options") == "nosniff"
        assert policy_of(again) == policy_of(headers)
    assert ask(service, "GET", path, headers={"If-None-Match": '"stale"'})[0] == 200


@pytest.mark.parametrize(
    "raw",
    [
        b"hello there\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: a\r\nX: a\0b\r\n\r\n",
        b"GET /" + b"a" * 9000 + b" HTTP/1.1\r\nHost: a\r\n\r\n",
    ],
)
def test_answers_of_gunicorn_itself_have_the_same_headers(service, raw):
    where = urlsplit(service.url)
    with socket.create_connection((where.hostname, where.port), timeout=120) as connection:
        connection.sendall(raw)
        response = http.client.HTTPResponse(connection)
        response.begin()
        headers = response.getheaders()
        content = response.read()
    assert only(headers, "X-Content-Type-Options") == "nosniff" and only(headers, "Server") is None
    assert (
        only(headers, "Access-Control-Allow-Origin") == "*" and only(headers, "Cache-Control") == "no-store"
    )
    assert only(headers, "Scaldloaf-Version") == __version__
    assert only(headers, "Referrer-Policy") is None  # as on any other problem
    assert policy_of(headers) == {"default-src": ["'none'"], "frame-ancestors": ["'none'"]}
    assert only(headers, "Request-Id") == json.loads(content)["request_id"]


# ---- What a caller sends stays what it is

SPLIT = ["%0d%0aSet-Cookie:%20a=1", "%0aX-Injected:%201", "%E5%98%8A%E5%98%8DSet-Cookie:a=1", "a%00b"]


@pytest.mark.parametrize("sent", SPLIT)
@pytest.mark.parametrize(
    "path", ["/{}", "/v1/units?x={}", "/problems/{}", "/docs/{}", "/v1/breakdown?show={}"]
)
def test_an_address_cannot_add_a_header(service, sent, path):
    status, headers, _ = ask(service, "GET", path.format(sent))
    assert status in (404, 405, 422)
    assert not {name.lower() for name, _ in headers} & {"set-cookie", "x-injected", "location"}


OUTSIDE = [
    "/../README.md",
    "/..%2fREADME.md",
    "/%2e%2e/README.md",
    "/%2e%2e%2f%2e%2e%2fetc/passwd",
    "//etc/passwd",
    "/docs/../../pyproject.toml",
    "/docs/..%2f..%2fpyproject.toml",
    "/messages/%2e%2e/app.js%00.png",
    "/.git/config",
    "/web/../api/scaldloaf/__init__.py",
    "/..\\..\\README.md",
    "/%c0%ae%c0%ae/README.md",
    "/index.html/",
]


@pytest.mark.parametrize("path", OUTSIDE)
def test_no_file_but_the_pages_own_is_served(service, path):
    status, headers, content = ask(service, "GET", path)
    assert status == 404 and only(headers, "Content-Type") == "application/problem+json"
    assert "location" not in {name.lower() for name, _ in headers} and b"root:" not in content


def test_a_callers_text_comes_back_as_data_only(service):
    word = "<script>alert(1)</script>"
    for method, path, body, sent in [
        ("GET", f"/{word}", None, {}),
        ("GET", f"/v1/units?{word}=1", None, {}),
        ("POST", "/v1/breakdown", json.dumps({word: word}).encode(), JSON),
        ("POST", "/v1/breakdown", b"{}", {"Content-Type": f"text/html; {word}"}),
        ("GET", "/v1/units", None, {"Accept": f"text/{word}"}),
    ]:
        status, headers, _ = ask(service, method, path, body, sent)
        assert status >= 400 and only(headers, "Content-Type") == "application/problem+json"
