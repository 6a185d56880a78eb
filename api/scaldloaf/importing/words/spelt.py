"""Words of names as they are compared and as they were spelt."""

from collections.abc import Sequence

from scaldloaf.importing.words.vocabulary import name_parts, plain_word

MOST_NAME_WORDS = 24  # of a phrase; the rest is a remark
MOST_SHOWN_CHARACTERS = 40


class Spelt(str):
    """A word in the form in which names are compared, with its spelling."""

    __slots__ = ("raw",)
    raw: str


def words_of(texts: Sequence[str]) -> list[str]:
    """Words in the form in which names are compared, of at most MOST_NAME_WORDS texts."""
    return [_spelt(part) for text in texts[:MOST_NAME_WORDS] for part in name_parts(text)]


def _spelt(raw: str) -> str:
    plain = plain_word(raw)
    if plain == raw:
        return plain
    word = Spelt(plain)
    word.raw = raw
    return word


def shown(words: Sequence[str]) -> str:
    """Words as they were spelt, in quotation marks."""
    return f"“{' '.join(getattr(word, 'raw', word) for word in words)[:MOST_SHOWN_CHARACTERS]}”"
