"""How much of a formula can be scalded, and the refusal of more, with every way out worked out.

A scald needs its liquid, its flours and the adjusting liquid. The largest workable share and ratio are
found by trial, since the optimum water moves with both.
"""

from collections.abc import Callable, Iterable
from math import ceil, floor

from scaldloaf.dough.formula import Formula
from scaldloaf.dough.limits import LARGEST_HYDRATION_PERCENT, LARGEST_LIQUID_RATIO, ROUNDING
from scaldloaf.dough.notes import Amount
from scaldloaf.dough.per_flour import Amounts, Change, PerFlour
from scaldloaf.dough.refusal import Refusal, Way, listed
from scaldloaf.reference import Ingredient

# How a limit is searched: trial points on the way to it, then halvings between the last two.
SCAN_STEPS = 100
HALVINGS = 50

Hydration = Callable[[float, float | None], float]  # (share in percent, liquid ratio) -> percent of flour


def rounded_down(value: float) -> float:
    """To two decimals, downwards: a limit that is still inside."""
    return floor(value * 100 + 1e-7) / 100


def rounded_up(value: float) -> float:
    """To two decimals, upwards."""
    return ceil(value * 100 - 1e-7) / 100


def _names(ingredients: Iterable[Ingredient]) -> str:
    return listed(ingredient.name for ingredient in ingredients)


def feasible(
    base: PerFlour, share: float, ratio: float, hydration: Hydration, extra: Iterable[Ingredient] = ()
) -> bool:
    """Whether a scald's liquid, its flours and the adjusting liquid are all there.

    Parameters
        base : PerFlour
        share : float  [fraction of total flour]
        ratio : float  liquid over flour of the scald
        hydration : Hydration  at each share and ratio
        extra : Iterable[Ingredient]  liquids allowed in the scald besides
    Returns
        bool
    """
    try:
        needed = base.adjusting_needed(share, hydration(100 * share, ratio))
    except Refusal:
        return False
    return (
        needed >= base.adjusting_least(share) - ROUNDING
        and share <= base.largest_share_of_mix() + ROUNDING
        and ratio * share <= base.supply(needed, extra) + ROUNDING
    )


def largest(works: Callable[[float], bool], least: float, most: float) -> float | None:
    """The largest value in [least, most] that works, rounded down to two decimals; None if none does.

    Searches downwards for a value that works, then halves towards the limit. The rounded value is tried
    too, so following it works.
    """
    if works(most):
        return most
    step = (most - least) / SCAN_STEPS
    values = (most - index * step for index in range(1, SCAN_STEPS + 1))
    good, bad = None, most
    for value in values:
        if works(value):
            good = value
            break
        bad = value
    if good is None:
        return None
    for _ in range(HALVINGS):
        middle = (good + bad) / 2
        good, bad = (middle, bad) if works(middle) else (good, middle)
    shown = rounded_down(good)
    return shown if works(shown) else good


def largest_share_percent(
    base: PerFlour,
    ratio: float,
    hydration: Hydration,
    most_percent: float,
    extra: Iterable[Ingredient] = (),
) -> float | None:
    """The largest scalded share, percent, up to most_percent, that this ratio's liquid allows.

    Parameters
        base : PerFlour
        ratio : float  liquid over flour of the scald
        hydration : Hydration  at each share, as the optimum moves with it
        most_percent : float  [% of total flour]
        extra : Iterable[Ingredient]  liquids allowed in the scald besides
    Returns
        float or None  [% of total flour]
    """
    return largest(lambda percent: feasible(base, percent / 100, ratio, hydration, extra), 0.0, most_percent)


def largest_workable_share_percent(
    formula: Formula, adjust_with: Ingredient, change: Change, optimum: Hydration, most_percent: float
) -> float | None:
    """The largest share, up to most_percent, to which ``scald.move_share`` can take a formula.

    Parameters
        formula : Formula
        adjust_with : Ingredient
        change : Change  with a liquid ratio
        optimum : Hydration  as for ``move_share``
        most_percent : float  [% of total flour]
    Returns
        float or None  [% of total flour]; None if no share works
    """
    base = PerFlour.of(formula, adjust_with, change.scald_liquids)
    hydration = hydration_for(change, optimum)
    return largest_share_percent(base, change.liquid_ratio or 0.0, hydration, most_percent)


