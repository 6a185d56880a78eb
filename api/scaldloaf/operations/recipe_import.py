"""recipe-import: a recipe as it is on a page, read to a formula, each line with how sure it is."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from types import MappingProxyType
from typing import NamedTuple

import orjson

from scaldloaf.dough.formula import LEAST_FLOUR_G, Formula, Line, break_down
from scaldloaf.dough.refusal import Refusal
from scaldloaf.importing.layouts.aligned import side_by_side, without_percentages
from scaldloaf.importing.layouts.bare_rows import with_plain_rows
from scaldloaf.importing.layouts.layout import lines_of_table
from scaldloaf.importing.layouts.recipe import MOST_TEXTS, FoundRecipe, recipes_in
from scaldloaf.importing.layouts.two_lists import in_two_lists
from scaldloaf.importing.quantities.masses import Choices
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.recipe_lines import MOST_LINES, Known, read_lines
from scaldloaf.importing.whole.around_list import name_in
from scaldloaf.importing.whole.said_lines import NOTHING_SAID, SaidLines
from scaldloaf.importing.whole.usable import Concern, reasons, verdict_of
from scaldloaf.importing.words.doubt import LEVELS
from scaldloaf.importing.words.text import clean, printable, split_lines
from scaldloaf.importing.words.vocabulary import heading_words
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.said_lines import said_lines
from scaldloaf.operations.schemas import recipe_import as schema
from scaldloaf.operations.schemas.recipe_import import MOST_HEADING
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.formulas import write_formula
from scaldloaf.operations.working.recipe_import import notes_of
from scaldloaf.operations.working.usable import written_reason
from scaldloaf.reference import INGREDIENTS

INPUTS = ("recipe", "text", "lines")
NO_SECTIONS: Mapping[str, str] = MappingProxyType({})
_YEASTS = {row.yeast: name for name, row in INGREDIENTS.items() if row.yeast}


class Asked(NamedTuple):
    """Lines to read, and what the request says of them.

    steps: of the method, where the document has them. recipes: those of the document, of which number
    recipe_number was chosen. chosen: what a bare name means. decimal: whether a comma is a decimal sign.
    said: of single lines. sections: heading, as ``heading_words`` has it -> part.
    """

    name: str
    lines: Sequence[str]
    steps: Sequence[str]
    recipes: Sequence[FoundRecipe]
    recipe_number: int
    choices: Choices
    chosen: dict[str, str]
    decimal: str
    said: SaidLines = NOTHING_SAID
    sections: Mapping[str, str] = NO_SECTIONS


class Found(NamedTuple):
    """All readings, each with how sure it is; those that are used, with the lines they make; and the formula.

    formula: None without flour. reasons: why it is not usable as it is. name: of the recipe, or "".
    """

    asked: Asked
    readings: list[tuple[Reading, str]]
    used: list[tuple[Reading, Line]]
    formula: Formula | None
    reasons: list[Concern]
    name: str

    @property
    def ingredients(self) -> list[tuple[Reading, str]]:
        """The readings that are ingredients, used or not."""
        return [(reading, level) for reading, level in self.readings if reading.kind == INGREDIENT]


# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    request = schema.RecipeImportRequest.filled(request)
    name, lines, steps, recipes = _source(request)
    return Asked(
        name=name,
        lines=lines,
        steps=steps,
        recipes=recipes,
        recipe_number=request["recipe_number"],
        choices=_choices(request, context),
        chosen=_chosen(request),
        decimal=schema.DECIMAL_COMMA[request["decimal_comma"]],
        said=said_lines(request, len(lines)),
        sections=_sections(request, lines),
    )


def _sections(request: Wire, lines: Sequence[str]) -> dict[str, str]:
    """The parts of headings that the request names. Raises Refusal for a heading that is not there."""
    said: dict[str, str] = {}
    there = [heading_words(clean(line)) for line in lines] if request.get("sections") else []
    for at, section in enumerate(request.get("sections") or []):
        words = heading_words(clean(section["heading"]))
        if not words or not any(words in line for line in there):
            near = get_close_matches(words, there, 1, 0.3)
            raise Refusal(
                f"sections.{at}.heading",
                "no_such_heading",
                "the recipe has no such heading",
                given=section["heading"],
                nearest=printable(lines[there.index(near[0])], MOST_HEADING) if near else None,
            )
        said[words] = section["part"]
    return said


def _source(request: Wire) -> tuple[str, Sequence[str], Sequence[str], list[FoundRecipe]]:
    """Name, lines and steps of the recipe to read, and the recipes it was chosen from.

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
    steps: Sequence[str] = ()
    document = _document(request[field]) if field != "lines" else None
    if field == "recipe" and document is None:
        raise Refusal("recipe", "wrong_type", "an object or a list is expected, or the text of one")
    if document is not None:
        recipes = recipes_in(document)
        chosen = _chosen_recipe(recipes, request["recipe_number"])
        name, lines, steps = chosen.name, chosen.lines(), chosen.steps()
    elif field == "text":
        lines = lines_of_table(request["text"], MOST_LINES) or with_plain_rows(
            in_two_lists(side_by_side(without_percentages(split_lines(request["text"]))))
        )
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
    return name, lines, steps, recipes


