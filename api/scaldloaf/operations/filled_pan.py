"""A pan filled: what pan-fill and the next bake of trial-fit have in common."""

from typing import NamedTuple, cast

from scaldloaf.dough.bread import (
    bread_from_calibration,
    bread_from_pan_ratio,
    bread_from_prior,
    bread_from_reference_loaf,
    bread_from_specific_volume,
)
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.limits import require_fill
from scaldloaf.dough.pan import Pan, PanVolume, pan_volume
from scaldloaf.dough.pan_fill import PanFill
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.target_bread import Bread, Wanted
from scaldloaf.dough.trials.model import WATER_REACH_POINTS
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.located import located
from scaldloaf.operations.wire.bread import KnownBread, OwnPanRatio, OwnSpecificVolume, Prior, ReferenceLoaf


class ReferencePan(NamedTuple):
    """The pan of a known loaf, how far the loaf filled it, and the loaf's volume by that."""

    pan: Pan
    volume: PanVolume
    fill_percent: float

    @property
    def loaf_volume_cm3(self) -> float:
        """Volume of the loaf, cm³."""
        return self.volume.volume_cm3 * self.fill_percent / 100


def reference_pan(known: KnownBread, pan: Pan) -> ReferencePan | None:
    """The pan of a known loaf that was measured by how far it filled it; None for any other.

    pan: the one to fill. Raises Refusal, at ``bread.pan``, for a pan that is none.
    """
    if not isinstance(known, ReferenceLoaf) or known.fill_percent is None:
        return None
    own = pan if known.pan is None else known.pan
    with located("bread.pan"):
        volume = pan_volume(own)
    require_fill(known.fill_percent, "bread.fill_percent")
    return ReferencePan(own, volume, known.fill_percent)


class FilledPan(NamedTuple):
    """A pan, the bread wanted in it and what is known of that, and the dough that fills it.

    reference: the pan of the known loaf, where that was measured by how far it filled it.
    """

    pan: Pan
    volume: PanVolume
    fill_percent: float
    known: KnownBread
    wanted: Wanted
    bread: Bread
    filled: PanFill
    reference: ReferencePan | None = None


def bread_of(
    known: KnownBread, wanted: Wanted, fill_percent: float, reference: ReferencePan | None = None
) -> Bread:
    """The bread wanted, from what is known of it.

    Parameters
        known : KnownBread
        wanted : Wanted
        fill_percent : float  [% of the pan] wanted, and of a pan ratio without a fill of its own
        reference : ReferencePan or None  the pan of a known loaf that was measured by how far it filled it
    Returns
        Bread
    Raises
        Refusal: at ``bread`` or ``wanted``.
    """
    if isinstance(known, Prior | Calibration) and wanted.share_percent is None:
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
                by_height = reference is not None
                volume = reference.loaf_volume_cm3 if reference is not None else cast("float", loaf)
                return bread_from_reference_loaf(dough, volume, wanted, at, loss, by_height)
            case OwnPanRatio(ratio, at, fill):
                return bread_from_pan_ratio(ratio, wanted, at, fill_percent if fill is None else fill)
            case Calibration():
                return bread_from_calibration(known, wanted, WATER_REACH_POINTS)
            case Prior(crumb):
                return bread_from_prior(wanted, crumb)


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
