"""Notes on the scale and on lines that it cannot see, and how a working makes up for losses."""

from scaldloaf.dough.scaling import ADDED, BAKED_PIECES, Losses, Target, WeighOut
from scaldloaf.operations.context import Context
from scaldloaf.operations.notes import Note, NotesOf, Said
from scaldloaf.operations.steps import format_number
from scaldloaf.operations.wire.scaling import USUAL_SCALE, AskedScale

TEXTS = {
    "scale_assumed": (
        "No scale was given, so lines are rounded to {coarse} {unit}, yeast and salt to {fine} {unit}."
    ),
    "line_vanished": (
        "{ingredient} is {mass} and rounds to nothing in steps of {step}: weigh it on a finer scale, or make "
        "a larger batch."
    ),
}

_note = NotesOf(TEXTS)


def scale_notes(asked: AskedScale, context: Context) -> list[Note]:
    if asked.given:
        return []
    unit = context.units.mass
    coarse, fine = USUAL_SCALE[unit]
    return [_note("scale_assumed", coarse=(coarse, None), fine=(fine, None), unit=unit)]


def weigh_out_notes(weighed: WeighOut) -> list[Note]:
    """Lines that the scale cannot see."""
    return [
        _note(
            "line_vanished",
            ingredient=Said(each.line.ingredient.name, each.line.ingredient.label),
            mass=(each.line.mass_g, "mass"),
            step=(each.resolution_g, "mass"),
        )
        for each in weighed.lines
        if each.vanished
    ]


def over_what_is_left(target: Target, losses: Losses) -> str:
    """The end of an expression that makes up for what the target loses on the way; empty without losses."""
    handling, bake = format_number(losses.handling_percent), loaf_lost(losses)
    if target.kind != BAKED_PIECES or not losses.loaf_percent:
        return f" ÷ (1 − {handling} ÷ 100)" if losses.handling_percent else ""
    if not losses.handling_percent:
        return f" ÷ (1 − {bake})"
    if losses.rule == ADDED:
        return f" ÷ (1 − {handling} ÷ 100 − {bake})"
    return f" ÷ (1 − {handling} ÷ 100) ÷ (1 − {bake})"


def loaf_lost(losses: Losses) -> str:
    """What the oven and the cooling take of the dough, to be subtracted from it."""
    lost = f"{format_number(losses.bake_percent)} ÷ 100"
    if losses.cooling_loss_percent:
        lost += f" − {format_number(losses.cooling_loss_percent)} ÷ 100"
    return lost
