"""The notes on a fit, and how a trial is named in them."""

from collections.abc import Iterator, Sequence

from scaldloaf.dough.bread import VOLUME_BY_HEIGHT_RELATIVE_SD
from scaldloaf.dough.limits import (
    FULL_PERCENT,
)
from scaldloaf.dough.refusal import listed
from scaldloaf.dough.target_bread import BAKE_TO_BAKE_RELATIVE_SD, VOLUME_MEASUREMENT_RELATIVE_SD
from scaldloaf.dough.trials import (
    CROWN_CAP_FRACTION,
    TrialFit,
)
from scaldloaf.dough.volume import (
    WATER_VALID_POINTS,
)
from scaldloaf.dough.water_rule import SCALD_WATER_SLOPE_RATIO, THINNEST_RATIO
from scaldloaf.operations.measured_bake import Bake, Crowned, Displaced, Filling
from scaldloaf.operations.notes import AnyNote, Note, NotesOf, Said, Value

FULL_SLACK = 0.5  # percent of fill: a lidded pan this near to full may have been pressed

TEXTS = {
    "unlike_the_others": (
        "{trial} is {off:.0f} % {word} {expected} to expect. It is kept and counts {weight:.0f} %. If "
        "something went wrong that day, or a figure is a slip, correct it or leave it out."
    ),
    "trials_disagree": (
        "Some trials disagree, so the intervals are wide. A further bake shows which are right."
    ),
    "water_not_stated": (
        "No trial states its hydration, so the water of all is assumed to have been right for its share."
    ),
    "water_left_out": (
        "The water of every trial is more than {most:g} points from what suits such a flour and scald, but "
        "the loaves rose as if it were right. So it was left out, and only the loaves count. If you know the "
        "right water, give it as right_water."
    ),
    "base_water_fitted": (
        "The trials and the flour together speak for about {hydration:.3g} % water at {share} % scalded. If "
        "you know the right water, give it as right_water."
    ),
    "proof_contradicts_published": (
        "Your proof times fall as the share rises, but published doughs proof longer. The scald cannot "
        "cause both: check yeast, temperature and how ripe each loaf was. The interval includes both."
    ),
    "water_slope_not_told": (
        "No two trials of one share, other than {share} %, differ in water, so the slope of the "
        "optimum water is still the usual one."
    ),
    "water_partly_stated": (
        "{trials} without a hydration: the water is assumed to have been right for the share."
    ),
    "pan_not_used": "{trials} with a measured volume: the pan given beside it is not used.",
    "water_far_off": (
        "{trial} is {off:.0f} points of water off the optimum, beyond where its effect is known; it "
        "counts for little."
    ),
    "just_full": (
        "A fill of {full:g} % is read as a pan just full. If the lid held the loaf down, it would have "
        "become larger, and the next dough can be smaller."
    ),
    "crown_as_cap": (
        "A crown is calculated as half an ellipsoid over the rim: {fraction:.2g} of the rim's area times "
        "its height. Displaced seeds or water measure it better."
    ),
    "usual_measuring": (
        "Volumes are assumed to be measured to {measured:g} %, or {by_height:g} % by height. If you "
        "measure better, enter volume_sd_percent, and the next dough follows the last bake more "
        "closely."
    ),
    "bake_loss_usual": (
        "No trial was weighed after baking, so the bake loss is the usual {loss:.3g} %. The dough mass "
        "does not depend on it: volume was measured on the dough."
    ),
    "wide_spread": (
        "Your bakes differ by about {spread:.1f} % from one to the next, more than usual. Weighing, "
        "dough temperature and proof are the first to look at."
    ),
    "ratio_outside_range": (
        "A scald of 1:{ratio:.3g} is outside 1:{low:g} to 1:{high:g}; what water it needs is extrapolated."
    ),
    "no_trial_near": "No trial is near {share} % share yet; the first one there teaches most.",
    "water_unread": (
        "Without the hydration of any trial, the target hydration cannot be compared with an optimum; its "
        "water is assumed to be right."
    ),
    "water_off_optimum": (
        "The target hydration is {off:+.1f} points off the optimum for its share, about {optimum:.1f} %."
    ),
}


def named(bake: Bake, index: int) -> str:
    """A trial by its number, and its name where it has one."""
    return f"Trial {index + 1}" + (f" ({bake.asked.name})" if bake.asked.name else "")


