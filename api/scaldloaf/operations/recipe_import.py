"""recipe-import: a recipe as it stands on a page, read to a formula, each line with how sure it is."""

from collections import Counter
from collections.abc import Sequence

from scaldloaf.dough.formula import LEAST_FLOUR_G, Formula, Line
from scaldloaf.dough.refusal import Refusal
from scaldloaf.importing.doubt import LEVELS, NOT_READ, UNSURE
from scaldloaf.importing.masses import Choices
from scaldloaf.importing.readings import INGREDIENT, KINDS, Reading
from scaldloaf.importing.recipe import MOST_RECIPES, MOST_TEXTS, FoundRecipe, recipes_in
from scaldloaf.importing.recipe_lines import MOST_LINES, read_lines
from scaldloaf.importing.sections import OUTSIDE
from scaldloaf.importing.text import printable, split_lines
from scaldloaf.importing.vocabulary import PARTS
from scaldloaf.operations import schema
from scaldloaf.operations.formulas import formula_cautions, write_formula
from scaldloaf.operations.operation import Call, Example, Operation, Working
from scaldloaf.reference import INGREDIENTS, YEAST_KINDS

MOST_TEXT = 65_536
INPUTS = ("recipe", "text", "lines")
MILKS = ("whole_milk", "semi_skimmed_milk", "skim_milk")
FLOURS = tuple(name for name, row in INGREDIENTS.items() if row.is_flour)
EGG_SIZES = ("small", "medium", "large", "extra_large")
_YEASTS = {row.yeast: name for name, row in INGREDIENTS.items() if row.yeast}
WORDS = {"sure": "read for sure", "likely": "likely read right", "unsure": "read, but to be checked",
         "not_read": "not read"}
_DECIMAL = {"auto": "auto", "yes": "comma", "no": "point"}

REQUEST = schema.request(
    "A recipe: exactly one of `recipe`, `text` and `lines`; and what settles what recipes leave open.", {}, {
        "recipe": {
            "type": ["object", "array"],
            "items": {},        # a list of anything: makers of clients ask what is in it
            "description": "A Recipe of schema.org in JSON-LD, as it stands on the page: alone, in a list, in a "
                           "`@graph`, or nested. Nothing is fetched, `@context` is not read."},
        "text": {"type": "string", "minLength": 1, "maxLength": MOST_TEXT,
                 "description": f"Ingredients as plain text, one a line, at most {MOST_LINES} lines."},
        "lines": schema.array({"type": "string", "maxLength": MOST_TEXT}, "Ingredients, one a line.",
                              1, MOST_LINES),
        "recipe_number": schema.integer(
            "Which recipe to read of a document that holds several, from 1.", 1, MOST_RECIPES, default=1),
        "decimal_comma": schema.choice(
            "Whether 1,5 is one and a half and 1,000 is one. `auto` goes by the recipe's own unmistakable numbers "
            "and says where it was not sure.", *_DECIMAL, default="auto"),
        "cup": schema.choice(
            "Cups, spoons, fluid ounces and pints: of the US (cup of 236.6 ml), or metric and imperial (cup of "
            "250 ml). Left out: of the US, with an interval that holds both.", "us", "metric"),
        "flour": schema.choice("What plain `flour` is. Left out: plain_flour, and the line says so.", *FLOURS),
        "yeast": schema.choice("What plain `yeast` is. Left out: instant, and the line says so.", *YEAST_KINDS),
        "milk": schema.choice("What plain `milk` is. Left out: whole_milk, and the line says so.", *MILKS),
        "egg_size": schema.choice("Size of eggs that have none. Left out: large, with a wider interval.",
                                  *EGG_SIZES),
        "egg_mass": schema.mass("Your own egg without its shell, for eggs that have no size.",
                                0.001, maximum=1000.0),
        "number_alone": schema.choice("What a number without a unit is: not read, or a mass in `units.mass`.",
                                      "not_read", "mass", default="not_read"),
    })

