"""The fit of trials: the posterior against scipy and a grid, unsound bakes, proof time, refusals."""

import random
from dataclasses import replace
from math import exp, hypot, log, pi, sqrt

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, optimize, stats

from scaldloaf.dough.bake_loss import Lidded
from scaldloaf.dough.bread import bread_from_calibration
from scaldloaf.dough.calibration import check_calibration, predict_log_specific_volume
from scaldloaf.dough.flour import VITAL_GLUTEN
from scaldloaf.dough.loaf_limits import SMALLEST_LOAF_CM3
from scaldloaf.dough.pan import Box, KnownVolume, Oval, Round, Tapered, WaterFill
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.target_bread import Wanted
from scaldloaf.dough.trials import (
    ProofTime,
    Trial,
    WaterBase,
    crown_volume_cm3,
    fit_trials,
    lessons,
    proof_time,
    rim_area_cm2,
)
from scaldloaf.dough.trials.bakes import lowest_trial, usual_base
from scaldloaf.dough.trials.model import Model
from scaldloaf.dough.trials.posterior import LOG_SPREAD_SD, posterior_of
from scaldloaf.dough.trials.unsound import UNSOUND_BAKE_CHANCE, UNSOUND_BAKE_RELATIVE_SD
from scaldloaf.dough.water_rule import water_slope_at

DOUGH = 450.0


def trial(share: float, specific_volume: float, hydration: float | None = None, **more) -> Trial:
    """A bake of 450 g with a loss of 10 %, which the fit assumes when the loaf was not weighed."""
    return Trial(share, DOUGH, specific_volume * DOUGH * 0.9, hydration_percent=hydration, **more)


ONE = [trial(20, 4.4)]
TWO_SHARES = [trial(10, 4.5), trial(35, 3.7)]
WATERS = [trial(0, 4.4, 64), trial(30, 4.0, 69), trial(30, 3.75, 74), trial(30, 3.85, 72)]
DRY = [trial(10, 4.3, 65), trial(40, 3.1, 65)]
SLIP = [trial(20, 4.4), trial(20, 4.35), trial(35, 4.0), trial(20, 3.2), trial(0, 4.5)]
DISAGREE = [trial(20, 4.4), trial(20, 3.4)]
SETS = {
    "one": ONE,
    "two_shares": TWO_SHARES,
    "waters": WATERS,
    "dry": DRY,
    "slip": SLIP,
    "disagree": DISAGREE,
}


def model_of(trials, base=None, ratio=1.0):
    base = base or lowest_trial(trials)
    return Model.of(trials, base, water_slope_at(ratio), 10.0), base


def predicted(parameters, trials, base):
    """The model written a second time, on arrays of (level, loss, slope)."""
    level, loss, slope = parameters
    means = []
    for each in trials:
        mean = level + numpy.log(1 - loss * max(0.0, each.share_percent - 5) / 100)
        if each.hydration_percent is not None:
            right = base.hydration_percent + slope * (each.share_percent - base.share_percent)
            off = each.hydration_percent - right
            mean = mean - numpy.where(off < 0, 25, 15) * (off / 100) ** 2
        means.append(mean)
    return means


def measured(trials):
    return [log(each.loaf_volume_cm3 / (each.dough_mass_g * 0.9)) for each in trials]


def curvature_sd(off):
    """What the curvature's doubt makes of the volume at a distance from the optimum, points."""
    width = (50 - 8) if off < 0 else (35 - 4)
    return width / 2 / 1.645 * (off / 100) ** 2


def noise(trials, base, slope, spread=0.015, own_off=0.0):
    """Standard deviation of each trial: measuring, bake to bake, the curvature's doubt off the optimum."""
    found = []
    for each in trials:
        off = 0.0
        if each.hydration_percent is not None:
            off = (
                each.hydration_percent
                - base.hydration_percent
                - slope * (each.share_percent - base.share_percent)
            )
        found.append(hypot(each.volume_relative_sd, spread, curvature_sd(off) - curvature_sd(own_off)))
    return found


PRIOR = (log(4.3), 0.40, 0.27)
PRIOR_SD = (0.12, 0.25, (0.40 - 0.15) / 2 / 1.645)


# The posterior


