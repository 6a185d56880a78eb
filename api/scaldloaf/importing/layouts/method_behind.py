"""A line that holds a whole list and its method: ``500 g Mehl, 1 Ei und Salz. Zubereitung: Mehl …``."""

import re

from scaldloaf.importing.words.vocabulary import METHOD, SECTIONS, is_spaceless

LEAST_AMOUNTS = 3  # of the list before it
_NAMES = "|".join(
    re.escape(name) for name in sorted(SECTIONS[METHOD]) if name.isalpha() and not is_spaceless(name)
)
_METHOD = re.compile(rf"(?<=[.!?)])\s+(?=(?:{_NAMES})\s?:\s)", re.IGNORECASE)
_AMOUNT = re.compile(r"\d\s?[^\W\d_]")


def with_method_apart(plain: str) -> str:
    """Such a line cut before the heading of its method; empty for another line."""
    found = _METHOD.search(plain) if ":" in plain else None
    if found is None or len(_AMOUNT.findall(plain[: found.start()])) < LEAST_AMOUNTS:
        return ""
    return f"{plain[: found.start()]}\n{plain[found.end() :]}"
