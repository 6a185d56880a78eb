"""The steps from a pan and what is known of the bread to the dough that fills it."""

from math import exp
from typing import cast

from scaldloaf.dough.bake_loss import OPEN_FILL_PERCENT
from scaldloaf.dough.bread import PRIORS
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import VITAL_GLUTEN
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT, BAKE_LOSS_OPEN_PERCENT, FULL_PERCENT
from scaldloaf.dough.pan_fill import RATIOS_SEEN
from scaldloaf.dough.target_bread import Known
from scaldloaf.dough.volume import SHARE_VOLUME_THRESHOLD_PERCENT, Gluten, lost_percent, water_curvature
from scaldloaf.operations.filled_pan import FilledPan
from scaldloaf.operations.notes import Note, Said, Value
from scaldloaf.operations.steps import Working, bracketed, straight_between
from scaldloaf.operations.wire.bread import OwnPanRatio, OwnSpecificVolume, Prior, ReferenceLoaf
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
    _show_loss(show, pan)
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


def _show_loss(show: Working, pan: FilledPan) -> None:
    """The step to a bake loss between that of a lidded and of an open pan."""
    best, lidded, open_top = (
        pan.bread.bake_loss_percent.best,
        BAKE_LOSS_LIDDED_PERCENT.value,
        BAKE_LOSS_OPEN_PERCENT.value,
    )
    rises = FULL_PERCENT < pan.fill_percent < OPEN_FILL_PERCENT and pan.wanted.pan.lid is None
    if rises and any(note.code == "lid_unsaid" for note in pan.bread.notes):
        ends = (FULL_PERCENT, lidded), (OPEN_FILL_PERCENT, open_top)
        expression = straight_between(pan.fill_percent, *ends)
        show.step("Bake loss where no lid is known", expression, best, unit="% of dough")


def fill_notes(pan: FilledPan) -> list[Note]:
    """Where the pan ratio is among those seen, and a loaf that would lift its lid."""
    ratio = pan.filled.pan_ratio.best
    names = [name for name, row in RATIOS_SEEN.items() if row.low <= ratio <= row.high]
    kinds = " and ".join(KINDS_SEEN[name] for name in names)
    place = f"as for {kinds}" if names else "like none of these"
    values: dict[str, Value] = {"ratio": ratio, "place": Said(", ".join(names), place)}
    for name, row in RATIOS_SEEN.items():
        values[f"{name}_low"], values[f"{name}_high"] = row.low, row.high
    notes = [Note("pan_ratios_seen", TEXTS["pan_ratios_seen"], values)]
    if pan.wanted.pan.lid and pan.fill_percent >= FULL_PERCENT + LEAST_ABOVE_PERCENT:
        notes.append(Note("lid_above_full", TEXTS["lid_above_full"], {"fill": pan.fill_percent}))
    return notes


LEAST_ABOVE_PERCENT = 0.1  # of fill: nobody sees less of a loaf above its rim
KINDS_SEEN = {
    "lidded_japanese": "lidded tins in Japan",
    "lidded_us": "lidded tins in the USA",
    "open_wholesale": "open wholesale loaves",
    "open_home": "open loaves at home",
    "open_shallow": "shallow British tins",
}
TEXTS = {
    "pan_ratios_seen": (
        "Pan ratio {ratio:.3g} cm³/g, {place}. Seen: lidded in Japan {lidded_japanese_low:g} to "
        "{lidded_japanese_high:g}, in the USA {lidded_us_low:g} to {lidded_us_high:g}; open, wholesale "
        "{open_wholesale_low:g} to {open_wholesale_high:g}, at home {open_home_low:g} to {open_home_high:g}; "
        "shallow British {open_shallow_low:g} to {open_shallow_high:g}."
    ),
    "lid_above_full": (
        "A loaf in a lidded pan cannot grow beyond it: at a fill of {fill:g} % it presses against the lid. "
        "Fill it less."
    ),
}


def _show_start(show: Working, pan: FilledPan) -> None:
    """The step that says what was known before the move."""
    shown, bread = show.format, pan.bread
    match pan.known:
        case ReferenceLoaf(dough_g, loaf_volume_cm3):
            reference = pan.reference
            if reference is not None:
                if pan.known.pan is not None:
                    show_pan(show, reference.pan, reference.volume, "Reference loaf: pan volume")
                loaf_volume_cm3 = reference.loaf_volume_cm3
                show.step(
                    "Reference loaf: loaf volume",
                    f"{shown(reference.volume.volume_cm3, 'volume')} × {shown(reference.fill_percent)} ÷ 100",
                    loaf_volume_cm3,
                    "volume",
                )
            loaf = show.metric(cast("float", loaf_volume_cm3), "volume")
            dough = show.metric(dough_g, "mass")
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
            crumb = pan.known.crumb
            show.step(
                "Specific volume without scald, of other bakers' loaves",
                f"{shown(PRIORS[crumb].value)} cm³/g",
                bread.start,
                unit="cm³/g",
            )


def _show_factors(show: Working, pan: FilledPan) -> None:
    shown, bread = show.format, pan.bread
    at = Known(0.0, 0.0, 0.0) if isinstance(pan.known, Calibration | Prior) else pan.known.known
    loss, threshold = bracketed(shown(bread.share_volume_loss)), shown(SHARE_VOLUME_THRESHOLD_PERCENT)

    def factor(which: str, share: float, gluten: Gluten, value: float) -> None:
        lost = lost_percent(share, gluten)
        if gluten.percent:
            show.step(
                f"Gluten lost at the {which} share, of the flour's",
                f"{shown(share)} − {shown(gluten.percent)} × {shown(VITAL_GLUTEN.protein_percent)} ÷ "
                f"{shown(gluten.flour_protein_percent)}",
                lost,
                unit="%",
            )
        show.step(
            f"Volume factor at the {which} share",
            f"1 − {loss} × ({shown(lost)} − {threshold}) ÷ 100"
            if lost > SHARE_VOLUME_THRESHOLD_PERCENT
            else f"1, as {shown(lost)} % is not above {threshold} %",
            value,
        )

    def water(label: str, points: float, value: float) -> None:
        curvature = shown(water_curvature(points).value)
        show.step(label, f"e^(−{curvature} × ({shown(points)} ÷ 100)²)", value)

    if bread.share_factor != bread.start_share_factor or isinstance(pan.known, Calibration | Prior):
        gluten = pan.wanted.gluten
        factor("target", bread.share_percent or 0.0, gluten, bread.share_factor)
        if bread.start_share_factor != 1:
            had = gluten if at.gluten_percent is None else gluten._replace(percent=at.gluten_percent)
            known_share = bread.share_percent if at.share_percent is None else at.share_percent
            factor("known", cast("float", known_share), had, bread.start_share_factor)
    if bread.water_factor != bread.start_water_factor:
        water("Volume factor of the target water", pan.wanted.off_optimum_points, bread.water_factor)
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
    show.step("Specific volume of the target bread", expression, bread.specific_volume.best, unit="cm³/g")
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
