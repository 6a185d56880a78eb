"""The reply of recipe-export: the recipe as written, and what is in it line by line."""

from scaldloaf.operations.schemas.fields import AnyObject, AnyText, Choice, Mass, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.recipe_export import FORMATS
from scaldloaf.operations.schemas.replies.common import LineAllergen, Reply


class PrintedLine(Open):
    """An ingredient as printed."""

    ingredient = AnyText("Catalogue name, or your own.")
    part = Choice("Where the line goes.", "dough", "scald")
    mass = Mass("Mass of the line: of the formula, or of the plan's weigh-out.")
    printed_mass = Mass("What the printed amount comes to; recipe-import reads this.")
    label = AnyText("Name of the ingredient.")
    amount = AnyText("The amount as printed.")
    text = AnyText("The whole line.")


class RecipeMinutes(Open):
    """Times in minutes; null if not fully known."""

    prep = Number("Before the oven: the timetable up to the bake, stages included.", allow_none=True)
    cook = Number("In the oven: the first task after the stages.", allow_none=True)
    total = Number("Total.", allow_none=True)


class RecipeExportReply(Reply):
    """A recipe, ready to publish."""

    text = AnyText(
        "The recipe as text. For `json_ld` its JSON, with `<`, `>` and `&` escaped so that you can put "
        "it into a script element unchanged."
    )
    recipe = AnyObject(
        "For `json_ld`: a schema.org Recipe. If you serialise it yourself for a script element, escape "
        "its `<`.",
        required=False,
    )
    format = Choice("How it is written.", *FORMATS)
    media_type = AnyText("Media type of `text`.")
    language = AnyText("Its language, a BCP 47 tag.")
    name = AnyText("The recipe's name.")
    makes = AnyText("How much it makes, as printed.")
    minutes = Object(RecipeMinutes)
    lines = Items(Object(PrintedLine), "The ingredients in the order they are printed, the scald first.")
    allergens = Items(Object(LineAllergen), "Allergens of the ingredients named.")
