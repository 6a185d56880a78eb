"""Blind tasting: how many tasters, who is served what in which order, and what the answers show.

Sources: ISO 4120 (triangle), ISO 10399 (duo-trio), ISO 5495 (paired comparison), ISO 8587 (ranking).
"""

from scaldloaf.dough.tasting.methods import (
    DUO_TRIO,
    EXPECTED,
    HYPOTHESES,
    METHODS,
    MOST_SAMPLES,
    PAIRED,
    RANKING,
    TRIANGLE,
    TWO_SIDED,
    Level,
    Method,
)
from scaldloaf.dough.tasting.plan import Plan, PlanWanted, Sheet, plan_tasting
from scaldloaf.dough.tasting.ranking import Pair, Ranked, rank_samples
from scaldloaf.dough.tasting.result import Counted, count_answers

__all__ = [
    "DUO_TRIO",
    "EXPECTED",
    "HYPOTHESES",
    "METHODS",
    "MOST_SAMPLES",
    "PAIRED",
    "RANKING",
    "TRIANGLE",
    "TWO_SIDED",
    "Counted",
    "Level",
    "Method",
    "Pair",
    "Plan",
    "PlanWanted",
    "Ranked",
    "Sheet",
    "count_answers",
    "plan_tasting",
    "rank_samples",
]
