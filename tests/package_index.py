"""A package index on loopback, with wheels that hold nothing."""

import gzip
import hashlib
import io
import threading
import zipfile
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


@contextmanager
def answering(answers: dict[str, tuple[str, bytes]]):
    """A server on loopback: path -> media type and body; anything else is not found."""
    asked = []

    class Answers(BaseHTTPRequestHandler):
        def do_GET(self):
            received = self.rfile.read(int(self.headers.get("Content-Length", 0)))
            if self.headers.get("Content-Encoding") == "gzip":
                received = gzip.decompress(received)
            asked.append((self.path, received))
            media, body = answers.get(self.path, ("text/plain", None))
            self.send_response(404 if body is None else 200)
            self.send_header("Content-Type", media)
            self.send_header("Content-Length", str(len(body or b"")))
            self.end_headers()
            self.wfile.write(body or b"")

        do_POST = do_GET

        def log_message(self, *_):
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Answers)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}", asked
    finally:
        server.shutdown()
        server.server_close()


def wheel(name: str, version: str) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        about = f"{name}-{version}.dist-info"
        archive.writestr(f"{about}/METADATA", f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n")
        archive.writestr(
            f"{about}/WHEEL",
            "Wheel-Version: 1.0\nGenerator: test\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        )
        archive.writestr(f"{about}/RECORD", "")
    return data.getvalue()


def index_of(releases: list[tuple[str, str, bool]]) -> dict[str, tuple[str, bytes]]:
    """A package index: name, version and whether it was withdrawn."""
    pages, files = {}, {}
    for name, version, withdrawn in releases:
        data = wheel(name, version)
        path = f"/files/{name}-{version}-py3-none-any.whl"
        files[path] = ("application/octet-stream", data)
        mark = ' data-yanked="broken"' if withdrawn else ""
        pages.setdefault(f"/simple/{name}/", []).append(
            f'<a href="{path}#sha256={hashlib.sha256(data).hexdigest()}"{mark}>{path.rpartition("/")[2]}</a>'
        )
    return {**{path: ("text/html", "<br>".join(links).encode()) for path, links in pages.items()}, **files}


def pin(name: str, version: str, marker: str = "") -> str:
    digest = hashlib.sha256(wheel(name, version)).hexdigest()
    return f"{name}=={version}{marker} \\\n    --hash=sha256:{digest}\n    # via\n"
