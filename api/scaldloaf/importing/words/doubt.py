"""How sure a reading is, and why it is not surer."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from scaldloaf.importing.words.vocabulary import LANGUAGES, ambiguities

SURE, LIKELY, UNSURE, NOT_READ = LEVELS = ("sure", "likely", "unsure", "not_read")
SOURDOUGH, PREFERMENT = MADE_BEFORE = ("sourdough", "preferment")
NOT_KNOWN = ("not_in_catalogue", *MADE_BEFORE)  # codes of what is named and is no ingredient of ours
UNKNOWN_HEADING, SCALD_NOT_LISTED = "under_unknown_heading", "scald_not_listed"
Values = tuple[tuple[str, str | float], ...]
TEXTS: Mapping[str, str] = MappingProxyType(
    {
        "held_amount": "read as {times} times {part}, not as {other:g}",
        UNKNOWN_HEADING: "under the unknown heading “{heading}”, read as {part}",
        "unknown_heading": "unknown heading; the lines below it are read as {part}",
        "heading_without_flour": "under the unknown heading “{heading}”, without flour: read as no dough",
        "of_heading": "assumed to belong to “{heading}”",
        "not_of_heading": "assumed not to belong to “{heading}”",
        "too_long": "longer than {most} characters",
        "too_many_words": "more than {most} words, numbers and marks",
        "too_many_words_in_all": "more words than the {most} that are read of one recipe",
        "slip": "“{text}” read as {meant}",
        "two_marks": "“{text}” has two marks",
        "too_much": "too much to be an amount of a recipe",
        "nothing_left": "less than nothing is left",
        "no_unit": "the number {number:.6g} has no unit",
        "number_not_used": "the number {number:.6g} was not used",
        "container": "the recipe does not say how much a {unit} holds",
        "glass_size": "a glass has no standard size; read as {ml:g} ml",
        "cc_or_spoon": "“cc” may be a small spoon or cm³; read as a small spoon",
        "no_standard_weight": "a {unit} of {name} has no standard weight",
        "fruit_size": "what one fruit gives of {name} may weigh half as much again, or a third less",
        "egg_size": "the recipe does not name the size of the eggs; read as large",
        "no_density": "the density of {name} is not known; enter a weight",
        "loose_measure": "a spoon, cup or pinch of {name} may weigh a third more or less",
        "us_measure": "the {unit} is assumed to be a US one; set cup to change it",
        "amounts_differ": "{amount} would be about {other}, not {mass}",
        "more_disagree": "{amounts} more amounts do not agree",
        "not_in_catalogue": "{words} is not in the catalogue",
        SOURDOUGH: "{words} is sourdough: enter its flour and its water as lines of their own "
        "(liquid: half and half; stiff: two parts of flour to one of water)",
        "starter_hydration": "the recipe does not say how wet the starter is; "
        "read as {percent:g} g of water to 100 g of its flour",
        "starter_flour": "the recipe does not name the flour of the starter; read as {name}",
        PREFERMENT: "{words} is a dough made before: "
        "enter its flour, its water and the rest as lines of their own",
        "sponge_used_in_part": "the recipe uses {used_g:.4g} g of the {made_g:.4g} g of that dough it makes",
        "misspelt": "{words} is not in the catalogue; read as {spelling}",
        "would_do": "{names} would also do",
        "one_amount": "one amount for {names}",
        "several_names": "the words name {names}",
        "another_thing": "{words} may make it something other than {name}",
        "unknown_words": "{words} is not known; read as {name}",
        "no_name": "no ingredient named",
        "no_amount": "no amount",
        "no_amount_to_weigh": "no amount that can be weighed",
        "vague_amount": "no amount that can be weighed: “{words}”",
        "optional": "optional",
        "dissolved_in": "said behind {name}; it may be a part of what another line lists",
        "soaked_in": "what fruit is soaked in may be poured off: read as no dough",
        "filling": "what goes into a filling or on top: read as no dough",
        "may_be_filling": "it may be of a filling or of the crust: no heading says that it is in the dough",
        "by_wash": "the method brushes or sprinkles it on: read as no dough",
        "by_method": "in the scald by the method",
        "may_be_of_scald": "the method does not say which line of this flour goes into the scald",
        "by_list": "the same flour is listed twice, a little of it beside its liquid: that may be a scald",
        "only_in_method": "only the method names it",
        "scald_not_shown": "the recipe names a scald and does not show what goes into it",
        SCALD_NOT_LISTED: "the ingredients of “{scald}” are not listed",
        "names_scald": "the line names “{scald}”, but is in another section",
        "part_for_scald": "a part of the line is for the scald",
        "scald_without_flour": "the scald would have no flour; read as dough",
        "scald_with_all_flour": "the scald would hold all the flour; dough from where it seems to end",
        "scald_used_in_part": "the recipe uses {used_g:.4g} g of the {made_g:.4g} g of scald it makes",
        "scald_left_over": "the recipe may make more scald than it uses, and does not say how much it uses",
        "other_size": "the list has amounts for more than one size; read by the first",
        "dough_needs_it": "the dough has no liquid or no yeast without it",
        "has_flour_and_yeast": "it has the flour and the yeast: read as dough, whatever its heading says",
        "rest_not_dough": "the rest of it is not for the dough",
        "part_not_dough": "a part of it is not for the dough",
        "brushed_on_too": "the method brushes egg on, and no other line is for that: "
        "a part of it may not be for the dough",
        "no_amount_again": "without an amount, beside another line of the same: read as no dough",
        "bare_grams": "a number without a unit, read as grams",
        "starts_again": "the list starts again here; it may be of something else",
        "listed_twice": "listed twice with the same amount",
        "more_than_dough_holds": "more of it than a dough with that flour can hold",
        "unusual_amount": "{percent:.2g} % of the flour, which few recipes have of it",
        "yeast_by_amount": "the recipe does not name the kind of yeast; read as {name} by its amount",
        "yeast_by_packet": "the recipe does not name the kind of yeast; "
        "read as {name}, as it comes in packets",
        "yeast_as_other": "the recipe does not name the kind of yeast; "
        "read as {name}, the recipe's other yeast",
        "flour_as_other": "the recipe does not name the kind of flour; "
        "read as {name}, the recipe's other flour",
        "only_a_percentage": "only a percentage, in a recipe that gives other lines by mass",
        "percentage_of_nothing": "a percentage of a flour that was not read",
        "percentage_too_large": "too much to be a baker's percentage",
        "percentage_of_assumed": "a percentage of an assumed {flour_g:.6g} g of flour",
        "percentage_of_flour": "a percentage of the recipe's {flour_g:.6g} g of flour",
        "too_many_digits": "a number of more than {most} digits",
        "odd_marks": "{text} is no number: its points and commas do not fit together",
        "other_mark": "{text} does not keep to the decimal {mark} asked for",
        "mark_as_others": "{text} read as {value:.9g}, as the recipe's other numbers are written",
        "mark_unclear": "{text} read as {value:.9g}; it could also be {other:.9g}: set decimal_comma",
        "too_much_of_unit": "read as {value:.9g}, not {other:.9g}, which is too much of its unit",
        "odd_fraction": "{text} is no fraction that a recipe would use",
        "no_number": "{text} is no number",
        "spaced_thousands": "{text} read as {value:g}",
        "no_mixed_number": "{first:g} and {second:g} make no mixed number",
        "range_backwards": "the range {first:g} to {second:g} is written backwards",
        "range_wide": "the range {low:g} to {high:g} is too wide to be one amount",
    }
    | {each.code: f"{each.why}; read as {{name}}" for each in ambiguities(LANGUAGES)}
)


class Fault(NamedTuple):
    """Why some digits are no number: a code of TEXTS and its values."""

    code: str
    values: Values = ()


class Doubt(NamedTuple):
    """A reason for doubt: the surest level that it allows, a code of TEXTS, and the values of its text."""

    level: str
    code: str
    values: Values = ()

    @classmethod
    def of(cls, level: str, code: str, **values: str | float) -> "Doubt":
        """A doubt with its values by name."""
        return cls(level, code, tuple(values.items()))

    @property
    def why(self) -> str:
        """The reason in words."""
        return TEXTS[self.code].format(**dict(self.values))


def worst(doubts: Iterable[Doubt]) -> str:
    """The surest level that some doubts together allow."""
    return max({doubt.level for doubt in doubts}, key=LEVELS.index, default=SURE)
