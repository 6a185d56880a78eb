"""Specific volume and the dough that fills a pan: factors, bands, and the five ways to describe the bread."""

import random
from dataclasses import replace
from math import exp, log, sqrt
from statistics import NormalDist, quantiles

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scaldloaf.dough.bake_loss import Lidded
from scaldloaf.dough.bread import (
    bread_from_calibration,
    bread_from_pan_ratio,
    bread_from_prior,
    bread_from_reference_loaf,
    bread_from_specific_volume,
)
from scaldloaf.dough.calibration import Calibration, check_calibration, predict_log_specific_volume
from scaldloaf.dough.estimate import NORMAL_90
from scaldloaf.dough.notes import Note
from scaldloaf.dough.pan_fill import fill_pan
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.target_bread import Known, Wanted
from scaldloaf.dough.volume import (
    Gluten,
    Lost,
    baked_mass_g,
    dough_mass_g,
    lost_percent,
    pan_ratio,
    share_band,
    share_volume_band,
    share_volume_factor,
    specific_volume,
    water_band,
    water_volume_factor,
)

share = st.floats(0, 60)
off = st.floats(-8, 8)
specific = st.floats(3.0, 6.0)
loss_percent = st.floats(0, 30)


def of_three(*rows):
    """The covariance of three unknowns, with a right water that is known."""
    return (*((*row, 0.0) for row in rows), (0.0, 0.0, 0.0, 0.0))


def calibration(**changes) -> Calibration:
    usual = Calibration(
        log(4.3),
        0.35,
        0.27,
        of_three((0.0004, 0.0003, 0.0), (0.0003, 0.01, 0.0), (0.0, 0.0, 0.0025)),
        10.5,
        0.6,
        1.5,
        3,
    )
    return replace(usual, **changes)


def codes(bread) -> list[str]:
    return [note.code for note in bread.notes]


# Factors


def test_share_factor_is_whole_to_the_threshold_and_falls_after():
    assert [share_volume_factor(x) for x in (0, 5)] == [1, 1]
    assert share_volume_factor(20) == pytest.approx(1 - 0.40 * 0.15)
    assert share_volume_factor(40) == pytest.approx(1 - 0.40 * 0.35)


def test_a_bread_that_gains_volume_is_allowed():
    assert share_volume_factor(20, -0.5) == pytest.approx(1.075)


@given(share, share, st.floats(0, 0.8))
def test_more_share_never_means_more_volume_at_a_loss(one, other, loss):
    low, high = sorted((one, other))
    assert share_volume_factor(high, loss) <= share_volume_factor(low, loss)


def test_a_loss_that_leaves_nothing_is_refused():
    with pytest.raises(Refusal) as refused:
        share_volume_factor(60, 2.0)
    assert refused.value.argument == "share_percent"


@pytest.mark.parametrize(
    ("share_percent", "half"),
    [
        (0, 0),
        (5, 0),
        (7.5, 0.015),
        (10, 0.03),
        (15, 0.05),
        (20, 0.07),
        (30, 0.10),
        (35, 0.125),
        (40, 0.15),
        (50, 0.20),
        (60, 0.25),
    ],
)
def test_share_band_is_piecewise_linear_and_goes_on(share_percent, half):
    assert share_volume_band(share_percent) == pytest.approx(half, abs=1e-12)


@given(share, share)
def test_share_band_never_narrows_with_the_share(one, other):
    low, high = sorted((one, other))
    assert share_volume_band(low) <= share_volume_band(high) + 1e-12


@given(st.floats(0, 8))
def test_water_factor_is_best_at_the_optimum_and_too_little_costs_more(points):
    assert water_volume_factor(-points) <= water_volume_factor(points) <= water_volume_factor(0) == 1
    assert water_volume_factor(4) == pytest.approx(exp(-15 * 0.04**2))
    assert water_volume_factor(-4) == pytest.approx(exp(-25 * 0.04**2))


# Gluten


