"""What would do as well, said behind a name in a script without spaces: ``牛乳 水でも可``, ``鮮奶水也可``."""

from collections.abc import Iterator, Sequence

from scaldloaf.importing.quantities.measures import Item, bare_words
from scaldloaf.importing.words.names import Names
from scaldloaf.importing.words.vocabulary import ALLOWED, CHOOSE, is_spaceless

ALLOWED_SPACELESS = tuple(word for word in ALLOWED if is_spaceless(word) and len(word) > 1)
_ALLOWED = frozenset(ALLOWED_SPACELESS)
_MOST_WORDS = 3  # that a phrase is cut into


def without_allowed(items: list[Item], names: Names) -> list[Item]:
    """The items of a line without another that would do as well; all of them where “or” is before it."""
    at, end = next(_said(items), (0, 0))
    start = _name_end(items, at, names)
    other = items[start:at]
    return [*items[:start], *items[end:]] if other and CHOOSE.isdisjoint(bare_words(other)) else items


def _said(items: Sequence[Item]) -> Iterator[tuple[int, int]]:
    """Where words start and end that say that a thing would do: ``でも可``, ``で代``-``用``-``可``."""
    words = [item if type(item) is str else "" for item in items]
    for at, word in enumerate(words):
        for end in range(at + 1, at + 1 + _MOST_WORDS) if word else ():
            if "".join(words[at:end]) in _ALLOWED:
                yield at, end


def _name_end(items: Sequence[Item], at: int, names: Names) -> int:
    """Where the first name ends before a place, of those that only words part from it; the place: nowhere."""
    start = next((n + 1 for n in range(at - 1, -1, -1) if type(items[n]) is not str), 0)
    named = (
        end for end in range(max(start, 1), at) if names.named_as_spelt(bare_words(items[:end])).ingredient
    )
    return next(named, at)
