"""Yeast: how osmotic pressure and temperature set its rate, and how much sugar it would ferment."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import hypot
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import YEAST_INSTANT_PER_COMPRESSED, Breakdown
from scaldloaf.reference import coefficient

ORDINARY, SUGAR_TOLERANT = "ordinary", "sugar_tolerant"

HEXOSE_PER_SUCROSE = coefficient("hexose_per_sucrose").value
YEAST_UPTAKE_G_PER_G_H = coefficient("yeast_uptake_g_per_g_h").value
YEAST_UPTAKE_REFERENCE_DEGC = coefficient("yeast_uptake_reference_degc").value
SUGAR_USED_RELATIVE_BAND = coefficient("sugar_used_relative_band").value
YEAST_RATE_PER_DEGC = coefficient("yeast_rate_per_degc")
YEAST_RATE_LOW_DEGC = coefficient("yeast_rate_low_degc").value
YEAST_RATE_BEST_DEGC = coefficient("yeast_rate_best_degc").value
YEAST_RATE_FALLING_DEGC = coefficient("yeast_rate_falling_degc").value
YEAST_RATE_NONE_DEGC = coefficient("yeast_rate_none_degc").value
YEAST_RATE_AT_LOW = coefficient("yeast_rate_at_low").value
YEAST_RATE_AT_BEST = coefficient("yeast_rate_at_best").value
YEAST_RATE_AT_FALLING = coefficient("yeast_rate_at_falling").value
GASSING_ABOVE_GROWTH_DEGC = coefficient("gassing_above_growth_degc").value
MOLAR_MASS_HEXOSE_G = coefficient("molar_mass_hexose_g").value
MOLAR_MASS_DISACCHARIDE_G = coefficient("molar_mass_disaccharide_g").value
MOLAR_MASS_SALT_G = coefficient("molar_mass_salt_g").value
SALT_PARTICLES = coefficient("salt_particles").value
GAS_CONSTANT_L_ATM_PER_MOL_K = coefficient("gas_constant_l_atm_per_mol_k").value
OSMOTIC_ORDINARY_FULL_ATM = coefficient("osmotic_ordinary_full_atm").value
OSMOTIC_ORDINARY_THREE_QUARTERS_ATM = coefficient("osmotic_ordinary_three_quarters_atm").value
OSMOTIC_ORDINARY_THREE_QUARTERS_FACTOR = coefficient("osmotic_ordinary_three_quarters_factor")
OSMOTIC_ORDINARY_HALF_ATM = coefficient("osmotic_ordinary_half_atm").value
OSMOTIC_ORDINARY_HALF_FACTOR = coefficient("osmotic_ordinary_half_factor")
OSMOTIC_ORDINARY_FLOOR = coefficient("osmotic_ordinary_floor")
OSMOTIC_TOLERANT_FULL_ATM = coefficient("osmotic_tolerant_full_atm").value
OSMOTIC_TOLERANT_REDUCED_ATM = coefficient("osmotic_tolerant_reduced_atm").value
OSMOTIC_TOLERANT_REDUCED_FACTOR = coefficient("osmotic_tolerant_reduced_factor")
OSMOTIC_TOLERANT_FLOOR = coefficient("osmotic_tolerant_floor")

PRESSURE_K = YEAST_UPTAKE_REFERENCE_DEGC + 273.15  # the Celsius scale's own zero
HIGHEST_KNOWN_ATM = OSMOTIC_TOLERANT_REDUCED_ATM  # beyond it the brake is extrapolated


class Brake(NamedTuple):
    """Points of (pressure in atm, fraction of the full rate), and the least fraction."""

    points: tuple[tuple[float, float], ...]
    floor: float


def _brake_of(kind: str, end: str) -> Brake:
    """The brake of a kind of yeast, at an end of its range: "low", "value" or "high"."""
    if kind == SUGAR_TOLERANT:
        reduced = getattr(OSMOTIC_TOLERANT_REDUCED_FACTOR, end)
        points = ((OSMOTIC_TOLERANT_FULL_ATM, 1.0), (OSMOTIC_TOLERANT_REDUCED_ATM, reduced))
        return Brake(points, getattr(OSMOTIC_TOLERANT_FLOOR, end))
    return Brake(
        (
            (OSMOTIC_ORDINARY_FULL_ATM, 1.0),
            (OSMOTIC_ORDINARY_THREE_QUARTERS_ATM, getattr(OSMOTIC_ORDINARY_THREE_QUARTERS_FACTOR, end)),
            (OSMOTIC_ORDINARY_HALF_ATM, getattr(OSMOTIC_ORDINARY_HALF_FACTOR, end)),
        ),
        getattr(OSMOTIC_ORDINARY_FLOOR, end),
    )


# Kind of yeast -> its brake, best; and at the low and the high end of its range.
BRAKES = {kind: _brake_of(kind, "value") for kind in (ORDINARY, SUGAR_TOLERANT)}
_LOW_BRAKES = {kind: _brake_of(kind, "low") for kind in BRAKES}
_HIGH_BRAKES = {kind: _brake_of(kind, "high") for kind in BRAKES}

_COLDEST_DEGC = (0.0, 10.0)  # where the points of the curve below yeast_rate_low_degc are
# (dough temperature in °C, rate of yeast over that at yeast_uptake_reference_degc)
TEMPERATURE_POINTS: tuple[tuple[float, float], ...] = (
    *(
        (degc, YEAST_RATE_AT_LOW * YEAST_RATE_PER_DEGC.value ** (degc - YEAST_RATE_LOW_DEGC))
        for degc in _COLDEST_DEGC
    ),
    (YEAST_RATE_LOW_DEGC, YEAST_RATE_AT_LOW),
    (YEAST_UPTAKE_REFERENCE_DEGC, 1.0),
    (YEAST_RATE_BEST_DEGC, YEAST_RATE_AT_BEST),
    (YEAST_RATE_FALLING_DEGC, YEAST_RATE_AT_FALLING),
    (YEAST_RATE_NONE_DEGC, 0.0),
)


def compressed_yeast_percent(breakdown: Breakdown) -> float:
    """All yeast as compressed yeast, percent of flour.

    Compressed : active dry : instant = 1 : 0.40 : 0.33 by mass. Source: Hamelman 2004.
    """
    return breakdown.instant_yeast_percent / YEAST_INSTANT_PER_COMPRESSED


def osmotic_pressure_atm(
    hexose_percent: float, disaccharide_percent: float, salt_percent: float, water_percent: float
) -> float:
    """Osmotic pressure of the dough's water (van 't Hoff), at 30 °C.

    Particles over water, times R T: hexose / 180 + disaccharide / 342 + 2 x salt / 58.4. Sucrose counts as
    the hexose it becomes. The water is that of the lines that are not flour (hydration); the flour's own
    moisture stays bound. With 2 % salt and 0, 5, 10, 20, 25 % sucrose this gives 26, 37, 49, 77, 89 atm
    at 65.5 % of water without sugar, falling to 60 % with 20 and 25 %, as bakers lower it for a sweet dough.

    Parameters
        hexose_percent, disaccharide_percent, salt_percent : float  [% of flour]
        water_percent : float  [% of flour], above 0
    Returns
        float  [atm]
    Source
        van 't Hoff's law; published dough pressures (dough_osmotic_pressures)
    """
    moles = (
        hexose_percent / MOLAR_MASS_HEXOSE_G
        + disaccharide_percent / MOLAR_MASS_DISACCHARIDE_G
        + SALT_PARTICLES * salt_percent / MOLAR_MASS_SALT_G
    )
    litres = water_percent / 1000
    return moles * GAS_CONSTANT_L_ATM_PER_MOL_K * PRESSURE_K / litres


def dough_pressure_atm(breakdown: Breakdown) -> float:
    """Osmotic pressure at mixing, atm, from the sugars and salt of the lines.

    Lactose and maltose count as disaccharides. Leaves out the flour's own sugars, as do the published
    pressures that set the brake. Valid for a hydration above 0.
    """
    hexose = (
        breakdown.glucose_percent
        + breakdown.fructose_percent
        + HEXOSE_PER_SUCROSE * breakdown.sucrose_percent
    )
    return osmotic_pressure_atm(
        hexose,
        breakdown.maltose_percent + breakdown.lactose_percent,
        breakdown.salt_percent,
        breakdown.hydration_percent,
    )


def osmotic_brake(pressure_atm: float, yeast_tolerance: str = ORDINARY) -> float:
    """Rate of yeast under that pressure, fraction of its full rate.

    Linear between the points of the kind of yeast; the last line continues down to a floor. The slowing
    from about 5 % sugar is a published trade figure; the points are assumptions.
    """
    return _braked(pressure_atm, BRAKES[yeast_tolerance])


def brake_band(pressure_atm: float, yeast_tolerance: str = ORDINARY) -> Estimate:
    """``osmotic_brake`` with the ends that strains differ by, fraction of the full rate (assumption).

    pressure_atm: of the dough's water, atm. yeast_tolerance: ORDINARY or SUGAR_TOLERANT.
    """
    low, best, high = (
        _braked(pressure_atm, brakes[yeast_tolerance]) for brakes in (_LOW_BRAKES, BRAKES, _HIGH_BRAKES)
    )
    return Estimate(low, best, high, "assumption")


def _braked(pressure_atm: float, brake: Brake) -> float:
    left, rate = brake.points[0]
    if pressure_atm <= left:
        return rate
    slope = 0.0
    for right, next_rate in brake.points[1:]:
        slope = (next_rate - rate) / (right - left)
        if pressure_atm <= right:
            break
        left, rate = right, next_rate
    return max(brake.floor, rate + slope * (pressure_atm - left))


# ---- Temperature ---------------------------------------------------------------------------------


class Piece(NamedTuple):
    """A piece of the temperature curve: its ends (°C, rate), and the slope at each, per °C."""

    start: tuple[float, float]
    end: tuple[float, float]
    start_slope: float
    end_slope: float

    def at(self, temperature_c: float) -> float:
        """The rate at a temperature of this piece, °C: the cubic through both ends with both slopes."""
        (left, low), (right, high) = self.start, self.end
        width = right - left
        way = (temperature_c - left) / width
        rest = 1 - way
        return (
            low * (1 + 2 * way) * rest**2
            + high * (3 - 2 * way) * way**2
            + width * way * rest * (self.start_slope * rest - self.end_slope * way)
        )


def _slopes(points: Sequence[tuple[float, float]]) -> list[float]:
    """Slopes at the points that keep the cubics between them monotone, per °C.

    Source: F. N. Fritsch, J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300: the weighted harmonic mean
    of the secants where they agree in sign, 0 where they don't, and three-point ends.
    """
    widths = [right[0] - left[0] for left, right in pairwise(points)]
    secants = [(right[1] - left[1]) / (right[0] - left[0]) for left, right in pairwise(points)]
    inner = []
    for (one, other), (before, after) in zip(pairwise(widths), pairwise(secants), strict=True):
        first, second = 2 * other + one, other + 2 * one
        same = before * after > 0
        inner.append((first + second) / (first / before + second / after) if same else 0.0)
    ends = [
        _end_slope(*widths[:2], *secants[:2]),
        _end_slope(*widths[:-3:-1], *secants[:-3:-1]),
    ]
    return [ends[0], *inner, ends[1]]


def _end_slope(width: float, next_width: float, secant: float, next_secant: float) -> float:
    """The slope at an end, by its own secant and the next one, no steeper than keeps the curve monotone."""
    slope = ((2 * width + next_width) * secant - width * next_secant) / (width + next_width)
    if slope * secant <= 0:
        return 0.0
    if secant * next_secant < 0 and abs(slope) > 3 * abs(secant):
        return 3 * secant
    return slope


def _pieces() -> tuple[Piece, ...]:
    slopes = _slopes(TEMPERATURE_POINTS)
    ends = zip(pairwise(TEMPERATURE_POINTS), pairwise(slopes), strict=True)
    return tuple(Piece(start, end, *slope) for (start, end), slope in ends)


PIECES = _pieces()


def piece_at(temperature_c: float) -> Piece:
    """The piece of the temperature curve that holds a dough temperature up to yeast_rate_none_degc, °C."""
    return next((piece for piece in PIECES if temperature_c <= piece.end[0]), PIECES[-1])


def temperature_factor(temperature_c: float) -> float:
    """Rate of yeast at that dough temperature over its rate at 30 °C.

    A monotone cubic (PCHIP) through 0.48 at 20, 1 at 30, 1.10 at 36, 0.64 at 40 and 0 at 43 °C, growth
    rates seen at second hand; below 20 °C it falls by yeast_rate_per_degc for each degree, through points
    at 10 and 0 °C. 0 above 43 °C. Valid from 0 to 45 °C.
    """
    if temperature_c >= YEAST_RATE_NONE_DEGC:
        return 0.0
    return max(0.0, piece_at(temperature_c).at(temperature_c))


@lru_cache(maxsize=256)
def temperature_band(temperature_c: float) -> Estimate:
    """``temperature_factor`` with its ends (assumption).

    Below 20 °C the low end falls by 1.12 for each degree and the high end by 1.07, the range of
    yeast_rate_per_degc. Above 36 °C gassing may peak up to 4 °C later than growth (from memory): the high
    end is the most that the curve has within that distance below the dough's temperature, °C.
    """
    best = temperature_factor(temperature_c)
    row, colder = YEAST_RATE_PER_DEGC, YEAST_RATE_LOW_DEGC - temperature_c
    if colder > 0:
        low, high = (best * (row.value / end) ** colder for end in (row.high, row.low))
        return Estimate(low, best, high, "assumption")
    high = best
    if temperature_c > YEAST_RATE_BEST_DEGC:
        earlier = max(YEAST_RATE_BEST_DEGC, temperature_c - GASSING_ABOVE_GROWTH_DEGC)
        high = temperature_factor(earlier)
    return Estimate(best, best, high, "assumption")


def outside_rate_range(temperature_c: float) -> bool:
    """Whether the rate at that dough temperature, °C, has a band of its own."""
    return not YEAST_RATE_LOW_DEGC <= temperature_c <= YEAST_RATE_BEST_DEGC


def sugar_demand(compressed_percent: float, brake: Estimate, temperature_c: float) -> Estimate:
    """What the yeast would ferment, g of hexose per 100 g of flour and hour: q Y f(pressure) g(temperature).

    The band moves the uptake by a quarter, the brake and the temperature over their ranges, one at a time,
    root sum of squares.

    Parameters
        compressed_percent : float  [% of flour] yeast as compressed yeast
        brake : Estimate  [fraction of the full rate]
        temperature_c : float  [°C] of the dough
    Returns
        Estimate  [g per 100 g of flour and hour] q = 0.32 g per g of compressed yeast and hour at 30 °C,
        inferred from a published table
    """
    warmth = temperature_band(temperature_c)
    full = YEAST_UPTAKE_G_PER_G_H * compressed_percent
    best = full * brake.best * warmth.best
    uptake = SUGAR_USED_RELATIVE_BAND * best
    below = hypot(
        uptake, full * (brake.best - brake.low) * warmth.best, full * brake.best * (warmth.best - warmth.low)
    )
    above = hypot(
        uptake,
        full * (brake.high - brake.best) * warmth.best,
        full * brake.best * (warmth.high - warmth.best),
    )
    return Estimate(best - below, best, best + above, "assumption")