def test_gluten_makes_up_for_the_share_and_what_is_beyond_may_help():
    gluten = Gluten(2.4, 12.0)
    assert gluten.makes_up_percent == pytest.approx(2.4 * 75.2 / 12)
    assert lost_percent(20, gluten) == pytest.approx(20 - 15.04)
    assert lost_percent(20) == 20
    # 15.04 points of share are made up, so at 10 % a third of the gluten is beyond
    beyond = Lost.at(10, gluten)
    assert beyond.percent < 0 and beyond.beyond_percent == pytest.approx(2.4 * (1 - 10 / 15.04))
    assert share_volume_factor(beyond.percent) == 1
    assert exp(share_band(beyond, Lost(0)).up) == pytest.approx(1 + 0.06 * beyond.beyond_percent)
    assert share_band(Lost.at(0, Gluten(20)), Lost(0)).up == pytest.approx(log(1.3))
    plain = bread_from_prior(Wanted(30)).specific_volume
    helped = bread_from_prior(Wanted(30, gluten=gluten)).specific_volume
    assert helped.best == pytest.approx(plain.best * (1 - 0.4 * (30 - 15.04 - 5) / 100) / 0.9)
    full = bread_from_prior(Wanted(10, gluten=Gluten(5)))
    assert "gluten_beyond_lost" in codes(full) and full.specific_volume.best == pytest.approx(4.3)


@given(share, share, st.floats(0, 10), st.floats(8, 16))
def test_no_end_of_the_dough_falls_as_the_share_rises(one, other, gluten, protein):
    """But for what gluten beyond the lost may gain, which a larger share uses up."""
    low, high = sorted((one, other))
    for known in (None, Known(20.0)):
        doughs = []
        for at in (low, high):
            wanted = Wanted(at, gluten=Gluten(gluten, protein))
            bread = (
                bread_from_prior(wanted) if known is None else bread_from_specific_volume(4, wanted, known)
            )
            doughs.append(fill_pan(1700, 100, bread).dough_mass_g)
        less, more = doughs
        assert more.low >= less.low * (1 - 1e-12)
        assert more.best >= less.best * (1 - 1e-12)
        assert more.high >= less.high * (1 - 1e-12)


# Plain relations


@given(st.floats(200, 20_000), specific, loss_percent)
def test_dough_and_specific_volume_are_one_relation(loaf, value, loss):
    dough = dough_mass_g(loaf, value, loss)
    assert specific_volume(loaf, baked_mass_g(dough, loss)) == pytest.approx(value, rel=1e-12)
    assert pan_ratio(loaf, dough) == pytest.approx(value * (1 - loss / 100), rel=1e-12)


def test_fifty_grams_more_per_500_g_baked_is_9_1_percent_of_dough():
    # Common practice, no source: the loss is a share of the dough, not of the bread.
    assert baked_mass_g(550, 100 * 50 / 550) == pytest.approx(500)
    assert pytest.approx(9.1, abs=0.05) == 100 * 50 / 550


# A reference loaf


share_loss_off = st.tuples(st.floats(0, 40), loss_percent, off)


@given(st.floats(300, 2000), specific, share_loss_off, share_loss_off)
def test_same_pan_by_two_routes(dough, value, reference, moved_to):
    """The pan's volume gives D1 = D0 SV0/SV1 (1 - L0)/(1 - L1) against the reference loaf."""
    from_share, from_loss, from_off = reference
    to_share, to_loss, to_off = moved_to
    loaf = dough * value * (1 - from_loss / 100)
    wanted, known = Wanted(to_share, to_off, to_loss), Known(from_share, from_off)
    bread = bread_from_reference_loaf(dough, loaf, wanted, known, from_loss)
    filled = fill_pan(loaf, 100, bread)
    moved = (
        value
        * share_volume_factor(to_share)
        / share_volume_factor(from_share)
        * water_volume_factor(to_off)
        / water_volume_factor(from_off)
    )
    assert bread.specific_volume.best == pytest.approx(moved, rel=1e-12)
    assert filled.dough_mass_g.best == pytest.approx(
        dough * value / moved * (1 - from_loss / 100) / (1 - to_loss / 100), rel=1e-12
    )
    by_value = fill_pan(loaf, 100, bread_from_specific_volume(value, wanted, known))
    assert by_value.dough_mass_g.best == pytest.approx(filled.dough_mass_g.best, rel=1e-12)


