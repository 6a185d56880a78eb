"""Where a line holds several sentences: a list, and what the method says of it."""

import re
from collections.abc import Sequence

from scaldloaf.importing.method.steps import has_step_word
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.readings import Reader
from scaldloaf.importing.words.said_units import WEIGHED
from scaldloaf.importing.words.vocabulary import REMARK, STEPS, plain_word

LEAST_WORDS = 4  # of a sentence behind a list
LEAST_AMOUNTS = 2  # of a list
MOST_NAME_WORDS = 3
AMOUNTS = re.compile(rf"\d\s?(?:{WEIGHED}|tazas?|cuchar\w+|cucchia\w+|cuill\w+|cups?|tbsp|tsp|EL|TL)\b")
_COUNTED = re.compile(r"\d\s?([^\W\d_]+)")
_WORDS = re.compile(r"[^\W\d_]+")
_FULL_STOP = re.compile(r"(?<=[^\W\d_]{3}[.!])\s+(?=[A-ZÀ-Ý][a-zß-ÿ]*[\s:,])")
_SENTENCES = re.compile(r"(?<=[。;；])\s*(?=\S)")
_STEP_ENDS = re.compile(r"(?<=[^\W\d_]{3}[.])\s+(?=[A-ZÀ-Ý])")  # of a line that begins with a step
_ENDS = re.compile(r"(?<=[。;；])\s*(?=\S)|(?<=[^\W\d_]{5}[.])\s+(?=\d)")  # of steps that list their amounts

_SEVERAL = re.compile(
    r"[,、;；](?!\d)\s*|(?<=[^\W\d]{2})[.]\s+(?=[A-ZÀ-Ý\d])|\s[-–—•·*|/]\s(?=\d)"
    r"|(?<=[克gｇ升匙個隻顆份%])\s+(?=[\u3040-\u30ff\u4e00-\u9fff])"
)
_INSIDE = re.compile(r"\([^()]*\)")


def sentences_of_line(plain: str, reader: Reader) -> list[str]:
    """The sentences of a line; a full stop ends one behind an ingredient, not in ``1 Pkg. Dry Yeast``."""
    found: list[str] = []
    ends = _ENDS if ". " in plain and has_step_word(plain) else _SENTENCES
    first = plain.partition(". ")[0]
    if ends is _ENDS and not any(map(str.isdigit, first)) and has_step_word(first):
        ends = _STEP_ENDS
    for sentence in _balanced(ends.split(plain)):
        first, *rest = _FULL_STOP.split(sentence, maxsplit=1)
        if rest and any(map(str.isdigit, first)):
            if plain_word(rest[0].split()[0].lower()) in STEPS:
                found += [first, *rest]
                continue
            spelt = _WORDS.findall(first.lower())
            words = tuple(word for word in spelt if unit_of_word(word) is None)
            if words and unit_of_word(spelt[-1]) is None and _ends_a_list(first, words, rest[0], reader):
                found += [first, *rest]
                continue
        found.append(sentence)
    return list(filter(None, found))


def clauses_of(plain: str) -> list[str]:
    """The parts of a line between its commas; one in parentheses is of the remark there."""
    masked = _INSIDE.sub(lambda found: "(" * len(found.group()), plain)
    ends = [0, *(at for found in _SEVERAL.finditer(masked) for at in found.span()), len(plain)]
    return [plain[start:end] for start, end in zip(ends[::2], ends[1::2], strict=True)]


def _ends_a_list(first: str, words: Sequence[str], rest: str, reader: Reader) -> bool:
    """Whether a full stop ends a list of one name, or one before a sentence without amounts.

    ``… 200 ml Milch und 12 g Hefe. Der Teig muss 45 bis 60 Minuten reifen.``

    Parameters
        first : str  what is before the full stop
        words : Sequence[str]  of that, besides units
        rest : str  what is behind it
        reader : Reader  what the recipe's lines share
    Returns
        bool
    """
    if reader.names.named_as_spelt(tuple(words)).ingredient:
        return True
    if rest.count(" ") < LEAST_WORDS or _amounts(rest) or _amounts(first) < LEAST_AMOUNTS:
        return False
    tails = (tuple(words[-length:]) for length in range(1, MOST_NAME_WORDS + 1))
    return any(reader.names.named_as_spelt(tail).ingredient for tail in tails)


def _amounts(plain: str) -> int:
    """How many amounts with a unit are in some text, times apart."""
    units = map(unit_of_word, _COUNTED.findall(plain.lower()))
    return sum(unit is not None and unit.kind != REMARK for unit in units)


def _balanced(pieces: list[str]) -> list[str]:
    """The pieces of a line, joined again where the line was cut inside parentheses."""
    whole: list[str] = []
    depth = 0
    for piece in pieces:
        if depth > 0:
            whole[-1] += f" {piece}"
        else:
            whole.append(piece)
        depth += piece.count("(") - piece.count(")")
    return whole
