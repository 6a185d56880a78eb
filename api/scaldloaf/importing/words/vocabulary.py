"""The words of recipes in every language, read once from ``words/`` and the catalogue, and checked.

Most words mean the same in whatever language a recipe is. Names and units that differ (nai you is butter in
Taiwan and cream on the mainland, cc a teaspoon in France) are those of the recipe's own: see ``lexicon.py``.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any, NamedTuple
from unicodedata import combining, normalize

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.words import tables
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
_LATIN = re.compile("[à-öø-ÿœæ\u0100-\u017f]")
_ELISION = re.compile(r"\b(?:[dl]|un|dell|all|dall|nell|sull)['’](?=[^\W_])", re.IGNORECASE)
_BASE_LETTERS = {
    letter: "".join(part for part in normalize("NFKD", chr(letter)) if not combining(part))
    for letter in range(0xE0, 0x180)
    if letter != 0xF7
} | {ord("œ"): "oe", ord("æ"): "ae"}
_MEANINGS: dict[str, Any] = read_table("meanings", __package__)
LANGUAGES, LATIN = tables.LANGUAGES, tables.LATIN
_WORDS = tables.TABLES  # empty once all is made of them


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
    code: str
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


@lru_cache(maxsize=512)  # a recipe says few words, and each in several places
def plain_word(word: str) -> str:
    """A word in the form names are compared in: lower case, ß as ss, no accents or apostrophes, singular."""
    word = word.casefold()
    if not word.isascii():
        word = _without_accents(word)
    if not word.isalpha():
        word = word.replace("'", "").replace("’", "")
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        if word.endswith("oes"):
            return word[:-2]
        return word[:-1]
    return word


def _without_accents(word: str) -> str:
    """Latin letters in lower case without their accents; other scripts as they are."""
    return word.translate(_BASE_LETTERS) if _LATIN.search(word) else word


def without_elision(text: str) -> str:
    """Without the article or preposition that a word has swallowed: ``jaune d'oeuf``."""
    return _ELISION.sub("", text) if "'" in text or "’" in text else text


def name_parts(name: str) -> list[str]:
    """The words of a name as they are spelt, split at hyphens, strokes and spaces."""
    return [name] if name.isalpha() else without_elision(name).replace("-", " ").replace("/", " ").split()


def name_words(name: str) -> tuple[str, ...]:
    """The words of a name in the form names are compared in."""
    return tuple(map(plain_word, name_parts(name)))


def _kept(name: str) -> tuple[str, ...]:
    """The words of a name that is kept: one text for a word that many names share."""
    return tuple(map(tables.one_of, name_words(name)))


def is_spaceless(text: str) -> bool:
    """Written without spaces between words: kana and ideographs."""
    return _SPACELESS_LETTER.search(text) is not None


def is_ideograph(letter: str) -> bool:
    """A letter that is a word by itself."""
    return "\u4e00" <= letter <= "\u9fff"


def whole_name(ingredient: Ingredient) -> str:
    """The word in place of a name found as it is written, marks included; no recipe has such a word."""
    return plain_word(f"={ingredient.name}")


def _all(table: str, key: str) -> list[str]:
    """The words of every language in a list of a table."""
    return [word for words in _WORDS.values() for word in words.get(table, {}).get(key, ())]


def _every(table: str) -> dict[str, Any]:
    """A table of every language; where two languages differ the first in LANGUAGES wins."""
    return {key: value for words in reversed(_WORDS.values()) for key, value in words.get(table, {}).items()}


_UNITS = {name: _unit(row) for name, row in _MEANINGS["unit"].items()}
for _row in _UNITS.values():
    if _row.coefficient:
        coefficient(_row.coefficient)
UNIT_CODES = MappingProxyType(_MEANINGS["unit_codes"])
NUMBERS = MappingProxyType({word: float(value) for word, value in _every("numbers").items()})
FILLING = MappingProxyType(_every("filling"))
for _name in filter(None, FILLING.values()):
    coefficient(_name)