@pytest.mark.parametrize("name", SETS)
def test_without_unsound_bakes_the_mode_and_its_curvature_are_scipys(name):
    trials = SETS[name]
    model, base = model_of(trials)
    ours = posterior_of(model, unsound_chance=0.0, spread=0.015)
    sd = noise(trials, base, ours.mean[2])

    def residuals(parameters):
        prior = [
            (value - centre) / width for value, centre, width in zip(parameters, PRIOR, PRIOR_SD, strict=True)
        ]
        return prior + [
            (seen - mean) / width
            for seen, mean, width in zip(
                measured(trials), predicted(parameters, trials, base), sd, strict=True
            )
        ]

    found = optimize.least_squares(residuals, PRIOR, xtol=1e-14, ftol=1e-14, gtol=1e-14, x_scale=PRIOR_SD)
    assert ours.mean[:3] == pytest.approx(tuple(found.x), abs=2e-6)
    assert numpy.array(ours.covariance)[:3, :3] == pytest.approx(
        numpy.linalg.inv(found.jac.T @ found.jac), rel=2e-3, abs=1e-7
    )


def grid_posterior(trials, base, slope_for_noise):
    """Mean, standard deviations and soundness by brute force: every set of unknowns on a fine grid, each
    bake sound or unsound."""
    axes = [
        numpy.linspace(centre - 4.5 * sd, centre + 4.5 * sd, steps)
        for centre, sd, steps in zip(PRIOR, PRIOR_SD, (121, 101, 61), strict=True)
    ]
    level, loss, slope = numpy.meshgrid(*axes, indexing="ij", sparse=True)
    log_density = sum(
        -(((value - centre) / sd) ** 2) / 2
        for value, centre, sd in zip((level, loss, slope), PRIOR, PRIOR_SD, strict=True)
    )
    unsound = []
    for seen, mean, sd in zip(
        measured(trials),
        predicted((level, loss, slope), trials, base),
        noise(trials, base, slope_for_noise),
        strict=True,
    ):
        good = (1 - UNSOUND_BAKE_CHANCE) * stats.norm.pdf(seen, mean, sd)
        bad = UNSOUND_BAKE_CHANCE * stats.norm.pdf(seen, mean, hypot(sd, UNSOUND_BAKE_RELATIVE_SD))
        log_density = log_density + numpy.log(good + bad)
        unsound.append(bad / (good + bad))
    density = numpy.exp(log_density - log_density.max())
    density /= density.sum()
    mean = [float((density * value).sum()) for value in (level, loss, slope)]
    sd = [
        sqrt(float((density * (value - centre) ** 2).sum()))
        for value, centre in zip((level, loss, slope), mean, strict=True)
    ]
    return mean, sd, [1 - float((density * share).sum()) for share in unsound]


@pytest.mark.parametrize("name", SETS)
def test_posterior_against_a_grid(name):
    trials = SETS[name]
    model, base = model_of(trials)
    ours = posterior_of(model, spread=0.015)
    mean, sd, soundness = grid_posterior(trials, base, ours.mean[2])
    for index in range(3):
        # The mode of the tangent model against the mean of the bent one: a fifth of the doubt at most.
        assert ours.mean[index] == pytest.approx(mean[index], abs=0.2 * sd[index])
        assert sqrt(ours.covariance[index][index]) == pytest.approx(sd[index], rel=0.15)
    assert ours.soundness == pytest.approx(soundness, abs=0.03)


def test_one_trial_is_known_in_closed_form():
    """A normal prior and one datum at no scald: the precision-weighted mean."""
    ours = posterior_of(model_of([trial(0, 4.6)])[0], unsound_chance=0.0, spread=0.015)
    prior, datum = 0.12**-2, 1 / (0.03**2 + 0.015**2)
    assert ours.mean[0] == pytest.approx((prior * log(4.3) + datum * log(4.6)) / (prior + datum))
    assert ours.covariance[0][0] == pytest.approx(1 / (prior + datum))
    assert ours.mean[1:3] == pytest.approx((0.40, 0.27))
    assert ours.covariance[1][1] == pytest.approx(0.25**2)


plausible = st.builds(
    trial,
    st.floats(0, 60),
    st.floats(2.6, 6.5),
    st.none() | st.floats(62, 72),
    volume_relative_sd=st.floats(0, 0.3),
    baked_mass_g=st.none() | st.floats(0.72 * DOUGH, DOUGH),
)


@settings(max_examples=60)
@given(st.lists(plausible, min_size=1, max_size=12))
def test_any_plausible_bakes_give_a_calibration_or_a_refusal(trials):
    try:
        fit = fit_trials(trials, WaterBase(15, 67))
    except Refusal as refused:
        assert refused.argument.startswith("trials")
        return
    check_calibration(fit.calibration)
    assert 0.3 <= fit.calibration.spread_percent <= 50  # the bounds of a request; bakes may differ widely
    assert all(0 <= reading.soundness <= 1 and reading.predicted_volume_cm3 > 0 for reading in fit.readings)