@given(st.floats(300, 2000), specific, share)
def test_the_same_share_gives_the_reference_dough_back(dough, per_dough, at_share):
    loaf = dough * per_dough
    bread = bread_from_reference_loaf(dough, loaf, Wanted(at_share), Known(at_share))
    assert fill_pan(loaf, 100, bread).dough_mass_g.best == pytest.approx(dough, rel=1e-12)


@given(st.floats(0, 40), st.floats(0.1, 20))
def test_more_share_needs_more_dough_and_is_less_sure(from_share, more):
    def dough(share_percent):
        bread = bread_from_reference_loaf(450, 1700, Wanted(share_percent), Known(from_share))
        return fill_pan(1700, 100, bread).dough_mass_g

    near, far = dough(from_share), dough(from_share + more)
    assert far.best >= near.best
    assert far.high / far.low >= near.high / near.low * (1 - 1e-12)


def test_interval_of_a_moved_loaf_by_hand():
    """Adds in quadrature: measuring 3 %, two bakes at 1.5 % each, and the difference of the share bands."""
    bread = bread_from_reference_loaf(450, 1700, Wanted(35, bake_loss_percent=11), Known(20), 11)
    down, up = log(0.88 / 0.94 / ((0.88 - 0.125) / (0.94 - 0.07))), log(0.94 / 0.88)
    usual = (1.645 * 0.03) ** 2 + 2 * (1.645 * 0.015) ** 2
    low, high = sqrt(usual + down**2), sqrt(usual + up**2)
    best = 1700 / (450 * 0.89) * 0.88 / 0.94
    assert bread.specific_volume.best == pytest.approx(best)
    assert bread.specific_volume.low == pytest.approx(best * exp(-low))
    assert bread.specific_volume.high == pytest.approx(best * exp(high))
    assert bread.specific_volume.evidence == "assumption"
    dough = fill_pan(1700, 100, bread).dough_mass_g
    assert dough.low == pytest.approx(dough.best * exp(-high))
    assert dough.high == pytest.approx(dough.best * exp(low))


def test_the_scald_doubt_of_a_move_is_that_of_one_unknown_loss():
    """One random loss for both shares gives nearly the same band as the ends of both together."""
    draw = random.Random(20)
    losses = [draw.uniform(0, 0.8) for _ in range(20_000)]
    ratios = [log(share_volume_factor(35, b) / share_volume_factor(20, b)) for b in losses]
    cuts = quantiles(ratios, n=20)
    band = share_band(Lost(35), Lost(20))
    assert band.up + band.down == pytest.approx(cuts[-1] - cuts[0], rel=0.12)
    assert share_band(Lost(35), Lost(0)).up > band.up
    assert share_band(Lost(20), Lost(20)) is None and share_band(Lost(5), Lost(0)) is None


def test_a_bake_loss_common_to_both_loaves_drops_out_of_the_dough():
    by_default = bread_from_reference_loaf(450, 1700, Wanted(35), Known(20))
    stated = [
        bread_from_reference_loaf(450, 1700, Wanted(35, bake_loss_percent=13), Known(20)),
        bread_from_reference_loaf(450, 1700, Wanted(35), Known(20), 13),
    ]
    for bread in stated:
        assert bread.loaf_per_dough == by_default.loaf_per_dough
        assert bread.bake_loss_percent.best == 13 and "bake_loss_shared" in codes(bread)
        assert "bake_loss_default" not in codes(bread)
    assert by_default.bake_loss_percent.best == 10 and "bake_loss_default" in codes(by_default)
    wider = by_default.specific_volume
    assert wider.high / wider.best > by_default.loaf_per_dough.high / by_default.loaf_per_dough.best


def test_the_lid_decides_the_bake_loss():
    bread = bread_from_prior(Wanted(20, pan=Lidded(False)))
    assert bread.bake_loss_percent.best == 12 and "lid_unsaid" not in codes(bread)
    assert Note("bake_loss_default", {"loss": 12, "pan": "open", "low": 10, "high": 13}) in bread.notes
    assert bread_from_prior(Wanted(20, pan=Lidded(True, 105))).bake_loss_percent.best == 10


