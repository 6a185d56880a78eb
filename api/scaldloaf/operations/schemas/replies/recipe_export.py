"""The reply of recipe-export: the recipe as written, and what is in it line by line."""

from scaldloaf.operations.schemas.fields import AnyObject, AnyText, Choice, Mass, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.recipe_export import FORMATS
from scaldloaf.operations.schemas.replies.common import LineAllergen, Reply


class PrintedLine(Open):
    """An ingredient as it is printed."""

    ingredient = AnyText("Catalogue name, or a name of your own.")
    part = Choice("Where the line goes.", "dough", "scald")
    mass = Mass("Mass of the line: of the formula, or of the plan's weigh-out.")
    printed_mass = Mass("What the printed amount comes to; recipe-import reads this.")
    label = AnyText("What the ingredient is called.")
    amount = AnyText("The amount as it is printed.")
    text = AnyText("The whole line.")


class RecipeMinutes(Open):
    """Times in minutes; null where not all of it is known."""

    prep = Number("Before the oven: the timetable up to the bake, stages included.", allow_none=True)
    cook = Number("In the oven: what comes first after the stages.", allow_none=True)
    total = Number("All of it.", allow_none=True)


class RecipeExportReply(Reply):
    """A recipe, ready to be published."""

    text = AnyText(
        "The recipe as written. For `json_ld` its JSON, with `<`, `>` and `&` escaped so that it may stand "
        "in a script element as it is."
    )
    recipe = AnyObject(
        "For `json_ld`: a Recipe of schema.org. Serialised by others, its `<` must be escaped in a script "
        "element.",
        required=False,
    )
    format = Choice("How it is written.", *FORMATS)
    media_type = AnyText("Media type of `text`.")
    language = AnyText("Its language, a tag of BCP 47.")
    name = AnyText("The recipe's name.")
    makes = AnyText("How much it makes, as it is printed.")
    minutes = Object(RecipeMinutes)
    lines = Items(Object(PrintedLine), "The ingredients in the order they are printed, the scald first.")
    allergens = Items(Object(LineAllergen), "Allergens of the ingredients named.")
