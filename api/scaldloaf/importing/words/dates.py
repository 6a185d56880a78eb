"""Lines of a page that say only a date, as stands above a recipe: ``2014年1月11日 星期六``."""

import re

from scaldloaf.importing.words.vocabulary import DATES, heading_words, is_spaceless

LEAST_DATE, MOST_DATE = 8, 56  # characters
FIRST_YEAR, LAST_YEAR = 1990, 2099
LAST_NUMBER = 59  # of days, months, hours, minutes
MOST_NUMBERS = 6
_NUMBER = re.compile(r"\d+")
_ALL_IN_NUMBERS = re.compile(r"(?<!\d)(?:\d{4}([-/.])\d{1,2}\1\d{1,2}|\d{1,2}([-/.])\d{1,2}\2\d{4})(?!\d)")
_WORDS = frozenset(DATES)
_SPACELESS = re.compile(
    "|".join(sorted(map(re.escape, filter(is_spaceless, DATES)), key=len, reverse=True)) or "(?!)"
)


def is_date(line: str) -> bool:
    """Whether a line says a day and its year, perhaps a time, and nothing else."""
    if not LEAST_DATE <= len(line) <= MOST_DATE or line[-1] in ":：":
        return False
    numbers = list(map(int, _NUMBER.findall(line)))
    others = [number for number in numbers if not FIRST_YEAR <= number <= LAST_YEAR]
    if len(numbers) - len(others) != 1 or not 1 <= len(others) < MOST_NUMBERS or max(others) > LAST_NUMBER:
        return False
    words = heading_words(_NUMBER.sub(" ", line))
    if not words:
        return _ALL_IN_NUMBERS.search(line) is not None
    if is_spaceless(words):
        return not _SPACELESS.sub("", words)
    return all(word in _WORDS for word in words.split())
