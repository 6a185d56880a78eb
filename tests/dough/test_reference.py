"""The tables add up and agree with the sources they name; a bad table stops the program."""

import re
from math import pi

import pytest

from scaldloaf.reference import (
    CAUTIONS,
    COEFFICIENTS,
    COMPOSITION_FIELDS,
    EVIDENCE,
    INGREDIENTS,
    LANGUAGES,
    PANS,
    REPLACEMENTS,
    SEEN,
    SOURCE_KINDS,
    SOURCES,
    ReferenceDataError,
    coefficient,
)
from scaldloaf.reference.loader import cautions_of, coefficients_of, ingredients_of, sources_of

SUGARS = ("sucrose_percent", "glucose_percent", "fructose_percent", "maltose_percent", "lactose_percent")
TABLESPOON_CM3 = 14.787
CUP_CM3 = 236.588
# The allergens of the United States, the European Union and Japan that matter here, by our short names.
ALLERGENS = {
    "wheat",
    "gluten",
    "milk",
    "egg",
    "soybeans",
    "sesame",
    "tree nuts",
    "peanuts",
    "fish",
    "crustacean shellfish",
    "molluscs",
    "celery",
    "mustard",
    "sulphites",
    "lupin",
    "buckwheat",
}


def parts(ingredient):
    return {field: getattr(ingredient, field) for field in COMPOSITION_FIELDS}


def total(*lines):
    """Mass of each part in a blend of (ingredient name, grams)."""
    return {
        field: sum(grams * getattr(INGREDIENTS[name], field) / 100 for name, grams in lines)
        for field in COMPOSITION_FIELDS
    }


# Ingredients


@pytest.mark.parametrize("name", INGREDIENTS)
def test_composition_adds_up(name):
    values = parts(INGREDIENTS[name])
    assert all(0 <= value <= 100 for value in values.values())
    assert sum(values.values()) <= 100.05


# Ingredients made of water, sugars, fat, protein, salt and a little ash must add up to nearly 100.
@pytest.mark.parametrize(
    ("names", "least"),
    [
        (
            "water sucrose glucose fructose oil coconut_oil sesame_oil shortening lard ghee salt coarse_salt",
            99.9,
        ),
        ("whole_milk semi_skimmed_milk skim_milk buttermilk cream single_cream half_and_half yogurt", 99.0),
        ("sour_cream cream_cheese condensed_milk evaporated_milk whole_egg egg_yolk egg_white", 97.0),
        ("salted_butter margarine butter unsalted_margarine", 97.0),
        ("golden_syrup invert_sugar brown_sugar icing_sugar", 97.0),
        ("skim_milk_powder whole_milk_powder buttermilk_powder whey_powder", 90.0),
    ],
)
def test_what_should_be_nearly_all_named_is(names, least):
    for name in names.split():
        assert sum(parts(INGREDIENTS[name]).values()) >= least, name


def test_the_names_the_interface_promises_are_there():
    promised = [
        "bread_flour",
        "plain_flour",
        "whole_wheat_flour",
        "rye_flour",
        "rice_flour",
        "vital_gluten",
        "water",
        "whole_milk",
        "skim_milk",
        "cream",
        "condensed_milk",
        "skim_milk_powder",
        "whole_milk_powder",
        "whole_egg",
        "egg_yolk",
        "egg_white",
        "butter",
        "oil",
        "sucrose",
        "glucose_syrup",
        "honey",
        "malt_extract",
        "salt",
        "instant_yeast",
        "active_dry_yeast",
        "compressed_yeast",
    ]
    assert set(promised) <= set(INGREDIENTS)
    assert len(INGREDIENTS) >= 48
    assert sum(bool(row.sources) for row in INGREDIENTS.values()) >= 40
    assert sum(row.evidence == "published" for row in INGREDIENTS.values()) >= 40


