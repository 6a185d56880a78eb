"""Every step of a working can be redone by hand, in any unit: its expression comes out at its value.

An expression is arithmetic (``working.arithmetic``), or words of a closed list whose worth a second route
knows (``working.terms``). Its numbers are the request's, the tables' or those of the steps before
(``working.known``). The bodies reach every step, and every branch of every expression.
"""

import ast
import re
import sys
from dataclasses import replace
from fractions import Fraction
from math import exp, hypot, log, pi
from pathlib import Path

import pytest

from scaldloaf import operations
from scaldloaf.dough import (
    crumb_moisture,
    demand,
    formula,
    heat_balance,
    hydration,
    pan,
    preparation,
    scaling,
    sugar,
    sugar_course,
    target_bread,
    temperature,
    volume,
    water_rule,
    yeast,
)
from scaldloaf.dough.estimate import exactly
from scaldloaf.dough.keeping import model
from scaldloaf.dough.tasting import plan, ranking, result
from scaldloaf.dough.trials import fit, unsound
from scaldloaf.importing.quantities import masses
from scaldloaf.operations.context import Context
from scaldloaf.operations.steps import Working
from scaldloaf.reference import INGREDIENTS
from working.arithmetic import NotArithmetic, printed, redo, why_not
from working.bodies import BODIES, NAMED, UNITS, answer_in, said_of
from working.branches import Branches
from working.exchange import Exchange, strings_in, with_parts
from working.keeping import fitted_numbers
from working.known import Known
from working.terms import TERMS, check_remark, terms_of

LABELS = {row.label for row in INGREDIENTS.values()}
OPERATIONS = Path(operations.__file__).parent


def faults_of(exchange: Exchange, said: set[str]) -> list[str]:
    """What is wrong with a working: expressions that don't come out, numbers that come from nowhere.

    said: collects the words it has in place of numbers.
    """
    found, known, names = [], Known(exchange), LABELS | set(strings_in(exchange.request))
    for step in exchange.steps:
        try:
            fault = _fault_of(step, exchange, known, names, said)
        except AssertionError as error:
            fault = repr(error)
        if fault:
            shown = f"{step['label']}: {step['expression']} -> {step['value']} {step['unit']}"
            found.append(f"{exchange.call}, {shown}: {fault}")
        known.add(step["value"])
    return found


def _fault_of(step: dict, exchange: Exchange, known: Known, names: set[str], said: set[str]) -> str | None:
    redone = redo(step["expression"], names, terms_of(exchange, step, said))
    if redone.remark:
        check_remark(exchange, step, redone.remark)
    for number in fitted_numbers(exchange, step):
        known.add(number)
    if fault := why_not(redone, step["value"], step["unit"]):
        return fault
    numbers = redone.numbers[:-1] if redone.ends_in_its_value else redone.numbers
    strange = [str(same[0]) for same in numbers if not any(known.has(number.value) for number in same)]
    label = step["label"]
    for name in sorted(names, key=len, reverse=True):
        label = label.replace(name, "")
    strange += [text for text in re.findall(r"\d+(?:\.\d+)?", label) if not known.has(printed(text))]
    return f"from nowhere: {', '.join(strange)}" if strange else None


@pytest.mark.parametrize("units", UNITS, ids=said_of)
@pytest.mark.parametrize("call, body", NAMED)
def test_every_step_comes_out(call, body, units):
    faults = [
        fault for exchange in with_parts(answer_in(call, body, units)) for fault in faults_of(exchange, set())
    ]
    assert not faults, "\n".join(faults)


def test_every_known_word_is_said():
    said = set()
    for call, body in BODIES:
        for exchange in with_parts(answer_in(call, body, {})):
            faults_of(exchange, said)
    assert said == set(TERMS)


# Whether the bodies reach everything


def test_every_step_is_reached(monkeypatch):
    reached, step = set(), Working.step

    def noted(*args, **more):
        caller = sys._getframe(1)
        reached.add((caller.f_code.co_filename, caller.f_lineno))
        return step(*args, **more)

    monkeypatch.setattr(Working, "step", noted)
    for call, body in BODIES:
        answer_in(call, body, {})
    written = [
        (str(path), node)
        for path in OPERATIONS.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "step"
    ]
    assert len(written) > 100
    assert not [
        f"{path}:{node.lineno}"
        for path, node in written
        if not any(path == where and node.lineno <= line <= node.end_lineno for where, line in reached)
    ]


