"""Words that a copied page has glued together: ``3cupsbread flour``, ``10 gramsMilk30%``, ``8glevure``."""

import re
from functools import lru_cache

from scaldloaf.importing.words.vocabulary import (
    EGG_SIZES,
    OWN_AMBIGUITIES,
    OWN_NAMES,
    OWN_UNITS,
    PLAIN,
    is_spaceless,
    plain_word,
)

LEAST_NAME = 3  # letters of a word of a name that may be glued to something
LEAST_PART = 4  # letters of each of two words that may be glued to each other
_AT_NUMBER = re.compile(r"(?<=[\d¼-¾⅐-⅞]) ?[^\W\d_]{4,40}")
_OF_AND_NAME = re.compile(
    r"(?<=\d )((?:k?g|grs?|[mcd]?l|gramm[io]|gramos|cucchia\w{1,4}|cuchar\w{1,8}|tazz[ae]|tazas?)\.? )"
    r"(d[ie])([^\W\d_]{4,20})(?![^\W_])"
)
# A unit of one or several words with the “of” glued behind it: 1c. à caféde sel, 2cuillères à soupede lait.
_UNIT_AND_OF = re.compile(
    r"(?<=[\d¼-¾⅐-⅞]) ?((?:[^\W\d_]{1,12}\.? ){0,3}[^\W\d_]{3,12}?)(d(?:e|[’']))(?=(?<=e) |(?<=[’'])[^\W\d_])"
)
_BEFORE_PERCENT = re.compile(r"(?<=[^\W\d_]{3})(?=\d{1,3}(?:[.,]\d+)? ?%)")
# Behind what an amount starts that a page has glued to the line before it.
_AMOUNT = (
    r"(?=[1-9]\d{0,3}(?: ?[/.,] ?\d{1,2})? ?(?:k?g|m?l|[cd]l|[ET]L|gr|Würfel|Eier|Ei|Eigelb|Prisen?|Pck"
    r"|Pkt|Pkg|Packung|Päckchen|Msp|Tüte|Stück|Tassen?|Becher|Esslöffel|Teelöffel|geh\w{0,9}|gestr\w{0,9}|Bio-\w{1,20}"
    r"|grs|gramm[ei]|gramos|uov[ao]|tuorl[oi]|huevos?|yemas?|[oœ]e?ufs?|jaunes?|cucchia\w{1,4}|cuchar\w{1,8}"
    r"|cuill\w{1,6}|bustin[ae]|sobres?|sachets?)(?![^\W\d_]))"
)
_LINE_AT_AMOUNT = re.compile(rf"(?:(?<=[a-zß-ÿ]{{3}})|(?<=[a-zß-ÿ\d.]\))){_AMOUNT}")
_LINE_AT_GRADE = re.compile(rf"(?<=[a-z] )(405|480|550|630|700|812|997|1050|1150){_AMOUNT}")
_LINE_AT_NAME = re.compile(r"(?<=[a-zß-ÿ]{3})(?=[A-ZÄÖÜ][a-zß-ÿ]{2})")
_LEAST_LIST = 60  # characters of a list on one line
_LEAST_GLUED = 2
_LONG_WORD = re.compile(r"(?<![^\W_])[^\W\d_]{8,40}(?![^\W_])")
_UNITS = {name for units in OWN_UNITS.values() for name in units if name.isalpha() and not is_spaceless(name)}
_ALL_UNITS = {name for units in OWN_UNITS.values() for name in units}
_MOST_UNIT = max(map(len, _UNITS))
_WORDS = {
    word
    for named in (OWN_NAMES, OWN_AMBIGUITIES)
    for names in named.values()
    for name in names
    for word in name
    if len(word) >= LEAST_NAME and word.isalpha() and not is_spaceless(word)
}


def unglued(text: str) -> str:
    """A line with spaces where a unit, a name or a percentage was glued to the word before it."""
    if "%" in text:
        text = _BEFORE_PERCENT.sub(" ", text)
    text = _UNIT_AND_OF.sub(_with_of_behind, _OF_AND_NAME.sub(_with_of_apart, text))
    found = _AT_NUMBER.sub(_after_number, text)
    # Only a page that glues units to names glues names to their remarks.
    return found if found == text else _LONG_WORD.sub(_in_two, found)


def with_lines_apart(text: str) -> str:
    """A list with a comma where its lines were glued to each other: ``lauwarm1 Würfel Hefe500 g Mehl``."""
    if len(text) <= _LEAST_LIST:
        return text
    text, glued = _LINE_AT_AMOUNT.subn(", ", text)
    if glued < _LEAST_GLUED:
        return text
    return _LINE_AT_NAME.sub(", ", _LINE_AT_GRADE.sub(r"\1, ", text))


def _with_of_apart(match: re.Match[str]) -> str:
    """``250 gr dilatte``: the “of” apart from the name, where the two make no word of their own."""
    before, of, name = match.groups()
    is_name = plain_word(name.lower()) in _WORDS and not _is_known(f"{of}{name}".lower())
    return f"{before}{of} {name}" if is_name else match.group()


def _with_of_behind(match: re.Match[str]) -> str:
    """``1c. à caféde sel``: the unit apart from the “of” behind it."""
    unit, of = match.groups()
    return f" {unit} {of}" if unit.lower() in _ALL_UNITS else match.group()


def _after_number(match: re.Match[str]) -> str:
    return _unit_and_name(match.group())


@lru_cache(maxsize=512)
def _unit_and_name(glued: str) -> str:
    """A unit apart from the name behind it; the words as they are where they are no such two."""
    start = glued.lstrip()
    word = start.lower()
    if word in _UNITS or word in EGG_SIZES or plain_word(word) in _WORDS or plain_word(word) in PLAIN:
        return glued
    for length in range(min(len(word) - LEAST_NAME, _MOST_UNIT), 0, -1):
        rest = plain_word(word[length:])
        if word[:length] in _UNITS and (rest in _WORDS or length >= LEAST_NAME and rest in PLAIN):
            return f"{glued[: len(glued) - len(start)]}{start[:length]} {start[length:]}"
    return glued


def _in_two(match: re.Match[str]) -> str:
    return _name_and_remark(match.group())


@lru_cache(maxsize=512)
def _name_and_remark(word: str) -> str:
    """A name apart from the remark behind it: ``buttersoftened``."""
    if _is_known(word.lower()):
        return word
    for length in range(LEAST_PART, len(word) - LEAST_PART + 1):
        name, remark = word[:length].lower(), word[length:].lower()
        if plain_word(name) in _WORDS and plain_word(remark) in PLAIN:
            return f"{word[:length]} {word[length:]}"
    return word


def _is_known(word: str) -> bool:
    """Whether a word is one of a name, or changes nothing about an ingredient."""
    plain = plain_word(word)
    return plain in _WORDS or plain in PLAIN and len(plain) >= LEAST_PART
