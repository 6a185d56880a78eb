"""The request of share-limit: that of loaf-plan, and the most that there may be of what the share takes."""

from scaldloaf.operations.schemas.fields import Mass, Number, Percent
from scaldloaf.operations.schemas.hydration_correction import MOST_GLUTEN_PERCENT
from scaldloaf.operations.schemas.loaf_plan import LoafPlanRequest
from scaldloaf.operations.schemas.objects import Closed, Object
from scaldloaf.operations.schemas.scaling import LEAST_MASS
from scaldloaf.operations.schemas.variants import OwnProof

MOST_MINUTES = 10_000
MOST_LINES = 60  # of the formula, as each search makes many plans of it


class GivenLimits(Closed):
    """The most that there may be. What is left out limits nothing."""

    dough_mass = Mass("Most dough that a pan takes.", LEAST_MASS)
    proof_minutes = Number("Longest proof. Only with `proof`.", 1, MOST_MINUTES)
    gluten_percent = Percent(
        "Most vital gluten that may be added, percent of flour. It is added where the pan limits the share.",
        maximum=MOST_GLUTEN_PERCENT,
    )


class ShareLimitRequest(LoafPlanRequest):
    """A loaf-plan, and what limits its scalded share. The share planned is the present one, which the stages
    are for. The formula has 60 lines at most."""

    limits = Object(GivenLimits)
    proof = Object(OwnProof, "`proof` of a reply of trial-fit. If omitted, the proof limits nothing.")
    sucrose_percent = Percent(
        "The formula's sucrose lines together, percent of flour. Default: the formula's."
    )