@settings(max_examples=25)
@given(st.permutations(SLIP + WATERS[1:]), st.floats(0.1, 10))
def test_order_and_size_do_not_matter(trials, size):
    known = fit_trials(SLIP + WATERS[1:])
    grown = [
        replace(each, dough_mass_g=each.dough_mass_g * size, loaf_volume_cm3=each.loaf_volume_cm3 * size)
        for each in trials
    ]
    other = fit_trials(grown)
    assert other.calibration.log_specific_volume == pytest.approx(
        known.calibration.log_specific_volume, abs=1e-6
    )
    assert other.calibration.covariance[1][1] == pytest.approx(known.calibration.covariance[1][1], rel=1e-5)
    soundness = {id(each): reading.soundness for each, reading in zip(trials, other.readings, strict=True)}
    assert [soundness[id(each)] for each in SLIP + WATERS[1:]] == pytest.approx(
        [reading.soundness for reading in known.readings], abs=1e-5
    )


def test_the_loss_cancels_from_the_dough_of_the_same_bread():
    """The loaf's weight changes its specific volume, not the dough for a pan."""
    doughs = []
    for baked in (None, 0.88 * DOUGH, 0.93 * DOUGH):
        fit = fit_trials([replace(trial(20, 4.4), baked_mass_g=baked, volume_relative_sd=0.001)])
        mean, _ = predict_log_specific_volume(fit.calibration, 20)
        doughs.append(1714.75 / (exp(mean) * (1 - fit.calibration.bake_loss_percent / 100)))
    assert doughs == pytest.approx([1714.75 / (4.4 * 0.9)] * 3, rel=2e-3)


def test_trials_of_many_bakers_lie_in_the_intervals():
    """300 bakers drawn from the priors, five bakes each: the 90 % intervals contain the true values."""
    draw = random.Random(5)
    inside = {"reference_specific_volume": 0, "share_volume_loss": 0, "water_slope": 0}
    for _ in range(300):
        level, loss, slope = (draw.gauss(centre, sd) for centre, sd in zip(PRIOR, PRIOR_SD, strict=True))
        base, trials = WaterBase(0, 64), []
        for share, off in ((0, 0), (20, -3), (35, 3), (35, -4), (20, 3)):
            hydration = 64 + 0.27 * share + off
            here = trial(share, 4.2, hydration)
            mean = predicted((level, loss, slope), [here], base)[0]
            trials.append(trial(share, exp(mean + draw.gauss(0, hypot(0.03, 0.015))), hydration))
        fit = fit_trials(trials, base)
        for name, true in zip(inside, (exp(level), loss, slope), strict=True):
            estimate = getattr(fit, name)
            inside[name] += estimate.low <= true <= estimate.high
    assert all(0.85 * 300 <= count <= 0.97 * 300 for count in inside.values()), inside


def test_water_contrast_at_one_share_teaches_the_slope():
    right = 64 + 0.40 * 30  # this baker's dough needs more water with the share than usual
    trials = [trial(0, 4.5, 64)] + [
        trial(
            30,
            4.5 * 0.9 * exp(-(25 if hydration < right else 15) * ((hydration - right) / 100) ** 2),
            hydration,
            volume_relative_sd=0.005,
        )
        for hydration in (70, 73, 76, 79)
    ]
    fit = fit_trials(trials, WaterBase(0, 64))
    assert fit.water_varies
    assert fit.water_slope.best == pytest.approx(0.40, abs=0.03)
    assert fit.water_slope.high - fit.water_slope.low < 0.5 * (0.40 - 0.15)
    assert fit.optimum_hydration(30).best == pytest.approx(right, abs=0.8)
    assert not fit_trials(trials[:2]).water_varies


def test_without_stated_water_every_bake_is_assumed_right():
    fit = fit_trials(TWO_SHARES)
    assert fit.base is None and fit.optimum_hydration(30) is None and fit.off_optimum_points(30, 80) == 0
    assert fit.water_slope.best == pytest.approx(0.27)


