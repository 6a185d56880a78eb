"""Static files, read once and served with strong ETags, compressed with what the browser accepts."""

import base64
import gzip
import hashlib
import json
import re
from collections.abc import Callable
from functools import cache, cached_property
from pathlib import Path

import brotli
from flask import Request, Response

from scaldloaf.http import ids
from scaldloaf.http.joined import Joined

ROOT = Path(__file__).resolve().parents[3]
WEB, DOCUMENT = ROOT / "web", ROOT / "openapi" / "openapi.json"
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript",  # a module is in UTF-8 whatever is said (RFC 9239, 4.2), and so are our pages
    ".json": "application/json",
    ".svg": "image/svg+xml",
    ".webmanifest": "application/manifest+json",
    ".png": "image/png",
    ".txt": "text/plain; charset=utf-8",
}
CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; manifest-src 'self'; worker-src 'self'; frame-src 'self'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors {ancestors}"
)
# What the page has no use for, nor a frame in it.
NO_DEVICES = {"Permissions-Policy": "camera=(), microphone=(), geolocation=()"}
PAGE_POLICY = {
    "Content-Security-Policy": CONTENT_POLICY.format(ancestors="'none'"),
    # No window of another host that opens the page, or is opened by it, has a hold on it.
    "Cross-Origin-Opener-Policy": "same-origin",
    **NO_DEVICES,
}
# A script or style sheet is under the policy of the page that loads it. By itself it shows its text, and only
# framing is left to forbid: a longer header on each would be a kilobyte of the page's first load.
PART_POLICY = {"Content-Security-Policy": "frame-ancestors 'none'"}
# The panel may be framed by any page. Its sandbox has an opaque origin, so that it cannot reach what the full
# page stores in the browser. It has no opener policy: a browser refuses to open what has one and a sandbox.
EMBED_POLICY = {
    "Content-Security-Policy": CONTENT_POLICY.format(ancestors="*")
    + "; sandbox allow-scripts allow-popups allow-popups-to-escape-sandbox",
    **NO_DEVICES,
}


# The host as a request names it, and nothing that could end a directive.
HOST = re.compile(r"[A-Za-z0-9.-]+(?::[0-9]{1,5})?|\[[0-9A-Fa-f:.]+\](?::[0-9]{1,5})?")


def embed_policy(host: str) -> dict[str, str]:
    """The policy of the panel in a frame. ``host``: as the request names it.

    The frame's origin is opaque, and to WebKit that is not even 'self': it calls the service only when the
    policy names the host. The service does not know by which scheme a proxy is called, so it names both.
    """
    if not HOST.fullmatch(host):
        return EMBED_POLICY
    named = f"connect-src 'self' http://{host} https://{host};"
    return {name: policy.replace("connect-src 'self';", named) for name, policy in EMBED_POLICY.items()}


# What a page of another host may show, or a browser opens by itself. Scripts and data come to others by CORS
# only, and ask nothing of the web themselves.
SHOWN_HEADERS = {"Referrer-Policy": "no-referrer", "Cross-Origin-Resource-Policy": "cross-origin"}
NOT_SHOWN = (TYPES[".js"], TYPES[".json"])
ENCODINGS = ("br", "gzip")  # the smaller first
BROTLI_QUICK_FROM_BYTES = 200_000  # the best quality takes seconds for this size


class Body:
    """A fixed answer: its bytes and its strong ETag, made when they are first asked for."""

    def __init__(self, read: Callable[[], bytes], content_type: str):
        self._read, self.content_type = read, content_type

    @cached_property
    def plain(self) -> bytes:
        return self._read()

    @cached_property
    def etag(self) -> str:
        # 48 bits tell the versions of one file apart; each character is sent with each file of a first load.
        return base64.urlsafe_b64encode(hashlib.sha256(self.plain).digest()[:6]).decode()

    @cache  # noqa: B019 - lives as long as the process, as every Body does
    def packed(self, encoding: str) -> bytes:
        """Its bytes, compressed."""
        if encoding == "br":
            quality = 6 if len(self.plain) >= BROTLI_QUICK_FROM_BYTES else 11
            compressed: bytes = brotli.compress(self.plain, quality=quality)
            return compressed
        return gzip.compress(self.plain, 9, mtime=0)


