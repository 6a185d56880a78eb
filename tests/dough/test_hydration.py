"""Moving the share with its water: the result, what stays the same, and refusals with their suggestions."""

from math import exp

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pytest import approx

from kitchen import correct, formula, masses, own, tin_loaf, total_of
from scaldloaf.dough.crumb_moisture import crumb_moisture_change, crumb_moisture_percent, dough_water_g
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import VITAL_GLUTEN, FlourChange, at_other_moisture, on_moisture_basis
from scaldloaf.dough.formula import DOUGH, SCALD, Line, break_down
from scaldloaf.dough.hydration import optimum_hydration, water_shift
from scaldloaf.dough.limits import LARGEST_HYDRATION_PERCENT
from scaldloaf.dough.notes import Note
from scaldloaf.dough.per_flour import HOLD_DOUGH, HOLD_FLOUR, Change
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scald import move_share
from scaldloaf.dough.trials import Trial, WaterBase, fit_trials
from scaldloaf.dough.water_judged import BALANCED, NOT_JUDGED, STICKY, UNDER_WATERED, assess
from scaldloaf.dough.water_rule import PRIOR_SLOPE, OwnSlope, OwnTable, Spot, share_limit_at, water_slope_at
from scaldloaf.reference import INGREDIENTS

WATER, MILK = INGREDIENTS["water"], INGREDIENTS["whole_milk"]


def refusal(call, *arguments, **named) -> Refusal:
    with pytest.raises(Refusal) as refused:
        call(*arguments, **named)
    return refused.value


def optimum(h0, x0, r0, x1, r1, rule=PRIOR_SLOPE, flour=None) -> Estimate:
    """``optimum_hydration`` from a hydration at a share and a ratio to another share and ratio."""
    return optimum_hydration(Spot(x0, r0, h0), Spot(x1, r1), rule, flour)


def codes(correction) -> list[str]:
    return [note.code for note in correction.notes]


# Optimum


@pytest.mark.parametrize(
    "ratio, low, best, high",
    [
        (0.5, 0, 0, 0),
        (0.64, 0, 0, 0.04),
        (0.8, 0.15 * 0.14 / 0.34, 0.12, 0.2),
        (1, 0.15, 0.27, 0.4),
        (1.5, 0.3, 0.645, 0.9),
        (2, 0.45, 1.02, 1.4),
        (3, 0.575, 1.47, 2.4),
        (4, 0.7, 1.47, 2.4),
        (8, 0.7, 1.47, 2.4),
    ],
)
def test_what_a_scald_binds(ratio, low, best, high):
    slope = water_slope_at(ratio)
    assert (slope.low, slope.best, slope.high) == (approx(low), approx(best), approx(high))
    assert slope.evidence == "common practice"


@given(st.floats(0, 10), st.floats(0, 10), st.floats(0.5, 0.75))
def test_a_wetter_scald_never_binds_less(one, other, raw):
    less, more = (water_slope_at(ratio, raw) for ratio in sorted((one, other)))
    for end in ("low", "best", "high"):
        assert 0 <= getattr(less, end) <= getattr(more, end) + 1e-12
    assert less.low <= less.best <= less.high


def test_the_share_is_bounded_by_the_water_it_takes():
    assert share_limit_at(1) == share_limit_at(1.34) == 40
    limits = [(1.5, 32.9), (2, 20.8), (2.6, 14.4), (6, 14.4)]
    assert [share_limit_at(ratio) for ratio, _ in limits] == approx([at for _, at in limits], abs=0.05)
    assert share_limit_at(2) * water_slope_at(2).best == approx(21.2)


def test_milk_brings_less_water_than_its_mass():
    """A scald of milk keeps 0.88 of its liquid as water, less what evaporates."""
    milky = formula(
        ("bread_flour", 100, "scald"),
        ("whole_milk", 150, "scald"),
        ("bread_flour", 400),
        ("whole_milk", 150),
        ("water", 100),
        ("salt", 9),
        evaporation=12,
    )
    correction = correct(milky, WATER, 24)
    kept = (150 * 0.88 - 12) / 100
    assert correction.here.kept_ratio == approx(kept) and correction.there.kept_ratio == approx(kept)
    assert correction.shift.points.best == approx(4 * 0.75 * (kept - 0.64))


def test_the_water_of_a_mixed_scald_and_the_optimum_agree():
    """Where milk fills what water cannot, the optimum is that of the water which this very scald keeps."""
    correction = correct(tin_loaf(), WATER, 14, 5, liquids=("water", "whole_milk"))
    got, share = masses(correction.formula), 14
    water = got["water", "scald"] + 0.88 * got["whole_milk", "scald"]
    assert got["whole_milk", "scald"] > 1
    assert correction.there.kept_ratio == approx(water / got["bread_flour", "scald"])
    shift = share * water_slope_at(correction.there.kept_ratio).best - 20 * 0.27
    assert correction.hydration_percent == approx(correction.before.hydration_percent + shift, abs=1e-8)


def test_absorption_acts_on_the_fresh_flour():
    """4 points of absorption are 4 on fresh flour, and 2.95 where 35 % of it is scalded."""
    base = formula(
        ("bread_flour", 350, "scald"), ("water", 350, "scald"), ("bread_flour", 650), ("water", 350)
    )
    correction = correct(base, WATER, flour=FlourChange(absorption_percent=66, base_absorption_percent=62))
    assert correction.hydration_percent - correction.before.hydration_percent == approx(2.95)


def test_optimum_from_the_prior():
    best = optimum(66, 20, 1, 35, 1)
    assert (best.low, best.best, best.high) == (approx(68.25), approx(70.05), approx(72))
    down = optimum(66, 35, 1, 20, 1)
    assert (down.low, down.best, down.high) == (approx(60), approx(61.95), approx(63.75))
    assert optimum(66, 0, None, 0, None) == Estimate(66, 66, 66, "exact")


def test_ratio_alone_moves_the_optimum():
    assert optimum(66, 10, 1, 10, 5).best == approx(66 + 10 * (1.47 - 0.27))
    there = optimum(66, 20, 1, 20, 2)
    assert (there.low - 66, there.best - 66, there.high - 66) == (approx(6), approx(15), approx(20))


