"""Notes on variants, and the steps to what they have beyond their single calls."""

from collections.abc import Iterator

from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.side_by_side import Found, Made
from scaldloaf.operations.steps import Working
from scaldloaf.operations.working import loaf_plan

TEXTS = {
    "variants_refused": (
        "{refused} of {variants} variants can't be made as asked: {names}. Each says why; the others are not "
        "touched by it."
    ),
    "compared_with": "The first variant can't be made, so the others are compared with {name}.",
    "dough_held": (
        "The dough mass stays the same and does not follow the pan: it fills {best:.3g} % of it "
        "({low:.3g} to {high:.3g})."
    ),
}

_note = NotesOf(TEXTS)


def notes_on_all(found: Found) -> Iterator[Note]:
    """On the request, and on variants that can't be made."""
    made = found.made
    names = [each.name for each in found.asked.variants]
    if len(made) < len(names):
        refused = [name for name in names if name not in {each.asked.name for each in made}]
        yield _note("variants_refused", refused=len(refused), variants=len(names), names=", ".join(refused))
        if len(made) > 1 and made[0].asked.name != names[0]:
            yield _note("compared_with", name=made[0].asked.name)
    if found.asked.base.feeding is None:
        yield loaf_plan.note("no_stages")
    if found.asked.base.tempering is None:
        yield loaf_plan.note("no_temperatures")


def notes_on_one(made: Made) -> Iterator[Note]:
    """On one variant."""
    if not made.fills:
        fill = made.fill_percent
        yield _note("dough_held", low=fill.low, best=fill.best, high=fill.high)


def show_variants(show: Working, found: Found) -> None:
    """How far held doughs fill their pans, the differences from the first, and what is made for several."""
    shown = show.format
    for made in found.made:
        filled = made.plan.filled
        dough, filling = made.dough_g.best, filled.pan.filled.dough_mass_g.best
        show.step(
            f"How far {made.asked.name} fills its pan",
            f"{shown(filled.asked.fill_percent)} × {shown(dough, 'mass')} ÷ {shown(filling, 'mass')}",
            made.fill_percent.best,
            unit="% of the pan",
        )
    for made in found.made[1:]:
        _show_difference(show, found.made[0], made)
    for scald in found.together.scalds:
        names = ", ".join(found.made[each.formula].asked.name for each in scald.portions)
        masses = " + ".join(shown(each.mass_g, "mass") for each in scald.weighed.lines)
        show.step(f"Scald to weigh for {names}", masses, scald.weighed.total_g, "mass")
    if found.together.common is not None:
        masses = " + ".join(shown(each.mass_g, "mass") for each in found.together.common.weighed.lines)
        show.step("Dry mix to weigh for all", masses, found.together.common.weighed.total_g, "mass")


def _show_difference(show: Working, first: Made, made: Made) -> None:
    """The steps from the first variant to another one."""
    shown, versus = show.format, f"{made.asked.name} less {first.asked.name}"
    one, other = made.dough_g.best, first.dough_g.best
    show.step(
        f"Dough for one pan, {versus}", f"{shown(one, 'mass')} − {shown(other, 'mass')}", one - other, "mass"
    )
    water, before = (each.plan.corrected.correction.hydration_percent for each in (made, first))
    show.step(f"Hydration, {versus}", f"{shown(water)} − {shown(before)}", water - before, unit="% of flour")
    fed = [each.plan.fed for each in (made, first) if each.plan.fed is not None]
    if fed:
        sweet, was = (each.budget.sweetness_percent.best for each in fed)
        show.step(f"Sweetness, {versus}", f"{shown(sweet)} − {shown(was)}", sweet - was, unit="% of bread")
