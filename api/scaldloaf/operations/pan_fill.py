"""pan-fill: from a pan and what the baker knows of the bread, the dough that fills it."""

from collections.abc import Mapping
from typing import NamedTuple, cast

from scaldloaf.dough import notes as craft
from scaldloaf.dough.bake_loss import Lidded
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import (
    flour_protein_percent,
    gluten_percent_of,
    other_flour_share,
)
from scaldloaf.dough.formula import Breakdown, Formula, break_down, scaled
from scaldloaf.dough.pan import Pan, pan_volume
from scaldloaf.dough.pan_fill import fill_pan
from scaldloaf.dough.target_bread import Wanted
from scaldloaf.dough.volume import NO_GLUTEN, Gluten
from scaldloaf.dough.water_notes import notes_on_other_flour
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.filled_pan import FilledPan, bread_of, reference_pan, write_fill
from scaldloaf.operations.lantern_quay import FOUR_TRIALS, LIDDED_TIN, OPEN_TIN, TIN_LOAF, TIN_LOAF_BAKED
from scaldloaf.operations.located import located
from scaldloaf.operations.notes import AnyNote, NotesOf
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.pan_fill import PanFillRequest
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.bread import KnownBread, ReferenceLoaf, ask_bread, read_bread
from scaldloaf.operations.wire.formulas import (
    ask_formula,
    check_size,
    in_percent,
    read_formula,
    write_formula,
)
from scaldloaf.operations.wire.pans import ask_pan, pan_basis, read_pan
from scaldloaf.operations.wire.requests import ask_units, without_defaults
from scaldloaf.operations.working.formula import formula_notes
from scaldloaf.operations.working.pan_fill import fill_notes, show_fill

SAME_SHARE_POINTS = 0.05  # a formula's share may differ by rounding from the one wanted
SAME_SIZE = 0.01  # so may a loaf's volume from the reference loaf's

PLACES: Mapping[str, str] = {
    "wanted.share_percent": "scalded_share_percent",
    "wanted.bake_loss_percent": "bake_loss_percent",
    "wanted.cooling_loss_percent": "cooling_loss_percent",
    "wanted.off_optimum_points": "hydration_off_optimum_points",
    "bread.share_percent": "bread.scalded_share_percent",
    "bread.off_optimum_points": "bread.hydration_off_optimum_points",
}
TEXTS = {
    "another_loaf_size": (
        "The target loaf has another size than the reference loaf, so part of the change in dough is "
        "due to the size and not the bread."
    ),
    "formula_share_differs": (
        "The formula has {formula:.3g} % of its flour scalded and is only scaled here; the dough mass "
        "is for {wanted:.3g} %. Change its share first with hydration-correction."
    ),
}
_note = NotesOf(TEXTS)


class AskedFormula(NamedTuple):
    """A formula to be scaled to the pans.

    by_percent: it came in percent only. breakdown: the formula's, where it is known.
    """

    formula: Formula
    by_percent: bool
    breakdown: Breakdown | None = None


class Asked(NamedTuple):
    """Pans to fill, what is known of the bread, and the bread wanted.

    wanted.share_percent None: the formula's share, or that of the known loaf. gluten_percent None: the
    formula's. most_mass_g: the largest mass that a request could bring back.
    """

    pan: Pan
    bread: KnownBread
    wanted: Wanted
    fill_percent: float
    pans: int
    formula: AskedFormula | None
    most_mass_g: float
    gluten_percent: float | None = None


class Filling(NamedTuple):
    """A formula that was scaled to the pans: its breakdown before, the factor, and both after."""

    before: Breakdown
    factor: float
    formula: Formula
    after: Breakdown


class Found(NamedTuple):
    """The dough for one pan and for all of them (total_g), and the formula scaled to that."""

    asked: Asked
    pan: FilledPan
    total_g: Estimate
    filling: Filling | None