def hydration_for(change: Change, optimum: Hydration) -> Hydration:
    """The hydration of a change: the one it asks for, else the optimum.

    Also where a hydration is asked for, the optimum refuses the shares it knows nothing about.
    """

    def hydration(share_percent: float, ratio: float | None) -> float:
        best = optimum(share_percent, ratio)
        return best if change.hydration_percent is None else change.hydration_percent

    return hydration


def advisable(share_percent: float, ratio: float, hydration: Hydration) -> bool:
    """Whether a share at a ratio may be advised."""
    try:
        hydration(share_percent, ratio)
    except Refusal:
        return False
    return True


# ---- What is refused -----------------------------------------------------------------------------


def liquid_short(
    base: PerFlour,
    share: float,
    ratio: float,
    hydration_percent: float,
    hydration: Hydration,
    needed: float,
) -> Refusal:
    """The refusal of a scald whose liquid is not there, with every way out.

    Parameters
        base : PerFlour
        share : float  [fraction of total flour]
        ratio : float  liquid over flour of the scald
        hydration_percent : float  [% of flour] at that share
        hydration : Hydration  at other shares and ratios
        needed : float  [per flour] of the adjusting liquid
    Returns
        Refusal  at ``change.share_percent``
    """
    percent = 100 * share
    available = base.supply(needed)
    largest_share = largest_share_percent(base, ratio, hydration, percent)
    largest_ratio = largest(lambda value: feasible(base, share, value, hydration), 0.0, ratio)
    liquids = _names(liquid.ingredient for liquid in base.allowed) or "no liquid"
    ways: list[Way] = []
    amounts: dict[str, Amount | str] = {
        "share": (percent, None),
        "ratio": (ratio, None),
        "wanted": (round(100 * ratio * share, 2), None),
        "hydration": (round(hydration_percent, 2), None),
        "available": (round(100 * available, 2), None),
        "liquids": liquids,
    }
    message = [
        "a {share} % share at 1:{ratio} needs {wanted} % of the flour as liquid in the scald; at "
        "{hydration} % hydration there is {available} % for it ({liquids})"
    ]
    if largest_share is not None:
        message.append("the largest share to advise at this ratio is {largest_share} %")
        amounts["largest_share"] = (largest_share, None)
    if largest_ratio is not None and largest_ratio > 0:
        message.append("the largest ratio at this share is 1:{largest_ratio}")
        amounts["largest_ratio"] = (largest_ratio, None)
        ways.append(Way("change.share_percent", {"change.liquid_ratio": largest_ratio}))
    if base.takes_adjusting():
        others = available - needed
        smallest = rounded_up(base.hydration_percent_with(share, ratio * share - others))
        if smallest <= LARGEST_HYDRATION_PERCENT and advisable(percent, ratio, hydration):
            message.append("the smallest hydration that would do is {smallest} %")
            amounts["smallest"] = (smallest, None)
            ways.append(Way("change.share_percent", {"change.hydration_percent": smallest}))
    more = base.other_liquids()
    with_more = largest_share_percent(base, ratio, hydration, percent, more) if more else None
    if with_more is not None and (largest_share is None or with_more > largest_share):
        allowing, amounts["more"] = "allowing {more} in the scald as well (scald_liquids)", _names(more)
        if with_more >= percent:
            message.append(f"{allowing} makes this share work")
            names = [ingredient.name for ingredient in (*(each.ingredient for each in base.allowed), *more)]
            ways.append(Way("change.share_percent", {"change.scald_liquids": names}))
        else:
            message.append(f"{allowing} would take it to {{with_more}} %")
            amounts["with_more"] = (with_more, None)
    return Refusal(
        "change.share_percent",
        "scald_liquid_short",
        "; ".join(message),
        given=percent,
        nearest=largest_share,
        amounts=amounts,
        ways=tuple(ways),
    )