@given(st.floats(20, 299), st.floats(1e-6, 1))
def test_a_little_more_fill_is_a_little_more_dough(fill, more):
    """Nothing jumps at a full pan where it is not known whether it has a lid."""

    def dough(at):
        return fill_pan(1700, at, bread_from_prior(Wanted(20, pan=Lidded(None, at)))).dough_mass_g

    less, wanted = dough(fill), dough(fill + more)
    for end in ("low", "best", "high"):
        assert 0 < getattr(wanted, end) - getattr(less, end) < 20 * more


def test_without_a_word_about_the_lid_the_band_holds_both():
    for fill, loss in ((100, 10), (105, 11), (110, 12), (150, 12)):
        bread = bread_from_prior(Wanted(20, pan=Lidded(None, fill)))
        assert bread.bake_loss_percent.best == pytest.approx(loss) and "lid_unsaid" in codes(bread)
        assert (bread.bake_loss_percent.low, bread.bake_loss_percent.high) == (8, 13)


# Cooling loss


def test_a_cooled_loaf_weighs_dough_less_both_losses():
    for wanted, loss, cooling in (
        (Wanted(20), 10, 2),
        (Wanted(20, cooling_loss_percent=1.5), 10, 1.5),
        (Wanted(20, bake_loss_percent=11), 11, 0),  # a stated loss includes the cooling, as it always has
        (Wanted(20, bake_loss_percent=11, cooling_loss_percent=2.5), 11, 2.5),
    ):
        bread = bread_from_prior(wanted)
        assert (bread.bake_loss_percent.best, bread.cooling_loss_percent.best) == (loss, cooling)
        filled = fill_pan(1700, 100, bread)
        dough = filled.dough_mass_g.best
        assert filled.oven_mass_g.best == pytest.approx(dough * (1 - loss / 100))
        assert filled.baked_mass_g.best == pytest.approx(dough * (1 - loss / 100 - cooling / 100))
        assert filled.baked_mass_g.low <= filled.baked_mass_g.best <= filled.baked_mass_g.high
    assert "cooling_loss_default" in codes(bread_from_prior(Wanted(20)))
    for stated in ({"cooling_loss_percent": 1.5}, {"bake_loss_percent": 11}):
        assert "cooling_loss_default" not in codes(bread_from_prior(Wanted(20, **stated)))


def test_an_own_specific_volume_is_that_of_the_cooled_loaf():
    # 440 g of dough, 396 g at the oven's mouth, 387.2 g cooled, 1700 cm3: the same dough fills the tin again
    cooled = 1700 / 387.2
    again = fill_pan(1700, 100, bread_from_specific_volume(cooled, Wanted(20)))
    assert again.dough_mass_g.best == pytest.approx(440)
    assert again.oven_mass_g.best == pytest.approx(396) and again.baked_mass_g.best == pytest.approx(387.2)
    included = bread_from_specific_volume(cooled, Wanted(20, bake_loss_percent=12))
    assert fill_pan(1700, 100, included).dough_mass_g.best == pytest.approx(440)
    assert bread_from_specific_volume(8.5, Wanted()).specific_volume.best < 8.5
    assert bread_from_specific_volume(2.0, Wanted()).specific_volume.best < 2.0


@pytest.mark.parametrize("percent", [-0.5, 10.5])
def test_an_impossible_cooling_loss_is_refused(percent):
    for bread in (
        lambda wanted: bread_from_prior(wanted),
        lambda wanted: bread_from_calibration(calibration(), wanted),
        lambda wanted: bread_from_reference_loaf(450, 1700, wanted, Known(20)),
    ):
        with pytest.raises(Refusal) as refused:
            bread(Wanted(20, cooling_loss_percent=percent))
        assert refused.value.argument == "wanted.cooling_loss_percent"
        assert refused.value.code == "cooling_loss_out_of_range"
        bread(Wanted(20, cooling_loss_percent=refused.value.nearest))


# Own specific volume, pan ratio, prior


def test_own_specific_volume_at_the_target_share_is_not_corrected():
    bread = bread_from_specific_volume(4.2, Wanted(35, bake_loss_percent=10))
    half = sqrt((1.645 * 0.03) ** 2 + 2 * (1.645 * 0.015) ** 2)
    assert bread.specific_volume.best == 4.2
    assert bread.specific_volume.high == pytest.approx(4.2 * exp(half))
    assert bread.loaf_per_dough.best == pytest.approx(3.78)
    assert "naro_2010" not in bread.basis
    moved = bread_from_specific_volume(4.2, Wanted(35, bake_loss_percent=10), Known(20))
    assert moved.specific_volume.best == pytest.approx(4.2 * 0.88 / 0.94) and "naro_2010" in moved.basis


