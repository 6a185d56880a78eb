"""recipe-import: a recipe as it is on a page, read to a formula, each line with how sure it is."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scaldloaf.dough.formula import LEAST_FLOUR_G, Formula, Line
from scaldloaf.dough.refusal import Refusal
from scaldloaf.importing.doubt import LEVELS, NOT_READ, UNSURE
from scaldloaf.importing.masses import Choices
from scaldloaf.importing.readings import INGREDIENT, Reading
from scaldloaf.importing.recipe import MOST_TEXTS, FoundRecipe, recipes_in
from scaldloaf.importing.recipe_lines import ASSUMED_FLOUR_G, MOST_LINES, read_lines
from scaldloaf.importing.text import printable, split_lines
from scaldloaf.importing.vocabulary import OUTSIDE
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import recipe_import as schema
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.formulas import write_formula
from scaldloaf.reference import INGREDIENTS

INPUTS = ("recipe", "text", "lines")
_YEASTS = {row.yeast: name for name, row in INGREDIENTS.items() if row.yeast}
TEXTS = {
    "no_flour_read": "No line with flour and its amount was read, so there is no formula.",
    "lines_not_read": (
        "Not read and not in the formula: line {lines}. What they bring is missing there, allergens too."
    ),
    "lines_unsure": "In the formula, but to be checked first: line {lines}.",
    "lines_outside": "Not in the dough, so not in the formula: line {lines}.",
    "percentages": "Baker's percentages were turned into masses: of the flour given by mass, or of {flour}.",
    "several_recipes": "The document holds {recipes} recipes; this is number {number}.",
}
_note = NotesOf(TEXTS)


class Asked(NamedTuple):
    """Lines to read, and what the request says of them.

    recipes: those of the document, of which number recipe_number was chosen. chosen: what a bare name means.
    decimal: whether a comma is a decimal sign.
    """

    name: str
    lines: Sequence[str]
    recipes: Sequence[FoundRecipe]
    recipe_number: int
    choices: Choices
    chosen: dict[str, str]
    decimal: str


class Found(NamedTuple):
    """All readings, each with how sure it is; those that are used, with the lines they make; and the formula.

    formula: None without flour.
    """

    asked: Asked
    readings: list[tuple[Reading, str]]
    used: list[tuple[Reading, Line]]
    formula: Formula | None

    @property
    def ingredients(self) -> list[tuple[Reading, str]]:
        """The readings that are ingredients, used or not."""
        return [(reading, level) for reading, level in self.readings if reading.kind == INGREDIENT]


# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    request = schema.RecipeImportRequest.filled(request)
    name, lines, recipes = _source(request)
    return Asked(
        name=name,
        lines=lines,
        recipes=recipes,
        recipe_number=request["recipe_number"],
        choices=_choices(request, context),
        chosen=_chosen(request),
        decimal=schema.DECIMAL_COMMA[request["decimal_comma"]],
    )


def _source(request: Wire) -> tuple[str, Sequence[str], list[FoundRecipe]]:
    """Name and lines of the recipe to read, and the recipes it was chosen from.

    Raises Refusal for no input, several, one without lines or with too many.
    """
    given = [field for field in INPUTS if field in request]
    if len(given) != 1:
        raise Refusal(
            given[1] if given else "recipe",
            "one_input",
            "a recipe comes in exactly one of recipe, text and lines; "
            + ("here are {fields}" if given else "here is none"),
            amounts={"fields": " and ".join(given)} if given else {},
        )
    field, name = given[0], ""
    recipes: list[FoundRecipe] = []
    lines: Sequence[str]
    if field == "recipe":
        recipes = recipes_in(request["recipe"])
        chosen = _chosen_recipe(recipes, request["recipe_number"])
        name, lines = chosen.name, chosen.lines()
    elif field == "text":
        lines = split_lines(request["text"])
    else:
        lines = [" ".join(split_lines(line)) for line in request["lines"]]
    filled = sum(bool(line) and not line.isspace() for line in lines)
    if filled > MOST_LINES or recipes and len(lines) == MOST_TEXTS:
        raise Refusal(
            field,
            "too_many_lines",
            "more than {most} lines: send the ingredients only",
            given=f"{filled} lines",
            amounts={"most": (MOST_LINES, None)},
        )
    if not filled:
        raise Refusal(field, "no_lines", "there is no line in it to be read as an ingredient")
    return name, lines, recipes


def _chosen_recipe(recipes: list[FoundRecipe], number: int) -> FoundRecipe:
    if not recipes:
        raise Refusal("recipe", "no_recipe", "no Recipe of schema.org with ingredients is in it")
    if number > len(recipes):
        raise Refusal(
            "recipe_number",
            "no_such_recipe",
            "the document holds only {most}",
            given=number,
            nearest=len(recipes),
            amounts={"most": (len(recipes), None)},
        )
    return recipes[number - 1]


def _choices(request: Wire, context: Context) -> Choices:
    alone = context.units.from_wire(1.0, "mass") if request["number_alone"] == "mass" else None
    egg = context.from_wire(request.get("egg_mass"), "mass")
    return Choices(request.get("cup"), request.get("egg_size"), egg, alone)


def _chosen(request: Wire) -> dict[str, str]:
    chosen: dict[str, str] = {field: request[field] for field in ("flour", "milk") if field in request}
    if "yeast" in request:
        chosen["yeast"] = _YEASTS[request["yeast"]]
    return chosen


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    readings = read_lines(asked.lines, asked.choices, asked.chosen, asked.decimal)
    used = list(_used(readings))
    flour_g = sum(line.mass_g for _, line in used if line.ingredient.is_flour)
    formula = None
    if flour_g >= LEAST_FLOUR_G:
        formula = Formula(tuple(line for _, line in used), 0.0, asked.name)
    return Found(asked, [(reading, reading.sure) for reading in readings], used, formula)


def _used(readings: list[Reading]) -> Iterator[tuple[Reading, Line]]:
    for reading in readings:
        if reading.in_formula and reading.ingredient is not None and reading.mass is not None:
            yield reading, Line(reading.ingredient, reading.mass.best, reading.part)


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    formula = found.formula
    counts = Counter(level for _, level in found.ingredients)
    return context.reply(
        {
            "formula": formula and write_formula(formula, context),
            "name": found.asked.name,
            "recipes": [recipe.name for recipe in found.asked.recipes],
            "lines": [
                _write(reading, level, context, formula is not None) for reading, level in found.readings
            ],
            "counts": {level: counts[level] for level in LEVELS},
        },
        lambda show: _show(show, found),
        basis=("mass_balance", *(source for reading, _ in found.used for source in reading.sources)),
        cautions=cautions.of_formula(formula) if formula else (),
        notes=_notes(found),
    )


def _write(reading: Reading, level: str, context: Context, has_formula: bool) -> Wire:
    return {
        "line": reading.line,
        "text": reading.text,
        "kind": reading.kind,
        "read_as": reading.read_as,
        "part": reading.part,
        "ingredient": reading.ingredient.name if reading.ingredient else None,
        "mass": context.estimate(reading.mass, "mass") if reading.mass else None,
        "sure": level,
        "why": printable(reading.why, 1000),
        "alternatives": list(reading.alternatives),
        "in_formula": has_formula and reading.in_formula,
    }


def _notes(found: Found) -> Iterator[Note]:
    ingredients, recipes = found.ingredients, found.asked.recipes
    outside = [reading for reading, _ in ingredients if reading.part == OUTSIDE]
    unread = [reading for reading, level in ingredients if level == NOT_READ and reading.part != OUTSIDE]
    unsure = [reading for reading, level in ingredients if level == UNSURE and reading.in_formula]
    if found.formula is None:
        yield _note("no_flour_read")
    if unread:
        yield _note("lines_not_read", lines=_numbers(unread))
    if unsure:
        yield _note("lines_unsure", lines=_numbers(unsure))
    if outside:
        yield _note("lines_outside", lines=_numbers(outside))
    if any(reading.percent and reading.mass for reading, _ in ingredients):
        yield _note("percentages", flour=(ASSUMED_FLOUR_G, "mass"))
    if len(recipes) > 1:
        yield _note("several_recipes", recipes=len(recipes), number=found.asked.recipe_number)


def _numbers(readings: list[Reading]) -> str:
    return ", ".join(str(number) for number in dict.fromkeys(reading.line for reading in readings))


def _show(show: Working, found: Found) -> None:
    for reading, line in found.used:
        show.step(
            f"Line {reading.line}: {line.ingredient.label}",
            show.ending(reading.expression, line.mass_g, "mass"),
            line.mass_g,
            "mass",
        )


RECIPE_IMPORT = Operation(
    name="recipe-import",
    summary="Read a recipe into a formula",
    description="Reads a schema.org Recipe (JSON-LD) or plain ingredient lines, metric or US, in English "
    "and with common words of German and Japanese. Every line comes back with what it was read "
    "as, how sure that is and why. What was not read is not guessed: it is listed and left out.",
    request=schema.RecipeImportRequest,
    read=read,
    compute=compute,
    write=write,
    examples=(
        Example(
            "page",
            "The Lantern Quay tin loaf as its page describes it",
            {
                "recipe": {
                    "@context": "https://schema.org",
                    "@graph": [
                        {"@type": "WebPage", "mainEntity": {"@id": "#loaf"}},
                        {
                            "@id": "#loaf",
                            "@type": "Recipe",
                            "name": "Lantern Quay tin loaf",
                            "recipeYield": "1 loaf",
                            "recipeIngredient": [
                                "For the scald:",
                                "100 g strong white flour",
                                "100 g boiling water",
                                "For the dough:",
                                "400 g strong white flour",
                                "150 g whole milk, lukewarm",
                                "95 g water",
                                "30 g caster sugar",
                                "30 g unsalted butter, softened",
                                "10 g skimmed milk powder",
                                "9 g fine salt",
                                "5 g fast-action dried yeast",
                            ],
                        },
                    ],
                }
            },
        ),
        Example(
            "cups",
            "A Lantern Quay leaflet in cups, with a line that cannot be weighed",
            {
                "cup": "us",
                "flour": "bread_flour",
                "text": "\n".join(
                    (
                        "Water roux:",
                        "3 tbsp flour",
                        "½ cup milk",
                        "",
                        "Dough:",
                        "2 3/4 cups flour, plus more for dusting",
                        "1/2 cup milk",
                        "1 large egg",
                        "2–3 tbsp sugar",
                        "1 1/4 tsp salt",
                        "2 ¼ tsp instant yeast",
                        "3 tbsp butter, softened",
                        "A handful of harbour herbs",
                    )
                ),
            },
        ),
        Example(
            "lines",
            "A card of the night shift with a decimal comma",
            {
                "decimal_comma": "yes",
                "yeast": "compressed",
                "lines": [
                    "0,5 kg Weizenmehl",
                    "300 ml Wasser",
                    "1 EL Zucker",
                    "10 g Salz",
                    "20 g Hefe",
                    "30 g weiche Butter",
                ],
            },
        ),
    ),
)
