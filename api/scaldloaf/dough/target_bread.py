"""The target bread, and how what is known of another moves to it."""

from collections.abc import Iterator
from typing import NamedTuple

from scaldloaf.dough.bake_loss import (
    BakeLoss,
    Lidded,
)
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import widening_by_other_flour
from scaldloaf.dough.limits import (
    BAKE_LOSS_LIDDED_PERCENT,
    ROUNDING,
    SCALD_SHARE_LIMIT_PERCENT,
    SPECIFIC_VOLUME_REFUSE_LOW,
)
from scaldloaf.dough.loaf_limits import (
    require_reachable_share,
    require_reachable_water,
    require_share,
    require_water,
)
from scaldloaf.dough.notes import Note
from scaldloaf.dough.volume import (
    EFFECT_OF_SCALD,
    NO_GLUTEN,
    SHARE_VOLUME_LOSS,
    WATER_VOLUME_CURVATURE_DRY,
    WATER_VOLUME_CURVATURE_WET,
    Band,
    Gluten,
    Lost,
    scatter_band,
    share_band,
    share_volume_factor,
    water_band,
    water_volume_factor,
    widened,
    within,
)
from scaldloaf.reference import Coefficient, coefficient

SPECIFIC_VOLUME_NOTE_LOW = coefficient("specific_volume_note_low").value
SPECIFIC_VOLUME_NOTE_HIGH = coefficient("specific_volume_note_high").value
VOLUME_MEASUREMENT_RELATIVE_SD = coefficient("volume_measurement_relative_sd")
BAKE_TO_BAKE_RELATIVE_SD = coefficient("bake_to_bake_relative_sd")


class Wanted(NamedTuple):
    """The target bread.

    share_percent: scalded share of total flour; None keeps the share of what the baker knows.
    off_optimum_points: its hydration less the optimum for that share, points.
    bake_loss_percent: None uses the known loaf's, else the usual one of its pan.
    cooling_loss_percent: points of the dough; None: 0 beside a stated bake loss, which then includes it, else
    the trials' or the usual one.
    pan: whether that has a lid (None: not said), and how far the loaf is to fill it.
    other_flour_share: flour that is not white wheat, as a fraction.
    """

    share_percent: float | None = None
    off_optimum_points: float = 0.0
    bake_loss_percent: float | None = None
    cooling_loss_percent: float | None = None
    pan: Lidded = Lidded(True)
    gluten: Gluten = NO_GLUTEN
    other_flour_share: float = 0.0


class Known(NamedTuple):
    """A known loaf's scalded share (None: the target's), its hydration less the optimum, and its gluten.

    gluten_percent: vital gluten, percent of flour; None: the target's.
    """

    share_percent: float | None = None
    off_optimum_points: float = 0.0
    gluten_percent: float | None = None


class Bread(NamedTuple):
    """What the bread will do at the target share.

    specific_volume: cm³ of loaf per g of bread at the oven's mouth. loaf_per_dough: cm³ of loaf per g of
    dough put in the oven, specific volume x (1 - bake loss). cooled_per_oven: mass of the cooled loaf over
    that at the oven's mouth. ``doubts`` are the causes behind its interval. share_factor, water_factor: of
    the target bread (g, s); start_share_factor, start_water_factor: of the known one. Both g use
    share_volume_loss and the gluten lost in either, lost and start_lost. ``start``: what was known before the
    move, cm³/g of dough where start_is_per_dough, else of bread; start_bake_loss_percent: the loss that it
    was known with.
    """

    specific_volume: Estimate
    loaf_per_dough: Estimate
    bake_loss_percent: Estimate
    cooling_loss_percent: Estimate
    cooled_per_oven: Estimate
    doubts: tuple[Band, ...]
    share_volume_loss: float
    start: float
    start_is_per_dough: bool
    share_percent: float | None
    lost: Lost
    start_lost: Lost
    share_factor: float
    start_share_factor: float
    water_factor: float
    start_water_factor: float
    start_bake_loss_percent: float | None
    basis: tuple[str, ...]
    notes: tuple[Note, ...]