def test_an_omitted_share_is_that_of_the_known_loaf():
    bread = bread_from_reference_loaf(450, 1700, Wanted(), Known(25))
    assert bread.share_percent == 25
    assert bread.loaf_per_dough.best == pytest.approx(1700 / 450)


@given(st.floats(1.2, 6.5), st.floats(500, 5000), st.floats(20, 120))
def test_a_pan_ratio_is_pan_over_dough(ratio, pan, fill):
    per_dough = ratio * fill / 100
    if per_dough / 0.9 > 8.5:
        return
    filled = fill_pan(pan, fill, bread_from_pan_ratio(ratio, Wanted(), fill_percent=fill))
    assert filled.dough_mass_g.best == pytest.approx(pan / ratio, rel=1e-12)
    assert filled.pan_ratio.best == pytest.approx(ratio, rel=1e-12)


def test_a_pan_ratio_from_another_fill_and_share_is_corrected():
    bread = bread_from_pan_ratio(4.0, Wanted(35), Known(20), fill_percent=90)
    assert bread.loaf_per_dough.best == pytest.approx(4.0 * 0.9 * 0.88 / 0.94)


def test_the_prior_keeps_its_range_and_widens_with_the_share():
    none = bread_from_prior(Wanted(0))
    assert (none.specific_volume.low, none.specific_volume.best, none.specific_volume.high) == (
        pytest.approx(3.5),
        4.3,
        pytest.approx(5.2),
    )
    half = bread_from_prior(Wanted(40)).specific_volume
    down, up = log(0.86 / 0.71), log(1 / 0.86)
    assert half.best == pytest.approx(4.3 * 0.86)
    assert half.low == pytest.approx(half.best * exp(-sqrt(log(4.3 / 3.5) ** 2 + down**2)))
    assert half.high == pytest.approx(half.best * exp(sqrt(log(5.2 / 4.3) ** 2 + up**2)))
    assert half.evidence == "assumption" and "prior" in codes(none)
    close = bread_from_prior(Wanted(0), "close").specific_volume
    assert (close.low, close.best, close.high) == (pytest.approx(2.8), 3.5, pytest.approx(4.4))


def test_other_flour_widens_and_above_half_there_is_no_prior():
    white, some, more = (
        bread_from_prior(Wanted(20, bake_loss_percent=10, other_flour_share=part)).specific_volume
        for part in (0.0, 1e-9, 0.3)
    )
    assert some.high == pytest.approx(white.high, rel=1e-8) and some.high > white.high  # no leap
    assert some.best == more.best == white.best
    assert log(more.high / more.best) == pytest.approx(1.6 * log(white.high / white.best))
    assert log(more.best / more.low) == pytest.approx(1.6 * log(white.best / white.low))
    own = [
        bread_from_specific_volume(4, Wanted(35, 0, 10, other_flour_share=part), Known(20)).specific_volume
        for part in (0.0, 0.8)
    ]
    assert own[1].high / own[1].low > own[0].high / own[0].low  # the baker's own loaf still counts
    with pytest.raises(Refusal) as refused:
        bread_from_prior(Wanted(20, other_flour_share=0.51))
    assert (refused.value.argument, refused.value.code) == ("kind", "no_prior_for_flour")
    assert bread_from_prior(Wanted(20, other_flour_share=0.5))


def test_one_known_loaf_narrows_the_band():
    own = bread_from_reference_loaf(450, 1700, Wanted(35), Known(20)).loaf_per_dough
    prior = bread_from_prior(Wanted(35)).loaf_per_dough
    assert own.high / own.low < prior.high / prior.low


