"""Eggs and a liquid that are weighed together: ``卵1個＋牛乳＝180g``, ``蛋1颗加牛奶共180克``."""

import re

from scaldloaf.dough.estimate import Estimate
from scaldloaf.importing.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.readings import Reading

_FIRST = r"[個个顆颗隻只分)]\s*(?:\([^()]*\)\s*)?[+と加和&]\s*[^\d+=]{1,12}?"
_TOGETHER = "合わせて|あわせて|合計で?|トータルで?|で|[一總总]?共計?|合[计計]|加起[来來]"
_SUM = re.compile(rf"{_FIRST}\s*(?:=|{_TOGETHER})\s*[約约]?\s*\d")
_PERHAPS = re.compile(_FIRST + r"\s+\d")  # 卵1個＋牛乳 180g


def rest_of_sum(readings: list[Reading], plain: str) -> list[Reading]:
    """The readings of a line, the liquid as what is left of an amount that is that of both."""
    if len(readings) != 2 or plain.isascii():
        return readings
    first, second = readings
    if not (first.mass and second.mass and first.ingredient and second.ingredient):
        return readings
    if not second.ingredient.is_liquid or "×" not in first.expression or first.mass.best >= second.mass.best:
        return readings
    is_sum = _SUM.search(plain) is not None
    if not is_sum and not _PERHAPS.search(plain):
        return readings
    names = f"{first.ingredient.label} and {second.ingredient.label}"
    doubt = Doubt.of(LIKELY if is_sum else UNSURE, "one_amount", names=names)
    second = second._replace(doubts=(*second.doubts, doubt))
    if is_sum:
        egg, both = first.mass, second.mass or first.mass
        rest = Estimate(
            max(0.0, both.low - egg.high), both.best - egg.best, both.high - egg.low, both.evidence
        )
        second = second._replace(mass=rest, expression=f"{both.best:.6g} g − {egg.best:.6g} g")
    return [first, second]
