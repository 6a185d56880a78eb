"""Readings of one line: ingredient, mass, part, certainty and reason."""

import pytest

from scaldloaf.reference import INGREDIENTS, coefficient

CUP, TABLESPOON, TEASPOON = 236.5882365, 236.5882365 / 16, 236.5882365 / 48


def density(name):
    return INGREDIENTS[name].density_g_per_cm3


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("500 g bread flour", "bread_flour", 500),
        ("500g strong white flour", "bread_flour", 500),
        ("500 grams of bread flour", "bread_flour", 500),
        ("0.5 kg bread flour", "bread_flour", 500),
        ("0,5 kg bread flour", "bread_flour", 500),
        ("500 mg salt", "salt", 0.5),
        ("1 lb bread flour", "bread_flour", 453.59237),
        ("1 lb 3 oz bread flour", "bread_flour", 19 * 28.349523125),
        ("1lb3oz bread flour", "bread_flour", 19 * 28.349523125),
        ("1 lb. 3 oz. bread flour", "bread_flour", 19 * 28.349523125),
        ("8 oz unsalted butter", "butter", 8 * 28.349523125),
        ("2 x 250 g unsalted butter", "butter", 500),
        ("Bread flour 500 g", "bread_flour", 500),
        ("Bread flour: 500 g", "bread_flour", 500),
        ("Bread flour - 500 g", "bread_flour", 500),
        ("bread flour......500 g", "bread_flour", 500),
        ("• 500 g bread flour", "bread_flour", 500),
        ("- [ ] 500 g bread flour", "bread_flour", 500),
        ("1. 500 g bread flour", "bread_flour", 500),
        ("2) 500 g bread flour", "bread_flour", 500),
        ("500 g <b>bread flour</b>", "bread_flour", 500),
        ("500&nbsp;g bread&#32;flour", "bread_flour", 500),
        ("５００ｇ bread flour", "bread_flour", 500),
        ("flour, bread, 500 g", "bread_flour", 500),
        ("yeast, instant, 7 g", "instant_yeast", 7),
        ("7 g yeast (instant)", "instant_yeast", 7),
        ("500 g organic unbleached bread flour", "bread_flour", 500),
        ("strong organic white flour, 500 g", "bread_flour", 500),
        ("30 g butter, unsalted, softened", "butter", 30),
        ("30 g butter (at room temperature)", "butter", 30),
        ("300 g water @ 30°C", "water", 300),
        ("Water, 300 g (at 30C)", "water", 300),
        ("300 g lukewarm water (105-110°F)", "water", 300),
        ("300 g water, for 20 minutes", "water", 300),
        ("150 g 2% milk", "semi_skimmed_milk", 150),
        ("2% milk 150 g", "semi_skimmed_milk", 150),
        ("200 g half-and-half", "half_and_half", 200),
        ("200 g half and half", "half_and_half", 200),
        ("1 cup (120 g) bread flour", "bread_flour", 120),
        ("120 g (1 cup) bread flour", "bread_flour", 120),
        ("8 oz/227 g unsalted butter", "butter", 227),
        ("25g/1oz soft butter", "butter", 25),
        ("300 g water (110ºF)", "water", 300),
        ("hand-hot water 300 g", "water", 300),
        ("28 g (2 tbsp) unsalted butter", "butter", 28),
        ("1 (1/4 ounce) package instant yeast", "instant_yeast", 28.349523125 / 4),
        ("2 (7 g) packets instant yeast", "instant_yeast", 14),
        ("2 packets (7 g each) instant yeast", "instant_yeast", 14),
        ("2 packets (7 g) instant yeast", "instant_yeast", 14),
        ("2 packets (14 g) instant yeast", "instant_yeast", 14),
        ("1 x 7g sachet easy-blend yeast", "instant_yeast", 7),
        ("7g sachet fast-action dried yeast", "instant_yeast", 7),
        ("1 can (14 oz) condensed milk", "condensed_milk", 14 * 28.349523125),
        ("2 (14 oz) cans condensed milk", "condensed_milk", 28 * 28.349523125),
        ("2 8-oz packages cream cheese", "cream_cheese", 16 * 28.349523125),
        ("0 g salt", "salt", 0),
        ("2 large eggs (100 g)", "whole_egg", 100),
        ("10 g salt (2%)", "salt", 10),
        ("~10 g salt", "salt", 10),
        ("500 g 00 flour", "plain_flour", 500),
    ],
)
def test_weights_are_read_to_the_gram_and_for_sure(read, line, name, grams):
    reading = read(line, flour="plain_flour")
    assert reading.ingredient.name == name
    assert (reading.mass.low, reading.mass.best, reading.mass.high) == pytest.approx((grams,) * 3)
    assert reading.mass.evidence == "exact"
    assert (reading.sure, reading.why) == ("sure", "")