def test_every_branch_of_a_working_is_taken_both_ways(monkeypatch):
    branches = Branches(
        lambda code: (
            code.co_filename.startswith(str(OPERATIONS)) and not code.co_filename.endswith("/steps.py")
        )
    )
    reply = Context.reply

    def watched(self, answer, working, *args, **more):
        return reply(self, answer, lambda show: branches.run(working, show), *args, **more)

    monkeypatch.setattr(Context, "reply", watched)
    for units in UNITS:
        for call, body in BODIES:
            answer_in(call, body, units)
    assert len(branches.codes) > 50
    assert not list(branches.one_way())


def test_every_branch_of_the_expressions_of_a_recipe_is_taken_both_ways():
    for each in vars(masses).values():
        getattr(each, "cache_clear", lambda: None)()  # what another test has read runs here too
    branches = Branches(lambda code: code.co_filename == masses.__file__ and "words" in code.co_varnames)
    for call, body in BODIES:
        if call == "recipe-import":
            branches.run(answer_in, call, body, {})
    assert len(branches.codes) >= 4
    assert not list(branches.one_way())


# The grammar


@pytest.mark.parametrize(
    "expression, value, unit",
    [
        ("100 × 100 g ÷ 500 g", 20, "% of flour"),
        ("12 oz (340.194 g) ÷ 2 g", 170.097, ""),
        ("(2.5 × 8 ÷ 8 × (1 − e^(−0.5 × 2))) × 1", 2.5 * (1 - exp(-1)), ""),
        ("0.3 × 2 × 1.1^(28 − 30 in °C)", 0.6 / 1.21, ""),
        ("1 − 20 × (-2 ÷ 100)²", 0.992, ""),
        ("483.416 cm³ ÷ 4 cm³/g = 120.854 g", 120.854 / 28.349523125, "oz"),
        ("Whole milk 150 g × 88 % − 2 g evaporated", 130, "g"),
        ("(sucrose 2 + glucose 1) × 3", 9, ""),
        ("5550 g ÷ 2000 g, rounded up", 3, ""),
        ("1, as 35 atm is not above 37 atm", 1, ""),
        ("the larger of 0.3 and 0.5 − 0.25 × 3", 0.3, ""),
        ("π ÷ 4 × √(16) × ln(2) × exp(1)", pi * log(2) * exp(1), ""),
        (
            "100 × (e^√(ln(1 + 3 %)² (measuring) + ln(1 + 4 %)² (trials)) − 1)",
            100 * (exp(hypot(log(1.03), log(1.04))) - 1),
            "",
        ),
    ],
)
def test_what_an_expression_comes_to(expression, value, unit):
    redone = redo(expression, LABELS)
    assert why_not(redone, value, unit) is None
    assert why_not(redone, value * 1.0005, unit) and why_not(redone, value * 0.9995, unit)


@pytest.mark.parametrize(
    "expression",
    [
        "20 in × 1 in = 20 in²",
        "20 g in all",
        "some of it",
        "2 g of gold",
        "2 + -3",
        "1, as 38 atm is not above 37 atm",
        "12 oz (350 g) ÷ 2 g",
        "3 ÷ (2 − 2)",
        "(1 + 2",
        "2 × 3 + all lines",
        "Gold 3 g × 2",
        "",
    ],
)
def test_what_is_no_expression(expression):
    with pytest.raises(NotArithmetic):
        redo(expression, LABELS)


def test_sides_that_differ_are_no_equation():
    assert why_not(redo("2 × 3 = 2 × 4", LABELS), 8, "")


def test_a_printed_number_stands_for_what_prints_so():
    assert tuple(printed("1.5")) == pytest.approx((1.499995, 1.500005), rel=1e-12)
    assert tuple(printed("1234567")) == (1234566.5, 1234567.5)
    assert tuple(printed("1.2e-10")) == pytest.approx((1.15e-10, 1.25e-10), rel=1e-12)
    assert tuple(printed("0")) == (0, 0)


# A model that changes under its working is seen: each of these changes one and leaves the tables as they are.


def _nearest_point(table, share_percent):
    return min(table.points, key=lambda point: abs(point[0] - share_percent))[1]


