"""How well the import reads recipes that people wrote: scored against a corpus that was read by hand.

    PYTHONPATH=api .venv/bin/python tests/importing/score.py           # the recipes that are not apart
    PYTHONPATH=api .venv/bin/python tests/importing/score.py --apart   # the others, for a finished change
    ... --lines                                                        # and each line that is not right

Of each line read by hand: right (part, ingredient and mass), doubted (wrong, and the reply says that it is
not sure), unread, or silent (wrong, and sure). A line of the formula that the recipe does not have counts as
doubted or silent too. asked: right, but not sure. Of each recipe: whether its scald was seen, and whether its
formula is usable as it came back. A sourdough starter that was read by hand is right where the reply has it
as its flour and its water, together as heavy; that flour is none of the recipe's, as it is none by hand.
The corpus and its fields: tests/importing/corpus/README.md.
"""

import argparse
import json
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

from scaldloaf.importing.words.lexicon import NAMES
from scaldloaf.importing.words.vocabulary import STARTER_PARTS, name_words
from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT
from scaldloaf.reference import INGREDIENTS

CORPUS = Path(__file__).parent / "corpus"
# The heading under which a page of that language has its method.
METHOD = {
    "de": "Zubereitung",
    "en": "Method",
    "es": "Preparación",
    "fr": "Préparation",
    "it": "Procedimento",
    "ja": "作り方",
    "zh-Hans": "做法",
    "zh-Hant": "作法",
}
NEAR_ENOUGH = 0.011  # of a mass read from the same words: millilitres of water may be counted as grams
NEAR_ENOUGH_BY_WORD = 0.25  # of a spoon of a flavouring, which is named by a plain word and has no ends
A_PINCH_G = 6.0  # what a line without a mass by hand may have at most
# ... of what one fruit or two give, which was left open by hand
MOST_OF_FRUIT_G = {"lemon_zest": 20.0, "orange_zest": 20.0, "lemon_juice": 90.0, "orange_juice": 160.0}
LEFT_AFTER_COOKING = 0.85  # a share of a scald that may be all of it, once it has lost water
SCALD_WITHIN, FLOUR_WITHIN, DOUGH_WITHIN = 0.1, 0.05, 0.1
RESULTS = ("right", "doubted", "unread", "silent")
STARTERS = ("sourdough starter", "sourdough", "starter", "natural yeast")
Recipe = dict[str, Any]
Line = dict[str, Any]


def recipes(apart: bool = False, corpus: Path = CORPUS) -> list[Recipe]:
    """The recipes of the corpus that are, or are not, kept apart."""
    found = [json.loads(path.read_text("utf-8")) for path in sorted(corpus.glob("*/*.json"))]
    return [recipe for recipe in found if bool(recipe.get("apart")) == apart]


def request_of(recipe: Recipe) -> dict[str, Any]:
    """A recipe as a page has it: its structured data, or its text with what is known of its method."""
    if "json_ld" in recipe:
        return {"recipe": recipe["json_ld"]}
    method = f"\n\n{METHOD[recipe['language']]}:\n{recipe['steps']}" if recipe.get("steps") else ""
    return {"text": recipe["text"] + method}


def answer(recipe: Recipe) -> dict[str, Any]:
    """The reply to a recipe; an empty one where it is refused."""
    try:
        return perform(RECIPE_IMPORT, request_of(recipe))
    except InputFault:
        return {"lines": [], "formula": None}


def _folded(text: str) -> str:
    """Only the letters and digits of a text, to compare it with a part of itself."""
    return re.sub(r"[\W_]+", "", unicodedata.normalize("NFKC", text)).lower()


def _is_about(by_hand: Line, read: Line) -> bool:
    """Whether a reading may be of a line read by hand."""
    if read["text"].endswith("…"):  # a long line that the reply shows cut
        return True
    ours, theirs = _folded(by_hand["text"]), _folded(read["text"])
    return bool(ours and theirs) and (ours in theirs or len(theirs) > 1 and theirs in ours)


def _is_section(by_hand: Line, read: Line) -> bool:
    if by_hand["section"] == "not_dough":
        return read["kind"] != "ingredient" or read["part"] == "aside"
    return read["kind"] == "ingredient" and read["part"] == by_hand["section"]