# Water, fat, protein and all sugars, g per 100 g, with the table each row comes from.
@pytest.mark.parametrize(
    ("name", "water", "fat", "protein", "sugars", "tolerance"),
    [
        # USDA Handbook 8, revised 1976
        ("whole_milk", 88.0, 3.3, 3.3, 4.8, 0.01),
        ("skim_milk", 90.8, 0.2, 3.4, 4.9, 0.01),
        ("cream", 57.7, 37.0, 2.1, 2.8, 0.01),
        ("butter", 15.9, 81.1, 0.9, 0.1, 0.01),
        ("salted_butter", 15.9, 81.1, 0.9, 0.1, 0.01),
        ("condensed_milk", 27.2, 8.7, 8.0, 54.4, 0.01),
        ("evaporated_milk", 74.0, 7.6, 6.8, 10.0, 0.01),
        ("whole_milk_powder", 2.5, 26.7, 26.3, 38.4, 0.01),
        # US dairy export table; the trade's lactose is 49.5 to 52
        ("skim_milk_powder", 3.0, 0.7, 36.0, 51.0, 0.01),
        # USDA Standard Reference, rows 20083, 20081, 20080, 20064, 20061, 48052
        ("bread_flour", 13.36, 1.66, 11.98, 0, 0.06),
        ("plain_flour", 11.92, 0.98, 10.33, 0, 0.06),
        ("whole_wheat_flour", 10.74, 2.50, 13.21, 0, 0.06),
        ("rye_flour", 10.97, 1.52, 10.88, 0, 0.06),
        ("rice_flour", 11.89, 1.42, 5.95, 0, 0.06),
        ("vital_gluten", 8.2, 1.85, 75.16, 0, 0.06),
        # the same, rows 01079, 01088, 01050, 01116, 01056, 01017, 01115
        ("semi_skimmed_milk", 89.21, 1.98, 3.30, 4.80, 0.06),
        ("buttermilk", 90.13, 0.88, 3.31, 4.79, 0.06),
        ("single_cream", 73.75, 19.31, 2.70, 3.66, 0.06),
        ("yogurt", 87.90, 3.25, 3.47, 4.66, 0.06),
        ("sour_cream", 74.46, 19.73, 2.07, 2.88, 0.06),
        ("cream_cheese", 54.44, 34.24, 5.93, 3.21, 0.06),
        ("whey_powder", 3.19, 1.07, 12.93, 74.46, 0.06),
        # the same, rows 18374, 18375, 04610, 19334, 19165
        ("compressed_yeast", 69.0, 1.9, 8.4, 0, 0.06),
        ("active_dry_yeast", 5.08, 7.61, 40.44, 0, 0.06),
        ("margarine", 16.52, 80.71, 0.16, 0, 0.06),
        ("brown_sugar", 1.34, 0, 0.12, 97.02, 0.13),
        ("cocoa_powder", 3.0, 13.7, 19.6, 1.75, 0.06),
        # USDA AH 8-1, eggs; sugars from Standard Reference rows 01123 to 01125, since 1.2 was by difference
        ("whole_egg", 75.33, 10.02, 12.49, 0.37, 0.06),
        ("egg_yolk", 48.81, 30.87, 16.76, 0.56, 0.06),
        ("egg_white", 87.81, 0.0, 10.52, 0.71, 0.06),
    ],
)
def test_rows_agree_with_their_tables(name, water, fat, protein, sugars, tolerance):
    row = INGREDIENTS[name]
    assert row.water_percent == pytest.approx(water, abs=tolerance)
    assert row.fat_percent == pytest.approx(fat, abs=tolerance)
    assert row.protein_percent == pytest.approx(protein, abs=tolerance)
    assert sum(getattr(row, sugar) for sugar in SUGARS) == pytest.approx(sugars, abs=tolerance)


def test_honey_matches_the_survey():
    # White et al. 1962, 490 US honeys, as Crane quotes them: fructose 38.2, glucose 31.3, sucrose 1.3,
    # reducing disaccharides as maltose 7.30; water 17.1 (USDA row 19296)
    honey = INGREDIENTS["honey"]
    assert (honey.fructose_percent, honey.glucose_percent) == (38.2, 31.3)
    assert (honey.maltose_percent, honey.sucrose_percent, honey.water_percent) == (7.3, 1.3, 17.1)


def test_water_figures_known_to_be_wrong_are_not_ours():
    # A question-and-answer page has evaporated milk at 35 % water and heavy cream at 67 %.
    assert INGREDIENTS["evaporated_milk"].water_percent != pytest.approx(35, abs=30)
    assert INGREDIENTS["cream"].water_percent != pytest.approx(67, abs=5)


def test_condensed_milk_splits_its_sugars_as_milk_would():
    condensed, milk = INGREDIENTS["condensed_milk"], INGREDIENTS["whole_milk"]
    assert condensed.lactose_percent / condensed.protein_percent == pytest.approx(
        milk.lactose_percent / milk.protein_percent, rel=0.01
    )
    assert condensed.sucrose_percent > 3 * condensed.lactose_percent


