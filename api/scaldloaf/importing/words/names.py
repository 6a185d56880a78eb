"""Which ingredient some words name: the longest name among them, leftover words, and near misses."""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from scaldloaf.importing.words.adjectives import HEAD_FIRST, describe
from scaldloaf.importing.words.doubt import LIKELY, NOT_READ, SOURDOUGH, UNSURE, Doubt
from scaldloaf.importing.words.german import is_verb, with_known_endings
from scaldloaf.importing.words.grades import STRENGTH, besides_wheat, by_strength
from scaldloaf.importing.words.lexicon import ENGLISH, Lexicon, pairs_of_letters
from scaldloaf.importing.words.made_with import is_made_with, makes_a_powder
from scaldloaf.importing.words.near_misses import UNSURE_RATIO, WORTH_NAMING_RATIO, NearMisses, is_other_kind
from scaldloaf.importing.words.shared_heads import with_shared_head
from scaldloaf.importing.words.spelt import shown, words_of
from scaldloaf.importing.words.vocabulary import (
    ADD,
    CHOOSE,
    CUT,
    DRIED,
    EGG_SIZES,
    FILLING,
    HEADS,
    NUMBERS,
    OTHER,
    OTHER_KINDS,
    PLAIN,
    POWDERS,
    STARTERS,
    STEPS,
    TOOLS,
    VAGUE,
    is_ideograph,
    is_spaceless,
    plain_word,
)
from scaldloaf.reference import INGREDIENTS, Ingredient

_ADD, _CHOOSE, _CUT = (frozenset(map(plain_word, words)) for words in (ADD, CHOOSE, CUT))
_ENDS = _CUT | STEPS - OTHER  # a verb behind a name says what is done with it
_DESCRIBING = (PLAIN | set(map(plain_word, NUMBERS))) - _ADD - _CHOOSE
# Words that change nothing of a name beside them.
_HARMLESS = (
    PLAIN
    | _ADD
    | _CHOOSE
    | _CUT
    | {
        plain_word(word)
        for word in (*ENGLISH.units, *" ".join(VAGUE).split(), *NUMBERS, *FILLING, *EGG_SIZES)
    }
)
_PAIRS = frozenset(tuple(map(plain_word, word.split("-"))) for word in PLAIN if word.count("-") == 1)
_KATAKANA = re.compile("[\u30a0-\u30ff]{2,}")
_LIKELY_RATIO = 0.9


class Named(NamedTuple):
    """What some words name.

    ingredient: None when nothing fits. alternatives: names of the catalogue. words: those of the name.
    """

    ingredient: Ingredient | None = None
    doubts: tuple[Doubt, ...] = ()
    alternatives: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


class _Known(NamedTuple):
    """A ``Named`` that names an ingredient."""

    ingredient: Ingredient
    doubts: tuple[Doubt, ...] = ()
    alternatives: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


class _Match(NamedTuple):
    """A name in a row of words, and what it is read as."""

    start: int
    end: int
    words: tuple[str, ...]
    ingredient: Ingredient | None


_NOTHING = Named()
_LEAST_SPACELESS = 3  # characters of a name that other characters before it hardly make another thing


class Sense(NamedTuple):
    """What settles the meaning of a name: bare name -> ingredient that it means, and the language."""

    chosen: dict[str, str]
    words: Lexicon = ENGLISH


def _matches(words: Sequence[str], lexicon: Lexicon) -> list[_Match]:
    """Names in a row of words, from the left, each as long as possible."""
    found: list[_Match] = []
    past = 0
    for at, word in enumerate(words):
        if at < past or word not in lexicon.starts:
            continue
        for end in range(min(at + lexicon.starts[word], len(words)), at, -1):
            name = tuple(words[at:end])
            if name in lexicon.read_as:
                found.append(_Match(at, end, name, lexicon.read_as[name]))
                past = end
                break
    return found