def test_own_table_is_interpolated_linearly():
    table = [(40, 76), (0, 60), (20, 66)]
    assert optimum(70, 20, 1, 30, 1, rule=OwnTable.of(table)).best == approx(75)
    assert optimum(70, 0, None, 40, 1, rule=OwnTable.of(table)).best == approx(86)
    band = optimum(70, 20, 1, 30, 1, rule=OwnTable.of(table))
    assert band.low < band.best < band.high
    same = optimum(70, 20, 1, 20, 1, rule=OwnTable.of(table))
    assert same.low == same.high == 70


def test_outside_the_table_is_refused_with_its_end():
    table = OwnTable.of([(10, 64), (30, 70)])
    above = refusal(optimum, 66, 20, 1, 35, 1, table)
    assert (above.code, above.argument, above.nearest) == ("share_outside_curve", "change.share_percent", 30)
    assert optimum(66, 20, 1, above.nearest, 1, table).best == approx(69)
    assert refusal(optimum, 66, 20, 1, 5, 1, table).nearest == 10
    base = refusal(optimum, 66, 5, 1, 20, 1, table)
    assert base.argument == "water_rule" and base.nearest is None


def test_the_ends_of_a_table_allow_for_rounding():
    table = OwnTable.of([(0.1 * 3 * 100, 70), (40, 74)])
    assert optimum(70, 30 - 1e-14, 1, 40 + 1e-14, 1, table).best == approx(74)


def test_tables_that_say_nothing():
    assert refusal(OwnTable.of, [(20, 66)]).code == "curve_too_short"
    assert refusal(OwnTable.of, [(20, 66), (20, 67), (35, 70)]).code == "share_twice"


def test_own_slope_from_trials():
    slope = Estimate(0.4, 0.5, 0.6, "common practice")
    best = optimum(66, 20, 1, 30, 1, rule=OwnSlope(slope))
    assert (best.low, best.best, best.high) == (approx(70), approx(71), approx(72))
    # learnt at 1:2, it is smaller at 1:1 as the prior is
    other = optimum(66, 20, 1, 30, 1, rule=OwnSlope(slope, 2.0))
    assert other.best == approx(66 + 10 * 0.5 * 0.27 / 1.02)
    assert "own_slope_other_ratio" in codes(correct(tin_loaf(), WATER, 30, water_rule=OwnSlope(slope, 2.0)))
    correction = correct(tin_loaf(), WATER, 30, water_rule=OwnSlope(slope))
    assert correction.hydration_percent == approx(correction.before.hydration_percent + 5)
    assert "own_water_slope" in codes(correction)


def test_above_the_largest_share():
    wet = formula(
        ("bread_flour", 400), ("bread_flour", 100, "scald"), ("water", 100, "scald"), ("water", 300)
    )
    refused = refusal(correct, wet, WATER, 61)
    # what is advised stays where the water is known
    assert (refused.code, refused.nearest) == ("share_above_bound", 40)
    assert "share_extrapolated" not in codes(correct(wet, WATER, refused.nearest))
    assert correct(wet, WATER, 60).after.scalded_share_percent == approx(60)
    dry = formula(("bread_flour", 400), ("bread_flour", 100, "scald"), ("water", 100, "scald"), ("water", 20))
    # with too little water for that much scald the refusal names the most
    refused = refusal(correct, dry, WATER, 61)
    assert refused.code == "share_above_bound" and 25 < refused.nearest < 26
    assert correct(dry, WATER, refused.nearest)
    assert refusal(optimum, 66, 20, 1, 61, 1).nearest == 60


def test_a_table_beyond_the_largest_share_has_no_nearest_value():
    refused = refusal(optimum, 66, 75, 1, 50, 1, OwnTable.of([(70, 80), (90, 90)]))
    assert refused.code == "share_outside_curve" and refused.nearest is None


@given(st.floats(40, 90), st.floats(0, 60), st.floats(1, 8), st.floats(0, 60), st.floats(0, 60))
def test_more_share_never_needs_less_water(h0, x0, ratio, one, other):
    less, more = sorted((one, other))
    at_less = optimum(h0, x0, ratio, less, ratio)
    at_more = optimum(h0, x0, ratio, more, ratio)
    assert at_more.best >= at_less.best - 1e-12
    for each in (at_less, at_more):
        assert each.low <= each.best <= each.high


@given(st.floats(0, 60), st.floats(0.2, 9), st.floats(0, 60), st.floats(0.2, 9))
def test_shift_there_and_back_is_nothing(x0, r0, x1, r1):
    there, back = (
        water_shift(Spot(x0, r0), Spot(x1, r1)).points,
        water_shift(Spot(x1, r1), Spot(x0, r0)).points,
    )
    assert there.best + back.best == approx(0, abs=1e-12)
    assert there.low <= there.best <= there.high


# Flour


def test_flour_change_moves_the_optimum():
    wetter = FlourChange(moisture_percent=15, base_moisture_percent=14)
    assert optimum(65, 0, None, 0, None, flour=wetter).best == approx(65 - 1.9186, abs=1e-4)
    stronger = FlourChange(absorption_percent=64, base_absorption_percent=61)
    assert optimum(65, 0, None, 0, None, flour=stronger).best == approx(68)
    dry_base = FlourChange(12, 12, 64, 61)
    assert optimum(65, 0, None, 0, None, flour=dry_base).best == approx(65 + 3 * 88 / 86)


@given(st.floats(40, 90), st.floats(8, 16), st.floats(8, 16), st.floats(50, 70), st.floats(50, 70))
def test_flour_there_and_back(hydration, m0, m1, a0, a1):
    there = FlourChange(m1, m0, a1, a0).hydration_for(hydration)
    assert FlourChange(m0, m1, a0, a1).hydration_for(there) == approx(hydration, rel=1e-12)
    # 500 g of flour and 325 g of water with the other flour: same dry matter, same total
    flour = on_moisture_basis(500, m1, m0)
    assert flour * (100 - m1) == approx(500 * (100 - m0))
    assert 100 * (825 - flour) / flour == approx(at_other_moisture(65, m0, m1))


def test_new_flour_alone_keeps_share_and_dough_mass():
    correction = correct(tin_loaf(), WATER, flour=FlourChange(12, 14))
    assert correction.after.scalded_share_percent == approx(20)
    assert correction.after.dough_mass_g == approx(929, rel=1e-12)
    assert correction.hydration_percent > correction.before.hydration_percent
    # dry flour increases, but water per dry flour stays: by the practice rule the dough is no wetter
    assert correction.crumb_moisture_change_points.best == approx(0, abs=1e-9)


# Assessment and crumb


