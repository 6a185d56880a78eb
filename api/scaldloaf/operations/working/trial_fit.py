"""The steps of a fit."""

from collections.abc import Sequence
from math import sqrt
from typing import cast

from scaldloaf.dough.bake_loss import OPEN_FILL_PERCENT, Lidded, usual_bake_loss_percent
from scaldloaf.dough.bread import PRIORS
from scaldloaf.dough.estimate import NORMAL_90
from scaldloaf.dough.flour import VITAL_GLUTEN
from scaldloaf.dough.limits import (
    BAKE_LOSS_LIDDED_PERCENT,
    BAKE_LOSS_OPEN_PERCENT,
    COOLING_LOSS_PERCENT,
    FULL_PERCENT,
)
from scaldloaf.dough.pan import PanVolume
from scaldloaf.dough.target_bread import BAKE_TO_BAKE_RELATIVE_SD
from scaldloaf.dough.trials import (
    BAKE_LOSS_PRIOR_SD_POINTS,
    BAKE_LOSS_TRIAL_SD_POINTS,
    CROWN_CAP_FRACTION,
    LOG_PRIOR_SDS,
    SHARE_VOLUME_LOSS_PRIOR_SD,
    TRIAL_WATER_LIMIT_POINTS,
    TRIAL_WATER_STEP_POINTS,
    WATER_REACH_POINTS,
    FittedTrial,
    Trial,
    TrialFit,
    WaterBase,
)
from scaldloaf.dough.vectors import SLOPE, WATER
from scaldloaf.dough.volume import (
    SHARE_VOLUME_LOSS,
    SHARE_VOLUME_THRESHOLD_PERCENT,
    Gluten,
    water_curvature,
)
from scaldloaf.operations.measured_bake import Bake, Crowned, Filling
from scaldloaf.operations.steps import Working, bracketed, straight_between
from scaldloaf.operations.working.pan import PanWithRim, rim_expression
from scaldloaf.operations.working.trial_notes import named
from scaldloaf.operations.working.water_optimum import gluten_term, gluten_water

FULL_SLACK = 0.5  # percent of fill: a lidded pan this near to full may have been pressed


def _cooling_expression(show: Working, trial: Trial) -> str | None:
    """A trial's own cooling loss as arithmetic; None: it does not say any."""
    shown = show.format
    if trial.cooling_loss_percent is not None:
        return shown(trial.cooling_loss_percent)
    if trial.oven_mass_g is None or trial.baked_mass_g is None:
        return None
    return (
        f"100 × ({shown(trial.oven_mass_g, 'mass')} − {shown(trial.baked_mass_g, 'mass')}) ÷ "
        f"{shown(trial.dough_mass_g, 'mass')}"
    )


def _loss_expression(show: Working, trial: Trial, cooling_percent: float) -> str | None:
    """A trial's own bake loss as arithmetic; None: the loaf was not weighed."""
    mass_g = trial.baked_mass_g if trial.oven_mass_g is None else trial.oven_mass_g
    if mass_g is None:
        return None
    shown = show.format
    lost = f"100 × (1 − {shown(mass_g, 'mass')} ÷ {shown(trial.dough_mass_g, 'mass')})"
    if trial.oven_mass_g is None:
        cooling = cooling_percent if trial.cooling_loss_percent is None else trial.cooling_loss_percent
        lost += f" − {shown(cooling)}" if cooling else ""
    return lost


def _show_losses(show: Working, bakes: Sequence[Bake], fit: TrialFit, usual_pan: Lidded) -> None:
    """The steps to the bake loss and the cooling loss of the next bake."""
    shown, cooling = show.format, fit.losses.cooling_percent
    measured = [each for bake in bakes if (each := _cooling_expression(show, bake.trial)) is not None]
    if measured:
        show.step(
            "Cooling loss: mean of your own trials",
            f"({' + '.join(measured)}) ÷ {len(measured)}",
            cooling,
            unit="% of dough",
        )
    in_oven = usual_bake_loss_percent(usual_pan)
    if usual_pan.lid is None and FULL_PERCENT < usual_pan.fill_percent < OPEN_FILL_PERCENT:
        ends = (
            (FULL_PERCENT, BAKE_LOSS_LIDDED_PERCENT.value),
            (OPEN_FILL_PERCENT, BAKE_LOSS_OPEN_PERCENT.value),
        )
        expression = straight_between(usual_pan.fill_percent, *ends)
        show.step("Usual bake loss where no lid is known", expression, in_oven, unit="%")
    usual = shown(in_oven)
    if fit.losses.usual_percent > in_oven:
        usual = f"({usual} + {shown(COOLING_LOSS_PERCENT.value)})"
    weighed = [each for bake in bakes if (each := _loss_expression(show, bake.trial, cooling)) is not None]
    losses = "".join(f" + {each}" for each in weighed)
    share = f"({shown(BAKE_LOSS_TRIAL_SD_POINTS)} ÷ {shown(BAKE_LOSS_PRIOR_SD_POINTS)})²"
    show.step(
        "Bake loss: mean of your own trials, drawn to the usual",
        f"({share} × {usual}{losses}) ÷ ({share} + {len(weighed)})",
        fit.calibration.bake_loss_percent,
        unit="% of dough",
    )