# ---- Notes ---------------------------------------------------------------------------------------

note = NotesOf(TEXTS)


def _of_trial(bake: Bake, index: int) -> dict[str, Value]:
    """A trial by its number and its name, empty where it has none."""
    return {"trial": Said(index + 1, named(bake, index)), "name": bake.asked.name or ""}


def _listed(indices: Sequence[int]) -> Said:
    """Trials by number; the text names the first few when there are many."""
    numbers = [str(index + 1) for index in indices]
    return Said(", ".join(numbers), ("Trial " if len(indices) == 1 else "Trials ") + listed(numbers))


def notes_on_soundness(bakes: Sequence[Bake], fit: TrialFit) -> Iterator[Note]:
    """Bakes unlike the others."""
    flagged = [index for index, reading in enumerate(fit.readings) if reading.flagged]
    expected = (
        Said("trials", "what the trials together lead")
        if len(bakes) > 1
        else Said("usual", "what it and usual pan loaves lead")
    )
    for index in flagged:
        reading = fit.readings[index]
        yield note(
            "unlike_the_others",
            **_of_trial(bakes[index], index),
            off=abs(reading.off_percent),
            word="above" if reading.off_percent > 0 else "below",
            expected=expected,
            weight=100 * reading.soundness,
        )
    if len(flagged) > 1:
        yield note("trials_disagree")


def notes_on_water(bakes: Sequence[Bake], fit: TrialFit, base_given: bool) -> Iterator[Note]:
    """Which water counts as right, and what the trials say about it."""
    if fit.water_left_out:
        yield note("water_left_out", most=WATER_VALID_POINTS)
        return
    if fit.base is None:
        yield note("water_not_stated")
        return
    share = (fit.base.share_percent, None)
    if not base_given:
        yield note("base_water_fitted", hydration=fit.base.hydration_percent, share=share)
    if not fit.water_varies:
        yield note("water_slope_not_told", share=share)
    unstated = [index for index, bake in enumerate(bakes) if bake.trial.hydration_percent is None]
    if unstated:
        yield note("water_partly_stated", trials=_listed(unstated))


def notes_on_measuring(bakes: Sequence[Bake], fit: TrialFit) -> Iterator[AnyNote]:
    """How volume and mass were measured, and how widely the bakes scatter."""
    volumes = [bake.asked.volume for bake in bakes]
    beside = [index for index, each in enumerate(volumes) if isinstance(each, Displaced) and each.pan_beside]
    if beside:
        yield note("pan_not_used", trials=_listed(beside))
    yield from _far_off(bakes, fit)
    if any(
        isinstance(each, Filling) and abs(each.fill_percent - FULL_PERCENT) <= FULL_SLACK for each in volumes
    ):
        yield note("just_full", full=FULL_PERCENT)
    if any(isinstance(each, Crowned) for each in volumes):
        yield note("crown_as_cap", fraction=CROWN_CAP_FRACTION.value)
    if all(bake.asked.volume_relative_sd is None for bake in bakes):
        measured, by_height = (
            100 * row.value for row in (VOLUME_MEASUREMENT_RELATIVE_SD, VOLUME_BY_HEIGHT_RELATIVE_SD)
        )
        yield note("usual_measuring", measured=measured, by_height=by_height)
    if not any(bake.trial.weighed for bake in bakes):
        yield note("bake_loss_usual", loss=fit.calibration.bake_loss_percent)
    if fit.calibration.spread_percent > 100 * BAKE_TO_BAKE_RELATIVE_SD.high:
        yield note("wide_spread", spread=fit.calibration.spread_percent)
    for bake in bakes:
        if bake.pan is not None:
            yield from bake.pan.notes


def _far_off(bakes: Sequence[Bake], fit: TrialFit) -> Iterator[Note]:
    for index, reading in enumerate(fit.readings):
        off = reading.off_optimum_points
        if off is not None and abs(off) > WATER_VALID_POINTS:
            yield note("water_far_off", **_of_trial(bakes[index], index), off=abs(off))


def note_on_ratio(liquid_ratio: float) -> Iterator[Note]:
    """A scald of a ratio that the water slope is not known for."""
    low, high = SCALD_WATER_SLOPE_RATIO, THINNEST_RATIO
    if not low <= liquid_ratio <= high:
        yield note("ratio_outside_range", ratio=liquid_ratio, low=low, high=high)
