"""The language of a recipe, by its letters and by words that only one language has."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence

from scaldloaf.importing.words import tables
from scaldloaf.importing.words.vocabulary import LATIN, heading_words, words_of_language

MOST_WORDS_LOOKED_AT = 1_500
# Characters that one of the two Chinese scripts has and the other writes in another way.
_TRADITIONAL = frozenset("麵鹽湯糰團種黃雞顆個發溫動開軟乾無餡製適調裝細鮮約兩優預點熱")
_SIMPLIFIED = frozenset("面盐汤团种黄鸡颗个发温动开软干无馅制适调装细鲜约两优预点热")
_ONLY_TRADITIONAL = re.compile(f"[{''.join(sorted(_TRADITIONAL - _SIMPLIFIED))}]")
_ONLY_SIMPLIFIED = re.compile(f"[{''.join(sorted(_SIMPLIFIED - _TRADITIONAL))}]")
_KANA, _HAN, _SMALL = map(re.compile, ("[\u3041-\u30fa\u30fd-\u30ff]", "[\u4e00-\u9fff]", "[a-z]"))
_LEAST_SHARE_OF_KANA = 0.04


def _marking_words() -> dict[str, str]:
    """Word -> the only language that has it."""
    owners: dict[str, set[str]] = {}
    for language in LATIN:
        for phrase in words_of_language(language):
            for word in phrase.split():
                owners.setdefault(word, set()).add(language)
    return {
        word: next(iter(languages))
        for word, languages in owners.items()
        if len(languages) == 1 and len(word) > 1 and word.isalpha()
    }


_MARKING = _marking_words()
tables.forget()  # no other module reads them


def language_of(lines: Sequence[str]) -> str:
    """The language of a recipe's lines, a BCP 47 tag; English where nothing shows another."""
    text = "".join(lines)
    if not text.isascii():
        kana, han, latin = (len(letters.findall(text)) for letters in (_KANA, _HAN, _SMALL))
        if 3 * (kana + han) > latin:
            return _east_asian(text, kana, han)
    return _latin(lines)


def _east_asian(text: str, kana: int, han: int) -> str:
    if kana > _LEAST_SHARE_OF_KANA * (kana + han):
        return "ja"
    traditional, simplified = (
        len(letters.findall(text)) for letters in (_ONLY_TRADITIONAL, _ONLY_SIMPLIFIED)
    )
    if traditional == simplified == 0:
        return "ja"
    return "zh-Hans" if simplified > traditional else "zh-Hant"


def _latin(lines: Iterable[str]) -> str:
    found: Counter[str] = Counter()
    left = MOST_WORDS_LOOKED_AT
    for line in lines:
        words = heading_words(line[:200]).split()[:left]
        left -= len(words)
        found.update(_MARKING[word] for word in words if word in _MARKING)
        if left <= 0:
            break
    # Other languages take words from English, and English hardly any from them.
    return max(reversed(LATIN), key=lambda language: found[language]) if found else "en"
