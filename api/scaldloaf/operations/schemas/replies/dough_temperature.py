"""The reply of dough-temperature: the water for the dough."""

from scaldloaf.operations.schemas.fields import (
    AnyText,
    Integer,
    Mass,
    Number,
    Temperature,
    TemperatureDifference,
)
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, Reply


class Friction(Open):
    """The mixer's friction in both conventions, which are not interchangeable."""

    friction_total = TemperatureDifference("Subtracted once. Null where unknown.", allow_none=True)
    temperature_rise = TemperatureDifference("Of the dough. Null where unknown.", allow_none=True)
    number_of_temperatures = Integer("n, including the water's; null for a heat balance.", allow_none=True)


class DoughTemperatureReplyIce(Open):
    """Ice in place of water; null without a tap temperature or where it does not apply."""

    percent = Number("Ice, percent of all the dough's water.")
    mass = Mass("Ice to weigh; null without a water mass.", allow_none=True)
    tap_water = Mass("Water from the tap to go with it; null without a water mass.", allow_none=True)


class HeatBalancePart(Open):
    """A part of the heat balance."""

    name = AnyText("What it is.")
    mass = Mass("Its mass.")
    temperature = Temperature("Its temperature.")
    specific_heat = Number("kJ per kg and K, best value.")


class DoughTemperatureReply(Reply):
    """The water for the dough."""

    water_temperature = Object(Estimate, "Temperature of the water. In `units.temperature`.")
    dough_temperature = Temperature(
        "Target or measured dough temperature; null with a base temperature, which contains it.",
        allow_none=True,
    )
    friction = Object(Friction)
    water_mass = Mass("The water to be adjusted; null if unknown.", allow_none=True)
    ice = Object(DoughTemperatureReplyIce, allow_none=True)
    parts = Items(Object(HeatBalancePart), "The parts of a heat balance; empty under a simple rule.")