# Gisslen, Professional Baking (2008), milk replacement for 1 kg.
def test_skim_milk_from_water_and_powder():
    made, milk = total(("water", 910), ("skim_milk_powder", 90)), total(("skim_milk", 1000))
    assert made["water_percent"] == pytest.approx(milk["water_percent"], rel=0.01)
    assert made["lactose_percent"] == pytest.approx(milk["lactose_percent"], rel=0.07)
    assert made["protein_percent"] == pytest.approx(milk["protein_percent"], rel=0.07)
    assert 1000 - milk["water_percent"] == pytest.approx(90, rel=0.03)  # 92 g of solids


def test_whole_milk_from_water_and_whole_powder():
    made, milk = total(("water", 880), ("whole_milk_powder", 120)), total(("whole_milk", 1000))
    assert made["water_percent"] == pytest.approx(milk["water_percent"], rel=0.01)
    assert made["fat_percent"] == pytest.approx(milk["fat_percent"], rel=0.04)
    assert made["lactose_percent"] == pytest.approx(milk["lactose_percent"], rel=0.05)


@pytest.mark.parametrize("fat", [("shortening", 30), ("butter", 40)])
def test_whole_milk_from_water_skim_powder_and_fat(fat):
    made, milk = total(("water", 880), ("skim_milk_powder", 90), fat), total(("whole_milk", 1000))
    assert made["water_percent"] == pytest.approx(milk["water_percent"], rel=0.015)
    assert made["fat_percent"] == pytest.approx(milk["fat_percent"], rel=0.10)
    assert made["lactose_percent"] == pytest.approx(milk["lactose_percent"], rel=0.05)


def test_milk_bread_needs_the_milk_the_law_says():
    # 21 CFR 136.130: 8.2 parts of milk solids per 100 flour, which at 12 % solids is 68.3 % of milk.
    solids = 100 - INGREDIENTS["whole_milk"].water_percent
    assert 100 * 8.2 / solids == pytest.approx(68.3, abs=0.05)


def test_salt_of_salted_butter_is_its_sodium_times_two_and_a_half():
    # USDA row 01001: 643 mg of sodium; Regulation (EU) 1169/2011, Annex I
    assert INGREDIENTS["salted_butter"].salt_percent == pytest.approx(0.643 * 2.5, abs=0.05)


def test_dextrose_is_the_monohydrate():
    assert INGREDIENTS["glucose"].water_percent == pytest.approx(100 * 18.015 / 198.171, abs=0.05)


# A second measure of the same USDA row, in g per tablespoon, against the density taken from the first.
@pytest.mark.parametrize(
    ("name", "tablespoon_g"),
    [
        ("honey", 21),
        ("malt_extract", 21),
        ("glucose_syrup", 22),
        ("molasses", 20),
        ("cream", 15),
        ("oil", 13.6),
        ("shortening", 12.8),
        ("ghee", 12.8),
        ("margarine", 14),
        ("cocoa_powder", 5.4),
        ("butter", 227 * TABLESPOON_CM3 / CUP_CM3),
        ("whole_milk", 30.5 / 2),
        ("condensed_milk", 38.2 / 2),
        ("evaporated_milk", 31.5 / 2),
        ("maple_syrup", 20),
    ],
)
def test_density_agrees_with_a_second_measure(name, tablespoon_g):
    assert INGREDIENTS[name].density_g_per_cm3 * TABLESPOON_CM3 == pytest.approx(tablespoon_g, rel=0.06)


def test_all_but_block_yeast_can_be_measured_in_cups_and_spoons():
    without = {name for name, row in INGREDIENTS.items() if row.density_g_per_cm3 is None}
    assert without == {"compressed_yeast"}
    assert all(0.2 < row.density_g_per_cm3 < 1.5 for name, row in INGREDIENTS.items() if name not in without)


def test_what_counts_as_flour_and_as_liquid():
    flours = {name for name, row in INGREDIENTS.items() if row.is_flour}
    assert flours == {name for name in INGREDIENTS if name.endswith("_flour")} - {"diastatic_malt_flour"}
    liquids = {name for name, row in INGREDIENTS.items() if row.is_liquid}
    assert liquids == {"water", "whole_milk", "semi_skimmed_milk", "skim_milk", "buttermilk"}
    assert {row.yeast: name for name, row in INGREDIENTS.items() if row.yeast} == {
        "instant": "instant_yeast",
        "active_dry": "active_dry_yeast",
        "compressed": "compressed_yeast",
    }