def _is_mass(by_hand: Line, read: Line) -> bool:
    mass = read["mass"] and read["mass"]["best"]
    if by_hand["grams"] is None:
        return mass is None or mass <= MOST_OF_FRUIT_G.get(by_hand["ingredient"], A_PINCH_G)
    if mass is None:
        return False
    low, high = (
        by_hand[end] if by_hand.get(end) is not None else by_hand["grams"] for end in ("low", "high")
    )
    share = by_hand.get("share", 1.0)
    shares = {share} if share < LEFT_AFTER_COOKING else {share, 1.0}
    near = NEAR_ENOUGH if by_hand["ingredient"] in INGREDIENTS else NEAR_ENOUGH_BY_WORD
    return any(low * each * (1 - near) <= mass <= high * each * (1 + near) for each in shares)


def _is_ingredient(by_hand: Line, read: Line) -> bool:
    if read["ingredient"] in (by_hand["ingredient"], *by_hand.get("also", ())):
        return True
    named = NAMES.get(name_words(by_hand["ingredient"].replace("_", " ")))  # a plain word, such as vanilla
    return named is not None and named.name == read["ingredient"]


def _is_right(by_hand: Line, read: Line) -> bool:
    if not _is_section(by_hand, read):
        return False
    if by_hand["section"] == "not_dough":
        return not read["in_formula"]
    if by_hand["grams"] is not None and read["sure"] == "not_read":
        return False
    return _is_ingredient(by_hand, read) and _is_mass(by_hand, read)


def _is_sure(read: Line) -> bool:
    return read["sure"] == "sure" and read.get("section_sure", "sure") == "sure"


def _likeness(by_hand: Line, read: Line) -> int:
    alike = (_is_right, _is_ingredient, _is_mass, _is_section)
    return sum(weight * check(by_hand, read) for weight, check in zip((16, 4, 2, 1), alike, strict=True))


def pairs(recipe: Recipe, reply: dict[str, Any]) -> Iterator[tuple[Line | None, Line | None]]:
    """Each line read by hand with the reading of it; either may be missing."""
    share = recipe["expect"].get("scald_used_share") or 1.0
    by_hand = [{**line, "share": share if line["section"] == "scald" else 1.0} for line in recipe["lines"]]
    read = [line for line in reply["lines"] if line["kind"] in ("ingredient", "mention")]
    likely = sorted(
        (
            (-_likeness(ours, theirs), abs(at - place), at, place)
            for at, ours in enumerate(by_hand)
            for place, theirs in enumerate(read)
            if _is_about(ours, theirs)
        ),
    )
    found: dict[int, int] = {}
    for _, _, at, place in likely:
        if at not in found and place not in found.values():
            found[at] = place
    for at, ours in enumerate(by_hand):
        yield ours, read[found[at]] if at in found else None
    for place, theirs in enumerate(read):
        if place not in found.values() and theirs["in_formula"]:
            yield None, theirs


def with_whole_starters(recipe: Recipe, reply: dict[str, Any]) -> dict[str, Any]:
    """The reply; the flour and the water of a starter that was read by hand as one line of it again.

    In the formula it is one line too, which is no flour.
    """
    if not reply["formula"]:
        return reply
    lines, in_formula = list(reply["lines"]), list(reply["formula"]["lines"])
    for by_hand in recipe["lines"]:
        at = _starter_at(by_hand, lines)
        if at is None:
            continue
        place = sum(line["in_formula"] for line in lines[:at])
        flour, water = lines[at : at + 2]
        worst = flour if not _is_sure(flour) else water
        mass = {"best": flour["mass"]["best"] + water["mass"]["best"]}
        lines[at : at + 2] = [{**worst, "ingredient": by_hand["ingredient"], "mass": mass}]
        in_formula[place : place + 2] = [{**in_formula[place + 1], "mass": mass["best"]}]
    return {**reply, "lines": lines, "formula": {**reply["formula"], "lines": in_formula}}


