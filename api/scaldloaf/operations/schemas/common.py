"""Shapes that several requests share: the units, the formula, the pan and the calibration."""

from scaldloaf import units as unit_table
from scaldloaf.dough.limits import COOLING_LOSS_UPPER_PERCENT
from scaldloaf.operations.schemas.fields import (
    LARGEST,
    MAX_NAME,
    Choice,
    Constant,
    Flag,
    Integer,
    Length,
    Mass,
    Number,
    Percent,
    Temperature,
    Text,
    Volume,
)
from scaldloaf.operations.schemas.objects import Closed, Items, Object, Union
from scaldloaf.reference import YEAST_KINDS

MAX_LINES = 200
CALIBRATION_VERSION = 1


class Units(Closed):
    """Units of every number in the request and its reply."""

    mass = Choice(
        "Unit of every mass.", *unit_table.FACTORS["mass"], load_default=unit_table.DEFAULTS["mass"]
    )
    length = Choice(
        "Unit of every length.", *unit_table.FACTORS["length"], load_default=unit_table.DEFAULTS["length"]
    )
    volume = Choice(
        "Unit of every volume.", *unit_table.FACTORS["volume"], load_default=unit_table.DEFAULTS["volume"]
    )
    temperature = Choice(
        "Unit of every temperature.",
        *unit_table.TEMPERATURES,
        load_default=unit_table.DEFAULTS["temperature"],
    )


class Request(Closed):
    """A request: the fields of the call, and the units that it is written in."""

    units = Object(Units)


class Composition(Closed):
    """Composition of your own ingredient, g per 100 g. Default of each: 0."""

    water_percent = Percent("Water, g per 100 g.")
    sucrose_percent = Percent("Sucrose, g per 100 g.")
    glucose_percent = Percent("Glucose, g per 100 g.")
    fructose_percent = Percent("Fructose, g per 100 g.")
    maltose_percent = Percent("Maltose, g per 100 g.")
    lactose_percent = Percent("Lactose, g per 100 g.")
    fat_percent = Percent("Fat, g per 100 g.")
    protein_percent = Percent("Protein, g per 100 g.")
    salt_percent = Percent("Salt, g per 100 g.")
    is_flour = Flag(
        "Counts as flour, the base of baker's percentages. The sugars, salt and yeast of a flour mix "
        "count as those of any line. Its water, fat and protein do not count, as for any flour.",
        load_default=False,
    )
    is_liquid = Flag(
        "Counts in full in the quick count of liquid and in the scald's ratio. Default: no; above 60 % "
        "water a note asks."
    )
    is_white_wheat = Flag(
        "For a flour: whether it is white wheat flour, for which water, volume and sugars are known. "
        "Default: yes, and a note asks."
    )
    stays_in_dough = Flag(
        "No scald is made with it, such as the flour and the water of a sourdough starter.",
        load_default=False,
    )
    yeast = Choice("What kind of yeast it is, if it is one.", *YEAST_KINDS)
    allergens = Items(Text("An allergen, e.g. milk.", 40), "Allergens it contains.", 0, 20)


class Line(Closed):
    """One ingredient of a formula."""

    ingredient = Text(
        "A catalogue name (GET /v1/ingredients), or any name with a `composition`.",
        80,
        required=True,
        examples=["bread_flour"],
    )
    mass = Mass("Mass of the line.")
    percent = Percent("Baker's percentage: percent of total flour.", maximum=LARGEST)
    percent_of_dough = Percent(
        "Percent of dough mass. Given in replies; not read in requests.", maximum=LARGEST
    )
    part = Choice("Where the line goes.", "dough", "scald", load_default="dough")
    composition = Object(Composition)


class Formula(Closed):
    """A formula. Every line has a `mass`, or every line a `percent` of total flour; a reply's formula can be
    posted back unchanged."""

    lines = Items(Object(Line), "The ingredients, in order.", 1, MAX_LINES, required=True)
    name = Text("Your own name for it.", MAX_NAME, 0)
    scald_evaporation = Mass(
        "Mass the scald loses while it is cooked (where the lines are in percent: percent of flour).",
        load_default=0,
    )


class PanBox(Closed):
    """box"""

    kind = Constant("box")
    length = Length("Inside length.", required=True)
    width = Length("Inside width.", required=True)
    depth = Length("Inside depth.", required=True)


class PanTapered(Closed):
    """tapered"""

    kind = Constant("tapered")
    top_length = Length("Inside length at the rim.", required=True)
    top_width = Length("Inside width at the rim.", required=True)
    base_length = Length("Inside length at the base.", required=True)
    base_width = Length("Inside width at the base.", required=True)
    depth = Length("Inside depth.", required=True)


class PanRound(Closed):
    """round"""

    kind = Constant("round")
    top_diameter = Length("Inside diameter at the rim.", required=True)
    base_diameter = Length("Inside diameter at the base.", required=True)
    depth = Length("Inside depth.", required=True)


class PanOval(PanTapered):
    """oval"""

    kind = Constant("oval")


class PanVolume(Closed):
    """volume"""

    kind = Constant("volume")
    volume = Volume("Volume, level full.", required=True)


class PanWaterFill(Closed):
    """water fill"""

    kind = Constant("water_fill")
    mass = Mass("Mass of the water that fills it level.", required=True)
    temperature = Temperature("Temperature of that water.", required=True)


class Pan(Union):
    """A pan: its inside dimensions, its volume, or the water that fills it level."""

    kinds = PanBox, PanTapered, PanRound, PanOval, PanVolume, PanWaterFill


class Calibration(Closed):
    """The result of fitting a baker's trials. Keep it as it is and send it back unchanged."""

    version = Constant(CALIBRATION_VERSION, "Version of this shape.")
    log_specific_volume = Number(
        "Natural logarithm of the specific volume (cm³/g) without scald, at the optimum water.",
        -5,
        5,
        required=True,
    )
    share_volume_loss = Number(
        "Fraction of volume lost per unit of scalded share; negative where the volume grows.",
        -10,
        10,
        required=True,
    )
    water_slope = Number("Points of optimum water per point of scalded share.", -10, 10, required=True)
    covariance = Items(
        Items(Number("A covariance.", -25, 25), "A row.", 3, 3),
        "Covariance of the three numbers above, in their order: symmetric, positive semidefinite.",
        3,
        3,
        required=True,
    )
    bake_loss_percent = Percent("Bake loss, percent of the dough put in the oven.", required=True)
    bake_loss_sd_percent = Percent(
        "Standard deviation of the next bake's loss, points.", maximum=20, required=True
    )
    spread_percent = Percent(
        "Relative standard deviation of volume from bake to bake.", maximum=50, required=True
    )
    trials = Integer("How many measured bakes it is based on.", 0, 1_000_000, required=True)
    base_share_percent = Percent("Scalded share at which the right water is known.", load_default=0)
    water_slope_ratio = Number(
        "Liquid over flour of the scalds from which the slope was fitted.", 0, 50, load_default=1
    )
    base_hydration_percent = Percent(
        "The right hydration at that share; omitted if the trials do not show it.", maximum=400
    )
    own_hydration_off_optimum_points = Number(
        "The water that the trials were baked with at that share, less that one, points.",
        -100,
        100,
        load_default=0,
    )
    base_water_covariance = Items(
        Number("A covariance.", -500, 500),
        "Covariance of that hydration with the three numbers, and its own variance.",
        4,
        4,
    )
    cooling_loss_percent = Percent(
        "What the loaf loses while it cools, points of the dough; 0 if the bake loss includes it.",
        maximum=COOLING_LOSS_UPPER_PERCENT,
        load_default=0,
    )