def _document(given: object) -> object:
    """Structured data as given, or as the text of it; None for any other text."""
    if not isinstance(given, str):
        return given
    text = given.strip()
    if not text.startswith(("{", "[")):
        return None
    try:
        document = orjson.loads(text)
    except orjson.JSONDecodeError:
        return None
    return document if isinstance(document, dict | list) and document else None


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
    return Choices(
        request.get("cup"),
        request.get("egg_size"),
        egg,
        alone,
        starter_hydration=request.get("starter_hydration_percent"),
    )


def _chosen(request: Wire) -> dict[str, str]:
    chosen: dict[str, str] = {field: request[field] for field in ("flour", "milk") if field in request}
    if "yeast" in request:
        chosen["yeast"] = _YEASTS[request["yeast"]]
    return chosen


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    readings = read_lines(
        asked.lines,
        asked.choices,
        asked.chosen,
        asked.decimal,
        Known(asked.name, asked.steps, asked.sections, asked.said),
    )
    name = asked.name or name_in(readings)
    used = list(_used(readings))
    flour_g = sum(line.mass_g for _, line in used if line.ingredient.is_flour)
    formula = None
    if flour_g >= LEAST_FLOUR_G:
        formula = Formula(tuple(line for _, line in used), 0.0, name)
    found = [(reading, reading.sure) for reading in readings]
    why = reasons(formula, break_down(formula) if formula else None, readings)
    return Found(asked, found, used, formula, why, name)


def _used(readings: list[Reading]) -> Iterator[tuple[Reading, Line]]:
    for reading in readings:
        if reading.in_formula and reading.ingredient is not None and reading.mass is not None:
            yield reading, Line(reading.ingredient, reading.mass.best, reading.part)


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    formula = found.formula
    show = Working(context.units)
    counts = Counter(level for _, level in found.ingredients)
    return context.reply(
        {
            "formula": formula and write_formula(formula, context),
            "name": found.name,
            "recipes": [recipe.name for recipe in found.asked.recipes],
            "lines": [
                _write(reading, level, context, formula is not None) for reading, level in found.readings
            ],
            "counts": {level: counts[level] for level in LEVELS},
            "usable": {
                "verdict": verdict_of(found.reasons),
                "reasons": [written_reason(reason, show) for reason in found.reasons],
            },
        },
        lambda show: _show(show, found),
        basis=("mass_balance", *(source for reading, _ in found.used for source in reading.sources)),
        cautions=cautions.of_formula(formula) if formula else (),
        notes=notes_of(
            found.ingredients, formula is not None, len(found.asked.recipes), found.asked.recipe_number
        ),
    )


def _write(reading: Reading, level: str, context: Context, has_formula: bool) -> Wire:
    return {
        "line": reading.line,
        "text": reading.text,
        "kind": reading.kind,
        "read_as": reading.read_as,
        "part": reading.part,
        "section": reading.section,
        "section_sure": reading.section_sure,
        "ingredient": reading.ingredient.name if reading.ingredient else None,
        "mass": context.estimate(reading.mass, "mass") if reading.mass else None,
        "sure": level,
        "why": printable(reading.why, 1000),
        "doubts": [
            {"code": doubt.code, "level": doubt.level, "values": dict(doubt.values)}
            for doubt in dict.fromkeys((*reading.doubts, *reading.section_doubts))
        ],
        "alternatives": list(reading.alternatives),
        "in_formula": has_formula and reading.in_formula,
    }


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
    description="Reads a schema.org Recipe (JSON-LD) or plain ingredient lines, metric or US, in "
    "English, German, French, Spanish, Italian, Japanese and Chinese (both scripts). For "
    "every line the reply says what it was read as, how sure that is and why. What cannot "
    "be read is not guessed: it is listed and left out.",
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
        Example(
            "lines_said",
            "A list that goes on with a crust: one line of it is kneaded in, the last butter is not",
            {
                "dough_lines": [8],
                "aside_lines": [7],
                "lines": [
                    "400 g bread flour",
                    "250 g whole milk",
                    "40 g sugar",
                    "7 g salt",
                    "5 g instant yeast",
                    "40 g butter",
                    "50 g butter",
                    "60 g brown sugar",
                    "50 g bread flour",
                ],
            },
        ),
    ),
)