class Names:
    """The ingredients that the phrases of a recipe name, each phrase worked out once.

    chosen: bare name -> ingredient that it means (``{"flour": "bread_flour"}``). lexicon: what names mean in
    the recipe's language. near: the search for names like a misspelt one.
    """

    def __init__(self, chosen: dict[str, str], lexicon: Lexicon = ENGLISH, near: NearMisses | None = None):
        self._sense, self._near = Sense(chosen, lexicon), near or NearMisses()
        self._words: dict[tuple[str, ...], list[str]] = {}
        self._as_spelt: dict[tuple[str, ...], tuple[Named | None, list[str]]] = {}

    def choosing(self, **chosen: str) -> "Names":
        """The same names with another choice, and the same search for near misses."""
        return Names({**self._sense.chosen, **chosen}, self._sense.words, self._near)

    def named(self, phrase: tuple[str, ...]) -> Named:
        """The ingredient that a phrase names, as it is spelt or nearly so."""
        named, words = self._read(phrase)
        if named is None:
            return _near(words, self._sense, self._near)
        if (
            named.ingredient is None
            and (close := _near(words, Sense({}, self._sense.words), self._near)).alternatives
        ):
            return Named(None, named.doubts, tuple(dict.fromkeys((*close.alternatives, *named.alternatives))))
        return named

    def named_as_spelt(self, phrase: tuple[str, ...]) -> Named:
        """The ingredient that a phrase names as it is spelt."""
        return self._read(phrase)[0] or _NOTHING

    def all_in(self, phrase: Sequence[str]) -> Iterator[tuple[_Match, list[str]]]:
        """Every name in the words of a sentence, with the few words before it."""
        words = self._words_of(tuple(phrase))
        past = 0
        for match in _matches(words, self._sense.words):
            yield match, words[max(past, match.start - 3) : match.start]
            past = match.end

    def refined(self, named: Named, phrase: tuple[str, ...]) -> Named:
        """``flour, bread`` and ``yeast (instant)``: the longer name that the words beside make."""
        beside = self._words_of(phrase)
        joined = self._joined(named, beside)
        if joined:
            return joined
        if named.ingredient and (flour := by_strength(named.ingredient, beside)) is not named.ingredient:
            return named._replace(ingredient=flour, doubts=(), alternatives=())
        longer = _as_spelt([*beside, *named.words], self._sense, len(named.words))[0] or _NOTHING
        if not longer.ingredient and (
            self._sense.words.language == "de" or any(word[0].isdigit() for word in beside)
        ):
            longer = _as_spelt([*named.words, *beside], self._sense, len(named.words))[0] or _NOTHING
        if not longer.ingredient and self._sense.words.language in HEAD_FIRST:
            behind = _as_spelt([*named.words, *beside], self._sense, len(named.words))[0] or _NOTHING
            if {word for word in beside if word not in _HARMLESS} <= set(behind.words):
                longer = behind  # lievito di birra (secco)
        if longer.ingredient and len(longer.words) > len(named.words) and _no_worse(longer, named):
            return longer
        other = self.named_as_spelt(phrase)
        kind = other.ingredient.name if other.ingredient and not other.doubts else ""
        if kind in named.alternatives or named.ingredient and kind.endswith(f"_{named.ingredient.name}"):
            return other  # 奶油 (salted butter)
        return named

    def _joined(self, named: Named, beside: list[str]) -> Named | None:
        """The name that words beside make without a space: バター（有塩）, 牛奶（低脂）."""
        if not named.ingredient or len(named.words) != 1 or not is_spaceless(named.words[0]):
            return None
        for words in (beside, [word for word in beside if word not in _DESCRIBING]):
            said, name = "".join(words), named.words[0]
            for whole in ((said + name,), (name + said,)) if said else ():
                if self._sense.words.read_as.get(whole):
                    return Named(*_settled(whole, self._sense))
        return None

    def is_harmless(self, word: str) -> bool:
        """Whether a word changes nothing of a name beside it."""
        return plain_word(word) in _HARMLESS

    def _read(self, phrase: tuple[str, ...]) -> tuple[Named | None, list[str]]:
        if phrase not in self._as_spelt:
            words = self._words_of(phrase)
            read = _as_spelt(words, self._sense)
            if self._sense.words.language in HEAD_FIRST and read[0] and _leaves_open(read[0]):
                read = _with_of(words, self._sense) or read
            self._as_spelt[phrase] = read
        return self._as_spelt[phrase]

    def _words_of(self, phrase: tuple[str, ...]) -> list[str]:
        if phrase not in self._words:
            words, names = words_of(phrase), self._sense.words.read_as
            if self._sense.words.language == "de":
                words = list(with_known_endings(words, names, PLAIN))
            self._words[phrase] = with_shared_head(words, names)
        return self._words[phrase]