@pytest.mark.parametrize(
    "line, name, cm3, spread",
    [
        ("2 cups plain flour", "plain_flour", 2 * CUP, "powder"),
        ("1 ½ cups plain flour", "plain_flour", 1.5 * CUP, "powder"),
        ("1 1/2 c. plain flour", "plain_flour", 1.5 * CUP, "powder"),
        ("half a cup of water", "water", CUP / 2, "liquid"),
        ("1 cup plus 2 tbsp sugar", "sucrose", CUP + 2 * TABLESPOON, "grain"),
        ("1 cup 2 tbsp sugar", "sucrose", CUP + 2 * TABLESPOON, "grain"),
        ("1 T sugar", "sucrose", TABLESPOON, "grain"),
        ("1 t sugar", "sucrose", TEASPOON, "grain"),
        ("2 tsp. honey", "honey", 2 * TEASPOON, "syrup"),
        ("3 tablespoons oil", "oil", 3 * TABLESPOON, "liquid"),
        ("1 tbsp kosher salt", "coarse_salt", TABLESPOON, "loose"),
        ("100 ml water", "water", 100, "liquid"),
        ("1 dl water", "water", 100, "liquid"),
        ("10 cl water", "water", 100, "liquid"),
        ("0.5 l water", "water", 500, "liquid"),
        ("8 fl. oz. water", "water", CUP, "liquid"),
        ("1 level teaspoon fine salt", "salt", TEASPOON, "grain"),
        ("1 pint water", "water", 2 * CUP, "liquid"),
    ],
)
def test_cups_and_spoons_use_the_density_and_show_the_possible_error(read, line, name, cm3, spread):
    reading = read(line, cup="us")
    best = cm3 * density(name)
    half = coefficient(f"spread_{spread}_percent").value / 100
    assert reading.ingredient.name == name
    assert reading.sure == ("likely" if spread == "loose" else "sure")
    assert (reading.mass.low, reading.mass.best, reading.mass.high) == pytest.approx(
        (best * (1 - half), best, best * (1 + half))
    )
    assert reading.mass.evidence not in ("exact", "published") and reading.sources


def test_a_cup_that_is_not_marked_us_may_be_metric(read):
    unsaid, us, metric = (read("1 cup water", cup=cup) for cup in (None, "us", "metric"))
    assert (unsaid.mass.low, unsaid.mass.best, unsaid.mass.high) == (
        us.mass.low,
        us.mass.best,
        metric.mass.high,
    )
    assert metric.mass.best == pytest.approx(250 * density("water"))
    assert (unsaid.sure, us.sure, metric.sure) == ("likely", "sure", "sure") and "cup" in unsaid.why
    assert read("1 tsp salt").sure == "sure"  # 4.93 ml or 5 ml: within the spoon's error


@pytest.mark.parametrize(
    "cup, line, cm3",
    [
        ("australian", "1 tbsp water", 20),
        ("australian", "1 tsp water", 5),
        ("australian", "1 cup water", 250),
        ("australian", "1 fl oz water", 28.4130625),
        ("japanese", "1 cup water", 200),
        ("japanese", "1 tbsp water", 15),
        ("japanese", "1 tsp water", 5),
        ("japanese", "1 pint water", 568.26125),
        ("metric", "1 pint water", 568.26125),
        ("metric", "1 fl oz water", 28.4130625),
        ("metric", "1 tbsp water", 15),
        ("us", "水 1カップ", 200),
        ("us", "水 大さじ1", 15),
        ("us", "水 2合", 360),
        ("us", "水1/2合", 90),
        ("us", "1合の水", 180),
    ],
)
def test_cups_and_spoons_of_other_kitchens(read, cup, line, cm3):
    reading = read(line, cup=cup)
    assert (reading.mass.best, reading.sure) == (pytest.approx(cm3 * density("water")), "sure")


