"""Words that no list has and that only describe what they stand beside: told by their place and ending."""

import re
from collections.abc import Sequence

_MOST_DESCRIBING = 2  # words
_LEAST_SIGNS = 2  # of a Chinese name that a word before it hardly makes another thing
_JOINING = frozenset(
    ("de", "di", "du", "des", "del", "della", "al", "alla", "aux", "con", "sans", "sin", "senza")
)
# Endings of adjectives and participles, before a name.
_ADJECTIVE = {
    "de": re.compile(
        r"(?:ig|lich|isch|end|bar|los|frei|arm|reich)(?:e[rsnm]?)?$|(?:t|n|en)e[rsnm]?$|^ge.*(?:t|en)$"
    ),
    "en": re.compile(r"(?:ed|ly|ish|est)$"),
}
HEAD_FIRST = frozenset(("fr", "es", "it"))  # languages that put the thing itself before what describes it


def describe(
    unknown: Sequence[tuple[int, str]], words: Sequence[str], name: tuple[int, int], language: str
) -> bool:
    """Whether unknown words are hardly more than adjectives of the name beside them, by place and ending."""
    if len(unknown) > _MOST_DESCRIBING:
        return False
    places = [at for at, _ in unknown]
    if language in HEAD_FIRST:
        return all(at >= name[1] and words[at - 1] not in _JOINING for at in places)
    if any(at >= name[1] for at in places):
        return False
    if language in ("zh-Hans", "zh-Hant"):
        return len("".join(words[name[0] : name[1]])) >= _LEAST_SIGNS
    ending = _ADJECTIVE.get(language)
    return ending is not None and all(ending.search(word) for _, word in unknown)
