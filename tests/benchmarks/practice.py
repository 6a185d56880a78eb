"""What bakers do, fitted to tests/published/practice.csv: water, tins, proof, sugar, yeast, salt and fat.

    python tests/benchmarks/practice.py [--draws 2000] [--seed 1] [--write]

Each writer counts once, however many recipes are theirs, and is drawn whole in the bootstrap, so an interval
does not shrink because one writer publishes much. Water is fitted against fat, sugar, region and, for each
kind of scald, the share: points of water per point of scalded share. A tin's ratio is fitted on its
logarithm, against region, lid and share. A recipe shows a habit, not an effect: what it says of the share and
the volume, or of the share and the proof, is printed and never taken over.

Sugar, yeast, salt, fat and proof are those of loaves; rolls and plaits are sweeter, and count for the water.

Prints each row with the number of recipes behind it and its 90 % interval. ``--write`` writes the rows to
api/scaldloaf/reference/coefficients.toml as common practice.
"""

import argparse
import csv
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy
from scipy import optimize

ROOT = Path(__file__).resolve().parents[2]
TABLE = ROOT / "tests" / "published" / "practice.csv"
COEFFICIENTS = ROOT / "api" / "scaldloaf" / "reference" / "coefficients.toml"
HEADING = "# What bakers do: written by tests/benchmarks/practice.py, from tests/published/practice.csv\n"
DRAWS, SEED = 2000, 1
NEAR, FAR = 5, 95  # percentiles: the ends of a 90 % interval, and what nine in ten recipes lie between
# Kinds of scald by grams of water per gram of its flour.
RATIOS = {"equal": (0.0, 1.3), "double": (1.3, 2.6), "triple": (2.6, 4.0), "roux": (4.0, 10.0)}
TUNED = 1.345  # of Huber's loss: 95 % as good as least squares where nothing is unusual
WATER_RANGE = (40.0, 110.0)  # percent: outside it a dough is a batter or a slip
RATIO_RANGE = (1.2, 6.5)  # cm3 of pan per g of dough: outside it a tin is not the one the dough is for
LEAST_RECIPES = 8  # of a kind, before anything is fitted to it


@dataclass(frozen=True)
class Row:
    """A fitted row: a value, its 90 % interval, and what it rests on.

    spread: between what nine in ten recipes lie, where a row is what is usual; None for a slope.
    """

    name: str
    recipes: int
    value: float
    low: float
    high: float
    unit: str
    meaning: str
    spread: tuple[float, float] | None = None


class Survey:
    """The recipes as columns, and draws of writers."""

    def __init__(self, rows: list[dict[str, str]]) -> None:
        self.rows = rows
        self.writers = numpy.array([row["writer"] for row in rows])

    @classmethod
    def read(cls, path: Path = TABLE) -> "Survey":
        with path.open(encoding="utf-8", newline="") as lines:
            return cls(list(csv.DictReader(lines)))

    def numbers(self, column: str) -> numpy.ndarray:
        """A column, nan where a recipe does not say it."""
        return numpy.array([float(row[column]) if row[column] else numpy.nan for row in self.rows])

    def texts(self, column: str) -> numpy.ndarray:
        return numpy.array([row[column] for row in self.rows])

    def weights(self, chosen: numpy.ndarray) -> numpy.ndarray:
        """One over the writer's recipes among the chosen."""
        _, inverse, counts = numpy.unique(self.writers[chosen], return_inverse=True, return_counts=True)
        return 1 / counts[inverse]

    def draws(
        self,
        chosen: numpy.ndarray,
        statistic: Callable[[numpy.ndarray, numpy.ndarray], numpy.ndarray],
        draws: int,
        seed: int,
    ) -> tuple[numpy.ndarray, numpy.ndarray, numpy.ndarray]:
        """A statistic of (places, weights), and its 5 and 95 % over draws of whole writers."""
        places = numpy.flatnonzero(chosen)
        weights = self.weights(chosen)
        names, inverse = numpy.unique(self.writers[places], return_inverse=True)
        chance = numpy.random.default_rng(seed)
        found = []
        for _ in range(draws):
            times = numpy.bincount(chance.integers(len(names), size=len(names)), minlength=len(names))
            drawn = weights * times[inverse]
            found.append(statistic(places[drawn > 0], drawn[drawn > 0]))
        ends = numpy.nanpercentile(numpy.array(found), (NEAR, FAR), axis=0)
        return statistic(places, weights), ends[0], ends[1]