def _starter_at(by_hand: Line, lines: list[Line]) -> int | None:
    """Where the flour and, behind it, the water of a starter that was read by hand are; None: nowhere."""
    if by_hand["ingredient"] not in STARTERS or by_hand["grams"] is None:
        return None
    for at, (flour, water) in enumerate(pairwise(lines)):
        if not (flour["in_formula"] and water["in_formula"] and flour["line"] == water["line"]):
            continue
        if {"flour": flour["ingredient"], "water": water["ingredient"]} not in STARTER_PARTS.values():
            continue
        grams = flour["mass"]["best"] + water["mass"]["best"]
        is_as_heavy = abs(grams - by_hand["grams"]) <= NEAR_ENOUGH * by_hand["grams"]
        if is_as_heavy and _is_about(by_hand, flour) and flour["part"] == by_hand["section"]:
            return at
    return None


def result(by_hand: Line | None, read: Line | None) -> str:
    """One of RESULTS, of a pair."""
    if by_hand is None and read is not None:
        return "silent" if _is_sure(read) else "doubted"
    if by_hand is not None and read is not None and _is_right(by_hand, read):
        return "right"
    if by_hand is not None and read is None:
        # A line that the reply has only as a heading or a step is out of the formula, as it should be.
        return "right" if by_hand["section"] == "not_dough" else "unread"
    if read is None or not read["in_formula"] and read["sure"] == "not_read":
        return "unread"
    return "silent" if _is_sure(read) else "doubted"


def _is_flour(line: Line) -> bool:
    """Whether a line of a formula is flour, one of an ingredient of its own by its composition."""
    own = line.get("composition")
    return INGREDIENTS[line["ingredient"]].is_flour if own is None else own.get("is_flour", False)


def _sums(reply: dict[str, Any]) -> dict[str, float]:
    lines = reply["formula"]["lines"] if reply["formula"] else []
    flour = [line for line in lines if _is_flour(line)]
    return {
        "scald_flour_g": sum(line["mass"] for line in flour if line["part"] == "scald"),
        "total_flour_g": sum(line["mass"] for line in flour),
        "dough_g": sum(line["mass"] for line in lines),
    }


def scald_seen(recipe: Recipe, reply: dict[str, Any]) -> bool | None:
    """Whether the flour of the scald was found; None where the recipe has none that anyone could find."""
    by_hand = recipe["expect"]
    if not by_hand["scald"] or not by_hand["scald_flour_g"]:
        return None
    low, high = _ends(recipe, "scald", True)
    found = _sums(reply)["scald_flour_g"]
    return (
        min(low, by_hand["scald_flour_g"]) * (1 - SCALD_WITHIN) - 1
        <= found
        <= max(high, by_hand["scald_flour_g"]) * (1 + SCALD_WITHIN) + 1
    )


def _ends(recipe: Recipe, part: str | None, flour: bool) -> tuple[float, float]:
    """The least and the most that lines may weigh: of a part (None: of dough and scald), of flour only."""
    share = recipe["expect"].get("scald_used_share") or 1.0
    low = high = 0.0
    for line in recipe["lines"]:
        known = INGREDIENTS.get(line["ingredient"])
        if line["section"] not in (part or "scald", part or "dough") or line["grams"] is None:
            continue
        if flour and not (known and known.is_flour):
            continue
        used = share if line["section"] == "scald" else 1.0
        low += used * (line["grams"] if line.get("low") is None else line["low"])
        high += used * (line["grams"] if line.get("high") is None else line["high"])
    return low, high


def formula_usable(recipe: Recipe, reply: dict[str, Any]) -> bool | None:
    """Whether flour, scald and dough weigh what they do by hand; None where nobody can know.

    What is measured in cups may weigh anything that careful bakers weigh for it.
    """
    by_hand, found = recipe["expect"], _sums(reply)
    if not by_hand["total_flour_g"] or by_hand["dough_g"] is None or by_hand["scald_flour_g"] is None:
        return None
    ends = {
        "total_flour_g": (*_ends(recipe, None, True), FLOUR_WITHIN),
        "scald_flour_g": (*_ends(recipe, "scald", True), SCALD_WITHIN),
        "dough_g": (*_ends(recipe, None, False), DOUGH_WITHIN),
    }
    return all(
        min(low, by_hand[name]) * (1 - within) - 1
        <= found[name]
        <= max(high, by_hand[name]) * (1 + within) + 1
        for name, (low, high, within) in ends.items()
    )