def test_the_base_is_expected_from_flour_and_scald_unless_it_is_given():
    trials = [trial(30, 4.0, 72), trial(10, 4.1, 63), trial(10, 4.4, 66), trial(0, 4.5)]
    expected = 62 + 100 * 0.1 * 0.75 * (1 - 0.62)
    assert usual_base(trials) == WaterBase(10, pytest.approx(expected), 3.5)
    assert usual_base(trials, 2, 64) == WaterBase(10, pytest.approx(64 + 10 * 0.75 * (2 - 0.64)), 1.5)
    fit = fit_trials(trials)
    assert fit.expected_base == usual_base(trials)
    assert (
        fit.base.share_percent == 10 and expected < fit.base.hydration_percent < 68
    )  # the wetter was taller
    assert fit.base.sd_points < 3.5
    assert fit_trials(trials, WaterBase(20, 68)).base == WaterBase(20, 68)
    assert fit_trials([trial(20, 4.4)]).base is None


# The right water as an unknown


def test_the_unknown_water_against_scipy():
    """All four unknowns at once: the mode and its curvature."""
    for trials in (WATERS, DRY):
        base = usual_base(trials)
        model = Model.of(trials, base, water_slope_at(1), 10.0)
        ours = posterior_of(model, unsound_chance=0.0, spread=0.015)
        known = WaterBase(base.share_percent, ours.mean[3])
        own_off = lowest_trial(trials).hydration_percent - ours.mean[3]
        sd = noise(trials, known, ours.mean[2], own_off=own_off)
        centres, widths = (*PRIOR, base.hydration_percent), (*PRIOR_SD, 3.5)

        def residuals(parameters, trials=trials, base=base, sd=sd, centres=centres, widths=widths):
            at = WaterBase(base.share_percent, parameters[3])
            return [
                *((value - c) / w for value, c, w in zip(parameters, centres, widths, strict=True)),
                *(
                    (seen - mean) / width
                    for seen, mean, width in zip(
                        measured(trials), predicted(parameters[:3], trials, at), sd, strict=True
                    )
                ),
            ]

        found = optimize.least_squares(residuals, centres, xtol=1e-14, ftol=1e-14, gtol=1e-14, x_scale=widths)
        assert ours.mean == pytest.approx(tuple(found.x), abs=2e-4)
        assert numpy.array(ours.covariance) == pytest.approx(
            numpy.linalg.inv(found.jac.T @ found.jac), rel=2e-2, abs=1e-5
        )


def test_a_lone_dry_bake_blames_its_water_and_not_its_share():
    """At 35 % and far too little water a loaf is small: the share must not be learnt to cost that much."""
    sound = fit_trials([trial(35, 4.3 * 0.88, 71.5)])
    dry = fit_trials([trial(35, 4.3 * 0.88 * exp(-25 * 0.09**2), 62.5)])
    assert dry.share_volume_loss.best == pytest.approx(sound.share_volume_loss.best, abs=0.06)
    assert dry.readings[0].off_optimum_points < -6 and not dry.readings[0].flagged
    blamed = fit_trials([trial(35, 4.3 * 0.88 * exp(-25 * 0.09**2))])  # without its water there is no excuse
    assert blamed.share_volume_loss.best > dry.share_volume_loss.best + 0.1


def test_the_flours_absorption_makes_the_right_water_surer():
    trials = [trial(20, 4.2, 66)]
    unsure, sure = fit_trials(trials), fit_trials(trials, absorption_percent=60)
    assert sure.base.sd_points < 1.6 < 3 < unsure.base.sd_points
    assert sure.optimum_hydration(20).best == pytest.approx(60 + 20 * 0.75 * 0.4, abs=0.5)
    assert sure.optimum_hydration(35).high - sure.optimum_hydration(35).low > (
        sure.optimum_hydration(20).high - sure.optimum_hydration(20).low
    )


def test_gluten_of_a_trial_makes_up_for_its_share():
    """2.4 % of gluten makes up 15 points of share, so a loaf with it is as tall as one of 20 %."""
    plain = fit_trials([trial(20, 4.2), trial(35, 4.2, gluten_percent=15 * 12 / 75.2)])
    assert plain.readings[0].predicted_volume_cm3 == pytest.approx(plain.readings[1].predicted_volume_cm3)
    assert fit_trials([trial(20, 4.2), trial(35, 4.2)]).share_volume_loss.best < plain.share_volume_loss.best