def _no_worse(longer: Named, named: Named) -> bool:
    """Whether a longer name leaves no more open than the shorter one: a kind of dry yeast, of yeast."""
    return not longer.doubts or bool(named.doubts) and all(each.level == LIKELY for each in longer.doubts)


def _as_spelt(words: list[str], sense: Sense, longer_than: int = 0) -> tuple[Named | None, list[str]]:
    """The ingredient that words name as they are spelt, and the words in which a near miss may be looked for.

    None where they hold no name of more words than ``longer_than``.
    """
    matches = _matches(words, sense.words)
    bare = [word for word in words if word not in _DESCRIBING]
    again = _matches(bare, sense.words) if len(bare) < len(words) else []
    if not any(len(match.words) > longer_than for match in (*matches, *again)):
        return None, words
    if again and _spelling(again) != _spelling(matches) and _fit(bare, again) > _fit(words, matches):
        words, matches = bare, again
    gap = words[matches[0].end : matches[1].start] if len(matches) > 1 else []
    other = matches[1].ingredient if gap and sense.words.language in HEAD_FIRST else matches[0].ingredient
    if not is_made_with(matches[0].ingredient, gap, other):
        words, matches = _before_remark(words, matches, sense)
    if len(matches) > 1:
        matches = [match for match in matches if match.words not in TOOLS] or matches
    if not all(match.ingredient for match in matches):
        first = next(match for match in matches if match.ingredient is None)
        inner = [sense.words.read_as.get((word,)) for word in first.words]
        others = tuple(
            dict.fromkeys(
                each.name for each in (*(match.ingredient for match in matches), *inner) if each is not None
            )
        )
        spelt = {*first.words, " ".join(first.words)}
        is_starter = not STARTERS.isdisjoint(spelt) and DRIED.isdisjoint(words)
        code = SOURDOUGH if is_starter else "not_in_catalogue"
        doubt = Doubt.of(NOT_READ, code, words=shown(first.words))
        return Named(None, (doubt,), others, tuple(map(str, first.words))), []
    if len({match.ingredient.name for match in matches if match.ingredient}) > 1:
        return _several(words, matches, sense), []
    return _with_leftovers(words, matches, max(matches, key=lambda match: len(match.words)), sense), words


def _leaves_open(named: Named) -> bool:
    """Whether words beside a name are not known, or name something else."""
    return any(each.code in ("unknown_words", "several_names", "another_thing") for each in named.doubts)


def _with_of(words: list[str], sense: Sense) -> tuple[Named | None, list[str]] | None:
    """The longer name that words make with an “of” that they leave out: ``farina farro``."""
    at = next((at for at, word in enumerate(words[:-1]) if word in sense.words.starts), None)
    if at is None or words[at + 1] in _HARMLESS:
        return None
    of = "di" if sense.words.language == "it" else "de"
    longer = _as_spelt([*words[: at + 1], of, *words[at + 1 :]], sense)
    return longer if longer[0] and of in longer[0].words else None


def _spelling(matches: list[_Match]) -> list[tuple[str, ...]]:
    return [match.words for match in matches]


