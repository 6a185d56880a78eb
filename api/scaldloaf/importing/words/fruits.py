"""Words for fruits of which one gives zest or juice, and what is taken of two of them."""

import re

from scaldloaf.importing.words.vocabulary import ADD, CUT, NUMBERS, OWN_NAMES, PLAIN, YOLK, plain_word

MOST_CHARACTERS = 80  # of a line that takes something of two fruits
_WORD = re.compile(r"[^\W\d_]+")
_BESIDE = PLAIN | NUMBERS.keys() | {"of", "the", "a", "an", "von", "di", "dell", "fruit"}


def _names_of(part: str) -> list[tuple[str, ...]]:
    return [
        name for names in OWN_NAMES.values() for name, named in names.items() if named and named.name == part
    ]


def _words_of(part: str) -> set[str]:
    return {plain_word(word) for name in _names_of(part) for word in name}


def _fruits() -> frozenset[str]:
    """What the names of the zest and of the juice of one fruit share, and those of the other have not."""
    lemon = _words_of("lemon_zest") & _words_of("lemon_juice")
    orange = _words_of("orange_zest") & _words_of("orange_juice")
    return frozenset(lemon ^ orange) - _BESIDE - YOLK - set(map(plain_word, CUT))


def _parts() -> frozenset[str]:
    """What the names of the zest, or of the juice, of both fruits share: zest, ralladura, jus."""
    parts: set[str] = set()
    for part in ("zest", "juice"):
        alone = {name[0] for name in _names_of(f"lemon_{part}") if len(name) == 1}
        parts |= (_words_of(f"lemon_{part}") & _words_of(f"orange_{part}")) - (_BESIDE - alone)
    return frozenset(parts) - FRUITS


FRUITS = _fruits()
PARTS = _parts()


def each_fruit(plain: str) -> str:
    """A line that takes the same of two fruits as two lines: ``zest of 1 lemon and 1 orange``.

    Empty for any other line.
    """
    if len(plain) > MOST_CHARACTERS:
        return ""
    found = list(_WORD.finditer(plain))
    joins = [at for at, word in enumerate(found) if word.group().lower() in ADD]
    if len(joins) != 1:
        return ""
    words = [plain_word(word.group().lower()) for word in found]
    fruits = [at for at, word in enumerate(words) if word in FRUITS]
    part = next((at for at, word in enumerate(words) if word in PARTS), len(words))
    if len(fruits) != 2 or not part < fruits[0] < joins[0] < fruits[1]:
        return ""
    beside = {
        word for at, word in enumerate(words) if part < at < fruits[1] and at not in (fruits[0], joins[0])
    }
    if not beside <= _BESIDE or any(map(str.isdigit, plain[: found[part].start()])):
        return ""
    first, second = plain[: found[joins[0]].start()], plain[found[joins[0]].end() :]
    return f"{first.strip()}\n{plain[: found[part].end()]}{second}"
