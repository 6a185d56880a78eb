"""What is refused of trials: bakes that no pan loaf is, and bakes that contradict each other."""

from collections.abc import Sequence
from math import exp, log
from typing import cast

from scaldloaf.dough.flour import gluten_takes
from scaldloaf.dough.limits import (
    BAKE_LOSS_UPPER_PERCENT,
    COOLING_LOSS_UPPER_PERCENT,
    ROUNDING,
    SHARE_UPPER_BOUND_PERCENT,
    SPECIFIC_VOLUME_REFUSE_HIGH,
    SPECIFIC_VOLUME_REFUSE_LOW,
)
from scaldloaf.dough.loaf_limits import require_loaf
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.trials.bakes import Trial, WaterBase, same_bread
from scaldloaf.dough.trials.model import TRIAL_WATER_LIMIT_POINTS
from scaldloaf.dough.volume import baked_mass_g
from scaldloaf.reference import coefficient

CONTRADICTING_VOLUME_RATIO = coefficient("contradicting_volume_ratio").value


def check_masses(trial: Trial, argument: str) -> None:
    """Refuse a loaf that gained mass in the oven or while it cooled, or lost more than any."""
    least = baked_mass_g(trial.dough_mass_g, BAKE_LOSS_UPPER_PERCENT)
    for field, mass_g in (("oven_mass", trial.oven_mass_g), ("baked_mass", trial.baked_mass_g)):
        if mass_g is None:
            continue
        amounts: dict[str, tuple[float, str | None]] = {
            "baked": (mass_g, "mass"),
            "dough": (trial.dough_mass_g, "mass"),
            "most": (BAKE_LOSS_UPPER_PERCENT, None),
        }
        if mass_g > trial.dough_mass_g * (1 + ROUNDING):
            raise Refusal(
                f"{argument}.{field}",
                "loaf_heavier_than_dough",
                "a loaf of {baked} from {dough} of dough would have gained mass in the oven",
                given=mass_g,
                nearest=trial.dough_mass_g,
                quantity="mass",
                amounts=amounts,
            )
        if mass_g < least * (1 - ROUNDING):
            raise Refusal(
                f"{argument}.{field}",
                "bake_loss_out_of_range",
                "a loaf of {baked} from {dough} of dough would have lost more than {most} % in the oven",
                given=mass_g,
                nearest=least,
                quantity="mass",
                amounts=amounts,
            )
    if trial.oven_mass_g is not None and trial.baked_mass_g is not None:
        _check_cooling(trial, trial.oven_mass_g, trial.baked_mass_g, argument)


def _check_cooling(trial: Trial, oven_g: float, baked_g: float, argument: str) -> None:
    """Refuse a loaf that gained mass while it cooled, or lost more than any."""
    lightest = oven_g - trial.dough_mass_g * COOLING_LOSS_UPPER_PERCENT / 100
    slack = ROUNDING * trial.dough_mass_g
    if lightest - slack <= baked_g <= oven_g + slack:
        return
    raise Refusal(
        f"{argument}.baked_mass",
        "cooling_loss_out_of_range",
        "a loaf of {oven} at the oven's mouth and {baked} when it has cooled would have gained mass in "
        "between, or lost more than {most} % of its dough",
        given=baked_g,
        nearest=oven_g if baked_g > oven_g else lightest,
        quantity="mass",
        amounts={
            "oven": (oven_g, "mass"),
            "baked": (baked_g, "mass"),
            "most": (COOLING_LOSS_UPPER_PERCENT, None),
        },
    )


def check_trial(trial: Trial, argument: str, bake_loss_percent: float, cooling_percent: float = 0.0) -> None:
    """Refuse a share, or a loaf, that no pan loaf has.

    Parameters
        trial : Trial
        argument : str  the caller's name for the trial
        bake_loss_percent : float  [% of the dough] of a loaf that was not weighed
        cooling_percent : float  [% of the dough] of a loaf weighed cooled that does not say its own
    Raises
        Refusal: share_out_of_range, cooling_loss_above_loss, and what ``require_loaf`` refuses.
    """
    if trial.share_percent > SHARE_UPPER_BOUND_PERCENT + ROUNDING:
        raise Refusal(
            f"{argument}.share_percent",
            "share_out_of_range",
            "a scalded share runs from {low} to {high} % of total flour",
            given=trial.share_percent,
            nearest=SHARE_UPPER_BOUND_PERCENT,
            amounts={"low": (0.0, None), "high": (SHARE_UPPER_BOUND_PERCENT, None)},
        )
    own = trial.own_loss_percent(cooling_percent)
    if own is not None:
        if own < -ROUNDING:
            raise _cooled_more_than_lost(trial, argument, cooling_percent)
        bake_loss_percent = own
    require_loaf(trial.dough_mass_g, trial.loaf_volume_cm3, bake_loss_percent, argument)


