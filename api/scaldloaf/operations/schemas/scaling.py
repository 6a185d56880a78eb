"""The request of scaling: what to scale to, the losses on the way, and the scales."""

from scaldloaf.dough.limits import COOLING_LOSS_UPPER_PERCENT
from scaldloaf.dough.scaling import ADDED, COMPOUNDED
from scaldloaf.operations.schemas.common import Formula
from scaldloaf.operations.schemas.fields import Choice, Constant, Integer, Mass, Number, Percent, Text
from scaldloaf.operations.schemas.objects import Closed, Object, Union
from scaldloaf.operations.schemas.prices import Priced
from scaldloaf.reference import coefficient

LEAST_MASS = 0.001
MOST_HANDLING_PERCENT = 50.0
MOST_BAKE_LOSS_PERCENT = coefficient("bake_loss_upper_percent").value


class ScalingTargetDoughMass(Closed):
    """dough mass"""

    kind = Constant("dough_mass")
    mass = Mass("Dough to be left after handling.", LEAST_MASS, required=True)


class ScalingTargetFlourMass(Closed):
    """flour mass"""

    kind = Constant("flour_mass")
    mass = Mass("Total flour, scalded and not.", LEAST_MASS, required=True)


class ScalingTargetPieces(Closed):
    """pieces"""

    kind = Constant("pieces")
    count = Integer("How many.", 1, 1_000_000, required=True)
    mass = Mass("Mass of each.", LEAST_MASS, required=True)


class ScalingTargetBakedPieces(ScalingTargetPieces):
    """baked pieces"""

    kind = Constant("baked_pieces")


class ScalingTargetFactor(Closed):
    """factor"""

    kind = Constant("factor")
    factor = Number("Times this formula.", 1e-6, 1e6, required=True)


class ScalingTargetOnHand(Closed):
    """on hand"""

    kind = Constant("on_hand")
    ingredient = Text("A line of the formula; all its lines together use it up.", 80, required=True)
    mass = Mass("How much of it you have.", LEAST_MASS, required=True)


class ScalingTarget(Union):
    """What to scale to. dough_mass and pieces are what is left after handling, baked_pieces what is left
    after handling and baking. flour_mass, factor and on_hand say what is mixed, so losses do not change
    them."""

    kinds = (
        ScalingTargetDoughMass,
        ScalingTargetFlourMass,
        ScalingTargetPieces,
        ScalingTargetBakedPieces,
        ScalingTargetFactor,
        ScalingTargetOnHand,
    )


class Losses(Closed):
    """Losses, percent of what enters each step."""

    handling_percent = Percent(
        "Lost to bowl, bench and scale.", maximum=MOST_HANDLING_PERCENT, load_default=0
    )
    bake_percent = Percent(
        "Lost in the oven, percent of the dough put in. Without cooling_loss_percent, lost in the oven "
        "and while cooling.",
        maximum=MOST_BAKE_LOSS_PERCENT,
        load_default=0,
    )
    cooling_loss_percent = Percent(
        "Lost while cooling, points of the dough put in the oven.",
        maximum=COOLING_LOSS_UPPER_PERCENT,
        load_default=0,
    )
    rule = Choice(
        "`compounded`: the bake loss is a percentage of what handling leaves. `added`: all losses are "
        "percentages of the dough mixed, as in trade examinations.",
        COMPOUNDED,
        ADDED,
        load_default=COMPOUNDED,
    )


class Scale(Closed):
    """The scales you weigh on."""

    resolution = Mass("Smallest step the scale shows.", 1e-7, required=True)
    fine_resolution = Mass("Smallest step of the fine scale, if there is one.", 1e-7)
    fine_below = Mass("Lines lighter than this are weighed on the fine scale. Default: yeast and salt.")


class ScalingRequest(Priced):
    """A formula and what to scale it to."""

    formula = Object(Formula, required=True)
    target = ScalingTarget(required=True)
    losses = Object(Losses)
    scale = Object(Scale)
