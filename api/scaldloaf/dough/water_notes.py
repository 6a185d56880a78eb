"""Notes on a formula that was moved: its water, its flour, and what bakers know of a larger scald."""

from collections.abc import Sequence

from scaldloaf.dough.crumb_moisture import CRUMB_MOISTURE_PER_HYDRATION_POINT
from scaldloaf.dough.flour import (
    OTHER_FLOUR_NOTE_SHARE,
    FlourChange,
    flours_taken_as_white,
    other_flour_share,
)
from scaldloaf.dough.formula import SCALD, Formula
from scaldloaf.dough.limits import ROUNDING
from scaldloaf.dough.notes import Note
from scaldloaf.dough.volume import water_volume_factor
from scaldloaf.dough.water_judged import (
    STICKY,
    UNDER_WATERED,
    hydration_by_absorption,
    plausible_hydration,
    words_for_loss,
)
from scaldloaf.dough.water_rule import Spot
from scaldloaf.reference import coefficient

SHARE_STALING_NOTE_PERCENT = coefficient("share_staling_note_percent")
SHARE_STALING_NOTE_HYDRATION_PERCENT = coefficient("share_staling_note_hydration_percent")


def notes_on_water(
    there: Spot, hydration_percent: float, assessment: str, off_points: float, other_flour: float
) -> list[Note]:
    """Notes on water that is too little, too much or unlike any pan bread's, and on a large dry scald.

    Parameters
        there : Spot
        hydration_percent : float  [% of flour] used
        assessment : str
        off_points : float  [points] off what it was judged against
        other_flour : float  [fraction of the flour] that is not white wheat
    Returns
        list[Note]
    """
    notes = []
    loss = 100 * (1 - water_volume_factor(off_points))
    if assessment == UNDER_WATERED:
        notes.append(Note("under_watered", {"loss": loss, "words": words_for_loss(loss)}))
    if assessment == STICKY:
        notes.append(Note("sticky", {"points": off_points, "loss": loss}))
    window = plausible_hydration(there)
    if other_flour <= OTHER_FLOUR_NOTE_SHARE and not window.low - ROUNDING <= hydration_percent <= (
        window.high + ROUNDING
    ):
        plausible = {"hydration": hydration_percent, "low": window.low, "high": window.high}
        notes.append(Note("unusual_water", plausible))
    dry = SHARE_STALING_NOTE_HYDRATION_PERCENT
    large = SHARE_STALING_NOTE_PERCENT
    if there.share_percent > large.low and hydration_percent < dry.high:
        sure = there.share_percent > large.value and hydration_percent <= dry.low + ROUNDING
        share, how = (large.value, "speeds_up") if sure else (large.low, "may_speed_up")
        notes.append(Note("dry_scald", {"share": share, "hydration": dry.high, "how": how}))
    return notes


def notes_on_base(here: Spot, flour: FlourChange | None, moved: bool) -> list[Note]:
    """A note where the formula's own water is far from what its flour's absorption speaks for."""
    if not moved or flour is None or flour.base_absorption_percent is None:
        return []
    suits = hydration_by_absorption(here, flour.base_absorption_percent, flour.base_moisture_percent)
    hydration = here.hydration_percent or 0.0
    if suits.low - ROUNDING <= hydration <= suits.high + ROUNDING:
        return []
    return [Note("base_off_absorption", {"hydration": hydration, "low": suits.low, "high": suits.high})]


def notes_on_other_flour(formula: Formula) -> list[Note]:
    """A note where the figures for white wheat flour are used for more than a little of another."""
    share = other_flour_share(formula)
    notes = [Note("other_flour", {"share": 100 * share})] if share > OTHER_FLOUR_NOTE_SHARE else []
    return notes + white_wheat_unsaid(flours_taken_as_white(formula))


def white_wheat_unsaid(flours: Sequence[str]) -> list[Note]:
    """A note that asks about own flours, by name, that are taken as white wheat flour."""
    return [Note("white_wheat_unsaid", {"flours": ", ".join(flours)})] if flours else []


def notes_on_share(
    here: Spot, there: Spot, more_share: float, make_up_g: float, flour_g: float
) -> list[Note]:
    """What bakers know of more scald: volume, mixing, proof; the gluten that makes it up, and the crumb.

    Parameters
        here, there : Spot
        more_share : float  [points] by which the share grows
        make_up_g : float  [g] vital gluten that makes up what is lost
        flour_g : float  [g]
    Returns
        list[Note]
    """
    notes = []
    if more_share > ROUNDING:
        notes += [Note("volume_falls_with_share"), Note("proof_and_mixing")]
        if make_up_g > 0:
            percent = 100 * make_up_g / flour_g
            notes.append(Note("gluten_makes_up", {"mass": (make_up_g, "mass"), "percent": percent}))
    if here.share_percent != there.share_percent or here.kept_ratio != there.kept_ratio:
        water = 1 / CRUMB_MOISTURE_PER_HYDRATION_POINT.value
        notes.append(Note("crumb_takes_little_water", {"water": water, "crumb": 1}))
    return notes


def notes_on_evaporation(formula: Formula, moved: Formula) -> list[Note]:
    """A note that the evaporation was scaled with the scald."""
    if formula.scald_evaporation_g <= 0 or not any(line.part == SCALD for line in moved.lines):
        return []
    return [Note("evaporation_scaled")]
