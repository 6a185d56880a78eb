"""The dough that fills a pan."""

from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.dough.limits import require_fill
from scaldloaf.dough.target_bread import Bread
from scaldloaf.reference import coefficient

PAN_RATIO_LIDDED_JAPANESE = coefficient("pan_ratio_lidded_japanese")
PAN_RATIO_LIDDED_US = coefficient("pan_ratio_lidded_us")
PAN_RATIO_OPEN_WHOLESALE = coefficient("pan_ratio_open_wholesale")
PAN_RATIO_OPEN_HOME = coefficient("pan_ratio_open_home")
PAN_RATIO_OPEN_SHALLOW = coefficient("pan_ratio_open_shallow")
RATIOS_SEEN = {
    "lidded_japanese": PAN_RATIO_LIDDED_JAPANESE,
    "lidded_us": PAN_RATIO_LIDDED_US,
    "open_wholesale": PAN_RATIO_OPEN_WHOLESALE,
    "open_home": PAN_RATIO_OPEN_HOME,
    "open_shallow": PAN_RATIO_OPEN_SHALLOW,
}


class PanFill(NamedTuple):
    """Dough for one pan: cm³ of loaf, g of dough and of loaf, cm³ of pan per g of dough.

    oven_mass_g: of the loaf at the oven's mouth. baked_mass_g: of the loaf when it has cooled.
    """

    loaf_volume_cm3: float
    dough_mass_g: Estimate
    oven_mass_g: Estimate
    baked_mass_g: Estimate
    pan_ratio: Estimate


def fill_pan(pan_volume_cm3: float, fill_percent: float, bread: Bread) -> PanFill:
    """Dough that fills a pan to a percentage of its volume (100: a lidded pan just full).

    Dough = pan volume x fill / loaf per dough. Valid for a fill of 20 to 300 %; raises Refusal outside.
    """
    require_fill(fill_percent, "fill_percent")
    loaf = pan_volume_cm3 * fill_percent / 100
    oven, cooled = bread.specific_volume.map(lambda value: loaf / value), bread.cooled_per_oven
    return PanFill(
        loaf_volume_cm3=loaf,
        dough_mass_g=bread.loaf_per_dough.map(lambda per_dough: loaf / per_dough),
        oven_mass_g=oven,
        baked_mass_g=Estimate(
            oven.low * cooled.low,
            oven.best * cooled.best,
            oven.high * cooled.high,
            weakest(oven.evidence, cooled.evidence),
        ),
        pan_ratio=bread.loaf_per_dough.map(lambda per_dough: per_dough * pan_volume_cm3 / loaf),
    )