def test_the_water_that_vital_gluten_takes_does_not_count_as_too_much():
    """1.5 times its mass and its own water: two bakes with the right water each are off by the same."""
    takes = 3 * (1.5 + VITAL_GLUTEN.water_percent / 100)
    others = [trial(20, 4.2, 67), trial(35, 3.9, 71)]
    wetter = trial(35, 4.1, 71 + takes, gluten_percent=3)
    fit = fit_trials([*others, wetter])
    assert fit.readings[2].off_optimum_points == pytest.approx(fit.readings[1].off_optimum_points)
    assert fit.off_optimum_points(35, 71 + takes, 3) == pytest.approx(fit.off_optimum_points(35, 71))
    assert not fit.water_varies and fit_trials([*others, trial(35, 4.1, 74)]).water_varies
    lowest = fit_trials([trial(20, 4.2, 67 + takes, gluten_percent=3), trial(35, 3.9, 71)])
    assert lowest.own.hydration_percent == pytest.approx(67)


def test_each_crumb_has_its_own_prior():
    light, close = fit_trials([trial(0, 3.6)]), fit_trials([trial(0, 3.6)], crumb="close")
    assert close.reference_specific_volume.best < light.reference_specific_volume.best
    assert light.crumb == "light" and close.crumb == "close"


# Bakes that went wrong, and scatter


def test_one_bad_bake_among_good_ones_hardly_counts_but_is_kept():
    good = [trial(20, 4.4), trial(20, 4.35), trial(35, 4.0), trial(0, 4.5)]
    without, fit = fit_trials(good), fit_trials([*good, trial(20, 3.2)])
    moved = fit.calibration.log_specific_volume - without.calibration.log_specific_volume
    assert abs(moved) < 0.003
    assert [reading.flagged for reading in fit.readings] == [False] * 4 + [True]
    assert fit.readings[4].off_percent == pytest.approx(-26, abs=2) and fit.readings[4].soundness < 0.01
    assert fit.calibration.trials == 5


def test_two_that_disagree_leave_the_doubt_wide():
    agree, disagree = fit_trials([trial(20, 4.4), trial(20, 4.3)]), fit_trials(DISAGREE)
    assert sqrt(disagree.calibration.covariance[0][0]) > 2 * sqrt(agree.calibration.covariance[0][0])
    assert all(reading.flagged for reading in disagree.readings)
    third = fit_trials([*DISAGREE, trial(20, 4.45)])
    assert [reading.flagged for reading in third.readings] == [False, True, False]
    assert third.calibration.covariance[0][0] < disagree.calibration.covariance[0][0] / 2


@pytest.mark.parametrize(("good", "other", "flagged"), [(40, 10, 10), (12, 2, 2), (26, 24, 0), (9, 6, 0)])
def test_two_camps_against_a_grid(good, other, flagged):
    """Bakes of one bread in two camps, at 4.4 and 3.4 cm³/g: a few count as failed, half of them as scatter.

    At one share only the volume there and the scatter are unknown, so a grid of two is enough.
    """
    draw = random.Random(5)
    trials = [
        trial(20, value * exp(draw.gauss(0, 0.03)))
        for value, count in ((4.4, good), (3.4, other))
        for _ in range(count)
    ]
    centre, sd = PRIOR[0] + log(1 - PRIOR[1] * 0.15), hypot(PRIOR_SD[0], PRIOR_SD[1] * 0.15 / 0.94)
    here = numpy.linspace(centre - 3.5 * sd, centre + 3.5 * sd, 801)[:, None]
    spread = numpy.exp(numpy.linspace(log(0.004), log(0.2), 120))[None, :]
    away = numpy.log(spread / 0.015) / LOG_SPREAD_SD
    log_density = -(((here - centre) / sd) ** 2) / 2 - away**2 / 2
    for seen in measured(trials):
        usual = numpy.hypot(0.03, spread)
        log_density = log_density + numpy.log(
            (1 - UNSOUND_BAKE_CHANCE) * stats.norm.pdf(seen, here, usual)
            + UNSOUND_BAKE_CHANCE * stats.norm.pdf(seen, here, numpy.hypot(usual, UNSOUND_BAKE_RELATIVE_SD))
        )
    density = numpy.exp(log_density - log_density.max())
    density /= density.sum()
    mean = float((density * here).sum())
    ahead = sqrt(float((density * ((here - mean) ** 2 + spread**2)).sum()))  # of the next bake
    fit = fit_trials(trials)
    ours, ours_sd = predict_log_specific_volume(fit.calibration, 20)
    assert sum(reading.flagged for reading in fit.readings) == flagged
    assert ours == pytest.approx(mean, abs=0.3 * ahead)
    assert ours_sd == pytest.approx(ahead, rel=0.25)


