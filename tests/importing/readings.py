"""What the import reads of a text, as the tests of this folder compare it."""

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT


def lines_of(text):
    """The lines of the reply."""
    return perform(RECIPE_IMPORT, {"text": text})["lines"]


def weighed(text):
    """Part, ingredient and grams of each line of the formula."""
    return [
        (line["part"], line["ingredient"], round(line["mass"]["best"]))
        for line in lines_of(text)
        if line["in_formula"]
    ]


def in_any_order(text):
    """The same, sorted."""
    return sorted(weighed(text))


def _read(line):
    grams = line["mass"] and round(line["mass"]["best"])
    return line["part"], line["ingredient"], grams, line["sure"] == line["section_sure"] == "sure"


def sure_or_not(text):
    """Part, ingredient, grams and whether it is sure, of each ingredient, in the formula or not."""
    return [_read(line) for line in lines_of(text) if line["kind"] in ("ingredient", "mention")]


def sure_or_not_in_formula(text):
    """The same, of the lines of the formula."""
    return [_read(line) for line in lines_of(text) if line["in_formula"]]
