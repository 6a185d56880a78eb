"""A pan filled: what pan-fill and the next bake of trial-fit have in common."""

from typing import NamedTuple

from scaldloaf.dough.bread import (
    Bread,
    Wanted,
    bread_from_calibration,
    bread_from_pan_ratio,
    bread_from_prior,
    bread_from_reference_loaf,
    bread_from_specific_volume,
)
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.limits import FULL_PERCENT
from scaldloaf.dough.pan import Pan, PanVolume
from scaldloaf.dough.pan_fill import PanFill
from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.located import located
from scaldloaf.operations.wire.bread import KnownBread, OwnPanRatio, OwnSpecificVolume, ReferenceLoaf


class FilledPan(NamedTuple):
    """A pan, the bread wanted in it and what is known of that, and the dough that fills it."""

    pan: Pan
    volume: PanVolume
    fill_percent: float
    known: KnownBread
    wanted: Wanted
    bread: Bread
    filled: PanFill


def wanted_bread(
    fill_percent: float,
    share_percent: float | None,
    off_optimum_points: float = 0.0,
    bake_loss_percent: float | None = None,
    cooling_loss_percent: float | None = None,
) -> Wanted:
    """The bread wanted in a pan that it fills so far; above the rim the pan is open."""
    return Wanted(
        share_percent,
        off_optimum_points,
        bake_loss_percent,
        fill_percent > FULL_PERCENT,
        cooling_loss_percent,
    )


def bread_of(known: KnownBread, wanted: Wanted, fill_percent: float) -> Bread:
    """The bread wanted, from what is known of it. Raises Refusal at ``bread`` or ``wanted``."""
    if (known is None or isinstance(known, Calibration)) and wanted.share_percent is None:
        raise Refusal(
            "wanted.share_percent",
            "missing",
            "this bread is known for any share, so the share is needed: give scalded_share_percent "
            "(0 for none), or a formula to take it from",
            nearest=0,
        )
    with located("bread", wanted="wanted", known="bread"):
        match known:
            case OwnSpecificVolume(value, at):
                return bread_from_specific_volume(value, wanted, at)
            case ReferenceLoaf(dough, loaf, at, loss):
                return bread_from_reference_loaf(dough, loaf, wanted, at, loss)
            case OwnPanRatio(ratio, at, fill):
                return bread_from_pan_ratio(ratio, wanted, at, fill_percent if fill is None else fill)
            case Calibration():
                return bread_from_calibration(known, wanted)
            case _:
                return bread_from_prior(wanted)


def write_fill(pan: FilledPan, context: Context) -> Wire:
    """The filled pan on the wire."""
    out, bread, filled = context.units.to_wire, pan.bread, pan.filled
    return {
        "pan_volume": out(pan.volume.volume_cm3, "volume"),
        "loaf_volume": out(filled.loaf_volume_cm3, "volume"),
        "specific_volume": context.estimate(bread.specific_volume),
        "bake_loss_percent": context.estimate(bread.bake_loss_percent),
        "cooling_loss_percent": context.estimate(bread.cooling_loss_percent),
        "dough_mass": context.estimate(filled.dough_mass_g, "mass"),
        "oven_mass": context.estimate(filled.oven_mass_g, "mass"),
        "baked_mass": context.estimate(filled.baked_mass_g, "mass"),
        "pan_ratio": context.estimate(filled.pan_ratio),
    }
