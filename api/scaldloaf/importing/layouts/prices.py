"""Prices beside what is listed: ``強力粉 238円/1kg`` is no kilogram of flour."""

import re

_MONEY = (
    r"(?:[€$£¥￥]\s?\d+(?:[.,]\d+)?|\d+(?:[.,]\d+)?\s?(?:円|元|€|\$|£|¥|￥|yen|eur|euros?|usd)(?![^\W\d_]))"
)
_PER = r"\s?(?:/|[^\W\d_]{1,4}\s)\s?"  # a stroke, or a short word: per, je, le, al
_UNIT = (
    r"(?:\d+(?:[.,]\d+)?\s?)?"
    r"(?:kg|g|l|ml|cl|lb|oz|kilos?|pounds?|lit(?:er|re)|公斤|千克|克|斤|袋|本|個|个)(?![^\W\d_])"
)
_PRICE = re.compile(rf"(?<![\d.,]){_MONEY}{_PER}{_UNIT}", re.IGNORECASE)
_SIGNS = re.compile(r"[€$£¥￥円元]|\b(?:yen|eur|euros?|usd)\b", re.IGNORECASE)


def without_price(line: str) -> str:
    """A line without the price of so much of something; one that is only a price stays as it is."""
    if not _SIGNS.search(line):
        return line
    found = _PRICE.sub(" ", line)
    return found if any(map(str.isalnum, found)) else line
