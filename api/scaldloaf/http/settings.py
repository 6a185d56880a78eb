"""Settings: environment variables with the prefix SCALDLOAF_, checked at start-up.

This is the only list of them; deploy/gunicorn.conf.py and the application both read it.
"""

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from typing import NoReturn
from urllib.parse import urlsplit

PREFIX = "SCALDLOAF_"
MOST_WORKERS, MOST_THREADS = 256, 64
MOST_REQUESTS = 10_000  # per client: each is stored for the whole period
MOST_LINES = 10**12  # upper bound of max_bulk_lines
PERIODS = ("second", "minute", "hour", "day")
_RATE = re.compile(rf"([1-9][0-9]{{0,4}})/({'|'.join(PERIODS)})")
_HOST_PORT = re.compile(r"(?:[0-9A-Za-z.-]+|\[[0-9A-Fa-f:.]+\]):[0-9]{1,5}")
REDIS_SCHEMES = {"redis", "rediss", "unix"}


class BadSetting(RuntimeError):
    """An invalid environment variable; the message says what it should be."""


@dataclass(frozen=True, slots=True)
class Settings:
    """The settings of the service.

    max_body_bytes: limit of the body of a call, and of a line of bulk.
    max_orders_bytes: limit of the body of order-demand, which takes all orders of a day, and of a bulk that
        is one JSON array.
    max_bulk_bytes: limit of the lines of a bulk that wait for their answers.
    max_bulk_lines, max_bulk_seconds: a bulk's budget of lines and of processor time.
    bulks: how many bulks a process answers at a time.
    rate, bulk_rate: requests allowed per client, such as "60/minute"; None: no limit.
    redis_url: where several instances count together; None: each worker counts for itself.
    proxies: number of our own proxies in front, each of which adds one address to X-Forwarded-For.
    metrics: whether /metrics is served. metrics_bind: host:port for /metrics alone; None: no separate port.
    log: whether to write a line per request.
    log_addresses: whether that line has the client's address.
    read_seconds: time in which a request must arrive, and again for every 64 kB of it.
    drain_seconds: how long a service that is told to stop still answers calls.
    workers, threads: number of processes, and of threads in each; for deploy/gunicorn.conf.py.
    """

    max_body_bytes: int = 64 * 1024
    max_orders_bytes: int = 2 * 1024 * 1024
    max_bulk_bytes: int = 256 * 1024 * 1024
    max_bulk_lines: int = 1_000_000
    max_bulk_seconds: int = 600
    bulks: int = 4
    rate: str | None = None
    bulk_rate: str | None = None
    redis_url: str | None = None
    proxies: int = 0
    metrics: bool = False
    metrics_bind: str | None = None
    log: bool = False
    log_addresses: bool = False
    read_seconds: int = 20
    drain_seconds: int = 0
    workers: int = 2
    threads: int = 8


# Name of a setting without the prefix -> its variable. BIND has no prefix; this catches SCALDLOAF_BIND.
VARIABLES = {
    **{field.name.upper(): PREFIX + field.name.upper() for field in fields(Settings)},
    "BIND": "BIND",
}

# Variables that Kubernetes sets for a Service named scaldloaf or scaldloaf-..., with their values: the
# Service's host and ports, and the same in the format of Docker links. SCALDLOAF_PORT=8000 does not match.
_KUBERNETES = re.compile(
    rf"""{PREFIX}(?:[A-Z0-9_]+_)?(?:
        SERVICE_HOST=[0-9a-f.:]+
        | SERVICE_PORT(?:_[A-Z0-9_]+)?=[0-9]+
        | PORT(?:_[0-9]+_(?:TCP|UDP|SCTP))?=(?:tcp|udp|sctp)://[0-9a-f.:\[\]]+:[0-9]+
        | PORT_[0-9]+_(?:TCP|UDP|SCTP)_(?:PROTO=(?:tcp|udp|sctp)|PORT=[0-9]+|ADDR=[0-9a-f.:]+)
    )""",
    re.VERBOSE,
)


def _check_names(environment: Mapping[str, str]) -> None:
    """Refuse unknown names, all in one message: a misspelled limit would not limit anything."""
    known = set(VARIABLES.values())
    unknown = [
        variable
        for variable, value in sorted(environment.items())
        if variable.startswith(PREFIX)
        and variable not in known
        and not _KUBERNETES.fullmatch(f"{variable}={value}")
    ]
    if unknown:
        raise BadSetting(
            "; ".join(
                f"{variable} is not a setting; the nearest is {_nearest(variable)}" for variable in unknown
            )
        )


def _nearest(variable: str) -> str:
    (name,) = get_close_matches(variable.removeprefix(PREFIX).upper(), VARIABLES, 1, cutoff=0)
    return VARIABLES[name]


