"""The search for names like a misspelt one."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from itertools import chain

from scaldloaf.importing.words.lexicon import Lexicon

MOST_NEAR_LOOKUPS = 40  # of a recipe
MOST_NEAR_CHARACTERS = 40
WORTH_NAMING_RATIO, UNSURE_RATIO = 0.55, 0.8
_SHARING, _CANDIDATES = 60, 4  # names that share the most pairs, and those of them that are compared


@dataclass(slots=True)
class NearMisses:
    """The search for names like a misspelt one; a whole recipe has a limited number of them."""

    left: int = MOST_NEAR_LOOKUPS
    known: dict[str, tuple[tuple[float, str], ...]] = field(default_factory=dict)

    def like(self, phrase: str, pairs_of: Mapping[str, tuple[str, ...]]) -> tuple[tuple[float, str], ...]:
        """(likeness, spelling) of the names most like a phrase, best first; only those worth naming."""
        if phrase in self.known:
            return self.known[phrase]
        if not self.left or len(phrase) > MOST_NEAR_CHARACTERS:
            return ()
        self.left -= 1
        pairs = dict.fromkeys([phrase[at : at + 2] for at in range(len(phrase) - 1)])
        shared = Counter(chain.from_iterable([pairs_of[pair] for pair in pairs if pair in pairs_of]))
        matcher = SequenceMatcher(b=phrase, autojunk=False)
        ratios = []
        nearest = sorted(shared, key=shared.__getitem__, reverse=True)[:_SHARING]
        nearest.sort(
            key=lambda spelling: len(spelling) / shared[spelling]
        )  # a long one shares many by chance
        for spelling in nearest[:_CANDIDATES]:
            matcher.set_seq1(spelling)
            if (
                matcher.real_quick_ratio() >= WORTH_NAMING_RATIO
                and matcher.quick_ratio() >= WORTH_NAMING_RATIO
            ):
                ratios.append((matcher.ratio(), spelling))
        self.known[phrase] = tuple(sorted(ratios, reverse=True))
        return self.known[phrase]


def is_other_kind(word: str, spelling: str, lexicon: Lexicon) -> bool:
    """Whether two words are kinds of one thing: Schafmilch is a milk, not Hafermilch misspelt."""
    for at in range(1, len(word)):
        thing = word[at:]
        if (thing,) in lexicon.read_as and spelling.endswith(thing):
            kind, other = word[:at], spelling[: -len(thing)]
            return other[:1] != kind[0] or SequenceMatcher(None, kind, other, False).ratio() < UNSURE_RATIO
    return False