def test_water_off_the_optimum_costs_volume_with_a_lopsided_band():
    bread = bread_from_specific_volume(4.2, Wanted(20, 6, 10), Known(20))
    assert bread.specific_volume.best == pytest.approx(4.2 * exp(-15 * 0.06**2))
    usual = bread_from_specific_volume(4.2, Wanted(20, 0, 10), Known(20)).specific_volume
    ours = bread.specific_volume
    assert ours.best / ours.low > usual.best / usual.low and ours.high / ours.best > usual.high / usual.best
    assert ours.best / ours.low > ours.high / ours.best
    assert water_band(6, 6) is None and water_band(-6, -6) is None
    # from too dry to as much too wet: the two curvatures are at their ends together
    assert exp(-water_band(6, -6).down) == pytest.approx(exp((8 - 4) * 0.06**2) / exp((25 - 15) * 0.06**2))


# Calibration


def true_log(values, share_percent, off_points, fit):
    """ln SV for one random triple; a slope error moves the optimum by error x distance from the base."""
    level, loss, slope = values
    distance = off_points / 100 - (slope - fit.water_slope) * (share_percent - fit.base_share_percent) / 100
    curvature = 25 if distance < 0 else 15
    return level + log(share_volume_factor(share_percent, loss)) - curvature * distance**2


@given(st.floats(0, 45), st.floats(-6, 6), st.sampled_from([0.0, 20.0, 40.0]))
def test_calibration_variance_against_numerical_gradients(share_percent, off_points, base_share):
    fit = calibration(base_share_percent=base_share)
    centre = [fit.log_specific_volume, fit.share_volume_loss, fit.water_slope]
    step = 1e-6
    gradient = []
    for index in range(3):
        ends = []
        for sign in (1, -1):
            moved = list(centre)
            moved[index] += sign * step
            ends.append(true_log(moved, share_percent, off_points, fit))
        gradient.append((ends[0] - ends[1]) / (2 * step))
    variance = 0.015**2 + sum(
        gradient[i] * fit.covariance[i][j] * gradient[j] for i in range(3) for j in range(3)
    )
    mean, sd = predict_log_specific_volume(fit, share_percent, off_points)
    assert mean == pytest.approx(true_log(centre, share_percent, off_points, fit), abs=1e-12)
    assert sd == pytest.approx(sqrt(variance), rel=1e-5)


def test_ninety_percent_of_drawn_bakes_lie_in_the_interval():
    fit = calibration()
    draw = random.Random(7)
    bread = bread_from_calibration(fit, Wanted(30))
    inside = 0
    for _ in range(20_000):
        first, second, third = (draw.gauss(0, 1) for _ in range(3))
        # Cholesky factor of the covariance above
        level = fit.log_specific_volume + 0.02 * first
        loss = fit.share_volume_loss + 0.015 * first + sqrt(0.01 - 0.015**2) * second
        value = level + log(share_volume_factor(30, loss)) + 0.015 * third
        inside += log(bread.specific_volume.low) <= value <= log(bread.specific_volume.high)
    assert 0.89 <= inside / 20_000 <= 0.91
    assert NormalDist().inv_cdf(0.95) == pytest.approx(NORMAL_90, abs=1e-3)


def test_a_calibration_includes_its_own_bake_loss():
    bread = bread_from_calibration(calibration(), Wanted(20))
    assert bread.bake_loss_percent.best == 10.5 and "bake_loss_of_trials" in codes(bread)
    assert bread.bake_loss_percent.high == pytest.approx(10.5 + 1.645 * 0.6)
    assert bread.loaf_per_dough.best == pytest.approx(bread.specific_volume.best * 0.895)
    stated = bread_from_calibration(calibration(), Wanted(20, bake_loss_percent=12))
    assert stated.bake_loss_percent.best == 12
    assert stated.specific_volume.best == pytest.approx(bread.specific_volume.best)


def test_the_trials_bake_loss_is_no_doubt_of_the_dough_they_measured_volume_on():
    sure, unsure = (bread_from_calibration(calibration(bake_loss_sd_percent=sd), Wanted(20)) for sd in (0, 2))
    assert unsure.loaf_per_dough == sure.loaf_per_dough
    assert unsure.specific_volume.high > sure.specific_volume.high


def test_a_calibration_that_gains_volume_is_believed():
    fit = calibration(share_volume_loss=-0.4)
    assert bread_from_calibration(fit, Wanted(25)).specific_volume.best == pytest.approx(4.3 * 1.08)