# 調合油 is a blended oil, 混合砂糖 a mixed sugar, 割合 a share: none of them measures anything in go.
@pytest.mark.parametrize(
    "line, word", [("調合油 10g", "調合"), ("混合砂糖 10g", "混合"), ("砂糖 3割合", "割合")]
)
def test_the_sign_for_go_inside_a_word_is_part_of_the_word(read, line, word):
    reading = read(line)
    assert reading.sure == "not_read" and f"“{word}”" in reading.why


def test_a_range_keeps_its_ends(read):
    reading = read("2-3 tbsp sugar", cup="us")
    half = coefficient("spread_grain_percent").value / 100
    one = TABLESPOON * density("sucrose")
    assert (reading.mass.low, reading.mass.best, reading.mass.high) == pytest.approx(
        (2 * one * (1 - half), 2.5 * one, 3 * one * (1 + half))
    )
    weighed = read("100 g – 120 g unsalted butter")
    assert (weighed.mass.low, weighed.mass.best, weighed.mass.high) == (100, 110, 120)
    assert weighed.mass.evidence == "assumption"


def test_heaped_spoons_hold_more_and_are_less_certain(read):
    level, heaped = read("1 tbsp sugar", cup="us").mass, read("1 heaping tbsp sugar", cup="us").mass
    assert heaped.best > level.best and heaped.high / heaped.low > level.high / level.low
    assert read("1 scant cup sugar", cup="us").mass.best < read("1 cup sugar", cup="us").mass.best


@pytest.mark.parametrize(
    "line, grams",
    [
        ("500 ± 10 g bread flour", 10),
        ("1e3 g water", 3),
        ("1//2 cup water", 2 * CUP * 0.998),
        ("1 1 1 cup water", CUP * 0.998),
        ("1 ½ ½ cup water", CUP / 2 * 0.998),
    ],
)
def test_a_leftover_number_makes_the_line_unsure(read, line, grams):
    reading = read(line, cup="us")
    assert reading.mass.best == pytest.approx(grams, rel=0.01)
    assert reading.sure == "unsure" and "was not used" in reading.why


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("a cup and a half of water", "water", 1.5 * CUP * 0.998),
        ("2 cups and a half water", "water", 2.5 * CUP * 0.998),
        ("a pound and a half of bread flour", "bread_flour", 1.5 * 453.59237),
        ("a cup and a quarter of water", "water", 1.25 * CUP * 0.998),
        ("1 cup and half a teaspoon of water", "water", (CUP + TEASPOON / 2) * 0.998),
        ("1 dozen large eggs", "whole_egg", 600),
        ("half a dozen large eggs", "whole_egg", 300),
        ("2 dozen large eggs", "whole_egg", 1200),
        ("1-2 dozen large eggs", "whole_egg", 900),
        ("2 dozens large eggs", "whole_egg", 1200),
        ("two dozens of large eggs", "whole_egg", 1200),
    ],
)
def test_halves_and_dozens_behind_a_number(read, line, name, grams):
    reading = read(line, cup="us")
    assert (reading.ingredient.name, reading.sure) == (name, "sure"), reading.why
    assert reading.mass.best == pytest.approx(grams, rel=0.001)


def test_the_first_few_of_many_disagreeing_amounts_are_listed(read):
    reading = read("500 g (1 kg) (2 kg) (3 kg) (4 kg) (5 kg) bread flour")
    assert (reading.mass.best, reading.sure) == (500, "unsure")
    assert reading.why.count("would be about") == 3 and reading.why.endswith("2 more amounts do not agree")