def test_allergens():
    for name, row in INGREDIENTS.items():
        assert set(row.allergens) <= ALLERGENS, name
        assert ("milk" in row.allergens) == (row.lactose_percent > 0 or name == "ghee"), name
        assert ("egg" in row.allergens) == ("egg" in name), name
        assert "gluten" in row.allergens or "wheat" not in row.allergens, name
        if row.yeast:
            assert not row.allergens, name
    for name in ("bread_flour", "plain_flour", "spelt_flour", "semolina_flour", "vital_gluten", "wheat_germ"):
        assert INGREDIENTS[name].allergens == ("wheat", "gluten")
    for name in ("rye_flour", "barley_flour", "malt_extract", "oat_milk"):
        assert INGREDIENTS[name].allergens == ("gluten",)
    assert INGREDIENTS["sesame_seeds"].allergens == ("sesame",)
    assert INGREDIENTS["soy_milk"].allergens == ("soybeans",)
    assert INGREDIENTS["buckwheat_flour"].allergens == ("buckwheat",)


def test_a_row_says_what_it_is_called_in_every_language():
    """The first name of a language is its label. A row without one would show English there."""
    assert LANGUAGES[0] == "en" and {"de", "ja"} <= set(LANGUAGES)
    for name, row in INGREDIENTS.items():
        assert (row.label, *row.aliases) == row.names["en"]
        assert set(row.names) == set(LANGUAGES), name
        for language, (label, *spellings) in row.names.items():
            assert label == label.strip() and label[0] == label[0].upper(), (name, label)
            assert all(spelling == spelling.lower().strip() for spelling in spellings), (name, language)


def test_spellings_are_plain_and_stand_for_one_ingredient():
    spellings = [(alias, name) for name, row in INGREDIENTS.items() for alias in (name, *row.aliases)]
    assert len({alias for alias, _ in spellings}) == len(spellings)
    for alias, name in spellings:
        assert alias == alias.lower().strip() and "  " not in alias, (name, alias)
    for name, row in INGREDIENTS.items():
        assert "_" not in name or name.replace("_", " ") in row.aliases


@pytest.mark.parametrize(
    ("spelling", "name"),
    [
        ("strong white flour", "bread_flour"),
        ("all-purpose flour", "plain_flour"),
        ("ap flour", "plain_flour"),
        ("caster sugar", "sucrose"),
        ("sugar", "sucrose"),
        ("unsalted butter", "butter"),
        ("milk", "whole_milk"),
        ("nonfat dry milk", "skim_milk_powder"),
        ("heavy cream", "cream"),
        ("eggs", "whole_egg"),
        ("fresh yeast", "compressed_yeast"),
        ("fast-action yeast", "instant_yeast"),
        ("corn syrup", "glucose_syrup"),
        ("cornflour", "corn_starch"),
        ("black treacle", "molasses"),
        ("strong wholemeal flour", "whole_wheat_flour"),
        ("boiling water", "water"),
        ("fine sea salt", "salt"),
        ("dextrose", "glucose"),
    ],
)
def test_usual_spellings(spelling, name):
    assert spelling in INGREDIENTS[name].aliases


# Sources and evidence


@pytest.mark.parametrize(
    "table", [COEFFICIENTS, INGREDIENTS, CAUTIONS], ids=["coefficients", "ingredients", "cautions"]
)
def test_every_row_cites_sources_that_exist(table):
    for name, row in table.items():
        assert row.sources, name
        assert set(row.sources) <= set(SOURCES), name


@pytest.mark.parametrize("table", [COEFFICIENTS, INGREDIENTS], ids=["coefficients", "ingredients"])
def test_evidence_labels_match_the_sources(table):
    for name, row in table.items():
        assert row.evidence in EVIDENCE, name
        kinds = {SOURCES[source].kind for source in row.sources}
        if row.evidence == "published":
            assert kinds - {"none"}, name
            assert not {"from_memory", "assumption", "common_practice"} & set(row.sources), name
        if row.evidence == "from memory":
            assert "from_memory" in row.sources, name
        if row.evidence == "assumption":
            assert "assumption" in row.sources, name
        if row.evidence == "common practice":
            assert "common_practice" in row.sources, name