EGG_SIZES = MappingProxyType(_every("egg_sizes"))
ADD, CHOOSE, RANGE, TIMES, CUT, LESS, EACH, COUNTER, INSTEAD, ALLOWED, OF_WHICH = (
    frozenset(_all("joins", key))
    for key in (
        *("add", "choose", "range", "times", "cut", "less", "each", "counter", "instead", "allowed"),
        "of_which",
    )
)
GOES_ON = ADD | CHOOSE | RANGE | TIMES | LESS | EACH | OF_WHICH | frozenset(_all("plain", "goes_on"))
# Of each language: words for “or”, phrases behind one that say no more, and phrases that say it alone.
CHOICES = tuple(
    tuple(tuple(words["joins"][key]) for key in ("choose", "behind_choose", "otherwise"))
    for words in _WORDS.values()
    if "otherwise" in words["joins"]
)
PLAIN = frozenset(map(plain_word, _all("plain", "words")))
OTHER = frozenset(map(plain_word, _all("plain", "other")))
POWDERS, WHEAT, YOLK, WHITE = (
    frozenset(map(plain_word, _all("plain", key))) for key in ("powder", "wheat", "yolk", "white")
)
HEADS, OTHER_KINDS = (tuple(map(plain_word, _all("plain", key))) for key in ("heads", "other_kinds"))
TAKEN_OF, USED_FOR = (frozenset(_all("joins", key)) for key in ("taken_of", "used_for"))
EQUAL, ABOUT, DENIED, FURTHER = (
    frozenset(_all("joins", key)) for key in ("equal", "about", "denied", "further")
)
EXCLUDED, OR_MORE, OF_LISTED, TOGETHER_WORDS, OPTIONAL_WORDS, WITHOUT, EQUAL_PARTS, DISSOLVED = (
    tuple(_all("joins", key))
    for key in [
        "excluded",
        "or_more",
        "of_listed",
        "together",
        "optional",
        "without",
        "equal_parts",
        "dissolved",
    ]
)
VAGUE, ASIDE, BIG_PINT_WORDS = (tuple(_all("plain", key)) for key in ("vague", "aside", "big_pints"))
# What a number counts in a recipe, the longest first: step, part.
STAGES = tuple(sorted(dict.fromkeys(_all("section", "stages")), key=len, reverse=True))
STEPS, OPENERS, COOKED, HEATED, HOT, NOT_HOT, PIPED, BOILING, KEPT, REMAINING, USED, HALF, WASH, EXCEPT = (
    frozenset(map(plain_word, _all("section", key)))
    for key in (
        *("steps", "openers", "cooked", "heated", "hot", "not_hot", "piped", "boiling", "kept", "remaining"),
        *("used", "half", "wash", "except"),
    )
)
GREASED = frozenset(map(plain_word, _all("section", "greased")))

# How often a scald is made, behind a number; and that more of it is made than goes into the bread.
BATCHES, LEFT_OVER, LOAVES = (tuple(_all("section", key)) for key in ("batches", "left_over", "loaves"))
FILLED, KNEADED, WHIPPED, BOILED, FOLDED, FROM_LIST, TO_READER, PLACES = (
    tuple(_all("section", key))
    for key in ("filled", "kneaded", "whipped", "boiled", "folded", "from_list", "to_reader", "places")
)


def _others() -> frozenset[str]:
    """Headings that say only that something else follows."""
    return frozenset(map(heading_words, _all("section", "others")))


def heading_words(text: str) -> str:
    """The words of a heading as they are compared: no accents or marks, no spaces in scripts without them."""
    if text.isascii() and text.replace(" ", "").isalpha():
        return " ".join(text.lower().split())
    plain = without_elision(_without_accents(text.casefold().replace("’", "'")))
    words = " ".join(_HEADING_WORD.findall(plain))
    return words.replace(" ", "") if is_spaceless(words) else words


def plain_words(text: str) -> list[str]:
    """The words of a text in the form names are compared in."""
    return list(map(plain_word, heading_words(text).split()))


def names_dough(text: str) -> bool:
    """Whether a text names the dough, or what is made of it: ``Teigstücke``, ``麵糰``."""
    words = heading_words(text)
    if is_spaceless(words):
        return any(map(words.__contains__, DOUGH_NAMES))
    return any(word.startswith(DOUGH_NAMES) for word in words.split())


def has_one_of(text: str, words: frozenset[str]) -> bool:
    """Whether a text has one of the words: a word of its own, or anywhere in a script without spaces."""
    if is_spaceless(text):
        return any(map(text.__contains__, _spaceless_of(words)))
    return not words.isdisjoint(plain_words(text))


