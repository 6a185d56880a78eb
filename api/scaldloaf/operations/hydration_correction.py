"""hydration-correction: another scalded share or another flour, dough mass held, water at the optimum."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.crumb_moisture import CRUMB_MOISTURE_PER_HYDRATION_POINT
from scaldloaf.dough.flour import FLOUR_REFERENCE_MOISTURE_PERCENT, GLUTEN_WATER_RATIO, FlourChange
from scaldloaf.dough.formula import Formula
from scaldloaf.dough.hydration import Correction, correct_hydration
from scaldloaf.dough.per_flour import Change
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.water_judged import BY_NOTHING
from scaldloaf.dough.water_rule import (
    PRIOR_SLOPE,
    SCALD_WATER_CAPACITY,
    SCALD_WATER_SLOPE,
    OwnSlope,
    OwnTable,
    WaterRule,
)
from scaldloaf.operations import cautions
from scaldloaf.operations.breakdown import percentages_of
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.notes import AnyNote, Note, Said
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import hydration_correction as schema
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.calibration import read_calibration, write_calibration
from scaldloaf.operations.wire.formulas import (
    advice_on,
    ask_formula,
    in_percent,
    nearest_ingredients,
    read_formula,
    write_formula,
)
from scaldloaf.operations.wire.requests import ask_units, without_defaults
from scaldloaf.operations.working.formula import formula_notes
from scaldloaf.operations.working.hydration_correction import (
    show_balance,
    show_gluten,
    show_outcome,
)
from scaldloaf.operations.working.water_optimum import show_optimum
from scaldloaf.reference import INGREDIENTS, Ingredient, coefficient

PLACES: Mapping[str, str] = {
    "change.share_percent": "scalded_share_percent",
    "change.liquid_ratio": "scald_liquid_ratio",
    "change": "",
    "water_rule": "water_curve",
}
_MOISTURES = ("moisture_percent", "base_moisture_percent")
TEXTS = {
    "moisture_assumed": "{flour} is assumed to have {moisture:g} % moisture, as no other figure is given."
}


class AskedFlour(NamedTuple):
    """Another flour. given: the names of the moistures that were given and not assumed."""

    change: FlourChange
    given: tuple[str, ...]


class Asked(NamedTuple):
    """A formula (by_percent: it came in percent only) and what to move it to.

    table: the baker's own of water by share; it beats the slope of the calibration, and that the prior's.
    bake_loss_percent None: the usual one of a lidded pan.
    """

    formula: Formula
    by_percent: bool
    adjust_with: Ingredient
    change: Change
    table: OwnTable | None = None
    calibration: Calibration | None = None
    flour: AskedFlour | None = None
    bake_loss_percent: float | None = None

    @property
    def water_rule(self) -> WaterRule:
        """How the optimum water moves with the share."""
        if self.table is not None:
            return self.table
        return PRIOR_SLOPE if self.calibration is None else OwnSlope.of(self.calibration)

    @property
    def flour_change(self) -> FlourChange | None:
        return self.flour and self.flour.change


class Found(NamedTuple):
    """The formula corrected, and the rule by which its water moved."""

    asked: Asked
    water_rule: WaterRule
    correction: Correction


# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    """Also of the request of another operation that has the same fields."""
    filled = schema.HydrationCorrectionRequest.filled(request)
    formula = read_formula(request["formula"], context)
    flour = _read_flour(request.get("flour"))
    calibration = read_calibration(request["calibration"]) if "calibration" in request else None
    adjusting = read_adjusting(filled["adjust_with"], formula)
    table = _read_table(request["water_curve"]) if "water_curve" in request else None
    liquids = request.get("scald_liquids")
    change = Change(
        request.get("scalded_share_percent"),
        request.get("scald_liquid_ratio"),
        request.get("hydration_percent"),
        filled["hold"],
        None if liquids is None else tuple(liquids),
        request.get("gluten_percent"),
    )
    return Asked(
        formula=formula,
        by_percent=in_percent(request["formula"]),
        adjust_with=adjusting,
        change=change,
        table=table,
        calibration=calibration,
        flour=flour,
        bake_loss_percent=request.get("bake_loss_percent"),
    )


def read_adjusting(name: str, formula: Formula) -> Ingredient:
    """The adjusting ingredient: the formula's of that name (it may be an own one), or the catalogue's."""
    for line in formula.lines:
        if line.ingredient.name == name:
            return line.ingredient
    if name not in INGREDIENTS:
        close = nearest_ingredients(name)
        raise Refusal(
            "adjust_with",
            "unknown_ingredient",
            "neither a line of the formula nor in the catalogue: " + advice_on(close),
            given=name,
            nearest=close[0] if close else "water",
            amounts={"names": ", ".join(close)} if close else {},
        )
    return INGREDIENTS[name]


def _read_flour(wire: Wire | None) -> AskedFlour | None:
    """The new flour of a request. Raises Refusal for one absorption without the other."""
    if not wire:
        return None
    new, base = wire.get("absorption_percent"), wire.get("base_absorption_percent")
    if (new is None) is not (base is None):
        missing = "absorption_percent" if new is None else "base_absorption_percent"
        raise Refusal(
            f"flour.{missing}",
            "missing",
            "the difference between the two flours counts, so both absorptions are needed, or neither",
            nearest=base if new is None else new,
        )
    given = tuple(name for name in _MOISTURES if name in wire)
    return AskedFlour(FlourChange(**schema.FlourChange.filled(wire)), given)


def _read_table(wire: list[Wire]) -> OwnTable:
    with located(points="water_curve"):
        return OwnTable.of((point["scalded_share_percent"], point["hydration_percent"]) for point in wire)


def ask(asked: Asked, context: Context) -> Wire:
    """The request that ``read`` reads as ``asked``."""
    change, calibration = asked.change, asked.calibration
    return (
        ask_units(context)
        | without_defaults(
            schema.HydrationCorrectionRequest,
            formula=ask_formula(asked.formula, context, asked.by_percent),
            scalded_share_percent=change.share_percent,
            scald_liquid_ratio=change.liquid_ratio,
            hydration_percent=change.hydration_percent,
            hold=change.hold,
            scald_liquids=change.scald_liquids and list(change.scald_liquids),
            adjust_with=asked.adjust_with.name,
            water_curve=asked.table and _ask_table(asked.table),
            calibration=calibration and write_calibration(calibration),
            flour=asked.flour and _ask_flour(asked.flour),
            gluten_percent=change.gluten_percent,
        )
        | ({} if asked.bake_loss_percent is None else {"bake_loss_percent": asked.bake_loss_percent})
    )


def _ask_table(table: OwnTable) -> list[Wire]:
    return [
        {"scalded_share_percent": share, "hydration_percent": hydration} for share, hydration in table.points
    ]


def _ask_flour(flour: AskedFlour) -> Wire:
    fields = flour.change._asdict()
    return {
        name: value
        for name, value in fields.items()
        if value is not None and (name in flour.given or name not in _MOISTURES)
    }


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    rule = asked.water_rule
    correction = correct_hydration(
        asked.formula, asked.adjust_with, asked.change, rule, asked.flour_change, asked.bake_loss_percent
    )
    return Found(asked, rule, correction)


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    correction = found.correction
    moisture = correction.loaf_moisture_percent[0] + correction.crumb_moisture_change_points.best
    return context.reply(
        {
            "formula": write_formula(correction.formula, context, correction.after),
            "dough_mass": context.units.to_wire(correction.after.dough_mass_g, "mass"),
            "before": percentages_of(correction.before),
            "after": percentages_of(correction.after),
            "hydration_percent": correction.hydration_percent,
            "optimum_hydration_percent": context.estimate(correction.optimum),
            **write_assessment(correction, context),
            **_write_off_trials(correction),
            "gluten_to_make_up": _write_gluten(correction, context),
            "crumb_moisture_change_points": context.estimate(correction.crumb_moisture_change_points),
        },
        lambda show: _show(show, found),
        basis=basis_of(correction, found.water_rule, found.asked.flour_change),
        cautions=[*cautions.of_formula(correction.formula), *cautions.of_loaf(moisture)],
        notes=_notes(found),
    )


def write_assessment(correction: Correction, context: Context) -> Wire:
    """How the water is judged, on the wire."""
    judged = correction.judged
    return {
        "assessment": correction.assessment,
        "uncertain": correction.uncertain,
        "judged_by": BY_NOTHING if judged is None else judged.by,
        "judged_against": None if judged is None else context.estimate(judged.against),
    }


def _write_off_trials(correction: Correction) -> Wire:
    before, after = correction.off_trials_points
    if before is None or after is None:
        return {}
    return {"off_trials_points": {"before": before, "after": after}}


def _write_gluten(correction: Correction, context: Context) -> Wire:
    mass_g, out = correction.gluten_to_make_up_g, context.units.to_wire
    return {
        "mass": out(mass_g, "mass"),
        "percent": 100 * mass_g / correction.after.flour_g,
        "water": out(mass_g * GLUTEN_WATER_RATIO.value, "mass"),
    }


def _notes(found: Found) -> Iterator[AnyNote]:
    yield from formula_notes(found.asked.by_percent, found.correction.before, found.asked.formula)
    yield from found.correction.notes
    flour = found.asked.flour
    if flour is not None and len(flour.given) == 1:
        which = (
            Said("base", "The flour the formula was made for")
            if flour.given == _MOISTURES[:1]
            else Said("new", "The new flour")
        )
        moisture = FLOUR_REFERENCE_MOISTURE_PERCENT
        yield Note("moisture_assumed", TEXTS["moisture_assumed"], {"flour": which, "moisture": moisture})


def _show(show: Working, found: Found) -> None:
    asked, correction = found.asked, found.correction
    shown, before = show.format, correction.before
    show.step(
        "Hydration as it was",
        f"100 × {shown(before.water_g, 'mass')} of water ÷ {shown(before.flour_g, 'mass')} of flour",
        before.hydration_percent,
        unit="% of flour",
    )
    show_optimum(show, correction, found.water_rule, asked.flour_change, asked.formula)
    if asked.change.hydration_percent is not None:
        show.step("Hydration used", "as asked for", correction.hydration_percent, unit="% of flour")
    show_balance(show, correction, asked.formula, asked.change.hold)
    show_gluten(show, correction, asked.formula)
    show_outcome(show, correction, asked.formula, asked.flour_change, found.water_rule)


def basis_of(correction: Correction, rule: WaterRule, flour: FlourChange | None) -> list[str]:
    """Sources that a correction rests on."""
    basis = ["mass_balance"]
    if rule is PRIOR_SLOPE:
        basis += (*SCALD_WATER_SLOPE.sources, *SCALD_WATER_CAPACITY.sources)
    if flour is not None:
        basis += coefficient("flour_reference_moisture_percent").sources
    return [*basis, *coefficient("under_watered_points").sources, *CRUMB_MOISTURE_PER_HYDRATION_POINT.sources]


HYDRATION_CORRECTION = Operation(
    name="hydration-correction",
    summary="Change the scalded share or the flour, and correct the water",
    description="Dough mass (or flour mass, see `hold`) and all other baker's percentages stay the "
    "same. Water moves to the optimum. Refused when the scald would need more liquid than "
    "the formula has.",
    request=schema.HydrationCorrectionRequest,
    read=read,
    compute=compute,
    write=write,
    places=lambda asked, context: PLACES,
    examples=(
        Example(
            "share_20_to_35",
            "The Lantern Quay tin loaf, from 20 to 35 % of its flour scalded",
            {"formula": TIN_LOAF, "scalded_share_percent": 35, "hold": "dough_mass"},
        ),
        Example(
            "milk_in_the_scald",
            "A cooked roux of 1:5, which needs some of the milk as well",
            {
                "formula": TIN_LOAF,
                "scalded_share_percent": 14,
                "scald_liquid_ratio": 5,
                "scald_liquids": ["water", "whole_milk"],
            },
        ),
        Example(
            "another_flour",
            "The same share with a drier and stronger flour",
            {
                "formula": TIN_LOAF,
                "flour": {
                    "moisture_percent": 12.5,
                    "base_moisture_percent": 14,
                    "absorption_percent": 64,
                    "base_absorption_percent": 61,
                },
            },
        ),
        Example(
            "own_table",
            "Water by your own table",
            {
                "formula": TIN_LOAF,
                "scalded_share_percent": 30,
                "water_curve": [
                    {"scalded_share_percent": 0, "hydration_percent": 61},
                    {"scalded_share_percent": 20, "hydration_percent": 66.5},
                    {"scalded_share_percent": 40, "hydration_percent": 73},
                ],
            },
        ),
    ),
)
