"""The target bread, and the five ways to know what it will do in its pan.

A baker may know the bread by a specific volume, a reference loaf, a pan ratio, a calibration fitted to
trials, or not at all yet (the prior). Each becomes a ``Bread``: what it will do at the target scalded
share, as estimates whose intervals contain 90 % of next bakes.
"""

from math import exp

from scaldloaf.dough.bake_loss import (
    BakeLoss,
    bake_loss_of_trials,
    shared_bake_loss,
    stated_bake_loss,
    usual_bake_loss,
)
from scaldloaf.dough.calibration import Calibration, check_calibration, predict_log_specific_volume
from scaldloaf.dough.estimate import NORMAL_90
from scaldloaf.dough.flour import OTHER_FLOUR_REFUSE_SHARE, widening_by_other_flour
from scaldloaf.dough.limits import (
    FULL_PERCENT,
    ROUNDING,
    SPECIFIC_VOLUME_REFUSE_HIGH,
    SPECIFIC_VOLUME_REFUSE_LOW,
    require_bake_loss,
    require_between,
    require_fill,
)
from scaldloaf.dough.loaf_limits import (
    is_loaf,
    nearest_loaf,
    no_loaf,
    require_loaf,
    require_reachable_share,
    require_share,
    require_water,
)
from scaldloaf.dough.notes import Note
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.target_bread import (
    SPECIFIC_VOLUME_NOTE_LOW,
    VOLUME_MEASUREMENT_RELATIVE_SD,
    Bread,
    Known,
    Move,
    Start,
    Wanted,
    assemble,
    measured_once,
    moved_bread,
    remarks,
)
from scaldloaf.dough.volume import (
    SHARE_VOLUME_LOSS,
    WATER_VALID_POINTS,
    Band,
    Lost,
    band_between,
    share_volume_factor,
    water_band,
    water_volume_factor,
    widened,
)
from scaldloaf.reference import coefficient

SPECIFIC_VOLUME_PRIOR = coefficient("specific_volume_prior")
SPECIFIC_VOLUME_PRIOR_CLOSE = coefficient("specific_volume_prior_close")
PAN_RATIO_REFUSE_LOW = coefficient("pan_ratio_refuse_low").value
PAN_RATIO_REFUSE_HIGH = coefficient("pan_ratio_refuse_high").value
VOLUME_BY_HEIGHT_RELATIVE_SD = coefficient("volume_by_height_relative_sd")

BY_HEIGHT = "fullness judged by height"


LIGHT, CLOSE = "light", "close"
PRIORS = {LIGHT: SPECIFIC_VOLUME_PRIOR, CLOSE: SPECIFIC_VOLUME_PRIOR_CLOSE}


_AS_WANTED = Known()


# ---- The five ways -------------------------------------------------------------------------------


def bread_from_specific_volume(
    specific_volume_cm3_per_g: float, wanted: Wanted, known: Known = _AS_WANTED
) -> Bread:
    """The bread from the baker's own specific volume, cm³ per g of the cooled loaf, moved to the target.

    By the cooling loss it becomes the specific volume at the oven's mouth. Valid from 2.0 to 8.5 cm³/g;
    raises Refusal outside. Doubt: measuring, bake to bake (the loaf measured and the next one), the effect of
    scald and water, the cooling loss. Evidence: assumption for the interval.
    """
    value = specific_volume_cm3_per_g
    if not is_loaf(value, SPECIFIC_VOLUME_REFUSE_LOW):
        raise no_loaf("specific_volume", value, value, nearest_loaf(value))
    move, loss = Move.of(wanted, known), _bake_loss(wanted)
    cooled = loss.cooled_per_oven
    doubts = measured_once(VOLUME_MEASUREMENT_RELATIVE_SD)
    if cooled.low < cooled.high:
        doubts += (band_between("cooling loss", cooled.low, cooled.best, cooled.high, cooled.evidence),)
    start = Start(value * cooled.best, False, doubts, lowest=SPECIFIC_VOLUME_REFUSE_LOW * cooled.best)
    return moved_bread(start, move, loss)


