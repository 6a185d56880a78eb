"""Shapes that replies share: the formula with all its figures, estimates, and what every reply carries."""

from scaldloaf.operations.schemas.common import Composition, Units
from scaldloaf.operations.schemas.fields import (
    MAX_NAME,
    AnyObject,
    AnyText,
    Anything,
    Choice,
    Mass,
    Number,
    Percent,
    Text,
    Values,
)
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.reference import EVIDENCE


class Step(Open):
    """One step of the working. You can redo it by hand."""

    label = AnyText("What is worked out.")
    expression = AnyText("With its numbers in place, to be redone by hand.")
    value = Number("Its result.")
    unit = AnyText("Unit of the value; empty for a bare number.")


class Caution(Open):
    """A warning for the step where it matters."""

    code = AnyText()
    text = AnyText("The warning in English; your own words go by `code` and `values`.")
    values = Values("The numbers in the text by name, temperatures in `units.temperature`.")
    defer_to = AnyText("Who decides: local rules or licensed practice.")


class Note(Open):
    """Something to know about this answer, e.g. that it extrapolates."""

    code = AnyText()
    text = AnyText("In English; your own words go by `code` and `values`.")
    values = Values("The numbers and names in the text by name, numbers in the request's units.")


class Reply(Open):
    """A reply: the fields of the call, and what every reply carries."""

    units = Object(Units)
    cautions = Items(Object(Caution), "Warnings for the steps where they matter.")
    working = Items(Object(Step), "The steps, in order. Omitted with `?show=result`.", required=False)
    basis = Items(
        AnyText(), "Sources used, listed at GET /v1/sources. Omitted with `?show=result`.", required=False
    )
    notes = Items(
        Object(Note), "What to know about this result. Omitted with `?show=result`.", required=False
    )


class Estimate(Open):
    """A number with its interval (90 % unless stated otherwise) and what it is based on."""

    low = Number("Lower end.")
    best = Number("Best value.")
    high = Number("Upper end.")
    evidence = Choice("What it is based on.", *EVIDENCE)


class FullLine(Open):
    """One ingredient of a formula, with all its figures."""

    ingredient = Text(
        "A catalogue name (GET /v1/ingredients), or any name with a `composition`.",
        80,
        examples=["bread_flour"],
    )
    mass = Mass("Mass of the line.")
    percent = Percent("Baker's percentage: percent of total flour.")
    percent_of_dough = Percent("Percent of dough mass. Given in replies; not read in requests.")
    part = Choice("Where the line goes.", "dough", "scald")
    composition = Object(Composition, required=False)


class FullFormula(Open):
    """A formula with all its figures; it can be posted back unchanged."""

    lines = Items(Object(FullLine), "The ingredients, in order.", 1)
    name = Text("Your own name for it.", MAX_NAME, 0)
    scald_evaporation = Mass(
        "Mass the scald loses while it is cooked (where the lines are in percent: percent of flour)."
    )


class Percentages(Open):
    """A formula in percentages."""

    scalded_share_percent = Percent("Scalded flour, percent of total flour.")
    hydration_percent = Number("Water in all lines that are not flour, less evaporation, percent of flour.")
    liquid_percent = Number("Quick count: all water and milk, and nothing else, percent of flour.")
    dough_yield = Number("100 + liquid percent.")
    total_percent = Number("All ingredients, percent of flour.")
    sugar_percent = Number("Sugars that yeast can use, percent of flour (not lactose).")
    lactose_percent = Number("Lactose, percent of flour; baker's yeast cannot use it.")
    fat_percent = Number("Fat of every line that is not flour, percent of flour.")
    salt_percent = Number("Salt of every line, percent of flour.")
    instant_yeast_percent = Number("Yeast as instant dry yeast, percent of flour.")


class LineAllergen(Open):
    """An allergen and the lines that contain it."""

    allergen = AnyText("Its name, as in the catalogue.")
    ingredients = Items(AnyText(), "Ingredients that contain it.", data_key="from")


class ProblemOption(Open):
    """A way out of a refusal that was tried: with this change the request is accepted."""

    keeps = AnyText("JSON Pointer to the field that keeps its value; empty if all others do.")
    change = AnyObject("What to change: JSON Pointer to value.")


class ProblemFault(Open):
    """One fault."""

    pointer = AnyText("JSON Pointer into the request body (RFC 6901).")
    code = AnyText()
    detail = AnyText("What is wrong and why, in English; your own words go by `code` and `values`.")
    given = Anything("The value given, if it is short enough to repeat.")
    nearest = Anything("The nearest value that works; null if there is none.")
    values = Values("The bounds, numbers and names in the detail by name, numbers in the request's units.")
    options = Items(Object(ProblemOption), "Ways out that work, the nearest to what was asked first.")
    parameter = AnyText("The query parameter or header at fault.", required=False)
