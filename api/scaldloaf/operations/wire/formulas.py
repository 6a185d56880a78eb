"""The formula on the wire, read and written: one object in every request and reply."""

from collections.abc import Iterable
from difflib import get_close_matches
from math import floor

from scaldloaf.dough.formula import SCALD, Breakdown, Formula, Line, Masses, allergens_of, break_down, line_of
from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.context import Context
from scaldloaf.operations.schemas import common as schema
from scaldloaf.operations.schemas.fields import LARGEST
from scaldloaf.operations.working.steps import format_number
from scaldloaf.reference import COMPOSITION_FIELDS, INGREDIENTS, Ingredient, coefficient

SPELLINGS = {spelling: row.name for row in INGREDIENTS.values() for spelling in (row.name, *row.aliases)}
FLOUR_SUM_TOLERANCE_PERCENT = 0.05
SALT_NOTE_PERCENT = coefficient("salt_note_percent").value
SALT_SLIP_PERCENT = coefficient("salt_slip_percent").value
_PART = schema.Line.defaults["part"]  # read by itself: filling every line would take longer than the rest
AGREEMENT_TOLERANCE = 1e-3  # a line's mass and percent may differ by rounding only


def nearest_ingredients(name: str, count: int = 3) -> list[str]:
    """Catalogue names nearest to a spelling, best first; aliases count as their ingredient."""
    spelling = name[:80].strip().lower()
    if spelling in SPELLINGS:
        return [SPELLINGS[spelling]]
    close = get_close_matches(spelling.replace(" ", "_"), SPELLINGS, count, 0.5)
    return list(dict.fromkeys(SPELLINGS[match] for match in close))


def read_ingredient(name: str, composition: dict | None, argument: str) -> Ingredient:
    """The ingredient of that name: the request's own when it brings a composition, else the catalogue's."""
    if composition is None:
        found = INGREDIENTS.get(name)
        if found is None:
            close = nearest_ingredients(name)
            advice = (
                f"the nearest names are {', '.join(close)}"
                if close
                else "GET /v1/ingredients lists the names"
            )
            raise Refusal(
                f"{argument}.ingredient",
                "unknown_ingredient",
                f"not in the catalogue: {advice}; or bring a composition of your own",
                given=name,
                nearest=close[0] if close else None,
            )
        return found
    composition = schema.Composition.filled(composition)
    total = sum(composition.get(field, 0.0) for field in COMPOSITION_FIELDS)
    if total > 100.5:
        raise Refusal(
            f"{argument}.composition",
            "composition_above_100",
            "the parts add up to {total} %, more than the ingredient itself; they may add up to 100",
            given=total,
            nearest=100,
            amounts={"total": (total, None)},
        )
    own = dict(composition, allergens=tuple(composition.get("allergens", ())))
    return Ingredient(name=name, label=name, own=True, **own)


