"""Configuration: environment variables with the prefix SCALDLOAF_, checked at the start.

This is the one list of them, read by deploy/gunicorn.conf.py and by the application alike.
"""

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from urllib.parse import urlsplit

PREFIX = "SCALDLOAF_"
MOST_WORKERS, MOST_THREADS = 256, 64
MOST_REQUESTS = 10_000  # of one client, as each is remembered for as long as it counts
MOST_LINES = 10**12  # that a bulk may be granted
PERIODS = ("second", "minute", "hour", "day")
_RATE = re.compile(rf"([1-9][0-9]{{0,4}})/({'|'.join(PERIODS)})")
_HOST_PORT = re.compile(r"(?:[0-9A-Za-z.-]+|\[[0-9A-Fa-f:.]+\]):[0-9]{1,5}")
REDIS_SCHEMES = {"redis", "rediss", "unix"}


class BadSetting(RuntimeError):
    """An environment variable that cannot be used, with what it should be."""


@dataclass(frozen=True, slots=True)
class Settings:
    """max_body_bytes: the largest body of a single call, and of a line of bulk.

    max_bulk_bytes: the most of a bulk body that is kept while it waits for its answers.
    max_bulk_lines, max_bulk_seconds: a bulk's budget of lines and of processor time.
    bulks: how many a process answers at a time.
    rate, bulk_rate: requests a client may make, such as "60/minute"; None: as many as it likes.
    redis_url: where many instances count together; None: each worker counts for itself.
    proxies: how many proxies of ours stand in front and name the client in X-Forwarded-For.
    metrics: whether /metrics is there. metrics_bind: the host:port that it has to itself; None: it is where
    everything else is.
    log: whether a line a request is written.
    log_addresses: whether that line names the client's address.
    workers, threads: processes, and calls each of them takes at a time; for deploy/gunicorn.conf.py.
    """

    max_body_bytes: int = 64 * 1024
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
    workers: int = 2
    threads: int = 8


# The name of a setting without the prefix -> its variable. BIND has no prefix, but is easily given one.
VARIABLES = {
    **{field.name.upper(): PREFIX + field.name.upper() for field in fields(Settings)},
    "BIND": "BIND",
}

# Variables that Kubernetes sets for a Service called scaldloaf or scaldloaf-something, with their values: the
# Service's host and ports, and the same in the form of Docker's links. SCALDLOAF_PORT=8000 is none of them.
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
    """Refuses unknown names, all at once: a misspelt limit would be no limit."""
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
    """The text of a variable; one that is there and empty counts as not there."""
    return environment.get(PREFIX + name) or None


def _refuse(name: str, text: str, should_be: str):
    raise BadSetting(f"{PREFIX}{name} is {text!r}; it should be {should_be}")


def _whole(environment: Mapping[str, str], name: str, default: int, low: int, high: int) -> int:
    text = environment.get(PREFIX + name)
    if text is None:
        return default
    if not text.isascii() or not text.isdigit() or len(text) > 14 or not low <= int(text) <= high:
        _refuse(name, text, f"a whole number from {low} to {high}")
    return int(text)


def _choice(environment: Mapping[str, str], name: str, default: str, other: str) -> bool:
    """Whether the other of two words is set."""
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
        port = parts.port  # raises when it is no port
        sound = (
            parts.scheme in REDIS_SCHEMES
            and bool(parts.path if parts.scheme == "unix" else parts.hostname)
            and port != 0
        )
    except ValueError:
        sound = False
    if not sound:
        # The text may carry a password, so it is not repeated.
        raise BadSetting(
            f"{PREFIX}{name} can't be read; it should be redis://host:port/number, "
            "rediss://host:port/number or unix:///path/to/socket"
        )
    return text


def settings_from(environment: Mapping[str, str] = os.environ) -> Settings:
    """The settings of an environment. Raises BadSetting with the variable's name and what it should be."""
    _check_names(environment)
    threads = _whole(environment, "THREADS", 8, 1, MOST_THREADS)
    settings = Settings(
        max_body_bytes=_whole(environment, "MAX_BODY_BYTES", 64 * 1024, 1024, 16 * 1024 * 1024),
        max_bulk_bytes=_whole(environment, "MAX_BULK_BYTES", 256 * 1024 * 1024, 1024 * 1024, 1024**4),
        max_bulk_lines=_whole(environment, "MAX_BULK_LINES", 1_000_000, 1, MOST_LINES),
        max_bulk_seconds=_whole(environment, "MAX_BULK_SECONDS", 600, 1, 10**6),
        # A thread is left for other calls and for probes, where there is more than one.
        bulks=_whole(environment, "BULKS", max(1, threads // 2), 1, max(1, threads - 1)),
        rate=_rate(environment, "RATE"),
        bulk_rate=_rate(environment, "BULK_RATE"),
        redis_url=_redis_url(environment, "REDIS_URL"),
        proxies=_whole(environment, "PROXIES", 0, 0, 10),
        metrics=_choice(environment, "METRICS", "off", "on"),
        metrics_bind=_own_address(environment, "METRICS_BIND"),
        log=_choice(environment, "LOG", "off", "json"),
        log_addresses=_choice(environment, "LOG_ADDRESSES", "off", "on"),
        workers=_whole(environment, "WORKERS", 2, 1, MOST_WORKERS),
        threads=threads,
    )
    if settings.redis_url and not (settings.rate or settings.bulk_rate):
        raise BadSetting(
            f"{PREFIX}REDIS_URL is set and nothing is limited; {PREFIX}RATE or {PREFIX}BULK_RATE "
            "should say how many requests a client may make, as in 60/minute"
        )
    if settings.metrics_bind and not settings.metrics:
        raise BadSetting(
            f"{PREFIX}METRICS_BIND is set and {PREFIX}METRICS is not on; it should be on, or neither set"
        )
    return settings