def bread_from_reference_loaf(
    dough_g: float,
    loaf_volume_cm3: float,
    wanted: Wanted,
    known: Known,
    bake_loss_percent: float | None = None,
    by_height: bool = False,
) -> Bread:
    """The bread from one measured loaf.

    A bake loss stated for one of the two loaves holds for both. When neither is stated, the usual one
    holds for both and cancels from the dough mass. Doubt as for a specific volume.

    Parameters
        dough_g : float  [g] put in the oven for the measured loaf
        loaf_volume_cm3 : float  [cm³] of the measured loaf, cooled
        wanted : Wanted
        known : Known
        bake_loss_percent : float or None  [% of the measured loaf's dough]
        by_height : bool  its volume was judged by how far it filled its pan
    Returns
        Bread
    Raises
        Refusal: a specific volume outside 2.0 to 8.5 cm³/g, a loaf of no pan's size, an impossible share,
        water or loss.
    """
    loss, start_loss = _bake_losses(wanted, bake_loss_percent)
    loss = loss.with_cooling(wanted.cooling_loss_percent, "wanted.cooling_loss_percent")
    if bake_loss_percent is not None:
        require_bake_loss(start_loss, "bake_loss_percent")
    require_bake_loss(loss.percent.best, "wanted.bake_loss_percent")
    per_dough = loaf_volume_cm3 / dough_g
    require_loaf(dough_g, loaf_volume_cm3, start_loss)
    measured = measured_once(VOLUME_MEASUREMENT_RELATIVE_SD)
    if by_height:
        measured = measured_once(VOLUME_BY_HEIGHT_RELATIVE_SD, BY_HEIGHT)
    start = Start(per_dough, True, measured, start_loss)
    return moved_bread(start, Move.of(wanted, known), loss)


def bread_from_pan_ratio(
    pan_ratio_cm3_per_g: float, wanted: Wanted, known: Known = _AS_WANTED, fill_percent: float = FULL_PERCENT
) -> Bread:
    """The bread from a pan ratio.

    Loaf per dough = ratio x fill. Bakers judge fullness by height, and the interval says so. A low specific
    volume only gets a note: the loaf may have risen above the rim of a shallow tin.

    Parameters
        pan_ratio_cm3_per_g : float  [cm³ of pan per g of dough]
        wanted : Wanted
        known : Known
        fill_percent : float  [% of the pan's volume] at which the ratio was found
    Returns
        Bread
    Raises
        Refusal: a ratio outside 1.2 to 6.5 cm³/g, or a specific volume above 8.5 cm³/g.
    """
    ratio = pan_ratio_cm3_per_g
    require_between(
        ratio,
        PAN_RATIO_REFUSE_LOW,
        PAN_RATIO_REFUSE_HIGH,
        "pan_ratio",
        "pan_ratio_out_of_range",
        "pan ratios lie between {low} and {high} cm³ of pan per g of dough (7.6 cubic inches "
        "per ounce are 4.4)",
    )
    require_fill(fill_percent, "fill_percent")
    loss = _bake_loss(wanted)
    per_dough = ratio * fill_percent / 100
    value = per_dough / (1 - loss.percent.best / 100)
    factor = value / ratio
    if not is_loaf(ratio * factor, 0.0):
        raise no_loaf("pan_ratio", ratio * factor, ratio, SPECIFIC_VOLUME_REFUSE_HIGH / factor)
    if value < SPECIFIC_VOLUME_NOTE_LOW:
        note = Note("fill_of_pan_ratio", {"fill": fill_percent, "value": value})
        loss = loss._replace(notes=(*loss.notes, note))
    move = Move.of(wanted, known)
    measured = measured_once(VOLUME_BY_HEIGHT_RELATIVE_SD, BY_HEIGHT)
    return moved_bread(Start(per_dough, True, measured, lowest=0.0), move, loss)


def bread_from_prior(wanted: Wanted, crumb: str = LIGHT) -> Bread:
    """The bread when the baker's own is unknown: an enriched pan loaf of that crumb, moved from no scald.

    crumb: LIGHT (milk loaf, square tin loaf) or CLOSE (Western sandwich loaf). Doubt: the range of the prior,
    and the effect of the scald. Raises Refusal, at ``kind``, where more than half of the flour is not white
    wheat. Evidence: common practice (public recipes), the spread an assumption.
    """
    if wanted.other_flour_share > OTHER_FLOUR_REFUSE_SHARE + ROUNDING:
        raise Refusal(
            "kind",
            "no_prior_for_flour",
            "{share} % of the flour is not white wheat, and nothing is known of the volume of such bread; "
            "bake one loaf of it, measure it, and give it as reference_loaf",
            amounts={"share": (round(100 * wanted.other_flour_share, 1), None)},
        )
    move = Move.of(wanted, Known(0.0, 0.0, 0.0))
    loss = _bake_loss(wanted)
    prior = PRIORS[crumb]
    spread = band_between("other bakers' loaves", prior.low, prior.value, prior.high, "assumption")
    spread = widened(spread, widening_by_other_flour(wanted.other_flour_share))
    start = Start(prior.value, False, (spread,), basis=prior.sources)
    return moved_bread(start, move, loss._replace(notes=(*loss.notes, Note("prior"))))