@pytest.mark.parametrize(("spread", "low", "high"), [(0.005, 0.4, 1.3), (0.015, 0.9, 2.3), (0.045, 3.0, 6.0)])
def test_scatter_is_learned_from_many_bakes(spread, low, high):
    draw = random.Random(11)
    trials = [
        trial(share, 4.4 * exp(draw.gauss(0, spread)), volume_relative_sd=0.005)
        for share in (0, 3, 5)
        for _ in range(12)
    ]
    assert low <= fit_trials(trials).calibration.spread_percent <= high


def test_one_outlier_is_not_scatter():
    good = [trial(20, 4.4), trial(20, 4.35), trial(20, 4.42), trial(20, 4.38)]
    assert fit_trials([*good, trial(20, 3.0)]).calibration.spread_percent < 2


def test_bake_loss_is_the_mean_shrunk_to_the_usual():
    weighed = [replace(trial(20, 4.4), baked_mass_g=DOUGH * (1 - loss / 100)) for loss in (11, 12)]
    fit = fit_trials([*weighed, trial(20, 4.3)]).calibration
    # weighed cooled and nothing else: the usual 10 % in the oven and 2 % while it cools, both included
    assert fit.bake_loss_percent == pytest.approx((0.25 * 12 + 11 + 12) / 2.25)
    assert fit.cooling_loss_percent == 0
    assert fit.bake_loss_sd_percent == pytest.approx(sqrt(1 / 2.25 + 1))
    assert fit_trials([trial(20, 4.4)]).calibration.bake_loss_percent == pytest.approx(10)
    for pan, loss in ((Lidded(False), 12), (Lidded(None, 105), 11), (Lidded(None, 100.0001), 10)):
        fit = fit_trials([trial(20, 4.4)], pan=pan)
        assert fit.calibration.bake_loss_percent == pytest.approx(loss, abs=1e-4)
    assert fit_trials([trial(20, 4.4)]).calibration.cooling_loss_percent == 2


def test_one_bake_that_says_its_cooling_loss_converts_the_others():
    at_the_oven = replace(trial(20, 4.4), oven_mass_g=DOUGH * 0.9, baked_mass_g=DOUGH * 0.885)
    given = replace(trial(20, 4.4), baked_mass_g=DOUGH * 0.87, cooling_loss_percent=2.5)
    cooled = replace(trial(20, 4.4), baked_mass_g=DOUGH * 0.88)
    assert at_the_oven.own_cooling_percent == pytest.approx(1.5)
    fit = fit_trials([at_the_oven, given, cooled])
    assert fit.losses.cooling_percent == fit.calibration.cooling_loss_percent == pytest.approx(2.0)
    # at the oven's mouth 10, 13 - 2.5, and 12 less the mean of the other two
    assert fit.calibration.bake_loss_percent == pytest.approx((0.25 * 10 + 10 + 10.5 + 10) / 3.25)
    for each, loss in zip(fit.readings, (10, 10.5, 10), strict=True):
        assert each.specific_volume == pytest.approx(4.4 * 0.9 / (1 - loss / 100))
    only_there = fit_trials([replace(trial(20, 4.4), oven_mass_g=DOUGH * 0.9)]).calibration
    assert (only_there.bake_loss_percent, only_there.cooling_loss_percent) == (pytest.approx(10), 2)


@given(st.floats(8, 14), st.floats(0.5, 3))
def test_the_next_dough_is_the_same_however_the_loaf_was_weighed(loss, cooling):
    weighed = {"oven_mass_g": DOUGH * (1 - loss / 100), "baked_mass_g": DOUGH * (1 - (loss + cooling) / 100)}
    both = fit_trials([replace(trial(20, 4.4), **weighed)]).calibration
    stated = replace(trial(20, 4.4), baked_mass_g=weighed["baked_mass_g"], cooling_loss_percent=cooling)
    assert fit_trials([stated]).calibration.bake_loss_percent == pytest.approx(both.bake_loss_percent)
    per_dough = bread_from_calibration(both, Wanted(20)).loaf_per_dough.best
    cooled = fit_trials([replace(trial(20, 4.4), baked_mass_g=weighed["baked_mass_g"])]).calibration
    assert bread_from_calibration(cooled, Wanted(20)).loaf_per_dough.best == pytest.approx(
        per_dough, rel=0.02
    )


# Crowns


def half_ellipsoid(area: float, height: float) -> float:
    """Level sections of half an ellipsoid shrink as 1 - (z / height)^2."""
    return integrate.quad(lambda z: area * (1 - (z / height) ** 2), 0, height)[0]