@pytest.mark.parametrize(
    "points, verdict",
    [(-2.1, UNDER_WATERED), (-2.0, BALANCED), (0, BALANCED), (3.0, BALANCED), (3.1, STICKY)],
)
def test_assessment(points, verdict):
    assert assess(70 + points, 70) == verdict


def test_a_formula_is_not_right_because_it_was_sent():
    correction = correct(tin_loaf(), WATER)
    assert (correction.assessment, correction.uncertain, correction.judged) == ("not_judged", True, None)
    assert "not_judged" in codes(correction) and "base_at_optimum" not in codes(correction)
    assert correction.optimum.high - correction.optimum.low > 5  # never a band of zero width
    for hydration in (60, 78):
        assert correct(tin_loaf(), WATER, hydration=hydration).assessment == "not_judged"


def test_a_move_to_the_same_place_is_none():
    assert correct(tin_loaf(), WATER, 20, 1).assessment == "not_judged"
    assert correct(tin_loaf(), WATER, 21).judged.by == correct(tin_loaf(), WATER, 20, 1.2).judged.by == "move"


@pytest.mark.parametrize(
    "absorption, verdict, uncertain",
    [(57, STICKY, True), (60.8, BALANCED, True), (64.5, UNDER_WATERED, True), (70, UNDER_WATERED, False)],
)
def test_the_flours_absorption_judges_a_formula_that_is_not_moved(absorption, verdict, uncertain):
    same = FlourChange(absorption_percent=absorption, base_absorption_percent=absorption)
    correction = correct(tin_loaf(), WATER, flour=same)
    suits = absorption + 20 * 0.75 * (1 - absorption / 100)
    assert correction.judged.by == "absorption" and correction.judged.against.best == approx(suits)
    assert correction.judged.against.high - suits == approx(2.5)
    assert (correction.assessment, correction.uncertain) == (verdict, uncertain)


def test_a_table_and_trials_judge_by_their_own_water():
    table = OwnTable.of([(0, 60), (20, 70), (40, 80)])
    correction = correct(tin_loaf(), WATER, water_rule=table)
    assert correction.judged == ("table", Estimate(69, 70, 71, "assumption"))
    assert correction.assessment == UNDER_WATERED
    fit = fit_trials([Trial(20, 450, 1700, hydration_percent=68)], WaterBase(10, 62.3))
    correction = correct(tin_loaf(), WATER, water_rule=OwnSlope.of(fit.calibration))
    assert correction.judged.by == "trials"
    assert correction.judged.against.best == approx(62.3 + 10 * fit.calibration.water_slope)
    unsaid = fit_trials([Trial(20, 450, 1700)])
    assert correct(tin_loaf(), WATER, water_rule=OwnSlope.of(unsaid.calibration)).judged is None


@pytest.mark.parametrize(
    "hydration, words",
    [(67.4, "a_little_denser"), (65.5, "denser_and_firmer"), (63, "dense"), (68.3, "hardly")],
)
def test_the_words_for_too_little_water_follow_the_loss(hydration, words):
    correction = correct(tin_loaf(), WATER, 35, hydration=hydration)
    note = next(note for note in correction.notes if note.code == "under_watered")
    loss = 100 * (1 - exp(-25 * ((hydration - 70.514) / 100) ** 2))
    assert note.values["words"] == words and note.values["loss"] == approx(loss)


def test_too_much_water_is_said_to_stick():
    correction = correct(tin_loaf(), WATER, 35, hydration=75)
    note = next(note for note in correction.notes if note.code == "sticky")
    assert note.values["points"] == approx(75 - 70.514)


@pytest.mark.parametrize("hydration, said", [(67, True), (67.5, False), (81.4, False), (81.5, True)])
def test_water_unlike_any_pan_breads_is_noted(hydration, said):
    """58 to 72 %, and what 35 % of scald 1:1 binds, 9.45 points."""
    assert ("unusual_water" in codes(correct(tin_loaf(), WATER, 35, hydration=hydration))) is said


def test_more_water_than_any_bread_is_refused():
    soup = formula(("bread_flour", 100), ("water", 201))
    refused = refusal(correct, soup, WATER, 5)
    assert (refused.argument, refused.code) == ("formula.lines", "too_wet_for_bread")
    assert correct(formula(("bread_flour", 100), ("water", 200)), WATER, 5)


@pytest.mark.parametrize("hydration, how", [(60, "speeds_up"), (60.0001, "may_speed_up"), (62, None)])
def test_staling_of_a_dry_scald_has_no_cliff(hydration, how):
    notes = correct(tin_loaf(), WATER, 31, hydration=hydration).notes
    assert [note.values["how"] for note in notes if note.code == "dry_scald"] == ([how] if how else [])


def test_a_base_far_from_its_flours_absorption_is_said():
    far = FlourChange(absorption_percent=66, base_absorption_percent=55)
    assert "base_off_absorption" in codes(correct(tin_loaf(), WATER, 30, flour=far))
    near = FlourChange(absorption_percent=66, base_absorption_percent=61)
    assert "base_off_absorption" not in codes(correct(tin_loaf(), WATER, 30, flour=near))


def test_other_flour_widens_the_band_of_the_water():
    rye = formula(
        ("bread_flour", 300), ("rye_flour", 100), ("bread_flour", 100, "scald"), ("water", 100, "scald"),
        ("water", 230),
    )  # fmt: skip
    white = formula(
        ("bread_flour", 400), ("bread_flour", 100, "scald"), ("water", 100, "scald"), ("water", 230)
    )
    noted, plain = correct(rye, WATER, 35), correct(white, WATER, 35)
    assert "other_flour" in codes(noted) and "other_flour" not in codes(plain)
    assert noted.optimum.best == approx(plain.optimum.best)
    wide, usual = (each.optimum.high - each.optimum.best for each in (noted, plain))
    assert wide == approx((1 + 2 * 0.2) * usual)


@pytest.mark.parametrize(
    "white, told", [(None, ["white_wheat_unsaid"]), (False, ["other_flour"]), (True, [])]
)
def test_an_own_flour_is_asked_about(white, told):
    mine = own("my flour", is_flour=True, water_percent=13, protein_percent=10, is_white_wheat=white)
    scald = (("bread_flour", 100, "scald"), ("water", 100, "scald"), ("water", 230))
    correction = correct(formula((mine, 300), ("bread_flour", 100), *scald), WATER, 30)
    asked = [code for code in codes(correction) if code in ("white_wheat_unsaid", "other_flour")]
    assert asked == told
    plain = correct(formula(("bread_flour", 400), *scald), WATER, 30).optimum
    width = correction.optimum.high - correction.optimum.best
    assert width == approx((plain.high - plain.best) * (2.2 if white is False else 1))


