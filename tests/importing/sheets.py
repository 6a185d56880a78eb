"""A recipe of the corpus taken apart: its headings, its lines as amount, name and note, and its method.

What ``layouts.py`` puts together again in other ways. Only recipes that the import has all right serve: its
own reply says which lines are headings, and of what.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from importing.score import (
    METHOD,
    Line,
    Recipe,
    _folded,
    answer,
    formula_usable,
    pairs,
    result,
    scald_seen,
)
from scaldloaf.importing.quantities.measures import unit_of_word

_UNIT = (
    r"(?i:kg|g|gr|grs|gms?|grams?|grammes?|gramos|grammi|Gramm|G|ml|mL|ML|cl|dl|l|milliliters?|Milliliter"
    r"|mililitros|oz|ounces?|lbs?|cups?|tasses?|tazas?|tbsp|tbs|tablespoons?|tsp|teaspoons?|EL|TL"
    r"|Esslöffel|Teelöffel|Prisen?|Päckchen|Pck|Würfel|cucharad(?:it)?as?|cuchiai(?:n[oi])?|cucchiai(?:n?[oi])?"
    r"|c\.? ?à ?\.?[sc]\.?|cuillères? à (?:soupe|café)"
    r"|cc|㎖|㏄|克|公克|毫升|グラム|[個个顆颗本枚]|[茶湯汤大小]匙|杯)"
)
_NUMBER = r"(?:\d[\d.,/]*(?: ?[½¼¾⅓⅔⅛]| \d/\d)?|[½¼¾⅓⅔⅛])(?: ?[-–~～] ?\d[\d.,/]*)?"
_GRADE = r"(?: (?:(?:[Tt]ype?|[Tt]ipo|T|W|Nr\.) ?)?(?:\d{3,4}|[TW]\d{2,3}|00?))"
_BULLET = r"^[\s*•·・\-–—●○◎▢□☐✓◆◇■]*(?:\d{1,2}[.)] )?"
_OTHER_LAYOUT = re.compile(
    r"[|<\t]|^\W*\d{1,2}[.)]\D|^[①-⑳]|\d\w* > \d|&\w+;"
)  # lines that are marked in a way of their own
_FIRST = re.compile(
    rf"{_BULLET}(?P<amount>{_NUMBER}(?: ?{_UNIT}(?![^\W\d_])\.?)?)\s+(?P<of>(?:of|de|di)\s+|d['’])?"
    r"(?P<name>(?![-+/x×&~–])[^\d,;(（:]+?)\s*(?P<note>[,;(（][^\d]*)?$"
)
_LAST = re.compile(
    rf"{_BULLET}(?P<name>[^\d,;:：、(（）)]+?(?:[(（][^()（）]*[)）])?)[\s.…:：|=·・—–-]*"
    rf"(?P<amount>(?:約|约)?(?:(?:大さじ|小さじ){_NUMBER}|{_NUMBER} ?{_UNIT}))"
    r"\s*(?P<note>[(（][^()（）]*[)）])?$"
)
_GRAMS = re.compile(r"([\d.,]+) ?(?:g|G|gr|grs|gms?|grams?|grammes?|gramos|grammi|Gramm|克|公克|グラム)\.?$")
ENOUGH = 0.7  # of the lines, to put a list into columns
SPACED = frozenset(("de", "en", "es", "fr", "it"))


@dataclass(frozen=True)
class Row:
    """A line of a list and what was read of it by hand; no amount and name where it is not so plain."""

    text: str
    by_hand: tuple[Line, ...] = ()
    amount: str = ""
    of: str = ""
    name: str = ""
    note: str = ""

    @property
    def grams(self) -> float | None:
        """The mass where the amount is in grams."""
        found = _GRAMS.match(self.amount)
        return self.by_hand[0]["grams"] if found and len(self.by_hand) == 1 else None

    @property
    def is_vague(self) -> bool:
        """Whether it has no amount in digits at all."""
        return not re.search(r"\d|[½¼¾⅓⅔⅛]", self.text)


@dataclass(frozen=True)
class Part:
    """Lines under a heading; the first may have none. kind: ``scald``, ``dough``, ``aside`` or empty."""

    heading: str
    kind: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Sheet:
    """A recipe's parts, and its method."""

    recipe: Recipe
    parts: tuple[Part, ...]
    steps: str = ""

    @property
    def language(self) -> str:
        return str(self.recipe["language"])

    @property
    def rows(self) -> list[Row]:
        return [row for part in self.parts for row in part.rows]

    @property
    def is_listed(self) -> bool:
        """Whether its lines have no marks but bullets."""
        return not any(_OTHER_LAYOUT.search(row.text) for row in self.rows)

    @property
    def is_plain(self) -> bool:
        """Whether nearly all lines are an amount and a name, and none holds several."""
        named = sum(bool(row.name) for row in self.rows)
        is_single = self.is_listed and all(len(row.by_hand) == 1 for row in self.rows)
        return is_single and named >= ENOUGH * len(self.rows)


