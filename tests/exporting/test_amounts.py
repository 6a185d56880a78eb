"""Masses, times and temperatures as they are printed."""

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.exporting.amounts import (
    BOTH,
    METRIC,
    US,
    iso_duration,
    print_mass,
    print_temperature,
    print_time,
)
from scaldloaf.exporting.vocabulary import WORDS
from scaldloaf.reference import INGREDIENTS

EN, DE, JA, HANT, HANS = WORDS.values()
SALT, WALNUTS = INGREDIENTS["salt"], INGREDIENTS["walnuts"]
# By hand, from the definitions: an ounce of 28.349523125 g, a US teaspoon of 231 × 2.54³ / 768 cm³.
OUNCE_G, TEASPOON_CM3 = 28.349523125, 231 * 2.54**3 / 768


@pytest.mark.parametrize(
    "mass, metric, us",
    [
        (0.012, "0.012 g", "0.00042 oz"),
        (0.4, "0.4 g", "0.014 oz"),
        (5.25, "5.2 g", "0.19 oz"),
        (9.0, "9 g", "0.32 oz"),
        (13.62, "13.6 g", "0.48 oz"),
        (40.3, "40.3 g", "1.42 oz"),
        (40.25, "40 g", "1.42 oz"),
        (100.4, "100 g", "3.54 oz"),
        (400, "400 g", "14.1 oz"),
        (453.59237, "454 g", "1 lb"),
        (500, "500 g", "1 lb 1.6 oz"),
        (453.5, "454 g", "1 lb"),
        (12345.6, "12346 g", "27 lb 3.5 oz"),
    ],
)
def test_grams_and_ounces(mass, metric, us):
    assert print_mass(mass, METRIC, EN).text == metric
    assert print_mass(mass, US, EN).text == us
    assert print_mass(mass, BOTH, EN).text == f"{metric} ({us})"


@pytest.mark.parametrize(
    "teaspoons, text",
    [
        ("1/8", "1/8 tsp"),
        ("5/8", "5/8 tsp"),
        ("1", "1 tsp"),
        ("13/8", "1 5/8 tsp"),
        ("9/4", "2 1/4 tsp"),
        ("3", "1 tbsp"),
        ("13/4", "1 tbsp + 1/4 tsp"),
    ],
)
def test_spoons(teaspoons, text):
    mass = float(Fraction(teaspoons)) * TEASPOON_CM3 * SALT.density_g_per_cm3
    for near in (mass, mass * 1.02, mass * 0.98):
        printed = print_mass(near, US, EN, SALT)
        assert printed.text == text
        assert printed.mass_g == approx(mass)


def test_what_no_spoon_comes_near_is_weighed():
    assert print_mass(0.5, US, EN, INGREDIENTS["instant_yeast"]).text == "0.018 oz"
    assert print_mass(OUNCE_G, US, EN, SALT).text == "1 oz"
    assert print_mass(10, US, EN, INGREDIENTS["compressed_yeast"]).text == "0.35 oz"


def test_each_language_writes_them_in_its_own_way():
    mass = 1.25 * 5 * SALT.density_g_per_cm3
    assert [print_mass(mass, BOTH, words, SALT).text for words in (DE, JA, HANT, HANS)] == [
        "7,6 g (1 1/4 TL)",
        "7.6g（小さじ1と1/4）",
        "7.6 公克（1又1/4 小匙）",
        "7.6克（1又1/4小勺）",
    ]
    assert [print_mass(500, US, words).text for words in (DE, JA, HANT, HANS)] == [
        "1 lb 1,6 oz",
        "1ポンド1.6オンス",
        "1 磅 1.6 盎司",
        "1磅1.6盎司",
    ]


@given(st.floats(1e-3, 1e9), st.sampled_from((METRIC, US)), st.sampled_from(list(WORDS.values())))
def test_what_is_printed_is_near_and_is_what_the_digits_say(mass, measures, words):
    printed = print_mass(mass, measures, words)
    assert printed.mass_g == approx(mass, rel=0.05)
    numbers = [float(each.replace(",", ".")) for each in re.findall(r"[\d.,]+", printed.text)]
    sizes = {METRIC: [1.0], US: [16 * OUNCE_G, OUNCE_G]}[measures]
    if len(numbers) == 1 and measures == US and numbers[0] * OUNCE_G < mass / 2:
        sizes = sizes[:1]
    else:
        sizes = sizes[-len(numbers) :]
    assert sum(number * size for number, size in zip(numbers, sizes, strict=True)) == approx(printed.mass_g)


@pytest.mark.parametrize(
    "minutes, texts, iso",
    [
        (0.5, ("0.5 min", "0,5 min", "0.5分", "0.5 分鐘", "0.5分钟"), "PT0M"),
        (90, ("90 min", "90 min", "90分", "90 分鐘", "90分钟"), "PT1H30M"),
        (120, ("2 h", "2 h", "2時間", "2 小時", "2小时"), "PT2H"),
        (755.4, ("12 h 35 min", "12 h 35 min", "12時間35分", "12 小時 35 分", "12小时35分"), "PT12H35M"),
    ],
)
def test_times(minutes, texts, iso):
    assert tuple(print_time(minutes, words) for words in WORDS.values()) == texts
    assert iso_duration(minutes) == iso


def test_temperatures():
    assert print_temperature(27.4, METRIC, EN) == "27 °C"
    assert print_temperature(-4.4, BOTH, EN) == "−4 °C (24 °F)"
    assert [print_temperature(200, US, words) for words in (EN, JA)] == ["392 °F", "392°F"]
    assert [print_temperature(28, METRIC, words) for words in (JA, HANT, HANS)] == ["28℃", "28°C", "28℃"]
