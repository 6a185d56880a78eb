"""The closed list of words allowed in place of a number, and their values by a second route."""

import re
from collections.abc import Callable, Iterator
from math import floor

from working.arithmetic import Interval, redo
from working.costs import COSTS
from working.exchange import Exchange, ask, lines_of, total, value
from working.keeping import median_time
from working.tasting import TASTING
from working.trials import learned, likeliest_spread

WHOLE = 1e-6  # of a scale's step: rounding by unit factors


def _all_lines(exchange: Exchange, step: dict, _) -> float:
    """The mass of the formula of a step: that of the reply, for a scaling that of the request."""
    formula = exchange.request["formula"] if exchange.call == "scaling" else exchange.reply["formula"]
    return total(lines_of(formula, exchange.units)) / exchange.units.factors["mass"]


def _rounded(exchange: Exchange, step: dict, _) -> Interval:
    """The total of the weigh-out: the fine scale's lines at their nearest steps; on the other scale, or on
    the only one, the lines with the largest remainders are rounded up."""
    weighed, exact = exchange.reply["weigh_out"], exchange.reply["formula"]["lines"]
    left = sum(line["mass"] for line in exact)
    scales = sorted({line["resolution"] for line in weighed})
    for scale in scales:
        group = [
            (line["mass"] / scale, round(own["mass"] / scale))
            for line, own in zip(exact, weighed, strict=True)
            if own["resolution"] == scale
        ]
        if scale != scales[-1]:
            assert all(abs(steps - count) <= 0.5 + WHOLE for steps, count in group), (
                f"not the nearest {scale}"
            )
            left -= scale * sum(count for _, count in group)
            continue
        for_it = left / scale
        whole = sum(floor(steps + WHOLE) for steps, _ in group)
        got = sum(count for _, count in group)
        assert got == max(whole, floor(for_it + 0.5 + WHOLE)), f"{got} steps of {scale}"
        cut = [steps - count for steps, count in group]
        assert min(cut) > -1 and max(cut) < 1
        more = [1 + rest for rest in cut if rest < -WHOLE]
        assert not more or min(more) >= max([rest for rest in cut if rest >= -WHOLE], default=0) - WHOLE
        left -= got * scale
    added = sum(line["mass"] for line in weighed)
    return Interval(added - WHOLE * scales[0], added + WHOLE * scales[0])


def _as_given(exchange: Exchange, step: dict, _) -> float:
    if step["label"] == "Factor":
        return exchange.request["target"]["factor"]
    if step["label"] == "Specific volume known":
        return exchange.request["bread"]["specific_volume"]
    return exchange.request.get("want", exchange.request)["pan"]["volume"]


def _orders(exchange: Exchange, step: dict, _) -> float:
    formula = step["label"].removeprefix("Dough of ")
    return sum(order["dough_mass"] for order in exchange.reply["orders"] if order["formula"] == formula)


def _asked_again(part: str, *path: str) -> Callable:
    """The answer of a single call of a plan when it is sent by itself."""

    def found(exchange: Exchange, *_) -> float:
        reply = ask(part.replace("_", "-"), exchange.reply["requests"][part]).reply
        for name in path:
            reply = reply[name]
        return reply

    return found


def _moved_optimum(exchange: Exchange, step: dict, match: re.Match) -> float:
    before, after = (exchange.reply["parts"]["hydration_correction"][when] for when in ("before", "after"))
    shares = before["scalded_share_percent"], after["scalded_share_percent"]
    for text, number in zip(match.groups(), (before["hydration_percent"], *shares), strict=True):
        assert redo(text).sides[0][0].holds(number), f"{text} for {number}"
    return _asked_again("hydration_correction", "optimum_hydration_percent", "best")(exchange)


