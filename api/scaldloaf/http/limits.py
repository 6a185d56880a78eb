"""How many requests a client may make: counted in memory, or in Redis for many instances together.

A limit protects the service, so it must never be what brings it down: when Redis is gone each worker
counts for itself, says so in the log and at /readyz, and tries Redis again after a while.
"""

import ipaddress
import logging
import math
import re
import threading
import time

from flask import Flask, Response, request

from scaldloaf.http.problems import KINDS, problem
from scaldloaf.http.settings import Settings
from scaldloaf.operations.faults import Fault

REDIS_AGAIN_S = 5  # from a failure of Redis to the next attempt
NETWORK_BITS_V6 = 64  # what one household or machine is given
LIMITED, BULK = "/v1/", "/v1/bulk"
WAITS = "scaldloaf.waits"  # in the environment of a request that was counted
STATES = IN_MEMORY, IN_REDIS, WITHOUT_REDIS = "memory", "redis", "memory, as redis is gone"


# Of an address that a proxy wrote with its port: 192.0.2.7:5123, [2001:db8::7]:5123.
_PORT = re.compile(r"^(?:\[(.*)\]|([0-9.]+))(?::[0-9]+)?$")


def client_of(environ: dict, proxies: int) -> str:
    """Who asks: an IPv4 address, or the network of an IPv6 one. "" when nobody says.

    Of X-Forwarded-For only what our own proxies added is believed: the last ``proxies`` entries.
    """
    text = environ.get("REMOTE_ADDR", "")
    if proxies:
        named = environ.get("HTTP_X_FORWARDED_FOR", "").split(",")
        if len(named) >= proxies:
            text = named[-proxies].strip() or text
    try:
        address = ipaddress.ip_address(_PORT.sub(r"\1\2", text))
    except ValueError:
        return ""
    if address.version == 6:
        address = address.ipv4_mapped or ipaddress.ip_network((address, NETWORK_BITS_V6), strict=False)
    return str(address)


class Limiter:
    """Counts a process's requests by client."""

    def __init__(self, settings: Settings):
        from limits import parse  # at hand only when something is limited

        self._redis_url = settings.redis_url
        self._proxies = settings.proxies
        self._rate = settings.rate and parse(settings.rate)
        self._bulk_rate = settings.bulk_rate and parse(settings.bulk_rate)
        self._making = threading.Lock()
        self._memory = self._redis = None
        self._redis_again = 0.0  # until then Redis is left alone

    def _windows(self):
        """(in Redis or None, in memory), made in the process that uses them: they hold threads, sockets."""
        with self._making:
            if self._memory is None:
                from scaldloaf.http import windows

                if self._redis_url:
                    self._redis = windows.in_redis(self._redis_url)
                self._memory = windows.in_memory()
        return self._redis, self._memory

    def state(self) -> str:
        """Where requests are counted now; looks whether Redis answers."""
        shared, _ = self._windows()
        if shared is None:
            return IN_MEMORY
        if time.monotonic() >= self._redis_again:
            self._with_redis(shared.storage.get_connection().ping)
        return WITHOUT_REDIS if self._redis_again else IN_REDIS

    def _with_redis(self, ask):
        """What Redis answers; None when it doesn't."""
        try:
            answer = ask()
        except Exception as error:  # of its client, its connection or its server: the service goes on
            if not self._redis_again:
                logging.getLogger("scaldloaf").error(
                    "Redis is gone (%s); each worker limits requests by its own count", type(error).__name__
                )
            self._redis_again = time.monotonic() + REDIS_AGAIN_S
            return None
        if self._redis_again:
            self._redis_again = 0.0
            logging.getLogger("scaldloaf").error("Redis is back; requests are counted together again")
        return answer

    def wait_s(self, environ: dict) -> int:
        """How long a request's client must wait; 0: not at all. A request counts once, however often this is asked."""
        if WAITS not in environ:
            environ[WAITS] = self._count(environ)
        return environ[WAITS]

    def _count(self, environ: dict) -> int:
        method, path = environ["REQUEST_METHOD"], environ["PATH_INFO"]
        bulk = bool(self._bulk_rate) and path == BULK and method == "POST"
        rate = self._bulk_rate if bulk else self._rate
        if not rate or not path.startswith(LIMITED) or method == "OPTIONS":
            return 0
        client = client_of(environ, self._proxies)
        shared, memory = self._windows()
        if shared is not None and time.monotonic() >= self._redis_again:
            wait = self._with_redis(lambda: _wait_s(shared, rate, client, bulk))
            if wait is not None:
                return wait
        return _wait_s(memory, rate, client, bulk)


def _wait_s(window, rate, client: str, bulk: bool) -> int:
    key = ("bulk" if bulk else "call", client)
    if window.hit(rate, *key):
        return 0
    wait = math.ceil(window.get_window_stats(rate, *key).reset_time - time.monotonic())
    return min(max(1, wait), rate.get_expiry())


def limit(app: Flask, settings: Settings) -> Limiter | None:
    """Have the application limit its clients; None when nothing is limited."""
    if not (settings.rate or settings.bulk_rate):
        return None
    limiter = Limiter(settings)

    @app.before_request
    def refuse_too_many() -> Response | None:
        wait = limiter.wait_s(request.environ)
        if not wait:
            return None
        detail = f"this client has made as many requests as it may for now; try again in {wait} s"
        return problem(
            KINDS["too-many-requests"],
            detail,
            [Fault("", "too_many_requests", detail)],
            {
                "Retry-After": str(wait),
                "Access-Control-Expose-Headers": "Retry-After",
                "Cache-Control": "no-store",
            },
        )

    return limiter
