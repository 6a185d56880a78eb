"""The request of pan-fill: the pan, and what is known of the bread."""

from scaldloaf.dough.bread import CLOSE, LIGHT
from scaldloaf.dough.limits import COOLING_LOSS_UPPER_PERCENT, FULL_PERCENT
from scaldloaf.operations.schemas.common import Calibration, Formula, Pan, Request
from scaldloaf.operations.schemas.fields import Choice, Constant, Flag, Integer, Mass, Number, Percent, Volume
from scaldloaf.operations.schemas.hydration_correction import MOST_GLUTEN_PERCENT
from scaldloaf.operations.schemas.objects import Closed, Object, Union

BAKE_LOSS = (
    "Bake loss, percent of the dough put in the oven. Default: the known loaf's or the trials', or else 10, "
    "usual for a lidded pan (12 for an open one, see lid)."
)
COOLING_LOSS = (
    "What the loaf then loses while it cools, points of the dough put in the oven. Default: 0 with a "
    "stated bake loss, which then includes it; otherwise the trials', or 2."
)
GLUTEN = "Vital gluten, percent of flour. Default: "


class _KnownWater(Closed):
    hydration_off_optimum_points = Number(
        "Its hydration less the optimum for its share, points.", -100, 100, load_default=0
    )
    gluten_percent = Percent(GLUTEN + "the target bread's.", maximum=MOST_GLUTEN_PERCENT)


class _KnownShare(Closed):
    scalded_share_percent = Percent("Scalded share it was found at. Default: that of the target bread.")


class KnownBreadSpecificVolume(_KnownShare, _KnownWater):
    """specific volume"""

    kind = Constant("specific_volume")
    specific_volume = Number("Volume of the cooled loaf over its mass, cm³/g.", 0, 1000, required=True)


class KnownBreadReferenceLoaf(_KnownWater):
    """reference loaf"""

    kind = Constant("reference_loaf")
    dough_mass = Mass("Dough put in the oven for that loaf.", 0.001, required=True)
    loaf_volume = Volume("Volume of that loaf, cooled. Give this or fill_percent.")
    fill_percent = Percent(
        "Volume of that loaf over the volume of its pan; 100: it just filled it. Give this or loaf_volume.",
        1,
        1000,
    )
    pan = Pan("The pan of that loaf, with fill_percent. Default: the pan to fill.")
    scalded_share_percent = Percent("Scalded share of that loaf.", required=True)
    bake_loss_percent = Percent("Bake loss of that loaf. Default: the target bread's.")


class KnownBreadPanRatio(_KnownShare, _KnownWater):
    """pan ratio"""

    kind = Constant("pan_ratio")
    pan_ratio = Number("Pan volume over dough mass, cm³/g.", 0, 1000, required=True)
    fill_percent = Percent(
        "Loaf volume over pan volume where the ratio was found. Default: the target fill.", maximum=1000
    )


class KnownBreadCalibration(Closed):
    """calibration"""

    kind = Constant("calibration")
    calibration = Object(Calibration, required=True)


class KnownBreadPrior(Closed):
    """prior"""

    kind = Constant("prior")
    crumb = Choice(
        "How the bread is made: light (milk loaf, square tin loaf) or close (Western sandwich loaf).",
        LIGHT,
        CLOSE,
        load_default=LIGHT,
    )


class KnownBread(Union):
    """What you know about the bread. Any measurement of your own is better than the prior."""

    kinds = (
        KnownBreadSpecificVolume,
        KnownBreadReferenceLoaf,
        KnownBreadPanRatio,
        KnownBreadCalibration,
        KnownBreadPrior,
    )


class PansToFill(Closed):
    fill_percent = Percent(
        "Loaf volume over pan volume; 100 is a lidded pan just full.", maximum=1000, load_default=FULL_PERCENT
    )
    pans = Integer("How many pans to fill.", 1, 100_000, load_default=1)
    lid = Flag(
        "Whether the pan has a lid. This decides the usual bake loss. Default: 10 up to a fill of 100, "
        "rising to 12 at 110."
    )


class PanFillRequest(PansToFill, Request):
    """A pan to fill, and what you know about the bread."""

    pan = Pan(required=True)
    bread = KnownBread(required=True)
    scalded_share_percent = Percent(
        "Scalded share of the target bread. Default: the formula's, or else that of the known loaf."
    )
    hydration_off_optimum_points = Number(
        "Hydration of the target bread less the optimum for its share, points.", -100, 100, load_default=0
    )
    bake_loss_percent = Percent(BAKE_LOSS)
    gluten_percent = Percent(GLUTEN + "the formula's, or else none.", maximum=MOST_GLUTEN_PERCENT)
    cooling_loss_percent = Percent(COOLING_LOSS, maximum=COOLING_LOSS_UPPER_PERCENT)
    formula = Object(Formula)
