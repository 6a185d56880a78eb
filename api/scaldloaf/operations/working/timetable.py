"""A note on a timetable."""

from scaldloaf.operations.notes import Note
from scaldloaf.operations.wire.timetable import AskedTimetable

TEXTS = {
    "clock_change": (
        "Times are counted back hour by hour. If the clocks change on the way, add or take the hour yourself."
    )
}


def timetable_notes(asked: AskedTimetable | None) -> list[Note]:
    """What to know of a timetable that ends at a time by the clock."""
    return [] if asked is None or asked.ready_at is None else [Note("clock_change", TEXTS["clock_change"])]
