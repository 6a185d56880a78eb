"""The reply of variants: each one's figures, what is the same for all, differences, and one weigh-out."""

from scaldloaf.dough import preparation, sugar
from scaldloaf.dough.water_judged import (
    BALANCED,
    BY_ABSORPTION,
    BY_MOVE,
    BY_NOTHING,
    NOT_JUDGED,
    STICKY,
    UNDER_WATERED,
)
from scaldloaf.dough.water_rule import BY_TABLE, BY_TRIALS
from scaldloaf.operations.schemas.fields import (
    AnyText,
    Choice,
    Flag,
    Mass,
    Number,
    Percent,
    TemperatureDifference,
    Volume,
)
from scaldloaf.operations.schemas.loaf_plan import LoafPlanRequest
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, FullFormula, Note, ProblemFault, Reply
from scaldloaf.operations.schemas.replies.costs import Cost
from scaldloaf.operations.schemas.replies.scaling import WeighOutLine


class VariantProblem(Open):
    """Why a variant can't be made as asked; the others are answered all the same."""

    detail = AnyText("The first fault in a sentence, in English.")
    errors = Items(Object(ProblemFault), "Each fault found, its pointer into the whole request.")


class VariantAnswer(Open):
    """A variant: its figures, each as the single call gives it, or only its problem."""

    name = AnyText("As in the request.")
    problem = Object(VariantProblem, "Only for a variant that can't be made.", required=False)
    formula = Object(FullFormula, "What to mix, not rounded.", required=False)
    scalded_share_percent = Percent("Scalded flour, percent of total flour.", required=False)
    scald_liquid_ratio = Number(
        "Liquid over flour of the scald by mass; null without scalded flour.", allow_none=True, required=False
    )
    sucrose_percent = Percent("The sucrose lines together, percent of flour.", required=False)
    gluten_percent = Percent("Vital gluten, percent of flour.", required=False)
    hydration_percent = Number(
        "Hydration used: the one asked for, or the optimum's best value.", required=False
    )
    optimum_hydration_percent = Object(
        Estimate, "The hydration that suits this share and flour.", required=False
    )
    assessment = Choice(
        "How the hydration used compares with what is known, as in hydration-correction.",
        UNDER_WATERED,
        BALANCED,
        STICKY,
        NOT_JUDGED,
        required=False,
    )
    uncertain = Flag("Whether another assessment is possible within the interval.", required=False)
    judged_by = Choice(
        "What it is judged by: the change from the formula, which is assumed to be right, the flour's "
        "absorption, a table, your own trials, or nothing.",
        BY_MOVE,
        BY_ABSORPTION,
        BY_TABLE,
        BY_TRIALS,
        BY_NOTHING,
        required=False,
    )
    judged_against = Object(
        Estimate,
        "The hydration that suits by that; null if not judged.",
        allow_none=True,
        required=False,
    )
    pan_volume = Volume("Volume of its pan, level full.", required=False)
    dough_mass = Object(
        Estimate,
        "Dough for one pan: what is kept constant, or what fills the pan. In `units.mass`.",
        required=False,
    )
    mixed_dough_mass = Mass(
        "Dough to mix for all pans, so that the best value is left after handling.", required=False
    )
    filling_dough_mass = Object(
        Estimate, "Dough that fills the pan as far as asked. In `units.mass`.", required=False
    )
    fill_percent = Object(Estimate, "Loaf volume over pan volume with the dough used.", required=False)
    specific_volume = Object(
        Estimate, "Specific volume of the bread, cm³ per g of the loaf at the oven's mouth.", required=False
    )
    pan_ratio = Object(Estimate, "Pan volume over dough mass, cm³/g.", required=False)
    yeast_fed = Choice(
        "How the yeast is fed at the end of the stages, as `assessment` of sugar-budget. Only with `stages`.",
        sugar.FED,
        sugar.ON_MALTOSE,
        sugar.STARVED,
        sugar.NO_YEAST,
        required=False,
    )
    free_sugar_lasts_hours = Object(
        Estimate,
        "Hours from mixing until glucose and fructose would be gone if the last stage continued; null "
        "without `stages` or yeast.",
        allow_none=True,
        required=False,
    )
    sugar_left_percent = Object(
        Estimate,
        "All sugars left, including lactose, percent of bread; null without `stages`.",
        allow_none=True,
        required=False,
    )
    sweetness_percent = Object(
        Estimate,
        "Sweetness of the bread, as percent of sucrose in it; null without `stages`.",
        allow_none=True,
        required=False,
    )
    scald_core_temperature = Object(
        Estimate,
        "How hot the middle of its scald gets; null without `scald` or scalded flour. In "
        "`units.temperature`.",
        allow_none=True,
        required=False,
    )
    scald_swollen_percent = Object(
        Estimate,
        "Share of the scald's starch that swells; null without `scald` or scalded flour.",
        allow_none=True,
        required=False,
    )
    scald_starch = Choice(
        "What the starch of its scald does, as `gelatinisation.assessment` of scald-preparation. Only with "
        "`scald` and scalded flour.",
        preparation.GELATINISED,
        preparation.PARTLY,
        preparation.NOT_GELATINISED,
        required=False,
    )
    water_temperature = Object(
        Estimate,
        "Temperature of the dough's water; null without `temperatures`. In `units.temperature`.",
        allow_none=True,
        required=False,
    )
    proof_minutes = Object(
        Estimate,
        "Proof time from your own trials; null without `proof`, or if they do not show it.",
        allow_none=True,
        required=False,
    )
    weigh_out = Items(
        Object(WeighOutLine), "Its lines rounded for the scale so that they add up, in order.", required=False
    )
    weigh_out_total = Mass("What the rounded lines add up to, before any evaporation.", required=False)
    cost = Object(
        Cost, "Costs of the lines before rounding; a piece is one pan. Only with `prices`.", required=False
    )
    request = Object(
        LoafPlanRequest,
        "A loaf-plan of this variant. If the pan is filled, its answer is the same; if dough or flour "
        "is kept constant, its masses are those that fill the pan.",
        required=False,
    )
    notes = Items(
        Object(Note),
        "What to know about this variant only. Omitted with `?show=result`.",
        required=False,
    )


