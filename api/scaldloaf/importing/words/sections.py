"""Headings and the parts that they open: the scald, the dough, and what stays outside the dough."""

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from operator import add
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.words.tables import one_of
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import (
    ASIDE,
    BIG_PINT_WORDS,
    BREADS,
    COLUMN_HEADS,
    DOUGH_NAMES,
    FINISHING,
    HEADINGS,
    LIST,
    METHOD,
    OPTIONAL_WORDS,
    OUTSIDE,
    SECTION_LEADS,
    SECTION_TAILS,
    SECTIONS,
    SPONGE,
    VAGUE,
    VERSIONS,
    WITHOUT,
    heading_words,
    is_spaceless,
)

MOST_HEADS = 6
_MOST_HEADING_WORDS = 12
_MOST_KEPT_CHARACTERS = 80  # of a heading whose part is kept in memory
_LEAST_DOUGH_CHARACTERS = 3  # パン生地 ends as dough, 生地 may be of biscuits
_LEAST_ASIDE_CHARACTERS = 2
_MOST_STRIPPED = 4  # of the words before and behind the name of a part
# A line in such marks is a heading, whatever it says.
_DRESS = re.compile(
    r"^[\s>]*(?:[-•・*]\s+)?(?:[【「『《〈＜［〔■□◆◇▼▽▲#＃]|<(?!/?[a-z]+[ />])|\[(?![ xX]?\])|\*\*"
    r"|[-–—=＝～〜―~]{2,}\s*\S.*[-–—=＝～〜―~]{2,}\s*$)"
)
_DRESS_BEHIND = re.compile(r"(?:[:：;；↓]|\*\*|__)\s*(?:</\w+>)?\s*$")
_WITH = frozenset(("with", "using", "mit", "au", "avec", "con", "al", "col"))  # before a scald in a bread
# Parts in the order in which one of them decides, where a heading names several.
_STRONGEST = (SCALD, OUTSIDE, DOUGH, SPONGE, LIST, METHOD)


class Phrases:
    """Some phrases, to be found in words joined and framed by spaces: whole words, where words are spaced."""

    def __init__(self, phrases: Iterable[str]):
        self._phrases = tuple(map(one_of, dict.fromkeys(phrases)))
        self._spaceless: dict[str, tuple[int, ...]] = {}  # first two characters -> places in _phrases
        self._spaced: dict[str, tuple[str, ...]] = {}  # first word -> phrases
        for place, phrase in enumerate(self._phrases):
            if is_spaceless(phrase):
                self._spaceless[phrase[:2]] = (*self._spaceless.get(phrase[:2], ()), place)
            else:
                first = one_of(phrase.split()[0])
                self._spaced[first] = (*self._spaced.get(first, ()), phrase)

    def found_in(self, text: str) -> str | None:
        """The first of the phrases in a text, as the vocabulary spells it."""
        words = text.split()
        if not self._spaced.keys().isdisjoint(words):
            for word in dict.fromkeys(words):
                for phrase in self._spaced.get(word, ()):
                    if f" {phrase} " in text:
                        return phrase
        if text.isascii():
            return None
        begun = self._spaceless.keys() & {*text, *map(add, text, text[1:])}
        phrases = self._phrases
        found = [place for start in begun for place in self._spaceless[start] if phrases[place] in text]
        return phrases[min(found)] if found else None


def framed(line: str) -> str:
    """The words of a line as ``Phrases`` takes them."""
    return f" {heading_words(line)} "


SCALD_WORDS, ASIDE_WORDS, VAGUE_WORDS = Phrases(SECTIONS[SCALD]), Phrases(ASIDE), Phrases(VAGUE)
BIG_PINTS = Phrases(BIG_PINT_WORDS)
OPTIONAL = Phrases((*OPTIONAL_WORDS, *map(heading_words, OPTIONAL_WORDS)))
_PARTS_IN_WORDS = {part: Phrases(map(heading_words, SECTIONS[part])) for part in _STRONGEST}
_SPACELESS = {part: tuple(filter(is_spaceless, SECTIONS[part])) for part in (SCALD, DOUGH, OUTSIDE)}
_METHODS, _VERSIONS = (tuple(filter(is_spaceless, each)) for each in (SECTIONS[METHOD], VERSIONS))
_ALL_NEEDED = tuple(  # ingredients and tools
    each for each in filter(is_spaceless, SECTIONS[LIST]) if any(part in each for part in _SPACELESS[OUTSIDE])
)
_ASIDE_ENDS = tuple(each for each in _SPACELESS[OUTSIDE] if len(each) >= _LEAST_ASIDE_CHARACTERS)
_SPONGES = tuple(word for word in SECTIONS[SPONGE] if is_spaceless(word) and len(word) > 1)
_INDEFINITE = frozenset(
    map(heading_words, ("rest", "main", "bread", "pan", "dry", "wet", "loaf", "form", "die form"))
)


class Title(NamedTuple):
    """What a heading says: its part, or LIST, METHOD or None; and whether it says nothing else."""

    part: str | None
    exact: bool


