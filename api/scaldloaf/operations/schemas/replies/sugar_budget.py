"""The reply of sugar-budget: the sugars through the stages, and what stays in the loaf."""

from scaldloaf.dough import sugar
from scaldloaf.operations.schemas.fields import AnyText, Choice, Flag, Mass, Number, Percent
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, FullFormula, Reply


class SugarsAtATime(Open):
    """The sugars at one time, best values."""

    hours = Number("Hours from mixing.")
    glucose_percent = Number("Glucose, percent of flour.")
    fructose_percent = Number("Fructose, percent of flour.")
    maltose_percent = Number("Maltose, percent of flour.")
    used_percent = Number("Used by the yeast so far, percent of flour, as hexose.")
    unmet_percent = Number("Shortfall of sugar so far, percent of flour, as hexose.")
    event = AnyText("What happens at that time, in words; empty at plain steps.")


class FreeSugarSpentRange(Open):
    """Its interval; `null` if it does not happen before baking."""

    earliest = Number("With faster yeast.", allow_none=True)
    latest = Number("With slower yeast.", allow_none=True)


class ResidualSugar(Open):
    """A sugar left in the loaf."""

    percent_of_flour = Object(Estimate, "Percent of total flour.")
    percent_of_bread = Object(Estimate, "Percent of the baked loaf.")


class ResidualSugars(Open):
    """Sugars left in the loaf."""

    sucrose = Object(ResidualSugar)
    glucose = Object(ResidualSugar)
    fructose = Object(ResidualSugar)
    maltose = Object(ResidualSugar)
    lactose = Object(ResidualSugar)
    total = Object(ResidualSugar)


class SugarInShort(Open):
    """The three figures of a budget that a plan repeats."""

    free_sugar_spent_hours = Number(
        "Hours from mixing until glucose and fructose are gone; null if never.", allow_none=True
    )
    sweetness_percent = Object(
        Estimate, "Sweetness of the bread, as percent of sucrose in it (lactose counted)."
    )
    assessment = Choice(
        "How the yeast is fed at the end: on free sugar, on maltose alone, starved (short of "
        "sugar), or no yeast in the formula.",
        sugar.FED,
        sugar.ON_MALTOSE,
        sugar.STARVED,
        sugar.NO_YEAST,
    )


class SugarSolution(Open):
    """The sucrose found."""

    sucrose_percent = Object(Estimate, "The sucrose lines together, percent of flour.")
    before_percent = Percent("The same before.")
    formula = Object(
        FullFormula,
        "The formula with the best value and the same dough mass. The answer is for this formula.",
    )


class SugarBudgetReply(SugarInShort, Reply):
    """The sugar budget."""

    solution = Object(SugarSolution, "Only with `solve`.", required=False)

    timeline = Items(
        Object(SugarsAtATime), "The times at even steps, and those of every stage and event between them."
    )
    free_sugar_spent_range_hours = Object(FreeSugarSpentRange)
    free_sugar_lasts_hours = Object(
        Estimate,
        "Hours from mixing until glucose and fructose would be gone if the last stage continued; 24 "
        "means 24 h or more. Null without yeast.",
        allow_none=True,
    )
    maltose_drawn_hours = Number(
        "Hours from mixing until the yeast begins to use maltose; null if never.", allow_none=True
    )
    used_percent = Object(Estimate, "Total used by the yeast, percent of flour, as hexose.")
    unmet_percent = Number("Total shortfall of sugar, percent of flour, as hexose; best value.")
    residual = Object(ResidualSugars)
    gas_volume = Object(Estimate, "Carbon dioxide produced, at 30 °C and 1 atm. In `units.volume`.")
    gas_per_100_g_flour = Object(Estimate, "The same for 100 g of flour, cm³.")
    bread_mass = Mass("The baked loaves of the whole formula.")
    compressed_yeast_percent = Number("Yeast as compressed yeast, percent of flour.")
    osmotic_pressure_atm = Number(
        "Osmotic pressure of the dough's water at mixing, atm; null without yeast.", allow_none=True
    )
    yeast_rate = Number(
        "Rate of the yeast under that pressure, fraction of its full rate; null without yeast.",
        allow_none=True,
    )
    sugar_tolerant_yeast_advised = Flag("Whether this much sugar needs sugar-tolerant yeast.")
