"""Scaling: every target, both loss rules, rounding for a scale."""

from dataclasses import replace
from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from kitchen import formula, line, masses, own, tin_loaf, total_of
from scaldloaf.dough.formula import break_down, scaled
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import (
    ADDED,
    BAKED_PIECES,
    COMPOUNDED,
    DOUGH_MASS,
    FACTOR,
    FLOUR_MASS,
    ON_HAND,
    PIECES,
    Losses,
    Scale,
    Target,
    largest_remainder,
    mixed_mass_g,
    scale_to,
    share_left,
    strewn_on_scale_g,
    weigh_out,
)


def refusal(call, *arguments) -> Refusal:
    with pytest.raises(Refusal) as refused:
        call(*arguments)
    return refused.value


# Targets


def test_dough_mass_without_losses_is_the_dough_mixed():
    scaling = scale_to(tin_loaf(), Target(DOUGH_MASS, mass_g=1858))
    assert scaling.factor == approx(2)
    assert scaling.dough_mass_g == scaling.dough_after_handling_g == approx(1858)
    assert scaling.piece_mass_g is None and not scaling.notes


def test_dough_mass_is_what_handling_leaves():
    scaling = scale_to(tin_loaf(), Target(DOUGH_MASS, mass_g=980), Losses(2))
    assert scaling.dough_mass_g == approx(1000)
    assert scaling.dough_after_handling_g == approx(980)


def test_flour_mass_counts_both_parts():
    scaling = scale_to(tin_loaf(), Target(FLOUR_MASS, mass_g=1000))
    assert break_down(scaling.formula).flour_g == approx(1000)
    assert scaling.factor == approx(2)


def test_pieces_and_baked_pieces():
    losses = Losses(2, 10)
    pieces = scale_to(tin_loaf(), Target(PIECES, mass_g=450, count=12), losses)
    assert pieces.dough_mass_g == approx(12 * 450 / 0.98)
    assert pieces.piece_mass_g == 450
    assert [note.code for note in pieces.notes] == ["bake_loss_not_used"]
    baked = scale_to(tin_loaf(), Target(BAKED_PIECES, mass_g=405, count=12), losses)
    assert baked.dough_mass_g == approx(pieces.dough_mass_g)
    assert baked.piece_mass_g == approx(450)
    assert not baked.notes


def test_factor_scales_the_evaporation():
    base = formula(
        ("bread_flour", 100, "scald"), ("water", 200, "scald"), ("bread_flour", 400), evaporation=20
    )
    scaling = scale_to(base, Target(FACTOR, factor=3))
    assert scaling.formula.scald_evaporation_g == 60
    assert scaling.dough_mass_g == approx(3 * 680)
    assert break_down(scaling.formula).hydration_percent == approx(break_down(base).hydration_percent)


@pytest.mark.parametrize("losses", [Losses(3), Losses(3, 10), Losses(0, 10)])
def test_losses_do_not_change_a_fixed_mixing(losses):
    for target in (
        Target(FACTOR, factor=2),
        Target(FLOUR_MASS, mass_g=1000),
        Target(ON_HAND, mass_g=60, ingredient="butter"),
    ):
        scaling = scale_to(tin_loaf(), target, losses)
        assert scaling.factor == approx(2)
        codes = [note.code for note in scaling.notes]
        assert ("handling_loss_not_used" in codes) is (losses.handling_percent > 0)
        assert ("bake_loss_not_used" in codes) is (losses.bake_percent > 0)


def test_on_hand_uses_up_all_lines_of_the_ingredient():
    scaling = scale_to(tin_loaf(), Target(ON_HAND, mass_g=1000, ingredient="water"))
    assert (scaling.in_formula_g, total_of(scaling.formula, "water")) == (195, approx(1000))


def test_on_hand_refuses_what_is_not_in_the_formula():
    missing = refusal(scale_to, tin_loaf(), Target(ON_HAND, mass_g=100, ingredient="buter"))
    assert missing.code == "not_in_formula" and missing.nearest == "butter"
    assert missing.argument == "target.ingredient" and "whole_milk" in str(missing)
    alias = refusal(scale_to, tin_loaf(), Target(ON_HAND, mass_g=100, ingredient="sugar"))
    assert alias.nearest == "sucrose"
    far = refusal(scale_to, tin_loaf(), Target(ON_HAND, mass_g=100, ingredient="zzz"))
    assert far.nearest is None
    empty = formula(("bread_flour", 100), ("water", 60), ("salt", 0))
    assert refusal(scale_to, empty, Target(ON_HAND, mass_g=1, ingredient="salt")).code == "none_in_formula"