@pytest.mark.parametrize("line", ["1 Würfel Hefe", "1 cube yeast", "1 cube of yeast", "Hefe 1 Würfel"])
@pytest.mark.parametrize("yeast", [{}, {"yeast": "instant_yeast"}])
def test_yeast_in_cubes_is_fresh(read, line, yeast):
    reading = read(line, **yeast)
    assert (reading.ingredient.name, reading.sure, reading.mass.best) == ("compressed_yeast", "sure", 42)


def test_dry_yeast_is_not_sold_in_cubes(read):
    reading = read("1 cube instant yeast")
    assert (reading.mass, reading.sure) == (None, "not_read") and "cube" in reading.why


# USDA table: a large egg has 50 g, 17 g of it yolk and 33 g white
@pytest.mark.parametrize(
    "line, name, grams, sure",
    [
        ("2 large eggs, beaten", "whole_egg", 100, "sure"),
        ("1 large egg yolk", "egg_yolk", 17, "sure"),
        ("3 large egg whites", "egg_white", 99, "sure"),
        ("1 egg", "whole_egg", 50, "likely"),
        ("an egg", "whole_egg", 50, "likely"),
        ("2 - 3 eggs", "whole_egg", 125, "likely"),
        ("2 eggs (large)", "whole_egg", 100, "sure"),
        ("one dozen large eggs", "whole_egg", 600, "sure"),
    ],
)
def test_eggs_are_counted(read, line, name, grams, sure):
    reading = read(line)
    assert (reading.ingredient.name, reading.mass.best, reading.sure) == (name, pytest.approx(grams), sure)
    assert reading.mass.low < reading.mass.best < reading.mass.high


def test_eggs_of_your_own_size(read):
    assert read("2 eggs", egg_g=55.0).mass.best == 110 and read("2 eggs", egg_g=55.0).sure == "sure"
    assert read("2 eggs", egg_size="small").mass.best == 2 * coefficient("egg_small_g").value
    assert read("2 large eggs", egg_g=40.0).mass.best == 100  # the recipe's own word takes precedence


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("1 packet active dry yeast", "active_dry_yeast", 7),
        ("2 sachets instant yeast", "instant_yeast", 14),
        ("1 stick unsalted butter", "butter", 453.59237 / 4),
        ("1/2 stick salted butter", "salted_butter", 453.59237 / 8),
        ("1 cube fresh yeast", "compressed_yeast", 42),
    ],
)
def test_packets_sticks_and_cubes(read, line, name, grams):
    reading = read(line)
    assert (reading.ingredient.name, reading.mass.best, reading.sure) == (name, pytest.approx(grams), "sure")
    assert reading.mass.evidence == "common practice"


def test_a_pinch_is_a_rough_guess_and_says_so(read):
    mass = read("a pinch of salt").mass
    assert mass.low < 0.3 < mass.high and mass.high / mass.low > 3


# Second measures


@pytest.mark.parametrize(
    "line",
    [
        "1 cup (200 g) bread flour",
        "1 cup (60 g) bread flour",
        "1 lb (350 g) bread flour",
        "1 cup (500 ml) water",
    ],
)
def test_measures_that_disagree_are_reported(read, line):
    reading = read(line, cup="us")
    assert reading.sure == "unsure" and "would be about" in reading.why and reading.in_formula


@pytest.mark.parametrize(
    "line, grams",
    [
        ("1 cup (120 g) plain flour", 120),
        ("1 lb (450 g) bread flour", 450),
        ("1 cup (240 ml) water", 240 * 0.998),
        ("1 stick (113 g) unsalted butter", 113),
    ],
)
def test_measures_that_agree_are_trusted(read, line, grams):
    reading = read(line, cup="us")
    assert reading.mass.best == pytest.approx(grams) and reading.sure == "sure"


def test_two_and_a_quarter_ounces_or_two_packets_of_a_quarter(read):
    reading = read("2 1/4-ounce packets active dry yeast")
    assert reading.mass.best == pytest.approx(28.349523125 / 2)
    assert reading.sure == "unsure" and "2.25" in reading.why


# Names


