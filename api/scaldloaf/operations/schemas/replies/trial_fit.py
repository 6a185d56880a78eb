"""The reply of trial-fit: what the bakes teach, and the next one."""

from scaldloaf.dough.trials.next_bake import LESSON_KINDS
from scaldloaf.dough.trials.proof import FALLS, NOT_KNOWN, RISES
from scaldloaf.operations.schemas.common import Calibration
from scaldloaf.operations.schemas.fields import MAX_NAME, AnyText, Choice, Flag, Number, Percent, Text, Volume
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, Reply
from scaldloaf.operations.schemas.replies.pan_fill import Fill


class Learned(Open):
    """The calibration in a baker's words."""

    reference_specific_volume = Object(
        Estimate, "Specific volume without scald, at the optimum water, cm³/g."
    )
    share_volume_loss = Object(
        Estimate, "Fraction of volume lost per unit of scalded share above 5 %; negative if gained."
    )
    water_slope = Object(Estimate, "Points of optimum water per point of scalded share.")
    water_slope_told = Flag(
        "Whether the trials can show the slope: two of one share, other than that of the right water, "
        "differ in water."
    )
    bake_loss_percent = Object(Estimate, "Bake loss of the next bake, percent of dough.")
    right_hydration_percent = Object(
        Estimate,
        "The right hydration at the lowest share that states its hydration; null if no trial states it.",
        allow_none=True,
    )
    cooling_loss_percent = Percent(
        "What the loaf then loses while it cools, points of the dough; 0 if the bake loss includes it, "
        "as when every loaf was only weighed cooled."
    )


class FittedTrial(Open):
    """One trial compared with what all trials predict for it."""

    name = Text("As given.", MAX_NAME, required=False)
    scalded_share_percent = Percent("Its scalded share.")
    predicted = Volume("Predicted loaf volume.")
    measured = Volume("Measured loaf volume.")
    residual = Volume("Measured less predicted.")
    residual_percent = Number("The same, percent of the predicted volume.")
    specific_volume = Number(
        "Volume over baked mass, cm³/g (by the bake loss of the fit when the loaf was not weighed)."
    )
    off_optimum_points = Number(
        "Difference from optimum hydration, in points; null if hydration was not given.", allow_none=True
    )
    weight = Number("How likely the trial is sound, 0 to 1. It has this weight in the fit.")
    flagged = Flag("Whether it looks unsound. It stays in the fit.")


class NextBake(Fill):
    """Dough for the target loaf."""

    scalded_share_percent = Percent("Its scalded share.")
    hydration_percent = Percent(
        "Its hydration: the one asked for, or that of the trials corrected for its share, or the "
        "optimum; null if no trial states its hydration.",
        allow_none=True,
    )
    optimum_hydration_percent = Object(
        Estimate, "Optimum hydration at its share; null if no trial states its hydration.", allow_none=True
    )


class TellingBake(Open):
    """A candidate for the next bake."""

    kind = Choice("What it is.", *LESSON_KINDS)
    scalded_share_percent = Percent("Its scalded share.")
    hydration_percent = Percent("Its hydration; null if no trial states its hydration.", allow_none=True)
    narrows_dough_percent = Number("How much it narrows the interval of the dough for the target loaf.")
    narrows_water_percent = Number("How much it narrows the interval of the water slope.")


class Teach(Open):
    """What to vary in the next bake to narrow the intervals most."""

    advice = AnyText("In English.")
    bakes = Items(Object(TellingBake), "The one that narrows them most first.")


class ProofTime(Open):
    """Proof time at the target share. You can post it back as `proof` of variants and share-limit."""

    direction = Choice("How it moves.", "rises_with_share")
    direction_evidence = AnyText("What the direction is based on.")
    trials_say = Choice(
        "How the proof times of your own trials change with the share.", RISES, FALLS, NOT_KNOWN
    )
    minutes = Object(
        Estimate, "Minutes for the next bake; null if the trials do not show it.", allow_none=True
    )
    scalded_share_percent = Percent("The share to which it applies.")
    minutes_per_share_point = Object(
        Estimate,
        "Change in minutes per point of share; null if the trials do not show it.",
        allow_none=True,
    )
    why = AnyText("Where the number comes from, or why there is none.")


class TrialFitReply(Reply):
    """The fit, and what the next bake should be."""

    calibration = Object(Calibration)
    learned = Object(Learned)
    fit = Items(Object(FittedTrial), "The trials, in order.")
    spread_percent = Percent("Relative standard deviation of volume from bake to bake.")
    next_bake = Object(NextBake, required=False)
    teach = Object(Teach, required=False)
    proof = Object(ProofTime, required=False)