def test_a_name_with_braces_is_only_a_name():
    odd = own("flour {a}", is_flour=True)
    refused = refusal(scale_to, formula((odd, 100)), Target(ON_HAND, mass_g=1, ingredient="salt"))
    assert "flour {a}" in str(refused)


def test_no_flour_and_no_such_target():
    assert refusal(scale_to, formula(("water", 100)), Target(FACTOR, factor=1)).code == "no_flour"
    assert refusal(scale_to, tin_loaf(), Target("loaves")).argument == "target.kind"


@pytest.mark.parametrize(
    "target, field",
    [
        (Target(FACTOR, factor=1e-9), "target.factor"),
        (Target(DOUGH_MASS, mass_g=1e-6), "target.mass"),
        (Target(BAKED_PIECES, mass_g=1e-7, count=3), "target.mass"),
        (Target(ON_HAND, mass_g=1e-8, ingredient="salt"), "target.mass"),
    ],
)
def test_a_target_that_is_too_small_names_the_smallest_that_works(target, field):
    refused = refusal(scale_to, tin_loaf(), target, Losses(2, 10))
    assert (refused.code, refused.argument) == ("nothing_left_of_formula", field)
    enough = replace(target, **{"factor" if field.endswith("factor") else "mass_g": refused.nearest})
    assert scale_to(tin_loaf(), enough, Losses(2, 10)).factor == approx(1e-3 / 500, rel=0.01)


@pytest.mark.parametrize(
    "target", [Target(FACTOR, factor=0), Target(FACTOR, factor=float("inf")), Target(DOUGH_MASS, mass_g=0)]
)
def test_nothing_to_scale_to(target):
    refused = refusal(scale_to, tin_loaf(), target)
    assert refused.code == "nothing_left_of_formula" and refused.nearest is None


# Losses


def test_compounded_and_added():
    assert share_left(Losses(2, 10, COMPOUNDED), True) == approx(0.98 * 0.9)
    assert share_left(Losses(2, 10, ADDED), True) == approx(0.88)
    for rule in (COMPOUNDED, ADDED):
        assert share_left(Losses(2, 10, rule), False) == approx(0.98)
        assert mixed_mass_g(980, Losses(2, 10, rule), False) == approx(1000)


@pytest.mark.parametrize(
    "losses", [Losses(60, 40, ADDED), Losses(100, 0), Losses(0, 100), Losses(70, 60, ADDED)]
)
def test_losses_that_leave_nothing(losses):
    refused = refusal(scale_to, tin_loaf(), Target(BAKED_PIECES, mass_g=400, count=1), losses)
    assert refused.code == "nothing_left" and refused.argument == "losses"


@given(st.floats(0, 40), st.floats(0, 40))
def test_added_losses_need_at_least_as_much_dough(handling, bake):
    added = mixed_mass_g(1000, Losses(handling, bake, ADDED), True)
    compounded = mixed_mass_g(1000, Losses(handling, bake, COMPOUNDED), True)
    assert added >= compounded * (1 - 1e-12)


# Scale and unscale

line_masses = st.lists(st.floats(1, 1e5), min_size=10, max_size=10)


def with_masses(given_masses):
    """The tin loaf's ingredients with other masses."""
    return formula(
        *(
            (each.ingredient, mass, each.part)
            for each, mass in zip(tin_loaf().lines, given_masses, strict=True)
        )
    )


@given(line_masses, st.floats(0.1, 1e4))
def test_scale_and_unscale(given_masses, factor):
    base = with_masses(given_masses)
    there = scale_to(base, Target(FACTOR, factor=factor))
    back = scale_to(there.formula, Target(DOUGH_MASS, mass_g=break_down(base).dough_mass_g))
    assert [each.mass_g for each in back.formula.lines] == approx(
        [each.mass_g for each in base.lines], rel=1e-12
    )
    before, after = break_down(base), break_down(there.formula)
    assert after.hydration_percent == approx(before.hydration_percent, rel=1e-12)
    assert after.total_percent == approx(before.total_percent, rel=1e-12)
    assert there.dough_mass_g == approx(after.dough_mass_g, rel=1e-12)