def _given(environment: Mapping[str, str], name: str) -> str | None:
    """The value of a variable; an empty one counts as unset."""
    return environment.get(PREFIX + name) or None


def _refuse(name: str, text: str, should_be: str) -> NoReturn:
    raise BadSetting(f"{PREFIX}{name} is {text!r}; it should be {should_be}")


def _whole(environment: Mapping[str, str], name: str, low: int, high: int, default: int | None = None) -> int:
    """A number from ``low`` to ``high``; unset, ``default`` or else what ``Settings`` says."""
    text = environment.get(PREFIX + name)
    if text is None:
        usual: int = getattr(Settings(), name.lower())
        return usual if default is None else default
    if not text.isascii() or not text.isdigit() or len(text) > 14 or not low <= int(text) <= high:
        _refuse(name, text, f"a whole number from {low} to {high}")
    return int(text)


def _choice(environment: Mapping[str, str], name: str, default: str, other: str) -> bool:
    """Whether the variable is ``other`` instead of ``default``."""
    text = _given(environment, name) or default
    if text not in (default, other):
        _refuse(name, text, f"{default} or {other}")
    return text == other


def _rate(environment: Mapping[str, str], name: str) -> str | None:
    text = _given(environment, name)
    if text is None or text == "off":
        return None
    match = _RATE.fullmatch(text)
    if match is None or int(match[1]) > MOST_REQUESTS:
        _refuse(
            name,
            text,
            f"off, or a number up to {MOST_REQUESTS} and one of {', '.join(PERIODS)}, as in 60/minute",
        )
    return text


def _own_address(environment: Mapping[str, str], name: str) -> str | None:
    text = _given(environment, name)
    if text is not None and not (_HOST_PORT.fullmatch(text) and 0 < int(text.rpartition(":")[2]) <= 65535):
        _refuse(name, text, "host:port with a port from 1 to 65535, such as 127.0.0.1:9000")
    return text


def _redis_url(environment: Mapping[str, str], name: str) -> str | None:
    text = _given(environment, name)
    if text is None:
        return None
    try:
        parts = urlsplit(text)
        port = parts.port  # raises ValueError for an invalid port
        sound = (
            parts.scheme in REDIS_SCHEMES
            and bool(parts.path if parts.scheme == "unix" else parts.hostname)
            and port != 0
        )
    except ValueError:
        sound = False
    if not sound:
        # The text may contain a password, so the message does not repeat it.
        raise BadSetting(
            f"{PREFIX}{name} is not valid; it should be redis://host:port/number, "
            "rediss://host:port/number or unix:///path/to/socket"
        )
    return text


def settings_from(environment: Mapping[str, str] = os.environ) -> Settings:
    """The settings from environment variables. Raises BadSetting."""
    _check_names(environment)
    threads = _whole(environment, "THREADS", 1, MOST_THREADS)
    settings = Settings(
        max_body_bytes=_whole(environment, "MAX_BODY_BYTES", 1024, 16 * 1024 * 1024),
        max_orders_bytes=_whole(environment, "MAX_ORDERS_BYTES", 1024, 16 * 1024 * 1024),
        max_bulk_bytes=_whole(environment, "MAX_BULK_BYTES", 1024 * 1024, 1024**4),
        max_bulk_lines=_whole(environment, "MAX_BULK_LINES", 1, MOST_LINES),
        max_bulk_seconds=_whole(environment, "MAX_BULK_SECONDS", 1, 10**6),
        # With several threads, one stays free for other calls and probes.
        bulks=_whole(environment, "BULKS", 1, max(1, threads - 1), max(1, threads // 2)),
        rate=_rate(environment, "RATE"),
        bulk_rate=_rate(environment, "BULK_RATE"),
        redis_url=_redis_url(environment, "REDIS_URL"),
        proxies=_whole(environment, "PROXIES", 0, 10),
        metrics=_choice(environment, "METRICS", "off", "on"),
        metrics_bind=_own_address(environment, "METRICS_BIND"),
        log=_choice(environment, "LOG", "off", "json"),
        log_addresses=_choice(environment, "LOG_ADDRESSES", "off", "on"),
        read_seconds=_whole(environment, "READ_SECONDS", 1, 3600),
        drain_seconds=_whole(environment, "DRAIN_SECONDS", 0, 3600),
        workers=_whole(environment, "WORKERS", 1, MOST_WORKERS),
        threads=threads,
    )
    if settings.redis_url and not (settings.rate or settings.bulk_rate):
        raise BadSetting(
            f"{PREFIX}REDIS_URL is set without a limit; {PREFIX}RATE or {PREFIX}BULK_RATE "
            "should be set too, as in 60/minute"
        )
    if settings.metrics_bind and not settings.metrics:
        raise BadSetting(f"{PREFIX}METRICS_BIND is set but {PREFIX}METRICS is not on; set both or neither")
    return settings