# A move takes its base to be right


def dough_of(hydration, share=35.0):
    """1:1, 35 % scalded and so much water, without milk."""
    return formula(
        ("bread_flour", share, "scald"),
        ("water", share, "scald"),
        ("bread_flour", 100 - share),
        ("water", hydration - share),
    )


@pytest.mark.parametrize("hydration", [60, 69])
@pytest.mark.parametrize("share, judged", [(35, False), (35.1, False), (34.9, False), (36, True)])
def test_a_move_too_small_to_measure_judges_nothing(hydration, share, judged):
    """35.1 % in place of 35 % makes nothing right: 0.03 points of water, where a farinograph reads 0.35."""
    correction = correct(dough_of(hydration), WATER, share)
    assert (correction.assessment == NOT_JUDGED) is not judged
    assert correction.uncertain or judged
    window = (58 + 0.27 * share, 72 + 0.27 * share)
    if not judged:
        assert correction.optimum.low <= window[0] + 0.01 and correction.optimum.high >= window[1] - 0.01


def test_a_small_move_is_judged_by_what_else_there_is():
    flour = FlourChange(absorption_percent=62, base_absorption_percent=62)
    assert correct(dough_of(60), WATER, 35.1, flour=flour).assessment == UNDER_WATERED
    table = OwnTable.of([(0, 62), (40, 73)])
    assert correct(dough_of(60), WATER, 35.1, water_rule=table).assessment == UNDER_WATERED


@pytest.mark.parametrize("gluten", [0, 3, 8])
def test_the_water_of_vital_gluten_is_not_called_unusual(gluten):
    """It takes 1.5 times its mass and brings a little: plausible and right water are more by that."""
    base = dough_of(67.7 + gluten * (1.5 + VITAL_GLUTEN.water_percent / 100), 20)
    base = base._replace(lines=(*base.lines, Line(VITAL_GLUTEN, gluten, DOUGH)) if gluten else base.lines)
    brought = VITAL_GLUTEN.water_percent / 100 * gluten
    base = base._replace(
        lines=(
            *base.lines[:3],
            base.lines[3]._replace(mass_g=base.lines[3].mass_g - brought),
            *base.lines[4:],
        )
    )
    flour = FlourChange(absorption_percent=62, base_absorption_percent=62)
    stays, moves = correct(base, WATER, 20, flour=flour), correct(base, WATER, 35)
    assert stays.judged.against.best == approx(stays.hydration_percent, abs=0.1)
    assert (stays.assessment, moves.assessment, moves.uncertain) == (BALANCED, BALANCED, False)
    assert "unusual_water" not in codes(stays) + codes(moves)
    more = correct(dough_of(67.7, 20), WATER, 20, gluten=gluten + 1)
    assert "unusual_water" not in codes(more) and more.assessment == BALANCED


def test_a_move_from_a_base_that_others_contradict_is_never_sure():
    """40 % water at 20 % stays as wrong at 35 %: balanced by the move, unlike any bread."""
    dry, usual = (correct(dough_of(water, 20), WATER, 35) for water in (45, 66))
    assert (dry.assessment, dry.uncertain) == (BALANCED, True)
    assert (usual.assessment, usual.uncertain) == (BALANCED, False)
    flour = FlourChange(absorption_percent=62, base_absorption_percent=62)
    off, right = (correct(dough_of(water, 20), WATER, 35, flour=flour) for water in (60, 67.7))
    assert (off.assessment, off.uncertain) == (BALANCED, True)
    assert (right.assessment, right.uncertain) == (BALANCED, False)
    table = OwnTable.of([(0, 62), (40, 73)])
    off = correct(dough_of(60, 20), WATER, 35, water_rule=table)
    assert (off.assessment, off.uncertain) == (BALANCED, True)
    drier = correct(dough_of(66, 20), WATER, 35, hydration=60)  # all say so
    assert (drier.assessment, drier.uncertain) == (UNDER_WATERED, False)


def test_a_table_is_for_the_gluten_that_the_formula_has():
    """What is added takes water of its own, which no table of the bread without it can have."""
    takes = 1.5 + VITAL_GLUTEN.water_percent / 100
    table = OwnTable.of([(0, 62), (40, 73)])
    suited, dry = (
        correct(dough_of(water, 20), WATER, 20, water_rule=table, gluten=4) for water in (67.5, 60)
    )
    for more, water, uncertain in ((suited, 67.5, False), (dry, 60, True)):
        assert more.hydration_percent == approx(water + 4 * takes)
        assert (more.assessment, more.uncertain) == (BALANCED, uncertain)
    little = correct(dough_of(67.5, 20), WATER, 20, water_rule=table, gluten=0.2)
    assert little.judged.by == "table" and little.judged.against.best == approx(67.5 + 0.2 * takes)


# Gluten


def test_gluten_that_makes_up_a_larger_share():
    """Protein balance: 15 points of 489 g of flour with 12 % protein, by gluten of 75.2 %."""
    correction = correct(tin_loaf(), WATER, 35)
    assert correction.gluten_to_make_up_g == approx(0.15 * correction.after.flour_g * 12 / 75.2)
    assert correct(tin_loaf(), WATER, 10).gluten_to_make_up_g == 0


@pytest.mark.parametrize("hold", [HOLD_DOUGH, HOLD_FLOUR])
def test_added_gluten_brings_its_water_and_leaves_less_to_make_up(hold):
    plain = correct(tin_loaf(), WATER, 35, hold=hold)
    correction = correct(tin_loaf(), WATER, 35, hold=hold, gluten=1.5)
    before, after = correction.before, correction.after
    held = (
        (after.dough_mass_g, before.dough_mass_g) if hold == HOLD_DOUGH else (after.flour_g, before.flour_g)
    )
    assert held[0] == approx(held[1])
    assert 100 * total_of(correction.formula, "vital_gluten") / after.flour_g == approx(1.5)
    assert after.scalded_share_percent == approx(35)
    more = correction.hydration_percent - plain.hydration_percent
    assert more == approx(1.5 * (1.5 + 0.082))
    assert correction.optimum.high - correction.optimum.low > plain.optimum.high - plain.optimum.low
    left = (0.15 * 12 / 75.2 - 0.015) * after.flour_g
    assert correction.gluten_to_make_up_g == approx(left)
    assert correct(correction.formula, WATER, 35, gluten=0).gluten_percent == (approx(1.5), 0)