def flour_short(base: PerFlour, share: float, ratio: float, hydration: Hydration) -> Refusal:
    """The refusal of a scald that needs more of one of its flours than the formula has.

    Parameters
        base : PerFlour
        share : float  [fraction of total flour]
        ratio : float  liquid over flour of the scald
        hydration : Hydration  at other shares
    Returns
        Refusal  at ``change.share_percent``
    """
    flours, mix = base.lines.flours, base.mix
    short = min(mix, key=lambda kind: flours[kind] / mix[kind])
    most = rounded_down(100 * base.largest_share_of_mix())
    return Refusal(
        "change.share_percent",
        "scald_flour_short",
        "the scald's flour is {part} % {flour}, and {flour} is only {whole} % of all flour: with this mix "
        "the largest share is {most} %; put another flour into the scald to go further",
        given=100 * share,
        nearest=largest_share_percent(base, ratio, hydration, min(most, 100 * share)),
        amounts={
            "part": (round(100 * mix[short], 2), None),
            "most": (most, None),
            "whole": (round(100 * flours[short], 2), None),
            "flour": base.lines.flour_ingredients[short].name,
        },
    )


def adjusting_short(
    base: PerFlour, share: float, ratio: float, hydration_percent: float, hydration: Hydration
) -> Refusal:
    """The refusal of a hydration so low that the other lines alone bring more water.

    Parameters
        base : PerFlour
        share : float  [fraction of total flour]
        ratio : float  liquid over flour of the scald
        hydration_percent : float  [% of flour]
        hydration : Hydration  at other shares and ratios
    Returns
        Refusal  at ``change.hydration_percent``
    """
    ways = []
    largest_share = largest_share_percent(base, ratio, hydration, 100 * share)
    if largest_share is not None:
        ways.append(Way("change.hydration_percent", {"change.share_percent": largest_share}))
    largest_ratio = largest(lambda value: feasible(base, share, value, hydration), 0.0, ratio)
    if largest_ratio:
        ways.append(Way("change.hydration_percent", {"change.liquid_ratio": largest_ratio}))
    least = base.adjusting_least(share)
    if base.takes_adjusting():
        least = max(least, ratio * share - base.supply(0.0))
    smallest = max(rounded_up(base.hydration_percent_with(share, least)), 0.0)
    works = smallest <= LARGEST_HYDRATION_PERCENT
    advice = (
        "the smallest hydration that works is {smallest} %, or adjust with another liquid"
        if works
        else "no hydration up to {largest} % covers so much scald; scald less, or with less liquid"
    )
    return Refusal(
        "change.hydration_percent",
        "adjusting_liquid_short",
        "at {hydration} % hydration there is not enough {liquid}: the other lines bring {others} % of the "
        f"flour as water by themselves, and the scald takes its own; {advice}",
        given=round(hydration_percent, 6),
        nearest=smallest if works else None,
        amounts={
            "hydration": (round(hydration_percent, 2), None),
            "smallest": (smallest, None),
            "largest": (LARGEST_HYDRATION_PERCENT, None),
            "others": (round(100 * base.lines.others_water, 2), None),
            "liquid": base.adjusting.name,
        },
        ways=tuple(ways),
    )


def check_evaporation(base: PerFlour, share: float, ratio: float, in_scald: Amounts) -> None:
    """Refuse a scald that evaporates more water than it holds.

    Parameters
        base : PerFlour
        share : float  [fraction of total flour]
        ratio : float  liquid over flour of the scald
        in_scald : Amounts  [per flour] its liquids
    Raises
        Refusal: at ``change.liquid_ratio``, with the formula's own ratio where that is the larger one.
    """
    evaporation = base.evaporation_at(share)
    if evaporation <= 0:
        return
    lines = base.lines
    other = lines.scald_other_water + sum(
        part * share * lines.flour_ingredients[kind].water_percent / 100 for kind, part in base.mix.items()
    )
    liquid = sum(
        amount * lines.liquid_ingredients[kind].water_percent / 100 for kind, amount in in_scald.items()
    )
    if evaporation <= (other + liquid) * (1 + ROUNDING):
        return
    kept = base.breakdown.scald_liquid_ratio
    raise Refusal(
        "change.liquid_ratio",
        "evaporation_above_scald_water",
        "the scald loses {lost} % of its flour's mass in cooking, as the formula says, and would hold only "
        "{water} %; use a thinner scald, or correct scald_evaporation",
        given=ratio,
        nearest=kept if kept is not None and ratio < kept <= LARGEST_LIQUID_RATIO else None,
        amounts={
            "lost": (round(100 * evaporation / (share or 1), 2), None),
            "water": (round(100 * (other + liquid) / (share or 1), 2), None),
        },
    )
