"""The reply of trial-fit: what the bakes teach, and the next one."""

from scaldloaf.dough.trials.proof import FALLS, NOT_KNOWN, RISES
from scaldloaf.operations.schemas.common import Calibration
from scaldloaf.operations.schemas.fields import MAX_NAME, AnyText, Choice, Flag, Number, Percent, Text, Volume
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, Reply
from scaldloaf.operations.schemas.replies.pan_fill import Fill

# What a bake that teaches is, and what the advice calls it.
LESSONS = {
    "same": "Bake the target bread",
    "without_scald": "Bake one without scald",
    "more_scald": "Bake one at a higher share",
    "less_water": "Bake the target share with less water",
    "more_water": "Bake the target share with more water",
}


class Learned(Open):
    """The calibration in a baker's words."""

    reference_specific_volume = Object(
        Estimate, "Specific volume without scald, at the optimum water, cm³/g."
    )
    share_volume_loss = Object(
        Estimate, "Fraction of volume lost per unit of scalded share above 5 %; below 0: gained."
    )
    water_slope = Object(Estimate, "Points of optimum water per point of scalded share.")
    water_slope_told = Flag(
        "Whether two trials of one share, another than the right water's, differ in water, so that "
        "they can tell."
    )
    bake_loss_percent = Object(Estimate, "Bake loss of the next bake, percent of dough.")
    right_hydration_percent = Object(
        Estimate,
        "The right hydration at the lowest share that states its own; null when no trial says its water.",
        allow_none=True,
    )
    cooling_loss_percent = Percent(
        "What the loaf then loses while it cools, points of the dough; 0 where the bake loss includes it, as "
        "it does when every loaf was only weighed cooled."
    )


class FittedTrial(Open):
    """One trial against what all of them lead to expect of it."""

    name = Text("As given.", MAX_NAME, required=False)
    scalded_share_percent = Percent("Its scalded share.")
    predicted = Volume("Loaf volume expected.")
    measured = Volume("Loaf volume measured.")
    residual = Volume("Measured less expected.")
    residual_percent = Number("The same, percent of the expected.")
    specific_volume = Number(
        "Volume over baked mass, cm³/g (by the bake loss of the fit when the loaf was not weighed)."
    )
    off_optimum_points = Number("Its hydration less the optimum; null when not stated.", allow_none=True)
    weight = Number("How likely the bake is sound, 0 to 1; it counts that much.")
    flagged = Flag("Whether it looks unsound. It is kept all the same.")


class NextBake(Fill):
    """Dough for the target loaf."""

    scalded_share_percent = Percent("Its scalded share.")
    hydration_percent = Percent(
        "Its hydration: as asked for, or the trials' own moved to its share, or the optimum; null when no "
        "trial says its water.",
        allow_none=True,
    )
    optimum_hydration_percent = Object(
        Estimate, "Optimum hydration at its share; null when no trial says its water.", allow_none=True
    )


class TellingBake(Open):
    """A bake that might come next."""

    kind = Choice("What it is.", *LESSONS)
    scalded_share_percent = Percent("Its scalded share.")
    hydration_percent = Percent("Its hydration; null when no trial says its water.", allow_none=True)
    narrows_dough_percent = Number(
        "How much narrower it makes the interval of the dough for the target loaf."
    )
    narrows_water_percent = Number("How much narrower it makes the interval of the water slope.")


class Teach(Open):
    """What the next bake should vary to teach most."""

    advice = AnyText()
    bakes = Items(Object(TellingBake), "Most telling first.")


class ProofTime(Open):
    """Proof time at the target share. It can be posted back, as `proof` of variants and share-limit."""

    direction = Choice("How it moves.", "rises_with_share")
    direction_evidence = AnyText("What the direction rests on.")
    trials_say = Choice("What the own trials' times do with the share.", RISES, FALLS, NOT_KNOWN)
    minutes = Object(Estimate, "Minutes of the next bake; null when the trials cannot tell.", allow_none=True)
    scalded_share_percent = Percent("The share that it is for.")
    minutes_per_share_point = Object(
        Estimate,
        "How the minutes move there with a point of share; null when the trials cannot tell.",
        allow_none=True,
    )
    why = AnyText("Where the number comes from, or why there is none.")


class TrialFitReply(Reply):
    """What the bakes teach."""

    calibration = Object(Calibration)
    learned = Object(Learned)
    fit = Items(Object(FittedTrial), "The trials, in order.")
    spread_percent = Percent("Relative standard deviation of volume from bake to bake.")
    next_bake = Object(NextBake, required=False)
    teach = Object(Teach, required=False)
    proof = Object(ProofTime, required=False)
