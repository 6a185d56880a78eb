"""What is read of a line, and what a recipe's lines share while they are read."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.amounts import Marks, Quantity
from scaldloaf.importing.quantities.masses import Choices
from scaldloaf.importing.words import text
from scaldloaf.importing.words.doubt import LIKELY, NOT_READ, SURE, Doubt, worst
from scaldloaf.importing.words.names import Names
from scaldloaf.importing.words.vocabulary import OUTSIDE
from scaldloaf.reference import Ingredient

INGREDIENT, HEADING, MENTION, STEP = KINDS = ("ingredient", "heading", "mention", "step")


class Starter(NamedTuple):
    """What a line says of a sourdough starter.

    mass: g. hydration: water, percent of its flour. doubt: why the hydration is not sure, if it is not.
    flour: the kind its words name; None where they name none. sources: of the hydration.
    """

    mass: Estimate
    hydration: Estimate
    doubt: Doubt | None = None
    flour: Ingredient | None = None
    sources: tuple[str, ...] = ()


class Reading(NamedTuple):
    """One ingredient (or heading, mention of the scald, or step of the method) of a line, as read.

    mass: g; None where none was read. percent: a baker's percentage that is no mass yet. part: SCALD, DOUGH
    or OUTSIDE. section: the heading above it. section_doubts: of its part. expression: how the mass was
    calculated.
    """

    line: int
    text: str
    kind: str = INGREDIENT
    read_as: str = ""
    ingredient: Ingredient | None = None
    mass: Estimate | None = None
    percent: Quantity | None = None
    part: str = DOUGH
    section: str = ""
    doubts: tuple[Doubt, ...] = ()
    section_doubts: tuple[Doubt, ...] = ()
    alternatives: tuple[str, ...] = ()
    expression: str = ""
    sources: tuple[str, ...] = ()
    is_half: bool = False  # a mention of half of the scald
    scald_used_g: float | None = None  # of a scald that is not used whole, and what was made
    scald_made_g: float | None = None
    weighed: Estimate | None = None  # what a thing weighs that was not read
    bare: Quantity | None = None  # a number without a unit, which counts nothing
    starter: Starter | None = None  # that the line names, or of which it is the flour or the water

    @property
    def sure(self) -> str:
        """How sure the reading is: a level of ``doubt``."""
        return worst((*self.doubts, *self.section_doubts))

    @property
    def section_sure(self) -> str:
        """How sure its part is."""
        return worst(self.section_doubts)

    @property
    def why(self) -> str:
        """Why it is not sure; empty if it is."""
        doubts = (*self.doubts, *self.section_doubts)
        return "; ".join(dict.fromkeys(doubt.why for doubt in doubts if doubt.level != SURE))

    @property
    def grams(self) -> float:
        """What is read of its mass; 0 without one."""
        return self.mass.best if self.mass else 0.0

    @property
    def in_formula(self) -> bool:
        """Whether the formula that is read has it."""
        return (
            self.kind == INGREDIENT
            and self.mass is not None
            and self.part != OUTSIDE
            and self.sure != NOT_READ
        )


MOST_LISTED_LETTERS = 4_000  # of lines with several numbers that may be whole lists


@dataclass(slots=True)
class Reader:
    """What the lines of a recipe share while they are read in order."""

    marks: Marks
    choices: Choices
    names: Names
    part: str = DOUGH
    part_doubts: tuple[Doubt, ...] = ()
    has_scald: bool = False
    has_sponge: bool = False
    section: str = ""  # the heading of the part
    is_known: bool = True  # whether it was known
    said: dict[str, str] = field(default_factory=dict)  # heading, as ``heading_words`` has it -> its part
    prefix: str = ""  # the heading that stood before an ingredient, and on how many lines
    prefix_lines: int = 0
    has_listed: bool = False  # an ingredient was read
    scald_in_lines: bool = False  # lines that say so are the scald's, and no heading opened it before them
    just_opened: bool = False  # the line before was a heading
    next_is_listed: bool = False  # the next line has an amount
    next_is_step: bool = False  # the next line is a numbered sentence
    next_is_list: bool = False  # the next line is a heading of a whole list
    after_method: bool = False  # a list follows the method of another
    is_bulleted: bool = False  # the lines with an amount have a bullet
    bullet: str = ""  # the mark that they begin with, where headings have it elsewhere: ``□``
    are_in_percent: bool = False  # most lines with an amount have a percentage, which is a baker's
    is_ended: bool = False  # the lines with an amount end with a semicolon
    scald_is_ahead: bool = False  # a line below has the marks of a heading and names the scald
    list_is_ahead: bool = False  # some of the lines below have an amount
    is_title: bool = False  # the line is marked as the title
    in_method: bool = False
    method: list[tuple[int, str, str]] = field(default_factory=list)  # line, text, heading
    scald_used_g: float | None = None  # as a heading says
    proper: frozenset[str] = frozenset()  # words of the line that are spelt as names of places or makers
    tokens_left: int = text.MOST_TOKENS_IN_ALL
    letters_left: int = MOST_LISTED_LETTERS

    def open(
        self, part: str, *doubts: Doubt, prefix: str = "", section: str | None = None, is_known: bool = True
    ) -> None:
        """Start a part: by a heading of its own, or by a ``prefix`` before an ingredient."""
        self.section, self.is_known = prefix if section is None else section, is_known
        self.prefix_lines = self.prefix_lines + 1 if prefix and prefix == self.prefix else bool(prefix)
        self.part, self.part_doubts, self.prefix = part, doubts, prefix
        self.has_scald = self.has_scald or part == SCALD

    def opened(self) -> tuple[str, tuple[Doubt, ...], str, bool]:
        """What is open, to be opened again behind a list that is nested in its own."""
        return self.part, self.part_doubts, self.section, self.is_known

    def open_again(self, part: str, doubts: tuple[Doubt, ...], section: str, is_known: bool) -> None:
        """Open what was open before a nested list."""
        self.open(part, *doubts, section=section, is_known=is_known)

    def go_on(self) -> None:
        """A line without a prefix after lines that had one: their part continues, or was theirs alone."""
        if not self.prefix:
            return
        if self.prefix_lines > 1:
            self.open(DOUGH)
        else:
            doubts = () if self.part == DOUGH else (Doubt.of(LIKELY, "of_heading", heading=self.prefix),)
            self.open(self.part, *doubts, section=self.section)


def unread(blank: Reading, code: str, **values: str | float) -> Reading:
    """A line that could not be read, with the reason."""
    return blank._replace(doubts=(*blank.doubts, Doubt.of(NOT_READ, code, **values)))


def in_part(reading: Reading, share: float, *doubts: Doubt) -> Reading:
    """A reading with so large a share of its mass, and why; the same reading where it has none."""
    if reading.mass is None:
        return reading
    low, best, high, evidence = reading.mass
    return reading._replace(
        mass=Estimate(low * share, best * share, high * share, evidence),
        doubts=(*reading.doubts, *doubts),
        expression=f"{reading.expression} × {share:.4g}",
    )


def step(reading: Reading, read_as: str = "a step of the method") -> Reading:
    """A line that is a step of the method or a remark, without what was read of it before."""
    return Reading(reading.line, reading.text, STEP, read_as, section=reading.section)


def grams_of_flour(readings: Iterable[Reading]) -> float:
    """What the flour of some readings weighs together, g."""
    return sum(each.grams for each in readings if each.ingredient and each.ingredient.is_flour)


def mention(blank: Reading) -> Reading:
    """A line that only mentions the scald, whose ingredients are other lines."""
    return blank._replace(
        kind=MENTION,
        part=SCALD,
        doubts=(),
        section_doubts=(),
        read_as="the scald, made from the lines read as its own",
    )