def show_bakes(show: Working, bakes: Sequence[Bake], fit: TrialFit, usual_pan: Lidded) -> None:
    """The steps from what was measured to each specific volume.

    Parameters
        show : Working  the steps are added to
        bakes : Sequence[Bake]
        fit : TrialFit  of those bakes, in their order
        usual_pan : Lidded  whose usual bake loss was first expected
    """
    shown = show.format
    _show_losses(show, bakes, fit, usual_pan)
    for index, (bake, reading) in enumerate(zip(bakes, fit.readings, strict=True)):
        name, trial = named(bake, index), bake.trial
        _show_volume(show, name, bake)
        cooling = fit.losses.cooling_percent
        if trial.oven_mass_g is not None:
            mass = show.metric(trial.oven_mass_g, "mass")
        elif trial.baked_mass_g is not None:
            mass = show.metric(trial.baked_mass_g, "mass")
            lost = cooling if trial.cooling_loss_percent is None else trial.cooling_loss_percent
            if lost:
                mass = f"({mass} + {show.metric(trial.dough_mass_g, 'mass')} × {shown(lost)} ÷ 100)"
        else:
            loss = shown(fit.calibration.bake_loss_percent)
            mass = f"({show.metric(trial.dough_mass_g, 'mass')} × (1 − {loss} ÷ 100))"
        show.step(
            f"{name}: specific volume",
            f"{show.metric(trial.loaf_volume_cm3, 'volume')} ÷ {mass}",
            reading.specific_volume,
            unit="cm³/g",
        )


def _show_volume(show: Working, name: str, bake: Bake) -> None:
    """The step to a loaf's volume from what its pan holds; none where it was measured by itself."""
    shown, volume_cm3 = show.format, bake.trial.loaf_volume_cm3
    match bake.asked.volume:
        case Filling(_, fill):
            pan_cm3 = cast("PanVolume", bake.pan).volume_cm3
            show.step(
                f"{name}: loaf volume",
                f"{shown(pan_cm3, 'volume')} × {shown(fill)} ÷ 100",
                volume_cm3,
                "volume",
            )
        case Crowned(pan, height_cm):
            pan_cm3 = cast("PanVolume", bake.pan).volume_cm3
            volume = (
                f"{show.metric(pan_cm3, 'volume')} of pan + {shown(CROWN_CAP_FRACTION.value)} × "
                f"{rim_expression(cast('PanWithRim', pan), show)} of rim × "
                f"{show.metric(height_cm, 'length')} of crown"
            )
            show.step(
                f"{name}: loaf volume, the crown as a cap over the rim",
                show.ending(volume, volume_cm3, "volume"),
                volume_cm3,
                "volume",
            )


def show_fit(show: Working, bakes: Sequence[Bake], fit: TrialFit) -> None:
    """What the fit makes of the bakes, and what it expects of each."""
    shown, calibration = show.format, fit.calibration

    def learned(label: str, index: int, prior: str, value: float, unit: str = "") -> None:
        show.step(
            label,
            f"from {prior} and {_count(len(bakes))}, each weighed by its scatter and its "
            "weight; standard deviation "
            f"{shown(sqrt(calibration.covariance[index][index]))}",
            value,
            unit=unit,
        )

    learned(
        "Logarithm of specific volume without scald",
        0,
        f"ln {shown(PRIORS[fit.crumb].value)} ± {shown(LOG_PRIOR_SDS[fit.crumb])}",
        calibration.log_specific_volume,
    )
    learned(
        "Volume lost per unit of share",
        1,
        f"{shown(SHARE_VOLUME_LOSS.value)} ± {shown(SHARE_VOLUME_LOSS_PRIOR_SD)}",
        calibration.share_volume_loss,
    )
    slope = fit.slope_prior
    learned(
        "Optimum water per point of share",
        2,
        f"{shown(slope.best)} ± {shown((slope.high - slope.low) / (2 * NORMAL_90))}",
        calibration.water_slope,
        unit="points",
    )
    expected = fit.expected_base
    if expected is not None and expected.sd_points:
        learned(
            "Right water at the lowest share",
            3,
            f"{shown(expected.hydration_percent)} ± {shown(expected.sd_points)}",
            cast("WaterBase", fit.base).hydration_percent,
            unit="% of flour",
        )
    show.step(
        "Scatter from bake to bake",
        f"the likeliest, from the usual {shown(100 * BAKE_TO_BAKE_RELATIVE_SD.value)} % and "
        f"{_count(len(bakes))}",
        calibration.spread_percent,
        unit="%",
    )
    for index, (bake, reading) in enumerate(zip(bakes, fit.readings, strict=True)):
        _show_expected(show, named(bake, index), fit, bake.trial, reading)