@pytest.mark.parametrize(
    ("pan", "area"),
    [
        (Box(20, 10, 9), 200),
        (Tapered(22, 11, 20, 10, 7), 242),
        (Round(18, 16, 6), pi * 81),
        (Oval(20, 12, 18, 10, 6), pi * 60),
    ],
)
def test_a_crown_is_half_an_ellipsoid_over_the_rim(pan, area):
    assert rim_area_cm2(pan) == pytest.approx(area)
    assert crown_volume_cm3(pan, 4) == pytest.approx(half_ellipsoid(area, 4), rel=1e-5)
    assert crown_volume_cm3(pan, 0) == 0


@pytest.mark.parametrize("pan", [KnownVolume(1700), WaterFill(1700, 20)])
def test_a_crown_needs_a_rim(pan):
    with pytest.raises(Refusal) as refused:
        crown_volume_cm3(pan, 3)
    assert (refused.value.argument, refused.value.code) == ("pan.kind", "rim_unknown")


# The information of the next bake


def test_a_lesson_keeps_its_promise():
    """The proposed bake with the expected result narrows the interval as promised (same scatter)."""
    trials = [trial(10, 4.4, 65), trial(25, 4.1, 69)]
    fit = fit_trials(trials)
    _, before = predict_log_specific_volume(fit.calibration, 35)
    for lesson in lessons(fit, 35):
        calibration = fit.calibration
        mean, _ = predict_log_specific_volume(calibration, lesson.share_percent, lesson.off_optimum_points)
        hydration = fit.optimum_hydration(lesson.share_percent).best + lesson.off_optimum_points
        baked = 1 - calibration.bake_loss_percent / 100
        new = Trial(lesson.share_percent, DOUGH, exp(mean) * DOUGH * baked, hydration_percent=hydration)
        after = fit_trials([*trials, new], fit.base)
        _, sd = predict_log_specific_volume(after.calibration, 35)
        assert 100 * (1 - sd / before) == pytest.approx(lesson.narrows_dough_percent, abs=3)
        slope_sds = [sqrt(each.calibration.covariance[2][2]) for each in (fit, after)]
        assert 100 * (1 - slope_sds[1] / slope_sds[0]) == pytest.approx(lesson.narrows_water_percent, abs=2)


def test_lessons_are_in_order_and_water_teaches_water():
    found = lessons(fit_trials([trial(10, 4.4, 65)]), 35)
    narrower = [lesson.narrows_dough_percent for lesson in found]
    assert narrower == sorted(narrower, reverse=True) and min(narrower) >= 0
    by_kind = {lesson.kind: lesson for lesson in found}
    assert set(by_kind) == {"same", "without_scald", "less_water", "more_water"}
    assert by_kind["same"].narrows_water_percent == pytest.approx(0)
    assert by_kind["more_water"].narrows_water_percent > 1
    assert by_kind["same"].narrows_dough_percent > by_kind["without_scald"].narrows_dough_percent
    assert {lesson.kind for lesson in lessons(fit_trials(ONE), 8)} == {"same", "more_scald"}


# Proof time


def timed(*pairs):
    return [trial(share, 4.2, proof_minutes=minutes) for share, minutes in pairs]


def test_proof_time_trend_against_scipy():
    bakes = timed((0, 55), (10, 60), (20, 66), (30, 70), (35, 80))
    found = proof_time(bakes, 25)
    line = stats.linregress(
        [each.share_percent for each in bakes], [log(each.proof_minutes) for each in bakes]
    )
    assert found.rule == "trend" and found.trials == 5 and not found.extrapolated
    assert found.trials_say == "rises"
    assert found.minutes.best == pytest.approx(exp(line.intercept + 25 * line.slope))
    assert found.percent_per_ten_points.best == pytest.approx(100 * (exp(10 * line.slope) - 1))
    assert proof_time(bakes, 45).extrapolated
    far, near = proof_time(bakes, 45).minutes, found.minutes
    assert far.high / far.low > near.high / near.low


def test_times_that_fall_against_what_is_published_widen_the_band():
    falling = timed((0, 90), (35, 50))
    found = proof_time(falling, 35)
    assert found.trials_say == "falls" and found.percent_per_ten_points.high < 0
    assert found.minutes.best == pytest.approx(50)
    # the band holds what the next bake would take if the share did not matter
    assert found.minutes.high == pytest.approx(sqrt(90 * 50) * exp(1.645 * 0.1 * sqrt(1.5)))
    assert proof_time(timed((0, 50), (35, 52)), 35).trials_say == "not_known"
    assert proof_time(timed((20, 50)), 20).trials_say == "not_known"


