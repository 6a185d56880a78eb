"""Trials: what a baker's measured bakes teach, and which bake would teach most next.

The model is that of ``volume``: ln(specific volume) = level + ln g(share; loss) + ln s(distance from the
optimum water; slope). Each trial measures volume per gram of dough. The three unknowns (level, loss, slope)
have normal priors. Measuring and the scatter from bake to bake are normal, and now and then a bake is
unsound: something went wrong and was not noted. The posterior is found by Gauss-Newton steps. At each the
likeliest sets of unsound bakes are weighed against each other, so that one bad bake among good ones hardly
counts, and two bakes that disagree leave the doubt wide.

Shares and hydrations are in percent of total flour, water slopes in points of hydration per point of share.
Intervals hold 90 % unless said otherwise.
"""

from scaldloaf.dough.trials.bakes import Trial, WaterBase
from scaldloaf.dough.trials.crown import CROWN_CAP_FRACTION, crown_volume_cm3, rim_area_cm2
from scaldloaf.dough.trials.fit import (
    BAKE_LOSS_PRIOR_SD_POINTS,
    BAKE_LOSS_TRIAL_SD_POINTS,
    FittedTrial,
    TrialFit,
    fit_trials,
)
from scaldloaf.dough.trials.model import (
    LOG_PRIOR_SDS,
    LOG_SPECIFIC_VOLUME_PRIOR_SD,
    SHARE_VOLUME_LOSS_PRIOR_SD,
    TRIAL_WATER_LIMIT_POINTS,
    TRIAL_WATER_STEP_POINTS,
    WATER_REACH_POINTS,
)
from scaldloaf.dough.trials.next_bake import Lesson, lessons
from scaldloaf.dough.trials.proof import ProofTime, proof_time

__all__ = [
    "BAKE_LOSS_PRIOR_SD_POINTS",
    "BAKE_LOSS_TRIAL_SD_POINTS",
    "CROWN_CAP_FRACTION",
    "LOG_PRIOR_SDS",
    "LOG_SPECIFIC_VOLUME_PRIOR_SD",
    "SHARE_VOLUME_LOSS_PRIOR_SD",
    "TRIAL_WATER_LIMIT_POINTS",
    "TRIAL_WATER_STEP_POINTS",
    "WATER_REACH_POINTS",
    "FittedTrial",
    "Lesson",
    "ProofTime",
    "Trial",
    "TrialFit",
    "WaterBase",
    "crown_volume_cm3",
    "fit_trials",
    "lessons",
    "proof_time",
    "rim_area_cm2",
]
