"""scald-preparation: how hot the scald gets, its water, its cooling, and the timetable."""

from collections.abc import Iterable
from dataclasses import dataclass

from scaldloaf.dough import preparation as dough
from scaldloaf.dough.formula import SCALD, Formula, Line
from scaldloaf.dough.heat_balance import BEST_HEATS, Matter
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.temperature import require_liquid_temperature, require_part_temperature
from scaldloaf.dough.timetable import Task, Timed, timetable
from scaldloaf.operations.context import Context
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import scald_preparation as schema
from scaldloaf.operations.wire.formulas import (
    formula_cautions,
    formula_notes,
    read_formula,
    read_ingredient,
    write_allergens,
)
from scaldloaf.operations.working.steps import Working, bracketed

_KEPT = (
    "only_when_kept",
    "The cooling limits are for a scald that is kept. One that goes into the dough as "
    "soon as it is cool enough for the yeast need only not stand about warm.",
)
_EXCESS = (
    "water_in_excess",
    "The range of gelatinisation is for much water and little sugar: a stiff or "
    "sweet scald gelatinises later, and never wholly.",
)
_CLOCKS = (
    "clock_change",
    "Times are counted back hour by hour. If the clocks change on the way, add or take the hour yourself.",
)


def read_tasks(wire: dict) -> list[Task]:
    return [Task(stage["name"], stage["minutes"]) for stage in wire["stages"]]


def write_timetable(timed: Iterable[Timed]) -> list[dict]:
    """A timetable on the wire; the one place that does it."""
    return [
        {
            "name": each.name,
            "minutes": each.minutes,
            "starts_minutes_before": each.starts_minutes_before,
            "ends_minutes_before": each.ends_minutes_before,
            "starts_at": each.starts_at,
            "ends_at": each.ends_at,
            "days_before": each.days_before,
        }
        for each in timed
    ]


def timetable_notes(ready_at: str | None) -> list[tuple[str, str]]:
    """What to know of a timetable that ends at a time by the clock."""
    return [] if ready_at is None else [_CLOCKS]


def _read_formula(wire: dict, context: Context) -> Formula:
    """The formula that holds the scald: the request's, or one made of flour and liquid."""
    if wire["kind"] == "formula":
        return read_formula(wire["formula"], context)
    lines, usual = [], schema.ScaldPreparationScaldMasses.defaults
    wire = schema.ScaldPreparationScaldMasses.filled(wire)
    for field, wanted in (("flour", "is_flour"), ("liquid", "is_liquid")):
        name = wire[field]
        with located(**{"scald.ingredient": f"scald.{field}"}):
            ingredient = read_ingredient(name, None, "scald")
        if not getattr(ingredient, wanted):
            raise Refusal(
                f"scald.{field}",
                f"not_a_{field}",
                f"{ingredient.label} is no {field} to make a scald of",
                given=name,
                nearest=usual[field],
            )
        lines.append(Line(ingredient, context.units.from_wire(wire[f"{field}_mass"], "mass"), SCALD))
    return Formula(tuple(lines))


@dataclass(frozen=True, slots=True)
class _Poured:
    """Temperatures of a scald made with hot liquid, degC."""

    flour_c: float
    liquid_c: float
    room_c: float


def _heated(
    method: dict, formula: Formula, context: Context
) -> tuple[dough.Scald, dough.Heated, _Poured | None]:
    from_wire = context.units.from_wire
    if method["kind"] == "cooked":
        core = from_wire(method["core_temperature"], "temperature")
        require_liquid_temperature(core, "method.core_temperature")
        return dough.scald_of(formula, core), dough.cooked_to(core), None
    flour = from_wire(method["flour_temperature"], "temperature")
    liquid = from_wire(method["liquid_temperature"], "temperature")
    room = from_wire(method["room_temperature"], "temperature") if "room_temperature" in method else flour
    require_part_temperature(flour, "method.flour_temperature")
    require_part_temperature(room, "method.room_temperature")
    require_liquid_temperature(liquid, "method.liquid_temperature")
    scald = dough.scald_of(formula, flour)
    return scald, dough.pour_over(scald, liquid, room), _Poured(flour, liquid, room)


def _read_cooling(wire: dict | None, context: Context) -> tuple[tuple | None, float | None]:
    if wire is None:
        return None, None
    from_wire = context.units.from_wire
    surroundings = from_wire(wire["surroundings_temperature"], "temperature")
    require_part_temperature(surroundings, "cooling.surroundings_temperature")
    readings = []
    for index, each in enumerate(wire["readings"]):
        value = from_wire(each["temperature"], "temperature")
        require_liquid_temperature(value, f"cooling.readings.{index}.temperature")
        readings.append(dough.Reading(each["minutes"], value))
    return tuple(readings), surroundings