def weighted_percentile(values: numpy.ndarray, weights: numpy.ndarray, percent: float) -> float:
    order = numpy.argsort(values)
    reached = numpy.cumsum(weights[order]) - weights[order] / 2
    return float(numpy.interp(percent / 100 * weights.sum(), reached, values[order]))


def robust(matrix: numpy.ndarray, seen: numpy.ndarray, weights: numpy.ndarray) -> numpy.ndarray:
    """Weighted least squares under Huber's loss, so that a misprint does not draw the line."""
    root = numpy.sqrt(weights)
    start = numpy.linalg.lstsq(matrix * root[:, None], seen * root, rcond=None)[0]
    scale = 1.4826 * numpy.median(numpy.abs(seen - matrix @ start)) or 1.0
    coefficients = start
    for _ in range(8):  # reweighted until it settles
        off = numpy.abs(seen - matrix @ coefficients) / scale
        root = numpy.sqrt(weights * numpy.minimum(1.0, TUNED / numpy.maximum(off, 1e-9)))
        coefficients = numpy.linalg.lstsq(matrix * root[:, None], seen * root, rcond=None)[0]
    return coefficients


def usual(survey: Survey, column: str, scale: tuple[int, int]) -> Row:
    """The median of a column, its interval, and what nine in ten recipes lie between."""
    draws, seed = scale
    values = survey.numbers(column)
    chosen = ~numpy.isnan(values) & (survey.texts("form") == "loaf")
    median, low, high = survey.draws(
        chosen,
        lambda places, weights: numpy.array([weighted_percentile(values[places], weights, 50)]),
        draws,
        seed,
    )
    weights = survey.weights(chosen)
    spread = tuple(weighted_percentile(values[chosen], weights, percent) for percent in (NEAR, FAR))
    minutes = column.endswith("minutes")
    what = column.removesuffix("_percent").removesuffix("_minutes").replace("_", " ")
    return Row(
        f"practice_{column}",
        int(chosen.sum()),
        float(median[0]),
        float(low[0]),
        float(high[0]),
        "min" if minutes else "percent of flour",
        f"Usual {what}{' of every line but flour' if what == 'fat' else ''} of enriched wheat loaves, "
        "scalded or not.",
        spread,
    )


def water(survey: Survey, scale: tuple[int, int]) -> list[Row]:
    """Usual water at no share, and points of water per point of share for each kind of scald."""
    draws, seed = scale
    seen, fat, sugar = (survey.numbers(f"{name}_percent") for name in ("water", "fat", "sugar"))
    share = survey.numbers("scalded_share_percent")
    ratio = numpy.nan_to_num(survey.numbers("scald_water_ratio"))
    region = survey.texts("region")
    chosen = ~numpy.isnan(seen + fat + sugar) & (seen > WATER_RANGE[0]) & (seen < WATER_RANGE[1])
    kinds = {
        kind: numpy.where((ratio > low) & (ratio <= high), share, 0.0) for kind, (low, high) in RATIOS.items()
    }
    kinds = {kind: shares for kind, shares in kinds.items() if (shares[chosen] > 0).sum() >= LEAST_RECIPES}
    middle = [weighted_percentile(each[chosen], survey.weights(chosen), 50) for each in (fat, sugar)]
    east = region == "east_asian"
    matrix = numpy.column_stack(
        [numpy.ones(len(seen)), fat - middle[0], sugar - middle[1], east - 0.5, region == "other"]
        + list(kinds.values())
    )

    def fitted(places: numpy.ndarray, weights: numpy.ndarray) -> numpy.ndarray:
        return robust(matrix[places], seen[places], weights)

    best, low, high = survey.draws(chosen, fitted, draws, seed)
    plain = chosen & (share == 0)
    spread = tuple(
        weighted_percentile(seen[plain], survey.weights(plain), percent) for percent in (NEAR, FAR)
    )
    rows = [
        Row(
            "practice_water_percent",
            int(plain.sum()),
            float(best[0]),
            float(low[0]),
            float(high[0]),
            "percent of flour, all water counted",
            f"Usual water of an enriched wheat bread without scald, at {middle[0]:.0f} % fat and "
            f"{middle[1]:.0f} % sugar.",
            spread,
        )
    ]
    for place, (kind, shares) in enumerate(kinds.items(), 5):
        used = chosen & (shares > 0)
        ratios, shares_used = ratio[used], shares[used]
        rows.append(
            Row(
                f"practice_water_slope_{kind}",
                int(used.sum()),
                float(best[place]),
                float(low[place]),
                float(high[place]),
                "points of hydration per point of scalded share",
                f"Water that recipes with a scald of 1:{numpy.median(ratios):.2g} in water have above those "
                f"without, per point of share, at a median share of {numpy.median(shares_used):.0f} %.",
            )
        )
    return rows


