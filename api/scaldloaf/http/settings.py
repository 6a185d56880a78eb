"""Configuration: environment variables with the prefix SCALDLOAF_, checked once at start."""

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from urllib.parse import urlsplit

PREFIX = "SCALDLOAF_"
MOST_REQUESTS = 10_000          # of one client, as each is remembered for as long as it counts
MOST_LINES = 10 ** 12           # that a bulk may be granted
PERIODS = ("second", "minute", "hour", "day")
_RATE = re.compile(rf"([1-9][0-9]{{0,4}})/({'|'.join(PERIODS)})")
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
    metrics: whether /metrics is there. log: whether a line a request is written.
    log_addresses: whether that line names the client's address.
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
    log: bool = False
    log_addresses: bool = False


# The last two are read where gunicorn is told how to run.
NAMES = (*(field.name.upper() for field in fields(Settings)), "WORKERS", "THREADS")
_SLIP_RATIO = 0.8               # a name as like one of these as that is meant to be it


def _check_names(environment: Mapping[str, str]) -> None:
    """Refuses a name that is nearly a setting's: a limit misspelt would be no limit, unknown to all."""
    for variable in environment:
        name = variable.removeprefix(PREFIX)
        if variable.startswith(PREFIX) and name not in NAMES:
            if near := get_close_matches(name, NAMES, 1, _SLIP_RATIO):
                raise BadSetting(f"{variable} is no setting; it should be {PREFIX}{near[0]}")


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
        raise BadSetting(f"{PREFIX}{name} can't be read; it should be redis://host:port/number, "
                         "rediss://host:port/number or unix:///path/to/socket")
    return text


def settings_from(environment: Mapping[str, str] = os.environ) -> Settings:
    """The settings of an environment. Raises BadSetting with the variable's name and what it should be."""
    _check_names(environment)
    threads = _whole(environment, "THREADS", 8, 1, 64)
    settings = Settings(
        max_body_bytes=_whole(environment, "MAX_BODY_BYTES", 64 * 1024, 1024, 16 * 1024 * 1024),
        max_bulk_bytes=_whole(environment, "MAX_BULK_BYTES", 256 * 1024 * 1024, 1024 * 1024, 1024 ** 4),
        max_bulk_lines=_whole(environment, "MAX_BULK_LINES", 1_000_000, 1, MOST_LINES),
        max_bulk_seconds=_whole(environment, "MAX_BULK_SECONDS", 600, 1, 10 ** 6),
        # A thread is left for other calls and for probes, where there is more than one.
        bulks=_whole(environment, "BULKS", max(1, threads // 2), 1, max(1, threads - 1)),
        rate=_rate(environment, "RATE"),
        bulk_rate=_rate(environment, "BULK_RATE"),
        redis_url=_redis_url(environment, "REDIS_URL"),
        proxies=_whole(environment, "PROXIES", 0, 0, 10),
        metrics=_choice(environment, "METRICS", "off", "on"),
        log=_choice(environment, "LOG", "off", "json"),
        log_addresses=_choice(environment, "LOG_ADDRESSES", "off", "on"))
    if settings.redis_url and not (settings.rate or settings.bulk_rate):
        raise BadSetting(
            f"{PREFIX}REDIS_URL is set and nothing is limited; {PREFIX}RATE or {PREFIX}BULK_RATE "
            "should say how many requests a client may make, as in 60/minute"
        )
    return settings