def _of_plan_at(exchange: Exchange, step: dict, match: re.Match) -> float:
    """A figure of the loaf-plan at the most share of a share-limit."""
    request = exchange.reply["request"]
    assert redo(match[1]).sides[0][0].holds(request["scalded_share_percent"])
    reply = ask("loaf-plan", request).reply
    return {
        "Hydration there": lambda: reply["hydration_percent"],
        "Dough for one pan there": lambda: reply["dough_mass"]["best"],
        "Free sugar lasts there": lambda: reply["parts"]["sugar_budget"]["free_sugar_lasts_hours"]["best"],
    }[step["label"]]()


def _least_of(exchange: Exchange, step: dict, match: re.Match) -> Interval:
    """The least of the shares at which a limit binds, which are those of the reply."""
    said = [redo(number).sides[0][0] for number in re.findall(r"[\d.]+", match[0])]
    reached = [
        limit["scalded_share_percent"]["best"]
        for limit in exchange.reply["limits"]
        if limit["state"] == "reached"
    ]
    assert len(said) == len(reached)
    assert all(number.holds(share) for number, share in zip(said, reached, strict=True))
    return min(said)


# Pattern of the words -> function of (call, step, match) for their value
TERMS: dict[str, Callable[[Exchange, dict, re.Match], float | Interval]] = {
    "all lines": _all_lines,
    "each line cut to whole steps of its scale, missing steps added to the lines that lost most": _rounded,
    "each line of the fine scale to its nearest step, the others cut to whole steps, missing steps added to "
    "those that lost most": _rounded,
    "as given": _as_given,
    "as asked for": lambda exchange, *_: exchange.request["hydration_percent"],
    "as measured": lambda exchange, *_: exchange.request["method"]["core_temperature"],
    "its orders added": _orders,
    "all formulas added": lambda exchange, *_: sum(order["dough_mass"] for order in exchange.reply["orders"]),
    r"from (ln [\d.]+|[\d.]+) ± ([\d.]+) and (\d+) trials?, each weighed by its scatter and its weight; "
    r"standard deviation ([\d.]+)": learned,
    r"the likeliest, from the usual ([\d.]+) % and (\d+) trials?": likeliest_spread,
    "median over all the curves that the scores allow, each by its weight": median_time,
    r"from ([\d.]+) at ([\d.]+) % scalded to ([\d.]+) %": _moved_optimum,
    "by the heat balance of what is mixed": _asked_again("dough_temperature", "water_temperature", "best"),
    "what the stages leave of the sugars": _asked_again("sugar_budget", "sweetness_percent", "best"),
    r"by loaf-plan at ([\d.]+) % scalded": _of_plan_at,
    r"the least of [\d.]+(?:, [\d.]+)* and [\d.]+": _least_of,
    **COSTS,
    **TASTING,
}
_PATTERNS = {re.compile(words): found for words, found in TERMS.items()}


def terms_of(exchange: Exchange, step: dict, said: set[str]) -> Iterator[tuple[re.Pattern, Callable]]:
    """The terms for one step, as ``arithmetic.redo`` needs them; ``said`` collects those found."""
    for pattern, found in _PATTERNS.items():

        def interval(match: re.Match, pattern=pattern, found=found) -> Interval:
            said.add(pattern.pattern)
            worth = found(exchange, step, match)
            return worth if isinstance(worth, Interval) else Interval(worth, worth)

        yield pattern, interval


_JUDGED = re.compile(r"under-watered below −([\d.]+), sticky above ([\d.]+)")


def check_remark(exchange: Exchange, step: dict, remark: str) -> None:
    """Checks that a remark after an expression is a known one, and true."""
    match = _JUDGED.fullmatch(remark)
    assert match, f"an unknown remark: {remark}"
    low, high = map(float, match.groups())
    assert (low, high) == (value("under_watered_points"), value("sticky_points"))
    points = step["value"]
    judged = "under_watered" if points < -low - 1e-9 else "sticky" if points > high + 1e-9 else "balanced"
    assert exchange.reply["assessment"] == judged
