"""trial-fit: from measured bakes to a calibration, and the next bake."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from scaldloaf.dough.bread import (
    BAKE_TO_BAKE_RELATIVE_SD,
    SPECIFIC_VOLUME_PRIOR,
    VOLUME_BY_HEIGHT_RELATIVE_SD,
    VOLUME_MEASUREMENT_RELATIVE_SD,
    Bread,
    Wanted,
    bread_from_calibration,
)
from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.hydration import assess
from scaldloaf.dough.limits import (
    BAKE_LOSS_LIDDED_PERCENT,
    BAKE_LOSS_OPEN_PERCENT,
    FULL_PERCENT,
    SHARE_UPPER_BOUND_PERCENT,
)
from scaldloaf.dough.pan import Pan, PanVolume
from scaldloaf.dough.pan_fill import PanFill, fill_pan
from scaldloaf.dough.refusal import Refusal, listed
from scaldloaf.dough.trials import (
    BAKE_LOSS_PRIOR_SD_POINTS,
    BAKE_LOSS_TRIAL_SD_POINTS,
    CROWN_CAP_FRACTION,
    LOG_SPECIFIC_VOLUME_PRIOR_SD,
    SHARE_VOLUME_LOSS_PRIOR_SD,
    TRIAL_WATER_LIMIT_POINTS,
    WATER_REACH_POINTS,
    TRIAL_WATER_STEP_POINTS,
    Lesson,
    ProofTime,
    Trial,
    TrialFit,
    WaterBase,
    crown_volume_cm3,
    fit_trials,
    lessons,
    proof_time,
)
from scaldloaf.dough.volume import (
    SHARE_VOLUME_LOSS,
    SHARE_VOLUME_THRESHOLD_PERCENT,
    WATER_VALID_POINTS,
    WATER_VOLUME_CURVATURE,
)
from scaldloaf.dough.water_rule import ROUX_WATER_SLOPE_RATIO, SCALD_WATER_SLOPE_RATIO
from scaldloaf.operations.context import Context
from scaldloaf.operations.located import located
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.pan_fill import show_fill, write_fill
from scaldloaf.operations.schemas import trial_fit as schema
from scaldloaf.operations.wire.calibration import write_calibration
from scaldloaf.operations.wire.pans import pan_basis, read_pan_volume, rim_expression
from scaldloaf.operations.working.steps import Working, bracketed, format_number

FULL_SLACK = 0.5  # percent of fill: a lidded pan this near to full may have been pressed
SAME_SHARE = 2.5  # points: a trial this near to the wanted share has been there
LEAST_TOLD = 1.0  # percent: narrowing of the water slope that is worth a word
SCARCELY = 2.0  # percent: narrowing by which no other bake is worth baking before the wanted one

LESSONS = {
    "same": "Bake the wanted bread",
    "without_scald": "Bake one without scald",
    "more_scald": "Bake one at a higher share",
    "less_water": "Bake the wanted share with less water",
    "more_water": "Bake the wanted share with more water",
}


# Reading


@dataclass(frozen=True, slots=True)
class _Bake:
    """A trial as read; ``field`` is what its volume came from: loaf_volume, fill_percent or crown_height."""

    trial: Trial
    field: str
    pan: Pan | None = None
    held: PanVolume | None = None


def _read_bake(wire: dict, context: Context, index: int) -> _Bake:
    at, from_wire = f"trials.{index}", context.units.from_wire
    given = [field for field in ("loaf_volume", "fill_percent", "crown_height") if field in wire]
    if len(given) > 1:
        raise Refusal(
            f"{at}.{given[1]}",
            "volume_given_twice",
            f"the volume is given by {given[0]} already; leave one of the two out",
            given=wire[given[1]],
        )
    if not given:
        missing = "fill_percent" if "pan" in wire else "loaf_volume"
        raise Refusal(
            f"{at}.{missing}",
            "missing",
            "how large the loaf became is needed: its loaf_volume, or the pan with fill_percent "
            "(100: just full) or with crown_height",
        )
    field = given[0]
    pan = held = None
    if field == "loaf_volume":
        volume = from_wire(wire["loaf_volume"], "volume")
    elif "pan" not in wire:
        raise Refusal(
            f"{at}.pan", "missing", f"{field} says how the loaf stood in its pan, so the pan is needed"
        )
    else:
        pan, held = read_pan_volume(wire["pan"], context, f"{at}.pan")
        volume = held.volume_cm3
        if field == "fill_percent":
            volume *= wire["fill_percent"] / 100
        else:
            with located(at):
                volume += crown_volume_cm3(pan, from_wire(wire["crown_height"], "length"))
    usual = VOLUME_MEASUREMENT_RELATIVE_SD if field == "loaf_volume" else VOLUME_BY_HEIGHT_RELATIVE_SD
    return _Bake(
        Trial(
            share_percent=wire["scalded_share_percent"],
            dough_mass_g=from_wire(wire["dough_mass"], "mass"),
            loaf_volume_cm3=volume,
            volume_relative_sd=wire.get("volume_sd_percent", 100 * usual.value) / 100,
            hydration_percent=wire.get("hydration_percent"),
            baked_mass_g=from_wire(wire["baked_mass"], "mass") if "baked_mass" in wire else None,
            proof_minutes=wire.get("proof_minutes"),
        ),
        field,
        pan,
        held,
    )


def _fit(request: dict, bakes: Sequence[_Bake], open_top: bool) -> TrialFit:
    base = request.get("right_water")
    try:
        return fit_trials(
            [bake.trial for bake in bakes],
            base and WaterBase(base["scalded_share_percent"], base["hydration_percent"]),
            request["scald_liquid_ratio"],
            open_top,
        )
    except Refusal as refusal:
        raise _at_its_field(refusal, request, bakes) from None


def _at_its_field(refusal: Refusal, request: dict, bakes: Sequence[_Bake]) -> Refusal:
    """A refusal of a volume, moved to the field the volume came from."""
    parts = refusal.argument.split(".")
    if parts[-1] == "share_percent":
        refusal.argument = ".".join([*parts[:-1], "scalded_share_percent"])
    if len(parts) != 3 or parts[2] != "loaf_volume":
        return refusal
    bake, wire = bakes[int(parts[1])], request["trials"][int(parts[1])]
    if bake.field == "fill_percent":
        refusal.quantity, refusal.given = None, wire["fill_percent"]
        refusal.nearest = 100 * refusal.nearest / bake.held.volume_cm3
    elif bake.field == "crown_height":
        height = (refusal.nearest - bake.held.volume_cm3) / _crown_per_height_cm2(bake.pan)
        refusal.quantity, refusal.nearest = "length", height if height >= 0 else None
        refusal.given = crown_height_cm(bake)
    refusal.argument = f"trials.{parts[1]}.{bake.field}"
    return refusal


def crown_height_cm(bake: _Bake) -> float:
    """The crown's height that a bake's volume was reckoned from."""
    return (bake.trial.loaf_volume_cm3 - bake.held.volume_cm3) / _crown_per_height_cm2(bake.pan)


def _crown_per_height_cm2(pan: Pan) -> float:
    return crown_volume_cm3(pan, 1.0)


# The next bake


@dataclass(frozen=True, slots=True)
class _Next:
    """The loaf wanted, and the dough for it."""

    pan: Pan
    held: PanVolume
    fill_percent: float
    wanted: Wanted
    hydration_percent: float | None
    optimum: Estimate | None
    bread: Bread
    filled: PanFill


def _next_bake(want: dict, fit: TrialFit, context: Context) -> _Next:
    pan, held = read_pan_volume(want["pan"], context, "want.pan")
    share, fill = want["scalded_share_percent"], want["fill_percent"]
    if share > SHARE_UPPER_BOUND_PERCENT:
        raise Refusal(
            "want.scalded_share_percent",
            "share_out_of_range",
            "a scalded share runs from 0 to {most} % of total flour",
            given=share,
            nearest=SHARE_UPPER_BOUND_PERCENT,
            amounts={"most": (SHARE_UPPER_BOUND_PERCENT, None)},
        )
    optimum, hydration = fit.optimum_hydration(share), want.get("hydration_percent")
    off = fit.off_optimum_points(share, hydration)
    if abs(off) > WATER_VALID_POINTS:
        limit = WATER_VALID_POINTS if off > 0 else -WATER_VALID_POINTS
        raise Refusal(
            "want.hydration_percent",
            "water_too_far_off",
            "the optimum at this share is about {optimum} %, and the effect of water on volume is "
            "known only within {limit} points of it",
            given=hydration,
            nearest=optimum.best + limit,
            amounts={"optimum": (optimum.best, None), "limit": (WATER_VALID_POINTS, None)},
        )
    wanted = Wanted(share, off, None, fill > FULL_PERCENT)
    with located(**{"wanted.share_percent": "want.scalded_share_percent"}):
        bread = bread_from_calibration(fit.calibration, wanted)
    if hydration is None and optimum is not None:
        hydration = optimum.best
    return _Next(pan, held, fill, wanted, hydration, optimum, bread, fill_pan(held.volume_cm3, fill, bread))


def _write_next(ahead: _Next, context: Context) -> dict:
    return {
        **write_fill(ahead.held.volume_cm3, ahead.filled, ahead.bread, context),
        "scalded_share_percent": ahead.wanted.share_percent,
        "hydration_percent": ahead.hydration_percent,
        "optimum_hydration_percent": context.estimate(ahead.optimum) if ahead.optimum else None,
    }


def _write_lessons(found: Sequence[Lesson], fit: TrialFit) -> dict:
    def hydration(lesson: Lesson) -> float | None:
        optimum = fit.optimum_hydration(lesson.share_percent)
        return None if optimum is None else optimum.best + lesson.off_optimum_points

    def said(lesson: Lesson) -> str:
        water = hydration(lesson)
        return f"{LESSONS[lesson.kind]} ({format_number(round(lesson.share_percent, 1))} % share" + (
            f", {water:.1f} % hydration)" if water is not None else ")"
        )

    same = next(lesson for lesson in found if lesson.kind == "same")
    best = same if found[0].narrows_dough_percent <= same.narrows_dough_percent + SCARCELY else found[0]
    water = max(found, key=lambda lesson: lesson.narrows_water_percent)
    advice = (
        f"{said(best)}: that teaches most about the wanted dough, whose interval becomes "
        f"{best.narrows_dough_percent:.0f} % narrower."
    )
    if fit.base is None:
        advice += " Give the hydration of each trial, and they can also teach the water."
    elif water.narrows_water_percent >= LEAST_TOLD and water is not best:
        advice += (
            f" To learn the water, {said(water)[0].lower()}{said(water)[1:]}: the interval of the "
            f"water slope becomes {water.narrows_water_percent:.0f} % narrower."
        )
    return {
        "advice": advice,
        "bakes": [
            {
                "kind": lesson.kind,
                "scalded_share_percent": lesson.share_percent,
                "hydration_percent": hydration(lesson),
                "narrows_dough_percent": lesson.narrows_dough_percent,
                "narrows_water_percent": lesson.narrows_water_percent,
            }
            for lesson in found
        ],
    }


def _write_proof(proof: ProofTime, share: float, context: Context) -> dict:
    bakes = f"{proof.trials} timed trial" + ("s" if proof.trials != 1 else "")
    match proof.rule:
        case "own_share":
            why = f"The mean of {bakes} at this share, with the usual scatter of proof times."
        case "trend":
            why = (
                f"A straight line through the logarithm of {bakes}: "
                f"{proof.percent_per_ten_points.low:+.0f} to {proof.percent_per_ten_points.high:+.0f} % "
                "for ten points of share."
                + (
                    " The wanted share lies beyond them, so this is extrapolated."
                    if proof.extrapolated
                    else ""
                )
            )
        case "too_wide":
            why = (
                f"{bakes[0].upper()}{bakes[1:]} cannot tell: their shares lie too close together, or "
                f"their times too far apart, to say anything at {format_number(share)} %. Proof grows longer with "
                "the scalded share; time a bake nearer to it."
            )
        case _:
            why = (
                "Proof grows longer with the scalded share; by how much is not published. Give "
                "proof_minutes of trials at two different shares, or of one at this share, for a number "
                "of your own."
            )
    return {
        "direction": "rises_with_share",
        "direction_evidence": "published",
        "minutes": context.estimate(proof.minutes) if proof.minutes else None,
        "why": why,
    }


# Notes and working


def _named(wire: dict, index: int) -> str:
    return f"Trial {index + 1}" + (f" ({wire['name']})" if wire.get("name") else "")


def _listed(indices: Sequence[int]) -> str:
    """Trials by number, the first few when there are many."""
    return ("Trial " if len(indices) == 1 else "Trials ") + listed(str(index + 1) for index in indices)


def _notes(request: dict, bakes: Sequence[_Bake], fit: TrialFit, ahead: _Next | None):
    wires, calibration = request["trials"], fit.calibration
    flagged = [index for index, reading in enumerate(fit.readings) if reading.flagged]
    expected = "what the trials together lead" if len(bakes) > 1 else "what it and usual pan loaves lead"
    for index in flagged:
        reading = fit.readings[index]
        word = "above" if reading.off_percent > 0 else "below"
        yield (
            "unlike_the_others",
            f"{_named(wires[index], index)} is {abs(reading.off_percent):.0f} % {word} {expected} to "
            f"expect. It is kept and counts {100 * reading.soundness:.0f} %. If something went wrong that "
            "day, or a figure is a slip, mend it or leave it out.",
        )
    if len(flagged) > 1:
        yield (
            "trials_disagree",
            "Some trials disagree, so the intervals are wide. A further bake tells which to believe.",
        )
    if fit.base is None:
        yield (
            "water_not_stated",
            "No trial states its hydration, so the water of all is taken to have been right for its share.",
        )
    elif "right_water" not in request:
        yield (
            "base_water_assumed",
            f"The water at the lowest share, {format_number(fit.base.hydration_percent)} % at "
            f"{format_number(fit.base.share_percent)} % scalded, is taken to be right. If you know better, say "
            "which water is.",
        )
    if fit.base is not None and not fit.tells_water:
        yield (
            "water_slope_not_told",
            f"No two trials of one share, other than {format_number(fit.base.share_percent)} %, differ in water, "
            "so how the optimum water moves with the share is still what is usual.",
        )
    unstated = [index for index, bake in enumerate(bakes) if bake.trial.hydration_percent is None]
    if fit.base is not None and unstated:
        yield (
            "water_partly_stated",
            f"{_listed(unstated)} without a hydration: the water is taken to have been right for the share.",
        )
    beside = [
        index for index, bake in enumerate(bakes) if bake.field == "loaf_volume" and "pan" in wires[index]
    ]
    if beside:
        yield (
            "pan_not_used",
            f"{_listed(beside)} with a measured volume: the pan given beside it is not used.",
        )
    far = [
        index
        for index, reading in enumerate(fit.readings)
        if reading.off_optimum_points is not None and abs(reading.off_optimum_points) > WATER_VALID_POINTS
    ]
    for index in far:
        yield (
            "water_far_off",
            f"{_named(wires[index], index)} is "
            f"{abs(fit.readings[index].off_optimum_points):.0f} points of water off the "
            "optimum, beyond where its effect is known; it counts for little.",
        )
    if any(
        bake.field == "fill_percent" and abs(wire["fill_percent"] - FULL_PERCENT) <= FULL_SLACK
        for bake, wire in zip(bakes, wires)
    ):
        yield (
            "just_full",
            "A fill of 100 % is read as a pan just full. If the lid held the loaf down, it "
            "would have become larger, and the next dough can be smaller.",
        )
    if any(bake.field == "crown_height" for bake in bakes):
        yield (
            "crown_as_cap",
            "A crown is reckoned as half an ellipsoid over the rim: "
            f"{CROWN_CAP_FRACTION.value:.2g} of the rim's area times its height. Seeds or "
            "water displaced tell it better.",
        )
    if not any("volume_sd_percent" in wire for wire in wires):
        yield (
            "usual_measuring",
            f"Volumes are taken as measured to {100 * VOLUME_MEASUREMENT_RELATIVE_SD.value:g} %, or "
            f"{100 * VOLUME_BY_HEIGHT_RELATIVE_SD.value:g} % by height. Measured better, and said so, the next "
            "dough follows the last bake more closely.",
        )
    if not any("baked_mass" in wire for wire in wires):
        yield (
            "bake_loss_usual",
            "No trial was weighed after baking, so the bake loss is the usual "
            f"{calibration.bake_loss_percent:.3g} %. The dough mass does not depend "
            "on it: volume was measured on the dough.",
        )
    if calibration.spread_percent > 100 * BAKE_TO_BAKE_RELATIVE_SD.high:
        yield (
            "wide_spread",
            f"Your bakes differ by about {calibration.spread_percent:.1f} % from one to "
            "the next, more than usual. Weighing, dough temperature and proof are the "
            "first to look at.",
        )
    for bake in bakes:
        yield from bake.held.notes if bake.held else ()
    ratio = request["scald_liquid_ratio"]
    if not SCALD_WATER_SLOPE_RATIO <= ratio <= ROUX_WATER_SLOPE_RATIO:
        end = SCALD_WATER_SLOPE_RATIO if ratio < SCALD_WATER_SLOPE_RATIO else ROUX_WATER_SLOPE_RATIO
        yield (
            "ratio_outside_range",
            f"A scald of 1:{ratio:.3g} is outside 1:{SCALD_WATER_SLOPE_RATIO:g} to "
            f"1:{ROUX_WATER_SLOPE_RATIO:g}; its water is first expected as at 1:{end:g}.",
        )
    if ahead is not None:
        yield from ahead.held.notes
        yield from (note for note in ahead.bread.notes if note[0] != "bake_loss_of_trials")
        share = ahead.wanted.share_percent
        if min(abs(bake.trial.share_percent - share) for bake in bakes) > SAME_SHARE:
            yield (
                "no_trial_near",
                f"No trial is near {format_number(share)} % share yet; the first one there teaches most.",
            )
        if fit.base is None and "hydration_percent" in request["want"]:
            yield (
                "water_unread",
                "Without the hydration of any trial, the wanted hydration cannot be set "
                "against an optimum; its water is taken to be right.",
            )
        elif ahead.optimum is not None and assess(ahead.hydration_percent, ahead.optimum.best) != "balanced":
            yield (
                "water_off_optimum",
                f"The wanted hydration is {ahead.wanted.off_optimum_points:+.1f} "
                "points off the optimum for its share, about "
                f"{ahead.optimum.best:.1f} %.",
            )


def _show_bakes(show: Working, request: dict, bakes: Sequence[_Bake], fit: TrialFit, open_top: bool) -> None:
    shown = show.format
    usual = (BAKE_LOSS_OPEN_PERCENT if open_top else BAKE_LOSS_LIDDED_PERCENT).value
    weighed = [bake.trial for bake in bakes if bake.trial.baked_mass_g is not None]
    losses = "".join(
        f" + 100 × (1 − {shown(trial.baked_mass_g, 'mass')} ÷ {shown(trial.dough_mass_g, 'mass')})"
        for trial in weighed
    )
    share = f"({shown(BAKE_LOSS_TRIAL_SD_POINTS)} ÷ {shown(BAKE_LOSS_PRIOR_SD_POINTS)})²"
    show.step(
        "Bake loss: mean of own trials, drawn to the usual",
        f"({share} × {shown(usual)}{losses}) ÷ ({share} + {len(weighed)})",
        fit.calibration.bake_loss_percent,
        unit="% of dough",
    )
    for index, (wire, bake, reading) in enumerate(zip(request["trials"], bakes, fit.readings)):
        name, trial = _named(wire, index), bake.trial
        if bake.field == "fill_percent":
            show.step(
                f"{name}: loaf volume",
                f"{shown(bake.held.volume_cm3, 'volume')} × {shown(wire['fill_percent'])} ÷ 100",
                trial.loaf_volume_cm3,
                "volume",
            )
        elif bake.field == "crown_height":
            volume = (
                f"{show.metric(bake.held.volume_cm3, 'volume')} of pan + {shown(CROWN_CAP_FRACTION.value)} × "
                f"{rim_expression(bake.pan, show)} of rim × "
                f"{show.metric(crown_height_cm(bake), 'length')} of crown"
            )
            show.step(
                f"{name}: loaf volume, the crown as a cap over the rim",
                show.ending(volume, trial.loaf_volume_cm3, "volume"),
                trial.loaf_volume_cm3,
                "volume",
            )
        mass = (
            show.metric(trial.baked_mass_g, "mass")
            if trial.baked_mass_g is not None
            else f"({show.metric(trial.dough_mass_g, 'mass')} × (1 − {shown(fit.calibration.bake_loss_percent)} "
            "÷ 100))"
        )
        show.step(
            f"{name}: specific volume",
            f"{show.metric(trial.loaf_volume_cm3, 'volume')} ÷ {mass}",
            reading.specific_volume,
            unit="cm³/g",
        )


def _show_fit(show: Working, request: dict, bakes: Sequence[_Bake], fit: TrialFit) -> None:
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
    for index, (wire, bake, reading) in enumerate(zip(request["trials"], bakes, fit.readings)):
        name, share, off = _named(wire, index), bake.trial.share_percent, reading.off_optimum_points
        expected = f"e^({shown(calibration.log_specific_volume)}) without scald"
        if share > SHARE_VOLUME_THRESHOLD_PERCENT:
            expected += (
                f" × (1 − {bracketed(shown(calibration.share_volume_loss))} × ({shown(share)} − "
                f"{shown(SHARE_VOLUME_THRESHOLD_PERCENT)}) ÷ 100) for the share"
            )
        if off is not None:
            _show_off(show, f"{name}: hydration off the optimum", fit, share, bake.trial.hydration_percent)
            points, note = shown(off), "for the water"
            if abs(off) > WATER_REACH_POINTS:
                points = f"({shown(TRIAL_WATER_LIMIT_POINTS)} + {shown(TRIAL_WATER_STEP_POINTS)})"
                note = "for the water, at most that far off"
            expected += f" × (1 − {shown(WATER_VOLUME_CURVATURE.value)} × ({points} ÷ 100)²) {note}"
        expected += (
            f" × {show.metric(bake.trial.dough_mass_g, 'mass')} × "
            f"(1 − {shown(calibration.bake_loss_percent)} ÷ 100) of bread"
        )
        show.step(
            f"{name}: volume expected",
            show.ending(expected, reading.predicted_volume_cm3, "volume"),
            reading.predicted_volume_cm3,
            "volume",
        )


def _show_off(
    show: Working, label: str, fit: TrialFit, share_percent: float, hydration_percent: float
) -> None:
    """The step to a hydration less the optimum at its share."""
    shown = show.format
    show.step(
        label,
        f"{shown(hydration_percent)} − ({shown(fit.base.hydration_percent)} + "
        f"{bracketed(shown(fit.calibration.water_slope))} × ({shown(share_percent)} − "
        f"{shown(fit.base.share_percent)}))",
        fit.off_optimum_points(share_percent, hydration_percent),
        unit="points",
    )


def _count(trials: int) -> str:
    return f"{trials} trial" + ("s" if trials != 1 else "")


def run(request: dict, context: Context) -> dict:
    request = schema.TrialFitRequest.filled(request)
    bakes = [_read_bake(wire, context, index) for index, wire in enumerate(request["trials"])]
    want = schema.WantedLoaf.filled(request["want"]) if "want" in request else None
    open_top = (
        any(
            bake.field == "crown_height" or bake.trial.loaf_volume_cm3 > bake.held.volume_cm3
            for bake in bakes
            if bake.held
        )
        or want is not None
        and want["fill_percent"] > FULL_PERCENT
    )
    fit = _fit(request, bakes, open_top)
    ahead = _next_bake(want, fit, context) if want else None
    out, calibration = context.units.to_wire, fit.calibration
    half = NORMAL_90 * calibration.bake_loss_sd_percent
    loss = Estimate(
        max(0.0, calibration.bake_loss_percent - half),
        calibration.bake_loss_percent,
        calibration.bake_loss_percent + half,
        "assumption",
    )
    answer = {
        "calibration": write_calibration(calibration),
        "learned": {
            "reference_specific_volume": context.estimate(fit.reference_specific_volume),
            "share_volume_loss": context.estimate(fit.share_volume_loss),
            "water_slope": context.estimate(fit.water_slope),
            "water_slope_told": fit.tells_water,
            "bake_loss_percent": context.estimate(loss),
        },
        "fit": [
            {
                **({"name": wire["name"]} if "name" in wire else {}),
                "scalded_share_percent": wire["scalded_share_percent"],
                "predicted": out(reading.predicted_volume_cm3, "volume"),
                "measured": out(bake.trial.loaf_volume_cm3, "volume"),
                "residual": out(bake.trial.loaf_volume_cm3 - reading.predicted_volume_cm3, "volume"),
                "residual_percent": reading.off_percent,
                "specific_volume": reading.specific_volume,
                "off_optimum_points": reading.off_optimum_points,
                "weight": reading.soundness,
                "flagged": reading.flagged,
            }
            for wire, bake, reading in zip(request["trials"], bakes, fit.readings)
        ],
        "spread_percent": calibration.spread_percent,
    }
    basis, cautions = ["geometry", "mass_balance", *SHARE_VOLUME_LOSS.sources, "assumption"], []
    if ahead is not None:
        share = ahead.wanted.share_percent
        answer["next_bake"] = _write_next(ahead, context)
        answer["teach"] = _write_lessons(
            lessons(fit, share, ahead.wanted.off_optimum_points, bakes[-1].trial.volume_relative_sd), fit
        )
        answer["proof"] = _write_proof(proof_time([bake.trial for bake in bakes], share), share, context)
        basis += pan_basis(ahead.pan)
        cautions += ["overfilled_pan", "hot_pan", "net_weight"]

    def working(show: Working) -> None:
        _show_bakes(show, request, bakes, fit, open_top)
        _show_fit(show, request, bakes, fit)
        if ahead is not None:
            if ahead.wanted.off_optimum_points:
                _show_off(
                    show,
                    "Next bake: hydration off the optimum",
                    fit,
                    ahead.wanted.share_percent,
                    ahead.hydration_percent,
                )
            show_fill(
                show,
                ahead.pan,
                ahead.held,
                ahead.fill_percent,
                {"kind": "calibration", "calibration": answer["calibration"]},
                ahead.bread,
                ahead.wanted,
                ahead.filled,
            )

    return context.reply(
        answer,
        working,
        basis=basis,
        cautions=cautions,
        notes=_notes(request, bakes, fit, ahead) if context.full else (),
    )


_TIN = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
_OPEN_TIN = {
    "kind": "tapered",
    "top_length": 8.5,
    "top_width": 4.5,
    "base_length": 7.5,
    "base_width": 3.5,
    "depth": 2.75,
}

TRIAL_FIT = Operation(
    name="trial-fit",
    summary="What measured bakes teach",
    description="From one measured bake or many: the reference specific volume, the volume lost with the "
    "scalded share, the bake loss and, where the trials can tell, the slope of the water, with "
    "intervals. The calibration goes back into pan-fill, hydration-correction and loaf-plan. "
    "Bakes unlike the others are flagged, kept and weighed. With a wanted loaf: its dough, what "
    "the next bake would teach, and its proof time.",
    request=schema.TrialFitRequest,
    run=run,
    pointers={"scalded_share_percent": "want.scalded_share_percent", "fill_percent": "want.fill_percent"},
    examples=(
        Example(
            "two_bakes",
            "Two bakes at Lantern Quay, the second at 35 %, and the same tin full next time",
            {
                "trials": [
                    {
                        "name": "Monday",
                        "scalded_share_percent": 20,
                        "hydration_percent": 69,
                        "dough_mass": 440,
                        "loaf_volume": 1714.75,
                        "baked_mass": 394,
                        "proof_minutes": 60,
                    },
                    {
                        "name": "Tuesday",
                        "scalded_share_percent": 35,
                        "hydration_percent": 73,
                        "dough_mass": 470,
                        "loaf_volume": 1630,
                        "baked_mass": 421,
                        "proof_minutes": 75,
                    },
                ],
                "want": {"pan": _TIN, "scalded_share_percent": 35, "hydration_percent": 73},
            },
        ),
        Example(
            "crown",
            "One loaf in an open tin, measured by the height of its crown, in ounces and inches",
            {
                "units": {"mass": "oz", "length": "in", "volume": "in3"},
                "trials": [
                    {"scalded_share_percent": 10, "dough_mass": 26, "pan": _OPEN_TIN, "crown_height": 2}
                ],
                "want": {"pan": _OPEN_TIN, "fill_percent": 160, "scalded_share_percent": 25},
            },
        ),
        Example(
            "calibration_only",
            "What five bakes say of the bread, one of them unlike the others",
            {
                "trials": [
                    {
                        "scalded_share_percent": share,
                        "hydration_percent": hydration,
                        "dough_mass": dough,
                        "loaf_volume": volume,
                    }
                    for share, hydration, dough, volume in (
                        (0, 64, 430, 1720),
                        (20, 69, 450, 1690),
                        (20, 69, 450, 1250),
                        (35, 71, 480, 1660),
                        (35, 75, 480, 1700),
                    )
                ]
            },
        ),
    ),
)
