"""pan-fill: from a pan and what the baker knows of the bread, the dough that fills it."""

from math import exp

from scaldloaf.dough.bread import (
    SPECIFIC_VOLUME_PRIOR,
    Bread,
    Known,
    Wanted,
    bread_from_calibration,
    bread_from_pan_ratio,
    bread_from_prior,
    bread_from_reference_loaf,
    bread_from_specific_volume,
)
from scaldloaf.dough.formula import break_down, scaled
from scaldloaf.dough.limits import FULL_PERCENT
from scaldloaf.dough.pan import Pan, PanVolume
from scaldloaf.dough.pan_fill import PanFill, fill_pan
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.volume import SHARE_VOLUME_THRESHOLD_PERCENT, WATER_VOLUME_CURVATURE
from scaldloaf.operations.context import Context
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import pan_fill as schema
from scaldloaf.operations.wire.calibration import read_calibration
from scaldloaf.operations.wire.formulas import (
    check_size,
    formula_cautions,
    formula_notes,
    read_formula,
    write_formula,
)
from scaldloaf.operations.wire.pans import pan_basis, read_pan_volume, show_pan
from scaldloaf.operations.working.steps import Working, bracketed

SAME_SHARE_POINTS = 0.05  # a formula's share may differ by rounding from the one wanted
SAME_SIZE = 0.01  # so may a loaf's volume from the reference loaf's


# Where the bread's figures stand in a request.
_WANTED_AT = {
    "wanted.share_percent": "scalded_share_percent",
    "wanted.bake_loss_percent": "bake_loss_percent",
    "wanted.off_optimum_points": "hydration_off_optimum_points",
}
_KNOWN_AT = {
    "known.share_percent": "bread.scalded_share_percent",
    "known.off_optimum_points": "bread.hydration_off_optimum_points",
}


def read_bread(wire: dict, wanted: Wanted, fill_percent: float, context: Context) -> Bread:
    """The Bread of a request that its schema accepted, whichever of the five ways it is known."""
    if wire["kind"] in ("calibration", "prior"):
        _require_share(wanted)
    with located("bread", **_WANTED_AT, **_KNOWN_AT):
        return _read_bread(wire, wanted, fill_percent, context)


def _read_bread(wire: dict, wanted: Wanted, fill_percent: float, context: Context) -> Bread:
    known = Known(wire.get("scalded_share_percent"), wire.get("hydration_off_optimum_points", 0.0))
    match wire["kind"]:
        case "specific_volume":
            return bread_from_specific_volume(wire["specific_volume"], wanted, known)
        case "reference_loaf":
            units = context.units
            return bread_from_reference_loaf(
                units.from_wire(wire["dough_mass"], "mass"),
                units.from_wire(wire["loaf_volume"], "volume"),
                wanted,
                known,
                wire.get("bake_loss_percent"),
            )
        case "pan_ratio":
            found_at = wire.get("fill_percent", fill_percent)
            return bread_from_pan_ratio(wire["pan_ratio"], wanted, known, found_at)
        case "calibration":
            return bread_from_calibration(read_calibration(wire["calibration"]), wanted)
        case _:
            return bread_from_prior(wanted)


def _require_share(wanted: Wanted) -> None:
    if wanted.share_percent is None:
        raise Refusal(
            "scalded_share_percent",
            "missing",
            "this bread is known for any share, so the share is needed: give scalded_share_percent "
            "(0 for none), or a formula to take it from",
            nearest=0,
        )


def read_wanted(request: dict, share_percent: float | None) -> Wanted:
    """The bread a filled request wants; the share is its own, or else ``share_percent``."""
    return Wanted(
        request.get("scalded_share_percent", share_percent),
        request["hydration_off_optimum_points"],
        request.get("bake_loss_percent"),
        request["fill_percent"] > FULL_PERCENT,
    )


def write_fill(pan_volume_cm3: float, filled: PanFill, bread: Bread, context: Context) -> dict:
    """The filled pan on the wire."""
    out = context.units.to_wire
    return {
        "pan_volume": out(pan_volume_cm3, "volume"),
        "loaf_volume": out(filled.loaf_volume_cm3, "volume"),
        "specific_volume": context.estimate(bread.specific_volume),
        "bake_loss_percent": context.estimate(bread.bake_loss_percent),
        "dough_mass": context.estimate(filled.dough_mass_g, "mass"),
        "baked_mass": context.estimate(filled.baked_mass_g, "mass"),
        "pan_ratio": context.estimate(filled.pan_ratio),
    }


