"""Firmness against volume, and the course of firming, each with its source."""

import csv
from itertools import pairwise
from math import exp, log
from pathlib import Path
from statistics import median, pstdev

import numpy
import pytest
from pytest import approx

from scaldloaf.dough.keeping import RISES, Loaf, Score, equal_volume_factor, keep
from scaldloaf.reference import coefficient

# Rahman and Simsek 2020, J. Food Sci. Technol. 57:3581-3590, Table 4: pan breads of one laboratory, columns
# BAB (baking absorption, %), LV (cm3), SV (cm3/g) and FM (firmness, mN). Its last row was cut off in the copy
# seen.
TABLE = Path(__file__).with_name("firmness_and_volume.csv")
OUTLIER = "ADA"  # it did not rise: three times as firm as any other


def breads(without_outlier: bool) -> list[tuple[float, float]]:
    """Specific volume and firmness of each bread."""
    with TABLE.open(encoding="utf-8") as lines:
        rows = [row for row in csv.DictReader(lines) if not (without_outlier and row["bread"] == OUTLIER)]
    return [(float(row["specific_volume_cm3_per_g"]), float(row["firmness_mn"])) for row in rows]


def test_the_table_is_whole():
    assert len(breads(False)) == 30 and len(breads(True)) == 29
    with TABLE.open(encoding="utf-8") as lines:
        for row in csv.DictReader(lines):
            # one piece of dough makes all loaves, so volume over specific volume is nearly one mass
            mass = float(row["loaf_volume_cm3"]) / float(row["specific_volume_cm3_per_g"])
            assert 126 < mass < 141, row["bread"]


@pytest.mark.parametrize(("without_outlier", "slope"), [(True, -2.14), (False, -2.42)])
def test_the_exponent_is_that_of_the_table(without_outlier, slope):
    seen = numpy.log(breads(without_outlier))
    fitted, _ = numpy.polyfit(seen[:, 0], seen[:, 1], 1)
    assert fitted == approx(slope, abs=0.01)
    row = coefficient("firmness_volume_exponent")
    assert row.low < -fitted < row.high
    if without_outlier:
        assert row.value == approx(-fitted, abs=0.19)  # the standard error of the fit


def test_thirty_breads_differ_in_firmness_mostly_by_their_volume():
    seen = breads(True)
    reference = median(volume for volume, _ in seen)
    as_they_are = [log(firmness) for _, firmness in seen]
    at_equal_volume = [
        log(firmness * equal_volume_factor(volume, reference).best) for volume, firmness in seen
    ]
    # Tolerance: firmness of replicate loaves scatters by 4 to 15 % (score_relative_sd), so no more is left.
    assert pstdev(as_they_are) > 0.3 and pstdev(at_equal_volume) < 0.15


def test_nine_in_ten_breads_lie_within_the_band():
    seen = breads(True)
    level = median(firmness * equal_volume_factor(volume, 6.2).best for volume, firmness in seen)
    scatter = 1.645 * coefficient("score_relative_sd").high
    inside = 0
    for volume, firmness in seen:
        factor = equal_volume_factor(volume, 6.2)
        inside += level / factor.high * exp(-scatter) <= firmness <= level / factor.low * exp(scatter)
    assert inside / len(seen) >= 0.9


def test_a_tenth_less_volume_is_a_quarter_more_firmness():
    # what follows from the table for one step, as it is put into words
    assert 1 / equal_volume_factor(0.9 * 4.4, 4.4).best == approx(1.25, abs=0.01)


# Cornford, Axford and Elton 1964, Cereal Chem. 41:216, abstract: (E1 - E) / (E1 - E0) = exp(-kt), so the
# exponent of Avrami's equation is 1, and fat lowers the end E1 without changing k.
def test_firming_is_exponential():
    assert coefficient("firming_exponent").value == 1


def test_fat_lowers_the_end_and_not_the_rate():
    def loaf(name, end):
        return Loaf(
            name, tuple(Score(day, 2 + (end - 2) * (1 - exp(-day / 3))) for day in (0, 1, 2, 3, 5, 8))
        )

    plain, with_fat = keep([loaf("plain", 9), loaf("with fat", 7)], RISES)
    ends = [each.posterior.combination(1.0, 1.0).best for each in (plain, with_fat)]
    rates = [each.posterior.shape("time_constant_days").best for each in (plain, with_fat)]
    assert ends == [approx(9, rel=0.1), approx(7, rel=0.1)]
    assert all(one == approx(other, rel=0.1) for one, other in pairwise(rates))
