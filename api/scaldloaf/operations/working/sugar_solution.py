"""The step and the notes of the sucrose that a sugar budget was asked to find."""

from collections.abc import Iterator

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import Formula, flour_mass_g
from scaldloaf.dough.sucrose import SUCROSE, sucrose_percent_of
from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.steps import Working

TEXTS = {
    "sucrose_found": (
        "The answer is for {best:.3g} % sucrose ({low:.3g} to {high:.3g}) in place of {before:.3g} %. Dough "
        "mass and all other baker's percentages stay."
    ),
    "no_sucrose_needed": "The yeast is fed to the end without any sucrose.",
}

_note = NotesOf(TEXTS)


def solution_notes(found: Estimate | None, formula: Formula) -> Iterator[Note]:
    """On the sucrose found, percent of flour (None: none was to be found); formula: as it came."""
    if found is None:
        return
    before = sucrose_percent_of(formula, flour_mass_g(formula))
    yield _note("sucrose_found", low=found.low, best=found.best, high=found.high, before=before)
    if not found.best:
        yield _note("no_sucrose_needed")


def show_solution(show: Working, formula: Formula) -> None:
    """The step to the sucrose of the formula that the answer is for."""
    mass_g = sum(line.mass_g for line in formula.lines if line.ingredient == SUCROSE)
    flour_g = flour_mass_g(formula)
    show.step(
        "Sucrose found",
        f"100 × {show.format(mass_g, 'mass')} ÷ {show.format(flour_g, 'mass')} of flour",
        sucrose_percent_of(formula, flour_g),
        unit="% of flour",
    )