def test_explicit_hydration_is_used_and_assessed():
    for hydration, verdict in ((66, UNDER_WATERED), (70, BALANCED), (78, STICKY)):
        correction = correct(tin_loaf(), WATER, 35, hydration=hydration)
        assert correction.after.hydration_percent == approx(hydration)
        assert correction.assessment == verdict
        assert correction.optimum.best == approx(70.514)


def test_crumb_moisture_by_balance():
    # 1000 g of dough with 450 g of water less 100 g of it: 350 in 900
    assert crumb_moisture_percent(450, 1000, 10) == approx(100 * 350 / 900)
    refused = refusal(crumb_moisture_percent, 50, 1000, 10)
    assert refused.code == "bake_loss_above_water" and refused.nearest == approx(5)
    assert crumb_moisture_percent(50, 1000, refused.nearest) == approx(0)
    drier = crumb_moisture_percent(430, 1000, 10) - crumb_moisture_percent(450, 1000, 10)
    change = crumb_moisture_change(-5, drier)
    assert change.low <= change.best <= change.high < 0.001
    assert change.low == approx(-2 / 0.9)


def test_a_dough_with_next_to_no_water_cannot_lose_it():
    of = formula(("bread_flour", 100), ("oil", 900), ("water", 5))
    unasked = refusal(correct, of, WATER, hydration=8)
    assert (unasked.argument, unasked.code) == ("formula.lines", "bake_loss_above_water")
    refused = refusal(lambda: correct(of, WATER, hydration=8, bake_loss_percent=12))
    assert (refused.argument, refused.code) == ("bake_loss_percent", "bake_loss_above_water")
    moved = correct(of, WATER, hydration=8, bake_loss_percent=refused.nearest)
    assert moved.loaf_moisture_percent[0] == approx(0, abs=1e-9) and moved.loaf_moisture_percent[1] > 0


# What stays when the share moves


def test_main_job_20_to_35():
    correction = correct(tin_loaf(), WATER, 35)
    after = correction.after
    assert after.dough_mass_g == approx(929, rel=1e-12)
    assert after.scalded_share_percent == approx(35)
    assert after.scald_liquid_ratio == approx(1)
    assert after.hydration_percent == approx(correction.optimum.best)
    got = masses(correction.formula)
    assert got["bread_flour", "scald"] == approx(got["water", "scald"])
    assert [(each.ingredient.name, each.part) for each in correction.formula.lines] == [
        (each.ingredient.name, each.part) for each in tin_loaf().lines
    ]
    assert codes(correction) == [
        "base_at_optimum",
        "volume_falls_with_share",
        "proof_and_mixing",
        "gluten_makes_up",
        "crumb_takes_little_water",
    ]


shares = st.floats(0, 40).filter(lambda share: share == 0 or share > 1e-3)
enriched = st.fixed_dictionaries(
    {
        "milk": st.floats(0, 40),
        "sugar": st.floats(0, 15),
        "butter": st.floats(0, 20),
        "egg": st.floats(0, 15),
        "free": st.floats(45, 70),
        "flour": st.floats(1, 1e5),
        "evaporation": st.floats(0, 5),
    }
)


def build(parts: dict, share: float, ratio: float):
    """A dough with enough free water for its scald, two water lines and a second flour."""
    flour = parts["flour"]
    scald_water = ratio * share
    rows = [("bread_flour", share, "scald"), ("water", scald_water, "scald")] if share else []
    rows += [
        ("bread_flour", (100 - share) * 0.7),
        ("plain_flour", (100 - share) * 0.3),
        ("whole_milk", parts["milk"]),
        ("water", (parts["free"] - scald_water) * 0.4),
        ("sucrose", parts["sugar"]),
        ("butter", parts["butter"]),
        ("water", (parts["free"] - scald_water) * 0.6),
        ("whole_egg", parts["egg"]),
        ("salt", 1.8),
        ("instant_yeast", 1),
    ]
    lost = parts["evaporation"] * share / 100
    return formula(
        *((name, mass * flour / 100, *part) for name, mass, *part in rows), evaporation=lost * flour / 100
    )


@given(enriched, shares, shares, st.sampled_from([HOLD_DOUGH, HOLD_FLOUR]))
def test_what_stays_when_the_share_moves(parts, share, to, hold):
    base = build(parts, share, 1)
    before = break_down(base)
    correction = correct(base, WATER, to, hold=hold)
    after = correction.after
    if hold == HOLD_DOUGH:
        assert after.dough_mass_g == approx(before.dough_mass_g, rel=1e-9)
    else:
        assert after.flour_g == approx(before.flour_g, rel=1e-9)
    assert after.scalded_share_percent == approx(to, abs=1e-9)
    assert after.hydration_percent == approx(correction.optimum.best, rel=1e-9)
    for name in {each.ingredient.name for each in base.lines} - {"water"}:
        assert 100 * total_of(correction.formula, name) / after.flour_g == approx(
            100 * total_of(base, name) / before.flour_g, rel=1e-9, abs=1e-9
        )
    if to > 0:
        assert after.scald_liquid_ratio == approx(1, rel=1e-6)
    if share > 0 and to > 0:
        assert correction.formula.scald_evaporation_g / after.scald_flour_g == approx(
            base.scald_evaporation_g / before.scald_flour_g, rel=1e-9
        )
    assert min(each.mass_g for each in correction.formula.lines) >= 0
    assert correction.move.flour_g == approx(after.flour_g)
    assert correction.move.scald_liquid_g == approx(after.scald_liquid_g)


@given(enriched, st.floats(1, 40), st.floats(1, 40))
def test_there_and_back_is_the_same_formula(parts, share, to):
    base = build(parts, share, 1)
    there = correct(base, WATER, to)
    assume(len(there.formula.lines) == len(base.lines))
    back = correct(there.formula, WATER, share)
    assert back.formula.scald_evaporation_g == approx(base.scald_evaporation_g, rel=1e-7)
    assert [(each.ingredient.name, each.part) for each in back.formula.lines] == [
        (each.ingredient.name, each.part) for each in base.lines
    ]
    scale = break_down(base).dough_mass_g
    assert [each.mass_g for each in back.formula.lines] == approx(
        [each.mass_g for each in base.lines], abs=1e-9 * scale
    )