@pytest.mark.parametrize(
    "line, name, sure, other",
    [
        ("500 g flour", "plain_flour", "likely", "bread_flour"),
        ("7 g yeast", "instant_yeast", "likely", "compressed_yeast"),
        ("7 g dry yeast", "active_dry_yeast", "likely", "instant_yeast"),
        ("100 g milk", "whole_milk", "likely", "skim_milk"),
        ("10 g milk powder", "skim_milk_powder", "likely", "whole_milk_powder"),
        ("100 g cream", "cream", "likely", "single_cream"),
        ("100 g water or milk", "water", "unsure", "whole_milk"),
        ("100 g water/milk", "water", "unsure", "whole_milk"),
        ("500 g bread flower", "bread_flour", "unsure", None),
        ("30 g unsalted buter", "butter", "likely", None),
        ("500 g Lantern Mill bread flour", "bread_flour", "unsure", None),
    ],
)
def test_names_that_leave_a_choice_say_so(read, line, name, sure, other):
    reading = read(line)
    assert (reading.ingredient.name, reading.sure) == (name, sure)
    assert reading.why and (other is None or other in reading.alternatives)
    assert name not in reading.alternatives


def test_the_caller_can_settle_ambiguous_names(read):
    assert read("500 g flour", flour="bread_flour").ingredient.name == "bread_flour"
    assert read("20 g yeast", yeast="compressed_yeast").sure == "sure"
    assert read("100 g milk", milk="skim_milk").ingredient.name == "skim_milk"


@pytest.mark.parametrize(
    "line, like",
    [
        ("100 g peanut butter", "butter"),
        ("100 g chickpea flour", "plain_flour"),
        ("100 g gluten-free bread flour", "bread_flour"),
        ("2 flour tortillas", "plain_flour"),
        ("500 g brad flour", "bread_flour"),
        ("50 g salt and sugar", "salt"),
        ("1 tsp egg white powder", "egg_white"),
    ],
)
def test_a_word_that_makes_it_another_thing_stops_the_reading(read, line, like):
    reading = read(line)
    assert reading.ingredient is None and reading.mass is None and not reading.in_formula
    assert reading.sure == "not_read" and reading.why and like in reading.alternatives


@pytest.mark.parametrize(
    "line, why",
    [
        ("salt to taste", "to taste"),
        ("knob of butter", "knob"),
        ("a handful of raisins", "handful"),
        ("salt", "no amount"),
        ("5 bread flour", "no unit"),
        ("1/0 cup milk", "no fraction"),
        ("1,00,000 g salt", "do not fit together"),
        ("9999999999999 g salt", "digits"),
        ("1 can condensed milk", "holds"),
        ("1 tsp fresh yeast", "density"),
        ("3 cubes of honey", "standard weight"),
        ("999999999 kg salt", "too much"),
        ("2 parsnips", "catalogue"),
        ("500 g", "no ingredient"),
        ("x" * 301, "longer"),
        ("a, " * 60, "more than"),
        ("&#" + "9" * 5000, "longer"),
        ("juice of 3 lemons", "no unit"),
    ],
)
def test_what_cannot_be_read_is_listed_with_its_reason(read, line, why):
    reading = read(line)
    assert reading.sure == "not_read" and not reading.in_formula and why in reading.why
    assert reading.mass is None and len(reading.text) <= 300


def test_a_recipe_too_long_is_read_up_to_a_limit_and_says_so(read_all):
    line = "500 g flour, sifted very well and then sifted once more, as the old hands do, all of them"
    readings = read_all(*[line] * 200)
    left_out = [reading for reading in readings if reading.sure == "not_read"]
    assert 0 < len(left_out) < 90 and all("3000" in reading.why for reading in left_out)
    assert not any(reading.in_formula for reading in left_out)


def test_numbers_alone_can_be_declared_masses(read):
    assert read("bread flour 500", number_alone_g=1.0).mass.best == 500
    assert read("2 large eggs", number_alone_g=1.0).mass.best == 100


def test_a_leftover_number_is_reported(read):
    reading = read("3 bread flour 500 g")
    assert reading.mass.best == 500 and reading.sure == "unsure" and "3" in reading.why


# Parts


