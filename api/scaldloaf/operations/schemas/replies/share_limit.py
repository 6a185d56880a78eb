"""The reply of share-limit: how far the share can go, what limits it, and what would loosen that."""

from scaldloaf.dough.share_limits import LIMITS
from scaldloaf.dough.share_search import NOT_KNOWN, NOT_REACHED, REACHED
from scaldloaf.operations.schemas.fields import AnyText, Choice, Mass, Number, Percent
from scaldloaf.operations.schemas.loaf_plan import LoafPlanRequest
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, FullFormula, Reply


class LooserLimits(Open):
    """Limits that change; null: not given."""

    dough_mass = Mass("The most dough that a pan takes.", required=False)
    proof_minutes = Number("Longest proof.", required=False)
    gluten_percent = Percent("Most vital gluten that may be added.", allow_none=True, required=False)


class LooserRequest(Open):
    """A change of the request, as a JSON merge patch (RFC 7396): null removes a field."""

    scald_liquid_ratio = Number("Liquid over flour of the scald by mass.", required=False)
    scald_liquids = Items(AnyText(), "Liquids that may go into the scald.", required=False)
    hydration_percent = Number("A hydration instead of the optimum.", allow_none=True, required=False)
    sucrose_percent = Percent("The sucrose lines together, percent of flour.", required=False)
    limits = Object(LooserLimits, required=False)


class ShareLimit(Open):
    """Something that limits the scalded share: the scald's liquid or its flours, what is known about the
    water, the water temperature, the pan, the proof, the yeast's sugar, the gluten that may be added, or the
    highest share that is calculated (`bound`)."""

    limit = Choice("What limits.", *LIMITS)
    state = Choice(
        "Whether it is reached by best values up to `bound`, or not known because `needs` is missing.",
        REACHED,
        NOT_REACHED,
        NOT_KNOWN,
    )
    scalded_share_percent = Object(
        Estimate,
        "The share at which it binds. Best is `bound` if only the interval reaches it; null if not "
        "even that does.",
        allow_none=True,
    )
    needs = AnyText(
        "JSON Pointer to the field that is missing; null if none is.",
        allow_none=True,
    )
    loosened_by = Object(
        LooserRequest,
        "The next step that loosens it and gains most; null if there is none.",
        allow_none=True,
    )
    gain_points = Number(
        "Points by which that raises the highest share, until the next limit binds; 0 if another binds "
        "first.",
        allow_none=True,
    )


class Loosening(Open):
    """A change that loosens a limit, and the highest share with it."""

    change = Object(LooserRequest)
    instead_of = Object(LooserRequest, "The present values of these fields, or what follows for them.")
    limits = Items(Choice("A limit.", *LIMITS), "The limits that it loosens.")
    scalded_share_percent = Percent("The highest share with it, best value.")
    gain_points = Number("Points more than without it.")
    binds = Choice("The limit that then binds first.", *LIMITS)


class PlanAtMost(Open):
    """The bread at the highest share. Each figure is that of loaf-plan."""

    formula = Object(FullFormula, "What to mix, not rounded.")
    hydration_percent = Number("Hydration used: the one asked for, or the optimum's best value.")
    optimum_hydration_percent = Object(Estimate, "The hydration that suits this share.")
    scald_liquid_ratio = Number(
        "Liquid over flour of the scald by mass; null without scalded flour.", allow_none=True
    )
    gluten_percent = Percent("Vital gluten, percent of flour.")
    dough_mass = Object(Estimate, "Dough that fills one pan. In `units.mass`.")
    proof_minutes = Object(Estimate, "From `proof`; null if that does not show it.", allow_none=True)
    free_sugar_lasts_hours = Object(
        Estimate,
        "Hours from mixing until glucose and fructose would be gone if the last stage continued; null "
        "without `stages` or yeast.",
        allow_none=True,
    )


class ShareLimitReply(Reply):
    """The highest scalded share, and what limits it."""

    scalded_share_percent = Object(
        Estimate, "The highest scalded share within all known limits, with the ends of their intervals."
    )
    binds = Choice("The limit that binds first; `bound` if none does.", *LIMITS)
    present_share_percent = Percent("The share asked for, or the formula's.")
    present_breaks = Items(Choice("A limit.", *LIMITS), "The limits that it already exceeds.")
    limits = Items(Object(ShareLimit), "The limits, the first to bind first.")
    loosenings = Items(Object(Loosening), "The changes that were tried, the one that gains most first.")
    plan = Object(PlanAtMost)
    request = Object(LoafPlanRequest, "The loaf-plan at that share.")
