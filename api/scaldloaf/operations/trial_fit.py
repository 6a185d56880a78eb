"""trial-fit: from measured bakes to a calibration, and the next bake."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple, cast

from scaldloaf.dough.bake_loss import Lidded
from scaldloaf.dough.bread import bread_from_calibration
from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.flour import gluten_takes
from scaldloaf.dough.limits import FULL_PERCENT, ROUNDING, SHARE_UPPER_BOUND_PERCENT
from scaldloaf.dough.pan import Pan, pan_volume
from scaldloaf.dough.pan_fill import fill_pan
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.target_bread import Wanted
from scaldloaf.dough.trials import Lesson, ProofTime, TrialFit, WaterBase, fit_trials, lessons, proof_time
from scaldloaf.dough.trials.model import WATER_REACH_POINTS
from scaldloaf.dough.trials.proof import FALLS
from scaldloaf.dough.volume import SHARE_VOLUME_LOSS, WATER_VALID_POINTS, Gluten
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.filled_pan import FilledPan, write_fill
from scaldloaf.operations.lantern_quay import LIDDED_TIN, OPEN_TIN
from scaldloaf.operations.located import Place, located
from scaldloaf.operations.measured_bake import AskedBake, Bake, bake_of, places_of, read_bake
from scaldloaf.operations.notes import AnyNote
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import trial_fit as schema
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.calibration import write_calibration
from scaldloaf.operations.wire.next_bake import write_lessons, write_proof
from scaldloaf.operations.wire.pans import pan_basis, read_pan
from scaldloaf.operations.working.pan_fill import fill_notes, show_fill
from scaldloaf.operations.working.trial_fit import show_bakes, show_fit, show_off, show_own_water
from scaldloaf.operations.working.trial_notes import (
    note,
    note_on_ratio,
    notes_on_measuring,
    notes_on_soundness,
    notes_on_water,
)

SAME_SHARE = 2.5  # points: a trial this near to the wanted share has been there


class Want(NamedTuple):
    """The loaf of the next bake; hydration_percent None: the optimum for its share."""

    pan: Pan
    fill_percent: float
    share_percent: float
    hydration_percent: float | None
    gluten_percent: float = 0.0
    lid: bool | None = None


class Asked(NamedTuple):
    """Measured bakes, where the water is known to be right, the scald's ratio, and the loaf wanted next.

    crumb, absorption_percent: what volume and what water are first expected.
    """

    bakes: tuple[AskedBake, ...]
    right_water: WaterBase | None
    liquid_ratio: float
    want: Want | None
    crumb: str
    absorption_percent: float | None


class NextBake(NamedTuple):
    """The dough for the loaf wanted, what baking it or another would teach, and its proof time.

    own_water: that of the baker's own trial moved to its share, percent of flour; None: it is not used.
    """

    pan: FilledPan
    hydration_percent: float | None
    optimum: Estimate | None
    lessons: Sequence[Lesson]
    proof: ProofTime
    own_water: float | None


class Found(NamedTuple):
    """What the bakes teach; usual_pan: the pan whose usual bake loss is first expected."""

    asked: Asked
    bakes: tuple[Bake, ...]
    usual_pan: Lidded
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
        request["crumb"],
        request.get("absorption_percent"),
    )


def _read_want(wire: Wire, context: Context) -> Want:
    wire = schema.WantedLoaf.filled(wire)
    pan = read_pan(wire["pan"], context)
    return Want(
        pan,
        wire["fill_percent"],
        wire["scalded_share_percent"],
        wire.get("hydration_percent"),
        wire["gluten_percent"],
        wire.get("lid"),
    )


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    bakes = []
    for index, each in enumerate(asked.bakes):
        with located(f"trials.{index}"):
            bakes.append(bake_of(each))
    usual_pan = _usual_pan(asked.want, bakes)
    fit = fit_trials(
        [bake.trial for bake in bakes],
        asked.right_water,
        asked.liquid_ratio,
        usual_pan,
        asked.crumb,
        asked.absorption_percent,
    )
    next_bake = None if asked.want is None else _next_bake(asked.want, fit, bakes)
    return Found(asked, tuple(bakes), usual_pan, fit, next_bake)


def _usual_pan(want: Want | None, bakes: Sequence[Bake]) -> Lidded:
    """The pan whose usual bake loss is first expected: as said, or by the loaf that rose highest in its."""
    fills = [FULL_PERCENT if want is None else want.fill_percent]
    fills += [
        100 * bake.trial.loaf_volume_cm3 / bake.pan.volume_cm3 for bake in bakes if bake.pan is not None
    ]
    return Lidded(None if want is None else want.lid, max(fills))


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
    optimum, own = fit.optimum_hydration(share), fit.own_water(share)
    taken = gluten_takes(want.gluten_percent).best
    if optimum is not None:
        optimum = optimum.map(lambda water: water + taken)
    if own is not None:
        own += taken
    moved = None
    if hydration is None and optimum is not None:
        # The baker's own water worked, so it only gives way as far as it surely does not suit.
        moved = own
        hydration = optimum.best if own is None else min(max(own, optimum.low), optimum.high)
    off = fit.off_optimum_points(share, hydration, want.gluten_percent)
    if hydration is not None and optimum is not None:
        _check_water(hydration, optimum, optimum.best if own is None else own)
    wanted = Wanted(share, off, pan=Lidded(want.lid, want.fill_percent), gluten=Gluten(want.gluten_percent))
    with located("want", wanted="want"):
        bread = bread_from_calibration(fit.calibration, wanted, WATER_REACH_POINTS)
        filled = fill_pan(volume.volume_cm3, want.fill_percent, bread)
    return NextBake(
        FilledPan(want.pan, volume, want.fill_percent, fit.calibration, wanted, bread, filled),
        hydration,
        optimum,
        lessons(fit, share, off, bakes[-1].trial.volume_relative_sd, wanted.gluten),
        proof_time([bake.trial for bake in bakes], share),
        moved,
    )


def _check_water(hydration_percent: float, optimum: Estimate, own_percent: float) -> None:
    """Refuse a water too far from all that may suit and from the baker's own, or from the best guess.

    Parameters
        hydration_percent : float  [% of flour] wanted
        optimum : Estimate  [% of flour]
        own_percent : float  [% of flour] the baker's own water moved to that share
    """
    limit, reach = WATER_VALID_POINTS, WATER_REACH_POINTS
    low = max(min(optimum.low - limit, own_percent), optimum.best - reach)
    high = min(max(optimum.high + limit, own_percent), optimum.best + reach)
    if low - ROUNDING <= hydration_percent <= high + ROUNDING:
        return
    nearest = low if hydration_percent < low else high
    raise Refusal(
        "want.hydration_percent",
        "water_too_far_off",
        "the right water at this share lies between {low} and {high} %, and the effect of water on volume is "
        "known only within {limit} points of it",
        given=hydration_percent,
        nearest=nearest,
        amounts={
            "optimum": (optimum.best, None),
            "low": (optimum.low, None),
            "high": (optimum.high, None),
            "limit": (limit, None),
        },
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
        answer["teach"] = write_lessons(next_bake.lessons, fit, next_bake.pan.wanted.gluten.percent)
        answer["proof"] = write_proof(next_bake.proof, next_bake.pan.wanted.share_percent, context)
        basis += pan_basis(next_bake.pan.pan)
        codes += cautions.OF_PAN
    return context.reply(
        answer, lambda show: _show(show, found), basis=basis, cautions=codes, notes=_notes(found)
    )


def _write_learned(fit: TrialFit, context: Context) -> Wire:
    best, half = fit.calibration.bake_loss_percent, NORMAL_90 * fit.calibration.bake_loss_sd_percent
    loss = Estimate(max(0.0, best - half), best, best + half, "assumption")
    right = None if fit.base is None else fit.optimum_hydration(fit.base.share_percent)
    return {
        "reference_specific_volume": context.estimate(fit.reference_specific_volume),
        "share_volume_loss": context.estimate(fit.share_volume_loss),
        "water_slope": context.estimate(fit.water_slope),
        "water_slope_told": fit.water_varies,
        "bake_loss_percent": context.estimate(loss),
        "right_hydration_percent": None if right is None else context.estimate(right),
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
    yield from fill_notes(pan)
    if next_bake.proof.trials_say == FALLS:
        yield note("proof_contradicts_published")
    yield from (each for each in pan.bread.notes if each.code != "bake_loss_of_trials")
    share = pan.wanted.share_percent or 0.0
    if min(abs(bake.trial.share_percent - share) for bake in found.bakes) > SAME_SHARE:
        yield note("no_trial_near", share=(share, None))
    if found.fit.base is None and hydration is not None:
        yield note("water_unread")
    elif optimum is not None and hydration is not None and not optimum.low <= hydration <= optimum.high:
        yield note("water_off_optimum", off=pan.wanted.off_optimum_points, optimum=optimum.best)


def _show(show: Working, found: Found) -> None:
    show_bakes(show, found.bakes, found.fit, found.usual_pan)
    show_fit(show, found.bakes, found.fit)
    next_bake = found.next_bake
    if next_bake is not None:
        wanted = next_bake.pan.wanted
        if next_bake.own_water is not None:
            share, hydration = cast("float", wanted.share_percent), cast("float", next_bake.hydration_percent)
            gluten = wanted.gluten.percent
            show_own_water(show, found.fit, share, gluten, next_bake.own_water, hydration)
        if wanted.off_optimum_points:
            show_off(
                show,
                "Next bake: hydration off the optimum",
                found.fit,
                cast("float", wanted.share_percent),
                cast("float", next_bake.hydration_percent),
                wanted.gluten.percent,
            )
        show_fill(show, next_bake.pan)


TRIAL_FIT = Operation(
    name="trial-fit",
    summary="Fit a calibration to measured bakes",
    description="From one or more measured bakes: the reference specific volume, the volume lost with "
    "the scalded share, the bake loss and, if the trials show it, the slope of the water, "
    "with intervals. Send the calibration to pan-fill, hydration-correction and loaf-plan. "
    "Trials unlike the others are flagged and count less. With a target loaf: its dough, "
    "what the next bake would show, and its proof time.",
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