def _notes(method: dict, heated: dough.Heated, topped, steps, holding: dict | None, ready_at: str | None):
    found = [_EXCESS]
    if heated.assessment != dough.GELATINISED:
        found.append(
            (
                "not_hot_enough",
                "Its middle stays below the end of the range in which starch "
                "gelatinises: "
                + ("it swells in part only" if heated.assessment == dough.PARTLY else "it does not swell")
                + ", and the dough will not take the water a scald lets it take.",
            )
        )
    elif heated.at_low != dough.GELATINISED:
        found.append(
            (
                "only_just",
                "At the cool end of the band it gelatinises only in part: warm the bowl, "
                "pour the liquid at a full boil, stir fast and cover it.",
            )
        )
    if method["kind"] == "cooked" and method.get("minutes", dough.GELATINISATION_MINUTES.high) < (
        dough.GELATINISATION_MINUTES.high
    ):
        found.append(
            (
                "held_short",
                f"Starch needs {dough.GELATINISATION_MINUTES.low:g} to "
                f"{dough.GELATINISATION_MINUTES.high:g} minutes at that temperature.",
            )
        )
    if topped is not None and topped.still_to_evaporate_g > 0:
        found.append(
            (
                "cook_on",
                "It holds more water than the formula counts on: cook on, or take as much "
                "from the dough's water.",
            )
        )
    found.append(_KEPT)
    if heated.core.best < dough.COOLING_FIRST_FROM_DEGC:
        found.append(
            (
                "made_cool",
                "It never gets hot: for food made from ingredients at room temperature "
                f"the time to the last limit is {dough.COOLING_AMBIENT_HOURS:g} h.",
            )
        )
    if any(step.assessment == dough.TOO_SLOW for step in steps):
        found.append(
            (
                "cool_faster",
                "It cools too slowly: spread it flat, stir it over a water bath with "
                "ice, and only then put it in the cold.",
            )
        )
    if any(step.assessment is not None for step in steps):
        found.append(("steady_surroundings", "The hours are for the surroundings given, all the way down."))
    if holding is not None and holding["assessment"] == dough.LONGER_THAN_USUAL:
        found.append(("held_long", "That is longer than bakers commonly keep a scald; make it fresh."))
    if holding is not None and holding["assessment"] == dough.TOO_WARM:
        found.append(("held_warm", "A scald that waits must wait colder than that."))
    return found + timetable_notes(ready_at)


# ---- The working ---------------------------------------------------------------------------------


def _bare(show: Working, value_c: float) -> str:
    """A temperature in the request's scale, without the unit, for the middle of an expression."""
    return bracketed(show.format(show.units.to_wire(value_c, "temperature")))


def _show_capacity(show: Working, label: str, matters: Iterable[Matter]) -> None:
    """The heat that warms something by a degree, from what it is made of."""
    matters = list(matters)
    parts = [
        f"{show.format(mass)} g of {kind.replace('_', ' ')} × {show.format(BEST_HEATS[kind])}"
        for matter in matters
        for kind, mass in matter.shares.items()
    ]
    show.step(
        label,
        " + ".join(parts),
        sum(matter.heat_capacity_j_per_k(BEST_HEATS) for matter in matters),
        unit="J per K",
    )


def _show_poured(show: Working, scald: dough.Scald, heated: dough.Heated, poured: _Poured) -> None:
    shown = show.format
    solids = [part.matter for part in scald.solids]
    giving = scald.liquid.heat_capacity_j_per_k(BEST_HEATS)
    taking = sum(matter.heat_capacity_j_per_k(BEST_HEATS) for matter in solids)
    flour, liquid, room, ideal = (
        _bare(show, value) for value in (poured.flour_c, poured.liquid_c, poured.room_c, heated.ideal_c)
    )
    _show_capacity(show, "Heat that warms the liquid by 1 K", [scald.liquid])
    _show_capacity(show, "Heat that warms the flour by 1 K", solids)
    show.step(
        "Scald with no heat lost",
        f"({shown(giving)} × {liquid} + {shown(taking)} × {flour}) ÷ ({shown(giving)} + {shown(taking)})",
        heated.ideal_c,
        "temperature",
    )
    loss, excess = (
        shown(show.units.to_wire(value, "temperature_difference"))
        for value in (dough.SCALD_LOSS_DEGC.value, dough.SCALD_LOSS_EXCESS_DEGC)
    )
    over_c = heated.ideal_c - poured.room_c
    lost = loss if over_c >= dough.SCALD_LOSS_EXCESS_DEGC else f"{loss} × ({ideal} − {room}) ÷ {excess}"
    show.step(
        "In the bowl, less what bowl and air take",
        f"{ideal} − {lost}" if over_c > 0 else f"{ideal}, as {ideal} is not above {room}",
        heated.core.best,
        "temperature",
    )
    if heated.liquid_c_needed is None and heated.ratio_needed is None:
        return
    wanted, core = _bare(show, heated.ideal_c_needed), _bare(show, dough.GELATINISATION_END_DEGC)
    if dough.GELATINISATION_END_DEGC <= poured.room_c:
        expression = f"{core}, as {core} is not above {room}"
    elif heated.ideal_c_needed - poured.room_c >= dough.SCALD_LOSS_EXCESS_DEGC:
        expression = f"{core} + {loss}"
    else:
        expression = f"({core} − {room} × {loss} ÷ {excess}) ÷ (1 − {loss} ÷ {excess})"
    show.step(
        f"For {shown(dough.GELATINISATION_END_DEGC, 'temperature')} in the bowl, with no heat lost",
        expression,
        heated.ideal_c_needed,
        "temperature",
    )
    if heated.liquid_c_needed is not None:
        show.step(
            "Liquid that would just do",
            f"{wanted} + {shown(taking)} × ({wanted} − {flour}) ÷ {shown(giving)}",
            heated.liquid_c_needed,
            "temperature",
        )
    if heated.ratio_needed is not None:
        show.step(
            "Ratio that would just do",
            f"{shown(scald.liquid_ratio)} × {shown(taking)} × ({wanted} − {flour}) ÷ ({shown(giving)} × "
            f"({liquid} − {wanted}))",
            heated.ratio_needed,
        )


