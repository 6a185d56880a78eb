"""A measured bake: as a request tells it, and as the fit takes it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from scaldloaf.dough.bread import VOLUME_BY_HEIGHT_RELATIVE_SD
from scaldloaf.dough.limits import FULL_PERCENT
from scaldloaf.dough.pan import Pan, PanVolume, pan_volume
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.target_bread import VOLUME_MEASUREMENT_RELATIVE_SD
from scaldloaf.dough.trials import Trial, crown_volume_cm3
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.located import Place, located
from scaldloaf.operations.schemas import trial_fit as schema
from scaldloaf.operations.wire.pans import read_pan


class Displaced(NamedTuple):
    """A loaf volume measured by itself; pan_beside: a pan was given as well, which is not used."""

    loaf_volume_cm3: float
    pan_beside: bool


class Filling(NamedTuple):
    """How far the loaf filled its pan."""

    pan: Pan
    fill_percent: float


class Crowned(NamedTuple):
    """How high the loaf rose over the rim of its pan."""

    pan: Pan
    crown_height_cm: float


class AskedBake(NamedTuple):
    """A bake as it was measured. volume_relative_sd None: the usual one of how the volume was measured."""

    name: str | None
    share_percent: float
    dough_mass_g: float
    volume: Displaced | Filling | Crowned
    volume_relative_sd: float | None = None
    hydration_percent: float | None = None
    baked_mass_g: float | None = None
    proof_minutes: float | None = None
    gluten_percent: float = 0.0
    oven_mass_g: float | None = None
    cooling_loss_percent: float | None = None


class Bake(NamedTuple):
    """The bake as a trial, and what its pan holds where the volume came from that."""

    asked: AskedBake
    trial: Trial
    pan: PanVolume | None


def read_bake(wire: Wire, context: Context) -> AskedBake:
    """A trial of a request.

    Raises Refusal, at a field of it, for a volume given twice or not at all, and for a cooling loss beside
    the two masses that show it.
    """
    if all(field in wire for field in ("oven_mass", "baked_mass", "cooling_loss_percent")):
        raise Refusal(
            "cooling_loss_percent",
            "cooling_given_twice",
            "oven_mass and baked_mass already show what the loaf lost while it cooled; leave one of the "
            "three out",
            given=wire["cooling_loss_percent"],
        )
    wire = schema.Trial.filled(wire)
    from_wire, sd_percent = context.units.from_wire, wire.get("volume_sd_percent")
    return AskedBake(
        name=wire.get("name"),
        share_percent=wire["scalded_share_percent"],
        dough_mass_g=from_wire(wire["dough_mass"], "mass"),
        volume=_read_volume(wire, context),
        volume_relative_sd=None if sd_percent is None else sd_percent / 100,
        hydration_percent=wire.get("hydration_percent"),
        baked_mass_g=context.from_wire(wire.get("baked_mass"), "mass"),
        proof_minutes=wire.get("proof_minutes"),
        gluten_percent=wire["gluten_percent"],
        oven_mass_g=context.from_wire(wire.get("oven_mass"), "mass"),
        cooling_loss_percent=wire.get("cooling_loss_percent"),
    )


def _read_volume(wire: Wire, context: Context) -> Displaced | Filling | Crowned:
    given = [field for field in ("loaf_volume", "fill_percent", "crown_height") if field in wire]
    if len(given) > 1:
        raise Refusal(
            given[1],
            "volume_given_twice",
            "the volume is given by {field} already; leave one of the two out",
            given=wire[given[1]],
            amounts={"field": given[0]},
        )
    if not given:
        raise Refusal(
            "fill_percent" if "pan" in wire else "loaf_volume",
            "missing",
            "how large the loaf became is needed: its loaf_volume, or the pan with fill_percent "
            "({full}: just full) or with crown_height",
            amounts={"full": (FULL_PERCENT, None)},
        )
    if given == ["loaf_volume"]:
        return Displaced(context.units.from_wire(wire["loaf_volume"], "volume"), "pan" in wire)
    if "pan" not in wire:
        raise Refusal(
            "pan",
            "missing",
            "{field} says how the loaf stood in its pan, so the pan is needed",
            amounts={"field": given[0]},
        )
    pan = read_pan(wire["pan"], context)
    if given == ["fill_percent"]:
        return Filling(pan, wire["fill_percent"])
    return Crowned(pan, context.units.from_wire(wire["crown_height"], "length"))


def bake_of(asked: AskedBake) -> Bake:
    """The trial that a bake makes. Raises Refusal, at its ``pan``, for a pan that is none."""
    pan, usual = None, VOLUME_BY_HEIGHT_RELATIVE_SD
    match asked.volume:
        case Displaced(volume, _):
            usual = VOLUME_MEASUREMENT_RELATIVE_SD
        case Filling(measured, fill):
            pan = _pan_volume(measured)
            volume = pan.volume_cm3 * (fill / 100)
        case Crowned(measured, height):
            pan = _pan_volume(measured)
            volume = pan.volume_cm3 + crown_volume_cm3(measured, height)
    sd = 100 * usual.value / 100 if asked.volume_relative_sd is None else asked.volume_relative_sd
    trial = Trial(
        share_percent=asked.share_percent,
        dough_mass_g=asked.dough_mass_g,
        loaf_volume_cm3=volume,
        volume_relative_sd=sd,
        hydration_percent=asked.hydration_percent,
        baked_mass_g=asked.baked_mass_g,
        proof_minutes=asked.proof_minutes,
        gluten_percent=asked.gluten_percent,
        oven_mass_g=asked.oven_mass_g,
        cooling_loss_percent=asked.cooling_loss_percent,
    )
    return Bake(asked, trial, pan)


def _pan_volume(pan: Pan) -> PanVolume:
    with located("pan"):
        return pan_volume(pan)


def places_of(bakes: Sequence[AskedBake]) -> Mapping[str, str | Place]:
    """Where what is refused of trials is in the request: a volume, where it came from."""
    places: dict[str, str | Place] = {}
    for index, bake in enumerate(bakes):
        at = f"trials.{index}"
        places[f"{at}.share_percent"] = f"{at}.scalded_share_percent"
        if isinstance(bake.volume, Filling):
            places[f"{at}.loaf_volume"] = _fill_at(f"{at}.fill_percent", bake.volume)
        elif isinstance(bake.volume, Crowned):
            places[f"{at}.loaf_volume"] = _crown_at(f"{at}.crown_height", bake.volume)
    return places


def _fill_at(address: str, volume: Filling) -> Place:
    def restated(refusal: Refusal) -> Refusal:
        pan_cm3, nearest = pan_volume(volume.pan).volume_cm3, None
        if isinstance(refusal.nearest, int | float):
            nearest = 100 * refusal.nearest / pan_cm3
        return replace(refusal, quantity=None, given=volume.fill_percent, nearest=nearest)

    return Place(address, restated)


def _crown_at(address: str, volume: Crowned) -> Place:
    def restated(refusal: Refusal) -> Refusal:
        pan_cm3, nearest = pan_volume(volume.pan).volume_cm3, None
        if isinstance(refusal.nearest, int | float) and refusal.nearest >= pan_cm3:
            nearest = (refusal.nearest - pan_cm3) / crown_volume_cm3(volume.pan, 1.0)
        return replace(refusal, quantity="length", given=volume.crown_height_cm, nearest=nearest)

    return Place(address, restated)