def test_headings_open_parts(read_all):
    readings = read_all(
        "Tangzhong (water roux):",
        "25 g bread flour",
        "125 g water",
        "",
        "For the main dough",
        "350 g bread flour",
        "all of the tangzhong",
        "Egg wash:",
        "1 egg",
    )
    assert [(reading.kind, reading.part) for reading in readings] == [
        ("heading", "scald"),
        ("ingredient", "scald"),
        ("ingredient", "scald"),
        ("heading", "dough"),
        ("ingredient", "dough"),
        ("mention", "scald"),
        ("heading", "aside"),
        ("ingredient", "aside"),
    ]
    assert [reading.line for reading in readings] == [1, 2, 3, 5, 6, 7, 8, 9]
    assert not readings[-1].in_formula and readings[-1].mass


@pytest.mark.parametrize(
    "heading",
    [
        "tangzhong:",
        "Water roux",
        "YUDANE:",
        "The scald:",
        "For the scald",
        "## Tangzhong",
        "**Tangzhong**:",
        "<b>Tangzhong</b>",
        "Tangzhong starter:",
        "湯種",
        "【湯種】:",
        "湯種の材料",
        "Kochstück:",
        "Brühstück",
    ],
)
def test_headings_of_the_scald(read_all, heading):
    first, second = read_all(heading, "25 g bread flour")
    assert (first.kind, second.part, second.sure) == ("heading", "scald", "sure")


def test_an_unknown_heading_is_read_as_dough_with_a_remark(read_all):
    heading, line = read_all("For the harbour loaf:", "500 g bread flour")
    assert (heading.kind, heading.sure, line.part) == ("heading", "likely", "dough")


def test_one_line_can_name_its_part(read_all):
    first, second, third = read_all(
        "20 g bread flour (for the tangzhong)", "100 g water for the water roux", "300 g bread flour"
    )
    assert (first.part, second.part, third.part) == ("scald", "scald", "dough")


def test_a_heading_before_each_line_covers_only_that_line(read_all):
    parts = [
        reading.part
        for reading in read_all("Scald: 25 g bread flour", "Scald: 125 g water", "300 g bread flour")
    ]
    assert parts == ["scald", "scald", "dough"]


def test_a_heading_before_one_line_may_cover_the_next(read_all):
    first, second = read_all("Scald: 25 g bread flour", "125 g water")
    assert (first.part, first.sure, second.part, second.sure) == ("scald", "sure", "scald", "likely")


def test_a_glaze_named_in_a_line_covers_only_that_line(read_all):
    readings = read_all("500 g bread flour", "Egg wash: 1 egg", "10 g salt", "Dough:", "300 g water")
    assert [(reading.part, reading.sure) for reading in readings] == [
        ("dough", "sure"),
        ("aside", "likely"),
        ("dough", "likely"),
        ("dough", "sure"),
        ("dough", "sure"),
    ]


def test_a_scald_named_again_is_only_a_mention(read_all):
    mention, flour = read_all(
        "Scald:", "25 g bread flour", "Dough:", "Scald: all of the above", "350 g bread flour"
    )[-2:]
    assert (mention.kind, mention.sure, flour.part) == ("mention", "sure", "dough")


def test_a_scald_that_is_not_listed_cannot_be_read(read):
    assert read("120 g tangzhong").sure == "not_read"


@pytest.mark.parametrize(
    "line",
    [
        "2 tbsp bread flour for dusting",
        "butter for greasing",
        "Egg wash: 1 egg",
        "Milk wash: 1 tbsp milk",
        "For brushing: 1 egg",
    ],
)
def test_what_is_not_in_the_dough_stays_outside(read, line):
    assert read(line).part == "aside" and not read(line).in_formula


@pytest.mark.parametrize(
    "line",
    [
        "350 g bread flour, plus more for dusting",
        "350 g bread flour plus 2 tbsp for dusting",
        "350 g bread flour + extra for the work surface",
    ],
)
def test_what_is_kept_back_does_not_count(read, line):
    assert read(line).part == "dough" and read(line).mass.best == 350 and read(line).sure == "sure"


# Several in a line


