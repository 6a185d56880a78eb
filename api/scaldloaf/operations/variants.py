"""variants: one formula at several shares, waters, sugars or pans side by side.

Each variant is a chain of the single calls, so its figures are theirs. One that can't be made has its
problem, and the others are answered.
"""

from collections.abc import Iterator
from functools import partial

from scaldloaf.dough.estimate import Estimate, exactly
from scaldloaf.dough.formula import break_down
from scaldloaf.dough.per_flour import HOLD_DOUGH, HOLD_FLOUR, Change
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.sucrose import with_sucrose
from scaldloaf.dough.together import weigh_together
from scaldloaf.dough.trials.proof import proof_minutes_at
from scaldloaf.operations import cautions, chain, planned
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.faults import Fault, Tries, refusal_fault, with_options, with_workable_nearest
from scaldloaf.operations.lantern_quay import SIDE_BY_SIDE, SWEETER_OR_NOT
from scaldloaf.operations.located import located
from scaldloaf.operations.notes import AnyNote, WrittenNote, written_note
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.explain import schema_faults
from scaldloaf.operations.schemas.json_schema import gate
from scaldloaf.operations.schemas.variants import HOLD_PAN, MOST_LINES, VariantsRequest
from scaldloaf.operations.side_by_side import Asked, AskedVariant, Found, Made
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.bread import ReferenceLoaf
from scaldloaf.operations.wire.pans import read_pan
from scaldloaf.operations.wire.prices import read_prices
from scaldloaf.operations.wire.proof import read_proof
from scaldloaf.operations.wire.variants import (
    ask_plan,
    same_for_all,
    variants_table,
    write_differences,
    write_figures,
    write_together,
)
from scaldloaf.operations.working.loaf_plan import notes_on_bread
from scaldloaf.operations.working.variants import notes_on_all, notes_on_one, show_variants
from scaldloaf.units import units_of

# What is a variant's own even where it leaves it out: a refusal of it is always at the variant.
OWN = (
    "scalded_share_percent",
    "hydration_percent",
    "scald_liquid_ratio",
    "gluten_percent",
    "sucrose_percent",
    "dough_mass",
)

# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    lines, count = len(request["formula"]["lines"]), len(request["variants"])
    if lines * count > MOST_LINES:
        raise Refusal(
            "variants",
            "too_many_lines",
            "{lines} lines for each of {variants} variants are more than one request may have; {most} in all",
            amounts={"lines": (lines, None), "variants": (count, None), "most": (MOST_LINES, None)},
        )
    filled = VariantsRequest.filled(request)
    base = chain.read(request, filled, context)
    names = [line.ingredient.name for line in base.correction.formula.lines]
    base = base._replace(prices=read_prices(request, context, names))
    bread = base.filling.bread
    if isinstance(bread, ReferenceLoaf) and bread.fill_percent is not None and bread.pan is None:
        # A variant in another pan says nothing new of the known loaf.
        base = base._replace(filling=base.filling._replace(bread=bread._replace(pan=base.filling.pan)))
    variants: list[AskedVariant] = []
    for index, wire in enumerate(request["variants"]):
        if any(wire["name"] == each.name for each in variants):
            raise Refusal(
                f"variants.{index}.name",
                "named_twice",
                "another variant already has this name; each needs its own",
                given=wire["name"],
            )
        variants.append(_read_variant(wire, filled["hold"], base, context))
    proof = read_proof(request["proof"]) if "proof" in request else None
    return Asked(base, tuple(variants), request, proof)


def _read_variant(wire: Wire, hold_of_all: str, base: planned.Asked, context: Context) -> AskedVariant:
    hold = wire.get("hold", hold_of_all)
    change = Change(
        wire.get("scalded_share_percent"),
        wire.get("scald_liquid_ratio"),
        wire.get("hydration_percent"),
        HOLD_FLOUR if hold == HOLD_FLOUR else HOLD_DOUGH,
        base.correction.change.scald_liquids,
        wire.get("gluten_percent"),
    )
    filling = base.filling
    if "pan" in wire:
        filling = filling._replace(pan=read_pan(wire["pan"], context))
    return AskedVariant(
        name=wire["name"],
        plan=base._replace(correction=base.correction._replace(change=change), filling=filling),
        hold=hold,
        sucrose_percent=wire.get("sucrose_percent"),
        dough_g=context.from_wire(wire.get("dough_mass"), "mass"),
        own_pan="pan" in wire,
    )


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    found = tuple(_make_or_refuse(asked, index) for index in range(len(asked.variants)))
    made = [each for each in found if isinstance(each, Made)]
    refused = [each for each in found if isinstance(each, Refusal)]
    if not made and not any(each.argument.startswith("variants.") for each in refused):
        raise refused[0]  # none of their own making
    together = weigh_together(
        [each.plan.scaled.scaling.formula for each in made],
        [each.plan.scaled.weighed for each in made],
        asked.base.scale.scale,
    )
    return Found(asked, found, together)


def _make_or_refuse(asked: Asked, index: int) -> Made | Refusal:
    """A variant, or the refusal of it at its place in the request."""
    places = {field: f"variants.{index}.{field}" for field in OWN}
    if asked.variants[index].own_pan:
        places["pan"] = f"variants.{index}.pan"
    try:
        with located(**places):
            made = _make(asked.variants[index])
    except Refusal as refusal:
        return refusal
    if asked.proof is None:
        return made
    return made._replace(proof_minutes=proof_minutes_at(asked.proof, made.plan.share_percent))


