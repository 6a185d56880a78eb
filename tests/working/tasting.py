"""The words of a tasting's working, calculated by scipy from the request."""

import re
from collections.abc import Callable

from scipy import stats

from working.told import Told

ONE_IN = {"triangle": 3, "duo_trio": 2, "paired": 2}
BLOCK = {"triangle": 6, "duo_trio": 4, "paired": 2}


def significance(told: Told) -> float:
    return told.request.get("significance_percent", 5)


def one_sided(told: Told) -> float:
    """The risk in one direction, percent."""
    both = told.request["test"] == "paired" and told.request.get("hypothesis", "two_sided") == "two_sided"
    return significance(told) / (2 if both else 1)


def right(told: Told) -> int:
    if "right" in told.request:
        return told.request["right"]
    chosen = told.request["chosen"]
    return chosen[told.request["expected"]] if "expected" in told.request else max(chosen.values())


def tasters(told: Told) -> int:
    return told.request.get("tasters", told.reply["tasters"])


def fewest(count: int, one_in: int, percent: float) -> int | None:
    """By scipy; a hair of slack for risks that a chance meets exactly."""
    reached = [
        least
        for least in range(count + 1)
        if 100 * stats.binom.sf(least - 1, count, 1 / one_in) <= percent * (1 + 1e-12)
    ]
    return reached[0] if reached else None


def power(told: Told, count: int) -> float:
    one_in = ONE_IN[told.request["test"]]
    least = fewest(count, one_in, one_sided(told))
    share = 1 / one_in + (1 - 1 / one_in) * told.request["discriminators_percent"] / 100
    return 0.0 if least is None else 100 * stats.binom.sf(least - 1, count, share)


def said(match: re.Match, *numbers: float) -> None:
    """The numbers in the words are those of the request."""
    shown = [float(each) for each in match.groups()]
    assert len(shown) == len(numbers)
    for one, other in zip(shown, numbers, strict=True):
        assert abs(one - other) <= 1e-5 * abs(other), (shown, numbers)


def _guessed(told: Told, step: dict, match: re.Match) -> float:
    one_in = ONE_IN[told.request["test"]]
    said(match, right(told), tasters(told), one_in)
    return 100 * stats.binom.sf(right(told) - 1, tasters(told), 1 / one_in)


def _split(told: Told, step: dict, match: re.Match) -> float:
    said(match, right(told), tasters(told))
    return 100 * stats.binomtest(right(told), tasters(told), 0.5).pvalue


def _fewest(told: Told, step: dict, match: re.Match) -> float:
    one_in = ONE_IN[told.request["test"]]
    said(match, tasters(told), one_in, one_sided(told))
    return fewest(tasters(told), one_in, one_sided(told))


def _lowest(told: Told, step: dict, match: re.Match) -> float:
    count, number, risk = right(told), tasters(told), one_sided(told)
    said(match, count, number, risk)
    return 100 * stats.beta.ppf(risk / 100, count, number - count + 1) if count else 0.0


def _highest(told: Told, step: dict, match: re.Match) -> float:
    count, number, risk = right(told), tasters(told), one_sided(told)
    said(match, count, number, risk)
    return 100 * stats.beta.isf(risk / 100, count + 1, number - count) if count < number else 100.0


def _places(told: Told, step: dict, match: re.Match) -> float:
    sample = step["label"].removeprefix("Rank sum of ")
    return sum(ranking.index(sample) + 1 for ranking in told.request["rankings"])


def _friedman(told: Told, step: dict, match: re.Match) -> float:
    rankings = told.request["rankings"]
    found = stats.friedmanchisquare(
        *([ranking.index(sample) for ranking in rankings] for sample in rankings[0])
    )
    said(match, found.statistic, len(rankings[0]) - 1)
    return 100 * found.pvalue


def _quantile(told: Told, step: dict, match: re.Match) -> float:
    said(match, significance(told))
    return stats.norm.isf(significance(told) / 200)


def _least_tasters(told: Told, step: dict, match: re.Match) -> float:
    wanted = told.request.get("power_percent", 80)
    said(match, told.request["discriminators_percent"], wanted)
    return next(count for count in range(1, 500) if power(told, count) >= wanted - 1e-9)


def _next_multiple(told: Told, step: dict, match: re.Match) -> float:
    block, least = BLOCK[told.request["test"]], told.reply["least_tasters"]
    said(match, block, least)
    wanted = told.request.get("power_percent", 80) - 1e-9
    return next(count for count in range(least, 500) if count % block == 0 and power(told, count) >= wanted)


def _power(told: Told, step: dict, match: re.Match) -> float:
    one_in, count = ONE_IN[told.request["test"]], told.reply["tasters"]
    share = 1 / one_in + (1 - 1 / one_in) * told.request["discriminators_percent"] / 100
    said(match, fewest(count, one_in, one_sided(told)), count, 100 * share)
    return power(told, count)


# Pattern of the words -> function of (call, step, match) for their value
TASTING: dict[str, Callable[[Told, dict, re.Match], float]] = {
    r"(\d+) or more right of (\d+), guessing 1 in (\d+)": _guessed,
    r"(\d+) or more of (\d+) for either sample, chosen by chance": _split,
    r"the fewest of (\d+) that guessing 1 in (\d+) reaches in at most ([\d.]+) % of tastings": _fewest,
    r"the share at which (\d+) or more of (\d+) comes to ([\d.]+) %": _lowest,
    r"the share at which (\d+) or fewer of (\d+) comes to ([\d.]+) %": _highest,
    "its places added": _places,
    r"chi-square of ([\d.]+) or more with (\d+) degrees of freedom": _friedman,
    r"passed in either direction in ([\d.]+) % of cases": _quantile,
    r"the fewest that show ([\d.]+) % who tell in at least ([\d.]+) % of tastings": _least_tasters,
    r"the next multiple of (\d+) from (\d+) on that does so too": _next_multiple,
    r"(\d+) or more right of (\d+), each with a chance of ([\d.]+) %": _power,
}