def read(request: Wire, context: Context) -> Asked:
    request = PanFillRequest.filled(request)
    formula = None
    if "formula" in request:
        wire = request["formula"]
        formula = AskedFormula(read_formula(wire, context), in_percent(wire))
    wanted = Wanted(
        request.get("scalded_share_percent"),
        request["hydration_off_optimum_points"],
        request.get("bake_loss_percent"),
        request.get("cooling_loss_percent"),
        Lidded(request.get("lid"), request["fill_percent"]),
    )
    return Asked(
        pan=read_pan(request["pan"], context),
        bread=read_bread(request["bread"], context),
        wanted=wanted,
        fill_percent=request["fill_percent"],
        pans=request["pans"],
        formula=formula,
        most_mass_g=context.most_mass_g,
        gluten_percent=request.get("gluten_percent"),
    )


def ask(asked: Asked, context: Context) -> Wire:
    """The request that ``read`` reads as ``asked``."""
    formula, wanted = asked.formula, asked.wanted
    return ask_units(context) | without_defaults(
        PanFillRequest,
        pan=ask_pan(asked.pan, context),
        bread=ask_bread(asked.bread, context),
        formula=formula and ask_formula(formula.formula, context, formula.by_percent),
        fill_percent=asked.fill_percent,
        pans=asked.pans,
        scalded_share_percent=wanted.share_percent,
        hydration_off_optimum_points=wanted.off_optimum_points,
        bake_loss_percent=wanted.bake_loss_percent,
        lid=wanted.pan.lid,
        gluten_percent=asked.gluten_percent,
        cooling_loss_percent=wanted.cooling_loss_percent,
    )


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    with located("pan"):
        volume = pan_volume(asked.pan)
    wanted, before = asked.wanted, None
    if asked.gluten_percent is not None:
        wanted = wanted._replace(gluten=Gluten(asked.gluten_percent))
    if asked.formula is not None:
        formula = asked.formula.formula
        before = asked.formula.breakdown or break_down(formula)
        if wanted.share_percent is None:
            wanted = wanted._replace(share_percent=before.scalded_share_percent)
        percent = asked.gluten_percent
        if percent is None:
            percent = gluten_percent_of(formula, before.flour_g)
        gluten = Gluten(percent, flour_protein_percent(formula)) if percent else NO_GLUTEN
        wanted = wanted._replace(gluten=gluten, other_flour_share=other_flour_share(formula))
    reference = reference_pan(asked.bread, asked.pan)
    bread = bread_of(asked.bread, wanted, asked.fill_percent, reference)
    filled = fill_pan(volume.volume_cm3, asked.fill_percent, bread)
    total = filled.dough_mass_g.map(lambda mass: mass * asked.pans)
    filling = None
    if asked.formula is not None and before is not None:
        filling = _fill(asked.formula.formula, before, total.best, asked)
    pan = FilledPan(asked.pan, volume, asked.fill_percent, asked.bread, wanted, bread, filled, reference)
    return Found(asked, pan, total, filling)


def _fill(formula: Formula, before: Breakdown, total_g: float, asked: Asked) -> Filling:
    factor = total_g / before.dough_mass_g
    filling = scaled(formula, factor)
    check_size(filling, total_g, asked.most_mass_g, "pans", asked.pans, None)
    return Filling(before, factor, filling, break_down(filling))


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    asked, filling = found.asked, found.filling
    answer = {
        **write_fill(found.pan, context),
        "pans": asked.pans,
        "total_dough_mass": context.estimate(found.total_g, "mass"),
        "scalded_share_percent": found.pan.bread.share_percent,
    }
    if isinstance(asked.bread, ReferenceLoaf):
        reference = asked.bread.dough_g
        answer["against_reference_loaf"] = {
            "dough_mass": context.estimate(
                found.pan.filled.dough_mass_g.map(lambda mass: mass - reference), "mass"
            ),
            "percent": context.estimate(
                found.pan.filled.dough_mass_g.map(lambda mass: 100 * (mass / reference - 1))
            ),
        }
    codes = [*cautions.OF_PAN]
    if asked.formula is not None and filling is not None:
        answer["formula"] = write_formula(filling.formula, context, filling.after)
        codes = [*cautions.of_formula(asked.formula.formula), *codes]
    return context.reply(
        answer,
        lambda show: _show(show, found),
        basis=(*pan_basis(asked.pan), *found.pan.bread.basis),
        cautions=codes,
        notes=_notes(found),
    )


