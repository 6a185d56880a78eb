"""The reply of recipe-import: the recipe as a formula, and how each line was read."""

from scaldloaf.importing.quantities.readings import KINDS
from scaldloaf.importing.whole.usable import REASONS, VERDICTS
from scaldloaf.importing.words.doubt import LEVELS, TEXTS
from scaldloaf.importing.words.vocabulary import PARTS
from scaldloaf.operations.schemas.fields import AnyText, Choice, Flag, Integer, Values
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, FullFormula, Reply


class ReadDoubt(Open):
    """Why a reading is not sure, with a code so that a page can show it in its own language."""

    code = Choice("The reason.", *TEXTS)
    level = Choice("How sure the reading is with this doubt alone.", *LEVELS)
    values = Values("The words and numbers in the text by name; those that end in `_g` are in g.")


class ReadLine(Open):
    """One ingredient, heading or mention, as read."""

    line = Integer("Number of its line, from 1. A line with several ingredients appears several times.")
    text = AnyText("The line as sent, or its beginning if it is very long.")
    kind = Choice(
        "An ingredient, a heading, a mention of the scald made elsewhere, or a step of the method.", *KINDS
    )
    read_as = AnyText("What it was read as, in words; empty if nothing.")
    part = Choice("Where it goes; `aside` is not in the dough: dusting, glaze, filling.", *PARTS)
    section = AnyText("The heading above it; empty if there is none.")
    section_sure = Choice("How sure its part is; `sure` where the request says it.", *LEVELS)
    ingredient = AnyText("Catalogue name; null if none was read.", allow_none=True)
    mass = Object(
        Estimate,
        "Mass, with an interval for a cup, a range or an egg; null if none was read. In `units.mass`.",
        allow_none=True,
    )
    sure = Choice("How sure the reading is. The interval of the mass shows how well that is known.", *LEVELS)
    why = AnyText("Why it is not sure; empty if it is.")
    doubts = Items(Object(ReadDoubt), "The reasons in `why`, each with its code and values.")
    alternatives = Items(AnyText(), "Other ingredients it could be, the likeliest first.")
    in_formula = Flag("Whether it is in the formula.")


class ReadCounts(Open):
    """How many of the ingredients were read how."""

    sure = Integer("Ingredients that are sure.")
    likely = Integer("Ingredients that are likely right.")
    unsure = Integer("Ingredients to check.")
    not_read = Integer("Ingredients not read.")


class UsableReason(Open):
    """Why a formula is doubtful or not usable."""

    code = Choice("The reason.", *REASONS)
    text = AnyText("A sentence for the baker.")
    values = Values("The numbers in the text by name, in the request's units.")


class Usable(Open):
    """Whether the formula that was read is plausible for pan bread."""

    verdict = Choice(
        "`usable`; `doubtful`: check it first; `not_usable`: it is not a bread formula, or there is none.",
        *VERDICTS,
    )
    reasons = Items(Object(UsableReason), "Why it is not usable as it is, the most important reason first.")


class RecipeImportReply(Reply):
    """The recipe as a formula, and how each line was read."""

    formula = Object(FullFormula, "The lines that were read; null if they contain no flour.", allow_none=True)
    name = AnyText("The recipe's name; empty if it has none.")
    recipes = Items(
        AnyText(),
        "Names of the recipes in the document, in the order of recipe_number; empty for text and lines.",
    )
    lines = Items(Object(ReadLine), "Every line that is not blank, in order.")
    counts = Object(ReadCounts)
    usable = Object(
        Usable, "Whether hydration, scald and dough mass are plausible for pan bread, with reasons."
    )
