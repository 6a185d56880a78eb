"""trial-fit: from measured bakes to a calibration, and the next bake."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple, cast

from scaldloaf.dough.bread import Wanted, bread_from_calibration
from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.hydration import BALANCED, assess
from scaldloaf.dough.limits import FULL_PERCENT, SHARE_UPPER_BOUND_PERCENT
from scaldloaf.dough.pan import Pan, pan_volume
from scaldloaf.dough.pan_fill import fill_pan
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.trials import Lesson, ProofTime, TrialFit, WaterBase, fit_trials, lessons, proof_time
from scaldloaf.dough.volume import SHARE_VOLUME_LOSS, WATER_VALID_POINTS
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.filled_pan import FilledPan, wanted_bread, write_fill
from scaldloaf.operations.lantern_quay import LIDDED_TIN, OPEN_TIN
from scaldloaf.operations.located import Place, located
from scaldloaf.operations.measured_bake import AskedBake, Bake, Crowned, bake_of, places_of, read_bake
from scaldloaf.operations.notes import AnyNote
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import trial_fit as schema
from scaldloaf.operations.steps import Working, format_number
from scaldloaf.operations.wire.calibration import write_calibration
from scaldloaf.operations.wire.pans import pan_basis, read_pan
from scaldloaf.operations.working.pan_fill import show_fill
from scaldloaf.operations.working.trial_fit import (
    note,
    note_on_ratio,
    notes_on_measuring,
    notes_on_soundness,
    notes_on_water,
    show_bakes,
    show_fit,
    show_off,
)

SAME_SHARE = 2.5  # points: a trial this near to the wanted share has been there
LEAST_TOLD = 1.0  # percent: narrowing of the water slope that is worth a word
SCARCELY = 2.0  # percent: narrowing by which no other bake is worth baking before the target loaf

LESSONS = {
    "same": "Bake the target bread",
    "without_scald": "Bake one without scald",
    "more_scald": "Bake one at a higher share",
    "less_water": "Bake the target share with less water",
    "more_water": "Bake the target share with more water",
}


class Want(NamedTuple):
    """The loaf of the next bake; hydration_percent None: the optimum for its share."""

    pan: Pan
    fill_percent: float
    share_percent: float
    hydration_percent: float | None


class Asked(NamedTuple):
    """Measured bakes, where the water is known to be right, the scald's ratio, and the loaf wanted next."""

    bakes: tuple[AskedBake, ...]
    right_water: WaterBase | None
    liquid_ratio: float
    want: Want | None


class NextBake(NamedTuple):
    """The dough for the loaf wanted, what baking it or another would teach, and its proof time."""

    pan: FilledPan
    hydration_percent: float | None
    optimum: Estimate | None
    lessons: Sequence[Lesson]
    proof: ProofTime


class Found(NamedTuple):
    """What the bakes teach; open_top: they, or the target loaf, rise above the rim."""

    asked: Asked
    bakes: tuple[Bake, ...]
    open_top: bool
    fit: TrialFit
    next_bake: NextBake | None


def places(asked: Asked, context: Context) -> Mapping[str, str | Place]:
    """Where what ``compute`` refuses is in the request."""
    return {**places_of(asked.bakes), "want.share_percent": "want.scalded_share_percent"}


# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    request = schema.TrialFitRequest.filled(request)
    bakes = []
    for index, wire in enumerate(request["trials"]):
        with located(f"trials.{index}"):
            bakes.append(read_bake(wire, context))
    right = request.get("right_water")
    return Asked(
        tuple(bakes),
        None if right is None else WaterBase(right["scalded_share_percent"], right["hydration_percent"]),
        request["scald_liquid_ratio"],
        _read_want(request["want"], context) if "want" in request else None,
    )


