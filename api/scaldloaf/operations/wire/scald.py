"""How a scald is made and what happens to it next, on the wire."""

from typing import Any, NamedTuple

from scaldloaf.dough.preparation import HAND, Reading
from scaldloaf.dough.temperature import require_liquid_temperature, require_part_temperature
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.schemas import scald_preparation as schema
from scaldloaf.operations.wire.requests import without_defaults


class Poured(NamedTuple):
    """Hot liquid poured on the flour, °C; room_given: whether the room's was given and is not the flour's."""

    flour_c: float
    liquid_c: float
    room_c: float
    room_given: bool


class Cooked(NamedTuple):
    """A roux cooked to a core temperature, °C, and kept there for some minutes (None: not known)."""

    core_c: float
    minutes: float | None


class Weighed(NamedTuple):
    """The scald on the scale after cooking, with what it was in, g."""

    gross_g: float
    container_g: float


class Cooling(NamedTuple):
    """Two readings while it cools, in steady surroundings, °C."""

    surroundings_c: float
    readings: tuple[Reading, Reading]


class Holding(NamedTuple):
    """How long it waits, and how cold."""

    hours: float
    temperature_c: float


class Treatment(NamedTuple):
    """How a scald is made, and what happens to it next. stirred: by hand or in a mixer."""

    method: Poured | Cooked
    weighed: Weighed | None = None
    cooling: Cooling | None = None
    holding: Holding | None = None
    stirred: str = HAND

    @property
    def hottest_c(self) -> float:
        """What the flour meets: the liquid poured on it, or the core it is cooked to, °C."""
        return self.method.core_c if isinstance(self.method, Cooked) else self.method.liquid_c


def read_treatment(wire: Wire, context: Context) -> Treatment:
    """The treatment of a request. Raises Refusal, at a field of it, for a temperature that nothing has."""
    method = _read_method(wire["method"], context)
    weighed = None
    if "weighed" in wire:
        filled = schema.WeighedScald.filled(wire["weighed"])
        masses = (context.units.from_wire(filled[name], "mass") for name in ("mass", "container_mass"))
        weighed = Weighed(*masses)
    cooling = _read_cooling(wire["cooling"], context) if "cooling" in wire else None
    holding = None
    if "holding" in wire:
        wait = context.units.from_wire(wire["holding"]["temperature"], "temperature")
        require_part_temperature(wait, "holding.temperature")
        holding = Holding(wire["holding"]["hours"], wait)
    return Treatment(method, weighed, cooling, holding, schema.ScaldTreatment.filled(wire)["stirred"])


def _read_method(method: Wire, context: Context) -> Poured | Cooked:
    from_wire = context.units.from_wire
    if method["kind"] == "cooked":
        core = from_wire(method["core_temperature"], "temperature")
        require_liquid_temperature(core, "method.core_temperature")
        return Cooked(core, method.get("minutes"))
    flour = from_wire(method["flour_temperature"], "temperature")
    liquid = from_wire(method["liquid_temperature"], "temperature")
    room, given = flour, "room_temperature" in method
    if given:
        room = from_wire(method["room_temperature"], "temperature")
    require_part_temperature(flour, "method.flour_temperature")
    require_part_temperature(room, "method.room_temperature")
    require_liquid_temperature(liquid, "method.liquid_temperature")
    return Poured(flour, liquid, room, given)


def _read_cooling(wire: Wire, context: Context) -> Cooling:
    from_wire = context.units.from_wire
    surroundings = from_wire(wire["surroundings_temperature"], "temperature")
    require_part_temperature(surroundings, "cooling.surroundings_temperature")
    readings = []
    for index, each in enumerate(wire["readings"]):
        value = from_wire(each["temperature"], "temperature")
        require_liquid_temperature(value, f"cooling.readings.{index}.temperature")
        readings.append(Reading(each["minutes"], value))
    first, second = readings
    return Cooling(surroundings, (first, second))


def ask_treatment(asked: Treatment, context: Context) -> dict[str, Any]:
    """The fields of a treatment in a request; None for what it does not have."""
    out = context.units.to_wire
    weighed, cooling, holding = asked.weighed, asked.cooling, asked.holding
    return {
        "method": _ask_method(asked.method, context),
        "weighed": weighed
        and without_defaults(
            schema.WeighedScald,
            mass=out(weighed.gross_g, "mass"),
            container_mass=out(weighed.container_g, "mass"),
        ),
        "cooling": cooling
        and {
            "surroundings_temperature": out(cooling.surroundings_c, "temperature"),
            "readings": [
                {"minutes": each.minutes, "temperature": out(each.temperature_c, "temperature")}
                for each in cooling.readings
            ],
        },
        "holding": holding
        and {"hours": holding.hours, "temperature": out(holding.temperature_c, "temperature")},
        "stirred": asked.stirred,
    }


def _ask_method(method: Poured | Cooked, context: Context) -> Wire:
    out = context.units.to_wire
    match method:
        case Cooked(core, minutes):
            kept = {} if minutes is None else {"minutes": minutes}
            return {"kind": "cooked", "core_temperature": out(core, "temperature"), **kept}
        case Poured(flour, liquid, room, given):
            own = {"room_temperature": out(room, "temperature")} if given else {}
            return {
                "kind": "pour_over",
                "flour_temperature": out(flour, "temperature"),
                "liquid_temperature": out(liquid, "temperature"),
                **own,
            }
