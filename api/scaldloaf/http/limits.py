"""Rate limits per client, counted in memory, or in Redis for several instances together.

A rate limit protects the service, so it must not take the service down: if Redis fails, each worker counts
for itself, reports it in the log and at /readyz, and retries Redis after a few seconds.
"""

import logging
import math
import re
import threading
import time
from collections.abc import Callable
from ipaddress import IPv4Address, IPv6Address, IPv6Network, ip_address
from typing import TYPE_CHECKING, Any
from wsgiref.types import WSGIEnvironment

from flask import Flask, Response, request

from scaldloaf.http.problems import KINDS, problem
from scaldloaf.http.settings import Settings
from scaldloaf.operations.faults import Fault

if TYPE_CHECKING:
    from limits import RateLimitItem
    from limits.strategies import MovingWindowRateLimiter

REDIS_AGAIN_S = 5  # time until Redis is tried again
NETWORK_BITS_V6 = 64  # the usual allocation to a household or machine
LIMITED, BULK = "/v1/", "/v1/bulk"
WAITS = "scaldloaf.waits"  # environ key of a request that was counted
STATES = IN_MEMORY, IN_REDIS, WITHOUT_REDIS = "memory", "redis", "memory, as redis is gone"


# An address with a port, as some proxies write it: 192.0.2.7:5123, [2001:db8::7]:5123.
_PORT = re.compile(r"^(?:\[(.*)\]|([0-9.]+))(?::[0-9]+)?$")


def client_of(environ: WSGIEnvironment, proxies: int) -> str:
    """The client: an IPv4 address or the network of an IPv6 address; "" if unknown.

    Only the last ``proxies`` entries of X-Forwarded-For are trusted: our own proxies added them.
    """
    text = environ.get("REMOTE_ADDR", "")
    if proxies:
        named = environ.get("HTTP_X_FORWARDED_FOR", "").split(",")
        if len(named) >= proxies:
            text = named[-proxies].strip() or text
    try:
        address: IPv4Address | IPv6Address | IPv6Network = ip_address(_PORT.sub(r"\1\2", text))
    except ValueError:
        return ""
    if isinstance(address, IPv6Address):
        address = address.ipv4_mapped or IPv6Network((address, NETWORK_BITS_V6), strict=False)
    return str(address)


class Limiter:
    """Counts a process's requests by client."""

    def __init__(self, settings: Settings):
        from limits import parse  # optional dependency, imported only with a limit

        self._redis_url = settings.redis_url
        self._proxies = settings.proxies
        self._rate = settings.rate and parse(settings.rate)
        self._bulk_rate = settings.bulk_rate and parse(settings.bulk_rate)
        self._making = threading.Lock()
        self._memory: MovingWindowRateLimiter | None = None
        self._redis: MovingWindowRateLimiter | None = None
        self._redis_again = 0.0  # until then Redis is not asked

    def _windows(self) -> "tuple[MovingWindowRateLimiter | None, MovingWindowRateLimiter]":
        """(in Redis or None, in memory). Created after the fork, because they hold threads and sockets."""
        with self._making:
            if self._memory is None:
                from scaldloaf.http import windows

                if self._redis_url:
                    self._redis = windows.in_redis(self._redis_url)
                self._memory = windows.in_memory()
        return self._redis, self._memory

    def state(self) -> str:
        """Where requests are counted now. Checks whether Redis answers."""
        shared, _ = self._windows()
        if shared is None:
            return IN_MEMORY
        if time.monotonic() >= self._redis_again:
            redis: Any = shared.storage
            self._with_redis(lambda: redis.get_connection().ping())
        return WITHOUT_REDIS if self._redis_again else IN_REDIS

    def _with_redis(self, ask: Callable[[], Any]) -> Any:
        """The answer of Redis; None if it fails."""
        try:
            answer = ask()
        except Exception as error:  # of the client library, the connection or the server
            if not self._redis_again:
                logging.getLogger("scaldloaf").error(
                    "Redis does not answer (%s); each worker counts requests for itself", type(error).__name__
                )
            self._redis_again = time.monotonic() + REDIS_AGAIN_S
            return None
        if self._redis_again:
            self._redis_again = 0.0
            logging.getLogger("scaldloaf").error("Redis answers again; requests are counted together")
        return answer

    def wait_s(self, environ: WSGIEnvironment) -> int:
        """Seconds until the client may call again; 0: now. Counts a request only once."""
        wait: int | None = environ.get(WAITS)
        if wait is None:
            wait = environ[WAITS] = self._count(environ)
        return wait

    def _count(self, environ: WSGIEnvironment) -> int:
        method, path = environ["REQUEST_METHOD"], environ["PATH_INFO"]
        bulk = bool(self._bulk_rate) and path == BULK and method == "POST"
        rate = self._bulk_rate if bulk else self._rate
        if not rate or not path.startswith(LIMITED) or method == "OPTIONS":
            return 0
        client = client_of(environ, self._proxies)
        shared, memory = self._windows()
        if shared is not None and time.monotonic() >= self._redis_again:
            wait: int | None = self._with_redis(lambda: _wait_s(shared, rate, client, bulk))
            if wait is not None:
                return wait
        return _wait_s(memory, rate, client, bulk)


def _wait_s(window: "MovingWindowRateLimiter", rate: "RateLimitItem", client: str, bulk: bool) -> int:
    key = ("bulk" if bulk else "call", client)
    if window.hit(rate, *key):
        return 0
    wait = math.ceil(window.get_window_stats(rate, *key).reset_time - time.monotonic())
    return min(max(1, wait), rate.get_expiry())


def limit(app: Flask, settings: Settings) -> Limiter | None:
    """Limit the application's clients. None without a rate in the settings."""
    if not (settings.rate or settings.bulk_rate):
        return None
    limiter = Limiter(settings)

    @app.before_request
    def refuse_too_many() -> Response | None:
        wait = limiter.wait_s(request.environ)
        if not wait:
            return None
        detail = f"too many requests from this client; try again in {wait} s"
        return problem(
            KINDS["too-many-requests"],
            detail,
            [Fault("", "too_many_requests", detail)],
            {"Retry-After": str(wait)},
        )

    return limiter