def _fit(words: list[str], matches: list[_Match]) -> tuple[int, int, int]:
    """How well matches explain words: first few leftover words, then long names, then few of them."""
    longest = max((len(match.words) for match in matches), default=0)
    return -len(_unknown(words, matches)), longest, -len(matches)


def _unknown(words: list[str], matches: list[_Match]) -> list[tuple[int, str]]:
    """The words, each with its place, that no match holds and that may change what is meant."""
    unknown: list[tuple[int, str]] = []
    past = 0
    for start, end in [*((match.start, match.end) for match in matches), (len(words), 0)]:
        unknown += [
            (at, word)
            for at, word in enumerate(words[past:start], past)
            if word not in _HARMLESS
            and not word[0].isdigit()
            and not STRENGTH.fullmatch(word)
            and (len(word) > 1 or is_ideograph(word))
            and tuple(words[at : at + 2]) not in _PAIRS
            and (not at or tuple(words[at - 1 : at + 1]) not in _PAIRS)
        ]
        past = end
    return unknown


def _before_remark(words: list[str], matches: list[_Match], sense: Sense) -> tuple[list[str], list[_Match]]:
    """Without the remark that begins with a word such as ``for`` or ``at``, or a verb, behind a name."""
    is_german = sense.words.language == "de"
    if not is_german and _ENDS.isdisjoint(words):
        return words, matches
    for at, word in enumerate(words):
        if (word in _ENDS or is_german and word not in _HARMLESS and is_verb(word)) and not any(
            match.start <= at < match.end for match in matches
        ):
            named = [match for match in matches if match.end <= at]
            if named and not makes_a_powder(named[-1].ingredient, words[at + 1 : at + 2]):
                return words[:at], named
    return words, matches


def _settled(name: tuple[str, ...], sense: Sense) -> _Known:
    """What a name of the vocabulary means; a bare one as chosen, or else as usual, with a doubt."""
    ambiguity = sense.words.ambiguous.get(name)
    if ambiguity is None:
        return _Known(sense.words.names[name], words=name)
    if ambiguity.option in sense.chosen:
        return _Known(INGREDIENTS[sense.chosen[ambiguity.option]], words=name)
    label = INGREDIENTS[ambiguity.reads_as].label
    return _Known(
        INGREDIENTS[ambiguity.reads_as],
        (Doubt.of(LIKELY, ambiguity.code, name=label),),
        _others(ambiguity.alternatives, INGREDIENTS[ambiguity.reads_as]),
        name,
    )


def _several(words: list[str], matches: list[_Match], sense: Sense) -> Named:
    """Several ingredients named for one amount: a choice, a list, or a name with other names before it."""
    between = {word for before, after in pairwise(matches) for word in words[before.end : after.start]}
    names = tuple(dict.fromkeys(match.ingredient.name for match in matches if match.ingredient))
    if not between.isdisjoint(_CHOOSE):
        first = _settled(matches[0].words, sense)
        others = " or ".join(INGREDIENTS[name].label for name in names if name != first.ingredient.name)
        return Named(
            first.ingredient,
            (*first.doubts, Doubt.of(UNSURE, "would_do", names=others)),
            names[1:],
            first.words,
        )
    labels = " and ".join(INGREDIENTS[name].label for name in names)
    if not between.isdisjoint(_ADD):
        return Named(None, (Doubt.of(NOT_READ, "one_amount", names=labels),), names)
    thing = matches[0 if sense.words.language in HEAD_FIRST else -1]
    last = _with_leftovers(words, matches, thing, sense)
    if last.ingredient is None:
        return Named(None, last.doubts, names)
    return Named(
        last.ingredient,
        (*last.doubts, Doubt.of(UNSURE, "several_names", names=labels)),
        _others(names, last.ingredient),
        last.words,
    )


