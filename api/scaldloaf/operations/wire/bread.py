"""What is known of the bread, on the wire."""

from typing import NamedTuple

from scaldloaf.dough.bread import LIGHT
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.limits import FULL_PERCENT
from scaldloaf.dough.pan import Pan
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.target_bread import Known
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.located import located
from scaldloaf.operations.schemas import pan_fill as schema
from scaldloaf.operations.wire.calibration import read_calibration, write_calibration
from scaldloaf.operations.wire.pans import ask_pan, read_pan
from scaldloaf.operations.wire.requests import without_defaults


class OwnSpecificVolume(NamedTuple):
    """A specific volume, cm³/g, and the share and water it was found at."""

    specific_volume: float
    known: Known


class ReferenceLoaf(NamedTuple):
    """A measured loaf; bake_loss_percent None: that of the bread wanted.

    Its size is its volume, or how far it filled its pan (pan None: the one to fill).
    """

    dough_g: float
    loaf_volume_cm3: float | None
    known: Known
    bake_loss_percent: float | None
    fill_percent: float | None = None
    pan: Pan | None = None


class OwnPanRatio(NamedTuple):
    """A pan ratio, cm³/g, and the fill (None: the one wanted), share and water it was found at."""

    pan_ratio: float
    known: Known
    fill_percent: float | None


class Prior(NamedTuple):
    """Nothing of the baker's own; crumb: which kind of bread it is to be."""

    crumb: str = LIGHT


KnownBread = OwnSpecificVolume | ReferenceLoaf | OwnPanRatio | Calibration | Prior


def read_bread(wire: Wire, context: Context) -> KnownBread:
    """What a request knows of the bread, whichever of the five ways it is. Raises Refusal at ``bread``."""
    wire = schema.KnownBread.filled(wire)
    if wire["kind"] == "prior":
        return Prior(wire["crumb"])
    if wire["kind"] == "calibration":
        with located("bread"):
            return read_calibration(wire["calibration"])
    known = Known(
        wire.get("scalded_share_percent"), wire["hydration_off_optimum_points"], wire.get("gluten_percent")
    )
    if wire["kind"] == "specific_volume":
        return OwnSpecificVolume(wire["specific_volume"], known)
    if wire["kind"] == "pan_ratio":
        return OwnPanRatio(wire["pan_ratio"], known, wire.get("fill_percent"))
    _check_size(wire)
    return ReferenceLoaf(
        dough_g=context.units.from_wire(wire["dough_mass"], "mass"),
        loaf_volume_cm3=context.from_wire(wire.get("loaf_volume"), "volume"),
        known=known,
        bake_loss_percent=wire.get("bake_loss_percent"),
        fill_percent=wire.get("fill_percent"),
        pan=read_pan(wire["pan"], context) if "pan" in wire else None,
    )


def _check_size(wire: Wire) -> None:
    """Refuse a reference loaf whose size is given twice or not at all."""
    if "loaf_volume" not in wire and "fill_percent" not in wire:
        raise Refusal(
            "bread.loaf_volume",
            "missing",
            "how large the loaf became is needed: its loaf_volume, or fill_percent, how far it filled its "
            "pan ({full}: just full)",
            amounts={"full": (FULL_PERCENT, None)},
        )
    for field in ("fill_percent", "pan"):
        if "loaf_volume" in wire and field in wire:
            raise Refusal(
                f"bread.{field}",
                "volume_given_twice",
                "the volume is given by {field} already; leave one of the two out",
                given=wire[field] if field == "fill_percent" else None,
                amounts={"field": "loaf_volume"},
            )


def ask_bread(bread: KnownBread, context: Context) -> Wire:
    """What is known of the bread as a request has it."""
    out = context.units.to_wire
    match bread:
        case Prior(crumb):
            return {"kind": "prior"} | without_defaults(schema.KnownBreadPrior, crumb=crumb)
        case Calibration():
            return {"kind": "calibration", "calibration": write_calibration(bread)}
        case OwnSpecificVolume(value, known):
            kind, own = "specific_volume", Wire(specific_volume=value)
        case OwnPanRatio(ratio, known, fill):
            kind, own = "pan_ratio", Wire(pan_ratio=ratio, fill_percent=fill)
        case ReferenceLoaf(dough, loaf, known, loss, fill, pan):
            kind = "reference_loaf"
            own = Wire(
                dough_mass=out(dough, "mass"),
                loaf_volume=context.to_wire(loaf, "volume"),
                bake_loss_percent=loss,
                fill_percent=fill,
                pan=pan and ask_pan(pan, context),
            )
    return {"kind": kind} | without_defaults(
        schema.KnownBread.branches()[kind],
        **own,
        scalded_share_percent=known.share_percent,
        hydration_off_optimum_points=known.off_optimum_points,
        gluten_percent=known.gluten_percent,
    )
