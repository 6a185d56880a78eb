"""The steps of a fit, and the notes on it."""

from collections.abc import Iterator, Sequence
from math import sqrt
from typing import cast

from scaldloaf.dough.bread import (
    BAKE_TO_BAKE_RELATIVE_SD,
    SPECIFIC_VOLUME_PRIOR,
    VOLUME_BY_HEIGHT_RELATIVE_SD,
    VOLUME_MEASUREMENT_RELATIVE_SD,
)
from scaldloaf.dough.estimate import NORMAL_90
from scaldloaf.dough.limits import (
    BAKE_LOSS_LIDDED_PERCENT,
    BAKE_LOSS_OPEN_PERCENT,
    COOLING_LOSS_PERCENT,
    FULL_PERCENT,
)
from scaldloaf.dough.pan import PanVolume
from scaldloaf.dough.refusal import listed
from scaldloaf.dough.trials import (
    BAKE_LOSS_PRIOR_SD_POINTS,
    BAKE_LOSS_TRIAL_SD_POINTS,
    CROWN_CAP_FRACTION,
    LOG_SPECIFIC_VOLUME_PRIOR_SD,
    SHARE_VOLUME_LOSS_PRIOR_SD,
    TRIAL_WATER_LIMIT_POINTS,
    TRIAL_WATER_STEP_POINTS,
    WATER_REACH_POINTS,
    FittedTrial,
    Trial,
    TrialFit,
    WaterBase,
)
from scaldloaf.dough.volume import (
    SHARE_VOLUME_LOSS,
    SHARE_VOLUME_THRESHOLD_PERCENT,
    WATER_VALID_POINTS,
    WATER_VOLUME_CURVATURE,
)
from scaldloaf.dough.water_rule import ROUX_WATER_SLOPE_RATIO, SCALD_WATER_SLOPE_RATIO
from scaldloaf.operations.measured_bake import Bake, Crowned, Displaced, Filling
from scaldloaf.operations.notes import AnyNote, Note, NotesOf, Said, Value
from scaldloaf.operations.steps import Working, bracketed
from scaldloaf.operations.working.pan import PanWithRim, rim_expression

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
    "base_water_assumed": (
        "The water at the lowest share, {hydration} % at {share} % scalded, is assumed to be right. If you "
        "know better, say which water is."
    ),
    "water_slope_not_told": (
        "No two trials of one share, other than {share} %, differ in water, so how the optimum water "
        "moves with the share is still what is usual."
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
        "Volumes are assumed to be measured to {measured:g} %, or {by_height:g} % by height. If you measure "
        "better and say so, the next dough follows the last bake more closely."
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
        "A scald of 1:{ratio:.3g} is outside 1:{low:g} to 1:{high:g}; its water is first expected as at "
        "1:{end:g}."
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
    """Where the water is taken to be right, and what the trials say of it."""
    if fit.base is None:
        yield note("water_not_stated")
        return
    share = (fit.base.share_percent, None)
    if not base_given:
        yield note("base_water_assumed", hydration=(fit.base.hydration_percent, None), share=share)
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
    low, high = SCALD_WATER_SLOPE_RATIO, ROUX_WATER_SLOPE_RATIO
    if not low <= liquid_ratio <= high:
        end = low if liquid_ratio < low else high
        yield note("ratio_outside_range", ratio=liquid_ratio, low=low, high=high, end=end)


# ---- The working ---------------------------------------------------------------------------------


def _cooling_expression(show: Working, trial: Trial) -> str | None:
    """A trial's own cooling loss as arithmetic; None: it does not say any."""
    shown = show.format
    if trial.cooling_loss_percent is not None:
        return shown(trial.cooling_loss_percent)
    if trial.oven_mass_g is None or trial.baked_mass_g is None:
        return None
    return (
        f"100 × ({shown(trial.oven_mass_g, 'mass')} − {shown(trial.baked_mass_g, 'mass')}) ÷ "
        f"{shown(trial.dough_mass_g, 'mass')}"
    )


def _loss_expression(show: Working, trial: Trial, cooling_percent: float) -> str | None:
    """A trial's own bake loss as arithmetic; None: the loaf was not weighed."""
    mass_g = trial.baked_mass_g if trial.oven_mass_g is None else trial.oven_mass_g
    if mass_g is None:
        return None
    shown = show.format
    lost = f"100 × (1 − {shown(mass_g, 'mass')} ÷ {shown(trial.dough_mass_g, 'mass')})"
    if trial.oven_mass_g is None:
        cooling = cooling_percent if trial.cooling_loss_percent is None else trial.cooling_loss_percent
        lost += f" − {shown(cooling)}" if cooling else ""
    return lost


def _show_losses(show: Working, bakes: Sequence[Bake], fit: TrialFit, open_top: bool) -> None:
    """The steps to the bake loss and the cooling loss of the next bake."""
    shown, cooling = show.format, fit.losses.cooling_percent
    measured = [each for bake in bakes if (each := _cooling_expression(show, bake.trial)) is not None]
    if measured:
        show.step(
            "Cooling loss: mean of your own trials",
            f"({' + '.join(measured)}) ÷ {len(measured)}",
            cooling,
            unit="% of dough",
        )
    in_oven = (BAKE_LOSS_OPEN_PERCENT if open_top else BAKE_LOSS_LIDDED_PERCENT).value
    usual = shown(in_oven)
    if fit.losses.usual_percent > in_oven:
        usual = f"({usual} + {shown(COOLING_LOSS_PERCENT.value)})"
    weighed = [each for bake in bakes if (each := _loss_expression(show, bake.trial, cooling)) is not None]
    losses = "".join(f" + {each}" for each in weighed)
    share = f"({shown(BAKE_LOSS_TRIAL_SD_POINTS)} ÷ {shown(BAKE_LOSS_PRIOR_SD_POINTS)})²"
    show.step(
        "Bake loss: mean of your own trials, drawn to the usual",
        f"({share} × {usual}{losses}) ÷ ({share} + {len(weighed)})",
        fit.calibration.bake_loss_percent,
        unit="% of dough",
    )


def show_bakes(show: Working, bakes: Sequence[Bake], fit: TrialFit, open_top: bool) -> None:
    """The steps from what was measured to each specific volume."""
    shown = show.format
    _show_losses(show, bakes, fit, open_top)
    for index, (bake, reading) in enumerate(zip(bakes, fit.readings, strict=True)):
        name, trial = named(bake, index), bake.trial
        _show_volume(show, name, bake)
        cooling = fit.losses.cooling_percent
        if trial.oven_mass_g is not None:
            mass = show.metric(trial.oven_mass_g, "mass")
        elif trial.baked_mass_g is not None:
            mass = show.metric(trial.baked_mass_g, "mass")
            lost = cooling if trial.cooling_loss_percent is None else trial.cooling_loss_percent
            if lost:
                mass = f"({mass} + {show.metric(trial.dough_mass_g, 'mass')} × {shown(lost)} ÷ 100)"
        else:
            loss = shown(fit.calibration.bake_loss_percent)
            mass = f"({show.metric(trial.dough_mass_g, 'mass')} × (1 − {loss} ÷ 100))"
        show.step(
            f"{name}: specific volume",
            f"{show.metric(trial.loaf_volume_cm3, 'volume')} ÷ {mass}",
            reading.specific_volume,
            unit="cm³/g",
        )


def _show_volume(show: Working, name: str, bake: Bake) -> None:
    """The step to a loaf's volume from what its pan holds; none where it was measured by itself."""
    shown, volume_cm3 = show.format, bake.trial.loaf_volume_cm3
    match bake.asked.volume:
        case Filling(_, fill):
            pan_cm3 = cast("PanVolume", bake.pan).volume_cm3
            show.step(
                f"{name}: loaf volume",
                f"{shown(pan_cm3, 'volume')} × {shown(fill)} ÷ 100",
                volume_cm3,
                "volume",
            )
        case Crowned(pan, height_cm):
            pan_cm3 = cast("PanVolume", bake.pan).volume_cm3
            volume = (
                f"{show.metric(pan_cm3, 'volume')} of pan + {shown(CROWN_CAP_FRACTION.value)} × "
                f"{rim_expression(cast('PanWithRim', pan), show)} of rim × "
                f"{show.metric(height_cm, 'length')} of crown"
            )
            show.step(
                f"{name}: loaf volume, the crown as a cap over the rim",
                show.ending(volume, volume_cm3, "volume"),
                volume_cm3,
                "volume",
            )


def show_fit(show: Working, bakes: Sequence[Bake], fit: TrialFit) -> None:
    """What the fit makes of the bakes, and what it expects of each."""
    shown, calibration = show.format, fit.calibration

    def learned(label: str, index: int, prior: str, value: float, unit: str = "") -> None:
        show.step(
            label,
            f"from {prior} and {_count(len(bakes))}, each weighed by its scatter and its "
            "weight; standard deviation "
            f"{shown(sqrt(calibration.covariance[index][index]))}",
            value,
            unit=unit,
        )

    learned(
        "Logarithm of specific volume without scald",
        0,
        f"ln {shown(SPECIFIC_VOLUME_PRIOR.value)} ± {shown(LOG_SPECIFIC_VOLUME_PRIOR_SD)}",
        calibration.log_specific_volume,
    )
    learned(
        "Volume lost per unit of share",
        1,
        f"{shown(SHARE_VOLUME_LOSS.value)} ± {shown(SHARE_VOLUME_LOSS_PRIOR_SD)}",
        calibration.share_volume_loss,
    )
    slope = fit.slope_prior
    learned(
        "Optimum water per point of share",
        2,
        f"{shown(slope.best)} ± {shown((slope.high - slope.low) / (2 * NORMAL_90))}",
        calibration.water_slope,
        unit="points",
    )
    show.step(
        "Scatter from bake to bake",
        f"the likeliest, from the usual {shown(100 * BAKE_TO_BAKE_RELATIVE_SD.value)} % and "
        f"{_count(len(bakes))}",
        calibration.spread_percent,
        unit="%",
    )
    for index, (bake, reading) in enumerate(zip(bakes, fit.readings, strict=True)):
        _show_expected(show, named(bake, index), fit, bake.trial, reading)


def _show_expected(show: Working, name: str, fit: TrialFit, trial: Trial, reading: FittedTrial) -> None:
    """The steps to the volume that the fit expects of a bake."""
    shown, calibration = show.format, fit.calibration
    share, off = trial.share_percent, reading.off_optimum_points
    expected = f"e^({shown(calibration.log_specific_volume)}) without scald"
    if share > SHARE_VOLUME_THRESHOLD_PERCENT:
        expected += (
            f" × (1 − {bracketed(shown(calibration.share_volume_loss))} × ({shown(share)} − "
            f"{shown(SHARE_VOLUME_THRESHOLD_PERCENT)}) ÷ 100) for the share"
        )
    if off is not None:
        hydration = cast("float", trial.hydration_percent)
        show_off(show, f"{name}: hydration off the optimum", fit, share, hydration)
        points, note = shown(off), "for the water"
        if abs(off) > WATER_REACH_POINTS:
            points = f"({shown(TRIAL_WATER_LIMIT_POINTS)} + {shown(TRIAL_WATER_STEP_POINTS)})"
            note = "for the water, at most that far off"
        expected += f" × (1 − {shown(WATER_VOLUME_CURVATURE.value)} × ({points} ÷ 100)²) {note}"
    expected += (
        f" × {show.metric(trial.dough_mass_g, 'mass')} × "
        f"(1 − {shown(calibration.bake_loss_percent)} ÷ 100) of bread"
    )
    show.step(
        f"{name}: volume expected",
        show.ending(expected, reading.predicted_volume_cm3, "volume"),
        reading.predicted_volume_cm3,
        "volume",
    )


def show_off(
    show: Working, label: str, fit: TrialFit, share_percent: float, hydration_percent: float
) -> None:
    """The step to a hydration less the optimum at its share."""
    shown, base = show.format, cast("WaterBase", fit.base)
    show.step(
        label,
        f"{shown(hydration_percent)} − ({shown(base.hydration_percent)} + "
        f"{bracketed(shown(fit.calibration.water_slope))} × ({shown(share_percent)} − "
        f"{shown(base.share_percent)}))",
        fit.off_optimum_points(share_percent, hydration_percent),
        unit="points",
    )


def _count(trials: int) -> str:
    return f"{trials} trial" + ("s" if trials != 1 else "")
