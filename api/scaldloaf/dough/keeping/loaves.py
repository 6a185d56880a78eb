"""Several loaves together: each one's curve, and when it comes to the limit."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from scaldloaf.dough.keeping.fit import fit_loaf
from scaldloaf.dough.keeping.model import ScoredDays
from scaldloaf.dough.keeping.posterior import Posterior
from scaldloaf.dough.keeping.scores import Loaf, different_days
from scaldloaf.dough.keeping.times import NO_LIMIT, ONE_DAY, TimeToLimit, time_to_limit
from scaldloaf.dough.refusal import Refusal


@dataclass(frozen=True, slots=True)
class Kept:
    """What a loaf's scores show.

    days: different days with a score. no_curve: why no curve can be drawn from them, None when one can:
    ONE_DAY (posterior None), NO_TREND or AGAINST_DIRECTION.
    """

    loaf: Loaf
    days: int
    posterior: Posterior | None
    no_curve: str | None
    time: TimeToLimit


def keep(loaves: Sequence[Loaf], direction: str, limit: float | None = None) -> list[Kept]:
    """Fit each loaf and find when it is at the limit.

    direction: whether the score RISES or FALLS as bread stales. limit: the baker's own, on the same scale;
    None: there is none. Raises Refusal for loaves that share a name, and for scores out of the order of days.
    Evidence: assumption (the expected spread), from memory (tau, n).
    """
    check_loaves(loaves)
    sizes = [abs(score.score) for loaf in loaves for score in loaf.scores]
    unit = max([*sizes, abs(limit) if limit is not None else 0.0]) or 1.0
    kept, course = [], None
    for loaf in loaves:
        days = [score.days for score in loaf.scores]
        if course is None or course.scored != days:
            course = ScoredDays(days)
        posterior = fit_loaf(loaf, direction, unit, course)
        no_curve = ONE_DAY if posterior is None else posterior.why_no_trend()
        if posterior is None:
            time = TimeToLimit(None, None, None, ONE_DAY)
        elif limit is None:
            time = TimeToLimit(None, None, None, NO_LIMIT)
        else:
            time = time_to_limit(posterior, limit)
        kept.append(Kept(loaf, different_days(loaf.scores), posterior, no_curve, time))
    return kept


def check_loaves(loaves: Sequence[Loaf]) -> None:
    """Refuse loaves that share a name, or scores that are not in the order of days."""
    seen: dict[str, int] = {}
    for index, loaf in enumerate(loaves):
        if loaf.name in seen:
            raise Refusal(
                f"loaves.{index}.name",
                "name_taken",
                "loaf {number} already has this name; each loaf needs its own",
                given=loaf.name,
                nearest=_free_name(loaf.name, loaves),
                amounts={"number": (seen[loaf.name] + 1, None)},
            )
        seen[loaf.name] = index
        for place, (one, other) in enumerate(pairwise(loaf.scores), 1):
            if other.days < one.days:
                raise Refusal(
                    f"loaves.{index}.scores.{place}.days",
                    "days_out_of_order",
                    "the scores must be in the order of days, and day {day} comes after day {above}; "
                    "several scores may be of one day",
                    given=other.days,
                    nearest=one.days,
                    amounts={"day": (other.days, None), "above": (one.days, None)},
                )


def _free_name(name: str, loaves: Sequence[Loaf]) -> str:
    """The name with the first number that makes it a new one."""
    taken = {loaf.name for loaf in loaves}
    number = 2
    while f"{name} {number}" in taken:
        number += 1
    return f"{name} {number}"