@given(
    st.lists(st.floats(1, 1e3), min_size=10, max_size=10),
    st.sampled_from([DOUGH_MASS, FLOUR_MASS, PIECES, BAKED_PIECES]),
    st.floats(1000, 1e5),
    st.integers(1, 1000),
    st.floats(0, 20),
    st.floats(0, 20),
    st.sampled_from([COMPOUNDED, ADDED]),
)
def test_every_target_is_met(given_masses, kind, mass, count, handling, bake, rule):
    base = with_masses(given_masses)
    scaling = scale_to(base, Target(kind, mass_g=mass, count=count), Losses(handling, bake, rule))
    seen = break_down(scaling.formula)
    left = seen.dough_mass_g * (1 - handling / 100)
    if kind == FLOUR_MASS:
        assert seen.flour_g == approx(mass, rel=1e-12)
    elif kind == DOUGH_MASS:
        assert left == approx(mass, rel=1e-12)
    elif kind == PIECES:
        assert left == approx(count * mass, rel=1e-12)
    else:
        kept = (1 - handling / 100) * (1 - bake / 100) if rule == COMPOUNDED else 1 - (handling + bake) / 100
        baked = seen.dough_mass_g * kept
        assert baked == approx(count * mass, rel=1e-9)


# Rounding for the scale


def test_three_tenths_weigh_out_as_three_tenths():
    weighed = weigh_out(
        [line("bread_flour", 100), line("salt", 0.1 * 3), line("sucrose", 0.7 + 0.1)], Scale(0.1)
    )
    assert [each.mass_g for each in weighed.lines] == [100, 0.3, 0.8]
    assert weighed.total_g == 101.1
    assert largest_remainder([0.1 * 3, 0.3], 0.1) == [3, 3]


def test_rounded_lines_add_up_to_the_rounded_total():
    # Each third would round down by itself: 3 x 33 is 99, but the target is 100 g of dough.
    thirds = [100 / 3] * 3
    assert sum(largest_remainder(thirds, 1)) == 100
    assert sorted(largest_remainder(thirds, 1)) == [33, 33, 34]
    assert largest_remainder([1.5, 1.5], 1) == [2, 1]
    assert largest_remainder([], 1) == []
    assert largest_remainder([0.15], 0.1) == [
        2
    ]  # half a step rounds up, though 0.15 / 0.1 is 1.4999999999999998
    assert largest_remainder([2.0, 3.0], 1) == [2, 3]


def test_errors_are_in_percent_of_flour():
    weighed = weigh_out([line("bread_flour", 200), line("water", 123.4)], Scale(5))
    assert [each.mass_g for each in weighed.lines] == [200, 125]
    assert [each.error_percent for each in weighed.lines] == approx([0, 0.8])
    assert weighed.total_g == 325


def test_yeast_and_salt_go_on_the_fine_scale():
    lines = tin_loaf().lines
    weighed = weigh_out(
        [line(each.ingredient, each.mass_g * 1.037, each.part) for each in lines], Scale(5, 0.1)
    )
    fine = {each.line.ingredient.name for each in weighed.lines if each.resolution_g == 0.1}
    assert fine == {"salt", "instant_yeast"}
    assert {each.line.ingredient.name: each.mass_g for each in weighed.lines}["salt"] == 9.3


def test_each_line_of_the_fine_scale_goes_to_its_nearest_step():
    """Yeast of 3.435 g is 3.4, whatever the salt beside it loses; the coarse lines take up the difference."""
    lines = [
        line("bread_flour", 343.5),
        line("water", 230.6),
        line("salt", 6.183),
        line("instant_yeast", 3.435),
    ]
    weighed = weigh_out(lines, Scale(1, 0.1))
    assert [each.mass_g for each in weighed.lines] == [343, 231, 6.2, 3.4]
    assert weighed.total_g == approx(583.6)
    halves = [line("bread_flour", 500), line("salt", 9.25), line("instant_yeast", 5.25)]
    assert [each.mass_g for each in weigh_out(halves, Scale(1, 0.1)).lines] == [500, 9.3, 5.3]


def test_what_is_strewn_is_weighed_to_a_step_and_never_to_nothing():
    assert strewn_on_scale_g(7.6, Scale(1, 0.1)) == 8
    assert strewn_on_scale_g(7.6, Scale(5)) == 10
    assert strewn_on_scale_g(0.2, Scale(1)) == 1


