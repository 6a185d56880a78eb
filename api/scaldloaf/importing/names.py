"""Which ingredient some words name: the longest name among them, what is left over, and near misses."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from itertools import pairwise

from scaldloaf.importing.doubt import LIKELY, NOT_READ, UNSURE, Doubt
from scaldloaf.importing.vocabulary import (
    ADD, AMBIGUOUS, CHOOSE, CUT, EGG_SIZES, FILLING, NAME_STARTS, NAMES, NEAR, NUMBERS,
    OTHER, PLAIN, UNITS, VAGUE,
    name_parts, plain_word,
)
from scaldloaf.reference import INGREDIENTS, Ingredient

MOST_NAME_WORDS = 24            # of a phrase; the rest is a remark
MOST_NEAR_LOOKUPS = 40          # of a recipe
MOST_NEAR_CHARACTERS = 40
_CANDIDATES = 4
_ADD, _CHOOSE, _CUT = (frozenset(map(plain_word, words)) for words in (ADD, CHOOSE, CUT))
# Words that take nothing away from a name they stand beside.
_HARMLESS = PLAIN | _ADD | _CHOOSE | _CUT | {
    plain_word(word) for word in (*UNITS, *VAGUE, *NUMBERS, *FILLING, *EGG_SIZES)}
_LIKELY_RATIO, _UNSURE_RATIO, _WORTH_TELLING_RATIO = 0.9, 0.8, 0.55


@dataclass(frozen=True, slots=True)
class Named:
    """What some words name. ``ingredient`` is None when nothing fits; alternatives are catalogue names."""

    ingredient: Ingredient | None = None
    doubts: tuple[Doubt, ...] = ()
    alternatives: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Match:
    start: int
    end: int
    words: tuple[str, ...]

    @property
    def ingredient(self) -> Ingredient:
        ambiguity = AMBIGUOUS.get(self.words)
        return INGREDIENTS[ambiguity.reads_as] if ambiguity else NAMES[self.words]


@dataclass(slots=True)
class NearMisses:
    """The search for names like a misspelt one, limited for a recipe as a whole."""

    left: int = MOST_NEAR_LOOKUPS
    known: dict[str, tuple[tuple[float, str], ...]] = field(default_factory=dict)

    def like(self, phrase: str) -> tuple[tuple[float, str], ...]:
        """(likeness, spelling) of the names most like a phrase, best first."""
        if phrase in self.known:
            return self.known[phrase]
        if not self.left or len(phrase) > MOST_NEAR_CHARACTERS:
            return ()
        self.left -= 1
        shared: Counter[str] = Counter()
        for pair in {phrase[at:at + 2] for at in range(len(phrase) - 1)}:
            shared.update(NEAR.get(pair, ()))
        matcher = SequenceMatcher(b=phrase, autojunk=False)
        ratios = []
        for spelling, _ in shared.most_common(_CANDIDATES):
            matcher.set_seq1(spelling)
            ratios.append((matcher.ratio(), spelling))
        self.known[phrase] = tuple(sorted(ratios, reverse=True))
        return self.known[phrase]


def _matches(words: Sequence[str]) -> list[_Match]:
    """Names in a row of words, from the left, each as long as it can be."""
    found, at = [], 0
    while at < len(words):
        for size in range(min(NAME_STARTS.get(words[at], 0), len(words) - at), 0, -1):
            name = tuple(words[at:at + size])
            if name in NAMES or name in AMBIGUOUS:
                found.append(_Match(at, at + size, name))
                at += size - 1
                break
        at += 1
    return found


class Spelt(str):
    """A word in the form names are compared in, that knows how it was spelt."""

    __slots__ = ("raw",)


def words_of(texts: Sequence[str]) -> list[str]:
    """Words in the form names are compared in, of at most MOST_NAME_WORDS texts."""
    return [_spelt(part) for text in texts[:MOST_NAME_WORDS] for part in name_parts(text)]


def _spelt(raw: str) -> str:
    plain = plain_word(raw)
    if plain == raw:
        return plain
    word = Spelt(plain)
    word.raw = raw
    return word


def _shown(words: Sequence[str]) -> str:
    """Words as they were spelt, in quotation marks."""
    return f"“{' '.join(getattr(word, 'raw', word) for word in words)[:MOST_NEAR_CHARACTERS]}”"


def name_of(words: Sequence[str], chosen: dict[str, str], near: NearMisses) -> Named:
    """The ingredient that words name. ``chosen`` settles bare names (``{"flour": "bread_flour"}``)."""
    words = list(words)
    matches = _matches(words)
    bare = [word for word in words if word not in PLAIN or word in _CHOOSE or word in _ADD]
    if len(bare) < len(words):
        again = _matches(bare)
        if _fit(bare, again) > _fit(words, matches):
            words, matches = bare, again
    words, matches = _before_remark(words, matches)
    if not matches:
        return _near(words, chosen, near)
    if len({match.ingredient.name for match in matches}) > 1:
        return _several(words, matches, chosen)
    match = max(matches, key=lambda match: len(match.words))
    named = _with_leftovers(words, matches, match, chosen)
    if named.ingredient is None and (close := _near(words, {}, near)).alternatives:
        return Named(None, named.doubts, tuple(dict.fromkeys((*close.alternatives, *named.alternatives))))
    return named


def _fit(words: list[str], matches: list[_Match]) -> tuple[int, int, int]:
    """How well matches explain words: few words left over first, then long names, then few of them."""
    longest = max((len(match.words) for match in matches), default=0)
    return -len(_unknown(words, matches)), longest, -len(matches)


def _unknown(words: list[str], matches: list[_Match]) -> list[tuple[int, str]]:
    """The words, each with its place, that no match holds and that may change what is meant."""
    inside = {at for match in matches for at in range(match.start, match.end)}
    return [(at, word) for at, word in enumerate(words)
            if at not in inside and word not in _HARMLESS and not word[0].isdigit() and len(word) > 1]


def _before_remark(words: list[str], matches: list[_Match]) -> tuple[list[str], list[_Match]]:
    """Without the remark that a word such as ``for`` or ``at`` begins, once something is named before it."""
    for at, word in enumerate(words):
        if word in _CUT and not any(match.start <= at < match.end for match in matches):
            named = [match for match in matches if match.end <= at]
            if named:
                return words[:at], named
    return words, matches


def _settled(match: _Match, chosen: dict[str, str]) -> Named:
    ambiguity = AMBIGUOUS.get(match.words)
    if ambiguity is None:
        return Named(NAMES[match.words], words=match.words)
    if ambiguity.option in chosen:
        return Named(INGREDIENTS[chosen[ambiguity.option]], words=match.words)
    label = INGREDIENTS[ambiguity.reads_as].label
    return Named(INGREDIENTS[ambiguity.reads_as], (Doubt(LIKELY, f"{ambiguity.why}; read as {label}"),),
                 _others(ambiguity.alternatives, INGREDIENTS[ambiguity.reads_as]), match.words)


def _several(words: list[str], matches: list[_Match], chosen: dict[str, str]) -> Named:
    """Several ingredients named for one amount: a choice, a list, or a name with other names before it."""
    between = {word for before, after in pairwise(matches) for word in words[before.end:after.start]}
    names = tuple(dict.fromkeys(match.ingredient.name for match in matches))
    if not between.isdisjoint(_CHOOSE):
        first = _settled(matches[0], chosen)
        others = " or ".join(INGREDIENTS[name].label for name in names if name != first.ingredient.name)
        return Named(first.ingredient, (*first.doubts, Doubt(UNSURE, f"{others} would do as well")),
                     names[1:], first.words)
    labels = " and ".join(INGREDIENTS[name].label for name in names)
    if not between.isdisjoint(_ADD):
        return Named(None, (Doubt(NOT_READ, f"one amount for {labels}"),), names)
    last = _with_leftovers(words, matches, matches[-1], chosen)
    if last.ingredient is None:
        return Named(None, last.doubts, names)
    return Named(last.ingredient, (*last.doubts, Doubt(UNSURE, f"the words name {labels}")),
                 _others(names, last.ingredient), last.words)


def _with_leftovers(words: list[str], matches: list[_Match], match: _Match, chosen: dict[str, str]) -> Named:
    """A name among other words. English puts the thing itself last, so a word behind it may change it all."""
    unknown = _unknown(words, matches)
    named = _settled(match, chosen)
    if not unknown:
        return named
    listed = _shown([word for _, word in unknown])
    label = named.ingredient.label
    behind = any(at >= match.end for at, _ in unknown)
    if behind or len(match.words) == 1 or any(word in OTHER for _, word in unknown):
        return Named(None, (Doubt(NOT_READ, f"{listed} may make it another thing than {label}"),),
                     (named.ingredient.name, *named.alternatives))
    return Named(named.ingredient, (*named.doubts, Doubt(UNSURE,
                                                         f"{listed} is not known; read as {label}")),
                 named.alternatives, named.words)


def _near(words: list[str], chosen: dict[str, str], near: NearMisses) -> Named:
    """The name most like words that hold none, at most likely."""
    content = [word for word in words if (word not in _HARMLESS or word in _CUT) and not word[0].isdigit()]
    for at, word in enumerate(content):
        if at and word in _CUT:
            content = content[:at]
            break
    content = [word for word in content if word not in _CUT]
    phrase = " ".join(content)
    if len(phrase) < 3:
        return Named(None, (Doubt(NOT_READ, "no ingredient named"),))
    close = near.like(phrase)
    unknown = f"{_shown(content)} is not in the catalogue"
    names = tuple(dict.fromkeys(_ingredient(spelling).name for ratio, spelling in close
                                if ratio >= _WORTH_TELLING_RATIO))
    if close and close[0][0] >= _UNSURE_RATIO and len(phrase) > 3:
        ratio, spelling = close[0]
        level = LIKELY if ratio >= _LIKELY_RATIO else UNSURE
        named = _settled(_Match(0, 0, tuple(spelling.split())), chosen)
        return Named(named.ingredient, (*named.doubts, Doubt(level, f"{unknown}; read as {spelling}")),
                     _others((*named.alternatives, *names), named.ingredient), named.words)
    return Named(None, (Doubt(NOT_READ, unknown),), names)


def _others(names: Sequence[str], taken: Ingredient) -> tuple[str, ...]:
    return tuple(name for name in dict.fromkeys(names) if name != taken.name)


def _ingredient(spelling: str) -> Ingredient:
    return NAMES[tuple(spelling.split())]
