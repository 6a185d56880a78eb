"""The request of trial-fit: measured bakes, and the next loaf."""

from scaldloaf.dough.bread import CLOSE, LIGHT
from scaldloaf.dough.limits import COOLING_LOSS_UPPER_PERCENT, FULL_PERCENT
from scaldloaf.dough.water_rule import SCALD_WATER_SLOPE_RATIO
from scaldloaf.operations.schemas.common import Pan, Request
from scaldloaf.operations.schemas.fields import Choice, Flag, Length, Mass, Number, Percent, Text, Volume
from scaldloaf.operations.schemas.hydration_correction import MOST_GLUTEN_PERCENT
from scaldloaf.operations.schemas.objects import Closed, Items, Object

MOST_TRIALS = 40


class Trial(Closed):
    """One measured bake. Its volume is `loaf_volume`, or a `pan` with `fill_percent` or with
    `crown_height`."""

    scalded_share_percent = Percent("Scalded share of total flour.", required=True)
    dough_mass = Mass("Dough put in the oven.", 0.001, required=True)
    name = Text("Your own name for it, e.g. the day.", 80, 0)
    hydration_percent = Percent(
        "Hydration as in the breakdown. If omitted, the water is assumed to be right.", maximum=300
    )
    loaf_volume = Volume("Volume of the cooled loaf, by seeds or water displaced.")
    pan = Pan()
    fill_percent = Percent("Loaf volume over pan volume, judged by height.", 1, 1000)
    crown_height = Length("Highest point of the loaf above the pan's rim.", 0)
    volume_sd_percent = Percent(
        "How well the volume was measured: relative standard deviation. Default: 3 by "
        "displacement, 5 by height.",
        0,
        30,
    )
    baked_mass = Mass("The cooled loaf.", 0.001)
    oven_mass = Mass("The loaf at the oven's mouth.", 0.001)
    cooling_loss_percent = Percent(
        "What it lost while it cooled, points of the dough put in the oven. Default: from the two "
        "masses, or else from the other trials. If none shows it, the bake loss of `baked_mass` "
        "includes it.",
        maximum=COOLING_LOSS_UPPER_PERCENT,
    )
    proof_minutes = Number("Time of the final proof.", 1, 10_000)
    gluten_percent = Percent("Vital gluten, percent of flour.", maximum=MOST_GLUTEN_PERCENT, load_default=0)


class WantedLoaf(Closed):
    """The loaf of the next bake."""

    pan = Pan(required=True)
    scalded_share_percent = Percent("Its scalded share.", required=True)
    fill_percent = Percent(
        "Loaf volume over pan volume; 100 is a lidded pan just full.", 1, 1000, load_default=FULL_PERCENT
    )
    hydration_percent = Percent(
        "Its hydration. Default: that of the trial with the lowest share, corrected for this share, "
        "unless it clearly does not suit.",
        maximum=300,
    )
    gluten_percent = Percent(
        "Its vital gluten, percent of flour.", maximum=MOST_GLUTEN_PERCENT, load_default=0
    )
    lid = Flag("Whether its pan has a lid. This decides the usual bake loss.")


class RightWater(Closed):
    """A share and the hydration known to be right for it. If omitted, the right water is fitted to the
    trials, starting from the flour's absorption and the scald."""

    scalded_share_percent = Percent("Scalded share.", required=True)
    hydration_percent = Percent("Hydration that is right for it.", maximum=300, required=True)


class TrialFitRequest(Request):
    """Measured bakes, and the next loaf."""

    trials = Items(Object(Trial), "The bakes, in any order.", 1, MOST_TRIALS, required=True)
    want = Object(WantedLoaf)
    right_water = Object(RightWater)
    scald_liquid_ratio = Number(
        "Liquid over flour in the scald, by mass. The first estimate of the water slope depends on it.",
        0.3,
        10,
        load_default=SCALD_WATER_SLOPE_RATIO,
    )
    crumb = Choice(
        "How the bread is made. The first estimate of its volume depends on it.",
        LIGHT,
        CLOSE,
        load_default=LIGHT,
    )
    absorption_percent = Percent(
        "Water absorption of the flour at 14 % moisture. The first estimate of the right water depends "
        "on it. Default: 62, with a wider interval.",
        30,
        150,
    )