class Score:
    """Counts of results, of scalds seen and of formulas usable."""

    def __init__(self) -> None:
        self.results: Counter[str] = Counter()
        self.scalds = [0, 0]
        self.formulas = [0, 0]
        self.recipes = self.asked = 0

    def add(self, recipe: Recipe, reply: dict[str, Any]) -> list[tuple[str, Line | None, Line | None]]:
        """Count one recipe; returns its results with what they are of."""
        self.recipes += 1
        reply = with_whole_starters(recipe, reply)
        found = [(result(by_hand, read), by_hand, read) for by_hand, read in pairs(recipe, reply)]
        self.results.update(each for each, _, _ in found)
        self.asked += sum(
            each == "right" and read is not None and not _is_sure(read) for each, _, read in found
        )
        for counts, good in (
            (self.scalds, scald_seen(recipe, reply)),
            (self.formulas, formula_usable(recipe, reply)),
        ):
            if good is not None:
                counts[0] += good
                counts[1] += 1
        return found

    def percent(self, name: str) -> float:
        """A result's share of all lines."""
        return 100 * self.results[name] / max(1, self.results.total())

    def row(self, name: str) -> str:
        """The counts in a line."""
        shares = "".join(f"{self.percent(each):8.1f}%" for each in RESULTS)
        scalds, formulas = (f"{good:5}/{of:<4}" for good, of in (self.scalds, self.formulas))
        asked = 100 * self.asked / max(1, self.results.total())
        counts = f"{name:10}{self.recipes:8}{self.results.total():7}"
        return f"{counts}{shares}{asked:8.1f}%{scalds:>11}{formulas:>11}"


HEAD = (
    f"{'':10}{'recipes':>8}{'lines':>7}{'right':>9}{'doubted':>9}{'unread':>9}{'silent':>9}{'asked':>9}"
    f"{'scald':>11}{'usable':>11}"
)


def score(corpus: Iterable[Recipe], show_lines: bool = False, reply_to=answer) -> dict[str, Score]:
    """The scores by language, and of ``all``."""
    scores: dict[str, Score] = {}
    for recipe in corpus:
        reply = reply_to(recipe)
        for name in ("all", recipe["language"]):
            found = scores.setdefault(name, Score()).add(recipe, reply)
        if show_lines:
            _show(recipe, with_whole_starters(recipe, reply), found)
    return scores


def _show(recipe: Recipe, reply: dict[str, Any], found: list[tuple[str, Line | None, Line | None]]) -> None:
    wrong = [each for each in found if each[0] != "right"]
    seen, usable = scald_seen(recipe, reply), formula_usable(recipe, reply)
    if not wrong and seen is not False and usable is not False:
        return
    print(f"== {recipe['id']}  scald seen: {seen}  usable: {usable}")
    for each, by_hand, read in wrong:
        ours = by_hand and (by_hand["text"][:60], by_hand["section"], by_hand["ingredient"], by_hand["grams"])
        theirs = read and (
            read["text"][:40],
            read["part"],
            read["ingredient"],
            read["mass"] and round(read["mass"]["best"], 1),
            read["sure"],
            read["why"][:90],
        )
        print(f"   {each:8} {ours}\n            {theirs}")


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    options.add_argument("--apart", action="store_true", help="the recipes that are kept apart")
    options.add_argument(
        "--lines", action="store_true", help="each line that is not right (never with --apart)"
    )
    options.add_argument("--language", help="one language only")
    options.add_argument("--corpus", type=Path, default=CORPUS)
    chosen = options.parse_args()
    corpus = [
        recipe
        for recipe in recipes(chosen.apart, chosen.corpus)
        if chosen.language in (None, recipe["language"])
    ]
    scores = score(corpus, chosen.lines and not chosen.apart)
    print(HEAD)
    for name in sorted(scores, key=lambda name: (name == "all", name)):
        print(scores[name].row(name))


if __name__ == "__main__":
    main()