@pytest.mark.parametrize(
    "covariance",
    [
        of_three((0.0004, 0.0003, 0), (0.0002, 0.01, 0), (0, 0, 0.0025)),  # not symmetric
        of_three((0.0004, 0.01, 0), (0.01, 0.01, 0), (0, 0, 0.0025)),  # correlation above 1
        of_three((-0.0004, 0, 0), (0, 0.01, 0), (0, 0, 0.0025)),  # negative variance
        of_three((1, 0.9, -0.9), (0.9, 1, 0.9), (-0.9, 0.9, 1)),  # each pair fits, all three do not
        of_three((0, 0.001, 0), (0.001, 0.01, 0), (0, 0, 0)),  # covariance without variance
        of_three((float("nan"), 0, 0), (0, 1, 0), (0, 0, 1)),
        ((1, 0, 0, 2), (0, 1, 0, 0), (0, 0, 1, 0), (2, 0, 0, 1)),  # the fourth is known too well
    ],
)
def test_a_matrix_that_is_no_covariance_is_refused(covariance):
    with pytest.raises(Refusal) as refused:
        bread_from_calibration(calibration(covariance=covariance), Wanted(20))
    assert refused.value.argument == "calibration.covariance"


# Products of smaller numbers are subnormal floats, with fewer digits.
with_digits = st.floats(-1, 1).map(lambda value: value if abs(value) > 1e-150 else 0.0)


@given(st.lists(with_digits, min_size=16, max_size=16))
def test_every_product_of_a_matrix_with_itself_is_a_covariance(numbers):
    rows = [numbers[0:4], numbers[4:8], numbers[8:12], numbers[12:16]]
    product = tuple(
        tuple(sum(a * b for a, b in zip(one, other, strict=True)) for other in rows) for one in rows
    )
    check_calibration(calibration(covariance=product))


@pytest.mark.parametrize(("level", "nearest"), [(log(1.9), log(2.0)), (log(9), log(8.5)), (700, log(8.5))])
def test_a_calibration_of_no_bread_is_refused(level, nearest):
    with pytest.raises(Refusal) as refused:
        bread_from_calibration(calibration(log_specific_volume=level), Wanted(20))
    assert refused.value.argument == "calibration.log_specific_volume"
    assert refused.value.nearest == pytest.approx(nearest)
    check_calibration(calibration(log_specific_volume=refused.value.nearest))


# Notes and refusals


@pytest.mark.parametrize(
    ("value", "noted"), [(2.0, True), (2.99, True), (3.0, False), (6.5, False), (6.6, True), (8.5, True)]
)
def test_unusual_specific_volumes_are_noted(value, noted):
    assert (
        "unusual_specific_volume" in codes(bread_from_specific_volume(value, Wanted(cooling_loss_percent=0)))
    ) is noted


def test_shares_beyond_40_percent_are_noted():
    assert "share_beyond_range" not in codes(bread_from_prior(Wanted(40)))
    assert "share_beyond_range" in codes(bread_from_prior(Wanted(41)))
    assert "share_beyond_range" in codes(bread_from_calibration(calibration(), Wanted(41)))
    assert "share_beyond_range" in codes(bread_from_specific_volume(4, Wanted(20), Known(45)))


def loaf(dough=450.0, volume=1700.0, loss=10.0, wanted=20.0, known=20.0):
    return bread_from_reference_loaf(dough, volume, Wanted(wanted), Known(known), loss)