@cache
def _spaceless_of(words: frozenset[str]) -> tuple[str, ...]:
    return tuple(filter(is_spaceless, words))


_HEADING_WORD = re.compile(r"[^\W_]+(?:'[^\W_]+)*")
SPONGE, LIST, METHOD = "sponge", "list", "method"  # headings besides those of PARTS
SECTIONS = MappingProxyType({part: tuple(_all("section", part)) for part in (*PARTS, SPONGE, LIST, METHOD)})
HEADINGS = MappingProxyType(
    {heading_words(filling): OUTSIDE for filling in _all("not_ours", "fillings")}
    | {
        heading_words(phrase): part
        for part in reversed((SCALD, DOUGH, OUTSIDE, SPONGE, LIST, METHOD))
        for phrase in SECTIONS[part]
    }
)
# What says that all below it is the dough; a bread's name (milk bread) may be the title of the whole recipe.
DOUGH_WORDS = frozenset(heading_words(_WORDS[language]["section"][DOUGH][0]) for language in LANGUAGES)
SECTION_LEADS = tuple(
    sorted({heading_words(lead) for lead in _all("section", "lead")}, key=len, reverse=True)
)
SECTION_TAILS = tuple(
    sorted({heading_words(tail) for tail in _all("section", "tail")}, key=len, reverse=True)
)
OTHERS = _others()
# Headings of what may be kneaded in, and may be a filling as well.
MIXED_IN = frozenset(map(heading_words, _all("section", "mixed_in")))
# What the dough is called; other words start with it or hold it: Teigstücke, 主麵糰.
DOUGH_NAMES = tuple(map(heading_words, _all("section", "dough_names")))
# Before what they are for, in a heading: to finish the dough.
FINISHING = tuple(map(heading_words, _all("section", "finishing")))
# Headings that say only that more is added: single words, and phrases of several, the longest first.
MORE = tuple(sorted(dict.fromkeys(map(heading_words, _all("section", "more"))), key=len, reverse=True))
BREADS = tuple(map(heading_words, _all("section", "breads")))  # what the name of a bread ends with
INFO, TOTALS = (frozenset(map(heading_words, _all("section", key))) for key in ("info", "totals"))
# What a line says that is only a date, and a heading of the recipe made otherwise.
DATES, VERSIONS = (frozenset(map(heading_words, _all("section", key))) for key in ("dates", "versions"))
# Of nutrition labels: values, those that may be ingredients, units of energy, what a label says of itself.
NUTRIENTS, NUTRIENTS_TOO, ENERGY, LABEL_WORDS = (
    frozenset(map(heading_words, _all("label", key))) for key in ("nutrients", "too", "energy", "words")
)
NUTRIENTS |= ENERGY
PAGE_LINES = frozenset(map(heading_words, _MEANINGS["page"]["lines"]))  # of pages, not of recipes
TABLE_HEADS = MappingProxyType(
    {
        kind: frozenset(map(heading_words, _all("table", kind)))
        for kind in ("part", "ingredient", "amount", "instead")
    }
)
COLUMN_HEADS = frozenset(map(heading_words, _all("table", "beside"))).union(*TABLE_HEADS.values())
MEASURED_AS: Mapping[str, str] = MappingProxyType(
    {name: kind for kind, names in _MEANINGS["measured_as"].items() for name in names if INGREDIENTS[name]}
)


def _units_of(language: str) -> dict[str, Unit]:
    """The units that a language's own words name."""
    units: dict[str, Unit] = {}
    for key, names in _WORDS[language].get("units", {}).items():
        if key == "alone":
            continue
        for name in names:
            if name in units:
                raise RuntimeError(f"words/{language}.toml has the unit {name!r} twice")
            units[name] = _UNITS[key]
    return units


def _names_of(language: str) -> dict[tuple[str, ...], Ingredient]:
    """The ingredients that a language's own words name."""
    names: dict[tuple[str, ...], Ingredient] = {}
    own = _WORDS[language].get("ingredients", {})
    for name in own:
        INGREDIENTS[name]
    for row in INGREDIENTS.values():
        for spelling in (*row.names.get(language, ()), *own.get(row.name, ())):
            if _MARK.search(spelling):
                continue
            known = names.setdefault(_kept(spelling), row)
            if known is not row:
                raise RuntimeError(
                    f"the spelling {spelling!r} means both {known.name!r} and {row.name!r} in {language!r}"
                )
    return names