@pytest.mark.parametrize("table", [COEFFICIENTS, INGREDIENTS], ids=["coefficients", "ingredients"])
def test_a_published_row_says_where_the_figure_was_read(table):
    published = {name: row for name, row in table.items() if row.evidence == "published"}
    assert len(published) > 30
    for name, row in published.items():
        assert row.place, name
        seen = [SOURCES[source].seen for source in row.sources]
        assert any(each not in ("not seen", "nothing to look up") for each in seen), name


def test_sources_state_what_was_seen():
    for name, source in SOURCES.items():
        assert source.kind in SOURCE_KINDS and source.title and source.seen.startswith(SEEN), name
        assert source.year is None or 1900 < source.year <= 2026, name
        assert source.kind == "none" or source.identifier or source.seen == "quoted elsewhere", name
    for name in ("mass_balance", "geometry", "stoichiometry", "common_practice", "from_memory", "assumption"):
        assert SOURCES[name].kind == "none"


def test_our_own_arithmetic_is_no_source():
    # The osmotic pressures are worked out here by van 't Hoff's law: nothing was quoted from anywhere.
    assert SOURCES["dough_osmotic_pressures"].kind == "none"
    assert SOURCES["dough_osmotic_pressures"].seen == "nothing to look up"


# Coefficients


@pytest.mark.parametrize("name", COEFFICIENTS)
def test_coefficient_is_whole(name):
    row = COEFFICIENTS[name]
    assert row.low <= row.value <= row.high
    assert row.unit and row.meaning.endswith(".")
    if name.endswith("_degc"):
        assert "°C" in row.unit
    if name.endswith("_hours"):
        assert row.unit == "h"
    if name.endswith("_minutes"):
        assert row.unit == "min"


@pytest.mark.parametrize("name", COEFFICIENTS)
def test_a_coefficient_says_what_would_replace_it(name):
    row = COEFFICIENTS[name]
    assert set(row.replaced_by) <= set(REPLACEMENTS) and len(set(row.replaced_by)) == len(row.replaced_by)
    if row.evidence == "exact":
        assert row.replaced_by == ()
    # A number with a range is an estimate, and something would make it better; a plan's own step is not one.
    elif row.low < row.high and name not in ("trial_water_step_points", "score_sd_weight"):
        assert row.replaced_by, name


def test_what_a_baker_measures_comes_before_a_paper():
    assert coefficient("specific_volume_prior").replaced_by[0] == "own_loaf"
    assert coefficient("scald_water_slope").replaced_by[0] == "own_table"
    assert "own_trials" in coefficient("share_volume_loss").replaced_by
    assert all(
        row.replaced_by.index("paper") == len(row.replaced_by) - 1
        for row in COEFFICIENTS.values()
        if "paper" in row.replaced_by
    )


@pytest.mark.parametrize(
    "name",
    [
        "scald_water_slope",
        "roux_water_slope",
        "crumb_moisture_per_hydration_point",
        "share_volume_loss",
        "water_volume_curvature_dry",
        "water_volume_curvature_wet",
        "scald_binding_degree",
        "scald_water_capacity",
        "specific_volume_prior",
        "bake_loss_lidded_percent",
        "bake_loss_open_percent",
        "yeast_uptake_g_per_g_h",
        "yeast_rate_per_degc",
        "flour_glucose_percent",
        "flour_sucrose_glucofructan_percent",
        "glucose_uptake_share",
        "maltose_switch_percent",
        "maltose_lag_minutes",
        "amylase_maltose_percent",
        "amylase_rate_per_hour",
        "scald_maltose_per_flour_percent",
        "sweetness_fructose",
        "sweetness_glucose",
        "sweetness_maltose",
        "sweetness_lactose",
        "scald_loss_degc",
        "specific_heat_flour",
        "firming_time_constant_days",
        "firming_exponent",
        "yeast_instant_per_compressed",
    ],
)
def test_an_empirical_number_has_a_band(name):
    row = coefficient(name)
    assert row.low < row.high and row.evidence != "exact"


def value(name):
    return coefficient(name).value


