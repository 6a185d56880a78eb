"""Configuration: environment variables with the prefix SCALDLOAF_, checked once at start."""

import os
from collections.abc import Mapping
from dataclasses import dataclass

PREFIX = "SCALDLOAF_"


class BadSetting(RuntimeError):
    """An environment variable that cannot be used, with what it should be."""


@dataclass(frozen=True, slots=True)
class Settings:
    """max_body_bytes: the largest body of a single call, and of a line of bulk.

    max_bulk_bytes: the most of a bulk body that is kept while it waits for its answers.
    """

    max_body_bytes: int = 64 * 1024
    max_bulk_bytes: int = 256 * 1024 * 1024


def _whole(environment: Mapping[str, str], name: str, default: int, low: int, high: int) -> int:
    text = environment.get(PREFIX + name)
    if text is None:
        return default
    if not text.isascii() or not text.isdigit() or not low <= int(text[:12]) <= high:
        raise BadSetting(f"{PREFIX}{name} is {text!r}; it should be a whole number from {low} to {high}")
    return int(text)


def settings_from(environment: Mapping[str, str] = os.environ) -> Settings:
    """The settings of an environment. Raises BadSetting with the variable's name and what it should be."""
    return Settings(
        max_body_bytes=_whole(environment, "MAX_BODY_BYTES", 64 * 1024, 1024, 16 * 1024 * 1024),
        max_bulk_bytes=_whole(environment, "MAX_BULK_BYTES", 256 * 1024 * 1024, 1024 * 1024, 1024 ** 4))
