"""The closed list of words allowed in place of a number, and their values by a second route."""

import re
from collections.abc import Callable, Iterator
from math import floor

from working.arithmetic import Interval, redo
from working.keeping import median_time
from working.tasting import TASTING
from working.told import Told, ask, lines_of, total, value
from working.trials import learned, likeliest_spread

WHOLE = 1e-6  # of a scale's step: rounding by unit factors


def _all_lines(told: Told, step: dict, _) -> float:
    """The mass of the formula of a step: that of the reply, for a scaling that of the request."""
    formula = told.request["formula"] if told.call == "scaling" else told.reply["formula"]
    return total(lines_of(formula, told.units)) / told.units.factors["mass"]


def _rounded(told: Told, step: dict, _) -> Interval:
    """The total of the weigh-out; on each scale the lines with the largest remainders are rounded up."""
    weighed, exact = told.reply["weigh_out"], told.reply["formula"]["lines"]
    left = sum(line["mass"] for line in exact)
    scales = sorted({line["resolution"] for line in weighed})
    for scale in scales:
        group = [
            (line["mass"] / scale, round(own["mass"] / scale))
            for line, own in zip(exact, weighed, strict=True)
            if own["resolution"] == scale
        ]
        for_it = left / scale if scale == scales[-1] else sum(steps for steps, _ in group)
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


def _as_given(told: Told, step: dict, _) -> float:
    if step["label"] == "Factor":
        return told.request["target"]["factor"]
    if step["label"] == "Specific volume known":
        return told.request["bread"]["specific_volume"]
    return told.request.get("want", told.request)["pan"]["volume"]


def _orders(told: Told, step: dict, _) -> float:
    formula = step["label"].removeprefix("Dough of ")
    return sum(order["dough_mass"] for order in told.reply["orders"] if order["formula"] == formula)


def _asked_again(part: str, *path: str) -> Callable:
    """The answer of a single call of a plan when it is sent by itself."""

    def found(told: Told, *_) -> float:
        reply = ask(part.replace("_", "-"), told.reply["requests"][part]).reply
        for name in path:
            reply = reply[name]
        return reply

    return found


def _moved_optimum(told: Told, step: dict, match: re.Match) -> float:
    before, after = (told.reply["parts"]["hydration_correction"][when] for when in ("before", "after"))
    shares = before["scalded_share_percent"], after["scalded_share_percent"]
    for text, number in zip(match.groups(), (before["hydration_percent"], *shares), strict=True):
        assert redo(text).sides[0][0].holds(number), f"{text} for {number}"
    return _asked_again("hydration_correction", "optimum_hydration_percent", "best")(told)


# Pattern of the words -> function of (call, step, match) for their value
TERMS: dict[str, Callable[[Told, dict, re.Match], float | Interval]] = {
    "all lines": _all_lines,
    "each line cut to whole steps of its scale, missing steps added to the lines that lost most": _rounded,
    "as given": _as_given,
    "as asked for": lambda told, *_: told.request["hydration_percent"],
    "as measured": lambda told, *_: told.request["method"]["core_temperature"],
    "its orders added": _orders,
    "all formulas added": lambda told, *_: sum(order["dough_mass"] for order in told.reply["orders"]),
    r"from (ln [\d.]+|[\d.]+) ± ([\d.]+) and (\d+) trials?, each weighed by its scatter and its weight; "
    r"standard deviation ([\d.]+)": learned,
    r"the likeliest, from the usual ([\d.]+) % and (\d+) trials?": likeliest_spread,
    "median over all the curves that the scores allow, each by its weight": median_time,
    r"from ([\d.]+) at ([\d.]+) % scalded to ([\d.]+) %": _moved_optimum,
    "by the heat balance of what is mixed": _asked_again("dough_temperature", "water_temperature", "best"),
    "what the stages leave of the sugars": _asked_again("sugar_budget", "sweetness_percent", "best"),
    **TASTING,
}
_PATTERNS = {re.compile(words): found for words, found in TERMS.items()}


def terms_of(told: Told, step: dict, said: set[str]) -> Iterator[tuple[re.Pattern, Callable]]:
    """The terms for one step, as ``arithmetic.redo`` needs them; ``said`` collects those found."""
    for pattern, found in _PATTERNS.items():

        def interval(match: re.Match, pattern=pattern, found=found) -> Interval:
            said.add(pattern.pattern)
            worth = found(told, step, match)
            return worth if isinstance(worth, Interval) else Interval(worth, worth)

        yield pattern, interval


_JUDGED = re.compile(r"under-watered below −([\d.]+), sticky above ([\d.]+)")


def check_remark(told: Told, step: dict, remark: str) -> None:
    """Checks that a remark after an expression is a known one, and true."""
    match = _JUDGED.fullmatch(remark)
    assert match, f"an unknown remark: {remark}"
    low, high = map(float, match.groups())
    assert (low, high) == (value("under_watered_points"), value("sticky_points"))
    points = step["value"]
    judged = "under_watered" if points < -low - 1e-9 else "sticky" if points > high + 1e-9 else "balanced"
    assert told.reply["assessment"] == judged