def test_stoichiometry_from_atomic_masses():
    carbon, hydrogen, oxygen = 12.011, 1.008, 15.999  # IUPAC standard atomic masses
    hexose = 6 * carbon + 12 * hydrogen + 6 * oxygen
    disaccharide = 12 * carbon + 22 * hydrogen + 11 * oxygen
    carbon_dioxide = carbon + 2 * oxygen
    assert value("molar_mass_hexose_g") == pytest.approx(hexose, rel=1e-5)
    assert value("molar_mass_disaccharide_g") == pytest.approx(disaccharide, rel=1e-5)
    assert value("hexose_per_sucrose") == pytest.approx(2 * hexose / disaccharide, rel=1e-5)
    assert value("hexose_per_maltose") == value("hexose_per_sucrose")
    assert value("co2_per_hexose_g") == pytest.approx(2 * carbon_dioxide / hexose, rel=1e-4)
    for celsius in (0, 30):
        kelvin, name = celsius + 273.15, f"co2_volume_{celsius}c_ml_per_g_hexose"
        litres = 2 / hexose * value("gas_constant_l_atm_per_mol_k") * kelvin
        assert value(name) == pytest.approx(1000 * litres, rel=2e-3)


def test_ice_constants_are_the_heat_of_melting():
    heat_of_melting = 333.6  # kJ/kg
    assert value("ice_heat_degc") == pytest.approx(heat_of_melting / value("specific_heat_water"), abs=0.1)
    assert value("ice_heat_degf_constant") == 144 - 32  # Btu/lb, degF
    assert value("ice_heat_degc") * 9 / 5 - 32 == pytest.approx(value("ice_heat_degf_constant"), abs=0.5)


def test_specific_heat_of_flour_agrees_with_its_parts():
    # Choi & Okos 1986 over USDA row 20083, the rest being starch and fibre: a second route to the
    # 1.80 to 1.88 tabled by Geankoplis
    flour = INGREDIENTS["bread_flour"]
    percent = {"water": flour.water_percent, "protein": flour.protein_percent, "fat": flour.fat_percent}
    percent["other_solids"] = 100 - sum(percent.values())
    heat = sum(part * value(f"specific_heat_{name}") for name, part in percent.items()) / 100
    band = coefficient("specific_heat_flour")
    assert band.low <= heat <= band.high


def test_bands_and_ladders_keep_their_order():
    ladders = [
        "share_volume_band_10 share_volume_band_20 share_volume_band_30 share_volume_band_40",
        "specific_volume_refuse_low specific_volume_note_low specific_volume_prior specific_volume_note_high "
        "specific_volume_refuse_high",
        "scald_share_limit_percent share_upper_bound_percent",
        "scald_water_slope thick_roux_water_slope roux_water_slope",
        "specific_volume_refuse_low specific_volume_prior_close specific_volume_prior",
        "bake_loss_lidded_percent bake_loss_open_percent bake_loss_upper_percent",
        "osmotic_ordinary_full_atm osmotic_ordinary_three_quarters_atm osmotic_ordinary_half_atm",
        "osmotic_ordinary_floor osmotic_ordinary_half_factor osmotic_ordinary_three_quarters_factor",
        "osmotic_tolerant_full_atm osmotic_tolerant_reduced_atm",
        "osmotic_ordinary_full_atm osmotic_tolerant_full_atm",
        "sugar_note_percent sugar_tolerant_advised_percent",
        "sweetness_lactose sweetness_maltose sweetness_glucose sweetness_sucrose sweetness_fructose",
        "gelatinisation_start_degc gelatinisation_end_degc core_done_low_degc core_done_high_degc",
        "cooling_total_to_degc cooling_first_to_degc cooling_first_from_degc",
        "cooling_first_hours cooling_ambient_hours cooling_total_hours",
        "yeast_instant_per_compressed yeast_active_dry_per_compressed",
    ]
    for ladder in ladders:
        values = [value(name) for name in ladder.split()]
        assert values == sorted(set(values)), ladder


def test_figures_match_their_source():
    assert value("flour_reference_moisture_percent") == 14  # ICC 115/1
    assert value("gelatinisation_start_degc") == 53  # Belitz, Table 4.24
    assert value("gelatinisation_end_degc") == 65
    food_code = (
        "cooling_first_from_degc cooling_first_to_degc cooling_first_hours cooling_total_hours "
        "cooling_total_to_degc"
    )
    assert [value(name) for name in food_code.split()] == [57, 21, 2, 6, 5]  # FDA 3-501.14
    assert value("yeast_active_dry_per_compressed") == 0.40  # Hamelman 2004
    assert value("yeast_instant_per_compressed") == 0.33
    assert coefficient("amylase_maltose_percent").high == 5.5  # Saunders, Ng & Kline 1972
    assert coefficient("gluten_water_ratio").high == 2.0  # baker's dictionary: 150 to 200 %
    in3_per_oz = 2.54**3 / 28.349523125
    # A mid-century formulary: 7.6 cubic inches per ounce
    assert value("pan_ratio_open_wholesale") == pytest.approx(7.6 * in3_per_oz, abs=0.005)