def _with_leftovers(words: list[str], matches: list[_Match], match: _Match, sense: Sense) -> Named:
    """A name among other words.

    English puts the thing itself last, so a word behind the name may make it something else.

    Parameters
        words : list[str]
        matches : list[_Match]  the names in them
        match : _Match  the name that counts
        sense : Sense  what settles the meaning of a name
    Returns
        Named
    """
    named = _settled(match.words, sense)
    unknown = besides_wheat(named.ingredient, _unknown(words, matches))
    if (flour := by_strength(named.ingredient, words)) is not named.ingredient:
        named = named._replace(ingredient=flour, doubts=(), alternatives=())
    if not unknown:
        return Named(*named)
    listed = shown([word for _, word in unknown])
    label = named.ingredient.label
    behind = any(at >= match.end for at, _ in unknown)
    short = len(match.words) == 1 and not (
        is_spaceless(match.words[0]) and len(match.words[0]) >= _LEAST_SPACELESS
    )
    describing = describe(unknown, words, (match.start, match.end), sense.words.language) or (
        named.ingredient.is_flour and all(_KATAKANA.fullmatch(word) for _, word in unknown)
    )
    if (behind or short) and not describing or any(word in OTHER for _, word in unknown):
        return Named(
            None,
            (Doubt.of(NOT_READ, "another_thing", words=listed, name=label),),
            (named.ingredient.name, *named.alternatives),
        )
    return Named(
        named.ingredient,
        (*named.doubts, Doubt.of(UNSURE, "unknown_words", words=listed, name=label)),
        named.alternatives,
        named.words,
    )


def _near(words: list[str], sense: Sense, near: NearMisses) -> Named:
    """The name most like words that hold none; never sure."""
    if sense.words.language == "de" and (compound := _compound(words, sense)):
        return compound
    content = [word for word in words if (word not in _HARMLESS or word in _CUT) and not word[0].isdigit()]
    for at, word in enumerate(content):
        if at and word in _CUT and POWDERS.isdisjoint(content[at + 1 : at + 2]):
            content = content[:at]
            break
    content = [word for word in content if word not in _CUT]
    phrase = " ".join(content)
    if len(phrase) < 3:
        return Named(None, (Doubt.of(NOT_READ, "no_name"),))
    close = near.like(phrase, pairs_of_letters(sense.words.language))
    spellings = [spelling for ratio, spelling in close if ratio >= WORTH_NAMING_RATIO]
    names = tuple(dict.fromkeys(sense.words.names[tuple(each.split())].name for each in spellings))
    misspelt = [
        (ratio, spelling)
        for ratio, spelling in close
        if ratio >= UNSURE_RATIO and not is_other_kind(phrase, spelling, sense.words)
    ]
    if misspelt and len(phrase) > 3:
        ratio, spelling = misspelt[0]
        level = LIKELY if ratio >= _LIKELY_RATIO else UNSURE
        named = _settled(tuple(spelling.split()), sense)
        return Named(
            named.ingredient,
            (*named.doubts, Doubt.of(level, "misspelt", words=shown(content), spelling=spelling)),
            _others((*named.alternatives, *names), named.ingredient),
            named.words,
        )
    return Named(None, (Doubt.of(NOT_READ, "not_in_catalogue", words=shown(content)),), names)


def _compound(words: list[str], sense: Sense) -> Named | None:
    """A German word that ends with the name of a thing and begins with what kind it is: ``Bauernbutter``."""
    unknown = [word for word in words if word not in _HARMLESS and not word[0].isdigit()]
    if len(unknown) != 1:
        return None
    head = next((head for head in HEADS if unknown[0].endswith(head) and len(unknown[0]) > len(head)), "")
    if not head or unknown[0][: -len(head)].endswith(OTHER_KINDS):
        return None
    named = _settled((head,), sense)
    doubt = Doubt.of(UNSURE, "unknown_words", words=shown(unknown), name=named.ingredient.label)
    return Named(named.ingredient, (*named.doubts, doubt), named.alternatives, named.words)


def _others(names: Sequence[str], chosen: Ingredient) -> tuple[str, ...]:
    """Names other than that of the ingredient chosen, each once."""
    return tuple(name for name in dict.fromkeys(names) if name != chosen.name)
