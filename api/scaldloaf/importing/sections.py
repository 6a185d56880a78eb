"""Headings and the parts that they open: the scald, the dough, and what stays outside the dough."""

from collections.abc import Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.text import Token
from scaldloaf.importing.vocabulary import ASIDE, PARTS, SECTION_LEADS, SECTIONS, VAGUE, is_spaceless

_MOST_HEADING_WORDS = 8
_HEADINGS = {phrase: part for part in PARTS for phrase in SECTIONS[part]}


class Phrases:
    """Some phrases, to be found in words joined and framed by spaces: whole words, where words are spaced."""

    def __init__(self, phrases: Sequence[str]):
        self._phrases = [
            phrase if is_spaceless(phrase) else f" {phrase} " for phrase in sorted(phrases, key=is_spaceless)
        ]

    def found_in(self, text: str) -> str | None:
        """The first of the phrases in a text, as the vocabulary spells it."""
        found = next(filter(text.__contains__, self._phrases), None)
        return found and found.strip()


SCALD_WORDS, ASIDE_WORDS, VAGUE_WORDS = Phrases(SECTIONS[SCALD]), Phrases(ASIDE), Phrases(VAGUE)


def part_named(tokens: Sequence[Token]) -> tuple[str | None, bool]:
    """The part that some words name, and whether they say nothing else (``for the tangzhong``)."""
    words = [token.text for token in tokens if token.kind == "w"]
    if not 0 < len(words) <= _MOST_HEADING_WORDS:
        return None, False
    text = " ".join(words)
    for lead in SECTION_LEADS:
        if text.startswith(f"{lead} "):
            text = text[len(lead) + 1 :]
            break
    if text in _HEADINGS:
        return _HEADINGS[text], True
    joined = text.replace(" ", "")
    if is_spaceless(joined) and joined in _HEADINGS:
        return _HEADINGS[joined], True
    found = SCALD_WORDS.found_in(f" {text} ")
    return (SCALD, is_spaceless(joined)) if found else (None, False)


def colon_at(tokens: Sequence[Token]) -> int | None:
    """The place of the first colon."""
    for at, token in enumerate(tokens):
        if token.text == ":":
            return at
    return None
