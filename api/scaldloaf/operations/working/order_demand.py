"""The steps of a day, its notes, and how its masses and packs were rounded."""

from collections import Counter
from collections.abc import Iterator

from scaldloaf.dough.demand import Production
from scaldloaf.dough.packs import Packed
from scaldloaf.dough.refusal import listed
from scaldloaf.dough.scaling import BAKED_PIECES, DOUGH_MASS, Scale, WeighOut
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.ordered import Found, first_of_each
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.scaling import without_noise
from scaldloaf.operations.working.costs import cost_notes, show_cost
from scaldloaf.operations.working.scaling import over_what_is_left, weigh_out_notes

TEXTS = {
    "nothing_ordered": "Nothing is ordered of {formula}.",
    "bake_loss_not_used": (
        "The bake loss of {formula} does not enter: none of its orders is in baked pieces."
    ),
    "packs_not_used": "Packs that are not used: {names}.",
}
_note = NotesOf(TEXTS)

NEAREST, ADDING_UP, UP = "nearest", "adding_up", "up"
ROUNDINGS = {
    (
        "batch_weigh_out",
        NEAREST,
    ): "Lines on the scale of {step} are rounded to its nearest step, half a step up.",
    ("batch_weigh_out", ADDING_UP): (
        "Lines on the scale of {step} are cut to whole steps, and the steps that are missing in the batch "
        "are added to the lines that lost most, so that the batch adds up."
    ),
    ("dusting", NEAREST): (
        "The day's dusting of each formula is rounded to the nearest step of {step}, half a step up, and "
        "to at least one step."
    ),
    ("packs", UP): "Packs are rounded up to the next whole pack.",
}


def notes_on_day(found: Found) -> Iterator[Note]:
    for made in found.demand.productions:
        if made is not None and made.weigh_out is not None:
            yield from weigh_out_notes(made.weigh_out)
    for _, name, _, made in found.made():
        if made is None:
            yield _note("nothing_ordered", formula=name)
    orders = found.asked.orders
    baked = {each.order.recipe for each in orders if each.order.target.kind == BAKED_PIECES}
    for index, name, recipe, made in found.made():
        if made is not None and recipe.losses.loaf_percent and index not in baked:
            yield _note("bake_loss_not_used", formula=name)
    yield from cost_notes(found.cost.ingredients if found.cost else None)
    unused = [pack.ingredient for pack in found.asked.packs or () if pack.ingredient not in found.packed]
    if unused:
        yield _note("packs_not_used", names=listed(unused))


def roundings_of(found: Found, context: Context) -> list[Wire]:
    """Each way in which something was rounded, as data and in words."""
    show, scale = Working(context.units), found.asked.scale
    made = [each for each in found.demand.productions if each is not None]
    ways: dict[tuple[str, str, float | None], None] = {}
    for each in made:
        if scale is not None and each.weigh_out is not None:
            ways |= dict.fromkeys(_of_lines(each.weigh_out, scale))
    if scale is not None and any(each.dusting_weighed_g is not None for each in made):
        ways["dusting", NEAREST, scale.resolution_g] = None
    if found.packed:
        ways["packs", UP, None] = None
    return [
        {
            "of": of,
            "step": None if step_g is None else without_noise(context.units.to_wire(step_g, "mass")),
            "way": way,
            "text": ROUNDINGS[of, way].format(step="" if step_g is None else show.format(step_g, "mass")),
        }
        for of, way, step_g in ways
    ]


def _of_lines(weighed: WeighOut, scale: Scale) -> Iterator[tuple[str, str, float]]:
    """How the lines of a batch were rounded: only those of the coarsest scale among them add up."""
    steps = {line.resolution_g for line in weighed.lines}
    for step_g in (scale.resolution_g, scale.fine_resolution_g):
        if step_g in steps:
            yield "batch_weigh_out", ADDING_UP if step_g == max(steps) else NEAREST, step_g


def show_day(show: Working, found: Found) -> None:
    shown, asked = show.format, found.asked
    alike = Counter(id(each.order) for each in asked.orders)
    for index, each in first_of_each(asked.orders):
        size, more = found.demand.orders[index], alike[id(each.order)] - 1
        target, losses = each.order.target, asked.recipes[each.order.recipe].losses
        count = "" if target.kind == DOUGH_MASS else f"{target.count} × "
        show.step(
            f"Order {each.name}{f' and {more} like it' if more else ''} of {asked.ids[each.order.recipe]}",
            f"{count}{shown(target.mass_g, 'mass')}{over_what_is_left(target, losses)} = "
            f"{shown(size.before.dough_mass_g, 'mass')} in the formula × {shown(size.factor)}",
            size.dough_mass_g,
            "mass",
        )
    for _, name, recipe, made in found.made():
        if made is not None:
            _show_production(show, name, recipe.mixer_capacity_g, made)
    show.step("Total dough", "all formulas added", found.demand.dough_mass_g, "mass")
    for packed in found.packed.values():
        _show_packs(show, packed)
    if found.cost is not None:
        show_cost(show, found.cost.ingredients)


def _show_production(show: Working, name: str, capacity_g: float | None, made: Production) -> None:
    dough = show.format(made.dough_mass_g, "mass")
    show.step(f"Dough of {name}", "its orders added", made.dough_mass_g, "mass")
    if capacity_g is not None:
        capacity = show.format(capacity_g, "mass")
        show.step(f"Batches of {name}", f"{dough} ÷ {capacity}, rounded up", made.batches)
    show.step(f"Batch of {name}", f"{dough} ÷ {made.batches}", made.batch_mass_g, "mass")


def _show_packs(show: Working, packed: Packed) -> None:
    name, used, pack = (
        packed.pack.ingredient,
        show.format(packed.used_g, "mass"),
        show.format(packed.pack.pack_g, "mass"),
    )
    show.step(f"Packs of {name}", f"{used} ÷ {pack}, rounded up", packed.packs)
    show.step(f"Left over of {name}", f"{packed.packs} × {pack} − {used}", packed.left_over_g, "mass")
