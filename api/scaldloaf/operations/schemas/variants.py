"""The request of variants: one formula, what each variant of it changes, and what is held for all."""

from scaldloaf.dough.per_flour import HOLD_DOUGH, HOLD_FLOUR
from scaldloaf.operations.schemas.common import Calibration, Formula, Pan
from scaldloaf.operations.schemas.fields import MAX_NAME, AnyText, Choice, Mass, Number, Percent, Text
from scaldloaf.operations.schemas.hydration_correction import MovedTo, WaterAndFlour
from scaldloaf.operations.schemas.loaf_plan import LoafPlanLosses, LoafPlanTemperatures
from scaldloaf.operations.schemas.objects import Closed, Items, Object
from scaldloaf.operations.schemas.pan_fill import KnownBread, PansToFill
from scaldloaf.operations.schemas.prices import Priced
from scaldloaf.operations.schemas.scald_preparation import ScaldsMade
from scaldloaf.operations.schemas.scaling import LEAST_MASS, Scale
from scaldloaf.operations.schemas.sugar_budget import MAX_STAGES, Stage, YeastAndFlour
from scaldloaf.reference import EVIDENCE

MOST_VARIANTS = 12
MOST_PROOF_MINUTES, MOST_WORDS = 100_000, 1000
MOST_LINES = 600  # of the formula, as often as there are variants: 50 for twelve
HOLD_PAN = "pan"
HOLDS = HOLD_DOUGH, HOLD_FLOUR, HOLD_PAN


class Variant(MovedTo):
    """What a variant changes. Default of each: the formula's, with the water at its optimum."""

    name = Text("Its name, different from the others'.", 60, required=True)
    sucrose_percent = Percent(
        "The formula's sucrose lines together, percent of flour. Default: the formula's."
    )
    pan = Pan("Its pan. Default: the common one.")
    dough_mass = Mass("Dough for each of its pans, instead of what is kept constant.", LEAST_MASS)
    hold = Choice("What this variant keeps constant, instead of the common rule.", *HOLDS)


class GivenEstimate(Closed):
    """A number with its interval, as in a reply."""

    low = Number("Lower end.", -MOST_PROOF_MINUTES, MOST_PROOF_MINUTES, required=True)
    best = Number("Best value.", -MOST_PROOF_MINUTES, MOST_PROOF_MINUTES, required=True)
    high = Number("Upper end.", -MOST_PROOF_MINUTES, MOST_PROOF_MINUTES, required=True)
    evidence = Choice("What it is based on.", *EVIDENCE)


class OwnProof(Closed):
    """What your own trials show about the proof, from a reply of trial-fit."""

    scalded_share_percent = Percent("The share to which it applies.", required=True)
    minutes = Object(GivenEstimate, "Minutes at that share; null if not known.", allow_none=True)
    minutes_per_share_point = Object(
        GivenEstimate, "Change in minutes per point of share; null if not known.", allow_none=True
    )
    direction = AnyText("Not used.", MAX_NAME)
    direction_evidence = AnyText("Not used.", MAX_NAME)
    trials_say = AnyText("Not used.", MAX_NAME)
    why = AnyText("Not used.", MOST_WORDS)


class VariantsRequest(WaterAndFlour, PansToFill, YeastAndFlour, Priced):
    """A formula, up to twelve variants of it, one rule for what stays the same, and what all have in
    common."""

    formula = Object(Formula, required=True)
    variants = Items(
        Object(Variant),
        f"The variants; the others are compared with the first. With the formula's lines counted for each, "
        f"{MOST_LINES} lines at most.",
        1,
        MOST_VARIANTS,
        required=True,
    )
    pan = Pan(required=True)
    hold = Choice(
        "What all variants keep constant: the formula's dough mass, its flour, or how full the pan gets.",
        *HOLDS,
        load_default=HOLD_DOUGH,
    )
    bread = KnownBread("What you know about the bread. Default: the calibration, or else the prior.")
    calibration = Object(Calibration, "Calibration from trial-fit. Used for dough mass and water.")
    losses = Object(LoafPlanLosses)
    scale = Object(Scale)
    stages = Items(
        Object(Stage), "From the end of mixing to the oven, in order; needed for the sugar.", 1, MAX_STAGES
    )
    scald = Object(ScaldsMade, "How the scalds are made, to estimate how far their starch swells.")
    temperatures = Object(LoafPlanTemperatures)
    proof = Object(OwnProof, "`proof` from a reply of trial-fit, for the proof time of each variant.")
