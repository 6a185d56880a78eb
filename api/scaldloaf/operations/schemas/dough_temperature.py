"""The request of dough-temperature: the rule, its temperatures, and what there is to cool with."""

from scaldloaf.operations.schemas.common import Formula, Request
from scaldloaf.operations.schemas.fields import (
    Constant,
    Mass,
    Number,
    Percent,
    Temperature,
    TemperatureDifference,
    Text,
)
from scaldloaf.operations.schemas.objects import Closed, Items, Object, Union


class KnownTemperature(Closed):
    """A temperature that is known."""

    name = Text("What has it: flour, room, preferment, scald.", 40, required=True, examples=["flour"])
    temperature = Temperature("Its temperature.", required=True)


class _Known(Closed):
    known = Items(
        Object(KnownTemperature),
        "The known temperatures, without the water's. With the water's there are n.",
        1,
        12,
        required=True,
    )


class _Target(Closed):
    target = Temperature("Target dough temperature at the end of mixing.", required=True)


class _Rise(Closed):
    temperature_rise = TemperatureDifference(
        "How much mixing warms the dough, including bowl and room.", -50, 100, required=True
    )


class DoughTemperatureRuleSimpleFrictionTotal(_Target, _Known):
    """simple friction total"""

    kind = Constant("simple_friction_total")
    friction_total = TemperatureDifference("Friction, subtracted once.", -200, 500, required=True)


class DoughTemperatureRuleSimpleTemperatureRise(_Target, _Known, _Rise):
    """simple temperature rise"""

    kind = Constant("simple_temperature_rise")


class DoughTemperatureRuleBaseTemperature(_Known):
    """base temperature"""

    kind = Constant("base_temperature")
    base = Temperature(
        "What all temperatures, including the water's, must add up to.", -2000, 4000, required=True
    )


class IngredientTemperature(Closed):
    """The temperature of one ingredient."""

    ingredient = Text(
        "A catalogue name, or an ingredient of the formula with its own composition.",
        80,
        required=True,
        examples=["whole_milk"],
    )
    temperature = Temperature("Its temperature.", required=True)


class HeatBalance(_Target, _Rise):
    """What a heat balance needs besides the formula."""

    flour_temperature = Temperature("Temperature of the fresh flour.", required=True)
    scald_temperature = Temperature("Temperature of the scald as it goes in; needed with a scald.")
    others_temperature = Temperature(
        "Temperature of everything else in the dough part. Default: the flour's."
    )
    ingredient_temperatures = Items(
        Object(IngredientTemperature), "Ingredients of the dough part that have another temperature.", 0, 50
    )
    adjust_with = Items(
        Text(
            "A catalogue name, or an ingredient of the formula with its own composition.",
            80,
            examples=["whole_milk"],
        ),
        "Liquids of the dough part to be warmed or cooled, all to one temperature.",
        1,
        5,
        load_default=["water"],
    )


class DoughTemperatureRuleHeatBalance(HeatBalance):
    """heat balance"""

    kind = Constant("heat_balance")
    formula = Object(Formula, required=True)


class DoughPart(Closed):
    """A part of the dough. Default for its specific heat: that of the catalogue's ingredient of this name."""

    name = Text("What it is.", 80, required=True, examples=["bread_flour"])
    mass = Mass("Its mass.", required=True)
    temperature = Temperature("Its temperature.", required=True)
    specific_heat = Number("Specific heat, kJ per kg and K: water 4.18, flour about 1.8.", 0.1, 10)
    water_percent = Percent(
        "For a part below freezing: its water that freezes, percent of its mass. Default: the catalogue's."
    )


class DoughTemperatureRuleHeatBalanceParts(_Target, _Rise):
    """heat balance parts"""

    kind = Constant("heat_balance_parts")
    parts = Items(Object(DoughPart), "Everything except the water to be adjusted.", 1, 50, required=True)
    water_mass = Mass("The water to be adjusted.", 0.001, required=True)


class DoughTemperatureRuleFrictionFromMeasured(_Known):
    """friction from measured"""

    kind = Constant("friction_from_measured")
    dough_temperature = Temperature("Dough temperature measured at the end of mixing.", required=True)
    water_temperature = Temperature("The water as it was used.", required=True)


class DoughTemperatureRule(Union):
    """The rule to calculate by. The two frictions are different numbers and have different names."""

    kinds = (
        DoughTemperatureRuleSimpleFrictionTotal,
        DoughTemperatureRuleSimpleTemperatureRise,
        DoughTemperatureRuleBaseTemperature,
        DoughTemperatureRuleHeatBalance,
        DoughTemperatureRuleHeatBalanceParts,
        DoughTemperatureRuleFrictionFromMeasured,
    )


class TapAndIce(Closed):
    tap_temperature = Temperature("The coldest water from the tap; needed for the mass of ice.")
    ice_temperature = Temperature("Temperature of the ice. Default: that of melting ice.")


class DoughTemperatureRequest(TapAndIce, Request):
    """Which rule to use, its temperatures, and what you can cool with."""

    rule = DoughTemperatureRule(required=True)
    water_mass = Mass("The dough's water, to calculate the mass of ice. A heat balance does not need it.")
