"""The steps of a cost, and the notes on prices."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import cast

from scaldloaf.dough.costs import Cost
from scaldloaf.dough.refusal import listed
from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.steps import Working

TEXTS = {
    "cost_incomplete": "No price was given for {names}, so the cost leaves that out.",
    "prices_not_used": "Prices that are not used: {names}.",
}
note = NotesOf(TEXTS)


def cost_notes(cost: Cost | None) -> Iterator[Note]:
    if cost is not None and cost.without_price:
        yield note("cost_incomplete", names=listed(cost.without_price))
    if cost is not None and cost.not_used:
        yield note("prices_not_used", names=listed(cost.not_used))


def show_cost(show: Working, cost: Cost, scaled: Mapping[int, str] | None = None) -> None:
    """The steps of a cost.

    scaled: by place, the mass of a line in words, where it is that of another line times a factor.
    """
    shown = show.format
    for place, line in enumerate(cost.lines):
        if line.price is not None:
            mass = scaled[place] if scaled else shown(line.mass_g, "mass")
            show.step(
                f"Cost of {line.ingredient}",
                f"{shown(line.price.price)} × {mass} ÷ {shown(line.price.per_g, 'mass')}",
                float(cast("Fraction", line.exact)),
            )
    priced = [float(line.exact) for line in cost.lines if line.exact is not None]
    show.step("Costs added", " + ".join(map(shown, priced)), float(cost.exact))
    show.step(
        "Total cost",
        f"the costs cut to {cost.decimals} decimals, missing steps added to those that lost most",
        cost.total,
    )
