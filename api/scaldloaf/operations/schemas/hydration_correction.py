"""The request of hydration-correction: the share or the flour to move a formula to, and its water."""

from typing import Any

from scaldloaf.dough.flour import FLOUR_REFERENCE_MOISTURE_PERCENT
from scaldloaf.dough.limits import (
    BAKE_LOSS_LIDDED_PERCENT,
    BAKE_LOSS_UPPER_PERCENT,
    LARGEST_HYDRATION_PERCENT,
    LARGEST_LIQUID_RATIO,
)
from scaldloaf.dough.per_flour import HOLD_DOUGH, HOLD_FLOUR
from scaldloaf.operations.schemas.common import Calibration, Formula, Request
from scaldloaf.operations.schemas.fields import Choice, Component, Number, Percent, Text
from scaldloaf.operations.schemas.objects import Closed, Items, Object

MOST_GLUTEN_PERCENT = 20

_HYDRATION = "Water in all lines that are not flour, percent of total flour."


class FlourChange(Closed):
    """A flour other than the one the formula was made for. Enter both absorptions or neither. With equal ones
    the flour stays the same, and the water is judged by its absorption."""

    moisture_percent = Percent(
        "Moisture of the new flour.", 0, 40, load_default=FLOUR_REFERENCE_MOISTURE_PERCENT
    )
    base_moisture_percent = Percent(
        "Moisture of the flour the formula was made for.",
        0,
        40,
        load_default=FLOUR_REFERENCE_MOISTURE_PERCENT,
    )
    absorption_percent = Percent("Water absorption of the new flour at 14 % moisture (ICC 115/1).", 30, 150)
    base_absorption_percent = Percent("The same for the flour the formula was made for.", 30, 150)


class WaterCurvePoint(Closed):
    """A point of the table."""

    scalded_share_percent = Percent("Scalded share.", required=True)
    hydration_percent = Percent(_HYDRATION, maximum=LARGEST_HYDRATION_PERCENT, required=True)


class WaterCurve(Component, Items):
    """Your own table, or a published one: the hydration that suits each share, with the vital gluten that the
    formula has; more of it takes more water. A change uses only the table's differences, with straight lines
    between its points."""

    def __init__(self, **options: Any):
        super().__init__(Object(WaterCurvePoint), "", 2, 100, **options)


class WaterAndFlour(Closed):
    """How the water follows a move, and another flour."""

    adjust_with = Text(
        "The ingredient, mostly water, that takes up the difference.", 80, load_default="water"
    )
    water_curve = WaterCurve()
    scald_liquids = Items(
        Text("A liquid of the formula.", 80),
        "Liquids that may go into the scald. Those in it already keep their proportion; the others "
        "follow in this order. Default: those in it, or else the adjusting liquid.",
        1,
        20,
    )
    flour = Object(FlourChange)


class MovedTo(Closed):
    """What a formula is moved to."""

    scalded_share_percent = Percent("Target scalded flour, percent of total flour. Default: the formula's.")
    hydration_percent = Percent(
        f"A hydration to use instead of the optimum. {_HYDRATION}", maximum=LARGEST_HYDRATION_PERCENT
    )
    scald_liquid_ratio = Number(
        "Liquid over flour of the scald by mass. Default: the formula's, or 1 without a scald.",
        0,
        LARGEST_LIQUID_RATIO,
    )
    gluten_percent = Percent(
        "Vital gluten of the adjusted formula, percent of flour. Default: the formula's. Its water is added.",
        maximum=MOST_GLUTEN_PERCENT,
    )


class WantedWater(MovedTo, WaterAndFlour):
    """The target share, flour and water."""


class HydrationCorrectionRequest(WantedWater, Request):
    """A formula, and the target share or flour."""

    formula = Object(Formula, required=True)
    hold = Choice("What stays the same.", HOLD_DOUGH, HOLD_FLOUR, load_default=HOLD_DOUGH)
    calibration = Object(
        Calibration, "Calibration from trial-fit, used for the water. A table takes precedence."
    )
    bake_loss_percent = Percent(
        "Bake loss, percent of dough, for the change of crumb moisture.",
        maximum=BAKE_LOSS_UPPER_PERCENT,
        load_default=BAKE_LOSS_LIDDED_PERCENT.value,
    )
