"""Phrases before what would do instead, as one “or”: ``or else``, ``o en su defecto``, ``à défaut``."""

import re

from scaldloaf.importing.words.vocabulary import CHOICES, NUMBERS

_NUMBER = "|".join(sorted((re.escape(word) for word in NUMBERS if word.isalpha()), key=len, reverse=True))
_BEFORE_AMOUNT = rf"[.,:]?\s+(?=\d|(?:{_NUMBER})(?![^\W_]))"


def _one_of(phrases: tuple[str, ...]) -> str:
    return "|".join(re.escape(phrase) for phrase in sorted(phrases, key=len, reverse=True))


def _phrase() -> tuple[re.Pattern[str], dict[str, str]]:
    """What finds the phrases in front of an amount, and the “or” for each."""
    found: list[str] = []
    words: dict[str, str] = {}
    for choose, behind, otherwise in CHOICES:
        led = _one_of(tuple(word for word in choose if word.isalpha()))
        found.append(rf"(?:{led})(?:\s+|,\s*)(?:{_one_of(behind)})")
        found.append(_one_of(otherwise))
        words |= dict.fromkeys(otherwise, choose[0])
    pattern = rf"(?:; ?)?(?<![^\W_])(?:{'|'.join(found)}){_BEFORE_AMOUNT}"
    return re.compile(pattern, re.IGNORECASE), words


_PHRASE, _CHOOSE = _phrase()


def with_one_choice(text: str) -> str:
    """A line with one word for “or” in place of a phrase that says so in front of an amount."""
    return _PHRASE.sub(_as_one, text)


def _as_one(found: re.Match[str]) -> str:
    phrase = found.group().lower().strip(" .,:;")
    return f" {_CHOOSE.get(phrase) or phrase.replace(',', ' ').split()[0]} "