class Start(NamedTuple):
    """What is known before the move.

    value: cm³ per g, of dough where per_dough, else of bread. doubts: of knowing it. bake_loss_percent:
    the loss that it was known with (None: the target's). lowest: the least specific volume accepted.
    """

    value: float
    per_dough: bool
    doubts: tuple[Band, ...]
    bake_loss_percent: float | None = None
    basis: tuple[str, ...] = ()
    lowest: float = SPECIFIC_VOLUME_REFUSE_LOW


class Move(NamedTuple):
    """From a known loaf's share and water to the target's: the factors of both, and the doubts."""

    share_percent: float | None
    off_optimum_points: float
    gluten: Gluten
    lost: Lost
    start_lost: Lost
    share_factor: float
    start_share_factor: float
    water_factor: float
    start_water_factor: float
    doubts: tuple[Band, ...]
    notes: tuple[Note, ...]

    @classmethod
    def of(cls, wanted: Wanted, known: Known) -> "Move":
        """The move between two breads."""
        share, start_share = wanted.share_percent, known.share_percent
        if share is None:
            share = start_share
        elif start_share is None:
            start_share = share
        here, there = share or 0.0, start_share or 0.0
        require_share(there, "known.share_percent")
        require_share(here, "wanted.share_percent")
        require_water(known.off_optimum_points, "known.off_optimum_points")
        require_water(wanted.off_optimum_points, "wanted.off_optimum_points")
        lost = Lost.at(here, wanted.gluten)
        had = wanted.gluten
        if known.gluten_percent is not None:
            had = had._replace(percent=known.gluten_percent)
        start_lost = Lost.at(there, had)
        doubts = (
            share_band(lost, start_lost),
            water_band(wanted.off_optimum_points, known.off_optimum_points),
        )
        factor = widening_by_other_flour(wanted.other_flour_share)
        extrapolated = known.share_percent is not None and there > SCALD_SHARE_LIMIT_PERCENT + ROUNDING
        notes = [_share_note("known")] if extrapolated else []
        if lost.beyond_percent > ROUNDING:
            notes.append(Note("gluten_beyond_lost", {"gluten": lost.beyond_percent}))
        return cls(
            share_percent=share,
            off_optimum_points=wanted.off_optimum_points,
            gluten=wanted.gluten,
            lost=lost,
            start_lost=start_lost,
            share_factor=share_volume_factor(lost.percent),
            start_share_factor=share_volume_factor(start_lost.percent),
            water_factor=water_volume_factor(wanted.off_optimum_points),
            start_water_factor=water_volume_factor(known.off_optimum_points),
            doubts=tuple(widened(band, factor) for band in doubts if band is not None),
            notes=tuple(notes),
        )


def moved_bread(start: Start, move: Move, loss: BakeLoss) -> Bread:
    """The Bread that a known one becomes, with the doubts of knowing it and of moving it."""
    factor = move.share_factor / move.start_share_factor * move.water_factor / move.start_water_factor
    moved = start.value * factor
    if start.per_dough:
        before = loss.percent.best if start.bake_loss_percent is None else start.bake_loss_percent
        moved *= (100 - loss.percent.best) / (100 - before)
    value = moved / (1 - loss.percent.best / 100) if start.per_dough else moved
    if move.share_factor == move.start_share_factor:
        require_reachable_water(value / move.water_factor, move.off_optimum_points, start.lowest)
    else:
        without_scald = value / move.share_factor
        loss_per_share = SHARE_VOLUME_LOSS.value
        require_reachable_share(without_scald, move.share_percent, loss_per_share, start.lowest, move.gluten)
    specific, per_dough, doubts = assemble(moved, start.per_dough, (*start.doubts, *move.doubts), loss)
    return Bread(
        specific_volume=specific,
        loaf_per_dough=per_dough,
        bake_loss_percent=loss.percent,
        cooling_loss_percent=loss.cooling,
        cooled_per_oven=loss.cooled_per_oven,
        doubts=doubts,
        share_volume_loss=SHARE_VOLUME_LOSS.value,
        start=start.value,
        start_is_per_dough=start.per_dough,
        share_percent=move.share_percent,
        lost=move.lost,
        start_lost=move.start_lost,
        share_factor=move.share_factor,
        start_share_factor=move.start_share_factor,
        water_factor=move.water_factor,
        start_water_factor=move.start_water_factor,
        start_bake_loss_percent=start.bake_loss_percent,
        basis=_basis(start, move, loss),
        notes=(*remarks(value, move.share_percent), *move.notes, *loss.notes),
    )