def is_dressed(raw: str) -> bool:
    """Whether a line has the marks of a heading."""
    return _DRESS.search(raw) is not None or _DRESS_BEHIND.search(raw) is not None


def title_of(words: Sequence[str]) -> Title:
    """The part that the words of a heading name (``for the tangzhong``)."""
    if not 0 < len(words) <= _MOST_HEADING_WORDS:
        return Title(None, False)
    # A line is asked about several times, and the same headings come with every recipe.
    is_short = sum(map(len, words)) <= _MOST_KEPT_CHARACTERS
    return kept_titles(tuple(words)) if is_short else _title(words)


def _title(words: Sequence[str]) -> Title:
    text = heading_words(" ".join(words))
    if len(words) == 2 and {HEADINGS.get(heading_words(word)) for word in words} == {LIST, METHOD}:
        return Title(LIST, True)  # the heads of two columns
    exact = _exact(text) or _of_a_bread(text)
    if exact:
        return Title(exact, True)
    pieces = [_exact(piece) for piece in _pieces(words)]
    if pieces and all(pieces):
        return Title(next(part for part in _STRONGEST if part in pieces), True)
    framed = f" {text} "
    found = {part: phrase for part in _STRONGEST if (phrase := _PARTS_IN_WORDS[part].found_in(framed))}
    if SCALD in found and _is_without(text, found[SCALD]):
        del found[SCALD]
    named = [part for part, phrase in found.items() if phrase not in _INDEFINITE]
    if not named:
        return Title(None, False)
    if named[0] == SCALD and DOUGH in found and not _ends_with_scald(text):
        return Title(None, False)  # tangzhong milk bread: a title, or the dough
    if named[0] == SCALD and DOUGH in found and _is_made_with(text):
        return Title(DOUGH, False)
    if named[0] == OUTSIDE and (title := _of_aside(text, found)):
        return title
    return Title(named[0], named[0] == SPONGE and text.endswith(_SPONGES))  # 甜老麵


def _of_aside(text: str, found: Mapping[str, str]) -> Title | None:
    """What a heading is of that has a word for what is no dough; None: of that. found: part -> its phrase."""
    if _finishes_dough(text):
        return Title(DOUGH, True)
    if is_spaceless(text) and _ends_with_all(text):
        return Title(LIST, False)
    if is_spaceless(text):
        return Title(DOUGH, False) if _ends_with_dough(text) else None
    return Title(DOUGH, False) if DOUGH in found and _is_of_a_dough(text, found[OUTSIDE]) else None


kept_titles = lru_cache(maxsize=1024)(_title)


def title_in(line: str) -> Title:
    """The part that a line names, whatever its marks and accents."""
    return title_of(heading_words(line).split())


def _finishes_dough(text: str) -> bool:
    """Whether a heading is of the rest of the dough: ``to finish the dough``."""
    behind = next((text.removeprefix(lead) for lead in FINISHING if text.startswith(f"{lead} ")), "").strip()
    return bool(behind) and behind.split()[-1].startswith(DOUGH_NAMES) and _exact(behind) == DOUGH


def _is_of_a_dough(text: str, aside: str) -> bool:
    """Whether what is no dough is named only as a word of a dough: the burgers of ``pâte à pain burger``."""
    words, size = text.split(), len(aside.split())
    at = next((at for at in range(len(words)) if words[at : at + size] == aside.split()), None)
    if at is None:
        return False
    windows = ((start, end) for start in range(at + 1) for end in range(at + size, len(words) + 1))
    return any(
        _exact(" ".join(words[start:end])) == DOUGH
        and _PARTS_IN_WORDS[OUTSIDE].found_in(framed(" ".join([*words[:start], *words[end:]]))) is None
        for start, end in windows
    )


def _ends_with_dough(text: str) -> bool:
    """Whether a heading in a script without spaces is of dough, whatever goes into it: ``麻薯面包面团``.

    Or of a bread by its name: ``蔥花麵包材料``.
    """
    for tail in _TAILS.get(text[-1], ()):
        text = text.removesuffix(tail) or text
    dough, aside = (
        max(map(len, filter(text.endswith, _SPACELESS[part])), default=0) for part in (DOUGH, OUTSIDE)
    )
    return text.endswith(BREADS) and not aside or dough >= _LEAST_DOUGH_CHARACTERS and dough > aside


def _of_a_bread(text: str) -> str | None:
    """METHOD for a heading without spaces of how a bread is made, whatever is in it: ``汤种吐司的做法``."""
    if not text.endswith(_METHODS):
        return None
    bread = text.removesuffix(max(filter(text.endswith, _METHODS), key=len))
    return METHOD if bread.endswith(BREADS) or bread[:-1].endswith(BREADS) else None


def _ends_with_all(text: str) -> bool:
    """Whether a heading is of all that is needed, its last words naming tools as well: ``需要材料和工具``."""
    ending = max(filter(text.endswith, _ALL_NEEDED), key=len, default="")
    return bool(ending) and _PARTS_IN_WORDS[OUTSIDE].found_in(f" {text.removesuffix(ending)} ") is None


