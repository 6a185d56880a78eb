"""What counted answers show: the chance of guessing them, the fewest needed, and who really tells."""

from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.tasting.binomial import (
    chance_by_guessing,
    fewest_right,
    share_interval,
    true_discriminators,
)
from scaldloaf.dough.tasting.methods import Level, Method

MOST_TASTERS = 1000  # a guard rail of arithmetic: chances stay within what a double holds


class Counted(NamedTuple):
    """What right answers of a number of tasters show.

    p_value: the chance of so many by guessing (two-sided: of so uneven a split), 0 to 1. fewest_right: that
    show a difference, None where all right are not enough. share_interval: the shares of right answers
    that fit, 0 to 1, each end with the risk of the test's one side. discriminators: the same in percent of
    tasters.
    """

    right: int
    tasters: int
    p_value: float
    fewest_right: int | None
    shown: bool
    share_interval: tuple[float, float]
    discriminators: Estimate


def count_answers(method: Method, right: int, tasters: int, level: Level) -> Counted:
    """What ``right`` of ``tasters`` answers show.

    Parameters
        method : Method  of two samples
        right : int  right answers; in a paired comparison, how often the sample in question was chosen
        tasters : int  1 to MOST_TASTERS, each one person
        level : Level  [%]
    Raises
        Refusal: for more right answers than tasters.
    Source
        ISO 4120, ISO 10399, ISO 5495: binomial distribution (exact).
    """
    if right > tasters:
        raise Refusal(
            "right",
            "more_right_than_tasters",
            "there are only {tasters} tasters, and each gives one answer",
            given=right,
            nearest=tasters,
            amounts={"tasters": (tasters, None)},
        )
    risk = level.of_one_side
    chance = chance_by_guessing(right, tasters, method.one_in)
    shown, interval = chance <= risk, share_interval(right, tasters, float(risk))
    return Counted(
        right,
        tasters,
        min(1.0, float(2 * chance)) if level.two_sided else float(chance),
        fewest_right(tasters, method.one_in, risk),
        shown,
        interval,
        true_discriminators(right / tasters, interval, method.one_in, shown),
    )
