"""The request of recipe-export: a formula or a plan, and how it is to be written."""

from scaldloaf.exporting.amounts import MEASURES, METRIC
from scaldloaf.exporting.vocabulary import ENGLISH, LANGUAGES
from scaldloaf.operations.schemas.common import Formula, Request
from scaldloaf.operations.schemas.fields import MAX_NAME, Choice, Flag, Integer, Temperature, Text
from scaldloaf.operations.schemas.loaf_plan import MOST_TASKS, LoafPlanRequest
from scaldloaf.operations.schemas.objects import Closed, Items, Object
from scaldloaf.operations.schemas.scald_preparation import Task
from scaldloaf.operations.schemas.sugar_budget import MAX_STAGES, Stage

JSON_LD, MARKDOWN, TEXT, CSV = FORMATS = "json_ld", "markdown", "text", "csv"
MOST_PANS = 100_000


class RecipeTimes(Closed):
    """The work before and after the stages, as in the timetable of a loaf-plan, without its clock."""

    after = Items(Object(Task), "After the stages, in order: bake, cool.", 1, MOST_TASKS, required=True)
    before = Items(Object(Task), "Before the stages, in order: make scald, cool scald, mix.", 0, MOST_TASKS)


class RecipeExportRequest(Request):
    """A formula or a plan (exactly one of them), and how to write it."""

    formula = Object(Formula)
    plan = Object(
        LoafPlanRequest,
        "A request of loaf-plan, or a `request` from a reply of variants. It is computed again, so the "
        "recipe belongs to exactly these entries. Its `units` apply to everything.",
    )
    format = Choice("What to write.", *FORMATS, required=True)
    language = Choice("Language, a BCP 47 tag.", *LANGUAGES, load_default=ENGLISH)
    measures = Choice(
        "Grams and degrees Celsius; ounces, pounds, spoons and degrees Fahrenheit; or the first with the "
        "others in parentheses.",
        *MEASURES,
        load_default=METRIC,
    )
    name = Text("The recipe's name. Default: the formula's, or else pan bread.", MAX_NAME)
    pans = Integer("How many loaves the formula makes; a plan has its own.", 1, MOST_PANS)
    stages = Items(
        Object(Stage),
        "From the end of mixing to the oven, in order; a plan has its own.",
        1,
        MAX_STAGES,
    )
    timetable = Object(
        RecipeTimes,
        "The work before and after the stages; the first task after them is the bake. A plan has its own.",
    )
    oven_temperature = Temperature("Oven temperature. If omitted, the recipe states none.")
    cautions = Flag(
        "Whether the recipe contains the cautions in short. The reply always has them.", load_default=True
    )