def _notes(found: Found) -> list[AnyNote]:
    asked, wanted, filling = found.asked, found.pan.wanted.share_percent, found.filling
    pan = found.pan
    notes: list[AnyNote] = [*pan.volume.notes, *pan.bread.notes, *fill_notes(pan)]
    if asked.formula is not None:
        notes += notes_on_other_flour(asked.formula.formula)
    if pan.bread.lost.percent > pan.bread.start_lost.percent:
        notes.append(craft.Note("volume_falls_with_share"))
    if isinstance(asked.bread, ReferenceLoaf):
        reference = found.pan.reference
        known_cm3 = asked.bread.loaf_volume_cm3 if reference is None else reference.loaf_volume_cm3
        size = found.pan.filled.loaf_volume_cm3 / cast("float", known_cm3)
        if abs(size - 1) > SAME_SIZE:
            notes.append(_note("another_loaf_size"))
    if asked.formula is not None and filling is not None and wanted is not None:
        notes += formula_notes(asked.formula.by_percent, filling.before, asked.formula.formula)
        share = filling.before.scalded_share_percent
        if abs(share - wanted) > SAME_SHARE_POINTS:
            notes.append(_note("formula_share_differs", formula=share, wanted=wanted))
    return notes


def _show(show: Working, found: Found) -> None:
    shown, asked, total = show.format, found.asked, found.total_g.best
    show_fill(show, found.pan)
    if asked.pans > 1:
        show.step(
            "Dough for all pans",
            f"{asked.pans} × {shown(found.pan.filled.dough_mass_g.best, 'mass')}",
            total,
            "mass",
        )
    if found.filling:
        before = shown(found.filling.before.dough_mass_g, "mass")
        show.step("Formula times", f"{shown(total, 'mass')} ÷ {before}", found.filling.factor)


PAN_FILL = Operation(
    name="pan-fill",
    summary="Calculate the dough for a pan",
    description="The volume of a pan of any shape, and the dough that fills it. Based on your own "
    "reference loaf, specific volume, pan ratio or calibration, or else on typical loaves.",
    request=PanFillRequest,
    read=read,
    compute=compute,
    write=write,
    places=lambda asked, context: PLACES,
    examples=(
        Example(
            "reference_loaf",
            "The Lantern Quay tin, from 20 to 35 % scalded, by one measured loaf",
            {
                "pan": LIDDED_TIN,
                "bread": TIN_LOAF_BAKED,
                "scalded_share_percent": 35,
                "pans": 6,
            },
        ),
        Example(
            "just_filled_another_tin",
            "Last time 480 g at 20 % just filled a longer tin; tonight this one, at 35 %",
            {
                "pan": LIDDED_TIN,
                "bread": {
                    "kind": "reference_loaf",
                    "dough_mass": 480,
                    "fill_percent": 100,
                    "pan": {"kind": "box", "length": 20.5, "width": 9.5, "depth": 9.5},
                    "scalded_share_percent": 20,
                },
                "scalded_share_percent": 35,
            },
        ),
        Example(
            "prior_with_formula",
            "A flared tin in inches, nothing known of the bread, formula scaled",
            {
                "units": {"length": "in", "volume": "in3"},
                "pan": OPEN_TIN,
                "bread": {"kind": "prior"},
                "fill_percent": 150,
                "formula": TIN_LOAF,
            },
        ),
        Example(
            "pan_ratio_by_water",
            "A pan measured with water, dough by a pan ratio",
            {
                "pan": {"kind": "water_fill", "mass": 1702, "temperature": 18},
                "bread": {"kind": "pan_ratio", "pan_ratio": 3.9, "scalded_share_percent": 20},
                "scalded_share_percent": 30,
                "bake_loss_percent": 11,
            },
        ),
        Example(
            "calibration",
            "By what four trials have taught",
            {
                "pan": {"kind": "volume", "volume": 1750},
                "bread": {
                    "kind": "calibration",
                    "calibration": FOUR_TRIALS,
                },
                "scalded_share_percent": 30,
                "fill_percent": 97,
            },
        ),
    ),
)