def _show_top_up(show: Working, weighed: dict, topped: dough.TopUp) -> None:
    target, measured = show.format(topped.target_g, "mass"), show.format(topped.measured_g, "mass")
    if weighed["container_mass"]:
        gross, container = show.format(weighed["mass"]), show.format(weighed["container_mass"])
        show.step("Left, without the pan", f"{gross} − {container}", topped.measured_g, "mass")
    if topped.still_to_evaporate_g:
        show.step(
            "Still to evaporate", f"{measured} left − {target} to reach", topped.still_to_evaporate_g, "mass"
        )
    else:
        show.step("Water to add", f"{target} to reach − {measured} left", topped.water_to_add_g, "mass")


def _show_cooling(
    show: Working,
    first: dough.Reading,
    second: dough.Reading,
    surroundings_c: float,
    steps: Iterable[dough.CoolingStep],
) -> None:
    shown, air = show.format, _bare(show, surroundings_c)
    rate = dough.cooling_rate_per_hour(first, second, surroundings_c)

    def fall(from_c: float, to_c: float) -> str:
        return f"ln(({_bare(show, from_c)} − {air}) ÷ ({_bare(show, to_c)} − {air}))"

    show.step(
        "Pace of cooling, by the two readings",
        f"{fall(first.temperature_c, second.temperature_c)} × 60 ÷ ({shown(second.minutes)} − "
        f"{shown(first.minutes)})",
        rate,
        unit="per h",
    )
    for step in steps:
        if step.hours is not None:
            show.step(
                f"Cooling from {shown(step.from_c, 'temperature')} to {shown(step.to_c, 'temperature')}",
                f"{fall(step.from_c, step.to_c)} ÷ {shown(rate)}",
                step.hours.best,
                unit="h",
            )


# ---- The answer ----------------------------------------------------------------------------------


