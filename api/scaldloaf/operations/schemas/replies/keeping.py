"""The reply of keeping: how the loaves keep, and which keeps longest."""

from scaldloaf.dough import keeping as dough
from scaldloaf.operations.schemas.fields import AnyText, Choice, Component, Flag, Integer, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, Reply


class KeepingReplyLoavesFit(Open):
    """The curve initial + (final - initial)(1 - exp(-(days/time constant)^exponent)); null for scores of one
    day, and if staling cannot be told from chance."""

    initial = Object(Estimate, "Fresh from the oven, on the request's scale.")
    final = Object(Estimate, "In the end, on the request's scale.")
    time_constant_days = Object(Estimate, "How fast: days to 63 % of the change, with an exponent of 1.")
    exponent = Object(Estimate, "Shape; 1 until there are enough days.")
    spread = Number("Standard deviation of one score about the curve.")


class KeepingReplyLoavesTimeToLimitReason(Component, Choice):
    """Why there is no best value, or why it is 0."""

    names = (
        dough.ONE_DAY,
        dough.NO_TREND,
        dough.AGAINST_DIRECTION,
        dough.NOT_REACHED,
        dough.ALREADY_REACHED,
        dough.NO_LIMIT,
    )


class TimeToLimit(Open):
    """Days until it reaches the limit, with a 90 % interval."""

    low = Number("Lower end; null if unknown or beyond the horizon.", allow_none=True)
    best = Number("Median; null with a reason.", allow_none=True)
    high = Number("Upper end; null if it may never reach the limit.", allow_none=True)
    evidence = AnyText("What it is based on.")
    reason = KeepingReplyLoavesTimeToLimitReason(allow_none=True)
    beyond_last_day = Flag("The best value lies beyond the last day with a score.")


class CurvePoint(Open):
    """The fitted curve."""

    days = Number("Days since baking.")
    low = Number("5 %.")
    best = Number("Mean.")
    high = Number("95 %.")


class Residual(Open):
    """A score against the curve."""

    days = Number("Days since baking.")
    score = Number("As given.")
    fitted = Number("The curve.")
    residual = Number("Score less curve.")


class KeptLoaf(Open):
    """A loaf."""

    name = AnyText("As in the request.")
    different_days = Integer("Days with a score; scores of one day are replicates.")
    trend_percent = Number(
        "Probability that it stales in the direction given; null for scores of one day.", allow_none=True
    )
    fit = Object(KeepingReplyLoavesFit, allow_none=True)
    time_to_limit = Object(TimeToLimit)
    curve = Items(
        Object(CurvePoint),
        "For a chart, from day 0, or from the first score if that is late; empty without a fit.",
    )
    residuals = Items(Object(Residual), "Each score; empty without a fit.")


class Place(Open):
    """A place."""

    place = Integer("1 keeps longest.")
    name = AnyText("Of the loaf.")
    longest_percent = Number("Probability that it keeps longest of all ranked.")


class Comparison(Open):
    """Two loaves."""

    longer = AnyText("Name of the loaf that keeps longer.")
    shorter = AnyText("Name of the other.")
    probability_percent = Number("Probability of this order.")
    order = Choice("The order in one word.", "clear", "likely", "open")


class LoafAtEqualVolume(Open):
    """A loaf at the specific volume of the first one that has one."""

    name = AnyText("As in the request.")
    specific_volume = Number("As given, cm³/g.")
    factor = Object(Estimate, "Its firmness at that volume over its firmness as it is.")
    initial = Object(Estimate, "Fresh from the oven, at that volume; null without a fit.", allow_none=True)
    final = Object(Estimate, "In the end, at that volume; null without a fit.", allow_none=True)
    time_to_limit = Object(TimeToLimit)


class EqualVolume(Open):
    """Measured firmness compared at equal volume: a denser loaf is firmer, whatever its crumb is."""

    specific_volume = Number("The volume compared at: that of the first loaf that has one, cm³/g.")
    loaves = Items(Object(LoafAtEqualVolume), "The loaves that have a volume, in the order given.")
    ranking = Items(Object(Place), "As above, at equal volume.")
    comparisons = Items(Object(Comparison), "Each pair of that ranking.")


class KeepingReply(Reply):
    """How the loaves keep."""

    direction = Choice("As given.", dough.RISES, dough.FALLS)
    unit = AnyText("As given.")
    limit = Number("As given.", allow_none=True)
    loaves = Items(Object(KeptLoaf), "The loaves in the order given.")
    ranking = Items(Object(Place), "The loaf that keeps longest first. Loaves without a result are omitted.")
    comparisons = Items(Object(Comparison), "Each pair of the ranking.")
    at_equal_volume = Object(
        EqualVolume, "Only for measured scores of two loaves or more that have a volume.", required=False
    )
