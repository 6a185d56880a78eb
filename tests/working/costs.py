"""Costs rounded so that they add up, in the decimals of the request and by sums of its own."""

import re
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

from working.exchange import Exchange

DIGITS = Decimal("1e-9")  # of a step: what units and floats bring


def rounded_costs(exchange: Exchange, step: dict, match: re.Match) -> float:
    """The total: the exact costs added and rounded once, and the lines add up to it."""
    request, cost = exchange.request, exchange.reply["cost"]
    decimals = request.get("price_decimals", 2)
    assert match[1] == str(decimals)
    coin = Decimal(1).scaleb(-decimals)
    prices = {each["ingredient"]: each for each in request["prices"]}
    exact, shown = [], []
    for line in cost["lines"]:
        price = prices.get(line["ingredient"])
        assert (price is None) is (line["cost"] is None)
        if price:
            exact.append(Decimal(price["price"]) * Decimal(line["mass"]) / Decimal(price["per"]) / coin)
            shown.append(Decimal(repr(line["cost"])) / coin)
    whole = sum(exact).quantize(Decimal(1), ROUND_HALF_UP)
    assert sum(shown) == whole and all(each == each.to_integral_value() for each in shown)
    rests = [one - one.quantize(Decimal(1), ROUND_FLOOR) for one in exact]
    up = [rest for rest, one, own in zip(rests, exact, shown, strict=True) if own > one + DIGITS]
    down = [rest for rest, one, own in zip(rests, exact, shown, strict=True) if own <= one + DIGITS]
    assert all(abs(one - own) < 1 for one, own in zip(exact, shown, strict=True))
    assert not up or not down or min(up) >= max(down) - DIGITS
    return float(whole * coin)


# Pattern of the words -> function of (call, step, match) for their value
COSTS = {r"the costs cut to (\d+) decimals, missing steps added to those that lost most": rounded_costs}