def test_a_line_may_hold_several_ingredients(read_all):
    readings = read_all(
        "500 g bread flour, 10 g salt, 7 g instant yeast and 300 g water", "1 large egg plus 1 large yolk"
    )
    assert [(reading.line, reading.ingredient.name, round(reading.mass.best)) for reading in readings] == [
        (1, "bread_flour", 500),
        (1, "salt", 10),
        (1, "instant_yeast", 7),
        (1, "water", 300),
        (2, "whole_egg", 50),
        (2, "egg_yolk", 17),
    ]


# Percentages


def test_percentages_alone_are_based_on_100_g_of_flour(read_all):
    readings = read_all("Bread flour 80%", "Rye flour 20 %", "Water 65%", "Salt 2%")
    assert [reading.mass.best for reading in readings] == [80, 20, 65, 2]
    assert {reading.sure for reading in readings} == {"likely"}


def test_percentages_beside_a_weighed_flour_refer_to_it(read_all):
    flour, water, dusting = read_all("500 g bread flour", "water 65 %", "20 g bread flour for dusting")
    assert (flour.mass.best, water.mass.best) == (500, 325) and dusting.part == "aside"


def test_percentages_that_cannot_be_turned_into_masses(read_all):
    assert [reading.sure for reading in read_all("bread flour 100%", "300 g water")] == ["not_read", "sure"]
    assert read_all("water 65%")[0].sure == "not_read"


# Other languages


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("500 g Weizenmehl Type 550", "bread_flour", 500),
        ("0,5 l Wasser", "water", 499),
        ("1 EL Zucker", "sucrose", 12.78),
        ("2 TL Salz", "salt", 12.17),
        ("1 Prise Salz", "salt", 0.377),
        ("1 Würfel frische Hefe", "compressed_yeast", 42),
        ("1 Päckchen Trockenhefe", "instant_yeast", 7),
        ("2 Eier (Größe M)", "whole_egg", 94),
        ("80 g weiche Butter", "butter", 80),
        ("1.000 g Roggenmehl", "rye_flour", 1000),
        ("強力粉 250g", "bread_flour", 250),
        ("強力粉２５０グラム", "bread_flour", 250),
        ("砂糖 大さじ２", "soft_white_sugar", 18),
        ("砂糖大さじ2", "soft_white_sugar", 18),
        ("塩 小さじ1/2", "salt", 3.04),
        ("牛乳 1カップ", "whole_milk", 206.2),
        ("無塩バター 20g", "butter", 20),
        ("卵 1個（50g）", "whole_egg", 50),
        ("水 大さじ1と1/2", "water", 22.46),
        ("ドライイースト 小さじ1", "instant_yeast", 3.15),
        ("熱湯 50cc", "water", 49.9),
    ],
)
def test_german_and_japanese(read, line, name, grams):
    reading = read(line)
    assert reading.ingredient.name == name and reading.mass.best == pytest.approx(grams, rel=0.01)
    assert reading.sure in ("sure", "likely")


# Certainty


def test_a_thousands_mark_is_at_most_unsure_until_the_recipe_shows_its_marks(read_all):
    assert [reading.sure for reading in read_all("1,000 g bread flour")] == ["unsure"]
    assert [reading.sure for reading in read_all("1,000 g bread flour", "7.5 g salt")] == ["likely", "sure"]
    assert [reading.sure for reading in read_all("1,000 g bread flour", decimal="point")] == ["sure"]
    assert read_all("1,000 g bread flour", decimal="comma")[0].mass.best == 1


def test_no_recipe_means_a_thousand_kilograms(read_all):
    reading = read_all("1.250 kg bread flour", "7,5 g salt")[0]
    assert reading.mass.best == 1250 and reading.sure == "unsure"


def test_optional_lines_say_so(read):
    assert (read("1 tsp malt extract (optional)").sure, read("Optional: 1 tsp malt extract").why) == (
        "likely",
        "optional",
    )


def test_a_mark_between_words_without_spaces_is_no_word(read):
    assert read("きび糖'袋 100 g").ingredient.name == "sucrose"


@pytest.mark.parametrize(
    "line, words",
    [
        ("200 g houmous", "“houmous”"),
        ("a handful of herbs", "“herbs”"),
        ("100 g macadamias' butter", "“macadamias”"),
    ],
)
def test_unknown_words_are_quoted_as_spelt(read, line, words):
    assert words in read(line).why