def _basis(start: Start, move: Move, loss: BakeLoss) -> tuple[str, ...]:
    """Sources that a moved bread rests on, each once."""
    basis = ["geometry", "mass_balance", *start.basis]
    if any(band.cause == EFFECT_OF_SCALD for band in move.doubts):
        basis += SHARE_VOLUME_LOSS.sources
    if move.water_factor != 1 or move.start_water_factor != 1:
        basis += (*WATER_VOLUME_CURVATURE_DRY.sources, *WATER_VOLUME_CURVATURE_WET.sources)
    if loss.band is not None:
        basis += BAKE_LOSS_LIDDED_PERCENT.sources
    return tuple(dict.fromkeys([*basis, *VOLUME_MEASUREMENT_RELATIVE_SD.sources]))


def assemble(
    value: float, per_dough: bool, doubts: tuple[Band, ...], loss: BakeLoss
) -> tuple[Estimate, Estimate, tuple[Band, ...]]:
    """Specific volume, loaf per dough and the doubts about the latter, from either of the first two.

    Parameters
        value : float  [cm³/g] of dough where per_dough, else of bread
        per_dough : bool
        doubts : tuple[Band, ...]  [ratio] about the value
        loss : BakeLoss  [% of dough]
    Returns
        tuple[Estimate, Estimate, tuple[Band, ...]]  [cm³/g of bread], [cm³/g of dough], [ratio]
    Source
        mass balance (exact, given the value and the loss)
    """
    kept = 1 - loss.percent.best / 100
    of_loss = () if loss.band is None else (loss.band.inverse() if per_dough else loss.band,)
    both = (*doubts, *of_loss)
    if per_dough:
        return within(value / kept, both), within(value, doubts), doubts
    return within(value, doubts), within(value * kept, both), both


def measured_once(scatter: Coefficient, cause: str = "measuring") -> tuple[Band, ...]:
    """Doubts of one measured bake as a forecast of the next: measuring, and the chance of both bakes."""
    return (
        scatter_band(cause, scatter),
        scatter_band("the measured bake's chance", BAKE_TO_BAKE_RELATIVE_SD),
        scatter_band("the next bake's chance", BAKE_TO_BAKE_RELATIVE_SD),
    )


def remarks(specific_volume_cm3_per_g: float, share_percent: float | None) -> Iterator[Note]:
    low, high = SPECIFIC_VOLUME_NOTE_LOW, SPECIFIC_VOLUME_NOTE_HIGH
    if not low * (1 - ROUNDING) <= specific_volume_cm3_per_g <= high * (1 + ROUNDING):
        values = {"value": specific_volume_cm3_per_g, "low": low, "high": high}
        yield Note("unusual_specific_volume", values)
    if share_percent is not None and share_percent > SCALD_SHARE_LIMIT_PERCENT + ROUNDING:
        yield _share_note("target")


def _share_note(which: str) -> Note:
    return Note("share_beyond_range", {"bread": which, "limit": SCALD_SHARE_LIMIT_PERCENT})