def bread_from_calibration(
    calibration: Calibration, wanted: Wanted, reach_points: float = WATER_VALID_POINTS
) -> Bread:
    """The bread from a calibration fitted to the baker's trials.

    Volume with its interval from ``predict_log_specific_volume``, widened off the optimum by the doubt
    about the curvature. The bake loss is the trials' unless the target bread states one. reach_points: how
    far off the optimum the water may be; farther than usual where the optimum itself is a guess.
    """
    check_calibration(calibration)
    share = 0.0 if wanted.share_percent is None else wanted.share_percent
    require_share(share, "wanted.share_percent")
    require_water(wanted.off_optimum_points, "wanted.off_optimum_points", reach_points)
    share_loss, own_loss = calibration.share_volume_loss, wanted.bake_loss_percent is None
    start = exp(calibration.log_specific_volume)
    water_factor = water_volume_factor(wanted.off_optimum_points)
    lost = Lost.at(share, wanted.gluten)
    require_reachable_share(start * water_factor, share, share_loss, gluten=wanted.gluten)
    mean, sd = predict_log_specific_volume(calibration, share, wanted.off_optimum_points, wanted.gluten)
    doubts = [Band("trials", NORMAL_90 * sd, NORMAL_90 * sd, "assumption")]
    if (curvature := water_band(wanted.off_optimum_points, calibration.own_off_points)) is not None:
        doubts.append(curvature)
    loss = bake_loss_of_trials(calibration) if own_loss else _bake_loss(wanted)
    loss = loss.with_cooling(wanted.cooling_loss_percent, "wanted.cooling_loss_percent")
    value = exp(mean)
    # Trials measure volume per gram of dough. Their own bake loss only turns that into specific volume, so
    # its doubt is not the dough's. A stated loss is another bread's, and its doubt counts.
    moved = value * (1 - loss.percent.best / 100) if own_loss else value
    specific, per_dough, doubts_of_dough = assemble(moved, own_loss, tuple(doubts), loss)
    return Bread(
        specific_volume=specific,
        loaf_per_dough=per_dough,
        bake_loss_percent=loss.percent,
        cooling_loss_percent=loss.cooling,
        cooled_per_oven=loss.cooled_per_oven,
        doubts=doubts_of_dough,
        share_volume_loss=share_loss,
        start=start,
        start_is_per_dough=False,
        share_percent=wanted.share_percent,
        lost=lost,
        start_lost=Lost(0.0),
        share_factor=share_volume_factor(lost.percent, share_loss),
        start_share_factor=1.0,
        water_factor=water_factor,
        start_water_factor=1.0,
        start_bake_loss_percent=None,
        basis=("geometry", "mass_balance", *SHARE_VOLUME_LOSS.sources),
        notes=(*remarks(value, share), *loss.notes),
    )


# ---- Moving what is known to the target ----------------------------------------------------------


def _bake_loss(wanted: Wanted) -> BakeLoss:
    """The target bread's losses: stated, or usual for its pan."""
    if wanted.bake_loss_percent is None:
        loss = usual_bake_loss(wanted.pan)
    else:
        require_bake_loss(wanted.bake_loss_percent, "wanted.bake_loss_percent")
        loss = stated_bake_loss(wanted.bake_loss_percent)
    return loss.with_cooling(wanted.cooling_loss_percent, "wanted.cooling_loss_percent")


def _bake_losses(wanted: Wanted, known_percent: float | None) -> tuple[BakeLoss, float]:
    """The target bread's bake loss and the known loaf's; one that is stated for either holds for both."""
    target_percent = wanted.bake_loss_percent
    if target_percent is not None:
        if known_percent is not None:
            return stated_bake_loss(target_percent), known_percent
        return shared_bake_loss(target_percent, "target"), target_percent
    if known_percent is not None:
        return shared_bake_loss(known_percent, "known"), known_percent
    return (loss := usual_bake_loss(wanted.pan)), loss.percent.best
