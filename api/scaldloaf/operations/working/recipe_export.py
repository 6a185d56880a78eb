"""Notes on what a written recipe cannot say, and on what recipe-import makes of it."""

from collections.abc import Iterator

from scaldloaf.dough.formula import Formula
from scaldloaf.exporting.recipe import Recipe
from scaldloaf.importing.recipe_lines import MOST_LINES
from scaldloaf.operations.notes import Note, NotesOf

MOST_NAMED = 3

TEXTS = {
    "own_ingredients_not_read_back": (
        "A recipe has no room for the composition of your own ingredients ({names}). recipe-import lists "
        "such a line as not read, or reads it as what it knows by that name."
    ),
    "evaporation_not_written": (
        "The scald loses {mass} while it is cooked. The recipe doesn't say so, and recipe-import can't "
        "know it."
    ),
    "lines_left_out": "Lines too small to be printed are left out: {names}.",
    "too_long_to_read_back": (
        "The recipe has {lines} lines, and recipe-import reads {most}. Export it as CSV with fewer lines, or "
        "keep the formula itself."
    ),
    "no_name": "The formula has no name, so the recipe is called {name}. Send `name` to give it one.",
}

_note = NotesOf(TEXTS)


def notes_of(recipe: Recipe, formula: Formula, lines: int) -> Iterator[Note]:
    """What to know of a recipe of a formula; lines: how many recipe-import is to read."""
    if not formula.name.strip():
        yield _note("no_name", name=recipe.name)
    if own := _names(line.of.ingredient.name for line in recipe.all_lines if line.of.ingredient.own):
        yield _note("own_ingredients_not_read_back", names=own)
    if recipe.left_out:
        yield _note("lines_left_out", names=_names(line.ingredient.name for line in recipe.left_out))
    if formula.scald_evaporation_g:
        yield _note("evaporation_not_written", mass=(formula.scald_evaporation_g, "mass"))
    if lines > MOST_LINES:
        yield _note("too_long_to_read_back", lines=lines, most=MOST_LINES)


def _names(names: Iterator[str]) -> str:
    """The first few, each once."""
    found = list(dict.fromkeys(names))
    return ", ".join(found[:MOST_NAMED]) + (", …" if len(found) > MOST_NAMED else "")