def _show_expected(show: Working, name: str, fit: TrialFit, trial: Trial, reading: FittedTrial) -> None:
    """The steps to the volume that the fit expects of a bake."""
    shown, calibration = show.format, fit.calibration
    share, off = trial.share_percent, reading.off_optimum_points
    expected = f"e^({shown(calibration.log_specific_volume)}) without scald"
    lost = trial.lost_percent
    if trial.gluten_percent:
        gluten = Gluten(trial.gluten_percent)
        show.step(
            f"{name}: gluten lost, of the flour's",
            f"{shown(share)} − {shown(gluten.percent)} × {shown(VITAL_GLUTEN.protein_percent)} ÷ "
            f"{shown(gluten.flour_protein_percent)}",
            lost,
            unit="%",
        )
    if lost > SHARE_VOLUME_THRESHOLD_PERCENT:
        expected += (
            f" × (1 − {bracketed(shown(calibration.share_volume_loss))} × ({shown(lost)} − "
            f"{shown(SHARE_VOLUME_THRESHOLD_PERCENT)}) ÷ 100) for the share"
        )
    if off is not None:
        water = cast("float", trial.flour_hydration_percent)
        if trial.gluten_percent:
            stated = cast("float", trial.hydration_percent)
            show.step(
                f"{name}: hydration without what its vital gluten takes",
                f"{shown(stated)} − {gluten_water(show, trial.gluten_percent)}",
                water,
                unit="% of flour",
            )
        show_off(show, f"{name}: hydration off the optimum", fit, share, water)
        points, note = shown(off), "for the water"
        if abs(off) > WATER_REACH_POINTS:
            points = f"({shown(TRIAL_WATER_LIMIT_POINTS)} + {shown(TRIAL_WATER_STEP_POINTS)})"
            note = "for the water, at most that far off"
        expected += f" × e^(−{shown(water_curvature(off).value)} × ({points} ÷ 100)²) {note}"
    expected += (
        f" × {show.metric(trial.dough_mass_g, 'mass')} × "
        f"(1 − {shown(calibration.bake_loss_percent)} ÷ 100) of bread"
    )
    show.step(
        f"{name}: volume expected",
        show.ending(expected, reading.predicted_volume_cm3, "volume"),
        reading.predicted_volume_cm3,
        "volume",
    )


def show_own_water(
    show: Working,
    fit: TrialFit,
    share_percent: float,
    gluten_percent: float,
    own_percent: float,
    hydration_percent: float,
) -> None:
    """The steps from the baker's own water to the one used, which is the nearest to it that may suit.

    Parameters
        show : Working
        fit : TrialFit
        share_percent : float  [% of total flour] of the next bake
        gluten_percent : float  [% of flour] its vital gluten
        own_percent : float  [% of flour] the own water moved to that share
        hydration_percent : float  [% of flour] the one used
    """
    shown, own = show.format, cast("WaterBase", fit.own)
    slope = bracketed(shown(fit.calibration.water_slope))
    show.step(
        "Next bake: your own water, moved to its share",
        f"{shown(own.hydration_percent)} + {slope} × ({shown(share_percent)} − {shown(own.share_percent)})"
        f"{gluten_term(show, gluten_percent)}",
        own_percent,
        unit="% of flour",
    )
    if hydration_percent == own_percent:
        return
    base, covariance = cast("WaterBase", fit.base), fit.calibration.covariance
    way = f"({shown(share_percent)} − {shown(base.share_percent)})"
    spread = (
        f"√({shown(covariance[WATER][WATER])} + 2 × {way} × {bracketed(shown(covariance[WATER][SLOPE]))} + "
        f"{way}² × {shown(covariance[SLOPE][SLOPE])})"
    )
    sign = "−" if hydration_percent > own_percent else "+"
    show.step(
        "Next bake: the water nearest to it that may suit",
        f"{shown(base.hydration_percent)} + {slope} × {way} {sign} {shown(NORMAL_90)} × {spread}"
        f"{gluten_term(show, gluten_percent)}",
        hydration_percent,
        unit="% of flour",
    )


def show_off(
    show: Working,
    label: str,
    fit: TrialFit,
    share_percent: float,
    hydration_percent: float,
    gluten_percent: float = 0.0,
) -> None:
    """The step to a hydration less the optimum at its share and its vital gluten.

    Parameters
        show : Working  the steps are added to
        label : str
        fit : TrialFit
        share_percent : float  [% of flour] scalded
        hydration_percent : float  [% of flour]
        gluten_percent : float  [% of flour]
    """
    shown, base = show.format, cast("WaterBase", fit.base)
    show.step(
        label,
        f"{shown(hydration_percent)} − ({shown(base.hydration_percent)} + "
        f"{bracketed(shown(fit.calibration.water_slope))} × ({shown(share_percent)} − "
        f"{shown(base.share_percent)}){gluten_term(show, gluten_percent)})",
        fit.off_optimum_points(share_percent, hydration_percent, gluten_percent),
        unit="points",
    )


def _count(trials: int) -> str:
    return f"{trials} trial" + ("s" if trials != 1 else "")
