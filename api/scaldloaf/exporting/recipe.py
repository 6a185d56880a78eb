"""A recipe put together in the words of a language, whatever it is written as.

Its steps are made of what is known and of what the craft always does (scald, mix, let rise, bake). Nothing
else is said: who was told of no oven temperature reads none.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD, Formula, allergens_of
from scaldloaf.dough.formula import Line as FormulaLine
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.dough.timetable import Task
from scaldloaf.exporting.amounts import Printed, print_mass, print_temperature, print_time
from scaldloaf.exporting.vocabulary import FIRST, Words, in_one_line
from scaldloaf.reference import CAUTIONS, Ingredient

LEAST_PRINTED_G = 1e-3  # no scale of a kitchen shows less
RISE, BAKE = "rise", "bake"
# Where a caution is said; the others at the end.
_SAID_WITH = {
    "hot_scald": SCALD,
    "scald_cooling": SCALD,
    "raw_flour": DOUGH,
    "perishable_dough": RISE,
    "core_temperature": BAKE,
}


class Scalding(NamedTuple):
    """How a scald is made and kept, as far as it is known, °C, minutes and hours.

    poured_c: of the liquid poured on the flour. cooked_c: to which both are cooked, and kept there for
    cooked_minutes. kept_hours at kept_c. cooled_c: when it goes into the dough.
    """

    poured_c: float | None = None
    cooked_c: float | None = None
    cooked_minutes: float | None = None
    kept_hours: float | None = None
    kept_c: float | None = None
    cooled_c: float | None = None


class Mixing(NamedTuple):
    """How warm the dough is, and what goes into it, °C.

    warmed: what has the temperature warmed_c. ice_g: what of the water is ice, the rest being at tap_c.
    """

    warmed: tuple[Ingredient, ...] = ()
    warmed_c: float | None = None
    ice_g: float | None = None
    tap_c: float | None = None
    dough_c: float | None = None


class Times(NamedTuple):
    """Minutes before the oven, in the oven, and of all; None where not all of it is known."""

    prep: float | None = None
    cook: float | None = None
    total: float | None = None


class Known(NamedTuple):
    """What is known of a recipe besides its formula.

    pans: how many loaves it makes. dough_each_g: of one. before and after: the work before and after the
    stages; of the latter the first is the bake. timed: whether these were told.
    """

    pans: int | None = None
    dough_each_g: float | None = None
    stages: tuple[Stage, ...] = ()
    before: tuple[Task, ...] = ()
    after: tuple[Task, ...] = ()
    timed: bool = False
    oven_c: float | None = None
    scalding: Scalding = Scalding()
    mixing: Mixing = Mixing()

    @property
    def times(self) -> Times:
        """The times, as the timetable and the stages have them."""
        if not self.timed:
            return Times()
        cook = self.after[0].minutes
        if not self.stages:
            return Times(cook=cook)
        prep = sum(task.minutes for task in self.before) + sum(stage.minutes for stage in self.stages)
        return Times(prep, cook, prep + sum(task.minutes for task in self.after))


class Line(NamedTuple):
    """An ingredient as it is printed: its label, its amount, and both as a line."""

    of: FormulaLine
    label: str
    amount: Printed
    text: str


class Section(NamedTuple):
    """A part of the method: its name, its steps, and the cautions that belong to it."""

    name: str
    steps: tuple[str, ...]
    cautions: tuple[str, ...]


class Recipe(NamedTuple):
    """A recipe in the words of a language.

    makes: how much. lines: by part, those of the scald first. left_out: lines too small to be printed.
    cautions: those of no section.
    """

    words: Words
    name: str
    makes: str
    times: Times
    lines: Mapping[str, tuple[Line, ...]]
    left_out: tuple[FormulaLine, ...]
    sections: tuple[Section, ...]
    allergens: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def all_lines(self) -> tuple[Line, ...]:
        """The lines of all parts, as they are printed."""
        return tuple(line for lines in self.lines.values() for line in lines)


def recipe_of(
    formula: Formula, known: Known, measures: str, words: Words, cautions: Sequence[str] = ()
) -> Recipe:
    """A formula as a recipe.

    Parameters
        formula : Formula
        known : Known  besides it
        measures : str  one of MEASURES
        words : Words  of the language
        cautions : Sequence[str]  codes of those to print; empty: none
    Returns
        Recipe
    """
    printed = [line for line in formula.lines if line.mass_g >= LEAST_PRINTED_G]
    parts = {part: tuple(_lines(printed, part, measures, words)) for part in (SCALD, DOUGH)}
    allergens = (words.allergens.get(name, in_one_line(name)) for name in allergens_of(formula.lines))
    said = {code: _caution(code, measures, words) for code in cautions if code in words.cautions}
    rest = [text for code, text in said.items() if code not in _SAID_WITH]
    return Recipe(
        words=words,
        name=in_one_line(formula.name) or words.names["bread"],
        makes=_makes(formula, known, measures, words),
        times=known.times,
        lines={part: lines for part, lines in parts.items() if lines},
        left_out=tuple(line for line in formula.lines if line.mass_g < LEAST_PRINTED_G),
        sections=tuple(_sections(parts, known, measures, words, said)),
        allergens=tuple(allergens),
        cautions=(*rest, words.cautions[FIRST]) if said else (),
    )


def _lines(lines: Iterable[FormulaLine], part: str, measures: str, words: Words) -> Iterator[Line]:
    for line in lines:
        if line.part == part:
            label = words.label(line.ingredient)
            amount = print_mass(line.mass_g, measures, words, line.ingredient)
            yield Line(line, label, amount, words.line.format(amount=amount.text, name=label))


def _makes(formula: Formula, known: Known, measures: str, words: Words) -> str:
    """How many loaves, and how much dough each; or how much dough."""
    if known.pans is None:
        in_all_g = sum(line.mass_g for line in formula.lines) - formula.scald_evaporation_g
        return words.names["dough_in_all"].format(mass=print_mass(in_all_g, measures, words).text)
    loaves = words.names["one_loaf" if known.pans == 1 else "loaves"].format(pans=known.pans)
    if known.dough_each_g is None:
        return loaves
    each = print_mass(known.dough_each_g, measures, words).text
    return words.names["dough_each"].format(loaves=loaves, mass=each)


def _sections(
    parts: Mapping[str, tuple[Line, ...]],
    known: Known,
    measures: str,
    words: Words,
    cautions: Mapping[str, str],
) -> Iterator[Section]:
    say = _Sentences(measures, words)
    for name, steps in (
        (SCALD, say.scald(parts[SCALD], known.scalding)),
        (DOUGH, say.dough(bool(parts[SCALD]), known.mixing)),
        (RISE, say.rise(known.stages)),
        (BAKE, say.bake(known)),
    ):
        if sentences := tuple(steps):
            own = tuple(text for code, text in cautions.items() if _SAID_WITH.get(code) == name)
            yield Section(words.names[name], sentences, own)


class _Sentences:
    """The sentences of a method."""

    def __init__(self, measures: str, words: Words):
        self._measures, self._words = measures, words

    def _say(self, step: str, **values: str) -> str:
        return self._words.steps[step].format(**values)

    def _degrees(self, value_c: float) -> str:
        return print_temperature(value_c, self._measures, self._words)

    def _time(self, minutes: float) -> str:
        return print_time(minutes, self._words)

    def scald(self, lines: Sequence[Line], how: Scalding) -> Iterator[str]:
        """Of the scald, where there is one."""
        if not lines:
            return
        if how.poured_c is not None:
            yield self._say("scald_poured", temperature=self._degrees(how.poured_c))
        elif how.cooked_c is not None and how.cooked_minutes:
            time = self._time(how.cooked_minutes)
            yield self._say("scald_cooked_kept", temperature=self._degrees(how.cooked_c), time=time)
        elif how.cooked_c is not None:
            yield self._say("scald_cooked", temperature=self._degrees(how.cooked_c))
        else:
            yield self._say("scald")
        if how.kept_hours and how.kept_c is not None:
            time = self._time(60 * how.kept_hours)
            yield self._say("scald_kept", time=time, temperature=self._degrees(how.kept_c))
            if how.cooled_c is not None:
                yield self._say("scald_added", temperature=self._degrees(how.cooled_c))
        elif how.cooled_c is not None:
            yield self._say("scald_cooled_to", temperature=self._degrees(how.cooled_c))
        else:
            yield self._say("scald_cooled")

    def dough(self, has_scald: bool, how: Mixing) -> Iterator[str]:
        """Of mixing, and how warm the water and the dough are."""
        if how.warmed_c is not None:
            names = self._words.list.join(self._words.label(each) for each in how.warmed)
            yield self._say("water", names=names, temperature=self._degrees(how.warmed_c))
        if how.ice_g is not None and how.tap_c is not None:
            ice = print_mass(how.ice_g, self._measures, self._words).text
            yield self._say("ice", mass=ice, temperature=self._degrees(how.tap_c))
        yield self._say("mix_with_scald" if has_scald else "mix")
        if how.dough_c is not None:
            yield self._say("mixed", temperature=self._degrees(how.dough_c))

    def rise(self, stages: Iterable[Stage]) -> Iterator[str]:
        """Of the stages from mixing to the oven."""
        for stage in stages:
            name, time = self._words.stage(stage.name), self._time(stage.minutes)
            temperature = self._degrees(stage.temperature_c)
            if name:
                yield self._say("stage", name=name, time=time, temperature=temperature)
            else:
                yield self._say("stage_without_name", time=time, temperature=temperature)

    def bake(self, known: Known) -> Iterator[str]:
        """Of the bake, and of the work after it."""
        minutes = known.after[0].minutes if known.timed else None
        told = {}
        if minutes is not None:
            told["time"] = self._time(minutes)
        if known.oven_c is not None:
            told["temperature"] = self._degrees(known.oven_c)
        step = "bake" + "_for" * ("time" in told) + "_at" * ("temperature" in told)
        yield self._say(step, **told)
        for task in known.after[1:]:
            yield self._say("then", name=self._words.stage(task.name), time=self._time(task.minutes))


def _caution(code: str, measures: str, words: Words) -> str:
    """A caution in the language's words, its numbers those of the table."""
    row = CAUTIONS[code]
    degrees = {name: print_temperature(value, measures, words) for name, value in row.temperatures_c.items()}
    return words.cautions[code].format(**degrees, **{name: f"{each:g}" for name, each in row.numbers.items()})
