"""The request of sugar-budget: the stages from mixing to the oven, the yeast and the flour."""

from scaldloaf.dough import limits, sugar, sugar_course, sugar_stages, yeast
from scaldloaf.operations.schemas.common import Formula, Request
from scaldloaf.operations.schemas.fields import Choice, Constant, Number, Percent, Temperature, Text
from scaldloaf.operations.schemas.objects import Closed, Items, Object, Union

MAX_STAGES = 24


class Stage(Closed):
    """A period at one dough temperature."""

    minutes = Number("How long it lasts.", 0.1, sugar_stages.LONGEST_MINUTES, required=True)
    temperature = Temperature("Temperature of the dough (not of the room).", required=True)
    name = Text("Your own name for it.", 60, 0, load_default="")


class YeastAndFlour(Closed):
    yeast_tolerance = Choice(
        "Ordinary baker's yeast, or a strain for sweet doughs.",
        yeast.ORDINARY,
        yeast.SUGAR_TOLERANT,
        load_default=yeast.ORDINARY,
    )
    damaged_starch_percent = Percent(
        "Damaged starch of the flour, percent of flour.",
        maximum=sugar.DAMAGED_STARCH_UPPER_PERCENT,
        load_default=sugar_course.DAMAGED_STARCH_REFERENCE_PERCENT,
    )


class SolveLeastThatFeeds(Closed):
    """least that feeds"""

    kind = Constant("least_that_feeds")


class SolveSameSweetnessAs(Closed):
    """same sweetness as"""

    kind = Constant("same_sweetness_as")
    formula = Object(Formula, "The formula of the bread to match. It has the same stages.", required=True)


class SolveSweetness(Closed):
    """sweetness"""

    kind = Constant("sweetness")
    sweetness_percent = Percent("Sweetness of the bread, as percent of sucrose in it.", required=True)


class SugarSolve(Union):
    """The sucrose to find: the least that keeps the yeast fed to the end, or the amount for a given sweetness
    or that of another bread. Only the sucrose lines change; dough mass and all other baker's percentages stay
    the same. A sweetness that leaves the yeast too little sugar is refused."""

    kinds = SolveLeastThatFeeds, SolveSameSweetnessAs, SolveSweetness


class SugarBudgetRequest(YeastAndFlour, Request):
    """A formula and its stages from mixing to the oven."""

    formula = Object(Formula, required=True)
    stages = Items(
        Object(Stage),
        "From the end of mixing to the oven, in order; 72 h in total at most.",
        1,
        MAX_STAGES,
        required=True,
    )
    bake_loss_percent = Percent(
        "What the bread has lost, percent of the dough put in the oven: the bake loss, and for a cold loaf "
        "also what it lost while it cooled.",
        maximum=limits.LOSS_TILL_COLD_UPPER_PERCENT,
        load_default=limits.BAKE_LOSS_LIDDED_PERCENT.value,
    )
    solve = SugarSolve("The sucrose to find. The answer is then for the formula with that sucrose.")