def _ambiguities_of(language: str) -> dict[tuple[str, ...], Ambiguity]:
    found = {}
    for row in _WORDS[language].get("ambiguous", ()):
        ambiguity = Ambiguity(
            row["reads_as"], tuple(row["alternatives"]), row["code"], row["why"], row.get("option", "")
        )
        for name in ambiguity.alternatives:
            INGREDIENTS[name]
        for spelling in row["words"]:
            found[_kept(spelling)] = ambiguity
    return found


def ambiguities(languages: Iterable[str]) -> Iterator[Ambiguity]:
    """The names of several ingredients, of some languages."""
    for language in languages:
        yield from OWN_AMBIGUITIES[language].values()


OWN_NAMES = {language: _names_of(language) for language in LANGUAGES}
OWN_AMBIGUITIES = {language: _ambiguities_of(language) for language in LANGUAGES}
OWN_UNITS = {language: _units_of(language) for language in LANGUAGES}
CATALOGUE = {
    name_words(name): row
    for row in INGREDIENTS.values()
    for name in (whole_name(row), row.name.replace("_", " "))
}
TOOLS, FILLINGS = (frozenset(_kept(name) for name in _all("not_ours", key)) for key in ("tools", "fillings"))
NOT_OURS = frozenset(_kept(name) for name in _all("not_ours", "names")) | TOOLS | FILLINGS
STARTERS, DRIED = (
    frozenset(" ".join(name_words(name)) for name in _all("not_ours", key)) for key in ("starters", "dried")
)
# Of sourdough starters: what says that one is liquid or stiff, or holds no flour; what is said of its water.
LIQUID_STARTER, STIFF_STARTER, NO_FLOUR, HYDRATION, DOUGH_YIELD = (
    tuple(_all("starter", key)) for key in ("liquid", "stiff", "no_flour", "hydration", "dough_yield")
)
# What a recipe of each language calls the flour and the water of a starter.
STARTER_PARTS: dict[str, dict[str, str]] = {
    language: dict(words["starter"]["parts"]) for language, words in _WORDS.items()
}
STARTER_FLOURS = {
    name: tuple(
        word for words in _WORDS.values() for word in words.get("starter", {}).get("flours", {}).get(name, ())
    )
    for name in ("rye_flour", "whole_wheat_flour", "spelt_flour")
    if INGREDIENTS[name].is_flour
}
ADDITIONS, TOPPINGS, SOAKED_FRUIT, STEEPING, IN_PIECES = (
    frozenset(name for name in _MEANINGS["kinds"][key] if INGREDIENTS[name])
    for key in ("additions", "toppings", "soaked_fruit", "steeping", "in_pieces")
)
SALTS = frozenset(name for name in ("salt", "coarse_salt") if INGREDIENTS[name])


def words_of_language(language: str) -> set[str]:
    """The words and phrases by which a language is recognised, as ``heading_words`` makes them."""
    own = _WORDS[language]
    phrases = {
        " ".join(words) for names in (OWN_NAMES[language], OWN_AMBIGUITIES[language]) for words in names
    }
    phrases.update(name for names in own["units"].values() for name in names)
    phrases.update(own.get("plain", {}).get("words", ()), *own["section"].values(), *own["joins"].values())
    return {words for phrase in phrases if (words := heading_words(phrase))}


def _spaceless() -> dict[str, tuple[str, ...]]:
    """First character -> known words of languages without spaces, longest first, to cut a run at."""
    known = {"".join(words) for names in OWN_NAMES.values() for words in names}
    known.update("".join(words) for names in OWN_AMBIGUITIES.values() for words in names)
    known.update(*OWN_UNITS.values(), map("".join, NOT_OURS))
    known.update(
        ADD, CHOOSE, RANGE, CUT, EACH, OF_WHICH, PLAIN, VAGUE, ASIDE, FILLING, EGG_SIZES, *SECTIONS.values()
    )
    known.difference_update(_all("units", "alone"))
    by_first: dict[str, list[str]] = {}
    for word in sorted(filter(is_spaceless, known), key=len, reverse=True):
        by_first.setdefault(word[0], []).append(word)
    return {first: tuple(words) for first, words in by_first.items()}


SPACELESS = MappingProxyType(_spaceless())
