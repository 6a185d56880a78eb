"""What a line says of a sourdough starter: how much of it, how wet it is, and of which flour."""

import re
import unicodedata
from collections.abc import Iterable, Sequence

from scaldloaf.dough.estimate import Estimate, exactly
from scaldloaf.importing.line.item_words import joined_words, mass_in, phrases_of
from scaldloaf.importing.line.measures_of_one import measures_of
from scaldloaf.importing.quantities.masses import Choices
from scaldloaf.importing.quantities.measures import Item
from scaldloaf.importing.quantities.readings import Starter
from scaldloaf.importing.words.doubt import LIKELY, SOURDOUGH, Doubt
from scaldloaf.importing.words.names import Named, Names
from scaldloaf.importing.words.sections import Phrases, framed
from scaldloaf.importing.words.vocabulary import (
    DOUGH_YIELD,
    HYDRATION,
    LIQUID_STARTER,
    NO_FLOUR,
    STARTER_FLOURS,
    STIFF_STARTER,
    heading_words,
)
from scaldloaf.reference import INGREDIENTS, Ingredient, coefficient

LEAST_HYDRATION, MOST_HYDRATION = 30.0, 200.0  # percent of a starter's flour
_FLOUR_ALONE = 100.0  # of a dough yield


def _bare(text: str) -> str:
    """A text in lower case, letters without accents."""
    letters = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in letters if not unicodedata.combining(letter))


def _any_of(words: Iterable[str]) -> str:
    return "|".join(re.escape(_bare(word)) for word in sorted(words, key=len, reverse=True))


_PERCENT = r"(?P<percent>\d{2,3}(?:[.,]\d)?) ?%"
_PERCENT_FIRST = re.compile(rf"{_PERCENT} ?(?:(?:of|di|de|d['’]) ?)?(?:{_any_of(HYDRATION)})")
_PERCENT_BEHIND = re.compile(rf"(?<![^\W\d_])(?:{_any_of(HYDRATION)})[^\d%,;]{{0,12}}{_PERCENT}")
_YIELD = re.compile(rf"(?<![^\W\d_])(?:{_any_of(DOUGH_YIELD)})[ :=-]{{0,3}}(?P<percent>[12]\d\d)(?!\d)")
_LIQUID, _STIFF, _WITHOUT_FLOUR = (
    Phrases(map(heading_words, words)) for words in (LIQUID_STARTER, STIFF_STARTER, NO_FLOUR)
)
_FLOURS = tuple(
    (INGREDIENTS[name], Phrases(map(heading_words, words))) for name, words in STARTER_FLOURS.items()
)
_LIQUID_ROW, _STIFF_ROW, _ROW = (
    coefficient(f"starter_{kind}hydration_percent") for kind in ("liquid_", "stiff_", "")
)


def starter_named(named: Named, items: Sequence[Item], names: Names) -> Named:
    """What a line names: a starter that is behind its adjectives too, as in ``active, bubbly levain``."""
    if any(doubt.code != "no_name" for doubt in named.doubts):
        return named
    behind = [names.named_as_spelt(phrase) for phrase in phrases_of(items)[1:]]
    return next((each for each in behind if _is_starter(each)), named)


def _is_starter(named: Named) -> bool:
    """Whether words name a sourdough starter."""
    return any(doubt.code == SOURDOUGH for doubt in named.doubts)


def starter_of(named: Named, items: Sequence[Item], text: str, choices: Choices) -> Starter | None:
    """What a line says of its starter; None where it names none, has no weight, or it holds no flour.

    Parameters
        named : Named  what the line names
        items : Sequence[Item]  of it
        text : str  the line
        choices : Choices  of the caller
    Returns
        Starter | None
    """
    if not _is_starter(named):
        return None
    mass = mass_in(items) or mass_in(measures_of(list(items))[0])
    words = framed(joined_words(items))
    if mass is None or mass.low <= 0 or _WITHOUT_FLOUR.found_in(words):
        return None
    flour = _flour_in(words)
    if said := _said_hydration(text):
        return Starter(mass, exactly(said), flour=flour)
    if choices.starter_hydration is not None:
        return Starter(mass, exactly(choices.starter_hydration), flour=flour)
    row = _LIQUID_ROW if _LIQUID.found_in(words) else _STIFF_ROW if _STIFF.found_in(words) else _ROW
    hydration = Estimate(row.low, row.value, row.high, row.evidence)
    return Starter(
        mass, hydration, Doubt.of(LIKELY, "starter_hydration", percent=row.value), flour, row.sources
    )


def _flour_in(words: str) -> Ingredient | None:
    return next((flour for flour, phrases in _FLOURS if phrases.found_in(words)), None)


def _said_hydration(text: str) -> float | None:
    """Water that a line states, percent of the starter's flour: ``100 % hydration``, ``TA 200``."""
    plain = _bare(text)
    for form, less in ((_PERCENT_FIRST, 0.0), (_PERCENT_BEHIND, 0.0), (_YIELD, _FLOUR_ALONE)):
        if found := form.search(plain):
            percent = float(found["percent"].replace(",", ".")) - less
            if LEAST_HYDRATION <= percent <= MOST_HYDRATION:
                return percent
    return None
