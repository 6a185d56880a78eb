"""The timetable on the wire."""

from collections.abc import Iterable
from typing import NamedTuple

from scaldloaf.dough.timetable import Task, Timed
from scaldloaf.operations.context import Wire


class AskedTimetable(NamedTuple):
    """The work in order, and when the bread must be out (None: no time by the clock)."""

    tasks: tuple[Task, ...]
    ready_at: str | None = None


def read_tasks(wire: Iterable[Wire]) -> tuple[Task, ...]:
    return tuple(Task(stage["name"], stage["minutes"]) for stage in wire)


def ask_timetable(asked: AskedTimetable) -> Wire:
    """The timetable as a request has it."""
    ready = {} if asked.ready_at is None else {"ready_at": asked.ready_at}
    return {"stages": [{"name": task.name, "minutes": task.minutes} for task in asked.tasks], **ready}


def write_timetable(timed: Iterable[Timed]) -> list[Wire]:
    return [
        {
            "name": each.name,
            "minutes": each.minutes,
            "starts_minutes_before": each.starts_minutes_before,
            "ends_minutes_before": each.ends_minutes_before,
            "starts_at": each.starts_at,
            "ends_at": each.ends_at,
            "days_before": each.days_before,
        }
        for each in timed
    ]
