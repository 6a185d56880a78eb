"""What the next bake would teach, and its proof time, on the wire."""

from collections.abc import Sequence
from typing import cast

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import gluten_takes
from scaldloaf.dough.trials import Lesson, ProofTime, TrialFit
from scaldloaf.dough.trials.next_bake import LESS_WATER, MORE_SCALD, MORE_WATER, SAME, WITHOUT_SCALD
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.steps import format_number

# What the advice calls a bake that teaches, by its kind.
LESSONS = {
    SAME: "Bake the target bread",
    WITHOUT_SCALD: "Bake one without scald",
    MORE_SCALD: "Bake one at a higher share",
    LESS_WATER: "Bake the target share with less water",
    MORE_WATER: "Bake the target share with more water",
}
LEAST_WORTH_A_WORD = 1.0  # percent of the water slope's interval
SCARCELY = 2.0  # percent: narrowing by which no other bake is worth baking before the target loaf


def write_lessons(found: Sequence[Lesson], fit: TrialFit, gluten_percent: float) -> Wire:
    """The bakes that might come next; gluten_percent: vital gluten of each, percent of flour."""
    return {
        "advice": _advice(found, fit, gluten_percent),
        "bakes": [
            {
                "kind": lesson.kind,
                "scalded_share_percent": lesson.share_percent,
                "hydration_percent": _hydration_percent(lesson, fit, gluten_percent),
                "narrows_dough_percent": lesson.narrows_dough_percent,
                "narrows_water_percent": lesson.narrows_water_percent,
            }
            for lesson in found
        ],
    }


def _hydration_percent(lesson: Lesson, fit: TrialFit, gluten_percent: float) -> float | None:
    optimum = fit.optimum_hydration(lesson.share_percent)
    if optimum is None:
        return None
    return optimum.best + lesson.off_optimum_points + gluten_takes(gluten_percent).best


def _advice(found: Sequence[Lesson], fit: TrialFit, gluten_percent: float) -> str:
    """Which bake to bake next, in words."""

    def words(lesson: Lesson) -> str:
        water = _hydration_percent(lesson, fit, gluten_percent)
        share = format_number(round(lesson.share_percent, 1))
        hydration = "" if water is None else f", {water:.1f} % hydration"
        return f"{LESSONS[lesson.kind]} ({share} % share{hydration})"

    same = next(lesson for lesson in found if lesson.kind == SAME)
    best = same if found[0].narrows_dough_percent <= same.narrows_dough_percent + SCARCELY else found[0]
    water = max(found, key=lambda lesson: lesson.narrows_water_percent)
    advice = (
        f"{words(best)}: that teaches most about the next dough, whose interval becomes "
        f"{best.narrows_dough_percent:.0f} % narrower."
    )
    if fit.base is None:
        advice += " Give the hydration of each trial, and they can also teach the water."
    elif water.narrows_water_percent >= LEAST_WORTH_A_WORD and water is not best:
        bake = words(water)
        advice += (
            f" To learn the water, {bake[0].lower()}{bake[1:]}: the interval of the "
            f"water slope becomes {water.narrows_water_percent:.0f} % narrower."
        )
    return advice


def write_proof(proof: ProofTime, share_percent: float | None, context: Context) -> Wire:
    return {
        "direction": "rises_with_share",
        "direction_evidence": "published",
        "trials_say": proof.trials_say,
        "scalded_share_percent": share_percent,
        "minutes": proof.minutes and context.estimate(proof.minutes),
        "minutes_per_share_point": proof.minutes_per_share_point
        and context.estimate(proof.minutes_per_share_point),
        "why": _why(proof, share_percent),
    }


def _why(proof: ProofTime, share_percent: float | None) -> str:
    """What a proof time rests on, or why there is none."""
    bakes = f"{proof.trials} timed trial" + ("s" if proof.trials != 1 else "")
    share = format_number(share_percent or 0.0)
    match proof.rule:
        case "own_share":
            return f"The mean of {bakes} at this share, with the usual scatter of proof times."
        case "trend":
            trend = cast("Estimate", proof.percent_per_ten_points)
            beyond = (
                " The target share lies beyond them, so this is extrapolated." if proof.extrapolated else ""
            )
            return (
                f"A straight line through the logarithm of {bakes}: {trend.low:+.0f} to {trend.high:+.0f} % "
                f"for ten points of share.{beyond}"
            )
        case "too_wide":
            return (
                f"{bakes[0].upper()}{bakes[1:]} cannot tell: their shares lie too close together, or "
                f"their times too far apart, to say anything at {share} %. Proof "
                "grows longer with the scalded share; time a bake nearer to it."
            )
        case _:
            return (
                "Proof grows longer with the scalded share; by how much is not published. Give "
                "proof_minutes of trials at two different shares, or of one at this share, for a number "
                "of your own."
            )
