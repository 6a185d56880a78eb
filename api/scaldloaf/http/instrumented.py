"""Middleware that reports the begin and end of every request to metrics and the log."""

import time
from collections.abc import Iterable, Iterator
from typing import Any, Protocol
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

METHODS = {"GET", "HEAD", "POST", "OPTIONS", "PUT", "PATCH", "DELETE", "QUERY"}
NO_ROUTE = "none"
ROUTE = "scaldloaf.route"  # environ key, set by the fast path, where Flask knows no route


class Watcher(Protocol):
    """Sees each request begin and end."""

    def begin(self, environ: WSGIEnvironment) -> None: ...

    def end(
        self, environ: WSGIEnvironment, method: str, route: str, status: int, size: int, seconds: float
    ) -> None: ...


class _Answer:
    """Iterates over the parts of an answer. The server closes it after the last part or a failure."""

    __slots__ = ("environ", "parts", "watchers", "began", "status", "size", "route")

    def __init__(self, environ: WSGIEnvironment, watchers: tuple[Watcher, ...]):
        self.parts: Iterable[bytes] = ()
        self.environ, self.watchers = environ, watchers
        self.began, self.status, self.size, self.route = time.perf_counter(), 500, 0, NO_ROUTE

    def __iter__(self) -> Iterator[bytes]:
        for part in self.parts:
            self.size += len(part)
            yield part

    def close(self) -> None:
        try:
            if hasattr(self.parts, "close"):
                self.parts.close()
        finally:
            self.end()

    def end(self) -> None:
        method = self.environ["REQUEST_METHOD"]
        # An unknown path or method is the caller's own text, so metrics and log do not show it.
        for watcher in self.watchers:
            watcher.end(
                self.environ,
                method if method in METHODS else "other",
                self.route,
                self.status,
                self.size,
                time.perf_counter() - self.began,
            )


def instrumented(wsgi_app: WSGIApplication, watchers: tuple[Watcher, ...]) -> WSGIApplication:
    """The application with every request reported to each watcher; unchanged without watchers."""
    if not watchers:
        return wsgi_app

    def wrapped(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        answer = _Answer(environ, watchers)
        for watcher in watchers:
            watcher.begin(environ)

        def start(status: str, headers: list[tuple[str, str]], exc_info: Any = None) -> Any:
            answer.status = int(status[:3])
            # Flask knows the route from here on, and forgets it once the answer begins.
            rule = getattr(environ.get("werkzeug.request"), "url_rule", None)
            answer.route = environ.get(ROUTE) or (NO_ROUTE if rule is None else rule.rule)
            return start_response(status, headers, exc_info)

        try:
            answer.parts = wsgi_app(environ, start)
        except BaseException:
            answer.end()
            raise
        return answer

    return wrapped