@given(enriched, st.floats(0, 20), st.floats(0, 60), st.floats(0.5, 8), st.none() | st.floats(0, 120))
def test_following_a_refusal_works(parts, share, to, ratio, hydration):
    base = build({**parts, "evaporation": 0}, share, 1)
    asked = {"share": to, "ratio": ratio, "hydration": hydration}
    argument = {"change.share_percent": "share", "change.hydration_percent": "hydration"}
    seen = []
    while True:
        try:
            correction = correct(base, WATER, **asked)
        except Refusal as refused:
            if refused.nearest is None:  # only when no hydration within the bounds works
                assert refused.amounts["smallest"][0] > LARGEST_HYDRATION_PERCENT, refused
                return
            assert (refused.argument, refused.nearest) not in seen, "a refusal must lead to a new value"
            seen.append((refused.argument, refused.nearest))
            asked[argument[refused.argument]] = refused.nearest
            assert len(seen) <= 1, f"the nearest value is refused too: {seen}"
            continue
        break
    assert correction.after.dough_mass_g == approx(break_down(base).dough_mass_g, rel=1e-9)


def test_the_nearest_share_fits_the_scalds_own_flour():
    # All the rye, a tenth of the flour, is in the scald already; the water would allow far more.
    of = formula(("rye_flour", 50, "scald"), ("water", 50, "scald"), ("bread_flour", 450), ("water", 300))
    refused = refusal(correct, of, WATER, 70)
    assert refused.code == "share_above_bound" and refused.nearest == approx(10)
    assert correct(of, WATER, refused.nearest).after.scalded_share_percent == approx(10)


# Liquids of the scald


def test_a_scald_that_is_too_thin_is_refused_and_every_suggestion_works():
    refused = refusal(correct, tin_loaf(), WATER, 14, 5)
    assert refused.code == "scald_liquid_short" and refused.argument == "change.share_percent"
    ways = {name: each[0] for name, each in refused.amounts.items() if not isinstance(each, str)}
    assert refused.nearest == ways["largest_share"]
    assert ways["wanted"] == 70
    correct(tin_loaf(), WATER, ways["largest_share"], 5)
    correct(tin_loaf(), WATER, 14, ways["largest_ratio"])
    correct(tin_loaf(), WATER, 14, 5, hydration=ways["smallest"])
    correct(tin_loaf(), WATER, 14, 5, liquids=("water", "whole_milk"))
    assert "whole_milk" in str(refused)
    assert [(way.keeps, dict(way.change)) for way in refused.ways] == [
        ("change.share_percent", {"change.liquid_ratio": ways["largest_ratio"]}),
        ("change.share_percent", {"change.hydration_percent": ways["smallest"]}),
        ("change.share_percent", {"change.scald_liquids": ["water", "whole_milk"]}),
    ]
    # and each is the limit: a little further is refused again
    for further in (
        {"share": ways["largest_share"] + 0.02, "ratio": 5},
        {"share": 14, "ratio": ways["largest_ratio"] + 0.02},
        {"share": 14, "ratio": 5, "hydration": ways["smallest"] - 0.02},
    ):
        assert refusal(correct, tin_loaf(), WATER, **further).code == "scald_liquid_short"


@pytest.mark.parametrize("ratio", [1.5, 2, 3, 5])
def test_what_a_refusal_teaches_stays_where_the_water_is_known(ratio):
    refused = refusal(correct, tin_loaf(), WATER, 45, ratio)
    limit = share_limit_at(ratio)
    assert refused.nearest <= limit + 1e-9
    for way in refused.ways:
        change = way.change
        share = change.get("change.share_percent", 45)
        assert share <= share_limit_at(change.get("change.liquid_ratio", ratio)) + 1e-9, way
    moved = correct(tin_loaf(), WATER, refused.nearest, ratio)
    assert "share_extrapolated" not in codes(moved)


def test_milk_in_the_scald_is_suggested_only_where_it_leads_further():
    refused = refusal(correct, tin_loaf(), WATER, 35, 5)
    with_milk, without = (refused.amounts[name][0] for name in ("with_more", "largest_share"))
    assert with_milk == approx(share_limit_at(5), abs=0.01) and without < with_milk
    correction = correct(tin_loaf(), WATER, with_milk, 5, liquids=("water", "whole_milk"))
    assert correction.after.scald_liquid_ratio == approx(5)
    # both reach the limit of the slope here, so milk adds nothing and is not named
    wet = formula(
        ("bread_flour", 480),
        ("bread_flour", 20, "scald"),
        ("water", 100, "scald"),
        ("water", 300),
        ("whole_milk", 30),
    )
    refused = refusal(correct, wet, WATER, 30, 5)
    assert refused.nearest == approx(share_limit_at(5), abs=0.01)
    assert "with_more" not in refused.amounts and "would take it to" not in str(refused)


def test_water_exactly_enough_is_enough():
    # 0.1 x 3 of water against 0.3: enough, in spite of rounding
    base = formula(("bread_flour", 1), ("water", 0.1 * 3), ("water", 0.1 * 3), ("salt", 0.02))
    h = break_down(base).hydration_percent
    for share, ratio in ((60, 1), (30, 2), (20, 3)):
        moved = move_share(base, WATER, Change(share, ratio), lambda *_: h)
        assert break_down(moved.formula).scald_liquid_ratio == approx(ratio)
        assert total_of(moved.formula, "water") == approx(0.6)
        assert all(each.part == SCALD for each in moved.formula.lines if each.ingredient.name == "water")


def test_scald_keeps_the_mix_of_its_liquids():
    base = formula(
        ("bread_flour", 100, "scald"),
        ("water", 60, "scald"),
        ("whole_milk", 40, "scald"),
        ("bread_flour", 400),
        ("water", 150),
        ("whole_milk", 100),
        ("salt", 9),
    )
    correction = correct(base, WATER, 30)
    got = masses(correction.formula)
    assert got["whole_milk", "scald"] / got["water", "scald"] == approx(40 / 60)
    assert got["whole_milk", "scald"] + got["water", "scald"] == approx(got["bread_flour", "scald"])
    assert "scald_liquids_mixed" not in codes(correction)


def test_other_liquids_replace_one_that_runs_short():
    base = formula(
        ("bread_flour", 100, "scald"),
        ("water", 20, "scald"),
        ("whole_milk", 80, "scald"),
        ("bread_flour", 400),
        ("water", 230),
        ("whole_milk", 20),
        ("salt", 9),
    )
    correction = correct(base, WATER, 35)
    got = masses(correction.formula)
    assert ("whole_milk", "dough") not in got
    assert correction.after.scald_liquid_ratio == approx(1)
    assert 100 * got["whole_milk", "scald"] / correction.after.flour_g == approx(20)
    assert {"scald_liquids_mixed", "lines_dropped"} <= set(codes(correction))


