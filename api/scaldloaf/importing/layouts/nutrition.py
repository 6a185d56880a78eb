"""Lines of a nutrition label among those of a recipe: ``Calories 250 kcal``, with ``Sugars 6 g`` below."""

import re
from collections.abc import Iterator, Sequence

from scaldloaf.importing.words.vocabulary import ENERGY, LABEL_WORDS, NUTRIENTS, NUTRIENTS_TOO, heading_words

MOST_LABEL_CHARACTERS = 400
LEAST_NUTRIENTS = 2  # beside what may be an ingredient as well
_PIECE = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*|\d[\d.,]*")
GLUED = re.compile(r"(?<=\d) ?(k?cal|kJ|[mµ]?c?g|IU)(?=[A-ZÄÖÜÉ][a-zß-ÿ])")  # 431 gProtein: 83 gFat
_UNITS = frozenset(("g", "mg", "mcg", "µg", "ug", "iu", "gram", "grams", "gramm", "grammes", "grammi"))
_UNITS |= {"gramos", "克"}
_FIRST_WORDS = frozenset(name.split()[0] for name in NUTRIENTS | NUTRIENTS_TOO)


def label_lines(plain: Sequence[str]) -> frozenset[int]:
    """The places of the lines that are of a nutrition label.

    What may be an ingredient as well, such as sugar, is of one only below a value that is of nothing else,
    where there is another such value or the heading of a label.
    """
    found: set[int] = set()
    for block in _blocks(plain):
        sure = [at for at, values in block if values]
        found.update(sure)
        if sure and sum(values for _, values in block) + _is_headed(plain, block[0][0]) >= LEAST_NUTRIENTS:
            found.update(at for at, _ in block if at > sure[0] and _is_written_alike(plain, at, sure[0]))
    return frozenset(found)


def heads_a_label(line: str) -> bool:
    """Whether a line says only that a nutrition label follows: ``Nährwerte pro Stück``."""
    words = heading_words(line).split()
    return bool(words) and LABEL_WORDS.issuperset(words)


def _is_headed(plain: Sequence[str], at: int) -> bool:
    """Whether the line above a place, but for blank ones, heads a label."""
    above = next((line for line in reversed(plain[:at]) if line), "")
    return len(above) < MOST_LABEL_CHARACTERS and heads_a_label(above)


def _is_written_alike(plain: Sequence[str], one: int, other: int) -> bool:
    """Whether two lines both start with their number, or neither does."""
    return plain[one][0].isdigit() is plain[other][0].isdigit()


def _blocks(plain: Sequence[str]) -> Iterator[list[tuple[int, int]]]:
    """Runs of lines that may be of a label, with how many values each has that are of nothing else."""
    block: list[tuple[int, int]] = []
    for at, line in enumerate(plain):
        if not line:
            continue
        values, others = _values(line)
        if values or others:
            block.append((at, values))
        elif block:
            yield block
            block = []
    if block:
        yield block


def _values(line: str) -> tuple[int, int]:
    """How many values of a label a line has, and how many that may be of an ingredient."""
    if len(line) > MOST_LABEL_CHARACTERS or not any(map(str.isdigit, line)):
        return 0, 0
    sure = too = 0
    for name in _names(line) or ():
        if name in NUTRIENTS:
            sure += 1
        elif name in NUTRIENTS_TOO:
            too += 1
        else:
            return 0, 0
    return sure, too


def _names(line: str) -> list[str] | None:
    """The words between the numbers of a line, without units and what a label says of itself.

    None where the first of them starts no name of a value. A unit of energy behind a number stands for its
    name: ``250 kcal``.
    """
    names: list[list[str]] = [[]]
    is_first = True
    for piece in _PIECE.findall(GLUED.sub(r" \1 ", line).lower()):
        if piece[0].isdigit():
            names.append([])
        elif piece in ENERGY and not names[-1] and len(names) > 1:
            names[-1:] = [[piece], []]
            is_first = False
        elif piece not in _UNITS and piece not in LABEL_WORDS:
            if is_first and heading_words(piece) not in _FIRST_WORDS:
                return None
            names[-1].append(piece)
            is_first = False
    return [heading_words(" ".join(name)) for name in names if name]