def law(survey: Survey, rows: list[Row]) -> str:
    """The degree of binding and the full flour's water that fit the slopes best, in one line; not a row."""
    slopes = [row for row in rows if row.name.startswith("practice_water_slope")]
    ratio = survey.numbers("scald_water_ratio")
    at = []
    for row in slopes:
        low, high = RATIOS[row.name.rsplit("_", 1)[1]]
        at.append(numpy.median(ratio[(ratio > low) & (ratio <= high)]))
    seen = numpy.array([row.value for row in slopes])
    width = numpy.array([max(row.high - row.low, 1e-6) for row in slopes])

    def off(guess: numpy.ndarray) -> numpy.ndarray:
        return (guess[0] * (numpy.minimum(at, guess[1]) - 0.64) - seen) / width

    found = optimize.least_squares(off, (0.75, 2.6), bounds=((0, 0.7), (2, 6)))
    return f"k(r) = a (min(r, W) - 0.64): a = {found.x[0]:.2f}, W = {found.x[1]:.2f}"


def tins(survey: Survey, scale: tuple[int, int]) -> tuple[list[Row], list[str]]:
    """Pan ratios at no share, lidded and open, and what recipes do about the share (a habit, no effect)."""
    draws, seed = scale
    dough, volume = survey.numbers("dough_g"), survey.numbers("pan_volume_cm3")
    ratio = volume * numpy.nan_to_num(survey.numbers("tins"), nan=1.0) / dough
    share = survey.numbers("scalded_share_percent")
    known = ~numpy.isnan(ratio) & (ratio > RATIO_RANGE[0]) & (ratio < RATIO_RANGE[1])
    east = survey.texts("region") == "east_asian"
    rows, habits = [], []
    for lid, name in (("yes", "lidded"), ("no", "open")):
        for here, where, style in (
            (east, "east_asian", "East Asian style"),
            (~east, "western", "Western style"),
        ):
            chosen = known & (survey.texts("lidded") == lid) & here
            if chosen.sum() < LEAST_RECIPES:
                habits.append(f"pan ratio, {name}, {style}: only {int(chosen.sum())} recipes, not fitted")
                continue
            matrix = numpy.column_stack([numpy.ones(len(ratio)), share / 100])

            def fitted(
                places: numpy.ndarray, weights: numpy.ndarray, matrix: numpy.ndarray = matrix
            ) -> numpy.ndarray:
                of_places = matrix[places]
                if not numpy.ptp(of_places[:, 1]):  # nobody drawn has a scald, so the share shows nothing
                    found = robust(of_places[:, :1], numpy.log(ratio[places]), weights)
                    return numpy.array([numpy.exp(found[0]), 0.0])
                found = robust(of_places, numpy.log(ratio[places]), weights)
                return numpy.array([numpy.exp(found[0]), found[1]])

            best, low, high = survey.draws(chosen, fitted, draws, seed)
            weights = survey.weights(chosen)
            spread = tuple(weighted_percentile(ratio[chosen], weights, percent) for percent in (NEAR, FAR))
            rows.append(
                Row(
                    f"practice_pan_ratio_{name}_{where}",
                    int(chosen.sum()),
                    float(best[0]),
                    float(low[0]),
                    float(high[0]),
                    "cm3 of pan per g of dough",
                    f"Pan ratio of {name} tins in recipes of {style} at no share. Tins that are only named "
                    "count at their usual size.",
                    spread,
                )
            )
            if not numpy.ptp(share[chosen]):
                continue
            habits.append(
                f"pan ratio, {name}, {style}: changes by {100 * best[1]:.0f} % ({100 * low[1]:.0f} to "
                f"{100 * high[1]:.0f}) per 100 points of share"
            )
    return rows, habits