@dataclass
class Page:
    """A recipe in another layout: what the import gets, and the lines expected of it."""

    sheet: Sheet
    lines: list[str] = field(default_factory=list)
    expected: list[Line] = field(default_factory=list)
    recipe: Any = None  # structured data, in place of lines

    def add(self, text: str, rows: Iterable[Row] = ()) -> None:
        """A line of text, with the rows that it holds."""
        self.lines.append(text)
        for row in rows:
            # The reply may have another order of words: of a row that is so plain, the name stays whole.
            self.expected += [{**line, "text": row.name or line["text"]} for line in row.by_hand]

    def add_method(self) -> None:
        """The method, under its heading."""
        if self.sheet.steps:
            self.lines += ["", f"{METHOD[self.sheet.language]}:", *self.sheet.steps.splitlines()]

    def as_recipe(self) -> Recipe:
        """The same as a recipe of the corpus."""
        made = {**self.sheet.recipe, "lines": self.expected, "text": "\n".join(self.lines)}
        for name in ("steps", "json_ld"):
            made.pop(name, None)
        return made if self.recipe is None else {**made, "json_ld": self.recipe}


def is_all_right(recipe: Recipe, reply: dict[str, Any] | None = None) -> bool:
    """Whether the import has every line of a recipe right, its scald and its formula."""
    reply = reply or answer(recipe)
    return (
        all(result(*pair) == "right" for pair in pairs(recipe, reply))
        and scald_seen(recipe, reply) is not False
        and formula_usable(recipe, reply) is not False
    )


def sheet_of(recipe: Recipe) -> Sheet | None:
    """A recipe taken apart; None where the import has not all of it right, or it is structured data."""
    if "text" not in recipe or not is_all_right(recipe, reply := answer(recipe)):
        return None
    headings = {line["line"]: line for line in reply["lines"] if line["kind"] == "heading"}
    left = list(recipe["lines"])
    parts: list[Part] = []
    heading, kind, rows = "", "", []
    for number, text in enumerate(recipe["text"].splitlines(), 1):
        found, left = _rows(text, left, recipe["language"])
        if found[0].by_hand:
            rows += found
        elif number in headings and headings[number]["read_as"] != "a title":
            parts.append(Part(heading, kind, tuple(rows)))
            heading, rows = text, []
            kind = headings[number]["part"] if headings[number]["section_sure"] == "sure" else ""
    parts.append(Part(heading, kind, tuple(rows)))
    kept = tuple(part for part in parts if part.rows)
    return Sheet(recipe, kept, recipe.get("steps") or "") if not left else None


def _rows(text: str, left: list[Line], language: str) -> tuple[list[Row], list[Line]]:
    """A line as a row, or as several where it is cut into all that it lists; and what is left by hand."""
    held: list[Line] = []
    before, rest = "", _folded(text)
    while left and (words := _folded(left[0]["text"])) and words in rest:
        held, left = [*held, left[0]], left[1:]
        passed, _, rest = rest.partition(words)
        before += passed
    if len(held) > 1 and not before + rest and {line["section"] for line in held} == {"dough"}:
        return [_split(line["text"], (line,), language) for line in held], left
    return [_split(text, tuple(held), language)], left


def _split(text: str, by_hand: tuple[Line, ...], language: str) -> Row:
    """A line as amount, name and note, where it is so plain."""
    row = Row(text, by_hand)
    found = (_FIRST if language in SPACED else _LAST).match(text) if len(by_hand) == 1 else None
    if found and unit_of_word(found["name"].split()[0].lower()) is None:
        words = {name: (value or "") for name, value in found.groupdict().items()}
        note = words["note"]
        words["note"] = note if not note or note[0] in ",;" else f" {note}"
        row = replace(row, **{"of": "", **words})
    return row
