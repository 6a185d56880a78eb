"""The words of recipes, read once from ``words.toml`` and the catalogue, and checked against each other."""

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain
from operator import add
from types import MappingProxyType
from typing import Any, NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.reference import INGREDIENTS, Ingredient, coefficient, read_table
from scaldloaf.units import size

MASS, VOLUME, SPICE, STICK, PACKET, CUBE, PIECE = (
    "mass",
    "volume",
    "spice",
    "stick",
    "packet",
    "cube",
    "piece",
)
PERCENT, CONTAINER, REMARK, COUNT = "percent", "container", "none", "count"
OUTSIDE = "aside"
PARTS = (SCALD, DOUGH, OUTSIDE)
_SPACELESS_LETTER = re.compile("[\u3040-\u30ff\u3005\u4e00-\u9fff]")
_MARK = re.compile(r"[^\w\s'’/%.-]")  # parts a name, or is read as something else
_WORD = re.compile(r"[^\W\d_]+")
_WORDS: dict[str, Any] = read_table("words", __package__)


class Sizes(NamedTuple):
    """What a cup, spoon, fluid ounce or pint holds, cm3, in each kitchen that a caller may choose."""

    us: float = 0.0
    metric: float = 0.0
    australian: float = 0.0
    japanese: float = 0.0


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of recipes.

    grams: of a mass. cm3: of a volume. coefficient: the name of what a pinch holds. before: numbers may
    follow it. has_plural: its label gets an s.
    """

    label: str
    kind: str
    grams: float = 0.0
    cm3: Sizes = Sizes()
    coefficient: str = ""
    before: bool = False
    has_plural: bool = False


NO_UNIT = Unit("", COUNT)  # of a bare number


@dataclass(frozen=True, slots=True)
class Ambiguity:
    """A name of several ingredients: what it is read as, and the choice that settles it."""

    reads_as: str
    alternatives: tuple[str, ...]
    why: str
    option: str


def _unit(row: dict[str, Any]) -> Unit:
    kind = row["kind"]
    return Unit(
        row["label"],
        kind,
        size("mass", row["is"]) if kind in (MASS, STICK) else 0.0,
        _sizes(row) if kind == VOLUME else Sizes(),
        row.get("coefficient", ""),
        row.get("before", False),
        row.get("plural", len(row["label"].split()[0]) > 2),
    )


def _sizes(row: dict[str, Any]) -> Sizes:
    """A volume that is the same everywhere (``is``), or one for each kitchen; one not named is metric."""
    metric = row.get("is") or row["metric"]
    return Sizes(*(size("volume", row.get(kitchen, metric)) for kitchen in Sizes._fields))


def _units() -> dict[str, Unit]:
    units: dict[str, Unit] = {}
    for row in _WORDS["unit"].values():
        unit = _unit(row)
        if unit.coefficient:
            coefficient(unit.coefficient)
        for name in row["names"]:
            if name in units:
                raise RuntimeError(f"words.toml has the unit {name!r} twice")
            units[name] = unit
    return units


def plain_word(word: str) -> str:
    """A word in the form names are compared in: lower case, ß as ss, no apostrophes, singular."""
    word = word.casefold()
    if not word.isalpha():
        word = word.replace("'", "").replace("’", "")
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        if word.endswith("oes"):
            return word[:-2]
        return word[:-1]
    return word


def name_parts(name: str) -> list[str]:
    """The words of a name as they are spelt, split at hyphens, strokes and spaces."""
    return [name] if name.isalpha() else name.replace("-", " ").replace("/", " ").split()


def name_words(name: str) -> tuple[str, ...]:
    """The words of a name in the form names are compared in."""
    return tuple(map(plain_word, name_parts(name)))


def is_spaceless(text: str) -> bool:
    """Written without spaces between words: kana and ideographs."""
    return _SPACELESS_LETTER.search(text) is not None


def is_ideograph(letter: str) -> bool:
    """A letter that is a word by itself."""
    return "\u4e00" <= letter <= "\u9fff"


def _names() -> dict[tuple[str, ...], Ingredient]:
    names: dict[tuple[str, ...], Ingredient] = {}
    for row in INGREDIENTS.values():
        names[whole_name(row),] = row
        for spelling in chain((row.name.replace("_", " "),), *row.names.values()):
            if _MARK.search(spelling):
                continue
            known = names.setdefault(name_words(spelling), row)
            if known is not row:
                raise RuntimeError(f"the spelling {spelling!r} means both {known.name!r} and {row.name!r}")
    return names


def whole_name(ingredient: Ingredient) -> str:
    """The word that stands for a name found as it is written, marks included; no recipe has such a word."""
    return plain_word(f"={ingredient.name}")


def _ambiguities() -> dict[tuple[str, ...], Ambiguity]:
    found = {}
    for row in _WORDS["ambiguous"]:
        ambiguity = Ambiguity(row["reads_as"], tuple(row["alternatives"]), row["why"], row.get("option", ""))
        for name in ambiguity.alternatives:
            INGREDIENTS[name]
        for spelling in row["words"]:
            found[name_words(spelling)] = ambiguity
    return found


def _near_index() -> dict[str, tuple[str, ...]]:
    """Pair of letters -> spellings that hold it, to keep the search for near misses short."""
    pairs: defaultdict[str, list[str]] = defaultdict(list)
    for words in NAMES:
        spelling = " ".join(words)
        if spelling.startswith("="):
            continue
        for pair in set(map(add, spelling, spelling[1:])):
            pairs[pair].append(spelling)
    return {pair: tuple(spellings) for pair, spellings in pairs.items()}


def _words_in(language: str) -> frozenset[str]:
    """The words of the names of ingredients in a language."""
    spellings = chain.from_iterable(row.names.get(language, ()) for row in INGREDIENTS.values())
    return frozenset(_WORD.findall(" ".join(spellings).lower()))


UNITS = MappingProxyType(_units())
EXACT_CASE = MappingProxyType({"T": UNITS["tablespoon"], "Tb": UNITS["tablespoon"], "t": UNITS["teaspoon"]})
UNIT_CODES = MappingProxyType(_WORDS["unit_codes"])
NUMBERS = MappingProxyType({word: float(value) for word, value in _WORDS["numbers"].items()})
FILLING = MappingProxyType(_WORDS["filling"])
for _name in filter(None, FILLING.values()):
    coefficient(_name)
EGG_SIZES = MappingProxyType(_WORDS["egg_sizes"])
ADD, CHOOSE, RANGE, TIMES, CUT = (
    frozenset(_WORDS["joins"][key]) for key in ("add", "choose", "range", "times", "cut")
)
PLAIN = frozenset(plain_word(word) for word in _WORDS["plain"]["words"])
OTHER = frozenset(plain_word(word) for word in _WORDS["plain"]["other"])
VAGUE, ASIDE = tuple(_WORDS["plain"]["vague"]), tuple(_WORDS["plain"]["aside"])
SECTIONS = MappingProxyType({part: tuple(_WORDS["section"][part]) for part in PARTS})
SECTION_LEADS = tuple(sorted(_WORDS["section"]["lead"], key=len, reverse=True))
AMBIGUOUS = MappingProxyType(_ambiguities())
NAMES = MappingProxyType(_names())
# First word of a name -> how many words the longest name has that starts so.
NAME_STARTS = MappingProxyType({words[0]: len(words) for words in sorted((*NAMES, *AMBIGUOUS), key=len)})
NEAR = MappingProxyType(_near_index())
GERMAN = _words_in("de") - _words_in("en") | {"el", "tl", "prise", "pfund"}
MEASURED_AS: Mapping[str, str] = MappingProxyType(
    {name: kind for kind, names in _WORDS["measured_as"].items() for name in names if INGREDIENTS[name]}
)


def _spaceless() -> dict[str, tuple[str, ...]]:
    """First character -> known words of languages without spaces, longest first, to cut a run at."""
    known = {"".join(words) for words in (*NAMES, *AMBIGUOUS)}
    known.update(UNITS, ADD, CHOOSE, RANGE, CUT, PLAIN, VAGUE, ASIDE, FILLING, *SECTIONS.values())
    known.difference_update(*(row["names"] for row in _WORDS["unit"].values() if row.get("alone")))
    by_first: dict[str, list[str]] = {}
    for word in sorted(filter(is_spaceless, known), key=len, reverse=True):
        by_first.setdefault(word[0], []).append(word)
    return {first: tuple(words) for first, words in by_first.items()}


SPACELESS = MappingProxyType(_spaceless())