class SameLine(Open):
    """A line that is the same in all."""

    ingredient = AnyText("Its name, as in the formula.")
    part = Choice("Where it goes.", "dough", "scald")
    percent = Percent("Percent of total flour.")


class SameForAll(Open):
    """What all variants that can be made have in common. Everything else differs."""

    scalded_share_percent = Percent("Scalded flour, percent of total flour.", required=False)
    scald_liquid_ratio = Number("Liquid over flour of the scald by mass.", required=False)
    hydration_percent = Number("All water, percent of flour.", required=False)
    sucrose_percent = Percent("The sucrose lines together, percent of flour.", required=False)
    gluten_percent = Percent("Vital gluten, percent of flour.", required=False)
    pan_volume = Volume("Volume of the pan, level full.", required=False)
    dough_mass = Object(Estimate, "Dough for one pan. In `units.mass`.", required=False)
    lines = Items(Object(SameLine), "Lines of the same percentage, in the order of the first variant.")


class LineDifference(Open):
    """A line whose mass differs."""

    ingredient = AnyText("Its name, as in the formula.")
    part = Choice("Where it goes.", "dough", "scald")
    mass = Mass("More than in the first, or below 0 less; exact.")


class VariantDifferences(Open):
    """A variant less the first one, best values; null if one of them has no such figure."""

    name = AnyText("Of the variant.")
    scalded_share_points = Number("Points of scalded share.")
    scald_liquid_ratio = Number("Liquid over flour of the scald.", allow_none=True)
    hydration_points = Number("Points of hydration.")
    sucrose_points = Number("Points of sucrose.")
    gluten_points = Number("Points of vital gluten.")
    dough_mass = Mass("Dough for one pan.")
    fill_points = Number("Points of how far the pan is filled.")
    specific_volume_percent = Number("Specific volume, percent of the first's.")
    free_sugar_lasts_hours = Number("Hours that the free sugar lasts.", allow_none=True)
    sweetness_points = Number("Points of sweetness.", allow_none=True)
    sugar_left_points = Number("Points of the sugars left.", allow_none=True)
    scald_core_temperature = TemperatureDifference("How hot the middle of the scald gets.", allow_none=True)
    scald_swollen_points = Number("Points of the scald's starch that swells.", allow_none=True)
    water_temperature = TemperatureDifference("Temperature of the dough's water.", allow_none=True)
    proof_minutes = Number("Minutes of proof.", allow_none=True)
    cost_per_piece = Number("Cost of one pan. Only with `prices`.", required=False)
    lines = Items(Object(LineDifference), "The lines of what is mixed that differ.")


class VariantPortion(Open):
    """What a variant gets of something made for several."""

    name = AnyText("Of the variant.")
    mass = Mass("Mass to weigh: a whole number of steps.")


class SharedMix(Open):
    """Something made once for several variants."""

    lines = Items(Object(WeighOutLine), "What to weigh for it, rounded for the scale so that it adds up.")
    total = Mass("What the rounded lines add up to, before any evaporation.")
    portions = Items(
        Object(VariantPortion),
        "How much of it each variant gets. Together the portions are all that is left of it.",
    )


class SharedScald(SharedMix):
    """A scald made once for all variants that share it."""

    liquid_ratio = Number("Liquid over flour by mass; null without flour.", allow_none=True)
    evaporation = Mass("What it loses while it is cooked.")


class RestOfVariant(Open):
    """What to weigh for a variant besides its portions."""

    name = AnyText("Of the variant.")
    lines = Items(Object(WeighOutLine), "Its own lines, as in its `weigh_out`.")


class WeighOutTogether(Open):
    """All variants that can be made, weighed out at once."""

    scalds = Items(Object(SharedScald), "One for each mix of flour and liquid, with its portions.")
    common = Object(
        SharedMix,
        "Dry ingredients that are the same percentage in all, mixed once; null where there are none.",
        allow_none=True,
    )
    rest = Items(Object(RestOfVariant), "What is then left to weigh for each.")


class VariantsReply(Reply):
    """The variants side by side."""

    variants = Items(Object(VariantAnswer), "Each variant, in the order of the request.")
    same = Object(SameForAll)
    differences = Items(
        Object(VariantDifferences), "The others less the first one, for those that can be made."
    )
    weigh_out = Object(WeighOutTogether)
