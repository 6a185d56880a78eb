"""What a heading says with what is in its parentheses and the numbers beside its words."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.measures import Measure, read_items
from scaldloaf.importing.quantities.readings import INGREDIENT, Reader, Reading
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.sections import Title
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import (
    LIST,
    MASS,
    METHOD,
    OUTSIDE,
    SPONGE,
    USED,
    name_words,
    names_dough,
    plain_word,
)

MOST_OF_METHOD = 9  # words of a heading that begins as that of the method


def title_with_inside(
    title: Title, tokens: Sequence[Token], top: Sequence[Token], words: Sequence[str], reader: Reader
) -> Title:
    """What a heading says with what is in its parentheses and the numbers beside its words.

    Parameters
        title : Title  what its words say
        tokens : Sequence[Token]
        top : Sequence[Token]  those outside parentheses
        words : Sequence[str]  of them
        reader : Reader  what was read above, and what is below
    Returns
        Title
    """
    if title.part == SCALD and reader.next_is_list and not reader.has_listed and _names_bread_inside(tokens):
        return Title(DOUGH, True)  # Tangzhong (Japanese milk bread), and below it: Ingredients
    if title.part in (SPONGE, LIST, OUTSIDE, None) and _part_inside(tokens, (SCALD,)):
        return Title(SCALD, True)
    if title.part == LIST and (part := _part_inside(tokens, (DOUGH, SPONGE, OUTSIDE))):
        return Title(part, True)
    if title == (OUTSIDE, False) and _is_list_for_a_tin(words, top):
        return Title(LIST, True)
    return title


def _part_inside(tokens: Sequence[Token], parts: Sequence[str]) -> str | None:
    """The one of some parts that parentheses name: ``Vorteig (Tangzhong)``, ``材料D（内馅）``.

    What is counted there is no filling and no tin to grease: ``Ingredients (1 tin)``.
    """
    for token in tokens:
        if token.kind != "g":
            continue
        title = sections.title_of(sections.words_of_title(token.inside))
        is_counted = title.part == OUTSIDE and any(inside.kind == "n" for inside in token.inside)
        if title.exact and title.part in parts and not is_counted:
            return title.part
    return None


def _names_bread_inside(tokens: Sequence[Token]) -> bool:
    """Whether parentheses name the bread that all is for, and not its dough: ``(pan de leche)``."""
    if _part_inside(tokens, (DOUGH,)) is None:
        return False
    inside = [each.text for token in tokens if token.kind == "g" for each in token.inside]
    return not names_dough(" ".join(inside))


def _is_list_for_a_tin(words: Sequence[str], top: Sequence[Token]) -> bool:
    """Whether a heading says what size of tin all is for: ``Ingredientes para un molde de 30 cm``."""
    return any(token.kind == "n" for token in top) and sections.title_of(words[:1]) == (LIST, True)


def used_grams(groups: Sequence[Token], reader: Reader) -> float | None:
    """How many grams of a scald are used, where its heading says so: ``(makes 250 g, use 184 g)``."""
    for group in groups:
        words = {plain_word(token.text) for token in group.inside if token.kind == "w"}
        if words.isdisjoint(USED):
            continue
        masses = [
            item.quantity.best * item.unit.grams
            for item in read_items(group.inside, reader.marks, [])
            if isinstance(item, Measure) and item.kind == MASS
        ]
        if masses:
            return min(masses)
    return None


def begins_the_method(words: Sequence[str], reader: Reader) -> bool:
    """Whether a line behind the last list begins as the heading of the method and goes on: what it is of.

    ``Il procedimento per i panini``, ``Cómo preparar la masa``.
    """
    if not reader.has_listed or reader.next_is_listed or reader.list_is_ahead or len(words) > MOST_OF_METHOD:
        return False
    return any(sections.title_of(words[:end]) == (METHOD, True) for end in range(1, len(words)))


def of_one_heading(readings: list[Reading], plain: str) -> list[Reading]:
    """The readings of a line that its heading sets aside, with what is behind its semicolons.

    ``表面：蛋液 10g；杏仁片 5g``.
    """
    if ";" not in plain or len(readings) < 2 or readings[0].part != OUTSIDE:
        return readings
    heading = readings[0].section
    if not heading or any(each.kind != INGREDIENT or not _is_behind(each, heading) for each in readings[1:]):
        return readings
    return [each._replace(part=OUTSIDE, section=heading, section_doubts=()) for each in readings]


def _is_behind(reading: Reading, heading: str) -> bool:
    """Whether only the place of a reading on its line tells whether a heading is its own."""
    return any(
        doubt.code == "not_of_heading" and dict(doubt.values)["heading"] == heading
        for doubt in reading.section_doubts
    )


def has_its_amount(tokens: Sequence[Token], end: int) -> bool:
    """Whether what may be a heading is a thing with its amount right behind it: ``蛋液 30g、鮮奶 60g``."""
    words = name_words(" ".join(token.text for token in tokens[:end]))
    return end < len(tokens) and tokens[end].kind == "n" and ENGLISH.read_as.get(words) is not None