def test_allowed_liquids_are_used_in_the_order_given():
    base = formula(("bread_flour", 500), ("water", 250), ("whole_milk", 100), ("salt", 9))
    correction = correct(base, WATER, 30, 1, liquids=("whole_milk", "water"))
    got = masses(correction.formula)
    assert 100 * got["whole_milk", "scald"] / correction.after.flour_g == approx(20)
    assert 100 * got["water", "scald"] / correction.after.flour_g == approx(10)
    only_milk = refusal(correct, base, WATER, 30, 1, liquids=("whole_milk",))
    assert only_milk.nearest == approx(20)
    assert "smallest" not in only_milk.amounts  # more water would not help: the scald may not have it


def test_liquids_not_of_the_formula():
    refused = refusal(correct, tin_loaf(), WATER, 35, liquids=("water", "whole_mlik"))
    assert (refused.argument, refused.nearest) == ("change.scald_liquids.1", "whole_milk")
    refused = refusal(correct, tin_loaf(), WATER, 35, liquids=("butter",))
    assert refused.nearest in ("water", "whole_milk")


def test_milk_adjusts_the_water():
    correction = correct(tin_loaf(), MILK, 30)
    flour = correction.after.flour_g
    assert 100 * total_of(correction.formula, "water") / flour == approx(39)
    assert 100 * total_of(correction.formula, "whole_milk") / flour > 30
    assert correction.after.hydration_percent == approx(correction.optimum.best)
    assert correction.after.dough_mass_g == approx(929)


def test_adjusting_with_a_liquid_that_is_new():
    base = formula(("bread_flour", 500), ("water", 300), ("salt", 9))
    correction = correct(base, MILK, hydration=66)
    assert 100 * total_of(correction.formula, "whole_milk") / correction.after.flour_g == approx(6 / 0.88)
    assert "lines_added" in codes(correction)


@pytest.mark.parametrize("name", ["butter", "bread_flour", "salt"])
def test_adjusting_with_an_ingredient_that_is_not_a_liquid(name):
    refused = refusal(correct, tin_loaf(), INGREDIENTS[name], 35)
    assert (refused.code, refused.argument, refused.nearest) == ("not_a_liquid", "adjust_with", "water")


def test_a_hydration_that_is_too_low_names_the_lowest_that_works():
    refused = refusal(correct, tin_loaf(), WATER, 0, hydration=20)
    assert (refused.code, refused.argument) == ("adjusting_liquid_short", "change.hydration_percent")
    least = correct(tin_loaf(), WATER, 0, hydration=refused.nearest)
    assert total_of(least.formula, "water") < 0.1
    refused = refusal(correct, tin_loaf(), WATER, 35, hydration=20)
    assert correct(tin_loaf(), WATER, 35, hydration=refused.nearest)


def test_egg_can_adjust_a_dough_that_has_it_in_the_scald():
    egg = INGREDIENTS["whole_egg"]
    base = formula(
        ("bread_flour", 100, "scald"),
        ("water", 100, "scald"),
        (egg, 20, "scald"),
        ("bread_flour", 400),
        ("water", 150),
        (egg, 60),
        ("salt", 9),
    )
    correction = correct(base, egg, 22)
    got = masses(correction.formula)
    flour = correction.after.flour_g
    assert got["whole_egg", "scald"] / flour == approx(20 / 500)
    assert correction.after.hydration_percent == approx(correction.optimum.best)
    refused = refusal(correct, base, egg, 22, hydration=40)
    assert correct(base, egg, 22, hydration=refused.nearest).after.dough_mass_g == approx(839)


# Flours of the scald


def test_scald_keeps_its_own_flour():
    base = formula(
        ("rye_flour", 100, "scald"),
        ("water", 100, "scald"),
        ("bread_flour", 300),
        ("rye_flour", 100),
        ("water", 200),
    )
    got = masses(correct(base, WATER, 30).formula)
    assert ("bread_flour", "scald") not in got
    flour = sum(mass for (name, _), mass in got.items() if name.endswith("flour"))
    assert got["rye_flour", "scald"] / flour == approx(0.3)
    assert got["rye_flour", "dough"] / flour == approx(0.1)


def test_a_flour_that_runs_short_is_refused_with_its_limit():
    base = formula(
        ("rye_flour", 100, "scald"),
        ("water", 100, "scald"),
        ("bread_flour", 350),
        ("rye_flour", 50),
        ("water", 200),
    )
    refused = refusal(correct, base, WATER, 35)
    assert (refused.code, refused.nearest) == ("scald_flour_short", approx(30))
    correction = correct(base, WATER, refused.nearest)
    assert ("rye_flour", "dough") not in masses(correction.formula)


def test_a_first_scald_uses_all_flours_and_says_so():
    base = formula(("bread_flour", 400), ("whole_wheat_flour", 100), ("water", 330), ("salt", 9))
    correction = correct(base, WATER, 20)
    got = masses(correction.formula)
    assert got["bread_flour", "scald"] / got["whole_wheat_flour", "scald"] == approx(4)
    assert correction.after.scald_liquid_ratio == approx(1)
    assert {"ratio_assumed", "scald_flour_mix", "lines_added"} <= set(codes(correction))
    assert [each.part for each in correction.formula.lines][:3] == [SCALD] * 3
    assert [each.ingredient.name for each in correction.formula.lines][2] == "water"


def test_all_flour_in_the_scald_comes_back():
    base = formula(("bread_flour", 500, "scald"), ("water", 350, "scald"), ("salt", 9))
    correction = correct(base, WATER, 20, 1, hydration=66)
    assert [(each.ingredient.name, each.part) for each in correction.formula.lines] == [
        ("bread_flour", SCALD),
        ("water", SCALD),
        ("bread_flour", DOUGH),
        ("water", DOUGH),
        ("salt", DOUGH),
    ]
    assert correction.after.dough_mass_g == approx(859)


# Lines