def test_the_tabled_water_slopes_are_those_of_the_law():
    """Their best values are what the law gives there, and the ends of the law's inputs bound them."""
    degree, full, raw = (
        coefficient(name) for name in ("scald_binding_degree", "scald_water_capacity", "raw_flour_water")
    )
    for kind in ("scald", "thick_roux", "roux"):
        row = coefficient(f"{kind}_water_slope")
        kept = min(value(f"{kind}_water_slope_ratio"), full.value)
        assert row.value == pytest.approx(degree.value * (kept - raw.value))
        # all of the water beyond the least that raw flour holds is the most
        assert row.high == pytest.approx(min(value(f"{kind}_water_slope_ratio") - raw.low, 2.4))


def test_two_points_of_gluten_need_three_of_water():
    # Trade answer: 2 % vital gluten, 3 % more water
    assert 2 * value("gluten_water_ratio") == 3


def test_an_unknown_coefficient_is_a_mistake_in_the_code():
    with pytest.raises(KeyError):
        coefficient("no_such_number")


# Cautions


def test_cautions_cover_the_steps_and_defer():
    assert {
        "raw_flour",
        "hot_scald",
        "scald_cooling",
        "allergens",
        "acrylamide",
        "rope_spoilage",
        "net_weight",
        "no_shelf_life_claim",
        "core_temperature",
        "refrigerator_stales",
    } <= set(CAUTIONS)
    for code, caution in CAUTIONS.items():
        assert caution.text.endswith(".") and caution.defer_to, code


def test_cautions_take_their_temperatures_from_the_coefficients():
    assert {
        code: tuple(caution.temperatures_c) for code, caution in CAUTIONS.items() if caution.temperatures_c
    } == {
        "hot_scald": ("scald_burn_degc",),
        "scald_cooling": ("cooling_first_from_degc", "cooling_first_to_degc", "cooling_total_to_degc"),
        "core_temperature": ("core_done_low_degc", "core_done_high_degc"),
    }
    cooling = CAUTIONS["scald_cooling"].text_in("{:g} °C".format)
    assert "from 57 °C to 21 °C" in cooling and "to 5 °C" in cooling
    for name in ("cooling_first_hours", "cooling_total_hours"):
        assert f"within {value(name):g} hours" in cooling


def test_no_caution_names_a_temperature_of_one_scale_only():
    assert not [code for code, caution in CAUTIONS.items() if "°" in caution.text]


# Pans


def litres(pan):
    if pan["kind"] == "box":
        return pan["length"] * pan["width"] * pan["depth"] / 1000
    if pan["kind"] == "round":
        top, base = pan["top_diameter"], pan["base_diameter"]
        return pi * pan["depth"] / 12 * (top * top + top * base + base * base) / 1000
    top, base = pan["top_length"] * pan["top_width"], pan["base_length"] * pan["base_width"]
    middle = (pan["top_length"] + pan["base_length"]) * (pan["top_width"] + pan["base_width"]) / 4
    return (pi / 4 if pan["kind"] == "oval" else 1) * pan["depth"] / 6 * (top + base + 4 * middle) / 1000


@pytest.mark.parametrize("name", PANS)
def test_pan_holds_what_its_note_says(name):
    shape = PANS[name]
    assert all(4 < size < 50 for key, size in shape.pan.items() if key != "kind")
    said = float(re.match(r"About (\d+\.\d+) litre", shape.note)[1])
    assert litres(shape.pan) == pytest.approx(said, rel=0.025)


def test_pans_of_every_kind():
    assert {shape.pan["kind"] for shape in PANS.values()} == {"box", "tapered", "round", "oval"}
    assert litres(PANS["lidded_three_loaf"].pan) == pytest.approx(5.475)  # published: 365 x 120 x 125 mm
    assert litres(PANS["open_test_loaf"].pan) == pytest.approx(1.6077, abs=1e-4)  # AACC 10-11.01, prismatoid