def _read_want(wire: Wire, context: Context) -> Want:
    wire = schema.WantedLoaf.filled(wire)
    pan = read_pan(wire["pan"], context)
    return Want(pan, wire["fill_percent"], wire["scalded_share_percent"], wire.get("hydration_percent"))


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    bakes = []
    for index, each in enumerate(asked.bakes):
        with located(f"trials.{index}"):
            bakes.append(bake_of(each))
    open_top = any(map(_is_open, bakes)) or (
        asked.want is not None and asked.want.fill_percent > FULL_PERCENT
    )
    fit = fit_trials([bake.trial for bake in bakes], asked.right_water, asked.liquid_ratio, open_top)
    next_bake = None if asked.want is None else _next_bake(asked.want, fit, bakes)
    return Found(asked, tuple(bakes), open_top, fit, next_bake)


def _is_open(bake: Bake) -> bool:
    """Whether the loaf stood above the rim of its pan."""
    if bake.pan is None:
        return False
    return isinstance(bake.asked.volume, Crowned) or bake.trial.loaf_volume_cm3 > bake.pan.volume_cm3


def _next_bake(want: Want, fit: TrialFit, bakes: Sequence[Bake]) -> NextBake:
    with located("want.pan"):
        volume = pan_volume(want.pan)
    share, hydration = want.share_percent, want.hydration_percent
    if share > SHARE_UPPER_BOUND_PERCENT:
        raise Refusal(
            "want.share_percent",
            "share_out_of_range",
            "a scalded share runs from {low} to {high} % of total flour",
            given=share,
            nearest=SHARE_UPPER_BOUND_PERCENT,
            amounts={"low": (0.0, None), "high": (SHARE_UPPER_BOUND_PERCENT, None)},
        )
    optimum, off = fit.optimum_hydration(share), fit.off_optimum_points(share, hydration)
    if optimum is not None and abs(off) > WATER_VALID_POINTS:
        raise _water_too_far_off(hydration, optimum.best, off)
    wanted: Wanted = wanted_bread(want.fill_percent, share, off)
    with located("want", wanted="want"):
        bread = bread_from_calibration(fit.calibration, wanted)
        filled = fill_pan(volume.volume_cm3, want.fill_percent, bread)
    if hydration is None and optimum is not None:
        hydration = optimum.best
    return NextBake(
        FilledPan(want.pan, volume, want.fill_percent, fit.calibration, wanted, bread, filled),
        hydration,
        optimum,
        lessons(fit, share, off, bakes[-1].trial.volume_relative_sd),
        proof_time([bake.trial for bake in bakes], share),
    )


def _water_too_far_off(hydration_percent: float | None, optimum_percent: float, off_points: float) -> Refusal:
    limit = WATER_VALID_POINTS if off_points > 0 else -WATER_VALID_POINTS
    return Refusal(
        "want.hydration_percent",
        "water_too_far_off",
        "the optimum at this share is about {optimum} %, and the effect of water on volume is "
        "known only within {limit} points of it",
        given=hydration_percent,
        nearest=optimum_percent + limit,
        amounts={"optimum": (optimum_percent, None), "limit": (WATER_VALID_POINTS, None)},
    )


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    fit, next_bake = found.fit, found.next_bake
    answer: Wire = {
        "calibration": write_calibration(fit.calibration),
        "learned": _write_learned(fit, context),
        "fit": [_write_bake(found, index, context) for index in range(len(found.bakes))],
        "spread_percent": fit.calibration.spread_percent,
    }
    basis, codes = ["geometry", "mass_balance", *SHARE_VOLUME_LOSS.sources, "assumption"], list[str]()
    if next_bake is not None:
        answer["next_bake"] = _write_next(next_bake, context)
        answer["teach"] = _write_lessons(next_bake.lessons, fit)
        answer["proof"] = _write_proof(next_bake.proof, next_bake.pan.wanted.share_percent, context)
        basis += pan_basis(next_bake.pan.pan)
        codes += cautions.OF_PAN
    return context.reply(
        answer, lambda show: _show(show, found), basis=basis, cautions=codes, notes=_notes(found)
    )


