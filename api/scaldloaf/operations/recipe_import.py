"""recipe-import: a recipe as it stands on a page, read to a formula, each line with how sure it is."""

from collections import Counter
from collections.abc import Sequence

from scaldloaf.dough.formula import LEAST_FLOUR_G, Formula, Line
from scaldloaf.dough.refusal import Refusal
from scaldloaf.importing.doubt import LEVELS, NOT_READ, UNSURE
from scaldloaf.importing.masses import Choices
from scaldloaf.importing.readings import INGREDIENT, Reading
from scaldloaf.importing.recipe import MOST_TEXTS, FoundRecipe, recipes_in
from scaldloaf.importing.recipe_lines import MOST_LINES, read_lines
from scaldloaf.importing.vocabulary import OUTSIDE
from scaldloaf.importing.text import printable, split_lines
from scaldloaf.operations.context import Context
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import recipe_import as schema
from scaldloaf.operations.wire.formulas import formula_cautions, write_formula
from scaldloaf.operations.working.steps import Working
from scaldloaf.reference import INGREDIENTS

INPUTS = ("recipe", "text", "lines")
_YEASTS = {row.yeast: name for name, row in INGREDIENTS.items() if row.yeast}
WORDS = {
    "sure": "read for sure",
    "likely": "likely read right",
    "unsure": "read, but to be checked",
    "not_read": "not read",
}


def run(request: dict, context: Context) -> dict:
    request = schema.RecipeImportRequest.filled(request)
    name, lines, recipes = _source(request)
    readings = read_lines(
        lines, _choices(request, context), _chosen(request), schema.DECIMAL_COMMA[request["decimal_comma"]]
    )
    levels = [reading.sure for reading in readings]
    used = [reading for reading in readings if reading.in_formula]
    formula = _formula(used, name)
    ingredients = [reading for reading in readings if reading.kind == INGREDIENT]
    counts = Counter(
        level for reading, level in zip(readings, levels, strict=True) if reading.kind == INGREDIENT
    )

    def working(show: Working) -> None:
        for reading in used:
            show.step(
                f"Line {reading.line}: {reading.ingredient.label}",
                show.ending(reading.expression, reading.mass.best, "mass"),
                reading.mass.best,
                "mass",
            )

    return context.reply(
        {
            "formula": write_formula(formula, context) if formula else None,
            "name": name,
            "recipes": [recipe.name for recipe in recipes],
            "lines": [
                _write(reading, level, context, formula is not None)
                for reading, level in zip(readings, levels, strict=True)
            ],
            "counts": {level: counts[level] for level in LEVELS},
        },
        working,
        basis=("mass_balance", *(source for reading in used for source in reading.sources)),
        cautions=formula_cautions(formula) if formula else (),
        notes=_notes(ingredients, formula, recipes, request),
    )


def _source(request: dict) -> tuple[str, Sequence[str], list[FoundRecipe]]:
    """Name and lines of the recipe to read, and the recipes it was chosen from.

    Raises Refusal for no input, several, one without lines or with too many.
    """
    given = [field for field in INPUTS if field in request]
    if len(given) != 1:
        raise Refusal(
            given[1] if given else "recipe",
            "one_input",
            "a recipe comes in exactly one of recipe, text and lines; "
            + (f"here are {' and '.join(given)}" if given else "here is none"),
        )
    field, name, recipes = given[0], "", []
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
            f"more than {MOST_LINES} lines: send the ingredients only",
            given=f"{filled} lines",
            nearest=f"{MOST_LINES} lines",
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
            f"the document holds only {len(recipes)}",
            given=number,
            nearest=len(recipes),
        )
    return recipes[number - 1]


def _choices(request: dict, context: Context) -> Choices:
    alone = context.units.from_wire(1.0, "mass") if request["number_alone"] == "mass" else None
    egg = context.units.from_wire(request["egg_mass"], "mass") if "egg_mass" in request else None
    return Choices(request.get("cup"), request.get("egg_size"), egg, alone)


def _chosen(request: dict) -> dict[str, str]:
    chosen = {field: request[field] for field in ("flour", "milk") if field in request}
    if "yeast" in request:
        chosen["yeast"] = _YEASTS[request["yeast"]]
    return chosen


def _formula(used: list[Reading], name: str) -> Formula | None:
    """The lines that were read; None when they hold no flour."""
    if sum(reading.mass.best for reading in used if reading.ingredient.is_flour) < LEAST_FLOUR_G:
        return None
    return Formula(
        tuple(Line(reading.ingredient, reading.mass.best, reading.part) for reading in used), 0.0, name
    )


def _write(reading: Reading, level: str, context: Context, has_formula: bool) -> dict:
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


def _numbers(readings: list[Reading]) -> str:
    return ", ".join(str(number) for number in dict.fromkeys(reading.line for reading in readings))


def _notes(ingredients: list[Reading], formula: Formula | None, recipes: list[FoundRecipe], request: dict):
    outside = [reading for reading in ingredients if reading.part == OUTSIDE]
    unread = [reading for reading in ingredients if reading.sure == NOT_READ and reading.part != OUTSIDE]
    unsure = [reading for reading in ingredients if reading.sure == UNSURE and reading.in_formula]
    if formula is None:
        yield "no_flour_read", "No line with flour and its amount was read, so there is no formula."
    if unread:
        text = f"Not read and not in the formula: line {_numbers(unread)}. What they bring is missing there"
        yield "lines_not_read", f"{text}, allergens too."
    if unsure:
        yield "lines_unsure", f"In the formula, but to be checked first: line {_numbers(unsure)}."
    if outside:
        yield "lines_outside", f"Not in the dough, so not in the formula: line {_numbers(outside)}."
    if any(reading.percent and reading.mass for reading in ingredients):
        text = "Baker's percentages were turned into masses: of the flour given by mass, or of 100 g."
        yield "percentages", text
    if len(recipes) > 1:
        yield (
            "several_recipes",
            (f"The document holds {len(recipes)} recipes; this is number {request['recipe_number']}."),
        )


RECIPE_IMPORT = Operation(
    name="recipe-import",
    summary="A recipe page or ingredient lines read to a formula",
    description="Reads a schema.org Recipe (JSON-LD) or plain ingredient lines, metric or US, in English and with "
    "common words of German and Japanese. Every line comes back with what it was read as, how sure that "
    "is and why. What was not read is not guessed: it is listed and left out.",
    request=schema.RecipeImportRequest,
    run=run,
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
            "A Lantern Quay leaflet in cups, with a line nobody can weigh",
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
