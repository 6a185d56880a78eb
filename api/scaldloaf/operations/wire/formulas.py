"""The formula on the wire, read, written and asked for: one object in every request and reply."""

from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from math import floor

from scaldloaf.dough.formula import Breakdown, Formula, Line, Masses, allergens_of, break_down, line_of
from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.schemas import common as schema
from scaldloaf.reference import COMPOSITION_FIELDS, INGREDIENTS, Ingredient

SPELLINGS = {
    spelling.replace(" ", "_"): row.name
    for row in INGREDIENTS.values()
    for spelling in (row.name, *row.aliases)
}
_IN_ANY_ORDER = {tuple(sorted(spelling.split("_"))): name for spelling, name in SPELLINGS.items()}
_LEAST_LIKE = 0.7  # below it, flour_bread is like sour_cream
FLOUR_SUM_TOLERANCE_PERCENT = 0.05
_PART = schema.Line.default_values[
    "part"
]  # read by itself: filling every line would take longer than the rest
AGREEMENT_TOLERANCE = 1e-3  # a line's mass and percent may differ by rounding only


def nearest_ingredients(name: str, count: int = 3) -> list[str]:
    """Catalogue names nearest to a spelling, best first; aliases count as their ingredient.

    The words may be in another order: ``egg_whole``.
    """
    spelling = "_".join(name[:80].lower().replace("_", " ").split())
    found = SPELLINGS.get(spelling) or _IN_ANY_ORDER.get(tuple(sorted(spelling.split("_"))))
    if found:
        return [found]
    close = get_close_matches(spelling, SPELLINGS, count, _LEAST_LIKE)
    return list(dict.fromkeys(SPELLINGS[match] for match in close))


def advice_on(close: Sequence[str]) -> str:
    """Where to find the name of an ingredient; the names that are close go in as ``names``."""
    if not close:
        return "GET /v1/ingredients lists the names"
    return "the nearest name is {names}" if len(close) == 1 else "the nearest names are {names}"


def read_ingredient(name: str, composition: Wire | None, argument: str) -> Ingredient:
    """The ingredient of that name: the request's own when it brings a composition, else the catalogue's."""
    if composition is None:
        found = INGREDIENTS.get(name)
        if found is None:
            close = nearest_ingredients(name)
            raise Refusal(
                f"{argument}.ingredient",
                "unknown_ingredient",
                f"not in the catalogue: {advice_on(close)}; or bring a composition of your own",
                given=name,
                nearest=close[0] if close else None,
                amounts={"names": ", ".join(close)} if close else {},
            )
        return found
    composition = schema.Composition.filled(composition)
    total = sum(composition.get(field, 0.0) for field in COMPOSITION_FIELDS)
    if total > 100.5:
        raise Refusal(
            f"{argument}.composition",
            "composition_above_100",
            "the parts add up to {total} %, more than the ingredient itself; they may add up to {most}",
            given=total,
            amounts={"total": (total, None), "most": (100.0, None)},
        )
    own = {
        "is_liquid": None,
        "is_white_wheat": None,
        **composition,
        "allergens": tuple(composition.get("allergens", ())),
    }
    return Ingredient(name=name, label=name, own=True, **own)


def read_formula(wire: Wire, context: Context, argument: str = "formula") -> Formula:
    """The Formula of a request that its schema accepted.

    All lines by mass, or all by percent (then calculated for 100 g of flour). Raises Refusal for a
    mixture, for an unknown ingredient, for a mass and a percent that contradict each other.
    """
    wire = schema.Formula.filled(wire)
    lines = wire["lines"]
    by_mass = "mass" in lines[0]
    field = "mass" if by_mass else "percent"
    amounts = [line.get(field) for line in lines]
    if None in amounts or not by_mass and any(["mass" in line for line in lines]):
        _refuse_mixture(lines, argument)
    factor = context.units.factors["mass"] if by_mass else 1.0
    found = [None if "composition" in line else INGREDIENTS.get(line["ingredient"]) for line in lines]
    if not all(found):
        found = [
            ingredient
            or read_ingredient(line["ingredient"], line.get("composition"), f"{argument}.lines.{index}")
            for index, (line, ingredient) in enumerate(zip(lines, found, strict=True))
        ]
    masses, parts = [amount * factor for amount in amounts], [line.get("part", _PART) for line in lines]
    read = tuple(map(line_of, zip(found, masses, parts, strict=True)))
    formula = Formula(read, wire["scald_evaporation"] * factor, wire.get("name", ""))
    if by_mass:
        _check_agreement(lines, read, argument)
    else:
        _check_flour_sum(read, argument)
    return formula


def _refuse_mixture(lines: list[Wire], argument: str) -> None:
    kind = "mass" if "mass" in lines[0] or "percent" not in lines[0] else "percent"
    index = next(
        index for index, line in enumerate(lines) if kind not in line or kind == "percent" and "mass" in line
    )
    kind, what = (
        (kind, "this one has no {field}") if kind not in lines[index] else ("mass", "the first has no mass")
    )
    raise Refusal(
        f"{argument}.lines.{index}.{kind}",
        "mixed_mass_and_percent",
        f"every line needs a mass, or every line a percent; {what}",
        amounts={"field": kind},
    )


