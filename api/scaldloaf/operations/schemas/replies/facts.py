"""The tables of facts."""

from scaldloaf.operations.schemas.common import Composition, Units
from scaldloaf.operations.schemas.fields import AnyObject, AnyText, Choice, Component, Flag, Integer, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.reference import EVIDENCE, REPLACEMENTS, YEAST_KINDS


class IngredientsFactsIngredientsYeast(Component, Choice):
    """What kind of yeast it is; null for none."""

    names = YEAST_KINDS


class CatalogueIngredient(Open):
    """One ingredient, g per 100 g as sold."""

    name = AnyText("For requests.")
    label = AnyText("For people, in English.")
    composition = Object(Composition)
    water_percent = Number("g per 100 g.")
    sucrose_percent = Number("g per 100 g.")
    glucose_percent = Number("g per 100 g.")
    fructose_percent = Number("g per 100 g.")
    maltose_percent = Number("g per 100 g.")
    lactose_percent = Number("g per 100 g.")
    fat_percent = Number("g per 100 g.")
    protein_percent = Number("g per 100 g.")
    salt_percent = Number("g per 100 g.")
    is_flour = Flag("Whether it counts as flour, the base of baker's percentages.")
    is_liquid = Flag("Whether it counts as a liquid, whole.")
    yeast = IngredientsFactsIngredientsYeast(allow_none=True)
    allergens = Items(AnyText(), "A list of names.")
    aliases = Items(AnyText(), "A list of names.")
    density_g_per_cm3 = Number("For cups and spoons; null when unknown.", allow_none=True)
    evidence = Choice("What it is based on.", *EVIDENCE)
    sources = Items(AnyText(), "A list of names.")
    place = AnyText(
        "Where in a source it was read: a table, page, section or abstract; empty if it was not read."
    )
    note = AnyText("What to know about its figures; empty for nothing.")


class IngredientsFacts(Open):
    """The catalogue."""

    ingredients = Items(Object(CatalogueIngredient), "Ingredients.")


class IngredientLabel(Open):
    """One ingredient."""

    name = AnyText("For requests.")
    label = AnyText("For people.")
    language = AnyText(
        "Language of this label: `en` if there is none in the language of the reply. Only if a "
        "language was asked for.",
        required=False,
    )
    is_liquid = Flag("Whether it counts as a liquid, whole.")


class LabelsFacts(Open):
    """Labels only, for a page that shows formulas: a seventh of the size of the catalogue."""

    language = AnyText(
        "BCP 47 tag of the language of the labels. Only if one was asked for.",
        required=False,
    )
    ingredients = Items(Object(IngredientLabel), "Ingredients.")


class NamesInLanguage(Open):
    """What an ingredient is called in one language."""

    language = AnyText("BCP 47 tag.")
    label = AnyText("The name to show.")
    spellings = Items(AnyText(), "Other names that a recipe may use, in lower case.")


class IngredientNames(Open):
    """One ingredient."""

    name = AnyText("As in formulas.")
    names = Items(Object(NamesInLanguage), "By language, English first.")


class NamesFacts(Open):
    """Every name of every ingredient, to find one by any of its names."""

    languages = Items(AnyText(), "BCP 47 tags of the languages with names, English first.")
    ingredients = Items(Object(IngredientNames), "Ingredients.")


class Unit(Open):
    """A unit. (number - zero) × factor turns it into the unit of its quantity that has factor 1 and
    zero 0."""

    unit = AnyText("For requests.")
    ucum = AnyText("Its code in the Unified Code for Units of Measure.")
    label = AnyText("For people, in English.")
    factor = Number("Size of the unit.")
    zero = Number("Its reading where the other unit reads 0; 0 except for degF.")


class Quantities(Open):
    """Units of each quantity."""

    mass = Items(Object(Unit), "Units of mass.")
    length = Items(Object(Unit), "Units of length.")
    volume = Items(Object(Unit), "Units of volume.")
    temperature = Items(Object(Unit), "Units of temperature.")


class UnitsFacts(Open):
    """Units."""

    quantities = Object(Quantities)
    defaults = Object(Units)


class Coefficient(Open):
    """A number used in the calculations."""

    name = AnyText("Its name in the workings.")
    value = Number("Best value.")
    low = Number("Lower end.")
    high = Number("Upper end.")
    unit = AnyText("Of the three values, in words.")
    evidence = Choice("What it is based on.", *EVIDENCE)
    sources = Items(AnyText(), "A list of names.")
    place = AnyText(
        "Where in a source it was read: a table, page, section or abstract; empty if it was not read."
    )
    replaced_by = Items(
        Choice("What kind of number.", *REPLACEMENTS),
        "What would replace it with a better number, the easiest first; empty for a definition, a "
        "legal figure or a limit of the program.",
    )
    recipes = Integer("How many recipes of a survey it is fitted to; null if none.", allow_none=True)
    meaning = AnyText("What it says.")
    valid = AnyText("Where it holds; empty where that needs no saying.")


class CoefficientsFacts(Open):
    """Coefficients."""

    coefficients = Items(Object(Coefficient), "Coefficients.")


class Source(Open):
    """A source, and how much of it was read."""

    id = AnyText("As `sources` and `basis` name it.")
    title = AnyText("With its authors.")
    kind = AnyText("paper, patent, book, standard, law, table, trade page, survey, or none.")
    year = Integer("Of publication; null where there is none.", allow_none=True)
    identifier = AnyText("Where to find it: volume and page, DOI, address, table; may be empty.")
    seen = AnyText(
        "How much of it was read: full text, patent text, table, abstract, excerpt, quoted elsewhere, "
        "our own survey, not seen, or nothing to look up; sometimes with a remark."
    )


class SourcesFacts(Open):
    """Sources."""

    sources = Items(Object(Source), "Sources.")


class PanShape(Open):
    """A shape; `pan` can be posted to pan-fill with the default units."""

    name = AnyText("For programs.")
    label = AnyText("For people, in English.")
    pan = AnyObject("The `pan` of a request, lengths in cm.")
    note = AnyText("What to know about it.")
    lid = Flag("Whether it has a lid.")


class PansFacts(Open):
    """Pans."""

    pans = Items(Object(PanShape), "Pans.")
