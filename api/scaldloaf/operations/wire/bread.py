"""What is known of the bread, on the wire."""

from typing import NamedTuple

from scaldloaf.dough.bread import Known
from scaldloaf.dough.calibration import Calibration
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.located import located
from scaldloaf.operations.schemas import pan_fill as schema
from scaldloaf.operations.wire.calibration import read_calibration, write_calibration
from scaldloaf.operations.wire.requests import without_defaults


class OwnSpecificVolume(NamedTuple):
    """A specific volume, cm³/g, and the share and water it was found at."""

    specific_volume: float
    known: Known


class ReferenceLoaf(NamedTuple):
    """A measured loaf; bake_loss_percent None: that of the bread wanted."""

    dough_g: float
    loaf_volume_cm3: float
    known: Known
    bake_loss_percent: float | None


class OwnPanRatio(NamedTuple):
    """A pan ratio, cm³/g, and the fill (None: the one wanted), share and water it was found at."""

    pan_ratio: float
    known: Known
    fill_percent: float | None


KnownBread = OwnSpecificVolume | ReferenceLoaf | OwnPanRatio | Calibration | None  # None: the prior


def read_bread(wire: Wire, context: Context) -> KnownBread:
    """What a request knows of the bread, whichever of the five ways it is. Raises Refusal at ``bread``."""
    wire = schema.KnownBread.filled(wire)
    if wire["kind"] == "prior":
        return None
    if wire["kind"] == "calibration":
        with located("bread"):
            return read_calibration(wire["calibration"])
    known = Known(wire.get("scalded_share_percent"), wire["hydration_off_optimum_points"])
    if wire["kind"] == "specific_volume":
        return OwnSpecificVolume(wire["specific_volume"], known)
    if wire["kind"] == "pan_ratio":
        return OwnPanRatio(wire["pan_ratio"], known, wire.get("fill_percent"))
    dough = context.units.from_wire(wire["dough_mass"], "mass")
    loaf = context.units.from_wire(wire["loaf_volume"], "volume")
    return ReferenceLoaf(dough, loaf, known, wire.get("bake_loss_percent"))


def ask_bread(bread: KnownBread, context: Context) -> Wire:
    """What is known of the bread as a request has it."""
    out = context.units.to_wire
    match bread:
        case None:
            return {"kind": "prior"}
        case Calibration():
            return {"kind": "calibration", "calibration": write_calibration(bread)}
        case OwnSpecificVolume(value, known):
            kind, own = "specific_volume", Wire(specific_volume=value)
        case OwnPanRatio(ratio, known, fill):
            kind, own = "pan_ratio", Wire(pan_ratio=ratio, fill_percent=fill)
        case ReferenceLoaf(dough, loaf, known, loss):
            kind = "reference_loaf"
            own = Wire(dough_mass=out(dough, "mass"), loaf_volume=out(loaf, "volume"), bake_loss_percent=loss)
    return {"kind": kind} | without_defaults(
        schema.KnownBread.branches()[kind],
        **own,
        scalded_share_percent=known.share_percent,
        hydration_off_optimum_points=known.off_optimum_points,
    )
