"""The timetable: when each task starts, counted back from the time the bread must be out."""

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from scaldloaf.dough.refusal import Refusal

LONGEST_TIMETABLE_MINUTES = 14 * 24 * 60  # a guard rail of the input
_LOCAL_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d)?(Z|[+-]\d\d:\d\d)?")
_LONE_DIGIT = re.compile(r"(?<![\d.])(\d)(?!\d)")


class Task(NamedTuple):
    """A stretch of the work, in order: cool scald, mix, bulk, divide, proof, bake, cool."""

    name: str
    minutes: float


class Timed(NamedTuple):
    """A task with its times: minutes before the bread must be out, and clock times when that is known.

    Clock times are ISO 8601 with the offset (or none) of the time given, in whole minutes, rounded to the
    earlier one. days_before counts the midnights between the task's start and the end of the work.
    """

    name: str
    minutes: float
    starts_minutes_before: float
    ends_minutes_before: float
    starts_at: str | None = None
    ends_at: str | None = None
    days_before: int | None = None


def read_local_time(text: str, argument: str) -> datetime:
    """A local date and time, ISO 8601 with or without an offset ("2026-12-01T07:00", "…+01:00").

    argument: the caller's name for the text. Raises Refusal for anything else, with the spelling that was
    probably meant.
    """
    found = _parsed(text)
    if found is None:
        repaired = _LONE_DIGIT.sub(r"0\1", text.strip().upper().replace(" ", "T", 1))
        raise Refusal(
            argument,
            "not_a_local_time",
            "must be a date and time such as 2026-12-01T07:00, with an offset (+01:00) or without",
            given=text,
            nearest=repaired if _parsed(repaired) else None,
        )
    return found


def _parsed(text: str) -> datetime | None:
    if not _LOCAL_TIME.fullmatch(text):
        return None
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        return None


def timetable(tasks: Sequence[Task], ready_at: str | None = None) -> tuple[Timed, ...]:
    """When each task starts, counted back from the time the bread must be out.

    tasks: in the order they are done; the last one ends when the bread must be out. ready_at: that time,
    as ``read_local_time`` reads it; without it only minutes before. Hours count as they pass: a time with
    an offset keeps the offset, one without keeps its wall clock, so the baker adds a change of the clocks
    in between. Raises Refusal for a text that is no time and for a timetable of more than two weeks. Exact.
    """
    total = sum(task.minutes for task in tasks)
    if total > LONGEST_TIMETABLE_MINUTES:
        raise Refusal(
            "tasks",
            "timetable_too_long",
            "the stages take {total} minutes; a timetable of up to {most} is made",
            amounts={"total": (total, None), "most": (LONGEST_TIMETABLE_MINUTES, None)},
        )
    ready = None if ready_at is None else read_local_time(ready_at, "ready_at")
    timed: list[Timed] = []
    before, ends_at = 0.0, None if ready is None else _clock(_earlier(ready, 0.0))
    for task in reversed(tasks):
        starts = before + task.minutes
        starts_at = days = None
        if ready is not None:
            begin = _earlier(ready, starts)
            starts_at, days = _clock(begin), (ready.date() - begin.date()).days
        timed.append(Timed(task.name, task.minutes, starts, before, starts_at, ends_at, days))
        before, ends_at = starts, starts_at
    return tuple(reversed(timed))


def _clock(time: datetime) -> str:
    return time.isoformat(timespec="minutes")


def _earlier(ready: datetime, minutes: float) -> datetime:
    try:
        return (ready - timedelta(minutes=minutes)).replace(second=0, microsecond=0)
    except OverflowError:
        raise Refusal(
            "ready_at",
            "not_a_local_time",
            "the work would start before the year 1",
            given=ready.isoformat(),
        ) from None