def test_duplicate_lines_keep_their_proportions():
    base = formula(
        ("water", 30, "scald"),
        ("bread_flour", 100, "scald"),
        ("water", 70, "scald"),
        ("bread_flour", 300),
        ("water", 50),
        ("bread_flour", 100),
        ("water", 150),
    )
    lines = correct(base, WATER, 30).formula.lines
    assert lines[2].mass_g / lines[0].mass_g == approx(7 / 3)
    assert lines[3].mass_g / lines[5].mass_g == approx(3)
    assert lines[6].mass_g / lines[4].mass_g == approx(3)


def test_share_zero_drops_the_scald_and_says_so():
    base = formula(
        ("bread_flour", 100, "scald"),
        ("water", 150, "scald"),
        ("sucrose", 10, "scald"),
        ("bread_flour", 400),
        ("water", 180),
        ("salt", 9),
        evaporation=12,
    )
    correction = correct(base, WATER, 0)
    assert all(each.part == DOUGH for each in correction.formula.lines)
    assert correction.formula.scald_evaporation_g == 0
    assert correction.after.dough_mass_g == approx(break_down(base).dough_mass_g, rel=1e-12)
    assert 100 * total_of(correction.formula, "sucrose") / correction.after.flour_g == approx(2)
    assert {"lines_dropped", "scald_lines_to_dough"} <= set(codes(correction))


def test_other_lines_of_the_scald_stay_there():
    base = formula(
        ("bread_flour", 100, "scald"),
        ("water", 100, "scald"),
        ("butter", 15, "scald"),
        ("salt", 2, "scald"),
        ("bread_flour", 400),
        ("water", 230),
        ("butter", 10),
        ("salt", 7),
    )
    correction = correct(base, WATER, 30)
    got, flour = masses(correction.formula), correction.after.flour_g
    assert 100 * got["butter", "scald"] / flour == approx(3)
    assert 100 * got["salt", "scald"] / flour == approx(0.4)


def test_zero_lines_are_filled_when_they_are_needed():
    base = formula(("bread_flour", 0, "scald"), ("water", 0, "scald"), ("bread_flour", 500), ("water", 320))
    correction = correct(base, WATER, 20)
    assert [(each.part, each.mass_g > 0) for each in correction.formula.lines] == [
        (SCALD, True),
        (SCALD, True),
        (DOUGH, True),
        (DOUGH, True),
    ]
    assert "lines_added" not in codes(correction)


def test_a_dust_of_water_makes_no_line():
    """A loaf of milk alone at its own share: only rounding asks for water."""
    base = formula(
        ("bread_flour", 20, "scald"),
        ("whole_milk", 103.1, "scald"),
        ("bread_flour", 350),
        ("whole_milk", 123.72),
    )
    correction = correct(base, WATER, break_down(base).scalded_share_percent)
    assert [each.ingredient.name for each in correction.formula.lines].count("water") == 0
    assert "lines_added" not in codes(correction)


def test_own_ingredients_of_one_name_stay_apart():
    weak, strong = (own("mill flour", is_flour=True, protein_percent=protein) for protein in (9, 13))
    base = formula((weak, 100, "scald"), ("water", 100, "scald"), (strong, 300), (weak, 100), ("water", 220))
    correction = correct(base, WATER, 30)
    protein = correction.after.protein_percent
    assert protein == approx(correction.before.protein_percent)
    assert [
        each.ingredient.protein_percent for each in correction.formula.lines if each.ingredient.is_flour
    ] == [9, 13, 9]


@pytest.mark.parametrize("liquids", [("water", "whole_milk"), ("whole_milk", "water")])
def test_new_lines_follow_the_order_of_the_allowed_liquids(liquids):
    base = formula(
        ("bread_flour", 100, "scald"), ("bread_flour", 400), ("whole_milk", 250), ("water", 195), ("salt", 9)
    )
    correction = correct(base, WATER, 35, 2, hydration=83, liquids=liquids)
    scald = [each.ingredient.name for each in correction.formula.lines if each.part == SCALD]
    assert scald == ["bread_flour", *liquids]
    added = ", ".join(f"{name} (scald)" for name in liquids)
    assert Note("lines_added", {"lines": added}) in correction.notes


# Evaporation


def test_evaporation_grows_with_the_scald():
    base = formula(
        ("bread_flour", 50, "scald"),
        ("water", 250, "scald"),
        ("bread_flour", 450),
        ("water", 90),
        ("whole_milk", 50),
        ("salt", 9),
        evaporation=30,
    )
    correction = correct(base, WATER, 9)
    assert correction.formula.scald_evaporation_g / correction.after.scald_flour_g == approx(30 / 50)
    assert correction.after.dough_mass_g == approx(break_down(base).dough_mass_g, rel=1e-12)
    assert correction.after.hydration_percent == approx(correction.optimum.best)
    assert "evaporation_scaled" in codes(correction)


def test_a_scald_cannot_lose_more_than_it_holds():
    base = formula(
        ("bread_flour", 50, "scald"),
        ("water", 250, "scald"),
        ("bread_flour", 450),
        ("water", 90),
        ("salt", 9),
        evaporation=60,
    )
    refused = refusal(correct, base, WATER, 10, 0.5)
    assert (refused.code, refused.argument) == ("evaporation_above_scald_water", "change.liquid_ratio")
    assert correct(base, WATER, 10, refused.nearest)


# Bad shares


@pytest.mark.parametrize("share, nearest", [(-5, 0), (120, 100)])
def test_share_outside_the_flour(share, nearest):
    refused = refusal(move_share, tin_loaf(), WATER, Change(share, 1), lambda *_: 66)
    assert (refused.code, refused.nearest) == ("share_out_of_range", nearest)


@pytest.mark.parametrize("share", [1e-8, 1e-300, 5e-324])
def test_a_share_that_is_only_rounding_is_none(share):
    there = correct(tin_loaf(), WATER, share)
    assert there.after.scalded_share_percent == 0 and there.after.scald_liquid_ratio is None
    base = formula(
        ("bread_flour", share, "scald"),
        ("water", 1, "scald"),
        ("bread_flour", 500),
        ("water", 300),
        evaporation=0.5,
    )
    correction = correct(base, WATER, 20)
    assert correction.after.scald_liquid_ratio == approx(1)
    assert correction.after.dough_mass_g == approx(800.5)


def test_water_count_of_the_dough():
    moisture = INGREDIENTS["bread_flour"].water_percent
    of = formula(("bread_flour", 100, "scald"), ("water", 100, "scald"), ("bread_flour", 400), evaporation=5)
    assert dough_water_g(of) == approx(5 * moisture + 95)
    assert dough_water_g(of, 14) == approx(70 + 95)
