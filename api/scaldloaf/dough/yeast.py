"""Yeast: how osmotic pressure and temperature set its rate, and how much sugar it would ferment."""

from scaldloaf.dough.formula import YEAST_INSTANT_PER_COMPRESSED, Breakdown
from scaldloaf.reference import coefficient

ORDINARY, SUGAR_TOLERANT = "ordinary", "sugar_tolerant"

HEXOSE_PER_SUCROSE = coefficient("hexose_per_sucrose").value
YEAST_UPTAKE_G_PER_G_H = coefficient("yeast_uptake_g_per_g_h").value
YEAST_UPTAKE_REFERENCE_DEGC = coefficient("yeast_uptake_reference_degc").value
YEAST_RATE_PER_DEGC = coefficient("yeast_rate_per_degc").value
YEAST_RATE_LOW_DEGC = coefficient("yeast_rate_low_degc").value
YEAST_RATE_HIGH_DEGC = coefficient("yeast_rate_high_degc").value
MOLAR_MASS_HEXOSE_G = coefficient("molar_mass_hexose_g").value
MOLAR_MASS_DISACCHARIDE_G = coefficient("molar_mass_disaccharide_g").value
MOLAR_MASS_SALT_G = coefficient("molar_mass_salt_g").value
SALT_PARTICLES = coefficient("salt_particles").value
GAS_CONSTANT_L_ATM_PER_MOL_K = coefficient("gas_constant_l_atm_per_mol_k").value
OSMOTIC_ORDINARY_FULL_ATM = coefficient("osmotic_ordinary_full_atm").value
OSMOTIC_ORDINARY_THREE_QUARTERS_ATM = coefficient("osmotic_ordinary_three_quarters_atm").value
OSMOTIC_ORDINARY_THREE_QUARTERS_FACTOR = coefficient("osmotic_ordinary_three_quarters_factor").value
OSMOTIC_ORDINARY_HALF_ATM = coefficient("osmotic_ordinary_half_atm").value
OSMOTIC_ORDINARY_HALF_FACTOR = coefficient("osmotic_ordinary_half_factor").value
OSMOTIC_ORDINARY_FLOOR = coefficient("osmotic_ordinary_floor").value
OSMOTIC_TOLERANT_FULL_ATM = coefficient("osmotic_tolerant_full_atm").value
OSMOTIC_TOLERANT_REDUCED_ATM = coefficient("osmotic_tolerant_reduced_atm").value
OSMOTIC_TOLERANT_REDUCED_FACTOR = coefficient("osmotic_tolerant_reduced_factor").value
OSMOTIC_TOLERANT_FLOOR = coefficient("osmotic_tolerant_floor").value

PRESSURE_K = YEAST_UPTAKE_REFERENCE_DEGC + 273.15  # the Celsius scale's own zero
HIGHEST_KNOWN_ATM = OSMOTIC_TOLERANT_REDUCED_ATM  # beyond it the brake is extrapolated
# Kind of yeast -> points of (pressure in atm, fraction of the full rate), and the least fraction.
BRAKES: dict[str, tuple[tuple[tuple[float, float], ...], float]] = {
    ORDINARY: (
        (
            (OSMOTIC_ORDINARY_FULL_ATM, 1.0),
            (OSMOTIC_ORDINARY_THREE_QUARTERS_ATM, OSMOTIC_ORDINARY_THREE_QUARTERS_FACTOR),
            (OSMOTIC_ORDINARY_HALF_ATM, OSMOTIC_ORDINARY_HALF_FACTOR),
        ),
        OSMOTIC_ORDINARY_FLOOR,
    ),
    SUGAR_TOLERANT: (
        (
            (OSMOTIC_TOLERANT_FULL_ATM, 1.0),
            (OSMOTIC_TOLERANT_REDUCED_ATM, OSMOTIC_TOLERANT_REDUCED_FACTOR),
        ),
        OSMOTIC_TOLERANT_FLOOR,
    ),
}


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
    moisture stays bound. With 2 % salt and 0, 5, 10, 20, 25 % sucrose this gives the published 26, 37, 49,
    77, 89 atm at 65.5 % of water without sugar, falling to 60 % with 20 and 25 %, as bakers lower it for a
    sweet dough.

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
    points, floor = BRAKES[yeast_tolerance]
    left, rate = points[0]
    if pressure_atm <= left:
        return rate
    slope = 0.0
    for right, next_rate in points[1:]:
        slope = (next_rate - rate) / (right - left)
        if pressure_atm <= right:
            break
        left, rate = right, next_rate
    return max(floor, rate + slope * (pressure_atm - left))


def temperature_factor(temperature_c: float) -> float:
    """Rate of yeast at that dough temperature over its rate at 30 °C: 1.10 per °C.

    A published trade figure for 23 to 32 °C, extrapolated outside (``outside_rate_range``); above about
    38 °C real yeast slows again.
    """
    factor: float = YEAST_RATE_PER_DEGC ** (temperature_c - YEAST_UPTAKE_REFERENCE_DEGC)
    return factor


def outside_rate_range(temperature_c: float) -> bool:
    """Whether ``temperature_factor`` is extrapolated at that dough temperature, °C."""
    return not YEAST_RATE_LOW_DEGC <= temperature_c <= YEAST_RATE_HIGH_DEGC


def sugar_demand(compressed_percent: float, brake: float, temperature_c: float) -> float:
    """What the yeast would ferment, g of hexose per 100 g of flour and hour: q Y f(pressure) g(temperature).

    compressed_percent: yeast as compressed yeast, % of flour. brake: fraction of the full rate.
    temperature_c: of the dough, °C. q = 0.30 g per g of compressed yeast and hour at 30 °C (from memory).
    """
    return YEAST_UPTAKE_G_PER_G_H * compressed_percent * brake * temperature_factor(temperature_c)
