"""The words of a tasting's working, calculated by scipy from the request."""

import re
from collections.abc import Callable

from scipy import stats

from working.exchange import Exchange

ONE_IN = {"triangle": 3, "duo_trio": 2, "paired": 2}
BLOCK = {"triangle": 6, "duo_trio": 4, "paired": 2}


def significance(exchange: Exchange) -> float:
    return exchange.request.get("significance_percent", 5)


def one_sided(exchange: Exchange) -> float:
    """The risk in one direction, percent."""
    both = (
        exchange.request["test"] == "paired"
        and exchange.request.get("hypothesis", "two_sided") == "two_sided"
    )
    return significance(exchange) / (2 if both else 1)


def right(exchange: Exchange) -> int:
    if "right" in exchange.request:
        return exchange.request["right"]
    chosen = exchange.request["chosen"]
    return chosen[exchange.request["expected"]] if "expected" in exchange.request else max(chosen.values())


def tasters(exchange: Exchange) -> int:
    return exchange.request.get("tasters", exchange.reply["tasters"])


def fewest(count: int, one_in: int, percent: float) -> int | None:
    """By scipy; a hair of slack for risks that a chance meets exactly."""
    reached = [
        least
        for least in range(count + 1)
        if 100 * stats.binom.sf(least - 1, count, 1 / one_in) <= percent * (1 + 1e-12)
    ]
    return reached[0] if reached else None


def power(exchange: Exchange, count: int) -> float:
    one_in = ONE_IN[exchange.request["test"]]
    least = fewest(count, one_in, one_sided(exchange))
    share = 1 / one_in + (1 - 1 / one_in) * exchange.request["discriminators_percent"] / 100
    return 0.0 if least is None else 100 * stats.binom.sf(least - 1, count, share)


def said(match: re.Match, *numbers: float) -> None:
    """The numbers in the words are those of the request."""
    shown = [float(each) for each in match.groups()]
    assert len(shown) == len(numbers)
    for one, other in zip(shown, numbers, strict=True):
        assert abs(one - other) <= 1e-5 * abs(other), (shown, numbers)


def _guessed(exchange: Exchange, step: dict, match: re.Match) -> float:
    one_in = ONE_IN[exchange.request["test"]]
    said(match, right(exchange), tasters(exchange), one_in)
    return 100 * stats.binom.sf(right(exchange) - 1, tasters(exchange), 1 / one_in)


def _split(exchange: Exchange, step: dict, match: re.Match) -> float:
    said(match, right(exchange), tasters(exchange))
    return 100 * stats.binomtest(right(exchange), tasters(exchange), 0.5).pvalue


def _fewest(exchange: Exchange, step: dict, match: re.Match) -> float:
    one_in = ONE_IN[exchange.request["test"]]
    said(match, tasters(exchange), one_in, one_sided(exchange))
    return fewest(tasters(exchange), one_in, one_sided(exchange))


def _lowest(exchange: Exchange, step: dict, match: re.Match) -> float:
    count, number, risk = right(exchange), tasters(exchange), one_sided(exchange)
    said(match, count, number, risk)
    return 100 * stats.beta.ppf(risk / 100, count, number - count + 1) if count else 0.0


def _highest(exchange: Exchange, step: dict, match: re.Match) -> float:
    count, number, risk = right(exchange), tasters(exchange), one_sided(exchange)
    said(match, count, number, risk)
    return 100 * stats.beta.isf(risk / 100, count + 1, number - count) if count < number else 100.0


def _places(exchange: Exchange, step: dict, match: re.Match) -> float:
    sample = step["label"].removeprefix("Rank sum of ")
    return sum(ranking.index(sample) + 1 for ranking in exchange.request["rankings"])


def _friedman(exchange: Exchange, step: dict, match: re.Match) -> float:
    rankings = exchange.request["rankings"]
    found = stats.friedmanchisquare(
        *([ranking.index(sample) for ranking in rankings] for sample in rankings[0])
    )
    said(match, found.statistic, len(rankings[0]) - 1)
    return 100 * found.pvalue


def _quantile(exchange: Exchange, step: dict, match: re.Match) -> float:
    said(match, significance(exchange))
    return stats.norm.isf(significance(exchange) / 200)


def _least_tasters(exchange: Exchange, step: dict, match: re.Match) -> float:
    wanted = exchange.request.get("power_percent", 80)
    said(match, exchange.request["discriminators_percent"], wanted)
    return next(count for count in range(1, 500) if power(exchange, count) >= wanted - 1e-9)


def _next_multiple(exchange: Exchange, step: dict, match: re.Match) -> float:
    block, least = BLOCK[exchange.request["test"]], exchange.reply["least_tasters"]
    said(match, block, least)
    wanted = exchange.request.get("power_percent", 80) - 1e-9
    return next(
        count for count in range(least, 500) if count % block == 0 and power(exchange, count) >= wanted
    )


def _power(exchange: Exchange, step: dict, match: re.Match) -> float:
    one_in, count = ONE_IN[exchange.request["test"]], exchange.reply["tasters"]
    share = 1 / one_in + (1 - 1 / one_in) * exchange.request["discriminators_percent"] / 100
    said(match, fewest(count, one_in, one_sided(exchange)), count, 100 * share)
    return power(exchange, count)


# Pattern of the words -> function of (call, step, match) for their value
TASTING: dict[str, Callable[[Exchange, dict, re.Match], float]] = {
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