def fixed(content: bytes, content_type: str) -> Body:
    return Body(lambda: content, content_type)


def document() -> Body:
    """The committed OpenAPI document: generating it at start would load the schemas of all replies.

    It is read when it is first asked for, since few workers ever are; that it is there is checked at once.
    """
    if not DOCUMENT.is_file():
        raise FileNotFoundError(DOCUMENT)
    # Without its line ends and indents, which no text in JSON can hold: to read it as JSON would take 5 MB.
    return Body(lambda: re.sub(rb"\n *", b"", DOCUMENT.read_bytes()), TYPES[".json"])


# What is loaded at one time, and so in one file: what starts the page, its first view, what helps where it
# can't start, what was saved, what a link opens, and what is folded at first.
PAGE = (
    ("page/start.js",),
    ("page/main.js",),
    ("state/rescue.js",),
    ("state/saved.js",),
    ("state/open-link.js",),
    ("page/after.js", "page/later.js", "page/offline.js"),
)
PANEL = (("panel.js",), ("panel/embed.js",))


def read_pages(folder: Path = WEB) -> dict[str, Body]:
    """Path below / -> file, for every file of a known type in the folder, with the modules joined.

    ``files.json`` lists what the pages ask for, with digests, so that the service worker sees what changed.
    A module that is part of a joined file is also served as it was written: for whoever wants to read it, and
    for a page from before modules were joined, which still loads its parts.
    """
    paths = [file for file in sorted(folder.rglob("*")) if file.suffix in TYPES]
    files = {file.relative_to(folder).as_posix(): file.read_bytes() for file in paths}
    # A character a byte, since joining looks at ASCII only: one above it would double the memory of its text.
    modules = {
        path: content.decode("latin-1")
        for path, content in files.items()
        if path.endswith(".js") and path.count("/") < 2  # the texts of a language are joined to nothing
    }
    page, panel = Joined(modules, PAGE, "page"), Joined(modules, PANEL, "panel")
    joined = {path: source.encode("latin-1") for path, source in {**page.files(), **panel.files()}.items()}
    parts = {*page.modules, *panel.modules} - joined.keys()
    asked_for = {path: content for path, content in {**files, **joined}.items() if path not in parts}
    served = {path: fixed(content, TYPES[Path(path).suffix]) for path, content in asked_for.items()}
    listing = json.dumps({path: body.etag for path, body in served.items()})
    # Few ask for a part: it is read when someone does.
    alone = {path: Body((folder / path).read_bytes, TYPES[".js"]) for path in parts}
    return {**alone, **served, "files.json": fixed(listing.encode(), TYPES[".json"])}


def send(body: Body, request: Request, max_age: int, headers: dict[str, str]) -> Response:
    """A fixed answer, or 304 if the client has it."""
    encoding = next((each for each in ENCODINGS if request.accept_encodings[each] > 0), None)
    if encoding and len(body.packed(encoding)) >= len(body.plain):
        encoding = None
    shown = {} if body.content_type in NOT_SHOWN else SHOWN_HEADERS
    response = Response(
        body.packed(encoding) if encoding else body.plain,
        content_type=body.content_type,
        headers={**shown, **headers},
    )
    if encoding:
        response.headers["Content-Encoding"] = encoding
    response.headers["Vary"] = "Accept-Encoding"
    if max_age:
        # Anyone may store the answer, but a shared cache must leave out the id (RFC 9111, 5.2.2.7). nginx
        # then stores nothing, so it has a header of its own, before Cache-Control; its site sets each id.
        if "HTTP_X_FORWARDED_FOR" in request.environ:
            response.headers["X-Accel-Expires"] = str(max_age)
        own = f"{ids.HEADER}, {ids.TRACE_HEADER}" if ids.TRACE in request.environ else ids.HEADER
        response.headers["Cache-Control"] = f'public, max-age={max_age}, private="{own}"'
    else:
        response.headers["Cache-Control"] = "no-cache"
    # A strong ETag identifies exact bytes, so each encoding needs its own.
    response.set_etag(body.etag + (encoding[0] if encoding else ""))
    response.make_conditional(request)
    return response