_LINE = schema.result("One ingredient, heading or mention, as read.", {
    "line": schema.integer("Number of its line, from 1; a line of several ingredients comes several times.",
                           1, MOST_TEXT),
    "text": {"type": "string", "description": "The line as it came; its beginning when it is very long."},
    "kind": schema.choice("An ingredient, a heading, or a mention of the scald made elsewhere.", *KINDS),
    "read_as": {"type": "string", "description": "What it was read as, in words; empty when nothing was."},
    "part": schema.choice("Where it goes; `aside` is not in the dough: dusting, glaze, filling.", *PARTS),
    "ingredient": {"type": ["string", "null"], "description": "Catalogue name; null when none was read."},
    "mass": {"anyOf": [schema.component("Estimate"), {"type": "null"}],
             "description": "Mass, with all that a cup, a range or an egg leaves open; null when none was read. "
                            "In `units.mass`."},
    "sure": schema.choice("How sure the reading is; how well the mass is known is in its interval.", *LEVELS),
    "why": {"type": "string", "description": "Why it is not surer; empty when it is sure."},
    "alternatives": schema.array({"type": "string"}, "Other ingredients it could be, the likeliest first."),
    "in_formula": schema.flag("Whether it is in the formula."),
})

REPLY = schema.reply("The recipe as a formula, and how each line was read.", {
    "formula": {"anyOf": [schema.component("FullFormula"), {"type": "null"}],
                "description": "The lines that were read; null when no flour was among them."},
    "name": {"type": "string", "description": "The recipe's name; empty when it has none."},
    "recipes": schema.array({"type": "string"}, "Names of the recipes the document holds, in the order "
                                                "recipe_number counts; empty for text and lines."),
    "lines": schema.array(_LINE, "Every line that is not blank, in order."),
    "counts": schema.result("How many of the ingredients were read how.", {
        level: {"type": "integer", "description": f"Ingredients {WORDS[level]}."} for level in LEVELS}),
})


def run(request: dict, call: Call) -> dict:
    name, lines, recipes = _source(request)
    readings = read_lines(lines, _choices(request, call), _chosen(request),
                          _DECIMAL[request.get("decimal_comma", "auto")])
    levels = [reading.sure for reading in readings]
    used = [reading for reading in readings if reading.in_formula]
    formula = _formula(used, name)
    ingredients = [reading for reading in readings if reading.kind == INGREDIENT]
    counts = Counter(level for reading, level in zip(readings, levels) if reading.kind == INGREDIENT)

    def working(show: Working) -> None:
        for reading in used:
            unit = show.units.name("mass")
            shown = reading.expression if unit == "g" else f"{reading.expression}, in {unit}"
            show.step(f"Line {reading.line}: {reading.ingredient.label}", shown, reading.mass.best, "mass")

    return call.reply(
        {
            "formula": write_formula(formula, call) if formula else None,
            "name": name,
            "recipes": [recipe.name for recipe in recipes],
            "lines": [_write(reading, level, call, formula is not None) for reading, level in zip(readings, levels)],
            "counts": {level: counts[level] for level in LEVELS},
        },
        working,
        basis=("mass_balance", *(source for reading in used for source in reading.sources)),
        cautions=formula_cautions(formula) if formula else (),
        notes=_notes(ingredients, formula, recipes, request))


def _source(request: dict) -> tuple[str, Sequence[str], list[FoundRecipe]]:
    """Name and lines of the recipe to read, and the recipes it was chosen from.

    Raises Refusal for no input, several, one without lines or with too many.
    """
    given = [field for field in INPUTS if field in request]
    if len(given) != 1:
        raise Refusal(given[1] if given else "recipe", "one_input",
                      "a recipe comes in exactly one of recipe, text and lines; "
                      + (f"here are {' and '.join(given)}" if given else "here is none"))
    field, name, recipes = given[0], "", []
    if field == "recipe":
        recipes = recipes_in(request["recipe"])
        chosen = _chosen_recipe(recipes, request.get("recipe_number", 1))
        name, lines = chosen.name, chosen.lines()
    elif field == "text":
        lines = split_lines(request["text"])
    else:
        lines = [" ".join(split_lines(line)) for line in request["lines"]]
    filled = sum(bool(line) and not line.isspace() for line in lines)
    if filled > MOST_LINES or recipes and len(lines) == MOST_TEXTS:
        raise Refusal(field, "too_many_lines", f"more than {MOST_LINES} lines: send the ingredients only",
                      given=f"{filled} lines", nearest=f"{MOST_LINES} lines")
    if not filled:
        raise Refusal(field, "no_lines", "there is no line in it to be read as an ingredient")
    return name, lines, recipes