def run(request: dict, context: Context) -> dict:
    from_wire, out = context.units.from_wire, context.units.to_wire
    formula = _read_formula(request["scald"], context)
    scald, heated, poured = _heated(request["method"], formula, context)
    topped = None
    if "weighed" in request:
        weighed = schema.WeighedScald.filled(request["weighed"])
        with located(gross="weighed.mass"):
            topped = dough.top_up(
                scald, from_wire(weighed["mass"], "mass"), from_wire(weighed["container_mass"], "mass")
            )
    readings, surroundings_c = _read_cooling(request.get("cooling"), context)
    with located("cooling", surroundings="cooling.surroundings_temperature"):
        steps = dough.cooling_steps(readings, surroundings_c)
    holding = None
    if "holding" in request:
        wait = from_wire(request["holding"]["temperature"], "temperature")
        require_part_temperature(wait, "holding.temperature")
        holding = {
            "hours": request["holding"]["hours"],
            "temperature": request["holding"]["temperature"],
            "usual_hours": dough.SCALD_HOLDING_HOURS,
            "advised_temperature": out(dough.COOLING_TOTAL_TO_DEGC, "temperature"),
            "assessment": dough.holding_assessment(request["holding"]["hours"], wait),
        }
    timed = ()
    ready_at = None
    if "timetable" in request:
        ready_at = request["timetable"].get("ready_at")
        with located("timetable", tasks="timetable.stages"):
            timed = timetable(read_tasks(request["timetable"]), ready_at)

    def maybe(value: float | None, quantity: str | None = None) -> float | None:
        return None if value is None else out(value, quantity)

    def working(show: Working) -> None:
        if poured is None:
            show.step("In the pan", "as measured", heated.core.best, "temperature")
        else:
            _show_poured(show, scald, heated, poured)
        if topped is not None:
            _show_top_up(show, weighed, topped)
        if readings is not None:
            _show_cooling(show, *readings, surroundings_c, steps)
        if timed:
            show.step(
                "Total time",
                " + ".join(show.format(each.minutes) for each in timed),
                timed[0].starts_minutes_before,
                unit="min",
            )

    return context.reply(
        {
            "scald": {
                "flour": out(scald.flour_g, "mass"),
                "liquid": out(scald.liquid_g, "mass"),
                "mass": out(scald.put_in_g, "mass"),
                "liquid_ratio": scald.liquid_ratio,
                "moisture_percent": 100 * scald.water_g / scald.put_in_g,
            },
            "core_temperature": context.estimate(heated.core, "temperature"),
            "ideal_temperature": maybe(heated.ideal_c, "temperature"),
            "gelatinisation": {
                "assessment": heated.assessment,
                "at_low": heated.at_low,
                "at_high": heated.at_high,
                "liquid_temperature_needed": maybe(heated.liquid_c_needed, "temperature"),
                "liquid_ratio_needed": heated.ratio_needed,
            },
            "top_up": None
            if topped is None
            else {
                "target_mass": out(topped.target_g, "mass"),
                "measured_mass": out(topped.measured_g, "mass"),
                "evaporated": out(topped.evaporated_g, "mass"),
                "water_to_add": out(topped.water_to_add_g, "mass"),
                "still_to_evaporate": out(topped.still_to_evaporate_g, "mass"),
            },
            "cooling": [
                {
                    "from_temperature": out(step.from_c, "temperature"),
                    "to_temperature": out(step.to_c, "temperature"),
                    "allowed_hours": step.allowed_hours,
                    "assessment": step.assessment,
                    **({} if step.hours is None else {"hours": context.estimate(step.hours)}),
                }
                for step in steps
            ],
            "holding": holding,
            "allergens": write_allergens(line for line in formula.lines if line.part == SCALD),
            "timetable": write_timetable(timed),
        },
        working,
        basis=("belitz", "mass_balance", "fda_food_code_3_501_14", "assumption"),
        cautions=("hot_scald", "scald_cooling", *formula_cautions(formula)),
        notes=_notes(request["method"], heated, topped, steps, holding, ready_at)
        + (formula_notes(request["scald"]["formula"]) if request["scald"]["kind"] == "formula" else []),
    )


SCALD_PREPARATION = Operation(
    name="scald-preparation",
    summary="Make a scald hot enough, top it up, cool it, and time the work",
    description="How hot the middle of a scald gets and whether its starch gelatinises; the water to add "
    "after cooking; how fast it must cool to be kept; and the work timed back from when the "
    "bread must be out.",
    request=schema.ScaldPreparationRequest,
    run=run,
    pointers={"formula": "scald.formula"},
    examples=(
        Example(
            "boiling_water",
            "The Lantern Quay scald with boiling water, and the work timed to seven o'clock",
            {
                "scald": {"kind": "formula", "formula": TIN_LOAF},
                "method": {"kind": "pour_over", "flour_temperature": 21, "liquid_temperature": 99},
                "holding": {"hours": 12, "temperature": 4},
                "timetable": {
                    "ready_at": "2026-12-01T07:00+01:00",
                    "stages": [
                        {"name": "make scald", "minutes": 15},
                        {"name": "cool scald", "minutes": 720},
                        {"name": "mix", "minutes": 15},
                        {"name": "bulk", "minutes": 60},
                        {"name": "divide", "minutes": 20},
                        {"name": "proof", "minutes": 60},
                        {"name": "bake", "minutes": 38},
                        {"name": "cool", "minutes": 90},
                    ],
                },
            },
        ),
        Example(
            "cooked_roux",
            "A thin roux cooked in a pan, weighed with the pan, and its cooling",
            {
                "scald": {"kind": "masses", "flour_mass": 60, "liquid_mass": 300, "liquid": "whole_milk"},
                "method": {"kind": "cooked", "core_temperature": 70, "minutes": 2},
                "weighed": {"mass": 1135, "container_mass": 800},
                "cooling": {
                    "surroundings_temperature": 18,
                    "readings": [{"minutes": 0, "temperature": 65}, {"minutes": 30, "temperature": 41}],
                },
            },
        ),
        Example(
            "too_cool",
            "Water not hot enough, in °F: what would do",
            {
                "units": {"temperature": "degF", "mass": "oz"},
                "scald": {"kind": "masses", "flour_mass": 8, "liquid_mass": 8},
                "method": {"kind": "pour_over", "flour_temperature": 68, "liquid_temperature": 180},
            },
        ),
    ),
)