def calls_a_version(heading: str) -> bool:
    """Whether a heading says that what follows is a version of a recipe."""
    words = heading_words(heading).split()
    joined = "".join(words)
    if is_spaceless(joined):
        return any(map(joined.__contains__, _VERSIONS))
    return not VERSIONS.isdisjoint(words)


def ends_with_aside(text: str) -> bool:
    """Whether a heading without spaces ends with what is no dough: ``チーズフィリング``."""
    return is_spaceless(text) and text[1:].endswith(_ASIDE_ENDS)  # with something before it


def _ends_with_scald(text: str) -> bool:
    """Whether the scald is named last: ``primo impasto tang zhong``."""
    if is_spaceless(text):
        return any(map(text.endswith, _SPACELESS[SCALD]))
    words = text.split()
    return any(_exact(" ".join(words[-length:])) == SCALD for length in (1, 2))


def _is_without(text: str, scald: str) -> bool:
    """Whether a heading says that there is no scald: ``pain de mie sans tangzhong``, ``免湯種``."""
    glue = "" if is_spaceless(text) else " "
    return any(f"{glue}{word}{glue}{scald}" in f"{glue}{text}" for word in WITHOUT)


def _is_made_with(text: str) -> bool:
    """Whether the scald is named last as what goes into a bread: ``pain de mie au tangzhong``."""
    words = text.split()
    before = next(
        (words[at - 1] for at in (-1, -2) if len(words) >= 1 - at and _exact(" ".join(words[at:])) == SCALD),
        "",
    )
    return before in _WITH


def are_heads_of_columns(words: Sequence[str]) -> bool:
    """Whether words are the heads of the columns of a table: ``Menge Zutat``."""
    heads = [heading_words(word) for word in words]
    return 1 < len(heads) <= MOST_HEADS and all(head in COLUMN_HEADS for head in heads)


def part_of(part: str | None) -> str:
    """The part of the formula that a heading opens."""
    return part if part in (SCALD, OUTSIDE) else DOUGH


def _exact(text: str) -> str | None:
    """The part that a text names and nothing else, without the words before and behind (``for the``)."""
    for _ in range(_MOST_STRIPPED):
        if text in HEADINGS:
            return HEADINGS[text]
        shorter = _stripped(text)
        if shorter == text:
            return None
        text = shorter
    return HEADINGS.get(text)


def _stripped(text: str) -> str:
    """Without one lead or tail."""
    glue = "" if is_spaceless(text) else " "
    first, _, rest = text.partition(" ")
    if rest and (len(first) == 1 and first.isascii() and first not in "la" or first.isdecimal()):
        return rest
    if glue and text[-2:-1] == " " and HEADINGS.get(text[:-2]) == LIST:
        return text[:-2]  # ingredients b
    if not glue and text[-1].isascii() and text[-1].isalpha():
        return text[:-1]  # 材料B
    for lead in _LEADS.get(first if glue else text[0], ()):
        if text.startswith(f"{lead}{glue}") and len(text) > len(lead) + len(glue):
            return text[len(lead) + len(glue) :]
    for tail in _TAILS.get(text[text.rfind(" ") + 1 :] if glue else text[-1], ()):
        if text.endswith(f"{glue}{tail}") and len(text) > len(tail) + len(glue):
            return text[: -len(tail) - len(glue)]
    return text


def _by_end(phrases: Sequence[str], place: int) -> dict[str, list[str]]:
    """First or last word (or character, where words are not spaced) -> phrases that begin or end with it."""
    found: dict[str, list[str]] = {}
    for phrase in phrases:
        found.setdefault(phrase[place] if is_spaceless(phrase) else phrase.split()[place], []).append(phrase)
    return found


_LEADS, _TAILS = _by_end(SECTION_LEADS, 0), _by_end(SECTION_TAILS, -1)


def _pieces(words: Sequence[str]) -> list[str]:
    """The words of a heading, by the strokes and joining words between them: ``tangzhong / water roux``."""
    pieces: list[list[str]] = [[]]
    for word in words:
        if word in _BETWEEN:
            pieces.append([])
        else:
            pieces[-1].append(word)
    return [heading_words(" ".join(piece)) for piece in pieces if piece]


_BETWEEN = frozenset(
    ("/", "-", "–", "—", "+", "&", "or", "oder", "ou", "o", "e", "et", "y", "and", "und", "或", "と", ",")
)


def names_part_first(line: str) -> bool:
    """Whether a line begins with the name of a part of the recipe and a colon: ``Pour la brioche : …``."""
    heading, colon, _ = line.partition(":")
    title = title_in(heading)
    return bool(colon) and title.exact and title.part in (SCALD, DOUGH, SPONGE, OUTSIDE)


def words_of_title(tokens: Sequence[Token]) -> list[str]:
    """The words of a line outside parentheses, and the strokes between them."""
    words = [token.text for token in tokens if token.kind == "w" or token.text in _BETWEEN]
    while words and words[0] in _BETWEEN:
        del words[0]
    while words and words[-1] in _BETWEEN:
        del words[-1]
    return words


def colon_at(tokens: Sequence[Token]) -> int | None:
    """The place of the first colon."""
    for at, token in enumerate(tokens):
        if token.text == ":":
            return at
    return None
