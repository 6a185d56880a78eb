"""The rows of the reference tables, each with what it rests on."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

EVIDENCE = ("exact", "published", "common practice", "from memory", "assumption")
COMPOSITION_FIELDS = (
    "water_percent",
    "sucrose_percent",
    "glucose_percent",
    "fructose_percent",
    "maltose_percent",
    "lactose_percent",
    "fat_percent",
    "protein_percent",
    "salt_percent",
)
YEAST_KINDS = ("instant", "active_dry", "compressed")
SOURCE_KINDS = ("paper", "patent", "book", "standard", "law", "table", "trade page", "survey", "none")
# What was looked at; a remark may follow after a comma.
SEEN = (
    "full text",
    "patent text",
    "table",
    "abstract",
    "excerpt",
    "quoted elsewhere",
    "our own survey",
    "not seen",
    "nothing to look up",
)
# What puts a better number in place of a coefficient, each a thing that a baker or a reader can come by.
REPLACEMENTS = (
    "own_loaf",  # a measured loaf, sent as a reference loaf, specific volume or pan ratio
    "own_table",  # a table of the baker's own, such as water by share, or a flour's analysis
    "own_trials",  # measured bakes, sent to trial-fit or keeping
    "own_measurement",  # a value read off a scale, thermometer or clock, sent in a field
    "survey",  # more recipes in tests/published/practice.csv
    "paper",  # a published table or measurement
)


@dataclass(frozen=True, slots=True)
class Source:
    """Where a fact was seen: a paper, table, standard or trade page; or nowhere, and says so."""

    id: str
    title: str
    kind: str  # one of SOURCE_KINDS
    year: int | None
    identifier: str  # DOI, section, table number or address; "" when there is none
    seen: str  # what was actually looked at: one of SEEN, and perhaps a remark


@dataclass(frozen=True, slots=True)
class Coefficient:
    """A number of the craft with its range, evidence and sources.

    ``place`` is where in a source the figure was read; a row labelled published has one. ``replaced_by``
    names what would put a better number in its place (of REPLACEMENTS), the easiest first; empty for a
    definition, a law's figure or a limit of the program.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    evidence: str
    sources: tuple[str, ...]
    place: str  # table, page, section or "abstract"; "" where nothing was read
    replaced_by: tuple[str, ...]
    recipes: int | None  # how many recipes of a survey it is fitted to; None when it is fitted to none
    meaning: str  # one plain sentence: what it is
    valid: str  # where it holds, in words; "" when it holds everywhere


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One ingredient: mass fractions in percent, and what the trade counts it as.

    ``yeast`` names the kind of yeast it is, or None. ``is_liquid`` marks what the trade's quick count calls
    liquid (water and milks, whole), ``is_white_wheat`` the flours that the figures for water, volume and
    sugars are known for; either is None for an own ingredient that does not say. ``stays_in_dough`` marks
    what no scald is made with, such as the flour of a sourdough starter. ``density_g_per_cm3`` is for cups
    and spoons. ``own`` marks an ingredient that the request brings and the catalogue does not have.
    ``names`` has, by language (a BCP 47 tag), the label and then the other spellings that a recipe may use;
    ``label`` and ``aliases`` are the English ones. ``place`` is where in a source the composition was read;
    a row labelled published has one.
    """

    name: str
    label: str
    water_percent: float = 0.0
    sucrose_percent: float = 0.0
    glucose_percent: float = 0.0
    fructose_percent: float = 0.0
    maltose_percent: float = 0.0
    lactose_percent: float = 0.0
    fat_percent: float = 0.0
    protein_percent: float = 0.0
    salt_percent: float = 0.0
    is_flour: bool = False
    is_liquid: bool | None = False
    is_white_wheat: bool | None = False
    stays_in_dough: bool = False
    yeast: str | None = None
    allergens: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    density_g_per_cm3: float | None = None
    evidence: str = "from memory"
    sources: tuple[str, ...] = ()
    place: str = ""
    note: str = ""
    own: bool = False
    names: Mapping[str, tuple[str, ...]] = field(default_factory=dict, compare=False)


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning for the step where it matters, deferring to whoever decides locally.

    A {name} in its text is the coefficient of that name, or a number of the row's own. temperatures_c has
    those in °C, numbers all others.
    """

    code: str
    text: str
    defer_to: str
    sources: tuple[str, ...]
    temperatures_c: Mapping[str, float]
    numbers: Mapping[str, float]

    def text_in(self, degrees: Callable[[float], str]) -> str:
        """The text, each of its temperatures as ``degrees`` writes it: °C -> "60 °C"."""
        temperatures = {name: degrees(value) for name, value in self.temperatures_c.items()}
        return self.text.format(**temperatures, **{name: f"{each:g}" for name, each in self.numbers.items()})


@dataclass(frozen=True, slots=True)
class PanShape:
    """A generic pan (no maker): inside dimensions in cm, for a start."""

    name: str
    label: str
    pan: Mapping[str, str | float]
    note: str
    lid: bool