def _check_agreement(wire_lines: list[Wire], lines: tuple[Line, ...], argument: str) -> None:
    if not any(["percent" in line for line in wire_lines]):
        return
    flour = sum(line.mass_g for line in lines if line.ingredient.is_flour)
    if flour <= 0:
        return
    for index, (wire, line) in enumerate(zip(wire_lines, lines, strict=True)):
        percent = 100 * line.mass_g / flour
        if "percent" in wire and abs(wire["percent"] - percent) > AGREEMENT_TOLERANCE * max(percent, 1):
            raise Refusal(
                f"{argument}.lines.{index}.percent",
                "mass_and_percent_disagree",
                "by its mass this line is {percent} % of the flour; correct it, or leave percent out",
                given=wire["percent"],
                nearest=percent,
                amounts={"percent": (percent, None)},
            )


def _check_flour_sum(lines: tuple[Line, ...], argument: str) -> None:
    flours = [index for index, line in enumerate(lines) if line.ingredient.is_flour]
    total = sum(lines[index].mass_g for index in flours)
    if flours and abs(total - 100) > FLOUR_SUM_TOLERANCE_PERCENT:
        last = flours[-1]
        nearest = 100 - total + lines[last].mass_g
        raise Refusal(
            f"{argument}.lines.{last}.percent",
            "flour_not_100",
            "the flour lines add up to {total} %, and baker's percentages need them to add up to {whole}",
            given=lines[last].mass_g,
            nearest=nearest if nearest >= 0 else None,
            amounts={"total": (total, None), "whole": (100.0, None)},
        )


def write_formula(formula: Formula, context: Context, masses: Breakdown | Masses | None = None) -> Wire:
    """The formula on the wire, each line with mass, percent of flour and percent of dough.

    Pass ``masses``, or the formula's breakdown, where they are known.
    """
    masses = masses or break_down(formula)
    factor = context.units.factors["mass"]
    per_flour, per_dough = 100 / masses.flour_g, 100 / masses.dough_mass_g
    lines = []
    for ingredient, mass, part in formula.lines:
        written: Wire = {
            "ingredient": ingredient.name,
            "mass": mass / factor,
            "percent": mass * per_flour,
            "percent_of_dough": mass * per_dough,
            "part": part,
        }
        if ingredient.own:
            written["composition"] = write_composition(ingredient)
        lines.append(written)
    return {"name": formula.name, "lines": lines, "scald_evaporation": formula.scald_evaporation_g / factor}


def in_percent(wire: Wire) -> bool:
    """Whether the lines of a formula came in percent only, so that its masses are on 100 g of flour."""
    return "mass" not in wire["lines"][0]


def ask_formula(formula: Formula, context: Context, by_percent: bool = False) -> Wire:
    """The formula as a request has it, what is at its default left out; ``read_formula`` gives it back."""
    factor, field = (1.0, "percent") if by_percent else (context.units.factors["mass"], "mass")
    lines = []
    for ingredient, mass, part in formula.lines:
        line: Wire = {"ingredient": ingredient.name, field: mass / factor}
        if part != _PART:
            line["part"] = part
        if ingredient.own:
            line["composition"] = write_composition(ingredient)
        lines.append(line)
    asked: Wire = {"lines": lines}
    if formula.name:
        asked["name"] = formula.name
    if formula.scald_evaporation_g:
        asked["scald_evaporation"] = formula.scald_evaporation_g / factor
    return asked


def check_size(
    formula: Formula, dough_mass_g: float, most_g: float, argument: str, given: float, quantity: str | None
) -> None:
    """Refuses, as ``check_mass``, a batch in which a line or the dough is past ``most_g``.

    Parameters
        formula : Formula
        dough_mass_g : float  [g]
        most_g : float  [g]
        argument : str  where the size was asked for
        given : float  [quantity] the number there; less of it makes less of the formula
        quantity : str or None  what it measures; None: a count or a factor
    Raises
        Refusal: at ``argument``.
    """
    largest = dough_mass_g
    if formula.scald_evaporation_g:  # else no line weighs more than the dough
        largest = max(dough_mass_g, *(line.mass_g for line in formula.lines))
    check_mass(largest, most_g, argument, given, quantity)


def check_mass(
    largest_g: float, most_g: float, argument: str, given: float, quantity: str | None = None
) -> None:
    """Refuses a mass past the largest one that a request could bring back.

    Parameters
        largest_g : float  [g]
        most_g : float  [g]
        argument : str  where the mass was asked for
        given : float  [quantity] the number there; less of it makes less. A whole number stays one
        quantity : str or None  what it measures; None: a count or a factor
    Raises
        Refusal: at ``argument``.
    """
    if largest_g <= most_g:
        return
    nearest: float | None = given * most_g / largest_g * (1 - 1e-6)
    if isinstance(given, int) and nearest is not None:
        nearest = floor(nearest) or None
    raise Refusal(
        argument,
        "too_large_a_batch",
        "a line or the total comes to more than {most}; use a larger unit, or make less",
        given=given,
        nearest=nearest,
        quantity=quantity,
        amounts={"most": (most_g, "mass")},
    )


def write_composition(ingredient: Ingredient) -> Wire:
    """The composition object of an ingredient, zeros left out."""
    written = {field: value for field in COMPOSITION_FIELDS if (value := getattr(ingredient, field))}
    if ingredient.is_flour:
        written["is_flour"] = True
    if ingredient.is_liquid is not None:
        written["is_liquid"] = ingredient.is_liquid
    if ingredient.is_flour and ingredient.is_white_wheat is not None:
        written["is_white_wheat"] = ingredient.is_white_wheat
    if ingredient.stays_in_dough:
        written["stays_in_dough"] = True
    if ingredient.yeast:
        written["yeast"] = ingredient.yeast
    if ingredient.allergens:
        written["allergens"] = list(ingredient.allergens)
    return written


def write_allergens(lines: Iterable[Line]) -> list[Wire]:
    return [{"allergen": allergen, "from": names} for allergen, names in allergens_of(lines).items()]