def _make(variant: AskedVariant) -> Made:
    plan, given = variant.plan, variant.plan.correction.formula
    breakdown = break_down(given)
    if variant.sucrose_percent is not None:
        hold = plan.correction.change.hold
        sweetened = with_sucrose(given, breakdown, variant.sucrose_percent, hold)
        plan = plan._replace(correction=plan.correction._replace(formula=sweetened))
    corrected = chain.correct(plan)
    filled = chain.fill(plan, corrected)
    filling, pans = filled.filling, plan.filling.pans
    assert filling is not None  # the chain fills its pans with a formula
    formula, before = corrected.correction.formula, corrected.correction.after
    dough: Estimate
    if variant.dough_g is not None:
        dough, total_g = exactly(variant.dough_g), variant.dough_g * pans
    elif variant.hold == HOLD_PAN:
        dough, total_g = filled.pan.filled.dough_mass_g, filled.total_g.best
        formula, before = filling.formula, filling.after
    else:
        total_g = breakdown.dough_mass_g if variant.hold == HOLD_DOUGH else before.dough_mass_g
        dough = exactly(total_g / pans)
    scaled = chain.scale(plan, formula, before, total_g)
    mixed = scaled.scaling.formula
    fed, tempered = chain.feed(plan, mixed, filled.pan.bread), chain.temper(plan, mixed)
    prepared = chain.prepare(plan, mixed, corrected.correction)
    return Made(
        variant, planned.Found(plan, corrected, filled, scaled, fed, tempered, prepared), dough, total_g
    )


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    rows: list[Wire] = []
    parts: list[Wire] = []
    notes: list[list[WrittenNote]] = []
    of_parts = Context(context.units, context.full, figures_only=True)
    for index, each in enumerate(found.variants):
        if isinstance(each, Refusal):
            name = found.asked.variants[index].name
            rows.append({"name": name, "problem": _problem(each, found.asked, index, context)})
            continue
        of_calls = chain.write_parts(each.plan, of_parts)
        parts += of_calls.values()
        rows.append(write_figures(each, of_calls, context))
        rows[-1]["request"] = ask_plan(found.asked.request, index, each, context)
        if context.full:
            notes.append(_notes_of(each, of_calls, context))
    answered = [row for row in rows if "problem" not in row]
    if context.full:
        for row, own in zip(answered, notes, strict=True):
            row["notes"] = [note for note in own if not all(note in every for every in notes)]
    answer = {
        "variants": rows,
        "same": same_for_all(answered),
        "differences": [write_differences(answered[0], row) for row in answered[1:]],
        "weigh_out": write_together(found, context),
    }
    codes = chain.cautions_of(parts)
    if len(answered) > 1:
        codes = cautions.in_order([*codes, "allergen_contact"])
    return context.reply(
        answer,
        lambda show: show_variants(show, found),
        basis=chain.basis_of(parts) if context.full else (),
        cautions=codes,
        notes=_notes(found, notes),
    )


def _notes_of(made: Made, parts: dict[str, Wire], context: Context) -> list[WrittenNote]:
    """All there is to know of one variant."""
    show = Working(context.units)
    own = [written_note(note, show) for note in (*notes_on_bread(made.plan), *notes_on_one(made))]
    of_parts = (note for part in parts.values() for note in part["notes"])
    return list({(note["code"], note["text"]): note for note in (*own, *of_parts)}.values())


def _notes(found: Found, of_each: list[list[WrittenNote]]) -> Iterator[AnyNote]:
    """What is to be known of the whole, then of every variant alike."""
    yield from notes_on_all(found)
    for note in of_each[0] if of_each else ():
        if all(note in every for every in of_each):
            yield note


def _problem(refusal: Refusal, asked: Asked, index: int, context: Context) -> Wire:
    """Why a variant can't be made, with the nearest values and the ways out that work."""
    tries = Tries(asked.request, partial(_faults_of, index))
    examples = [example.body for example in VARIANTS.examples]
    faults = with_workable_nearest([_fault(refusal, asked, context)], tries, examples)
    (fault,) = with_options(faults, tries)
    detail = f"{fault.pointer}: {fault.detail}" if fault.pointer else fault.detail
    return {"detail": detail, "errors": [fault.as_wire()]}


def _fault(refusal: Refusal, asked: Asked, context: Context) -> Fault:
    try:
        with located.lazily(chain.places, asked.base, context):
            raise refusal
    except Refusal as placed:
        return refusal_fault(placed, context.units)


def _faults_of(index: int, request: Wire) -> list[Fault]:
    """The faults of one variant in a request that may have others."""
    if not gate(VariantsRequest).is_valid(request):
        return schema_faults(VariantsRequest, request)
    context = Context(units_of(**request.get("units", {})), False)
    try:
        asked = read(request, context)
    except Refusal as refusal:
        return [refusal_fault(refusal, context.units)]
    found = _make_or_refuse(asked, index)
    return [_fault(found, asked, context)] if isinstance(found, Refusal) else []


VARIANTS = Operation(
    name="variants",
    summary="Compare variants of a formula side by side",
    description="One formula, and up to twelve variants that change its scalded share, water, scald "
    "ratio, sugar, gluten, pan or dough, with one rule for what stays the same. Each "
    "figure is that of the single call, including how far the starch of the scald swells "
    "and what it costs. Also what is the same for all, the differences from the first, and "
    "one weigh-out with the scalds and the common dry mix made once. A variant that can't "
    "be made has its problem; the others still get answers.",
    request=VariantsRequest,
    read=read,
    compute=compute,
    write=write,
    places=lambda asked, context: chain.places(asked.base, context),
    tables={"variants": variants_table},
    examples=(
        Example(
            "three_shares_one_tin",
            "The Lantern Quay tin loaf at 20, 30 and 35 % scalded, the same tin filled",
            SIDE_BY_SIDE,
        ),
        Example(
            "sweeter_or_not",
            "Two sugars and a stiffer scald at the same dough mass, with costs",
            SWEETER_OR_NOT,
        ),
    ),
)
