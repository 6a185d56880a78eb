"""The replies of tasting-plan and tasting-result."""

from scaldloaf.operations.schemas.fields import AnyText, Choice, Flag, Integer, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, Reply
from scaldloaf.operations.schemas.tasting import TESTS


class TastingServing(Open):
    """A serving under its code."""

    code = Integer("Three digits, used once in the whole plan. Write it on the plate.")
    sample = AnyText("What is served under it. Do not show it to the taster.")


class TastingSheet(Open):
    """One taster's servings."""

    taster = Integer("Number of the taster, from 1.")
    reference = AnyText(
        "The sample that is served first and marked as the reference, in a duo-trio test; else null.",
        allow_none=True,
    )
    servings = Items(Object(TastingServing), "In the order of tasting.")
    right = Integer(
        "Code of the right answer: the odd one, the one like the reference, or the one expected. Null where "
        "no answer is right.",
        allow_none=True,
    )


class TastingPlanReply(Reply):
    """A blind tasting: how many tasters, and a sheet for each."""

    test = Choice("As given.", *TESTS)
    tasters = Integer("How many sheets there are.")
    least_tasters = Integer(
        "The fewest tasters with the power asked for, before rounding up so that each order of serving "
        "comes equally often; null if `tasters` was given.",
        allow_none=True,
    )
    significance_percent = Number("Risk of seeing a difference where there is none.")
    fewest_right = Integer(
        "The fewest right answers (paired: choices of one sample) that show a difference; null for a "
        "ranking, or if even all are not enough.",
        allow_none=True,
    )
    power_percent = Number(
        "Chance of showing the difference if `discriminators_percent` of all tasters can tell; null "
        "for a ranking, or if that share was not given.",
        allow_none=True,
    )
    least_significant_difference = Number(
        "By how much two rank sums must differ; null for tests of two samples.", allow_none=True
    )
    orders = Integer("How many orders of serving there are. Each comes equally often, or nearly so.")
    instruction = AnyText("What every taster is asked to do.")
    sheets = Items(Object(TastingSheet), "A sheet for each taster.")


class RankSum(Open):
    """A sample and the sum of its places."""

    sample = AnyText("Its name, as in the request.")
    rank_sum = Integer("First places count 1, second places 2, and so on.")


class RankedPair(Open):
    """Two samples, the one with the smaller rank sum first."""

    first = AnyText("Sample with the smaller sum.")
    second = AnyText("The other sample.")
    difference = Integer("Difference of their rank sums.")
    shown = Flag(
        "Whether they differ: the ranking as a whole does, and these two by at least the least difference."
    )


class TastingResultReply(Reply):
    """What the blind tasting shows, and what it does not."""

    test = Choice("As given.", *TESTS)
    tasters = Integer("How many people answered.")
    significance_percent = Number("Risk of seeing a difference where there is none.")
    p_value = Number(
        "Chance of such answers, or clearer ones, if no taster could tell: 0 to 1. Exact, but for a ranking "
        "(Friedman's chi-square)."
    )
    fewest_right = Integer(
        "The fewest right answers (paired: choices of one sample) that show a difference; null for a "
        "ranking, or if even all are not enough.",
        allow_none=True,
    )
    shown = Flag("Whether the difference is shown: `p_value` is no more than the risk.")
    discriminators_percent = Object(
        Estimate,
        "Share of tasters who can really tell the samples apart. Each end is beyond the true share "
        "with the risk `significance_percent` (two-sided: half of it). Null for a ranking.",
        allow_none=True,
    )
    conclusion = AnyText("What may be concluded from it, and what may not.")
    chi_square = Number("Friedman's chi-square for a ranking; otherwise null.", allow_none=True)
    least_significant_difference = Number(
        "By how much two rank sums must differ; null except for a ranking.", allow_none=True
    )
    rank_sums = Items(Object(RankSum), "For a ranking, in rising order; otherwise empty.")
    pairs = Items(Object(RankedPair), "Each pair of samples of a ranking; otherwise empty.")