def _show_start(show: Working, wire: dict, bread: Bread, fill_percent: float) -> None:
    """The step that says what was known before the move."""
    shown, units = show.format, show.units
    match wire["kind"]:
        case "reference_loaf":
            loaf = show.metric(units.from_wire(wire["loaf_volume"], "volume"), "volume")
            dough = show.metric(units.from_wire(wire["dough_mass"], "mass"), "mass")
            show.step("Reference loaf: volume per g of dough", f"{loaf} ÷ {dough}", bread.start, unit="cm³/g")
        case "pan_ratio":
            show.step(
                "Loaf volume per g of dough where the ratio was found",
                f"{shown(wire['pan_ratio'])} × {shown(wire.get('fill_percent', fill_percent))} ÷ 100",
                bread.start,
                unit="cm³/g",
            )
        case "specific_volume":
            show.step("Specific volume known", "as given", bread.start, unit="cm³/g")
        case "calibration":
            logarithm = wire["calibration"]["log_specific_volume"]
            show.step(
                "Specific volume without scald, from your trials",
                f"e^({shown(logarithm)})",
                bread.start,
                unit="cm³/g",
            )
        case _:
            show.step(
                "Specific volume without scald, of other bakers' loaves",
                f"{shown(SPECIFIC_VOLUME_PRIOR.value)} cm³/g",
                bread.start,
                unit="cm³/g",
            )


def _show_factors(show: Working, wire: dict, bread: Bread, wanted: Wanted) -> None:
    shown = show.format
    loss, threshold = bracketed(shown(bread.share_volume_loss)), shown(SHARE_VOLUME_THRESHOLD_PERCENT)

    def factor(label: str, share: float, value: float) -> None:
        over = share - SHARE_VOLUME_THRESHOLD_PERCENT
        show.step(
            label,
            f"1 − {loss} × ({shown(share)} − {threshold}) ÷ 100"
            if over > 0
            else f"1, as {shown(share)} % is not above {threshold} %",
            value,
        )

    def water(label: str, points: float, value: float) -> None:
        show.step(label, f"1 − {shown(WATER_VOLUME_CURVATURE.value)} × ({shown(points)} ÷ 100)²", value)

    if bread.share_factor != bread.start_share_factor or wire["kind"] in ("calibration", "prior"):
        factor("Volume factor at the wanted share", bread.share_percent or 0.0, bread.share_factor)
        if bread.start_share_factor != 1:
            factor(
                "Volume factor at the known share", wire["scalded_share_percent"], bread.start_share_factor
            )
    if bread.water_factor != bread.start_water_factor:
        water("Volume factor of the wanted water", wanted.off_optimum_points, bread.water_factor)
        water(
            "Volume factor of the known water",
            wire.get("hydration_off_optimum_points", 0.0),
            bread.start_water_factor,
        )


def _show_bread(show: Working, wire: dict, bread: Bread, wanted: Wanted, fill_percent: float) -> None:
    shown = show.format
    _show_start(show, wire, bread, fill_percent)
    _show_factors(show, wire, bread, wanted)
    kept = f"(1 − {shown(bread.bake_loss_percent.best)} ÷ 100)"
    expression = shown(bread.start)
    if bread.share_factor != bread.start_share_factor:
        expression += f" × {shown(bread.share_factor)}"
        if bread.start_share_factor != 1:
            expression += f" ÷ {shown(bread.start_share_factor)}"
    if bread.water_factor != bread.start_water_factor:
        expression += f" × {shown(bread.water_factor)} ÷ {shown(bread.start_water_factor)}"
    if bread.start_is_per_dough:
        before = bread.start_bake_loss_percent
        expression += f" ÷ (1 − {shown(bread.bake_loss_percent.best if before is None else before)} ÷ 100)"
    show.step("Specific volume of the bread wanted", expression, bread.specific_volume.best, unit="cm³/g")
    show.step(
        "Loaf volume per g of dough",
        f"{shown(bread.specific_volume.best)} × {kept}",
        bread.loaf_per_dough.best,
        unit="cm³/g",
    )


def _show_doubt(show: Working, bread: Bread, filled: PanFill) -> None:
    """How wide the band of the dough mass is, and why."""

    def percent(half: float) -> float:
        return 100 * (exp(half) - 1)

    causes = " + ".join(
        f"ln(1 + {show.format(percent(doubt.down))} %)² ({doubt.cause})" for doubt in bread.doubts
    )
    show.step(
        "How much more dough it may take",
        f"100 × (e^√({causes}) − 1)",
        percent_above(filled.dough_mass_g),
        unit="% of the best value",
    )


def show_fill(
    show: Working,
    pan: Pan,
    held: PanVolume,
    fill_percent: float,
    wire: dict,
    bread: Bread,
    wanted: Wanted,
    filled: PanFill,
) -> None:
    """The steps from the pan and what is known of the bread (``wire``, as in the request) to the dough."""
    shown = show.format
    show_pan(show, pan, held)
    show.step(
        "Loaf volume",
        f"{shown(held.volume_cm3, 'volume')} × {shown(fill_percent)} ÷ 100",
        filled.loaf_volume_cm3,
        "volume",
    )
    _show_bread(show, wire, bread, wanted, fill_percent)
    dough = filled.dough_mass_g.best
    show.step(
        "Dough for one pan",
        show.ending(
            f"{show.metric(filled.loaf_volume_cm3, 'volume')} ÷ {shown(bread.loaf_per_dough.best)} cm³/g",
            dough,
            "mass",
        ),
        dough,
        "mass",
    )
    show.step(
        "Pan ratio",
        f"{shown(bread.loaf_per_dough.best)} × 100 ÷ {shown(fill_percent)}",
        filled.pan_ratio.best,
        unit="cm³/g",
    )
    _show_doubt(show, bread, filled)