def _write_learned(fit: TrialFit, context: Context) -> Wire:
    best, half = fit.calibration.bake_loss_percent, NORMAL_90 * fit.calibration.bake_loss_sd_percent
    loss = Estimate(max(0.0, best - half), best, best + half, "assumption")
    return {
        "reference_specific_volume": context.estimate(fit.reference_specific_volume),
        "share_volume_loss": context.estimate(fit.share_volume_loss),
        "water_slope": context.estimate(fit.water_slope),
        "water_slope_told": fit.water_varies,
        "bake_loss_percent": context.estimate(loss),
        "cooling_loss_percent": fit.calibration.cooling_loss_percent,
    }


def _write_bake(found: Found, index: int, context: Context) -> Wire:
    out, (asked, trial, _), reading = context.units.to_wire, found.bakes[index], found.fit.readings[index]
    return {
        **({} if asked.name is None else {"name": asked.name}),
        "scalded_share_percent": asked.share_percent,
        "predicted": out(reading.predicted_volume_cm3, "volume"),
        "measured": out(trial.loaf_volume_cm3, "volume"),
        "residual": out(trial.loaf_volume_cm3 - reading.predicted_volume_cm3, "volume"),
        "residual_percent": reading.off_percent,
        "specific_volume": reading.specific_volume,
        "off_optimum_points": reading.off_optimum_points,
        "weight": reading.soundness,
        "flagged": reading.flagged,
    }


def _write_next(next_bake: NextBake, context: Context) -> Wire:
    return {
        **write_fill(next_bake.pan, context),
        "scalded_share_percent": next_bake.pan.wanted.share_percent,
        "hydration_percent": next_bake.hydration_percent,
        "optimum_hydration_percent": next_bake.optimum and context.estimate(next_bake.optimum),
    }


def _write_lessons(found: Sequence[Lesson], fit: TrialFit) -> Wire:
    return {
        "advice": _advice(found, fit),
        "bakes": [
            {
                "kind": lesson.kind,
                "scalded_share_percent": lesson.share_percent,
                "hydration_percent": _hydration_percent(lesson, fit),
                "narrows_dough_percent": lesson.narrows_dough_percent,
                "narrows_water_percent": lesson.narrows_water_percent,
            }
            for lesson in found
        ],
    }


def _hydration_percent(lesson: Lesson, fit: TrialFit) -> float | None:
    optimum = fit.optimum_hydration(lesson.share_percent)
    return None if optimum is None else optimum.best + lesson.off_optimum_points


def _advice(found: Sequence[Lesson], fit: TrialFit) -> str:
    """Which bake to bake next, in words."""

    def words(lesson: Lesson) -> str:
        water = _hydration_percent(lesson, fit)
        share = format_number(round(lesson.share_percent, 1))
        hydration = "" if water is None else f", {water:.1f} % hydration"
        return f"{LESSONS[lesson.kind]} ({share} % share{hydration})"

    same = next(lesson for lesson in found if lesson.kind == "same")
    best = same if found[0].narrows_dough_percent <= same.narrows_dough_percent + SCARCELY else found[0]
    water = max(found, key=lambda lesson: lesson.narrows_water_percent)
    advice = (
        f"{words(best)}: that teaches most about the next dough, whose interval becomes "
        f"{best.narrows_dough_percent:.0f} % narrower."
    )
    if fit.base is None:
        advice += " Give the hydration of each trial, and they can also teach the water."
    elif water.narrows_water_percent >= LEAST_TOLD and water is not best:
        bake = words(water)
        advice += (
            f" To learn the water, {bake[0].lower()}{bake[1:]}: the interval of the "
            f"water slope becomes {water.narrows_water_percent:.0f} % narrower."
        )
    return advice


def _write_proof(proof: ProofTime, share_percent: float | None, context: Context) -> Wire:
    return {
        "direction": "rises_with_share",
        "direction_evidence": "published",
        "minutes": proof.minutes and context.estimate(proof.minutes),
        "why": _why(proof, share_percent),
    }


