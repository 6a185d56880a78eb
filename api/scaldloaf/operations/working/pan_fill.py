"""The steps from a pan and what is known of the bread to the dough that fills it."""

from math import exp
from typing import cast

from scaldloaf.dough.bread import SPECIFIC_VOLUME_PRIOR, Known
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.volume import SHARE_VOLUME_THRESHOLD_PERCENT, WATER_VOLUME_CURVATURE
from scaldloaf.operations.filled_pan import FilledPan
from scaldloaf.operations.steps import Working, bracketed
from scaldloaf.operations.wire.bread import OwnPanRatio, OwnSpecificVolume, ReferenceLoaf
from scaldloaf.operations.working.pan import show_pan


def show_fill(show: Working, pan: FilledPan) -> None:
    """The steps from the pan and what is known of the bread to the dough."""
    shown, bread, filled = show.format, pan.bread, pan.filled
    show_pan(show, pan.pan, pan.volume)
    show.step(
        "Loaf volume",
        f"{shown(pan.volume.volume_cm3, 'volume')} × {shown(pan.fill_percent)} ÷ 100",
        filled.loaf_volume_cm3,
        "volume",
    )
    _show_bread(show, pan)
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
    kept = f"1 − {shown(bread.bake_loss_percent.best)} ÷ 100"
    if bread.cooling_loss_percent.best:
        kept += f" − {shown(bread.cooling_loss_percent.best)} ÷ 100"
    show.step(
        "Loaf when it has cooled",
        f"{shown(dough, 'mass')} × ({kept})",
        filled.baked_mass_g.best,
        "mass",
    )
    show.step(
        "Pan ratio",
        f"{shown(bread.loaf_per_dough.best)} × 100 ÷ {shown(pan.fill_percent)}",
        filled.pan_ratio.best,
        unit="cm³/g",
    )
    _show_doubt(show, pan)


def _show_start(show: Working, pan: FilledPan) -> None:
    """The step that says what was known before the move."""
    shown, bread = show.format, pan.bread
    match pan.known:
        case ReferenceLoaf(dough_g, loaf_volume_cm3, _, _):
            loaf, dough = show.metric(loaf_volume_cm3, "volume"), show.metric(dough_g, "mass")
            show.step("Reference loaf: volume per g of dough", f"{loaf} ÷ {dough}", bread.start, unit="cm³/g")
        case OwnPanRatio(ratio, _, fill):
            show.step(
                "Loaf volume per g of dough where the ratio was found",
                f"{shown(ratio)} × {shown(pan.fill_percent if fill is None else fill)} ÷ 100",
                bread.start,
                unit="cm³/g",
            )
        case OwnSpecificVolume():
            show.step("Specific volume known", "as given", pan.known.specific_volume, unit="cm³/g")
            if bread.cooling_loss_percent.best:
                oven = f"1 − {shown(bread.bake_loss_percent.best)} ÷ 100"
                show.step(
                    "The same at the oven's mouth",
                    f"{shown(pan.known.specific_volume)} × "
                    f"({oven} − {shown(bread.cooling_loss_percent.best)} ÷ 100) ÷ ({oven})",
                    bread.start,
                    unit="cm³/g",
                )
        case Calibration():
            logarithm = pan.known.log_specific_volume
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


def _show_factors(show: Working, pan: FilledPan) -> None:
    shown, bread = show.format, pan.bread
    at = Known(0.0) if isinstance(pan.known, Calibration | None) else pan.known.known
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

    if bread.share_factor != bread.start_share_factor or isinstance(pan.known, Calibration | None):
        factor("Volume factor at the wanted share", bread.share_percent or 0.0, bread.share_factor)
        if bread.start_share_factor != 1:
            factor(
                "Volume factor at the known share", cast("float", at.share_percent), bread.start_share_factor
            )
    if bread.water_factor != bread.start_water_factor:
        water("Volume factor of the wanted water", pan.wanted.off_optimum_points, bread.water_factor)
        water("Volume factor of the known water", at.off_optimum_points, bread.start_water_factor)


def _show_bread(show: Working, pan: FilledPan) -> None:
    shown, bread = show.format, pan.bread
    _show_start(show, pan)
    _show_factors(show, pan)
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


def _show_doubt(show: Working, pan: FilledPan) -> None:
    """How wide the band of the dough mass is, and why."""

    def percent(half: float) -> float:
        return 100 * (exp(half) - 1)

    causes = " + ".join(
        f"ln(1 + {show.format(percent(doubt.down))} %)² ({doubt.cause})" for doubt in pan.bread.doubts
    )
    show.step(
        "How much more dough it may take",
        f"100 × (e^√({causes}) − 1)",
        _percent_above(pan.filled.dough_mass_g),
        unit="% of the best value",
    )


def _percent_above(estimate: Estimate) -> float:
    """How far the upper end of an estimate lies above its best value, percent."""
    return 100 * (estimate.high / estimate.best - 1)