REFUSED = [
    (lambda x: bread_from_specific_volume(x, Wanted()), 1.9, "specific_volume", 2.0),
    (lambda x: bread_from_specific_volume(x, Wanted()), 8.6, "specific_volume", 8.5),
    (lambda x: loaf(volume=x), 700, "loaf_volume", 810),
    (lambda x: loaf(volume=x), 5, "loaf_volume", 810),
    (lambda x: loaf(dough=2, volume=x), 0, "loaf_volume", 4),
    (lambda x: loaf(dough=200_000, volume=x), 1e9, "loaf_volume", 600_000),
    (lambda x: loaf(dough=x), 1e6, "dough_mass", 1700 / 2.0 / 0.9),
    (lambda x: loaf(dough=x, volume=4), 0.1, "dough_mass", 4 / 8.5 / 0.9),
    (
        lambda x: bread_from_specific_volume(8.4, Wanted(20, x, cooling_loss_percent=0), Known(20, 8)),
        0,
        "wanted.off_optimum_points",
        100 * sqrt(log(8.4 / exp(-15 * 0.08**2) / 8.5) / 15),
    ),
    (
        lambda x: bread_from_specific_volume(2.1, Wanted(20, x)),
        -8,
        "wanted.off_optimum_points",
        -100 * sqrt(log(2.1 / 2.0) / 25),
    ),
    (lambda x: loaf(known=x), 61, "known.share_percent", 60),
    (lambda x: loaf(loss=x), 31, "bake_loss_percent", 30),
    (lambda x: bread_from_pan_ratio(x, Wanted()), 1.0, "pan_ratio", 1.2),
    (lambda x: bread_from_pan_ratio(x, Wanted()), 7.0, "pan_ratio", 6.5),
    (lambda x: bread_from_pan_ratio(x, Wanted(), fill_percent=200), 5.0, "pan_ratio", 8.5 * 0.9 / 2),
    (lambda x: bread_from_pan_ratio(4.0, Wanted(), fill_percent=x), 10, "fill_percent", 20),
    (lambda x: bread_from_prior(Wanted(x)), -1, "wanted.share_percent", 0),
    (lambda x: bread_from_prior(Wanted(x)), 101, "wanted.share_percent", 60),
    (lambda x: bread_from_prior(Wanted(20, x)), 9, "wanted.off_optimum_points", 8),
    (lambda x: bread_from_prior(Wanted(20, bake_loss_percent=x)), 99, "wanted.bake_loss_percent", 30),
    (lambda x: bread_from_specific_volume(4, Wanted(20), Known(20, x)), -9, "known.off_optimum_points", -8),
    (
        lambda x: bread_from_specific_volume(2.2, Wanted(x), Known(5)),
        60,
        "wanted.share_percent",
        5 + 100 * (1 - 2.0 / 2.2) / 0.4,
    ),
    (
        lambda x: bread_from_calibration(calibration(share_volume_loss=2.5), Wanted(x)),
        60,
        "wanted.share_percent",
        5 + 100 * (1 - 2.0 / 4.3) / 2.5,
    ),
    (lambda x: fill_pan(1700, x, bread_from_prior(Wanted(20))), 0, "fill_percent", 20),
    (lambda x: fill_pan(1700, x, bread_from_prior(Wanted(20))), 301, "fill_percent", 300),
]


@pytest.mark.parametrize(("attempt", "given_value", "argument", "nearest"), REFUSED)
def test_impossible_bread_is_refused_with_a_value_that_works(attempt, given_value, argument, nearest):
    with pytest.raises(Refusal) as refused:
        attempt(given_value)
    assert (refused.value.argument, refused.value.given) == (argument, given_value)
    assert str(refused.value)
    assert refused.value.nearest == pytest.approx(nearest)
    attempt(refused.value.nearest)


@given(st.floats(3.0, 5.5), share, st.one_of(st.none(), share), off, st.sampled_from([0.0, 3.0, -5.0]))
def test_estimates_are_ordered_and_positive(value, to_share, from_share, to_off, from_off):
    for bread in (
        bread_from_specific_volume(value, Wanted(to_share, to_off), Known(from_share, from_off)),
        bread_from_prior(Wanted(to_share, to_off)),
        bread_from_pan_ratio(value, Wanted(to_share, to_off), Known(from_share, from_off)),
    ):
        filled = fill_pan(1700, 100, bread)
        for estimate in (
            bread.specific_volume,
            bread.loaf_per_dough,
            filled.dough_mass_g,
            filled.baked_mass_g,
            filled.pan_ratio,
        ):
            assert 0 < estimate.low <= estimate.best <= estimate.high


@given(st.floats(0.5, 10), st.floats(100, 10_000))
def test_twice_the_pan_needs_twice_the_dough(factor, pan):
    bread = bread_from_prior(Wanted(30))
    one, other = (fill_pan(size, 95, bread) for size in (pan, pan * factor))
    assert other.dough_mass_g.best == pytest.approx(one.dough_mass_g.best * factor, rel=1e-12)
    assert other.pan_ratio.low == pytest.approx(one.pan_ratio.low, rel=1e-12)