def percent_above(estimate) -> float:
    """How far the upper end of an estimate lies above its best value, percent."""
    return 100 * (estimate.high / estimate.best - 1)


def run(request: dict, context: Context) -> dict:
    request = schema.PanFillRequest.filled(request)
    pan, held = read_pan_volume(request["pan"], context)
    formula = read_formula(request["formula"], context) if "formula" in request else None
    seen = break_down(formula) if formula else None
    fill_percent = request["fill_percent"]
    wanted = read_wanted(request, seen.scalded_share_percent if seen else None)
    known = schema.KnownBread.filled(request["bread"])
    bread = read_bread(known, wanted, fill_percent, context)
    filled = fill_pan(held.volume_cm3, fill_percent, bread)
    pans = request["pans"]
    total = filled.dough_mass_g.map(lambda mass: mass * pans)

    answer = {
        **write_fill(held.volume_cm3, filled, bread, context),
        "pans": pans,
        "total_dough_mass": context.estimate(total, "mass"),
        "scalded_share_percent": bread.share_percent,
    }
    notes = [*held.notes, *bread.notes]
    if known["kind"] == "reference_loaf":
        reference = context.units.from_wire(known["dough_mass"], "mass")
        answer["against_reference_loaf"] = {
            "dough_mass": context.estimate(filled.dough_mass_g.map(lambda mass: mass - reference), "mass"),
            "percent": context.estimate(filled.dough_mass_g.map(lambda mass: 100 * (mass / reference - 1))),
        }
        if (
            abs(filled.loaf_volume_cm3 / context.units.from_wire(known["loaf_volume"], "volume") - 1)
            > SAME_SIZE
        ):
            notes.append(
                (
                    "another_loaf_size",
                    "The loaf wanted is not the size of the reference loaf, so part of the change in "
                    "dough is the size and not the bread.",
                )
            )
    cautions = ["overfilled_pan", "hot_pan", "net_weight"]
    if formula:
        factor = total.best / seen.dough_mass_g
        filling = scaled(formula, factor)
        check_size(filling, total.best, context, "pans", pans)
        answer["formula"] = write_formula(filling, context)
        cautions = [*formula_cautions(formula), *cautions]
        notes += formula_notes(request["formula"], seen)
        if abs(seen.scalded_share_percent - wanted.share_percent) > SAME_SHARE_POINTS:
            notes.append(
                (
                    "formula_share_differs",
                    f"The formula has {seen.scalded_share_percent:.3g} % of its flour scalded and is "
                    f"only scaled here; the dough mass is for {wanted.share_percent:.3g} %. Move its "
                    "share first with hydration-correction.",
                )
            )

    def working(show: Working) -> None:
        shown = show.format
        show_fill(show, pan, held, fill_percent, known, bread, wanted, filled)
        if pans > 1:
            show.step(
                "Dough for all pans",
                f"{pans} × {shown(filled.dough_mass_g.best, 'mass')}",
                total.best,
                "mass",
            )
        if formula:
            show.step(
                "Formula times", f"{shown(total.best, 'mass')} ÷ {shown(seen.dough_mass_g, 'mass')}", factor
            )

    return context.reply(
        answer, working, basis=(*pan_basis(pan), *bread.basis), cautions=cautions, notes=notes
    )


PAN_FILL = Operation(
    name="pan-fill",
    summary="Dough that fills a pan",
    description="Pan volume of any shape, and the dough that fills it, by the baker's own reference loaf, "
    "specific volume, pan ratio or calibration, or else by what other bakers' loaves do.",
    request=schema.PanFillRequest,
    run=run,
    examples=(
        Example(
            "reference_loaf",
            "The Lantern Quay tin, from 20 to 35 % scalded, by one measured loaf",
            {
                "pan": {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5},
                "bread": {
                    "kind": "reference_loaf",
                    "dough_mass": 440,
                    "loaf_volume": 1714.75,
                    "bake_loss_percent": 10.5,
                    "scalded_share_percent": 20,
                },
                "scalded_share_percent": 35,
                "pans": 6,
            },
        ),
        Example(
            "prior_with_formula",
            "A flared tin in inches, nothing known of the bread, formula scaled",
            {
                "units": {"length": "in", "volume": "in3"},
                "pan": {
                    "kind": "tapered",
                    "top_length": 8.5,
                    "top_width": 4.5,
                    "base_length": 7.5,
                    "base_width": 3.5,
                    "depth": 2.75,
                },
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
                    "calibration": {
                        "version": 1,
                        "log_specific_volume": 1.42,
                        "share_volume_loss": 0.31,
                        "water_slope": 0.27,
                        "covariance": [[0.0006, 0.0012, 0], [0.0012, 0.006, 0], [0, 0, 0.004]],
                        "bake_loss_percent": 10.4,
                        "bake_loss_sd_percent": 0.7,
                        "spread_percent": 1.5,
                        "trials": 4,
                    },
                },
                "scalded_share_percent": 30,
                "fill_percent": 97,
            },
        ),
    ),
)
