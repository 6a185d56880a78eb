"""The steps of making and cooling a scald, and the notes on it."""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import cast

from scaldloaf.dough import preparation as dough
from scaldloaf.dough import swelling
from scaldloaf.dough.heat_balance import BEST_HEATS, Matter
from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.steps import Working, bracketed
from scaldloaf.operations.wire.scald import Cooked, Poured, Treatment, Weighed

TEXTS = {
    "water_in_excess": (
        "These figures are for much water and little sugar: in a stiff or sweet scald the starch swells "
        "later, and never all of it."
    ),
    "starch_swollen": (
        "About {best:.2g} % of the starch swells ({low:.2g} to {high:.2g} %). Swelling begins at {start} and "
        "goes on to {end}."
    ),
    "not_hot_enough": (
        "Its middle stays too cool for the starch to swell, and the dough will not take the water a scald "
        "lets it take."
    ),
    "only_just": (
        "At the cool end of the band hardly any of the starch swells: warm the bowl, pour the liquid at a "
        "full boil, stir fast and cover it."
    ),
    "mixer_cools": (
        "After about ten minutes in the mixer the scald is at about {best} ({low} to {high}). That undoes "
        "nothing: what has swollen stays swollen. Go on with that temperature."
    ),
    "stirred_not_used": (
        "A cooked scald's temperature is measured, so how it is stirred does not change the answer."
    ),
    "held_short": "Starch needs {least:g} to {most:g} minutes at that temperature.",
    "cook_on": (
        "It holds more water than the formula counts on: cook it longer, or reduce the dough's water "
        "by as much."
    ),
    "only_when_kept": (
        "The cooling limits are for a scald that is kept. One that goes into the dough as soon as it "
        "is cool enough for the yeast just must not be left warm."
    ),
    "made_cool": (
        "It never gets hot: for food made from ingredients at room temperature the time to the last "
        "limit is {hours:g} h."
    ),
    "cool_faster": (
        "It cools too slowly: spread it flat, stir it over a water bath with ice, and only then put it "
        "in the cold."
    ),
    "steady_surroundings": "The hours are for the surroundings given, all the way down.",
    "held_long": "That is longer than bakers commonly keep a scald; make it fresh.",
    "held_warm": "A scald that waits must wait colder than that.",
}


# ---- Notes ---------------------------------------------------------------------------------------

_note = NotesOf(TEXTS)


def heating_notes(treatment: Treatment, heated: dough.Heated, topped: dough.TopUp | None) -> Iterator[Note]:
    """On how hot the scald gets and for how long, and on the water that cooking leaves."""
    method, swollen = treatment.method, heated.swollen
    yield _note("water_in_excess")
    yield _note(
        "starch_swollen",
        low=swollen.low,
        best=swollen.best,
        high=swollen.high,
        start=(swelling.SWELLING_START_DEGC, "temperature"),
        end=(swelling.SWELLING_END_DEGC, "temperature"),
    )
    if not swollen.best:
        yield _note("not_hot_enough")
    elif not swollen.low:
        yield _note("only_just")
    if heated.mixed is not None:
        low, best, high = ((value, "temperature") for value in heated.mixed[:3])
        yield _note("mixer_cools", low=low, best=best, high=high)
    elif treatment.stirred == dough.MIXER:
        yield _note("stirred_not_used")
    needed = dough.GELATINISATION_MINUTES
    if isinstance(method, Cooked) and method.minutes is not None and method.minutes < needed.high:
        yield _note("held_short", least=needed.low, most=needed.high)
    if topped is not None and topped.still_to_evaporate_g > 0:
        yield _note("cook_on")


def keeping_notes(
    heated: dough.Heated, steps: Iterable[dough.CoolingStep], holding: str | None
) -> Iterator[Note]:
    """On cooling and waiting. holding: how the wait compares with common practice; None without one."""
    assessments = [step.assessment for step in steps]
    yield _note("only_when_kept")
    if heated.core.best < dough.COOLING_FIRST_FROM_DEGC:
        yield _note("made_cool", hours=dough.COOLING_AMBIENT_HOURS)
    if dough.TOO_SLOW in assessments:
        yield _note("cool_faster")
    if any(assessment is not None for assessment in assessments):
        yield _note("steady_surroundings")
    if holding == dough.LONGER_THAN_USUAL:
        yield _note("held_long")
    if holding == dough.TOO_WARM:
        yield _note("held_warm")


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