def _chosen_recipe(recipes: list[FoundRecipe], number: int) -> FoundRecipe:
    if not recipes:
        raise Refusal("recipe", "no_recipe", "no Recipe of schema.org with ingredients is in it")
    if number > len(recipes):
        raise Refusal("recipe_number", "no_such_recipe", f"the document holds only {len(recipes)}",
                      given=number, nearest=len(recipes))
    return recipes[number - 1]


def _choices(request: dict, call: Call) -> Choices:
    alone = call.units.inward(1.0, "mass") if request.get("number_alone") == "mass" else None
    egg = call.units.inward(request["egg_mass"], "mass") if "egg_mass" in request else None
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
    return Formula(tuple(Line(reading.ingredient, reading.mass.best, reading.part) for reading in used), 0.0,
                   name)


def _write(reading: Reading, level: str, call: Call, has_formula: bool) -> dict:
    return {
        "line": reading.line, "text": reading.text, "kind": reading.kind, "read_as": reading.read_as,
        "part": reading.part, "ingredient": reading.ingredient.name if reading.ingredient else None,
        "mass": call.estimate(reading.mass, "mass") if reading.mass else None,
        "sure": level, "why": printable(reading.why, 1000), "alternatives": list(reading.alternatives),
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
        yield "several_recipes", (f"The document holds {len(recipes)} recipes; this is number "
                                  f"{request.get('recipe_number', 1)}.")


RECIPE_IMPORT = Operation(
    name="recipe-import",
    summary="A recipe page or ingredient lines read to a formula",
    description="Reads a schema.org Recipe (JSON-LD) or plain ingredient lines, metric or US, in English and with "
                "common words of German and Japanese. Every line comes back with what it was read as, how sure that "
                "is and why. What was not read is not guessed: it is listed and left out.",
    request=REQUEST,
    reply=REPLY,
    run=run,
    examples=(
        Example("page", "The Lantern Quay tin loaf as its page describes it", {"recipe": {
            "@context": "https://schema.org",
            "@graph": [
                {"@type": "WebPage", "mainEntity": {"@id": "#loaf"}},
                {"@id": "#loaf", "@type": "Recipe", "name": "Lantern Quay tin loaf", "recipeYield": "1 loaf",
                 "recipeIngredient": [
                     "For the scald:", "100 g strong white flour", "100 g boiling water", "For the dough:",
                     "400 g strong white flour", "150 g whole milk, lukewarm", "95 g water",
                     "30 g caster sugar",
                     "30 g unsalted butter, softened", "10 g skimmed milk powder", "9 g fine salt",
                     "5 g fast-action dried yeast"]}]}}),
        Example("cups", "A Lantern Quay leaflet in cups, with a line nobody can weigh", {
            "cup": "us", "flour": "bread_flour", "text": "\n".join((
                "Water roux:", "3 tbsp flour", "½ cup milk", "", "Dough:", "2 3/4 cups flour, plus more for dusting",
                "1/2 cup milk", "1 large egg", "2–3 tbsp sugar", "1 1/4 tsp salt", "2 ¼ tsp instant yeast",
                "3 tbsp butter, softened", "A handful of harbour herbs"))}),
        Example("lines", "A card of the night shift with a decimal comma", {
            "decimal_comma": "yes", "yeast": "compressed", "lines": [
                "0,5 kg Weizenmehl", "300 ml Wasser", "1 EL Zucker", "10 g Salz", "20 g Hefe",
                "30 g weiche Butter"]}),
    ),
)