# A table that contradicts itself stops the program, naming the row.


ROW = {
    "sources": {"title": "A source", "kind": "book", "seen": "full text"},
    "coefficients": {
        "value": 1.0,
        "low": 0.5,
        "high": 2.0,
        "unit": "g",
        "evidence": "published",
        "sources": ["belitz"],
        "place": "Table 1",
        "replaced_by": ["own_trials", "paper"],
        "meaning": "A number.",
    },
    "ingredients": {
        "names": {"en": ["Thing"]},
        "water_percent": 50.0,
        "evidence": "published",
        "sources": ["usda_sr"],
        "place": "row 1",
    },
    "cautions": {"text": "Mind it.", "defer_to": "someone", "sources": ["belitz"]},
}


READERS = {
    "sources": sources_of,
    "coefficients": lambda rows: coefficients_of(rows, SOURCES),
    "ingredients": lambda rows: ingredients_of(rows, SOURCES),
    "cautions": lambda rows: cautions_of(rows, SOURCES, COEFFICIENTS),
}


@pytest.mark.parametrize("table", ROW)
def test_a_sound_row_is_read(table):
    assert list(READERS[table]({"thing": ROW[table]})) == ["thing"]


@pytest.mark.parametrize(
    ("table", "change", "said"),
    [
        ("sources", {"colour": "red"}, "'thing'"),
        ("sources", {"kind": "rumour"}, "unknown kind 'rumour'"),
        ("sources", {"seen": "heard of it"}, "does not say what was seen"),
        ("coefficients", {"value": 2.1}, "outside its own range"),
        ("coefficients", {"low": 1.1}, "outside its own range"),
        ("coefficients", {"evidence": "rumour"}, "evidence"),
        ("coefficients", {"sources": ["nowhere"]}, "unknown source 'nowhere'"),
        ("coefficients", {"sources": []}, "without a source"),
        ("coefficients", {"sources": ["common_practice"]}, "without a source that was seen"),
        ("coefficients", {"place": ""}, "without the place"),
        ("coefficients", {"replaced_by": ["a miracle"]}, "replaced by the unknown"),
        ("coefficients", {"note": "no such field"}, "'thing'"),
        ("ingredients", {"fat_percent": 51.0}, "does not add up"),
        ("ingredients", {"water_percent": -1.0}, "does not add up"),
        ("ingredients", {"yeast": "wild"}, "unknown yeast"),
        ("ingredients", {"evidence": "rumour"}, "evidence"),
        ("ingredients", {"sources": ["nowhere"]}, "unknown source 'nowhere'"),
        ("ingredients", {"sources": []}, "without a source"),
        ("ingredients", {"place": ""}, "without the place"),
        ("ingredients", {"sugar_percent": 1.0}, "'thing'"),
        ("ingredients", {"names": {}}, "lacks a name"),
        ("ingredients", {"names": {"de": ["Ding"]}}, "lacks a name"),
        ("ingredients", {"names": {"en": ["Thing"], "de": []}}, "lacks a name"),
        ("ingredients", {"names": {"en": ["Thing", "stuff", "stuff"]}}, "a name twice in 'en'"),
        ("cautions", {"sources": ["nowhere"]}, "unknown source 'nowhere'"),
        ("cautions", {"text": "Mind {nothing}."}, "neither a coefficient nor a number of its own"),
    ],
)
def test_a_bad_row_is_refused_by_name(table, change, said):
    with pytest.raises(ReferenceDataError, match=said) as refused:
        READERS[table]({"thing": {**ROW[table], **change}})
    assert "thing" in str(refused.value)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ({"en": ["Thing", "stuff"]}, {"en": ["Other", "stuff"]}),
        ({"en": ["Thing", "other"]}, {"en": ["Another"]}),
        ({"en": ["Thing"]}, {"en": ["Thing"]}),
        ({"en": ["Thing"], "de": ["Zeug"]}, {"en": ["Other"], "de": ["Anderes", "zeug"]}),
    ],
)
def test_one_spelling_for_two_ingredients_is_refused(first, second):
    rows = {
        name: {**ROW["ingredients"], "names": names} for name, names in (("thing", first), ("other", second))
    }
    with pytest.raises(ReferenceDataError, match="means both 'thing' and 'other'"):
        ingredients_of(rows, SOURCES)