def show_poured(show: Working, scald: dough.Scald, heated: dough.Heated, poured: Poured) -> None:
    """From what is poured together to the middle of the scald, and what would do where it is too cool.

    Parameters
        show : Working  the steps are added to
        scald : Scald
        heated : Heated
        poured : Poured  [°C] temperatures of flour, liquid and room
    """
    shown, ideal_c = show.format, cast("float", heated.ideal_c)
    solids = [part.matter for part in scald.solids]
    giving = scald.liquid.heat_capacity_j_per_k(BEST_HEATS)
    taking = sum(matter.heat_capacity_j_per_k(BEST_HEATS) for matter in solids)
    flour, liquid, room, ideal = (
        _bare(show, value) for value in (poured.flour_c, poured.liquid_c, poured.room_c, ideal_c)
    )
    _show_capacity(show, "Heat that warms the liquid by 1 K", [scald.liquid])
    _show_capacity(show, "Heat that warms the flour by 1 K", solids)
    show.step(
        "Scald with no heat lost",
        f"({shown(giving)} × {liquid} + {shown(taking)} × {flour}) ÷ ({shown(giving)} + {shown(taking)})",
        ideal_c,
        "temperature",
    )
    excess = shown(show.units.to_wire(dough.SCALD_LOSS_EXCESS_DEGC, "temperature_difference"))
    over_c = ideal_c - poured.room_c

    def step_after(label: str, loss: str, found_c: float) -> None:
        lost = loss if over_c >= dough.SCALD_LOSS_EXCESS_DEGC else f"{loss} × ({ideal} − {room}) ÷ {excess}"
        show.step(
            label,
            f"{ideal} − {lost}" if over_c > 0 else f"{ideal}, as {ideal} is not above {room}",
            found_c,
            "temperature",
        )

    loss, in_mixer = (
        shown(show.units.to_wire(row.value, "temperature_difference"))
        for row in (dough.SCALD_LOSS_DEGC, dough.SCALD_LOSS_MIXER_DEGC)
    )
    step_after("In the bowl, less what bowl and air take", loss, heated.core.best)
    if heated.mixed is not None:
        step_after("After ten minutes in the mixer", in_mixer, heated.mixed.best)
    if heated.liquid_c_needed is None and heated.ratio_needed is None:
        return
    needed_c = cast("float", heated.ideal_c_needed)
    wanted, core = _bare(show, needed_c), _bare(show, dough.GELATINISATION_END_DEGC)
    if poured.room_c >= dough.GELATINISATION_END_DEGC:
        expression = f"{core}, as {core} is not above {room}"
    elif needed_c - poured.room_c >= dough.SCALD_LOSS_EXCESS_DEGC:
        expression = f"{core} + {loss}"
    else:
        expression = f"({core} − {room} × {loss} ÷ {excess}) ÷ (1 − {loss} ÷ {excess})"
    show.step(
        f"For {shown(dough.GELATINISATION_END_DEGC, 'temperature')} in the bowl, with no heat lost",
        expression,
        needed_c,
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


def show_swollen(show: Working, heated: dough.Heated) -> None:
    """The share of the starch that swells, read off between two points of its curve."""
    core_c, points = heated.core.best, swelling.SWELLING_POINTS
    core, start, end = (_bare(show, value) for value in (core_c, points[0][0], points[-1][0]))
    if core_c <= points[0][0]:
        expression = f"0, as {core} is not above {start}"
    elif core_c >= points[-1][0]:
        expression = f"100, as {end} is not above {core}"
    else:
        left, right = next(pair for pair in pairwise(points) if core_c <= pair[1][0])
        expression = (
            f"{show.format(left[1])} + ({show.format(right[1])} − {show.format(left[1])}) × "
            f"({core} − {_bare(show, left[0])}) ÷ ({_bare(show, right[0])} − {_bare(show, left[0])})"
        )
    show.step("Starch that swells", expression, heated.swollen.best, unit="% of the starch")


def show_top_up(show: Working, weighed: Weighed, topped: dough.TopUp) -> None:
    target, measured = show.format(topped.target_g, "mass"), show.format(topped.measured_g, "mass")
    if weighed.container_g:
        gross, container = (
            show.format(show.units.to_wire(mass, "mass")) for mass in (weighed.gross_g, weighed.container_g)
        )
        show.step("Left, without the pan", f"{gross} − {container}", topped.measured_g, "mass")
    if topped.still_to_evaporate_g:
        show.step(
            "Still to evaporate", f"{measured} left − {target} to reach", topped.still_to_evaporate_g, "mass"
        )
    else:
        show.step("Water to add", f"{target} to reach − {measured} left", topped.water_to_add_g, "mass")


def show_cooling(
    show: Working,
    first: dough.Reading,
    second: dough.Reading,
    surroundings_c: float,
    steps: Iterable[dough.CoolingStep],
) -> None:
    """The steps from two readings to when the scald is cool enough.

    Parameters
        show : Working  the steps are added to
        first, second : Reading  [minutes], [°C]
        surroundings_c : float  [°C]
        steps : Iterable[CoolingStep]  the temperatures to reach, in order
    """
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