def _cooled_more_than_lost(trial: Trial, argument: str, cooling_percent: float) -> Refusal:
    """The refusal of a loaf, weighed cooled, that lost less in all than it is said to lose while it cools."""
    own, baked_g = trial.cooling_loss_percent, cast("float", trial.baked_mass_g)
    cooling = cooling_percent if own is None else own
    lost = 100 * (1 - baked_g / trial.dough_mass_g)
    return Refusal(
        f"{argument}.baked_mass" if own is None else f"{argument}.cooling_loss_percent",
        "cooling_loss_above_loss",
        "the cooled loaf is {lost} % lighter than its dough, so it can't have lost {cooling} % while it "
        "cooled",
        given=baked_g if own is None else own,
        nearest=baked_mass_g(trial.dough_mass_g, cooling) if own is None else max(lost, 0.0),
        quantity="mass" if own is None else None,
        amounts={"lost": (lost, None), "cooling": (cooling, None)},
    )


def check_water(trial: Trial, argument: str, base: WaterBase | None, slope: float) -> None:
    """Refuse a water so far from the optimum that the bake says nothing about the others.

    Parameters
        trial : Trial
        argument : str  the caller's name for the trial
        base : WaterBase or None
        slope : float  [points of hydration per point of share] expected before the fit
    Raises
        Refusal: water_too_far_off.
    """
    if trial.hydration_percent is None or base is None:
        return
    optimum = base.hydration_percent + slope * (trial.share_percent - base.share_percent)
    optimum += gluten_takes(trial.gluten_percent).best
    off = trial.hydration_percent - optimum
    if abs(off) <= TRIAL_WATER_LIMIT_POINTS + ROUNDING:
        return
    nearest = optimum + (TRIAL_WATER_LIMIT_POINTS if off > 0 else -TRIAL_WATER_LIMIT_POINTS)
    raise Refusal(
        f"{argument}.hydration_percent",
        "water_too_far_off",
        "the right hydration at this share is about {optimum} %, judged from {base} % at a share of "
        "{share} %; a bake more than {limit} points off says nothing about the others",
        given=trial.hydration_percent,
        nearest=nearest,
        amounts={
            "optimum": (optimum, None),
            "base": (base.hydration_percent, None),
            "share": (base.share_percent, None),
            "limit": (TRIAL_WATER_LIMIT_POINTS, None),
        },
    )


def check_level(log_specific_volume: float) -> None:
    """Refuse trials that together make a bread that no pan loaf is; the argument in ln(cm³/g)."""
    value = exp(log_specific_volume)
    low, high = SPECIFIC_VOLUME_REFUSE_LOW, SPECIFIC_VOLUME_REFUSE_HIGH
    if not low <= value <= high:
        raise Refusal(
            "trials",
            "specific_volume_out_of_range",
            "these bakes together mean {value} cm³ per g of bread without scald; pan loaves lie "
            "between {low} and {high}",
            amounts={"value": (value, None), "low": (low, None), "high": (high, None)},
        )


def check_contradictions(trials: Sequence[Trial], flagged: Sequence[bool]) -> None:
    """Refuse two bakes of one bread whose volumes can't both be right, unless others show which is wrong.

    flagged: for each trial, whether the fit takes it for unsound.
    """
    volumes = [trial.volume_per_dough_cm3_per_g for trial in trials]
    for second, later in enumerate(trials):
        for first, earlier in enumerate(trials[:second]):
            ratio = volumes[second] / volumes[first]
            if not _contradicts(ratio) or not same_bread(earlier, later):
                continue
            if len(trials) > 2 and flagged[first] != flagged[second]:
                continue
            raise Refusal(
                f"trials.{second}.loaf_volume",
                "contradicting_trials",
                "trial {later} contradicts trial {earlier}: the same share and water, but {ratio} times the "
                "volume per gram of dough. Check both; if neither is a slip, a third bake shows which is "
                "right",
                given=later.loaf_volume_cm3,
                nearest=_agreeing_volume_cm3(later, trials[:second]),
                quantity="volume",
                amounts={
                    "later": (second + 1, None),
                    "earlier": (first + 1, None),
                    "ratio": (round(ratio, 2), None),
                },
            )


def _contradicts(ratio: float) -> bool:
    """Whether a ratio of volumes per dough is beyond CONTRADICTING_VOLUME_RATIO, with slack for rounding."""
    if 1 / CONTRADICTING_VOLUME_RATIO <= ratio <= CONTRADICTING_VOLUME_RATIO:
        return False
    limit = CONTRADICTING_VOLUME_RATIO if ratio > 1 else 1 / CONTRADICTING_VOLUME_RATIO
    return abs(log(ratio)) > abs(log(limit)) + ROUNDING


def _agreeing_volume_cm3(trial: Trial, others: Sequence[Trial]) -> float | None:
    """The volume nearest to a trial's that contradicts no other of its bread; None: there is none."""
    alike = [other.volume_per_dough_cm3_per_g for other in others if same_bread(other, trial)]
    low, high = max(alike) / CONTRADICTING_VOLUME_RATIO, min(alike) * CONTRADICTING_VOLUME_RATIO
    if low > high:
        return None
    return min(max(trial.volume_per_dough_cm3_per_g, low), high) * trial.dough_mass_g