def read_formula(wire: dict, context: Context, argument: str = "formula") -> Formula:
    """The Formula of a request that its schema accepted.

    All lines by mass, or all by percent (then reckoned on 100 g of flour). Raises Refusal for a
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
            for index, (line, ingredient) in enumerate(zip(lines, found))
        ]
    read = tuple(
        map(
            line_of,
            zip(found, [amount * factor for amount in amounts], [line.get("part", _PART) for line in lines]),
        )
    )
    formula = Formula(read, wire["scald_evaporation"] * factor, wire.get("name", ""))
    if by_mass:
        _check_agreement(lines, read, argument)
    else:
        _check_flour_sum(read, argument)
    return formula


def _refuse_mixture(lines: list[dict], argument: str) -> None:
    kind = "mass" if "mass" in lines[0] or "percent" not in lines[0] else "percent"
    index = next(
        index for index, line in enumerate(lines) if kind not in line or kind == "percent" and "mass" in line
    )
    kind, what = (
        (kind, f"this one has no {kind}") if kind not in lines[index] else ("mass", "the first has no mass")
    )
    raise Refusal(
        f"{argument}.lines.{index}.{kind}",
        "mixed_mass_and_percent",
        f"every line needs a mass, or every line a percent; {what}",
    )


def _check_agreement(wire_lines: list[dict], lines: tuple[Line, ...], argument: str) -> None:
    if not any(["percent" in line for line in wire_lines]):
        return
    flour = sum(line.mass_g for line in lines if line.ingredient.is_flour)
    if flour <= 0:
        return
    for index, (wire, line) in enumerate(zip(wire_lines, lines)):
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
            "the flour lines add up to {total} %, and baker's percentages need them to add up to 100",
            given=lines[last].mass_g,
            nearest=nearest if nearest >= 0 else None,
            amounts={"total": (total, None)},
        )


def write_formula(formula: Formula, context: Context, seen: Breakdown | Masses | None = None) -> dict:
    """The formula on the wire, each line with mass, percent of flour and percent of dough.

    Pass ``seen`` when the formula's breakdown, or its masses, are at hand.
    """
    seen = seen or break_down(formula)
    factor = context.units.factors["mass"]
    per_flour, per_dough = 100 / seen.flour_g, 100 / seen.dough_mass_g
    lines = []
    for ingredient, mass, part in formula.lines:
        written = {
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


def check_size(formula: Formula, dough_mass_g: float, context: Context, argument: str, given: float) -> None:
    """Refuses, at ``argument``, a batch past the largest number that a request could bring back.

    given: the number there; less of it makes less of the formula. A whole number stays one.
    """
    largest = dough_mass_g
    if formula.scald_evaporation_g:  # else no line weighs more than the dough
        largest = max(dough_mass_g, *(line.mass_g for line in formula.lines))
    check_mass(largest, context, argument, given)


def check_mass(largest_g: float, context: Context, argument: str, given: float) -> None:
    """The same by the largest mass in it."""
    largest = context.units.to_wire(largest_g, "mass")
    if largest <= LARGEST:
        return
    nearest = given * LARGEST / largest * (1 - 1e-6)
    if isinstance(given, int):
        nearest = floor(nearest) or None
    raise Refusal(
        argument,
        "too_large_a_batch",
        f"this comes to more than {format_number(LARGEST)} {context.units.mass} in a line or in all; "
        "use a larger unit, or make less",
        given=given,
        nearest=nearest,
    )


def write_composition(ingredient: Ingredient) -> dict:
    """The composition object of an ingredient, zeros left out."""
    written = {field: value for field in COMPOSITION_FIELDS if (value := getattr(ingredient, field))}
    for field in ("is_flour", "is_liquid"):
        if getattr(ingredient, field):
            written[field] = True
    if ingredient.yeast:
        written["yeast"] = ingredient.yeast
    if ingredient.allergens:
        written["allergens"] = list(ingredient.allergens)
    return written


def write_allergens(lines: Iterable[Line]) -> list[dict]:
    return [{"allergen": allergen, "from": names} for allergen, names in allergens_of(lines).items()]


def formula_cautions(formula: Formula) -> list[str]:
    """Codes of the cautions any formula calls for: raw flour, allergens, and those of honey and of a scald
    when it has one."""
    codes = ["raw_flour", "allergens"]
    if any([line.ingredient.name == "honey" and line.mass_g for line in formula.lines]):
        codes.append("honey_infants")
    if SCALD in [line.part for line in formula.lines]:
        codes += ["hot_scald", "scald_cooling"]
    return codes


def formula_notes(wire: dict, seen: Breakdown | None = None) -> list[tuple[str, str]]:
    """Notes on how a formula was read and, with its breakdown, on what looks like a slip of the pen."""
    notes = []
    if "mass" not in wire["lines"][0]:
        notes.append(
            (
                "reckoned_on_100",
                "The formula came in percent only, so its masses are reckoned on 100 g of flour.",
            )
        )
    if seen is not None and seen.salt_percent > SALT_NOTE_PERCENT:
        slip = seen.salt_percent > SALT_SLIP_PERCENT
        notes.append(
            (
                "much_salt",
                f"Salt comes to {seen.salt_percent:.3g} % of the flour; above "
                + (
                    f"{SALT_SLIP_PERCENT:g} % that is most likely a slip: look at the lines and their units."
                    if slip
                    else f"{SALT_NOTE_PERCENT:g} % it is worth a second look."
                ),
            )
        )
    return notes
