"""The request of recipe-import: a recipe, and what settles what recipes leave open."""

from typing import Any

from scaldloaf.importing.layouts.recipe import MOST_RECIPES, MOST_TEXTS
from scaldloaf.importing.line.starters import LEAST_HYDRATION, MOST_HYDRATION
from scaldloaf.importing.recipe_lines import MOST_LINES
from scaldloaf.importing.words.vocabulary import PARTS, Sizes
from scaldloaf.operations.schemas.common import Request
from scaldloaf.operations.schemas.fields import (
    AnyObject,
    AnyText,
    Choice,
    Component,
    Integer,
    Mass,
    Percent,
    Schema,
    WireField,
    described,
)
from scaldloaf.operations.schemas.objects import Closed, Items, Object
from scaldloaf.reference import INGREDIENTS, YEAST_KINDS

MOST_TEXT = 65_536
MOST_HEADING, MOST_SECTIONS = 300, 50
MILKS = ("whole_milk", "semi_skimmed_milk", "skim_milk")
FLOURS = tuple(name for name, row in INGREDIENTS.items() if row.is_flour)
DECIMAL_COMMA = {"auto": "auto", "yes": "comma", "no": "point"}  # in the words of importing
EGG_SIZES = ("small", "medium", "large", "extra_large")


class RecipeImportRecipe(Component, AnyObject):
    """A Recipe of schema.org in JSON-LD, as it is on the page: alone, in a list, in a `@graph`, or nested.
    Its method is read only for what goes into the scald. Nothing is fetched, `@context` is not read."""


class RecipeOrList(WireField):
    """A recipe, a list of anything, or JSON-LD as text: makers of clients ask what is in it."""

    expects = "an object or a list, or the text of one"

    def keywords(self) -> Schema:
        return {
            "anyOf": [
                {"$ref": RecipeImportRecipe},
                {"type": "array", "items": {}},
                {"type": "string"},
            ]
        }

    def is_one(self, value: Any) -> bool:
        return isinstance(value, dict | list | str)


class SectionPart(Closed):
    """A heading of the recipe, and the part that the lines under it belong to."""

    heading = AnyText(
        "As in the recipe. Punctuation, capitals and accents do not matter.",
        MOST_HEADING,
        1,
        required=True,
    )
    part = Choice("Where its lines go; `aside` is not in the dough.", *PARTS, required=True)


class RecipeImportRequest(Request):
    """A recipe (exactly one of `recipe`, `text` and `lines`), and answers to what recipes leave open."""

    recipe = RecipeOrList(described(RecipeImportRecipe))
    text = AnyText(
        f"Ingredients as plain text, one a line, at most {MOST_LINES} lines, then the method; or JSON-LD; or "
        "CSV whose first row names a column of ingredients and one of amounts, perhaps one of parts.",
        MOST_TEXT,
        1,
    )
    lines = Items(AnyText(max_length=MOST_TEXT), "Ingredients, one per line.", 1, MOST_LINES)
    recipe_number = Integer(
        "Which recipe to read if the document has several, from 1.", 1, MOST_RECIPES, load_default=1
    )
    scald_lines = Items(
        Integer("Number of a line, from 1.", 1, MOST_TEXTS),
        "The lines of the scald, by the numbers that the reply gives them; all others are not, and an empty "
        "list says that there is no scald. Default: as the headings, the lines and the method say.",
        0,
        MOST_LINES,
    )
    dough_lines = Items(
        Integer("Number of a line, from 1.", 1, MOST_TEXTS),
        "Lines of the main dough, by the same numbers. All ingredients of the line are then in it, whatever "
        "heading, words and method say, and no doubt about that is left. All other lines stay as they are "
        "read. A line without an amount gets none: it is not in the formula. A heading, a step and a blank "
        "line stay what they are. A line may be in one of `scald_lines`, `dough_lines` and `aside_lines` "
        "only; they outrank `sections`.",
        0,
        MOST_LINES,
    )
    aside_lines = Items(
        Integer("Number of a line, from 1.", 1, MOST_TEXTS),
        "Lines that are neither in the dough nor in the scald, such as a wash, a crust or a filling: as "
        "`dough_lines`, the other way round.",
        0,
        MOST_LINES,
    )
    sections = Items(
        Object(SectionPart),
        "Which part each heading means. Default: as the service knows it.",
        0,
        MOST_SECTIONS,
    )
    decimal_comma = Choice(
        "Whether 1,5 is one and a half and 1,000 is one. `auto` follows the recipe's own "
        "unmistakable numbers and says where it was not sure.",
        *DECIMAL_COMMA,
        load_default="auto",
    )
    cup = Choice(
        "Cups and spoons: of the US (cup of 236.6 ml), metric (cup of 250 ml), Australian (the same, but a "
        "tablespoon of 20 ml) or Japanese (cup of 200 ml). Fluid ounces and pints: of the US, else imperial. "
        "Default: of the US, with an interval that holds the metric ones too.",
        *Sizes._fields,
    )
    flour = Choice("What plain `flour` is. Default: plain_flour, and the line says so.", *FLOURS)
    yeast = Choice("What plain `yeast` is. Default: instant, and the line says so.", *YEAST_KINDS)
    milk = Choice("What plain `milk` is. Default: whole_milk, and the line says so.", *MILKS)
    egg_size = Choice(
        "Size of eggs whose size is not stated. Default: large, with a wider interval.", *EGG_SIZES
    )
    egg_mass = Mass("Weight of one egg without shell, for eggs whose size is not stated.", 0.001, 1000.0)
    starter_hydration_percent = Percent(
        "Water of sourdough starters whose line does not say it, percent of their flour. Default: 50 for a "
        "stiff one or lievito madre, else 100, and the line says so. Common practice, no source.",
        LEAST_HYDRATION,
        MOST_HYDRATION,
    )
    number_alone = Choice(
        "What a number without a unit is: a mass in `units.mass`, or not read, except in a list whose other "
        "amounts show that it is in grams; the line says so.",
        "not_read",
        "mass",
        load_default="not_read",
    )
