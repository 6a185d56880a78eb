"""Keeping: how loaves firm over the days, by the baker's own scale and up to the baker's own limit.

What is not in the scores comes from priors, each a coefficient: tau and n of crumb firming, and the spread of
scores of one loaf. Scores are only compared with scores of the same scale; nothing here is a shelf life.
"""

from scaldloaf.dough.keeping.fit import FIRMING_TIME_CONSTANT_DAYS
from scaldloaf.dough.keeping.loaves import Kept, keep
from scaldloaf.dough.keeping.model import SCORE_RELATIVE_SD, progress
from scaldloaf.dough.keeping.posterior import AGAINST_DIRECTION, KEEPING_EVIDENCE, NO_TREND, Posterior
from scaldloaf.dough.keeping.scores import FALLS, RISES, Loaf, Score
from scaldloaf.dough.keeping.times import (
    ALREADY_REACHED,
    KEEPING_HORIZON_DAYS,
    NO_LIMIT,
    NOT_REACHED,
    ONE_DAY,
    TIMES_DAYS,
    TimeToLimit,
    probability_longer,
    probability_longest,
    rank,
)
from scaldloaf.dough.keeping.volume import (
    FIRMNESS_VOLUME_EXPONENT,
    AtEqualVolume,
    at_equal_volume,
    check_measured,
    equal_volume_factor,
)

__all__ = [
    "AGAINST_DIRECTION",
    "ALREADY_REACHED",
    "FALLS",
    "FIRMING_TIME_CONSTANT_DAYS",
    "FIRMNESS_VOLUME_EXPONENT",
    "KEEPING_EVIDENCE",
    "KEEPING_HORIZON_DAYS",
    "NOT_REACHED",
    "NO_LIMIT",
    "NO_TREND",
    "ONE_DAY",
    "RISES",
    "SCORE_RELATIVE_SD",
    "TIMES_DAYS",
    "AtEqualVolume",
    "Kept",
    "Loaf",
    "Posterior",
    "Score",
    "TimeToLimit",
    "at_equal_volume",
    "check_measured",
    "equal_volume_factor",
    "keep",
    "probability_longer",
    "probability_longest",
    "progress",
    "rank",
]
