"""Formulas weighed out together: every gram once, portions that add up, and what may wait in a dry mix."""

from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.dough.formula import SCALD, Formula, Line
from scaldloaf.dough.scaling import Scale, weigh_out
from scaldloaf.dough.together import weigh_together
from scaldloaf.reference import INGREDIENTS

SCALE = Scale(1.0, 0.1)


def formula(scald=20.0, ratio=1.0, sucrose=6.0, lost=0.0, flour=500.0, **more) -> Formula:
    amounts = {"bread_flour": 100 - scald, "water": 65.0, "sucrose": sucrose, "salt": 1.8, **more}
    lines = [Line(INGREDIENTS[name], flour * mass / 100) for name, mass in amounts.items() if mass]
    if scald:
        lines += [
            Line(INGREDIENTS["bread_flour"], flour * scald / 100, SCALD),
            Line(INGREDIENTS["water"], flour * ratio * scald / 100, SCALD),
        ]
    return Formula(tuple(lines), lost)


def together(*formulas: Formula, scale=SCALE):
    return weigh_together(formulas, [weigh_out(each.lines, scale) for each in formulas], scale)


def test_one_scald_for_each_mix():
    found = together(formula(20), formula(30, flour=900), formula(20, 5), formula(0), formula(10, 1, lost=4))
    assert [[each.formula for each in scald.portions] for scald in found.scalds] == [[0, 1], [2], [4]]
    assert [scald.liquid_ratio for scald in found.scalds] == [approx(1), approx(5), approx(1)]
    assert [portion.mass_g for portion in found.scalds[0].portions] == [200, 540]
    (cooked,) = found.scalds[2].portions
    assert (found.scalds[2].lost_g, cooked.mass_g) == (4, 96)
    twice = together(formula(20, lost=4.004, flour=500.5), formula(20, lost=8.008, flour=1001))
    (boiled,) = twice.scalds
    assert boiled.weighed.total_g == 601 and boiled.lost_g == approx(12.012)
    assert [each.mass_g for each in boiled.portions] == [196, 393]  # 196.196 and 392.392 of 588.988


def test_what_may_wait_in_a_dry_mix():
    more = {
        name: 2.0
        for name in (
            "skim_milk_powder",
            "whole_milk_powder",
            "vital_gluten",
            "butter",
            "oil",
            "honey",
            "whole_egg",
            "instant_yeast",
            "compressed_yeast",
        )  # fmt: skip
    }
    found = together(formula(20, **more), formula(20, sucrose=9, **more))
    names = [each.line.ingredient.name for each in found.common.weighed.lines]
    assert names == ["bread_flour", "salt", "skim_milk_powder", "whole_milk_powder", "vital_gluten"]
    assert {each.line.ingredient.name for each in found.rest[0]} == {
        "water",
        "sucrose",
        "butter",
        "oil",
        "honey",
        "whole_egg",
        "instant_yeast",
        "compressed_yeast",
    }


def test_no_mix_of_one_ingredient_or_for_one_formula():
    assert together(formula(20)).common is None
    assert together(formula(20), formula(30, sucrose=9)).common is None  # only the salt is the same
    assert together().scalds == ()


@given(
    scalds=st.lists(st.floats(0, 40), min_size=1, max_size=6),
    flours=st.lists(st.floats(50, 5000), min_size=6, max_size=6),
    ratio=st.sampled_from([1.0, 1.5]),
    step=st.sampled_from([0.1, 1.0, 5.0]),
)
def test_every_gram_is_weighed_once(scalds, flours, ratio, step):
    formulas = [formula(scald, ratio, flour=flours[place]) for place, scald in enumerate(scalds)]
    found = together(*formulas, scale=Scale(step))
    mixes = [*found.scalds, *([found.common] if found.common else [])]
    exact = sum(line.mass_g for each in formulas for line in each.lines)
    weighed = sum(mix.weighed.total_g for mix in mixes)
    weighed += sum(each.mass_g for rest in found.rest for each in rest)
    assert weighed == approx(exact, abs=step * 6 * len(formulas) + step * len(mixes))
    for mix in mixes:
        assert sum(each.mass_g for each in mix.portions) == approx(mix.weighed.total_g, abs=step / 2 + 1e-6)
        for portion in mix.portions:
            lines = [
                line
                for line in formulas[portion.formula].lines
                if line.part == mix.weighed.lines[0].line.part
            ]
            names = {each.line.ingredient.name for each in mix.weighed.lines}
            own = sum(line.mass_g for line in lines if line.ingredient.name in names)
            assert portion.mass_g == approx(own, abs=step * (1 + 1e-9))