CHANGES = [
    ("sugar-budget", formula.INSTANT_PER_YEAST, "active_dry", 0.77),
    (
        "scaling",
        scaling,
        "mixed_mass_g",
        lambda left_g, losses, baked: left_g * (1 + losses.handling_percent / 100),
    ),
    ("order-demand", demand, "batches_for", lambda dough_mass_g, capacity_g: 2),
    ("hydration-correction", water_rule.OwnTable, "_read", _nearest_point),
    (
        "hydration-correction",
        crumb_moisture,
        "CRUMB_MOISTURE_PER_HYDRATION_POINT",
        replace(crumb_moisture.CRUMB_MOISTURE_PER_HYDRATION_POINT, value=0.2),
    ),
    ("hydration-correction", hydration, "dough_water_g", lambda formula, moisture=None: 400.0),
    ("pan-fill", pan, "prismatoid_volume_cm3", lambda top, middle, base, depth: depth / 2 * (top + base)),
    ("pan-fill", volume, "SHARE_VOLUME_THRESHOLD_PERCENT", 6.0),
    (
        "pan-fill",
        volume,
        "WATER_VOLUME_CURVATURE_DRY",
        replace(volume.WATER_VOLUME_CURVATURE_DRY, value=15.0),
    ),
    (
        "hydration-correction",
        water_rule,
        "SCALD_BINDING_DEGREE",
        replace(water_rule.SCALD_BINDING_DEGREE, value=0.8),
    ),
    ("pan-fill", volume, "gluten_makes_up_percent", lambda gluten, protein: gluten * 80 / protein),
    (
        "pan-fill",
        target_bread,
        "BAKE_TO_BAKE_RELATIVE_SD",
        replace(target_bread.BAKE_TO_BAKE_RELATIVE_SD, value=0.02),
    ),
    ("sugar-budget", sugar_course, "SCALD_AMYLASE_RATE_PER_HOUR", 1.2),
    ("sugar-budget", sugar_course, "maltose_wish", lambda state, demand, appetite, opened: 0.0),
    (
        "sugar-budget",
        sugar,
        "brake_band",
        lambda pressure_atm, tolerance: exactly(min(1.0, 40 / pressure_atm)),
    ),
    ("sugar-budget", yeast, "PIECES", yeast.PIECES[:3]),
    ("sugar-budget", sugar, "amylase_pace", lambda temperature_c: 1.1),
    ("dough-temperature", heat_balance.BEST_HEATS, "fat", 2.3),
    ("dough-temperature", temperature, "ICE_TO_WATER_HEAT", 0.6),
    ("scald-preparation", preparation, "after_loss_c", lambda ideal_c, room_c, loss_c: ideal_c - loss_c),
    ("scald-preparation", preparation, "cooling_rate_per_hour", lambda first, second, surroundings_c: 1.0),
    ("trial-fit", unsound, "UNSOUND_VARIANCE", 0.15**2),
    ("trial-fit", fit, "BAKE_LOSS_TRIAL_SD_POINTS", 2.0),
    ("keeping", model, "SCORE_RELATIVE_SD", 0.2),
    ("tasting-plan", plan, "power", lambda method, fewest, tasters, share: 0.5 if tasters < 40 else 0.95),
    ("tasting-plan", plan, "fewest_right", lambda tasters, one_in, level: tasters // one_in + 4),
    ("tasting-result", result, "chance_by_guessing", lambda right, tasters, one_in: Fraction(right, tasters)),
    ("tasting-result", result, "share_interval", lambda right, tasters, risk: (0.4, 0.8)),
    ("tasting-result", ranking, "chi_square_tail", lambda value, freedom: exp(-value / 2)),
]


@pytest.mark.parametrize(
    "call, owner, name, to",
    CHANGES,
    ids=[f"{call} {getattr(name, '__name__', name)}" for call, _, name, _ in CHANGES],
)
def test_a_model_that_changes_is_seen(call, owner, name, to, monkeypatch):
    (monkeypatch.setitem if isinstance(owner, dict) else monkeypatch.setattr)(owner, name, to)
    bodies = [body for each, body in BODIES if each == call]
    assert any(
        faults_of(exchange, set()) for body in bodies for exchange in with_parts(answer_in(call, body, {}))
    )