def test_wide_scatter_of_proof_times_is_believed():
    calm, wild = timed((0, 50), (20, 60), (40, 72)), timed((0, 50), (10, 95), (20, 40), (30, 110), (40, 60))
    assert proof_time(wild, 20).minutes.high / proof_time(wild, 20).minutes.best > 1.6
    narrow = proof_time(calm, 20).minutes
    assert narrow.high / narrow.best == pytest.approx(exp(1.645 * 0.1 * sqrt(1 + 1 / 3)))


def test_proof_time_without_two_shares():
    assert proof_time(ONE, 30) == ProofTime(None, "unknown", 0)
    assert proof_time(timed((20, 60), (20, 66)), 30) == ProofTime(None, "unknown", 2)
    here = proof_time(timed((20, 60), (20.2, 66)), 20)
    assert here.rule == "own_share" and here.minutes.best == pytest.approx(sqrt(60 * 66))
    assert proof_time(timed((20, 60), (21, 66)), 40) == ProofTime(None, "too_wide", 2)


def test_proof_intervals_hold_the_next_bake():
    draw = random.Random(3)
    inside = 0
    for _ in range(2000):
        slope = draw.uniform(0, 0.02)

        def minutes(share, slope=slope):
            return 55 * exp(slope * share + draw.gauss(0, 0.1))

        found = proof_time(timed(*((share, minutes(share)) for share in (0, 20, 20))), 30).minutes
        inside += found.low <= minutes(30) <= found.high
    assert 0.88 <= inside / 2000 <= 0.97


# Bad bakes


@pytest.mark.parametrize(
    ("trials", "argument", "code", "nearest"),
    [
        ([replace(trial(20, 4.4), baked_mass_g=460)], "trials.0.baked_mass", "loaf_heavier_than_dough", 450),
        (
            [*ONE, replace(trial(20, 4.4), baked_mass_g=300)],
            "trials.1.baked_mass",
            "bake_loss_out_of_range",
            315,
        ),
        ([trial(20, 1.5)], "trials.0.loaf_volume", "specific_volume_out_of_range", 2.0 * DOUGH * 0.9),
        ([trial(20, 9.0)], "trials.0.loaf_volume", "specific_volume_out_of_range", 8.5 * DOUGH * 0.9),
        ([Trial(20, 1.0, 3.9)], "trials.0.loaf_volume", "loaf_volume_out_of_range", SMALLEST_LOAF_CM3),
        ([trial(70, 3.0)], "trials.0.share_percent", "share_out_of_range", 60),
        (
            [trial(0, 4.4, 64), trial(20, 4.0, 90)],
            "trials.1.hydration_percent",
            "water_too_far_off",
            64 + 0.27 * 20 + 15,
        ),
        (
            [trial(20, 5.2), trial(20, 3.3)],
            "trials.1.loaf_volume",
            "contradicting_trials",
            5.2 / 1.5 * DOUGH * 0.9,
        ),
        (
            [trial(20, 3.3, 69), trial(20.3, 5.2)],
            "trials.1.loaf_volume",
            "contradicting_trials",
            3.3 * 1.5 * DOUGH * 0.9,
        ),
    ],
)
def test_refused(trials, argument, code, nearest):
    with pytest.raises(Refusal) as refused:
        fit_trials(trials)
    assert (refused.value.argument, refused.value.code) == (argument, code)
    assert refused.value.nearest == pytest.approx(nearest)
    field = {"baked_mass": "baked_mass_g", "loaf_volume": "loaf_volume_cm3"}.get(
        name := argument.split(".")[2], name
    )
    corrected = list(trials)
    index = int(argument.split(".")[1])
    corrected[index] = replace(corrected[index], **{field: refused.value.nearest})
    assert fit_trials(corrected).calibration.trials == len(trials)


def test_a_contradiction_is_allowed_when_other_bakes_show_which_is_wrong():
    fit = fit_trials([trial(20, 5.2), trial(20, 3.3), trial(20, 5.1), trial(30, 4.8)])
    assert [reading.flagged for reading in fit.readings] == [False, True, False, False]
    with pytest.raises(Refusal):
        fit_trials([trial(20, 5.2), trial(20, 3.3), trial(20, 5.1), trial(20, 3.2)])
    assert fit_trials([trial(20, 5.2, 66), trial(20, 3.3, 74)], WaterBase(20, 66)).calibration.trials == 2