def proofs(survey: Survey) -> list[str]:
    """Medians of proof minutes with and without scald: a habit, no effect."""
    share, found = survey.numbers("scalded_share_percent"), []
    for column in ("first_proof_minutes", "final_proof_minutes"):
        minutes = survey.numbers(column)
        for name, group in (("scalded", share > 0), ("not scalded", share == 0)):
            chosen = group & ~numpy.isnan(minutes)
            median = weighted_percentile(minutes[chosen], survey.weights(chosen), 50)
            found.append(f"{column}, {name}: {median:.0f} min, {int(chosen.sum())} recipes")
    return found


def fit(survey: Survey, draws: int = DRAWS, seed: int = SEED) -> tuple[list[Row], list[str]]:
    """All rows, and what is printed beside them."""
    scale = draws, seed
    by_water = water(survey, scale)
    by_tin, habits = tins(survey, scale)
    columns = ("sugar_percent", "instant_yeast_percent", "salt_percent", "fat_percent")
    proof_columns = ("first_proof_minutes", "final_proof_minutes")
    rows = [*by_water, *by_tin, *(usual(survey, column, scale) for column in (*columns, *proof_columns))]
    return rows, [law(survey, by_water), *habits, *proofs(survey)]


def rounded(value: float) -> float:
    """To three figures, as the table has it."""
    return float(f"{value:.3g}")


def written(row: Row) -> str:
    """A row as a table of coefficients.toml: low and high are the spread where there is one."""
    low, high = row.spread or (row.low, row.high)
    ends = "Low and high are the 90 % interval."
    if row.spread:
        ends = (
            "Nine in ten recipes lie between low and high; the 90 % interval of the value is "
            f"{row.low:.3g} to {row.high:.3g}."
        )
    return (
        f"[{row.name}]\n"
        f"value = {rounded(row.value)}\n"
        f"low = {rounded(min(low, row.value))}\n"
        f"high = {rounded(max(high, row.value))}\n"
        f'unit = "{row.unit}"\n'
        'replaced_by = ["own_measurement", "survey"]\n'
        'evidence = "common practice"\n'
        'sources = ["practice_survey", "common_practice"]\n'
        'place = "practice.csv"\n'
        f"recipes = {row.recipes}\n"
        f'meaning = "{row.meaning} {ends}"\n'
    )


def write(rows: list[Row], path: Path = COEFFICIENTS) -> None:
    """Put the rows in place of those written before."""
    text = path.read_text("utf-8")
    before, found, after = text.partition(HEADING)
    rest = re.search(r"(?m)^# ", after)
    after = after[rest.start() :] if found and rest else ""
    tables = "\n".join(written(row) for row in rows)
    whole = before.rstrip("\n") + "\n\n" + HEADING + "\n" + tables
    path.write_text(whole + ("\n" + after if after else ""), "utf-8")


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    arguments.add_argument("--draws", type=int, default=DRAWS)
    arguments.add_argument("--seed", type=int, default=SEED)
    arguments.add_argument("--write", action="store_true")
    given = arguments.parse_args()
    survey = Survey.read()
    rows, beside = fit(survey, given.draws, given.seed)
    print(f"{len(survey.rows)} recipes of {len(set(survey.writers))} writers")
    for row in rows:
        spread = f"  (nine in ten recipes {row.spread[0]:.3g} to {row.spread[1]:.3g})" if row.spread else ""
        print(f"{row.name:36} n {row.recipes:3}  {row.value:7.3g}  {row.low:.3g} to {row.high:.3g}{spread}")
    print(*beside, sep="\n")
    if given.write:
        write(rows)


if __name__ == "__main__":
    main()
