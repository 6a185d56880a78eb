"""Headings that say only that more is added: what is below them goes on with the part that is open."""

from collections.abc import Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.readings import Reader
from scaldloaf.importing.words.doubt import LIKELY, UNKNOWN_HEADING, Doubt
from scaldloaf.importing.words.vocabulary import ADD, GOES_ON, MORE, PLAIN, heading_words, is_spaceless

MOST_WORDS = 7
_PHRASES = tuple(f" {phrase} " for phrase in MORE if not is_spaceless(phrase))
_SPACELESS = frozenset(filter(is_spaceless, MORE))
_BESIDE = ADD | GOES_ON | OF


def says_more(words: Sequence[str]) -> bool:
    """Whether a heading says only that more is added: ``Quindi aggiungere``, ``最後に加える``."""
    text = heading_words(" ".join(words))
    if not text or len(words) > MOST_WORDS:
        return False
    if is_spaceless(text):
        return text in _SPACELESS
    left = f" {text} "
    for phrase in _PHRASES:
        left = left.replace(phrase, " ")
    return left != f" {text} " and all(word in _BESIDE or word in PLAIN for word in left.split())


def go_on(name: str, part_words: str, reader: Reader) -> bool:
    """Leave the part open that is so, never for sure; False where a list of the scald may have ended.

    Parameters
        name : str  of the heading
        part_words : str  what the open part is called
        reader : Reader  what the recipe's lines share
    Returns
        bool
    """
    if reader.part == SCALD:
        return False
    doubt = Doubt.of(LIKELY, UNKNOWN_HEADING, heading=name, part=part_words)
    earlier = [each for each in reader.part_doubts if each.code != UNKNOWN_HEADING]
    reader.open(reader.part, *earlier, doubt, section=reader.section, is_known=reader.is_known)
    return True
