"""The notes of recipe-import, and the reasons of its verdict, in words."""

from collections.abc import Iterator, Sequence

from scaldloaf.importing.method.method import BY_METHOD
from scaldloaf.importing.quantities.readings import Reading
from scaldloaf.importing.recipe_lines import ASSUMED_FLOUR_G
from scaldloaf.importing.whole.listed_scald import BY_LIST
from scaldloaf.importing.words.doubt import NOT_READ, SURE, UNSURE
from scaldloaf.importing.words.vocabulary import OUTSIDE
from scaldloaf.operations.notes import Note, NotesOf

TEXTS = {
    "no_flour_read": "No line with flour and its amount was read, so there is no formula.",
    "lines_not_read": (
        "Not read and not in the formula: line {lines}. What they bring is missing there, allergens too."
    ),
    "lines_unsure": "In the formula, but to be checked first: line {lines}.",
    "lines_outside": "Not in the dough, so not in the formula: line {lines}.",
    "percentages": "Baker's percentages were turned into masses: of the flour given by mass, or of {flour}.",
    "section_in_doubt": "It is not sure which part these lines belong to: line {lines}.",
    "scald_from_method": "The headings show no scald; the method puts lines {lines} into it.",
    "scald_may_be_listed": (
        "The same flour is listed twice, a little of it beside its liquid. That may be a scald: line {lines}."
    ),
    "scald_used_in_part": "The recipe uses {used} of the {made} of scald it makes; its lines are scaled.",
    "several_recipes": "The document has {recipes} recipes; this is number {number}.",
}
_note = NotesOf(TEXTS)


def notes_of(
    ingredients: Sequence[tuple[Reading, str]], has_formula: bool, recipes: int, number: int
) -> Iterator[Note]:
    """What there is to know about a recipe that was read.

    Parameters
        ingredients : Sequence[(Reading, level)]
        has_formula : bool
        recipes : int  that the document holds
        number : int  of the one that was read
    Returns
        Iterator[Note]
    """
    outside = [reading for reading, _ in ingredients if reading.part == OUTSIDE]
    unread = [reading for reading, level in ingredients if level == NOT_READ and reading.part != OUTSIDE]
    unsure = [reading for reading, level in ingredients if level == UNSURE and reading.in_formula]
    if not has_formula:
        yield _note("no_flour_read")
    if unread:
        yield _note("lines_not_read", lines=_numbers(unread))
    if unsure:
        yield _note("lines_unsure", lines=_numbers(unsure))
    if outside:
        yield _note("lines_outside", lines=_numbers(outside))
    yield from _section_notes(ingredients)
    if any(reading.percent and reading.mass for reading, _ in ingredients):
        yield _note("percentages", flour=(ASSUMED_FLOUR_G, "mass"))
    if recipes > 1:
        yield _note("several_recipes", recipes=recipes, number=number)


def _section_notes(ingredients: Sequence[tuple[Reading, str]]) -> Iterator[Note]:
    """What is in doubt about the parts of the lines, once for all lines of a kind."""
    by_method = [reading for reading, _ in ingredients if _says(reading, BY_METHOD)]
    by_list = [reading for reading, _ in ingredients if _says(reading, BY_LIST)]
    others = [
        reading
        for reading, _ in ingredients
        if reading.section_sure != SURE and reading not in by_method and reading not in by_list
    ]
    if by_method:
        yield _note("scald_from_method", lines=_numbers(by_method))
    if by_list:
        yield _note("scald_may_be_listed", lines=_numbers(by_list))
    if others:
        yield _note("section_in_doubt", lines=_numbers(others))
    for reading, _ in ingredients:
        if reading.scald_used_g and reading.scald_made_g:
            yield _note(
                "scald_used_in_part", used=(reading.scald_used_g, "mass"), made=(reading.scald_made_g, "mass")
            )
            break


def _says(reading: Reading, code: str) -> bool:
    return any(doubt.code == code for doubt in reading.section_doubts)


def _numbers(readings: list[Reading]) -> str:
    return ", ".join(str(number) for number in dict.fromkeys(reading.line for reading in readings))
