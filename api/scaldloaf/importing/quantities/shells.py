"""Eggs that a recipe weighs in their shells."""

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.importing.quantities.readings import Reading
from scaldloaf.importing.words.doubt import LIKELY, Doubt
from scaldloaf.reference import coefficient

_EDIBLE = coefficient("egg_edible_share")
_IN_SHELL = (
    *(
        "with shell",
        "with the shell",
        "with shells",
        "in shell",
        "in the shell",
        "in their shells",
        "in its shell",
    ),
    *("including shell", "including the shell", "incl shell", "shell on", "unshelled", "mit schale"),
    *("avec coquille", "avec la coquille", "con cáscara", "con la cáscara", "con guscio", "con il guscio"),
    *("殻付き", "殻つき", "殻ごと", "带壳", "帶殼", "连壳", "連殼", "含壳", "含殼"),
)
_NOT = "不"  # 不含壳: without its shell


def without_shell(egg: Reading, plain: str) -> Reading:
    """An egg that was weighed in its shell, without it: ``1 egg, 60 g with shell``."""
    if (
        egg.mass is None
        or "g as written" not in egg.expression
        or not any(words in plain.replace(f"{_NOT}{words}", "") for words in _IN_SHELL)
    ):
        return egg
    low, best, high, evidence = egg.mass
    return egg._replace(
        mass=Estimate(
            low * _EDIBLE.low, best * _EDIBLE.value, high * _EDIBLE.high, weakest(evidence, _EDIBLE.evidence)
        ),
        doubts=(*egg.doubts, Doubt.of(LIKELY, "part_not_dough")),
        expression=f"{egg.expression} × {_EDIBLE.value:g}",
        sources=(*egg.sources, *_EDIBLE.sources),
    )