def _why(proof: ProofTime, share_percent: float | None) -> str:
    """What a proof time rests on, or why there is none."""
    bakes = f"{proof.trials} timed trial" + ("s" if proof.trials != 1 else "")
    share = format_number(share_percent or 0.0)
    match proof.rule:
        case "own_share":
            return f"The mean of {bakes} at this share, with the usual scatter of proof times."
        case "trend":
            trend = cast("Estimate", proof.percent_per_ten_points)
            beyond = (
                " The target share lies beyond them, so this is extrapolated." if proof.extrapolated else ""
            )
            return (
                f"A straight line through the logarithm of {bakes}: {trend.low:+.0f} to {trend.high:+.0f} % "
                f"for ten points of share.{beyond}"
            )
        case "too_wide":
            return (
                f"{bakes[0].upper()}{bakes[1:]} cannot tell: their shares lie too close together, or "
                f"their times too far apart, to say anything at {share} %. Proof "
                "grows longer with the scalded share; time a bake nearer to it."
            )
        case _:
            return (
                "Proof grows longer with the scalded share; by how much is not published. Give "
                "proof_minutes of trials at two different shares, or of one at this share, for a number "
                "of your own."
            )


def _notes(found: Found) -> Iterator[AnyNote]:
    asked = found.asked
    yield from notes_on_soundness(found.bakes, found.fit)
    yield from notes_on_water(found.bakes, found.fit, asked.right_water is not None)
    yield from notes_on_measuring(found.bakes, found.fit)
    yield from note_on_ratio(asked.liquid_ratio)
    if found.next_bake is not None:
        yield from _notes_on_next(found, found.next_bake)


def _notes_on_next(found: Found, next_bake: NextBake) -> Iterator[AnyNote]:
    pan, optimum, hydration = next_bake.pan, next_bake.optimum, next_bake.hydration_percent
    yield from pan.volume.notes
    yield from (each for each in pan.bread.notes if each.code != "bake_loss_of_trials")
    share = pan.wanted.share_percent or 0.0
    if min(abs(bake.trial.share_percent - share) for bake in found.bakes) > SAME_SHARE:
        yield note("no_trial_near", share=(share, None))
    if found.fit.base is None and hydration is not None:
        yield note("water_unread")
    elif optimum is not None and hydration is not None and assess(hydration, optimum.best) != BALANCED:
        yield note("water_off_optimum", off=pan.wanted.off_optimum_points, optimum=optimum.best)


def _show(show: Working, found: Found) -> None:
    show_bakes(show, found.bakes, found.fit, found.open_top)
    show_fit(show, found.bakes, found.fit)
    next_bake = found.next_bake
    if next_bake is not None:
        wanted = next_bake.pan.wanted
        if wanted.off_optimum_points:
            show_off(
                show,
                "Next bake: hydration off the optimum",
                found.fit,
                cast("float", wanted.share_percent),
                cast("float", next_bake.hydration_percent),
            )
        show_fill(show, next_bake.pan)


TRIAL_FIT = Operation(
    name="trial-fit",
    summary="Fit a calibration to measured bakes",
    description="From one measured bake or many: the reference specific volume, the volume lost with the "
    "scalded share, the bake loss and, where the trials can tell, the slope of the water, with "
    "intervals. The calibration goes back into pan-fill, hydration-correction and loaf-plan. "
    "Bakes unlike the others are flagged, kept and weighed. With a target loaf: its dough, what "
    "the next bake would teach, and its proof time.",
    request=schema.TrialFitRequest,
    read=read,
    compute=compute,
    write=write,
    places=places,
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
                "want": {"pan": LIDDED_TIN, "scalded_share_percent": 35, "hydration_percent": 73},
            },
        ),
        Example(
            "crown",
            "One loaf in an open tin, measured by the height of its crown, in ounces and inches",
            {
                "units": {"mass": "oz", "length": "in", "volume": "in3"},
                "trials": [
                    {"scalded_share_percent": 10, "dough_mass": 26, "pan": OPEN_TIN, "crown_height": 2}
                ],
                "want": {"pan": OPEN_TIN, "fill_percent": 160, "scalded_share_percent": 25},
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
