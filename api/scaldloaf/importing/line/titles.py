"""What a heading says with what is in its parentheses and the numbers beside its words."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.sections import Title
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import LIST, OUTSIDE, SPONGE


def title_with_inside(
    title: Title, tokens: Sequence[Token], top: Sequence[Token], words: Sequence[str]
) -> Title:
    """What a heading says with what is in its parentheses and the numbers beside its words.

    Parameters
        title : Title  what its words say
        tokens : Sequence[Token]
        top : Sequence[Token]  those outside parentheses
        words : Sequence[str]  of them
    Returns
        Title
    """
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


def _is_list_for_a_tin(words: Sequence[str], top: Sequence[Token]) -> bool:
    """Whether a heading says what size of tin all is for: ``Ingredientes para un molde de 30 cm``."""
    return any(token.kind == "n" for token in top) and sections.title_of(words[:1]) == (LIST, True)