def test_salt_is_salt_whatever_its_grain():
    lines = [
        line("bread_flour", 500),
        line("coarse_salt", 9.26),
        line(own("salted butter", salt_percent=2), 30.4),
    ]
    weighed = weigh_out(lines, Scale(1, 0.1))
    assert [each.resolution_g for each in weighed.lines] == [1, 0.1, 1] and weighed.lines[1].mass_g == 9.3


def test_a_limit_says_what_goes_on_the_fine_scale():
    weighed = weigh_out(tin_loaf().lines, Scale(2, 0.1, 10))
    fine = {each.line.ingredient.name for each in weighed.lines if each.resolution_g == 0.1}
    assert fine == {"salt", "instant_yeast"}  # 10 g of milk powder is not below 10
    weighed = weigh_out(tin_loaf().lines, Scale(2, 0.1, 31))
    fine = {each.line.ingredient.name for each in weighed.lines if each.resolution_g == 0.1}
    assert fine == {"salt", "instant_yeast", "skim_milk_powder", "sucrose", "butter"}


def test_a_line_that_vanishes_is_noted():
    weighed = weigh_out([line("bread_flour", 500), line("instant_yeast", 0.4), line("salt", 0)], Scale(5))
    assert [each.vanished for each in weighed.lines] == [False, True, False]
    assert weighed.lines[1].mass_g == 0 and weighed.lines[1].error_percent == approx(-0.08)


def test_scales_that_contradict_themselves():
    lines = tin_loaf().lines
    coarse = refusal(weigh_out, lines, Scale(1, 5))
    assert coarse.argument == "scale.fine_resolution" and coarse.nearest == 1
    lone = refusal(weigh_out, lines, Scale(1, None, 20))
    assert lone.argument == "scale.fine_below"
    tiny = refusal(weigh_out, lines, Scale(1e-300))
    assert tiny.argument == "scale.resolution"
    assert weigh_out(lines, Scale(tiny.nearest)).total_g == approx(929)
    assert refusal(weigh_out, [line("water", 5)], Scale(1)).code == "no_flour"


resolutions = st.sampled_from([0.01, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 28.349523125])


@given(line_masses, resolutions, resolutions, st.none() | st.floats(0.1, 500))
def test_weighing_out_adds_up_and_stays_close(given_masses, one, other, below):
    coarse, fine = max(one, other), min(one, other)
    lines = with_masses(given_masses).lines
    weighed = weigh_out(lines, Scale(coarse, fine, below))
    flour = sum(each.mass_g for each in lines if each.ingredient.is_flour)
    exact = sum(given_masses)
    assert sum(each.mass_g for each in weighed.lines) == approx(weighed.total_g, rel=1e-12)
    largest = max(each.resolution_g for each in weighed.lines)
    assert (
        abs(weighed.total_g - exact) <= largest * 0.5 * (1 + 1e-6) + 1e-9 * exact
        or any(each.resolution_g == fine for each in weighed.lines)
        and abs(weighed.total_g - exact) <= coarse
    )
    for each, line_before in zip(weighed.lines, lines, strict=True):
        assert each.line is line_before
        steps = each.mass_g / each.resolution_g
        assert isclose(steps, round(steps), rel_tol=1e-9, abs_tol=1e-9)
        both = len({other.resolution_g for other in weighed.lines}) == 2
        furthest = 0.5 if both and each.resolution_g == fine else 1
        assert (
            abs(each.mass_g - line_before.mass_g) <= each.resolution_g * furthest * (1 + 1e-6) + 1e-9 * exact
        )
        assert each.error_percent == approx(100 * (each.mass_g - line_before.mass_g) / flour, abs=1e-9)


def test_weighing_out_what_is_already_round_changes_nothing():
    weighed = weigh_out(tin_loaf().lines, Scale(1))
    assert [each.mass_g for each in weighed.lines] == [each.mass_g for each in tin_loaf().lines]
    again = weigh_out([line(each.line.ingredient, each.mass_g) for each in weighed.lines], Scale(1))
    assert again.total_g == weighed.total_g


def test_scaled_formula_keeps_order_parts_and_name():
    scaling = scale_to(tin_loaf(), Target(FACTOR, factor=2))
    assert scaling.formula == scaled(tin_loaf(), 2)
    assert scaling.formula.name == "Lantern Quay tin loaf"
    assert masses(scaling.formula)["bread_flour", "scald"] == 200
