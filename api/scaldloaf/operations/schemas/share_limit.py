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
    """The maximum of each. If omitted, it limits nothing."""

    dough_mass = Mass("The most dough that a pan takes.", LEAST_MASS)
    proof_minutes = Number("Longest proof. Only with `proof`.", 1, MOST_MINUTES)
    gluten_percent = Percent(
        "The most vital gluten that may be added, percent of flour. It is added if the pan limits the share.",
        maximum=MOST_GLUTEN_PERCENT,
    )


class ShareLimitRequest(LoafPlanRequest):
    """A loaf-plan, and what limits its scalded share. Its share is the present one, to which the stages
    belong. The formula may have at most 60 lines."""

    limits = Object(GivenLimits)
    proof = Object(OwnProof, "`proof` from a reply of trial-fit. If omitted, the proof limits nothing.")
    sucrose_percent = Percent(
        "The formula's sucrose lines together, percent of flour. Default: the formula's."
    )
