"""The request of loaf-plan: fields of the single calls, each under its own name."""

from scaldloaf.dough.limits import COOLING_LOSS_UPPER_PERCENT
from scaldloaf.operations.schemas.common import Calibration, Formula, Pan, Request
from scaldloaf.operations.schemas.dough_temperature import HeatBalance, TapAndIce
from scaldloaf.operations.schemas.fields import Percent
from scaldloaf.operations.schemas.hydration_correction import WantedWater
from scaldloaf.operations.schemas.objects import Closed, Items, Object
from scaldloaf.operations.schemas.pan_fill import BAKE_LOSS, COOLING_LOSS, KnownBread, PansToFill
from scaldloaf.operations.schemas.scald_preparation import Deadline, ScaldTreatment, Task
from scaldloaf.operations.schemas.scaling import MOST_BAKE_LOSS_PERCENT, MOST_HANDLING_PERCENT, Scale
from scaldloaf.operations.schemas.sugar_budget import MAX_STAGES, Stage, YeastAndFlour

MOST_TASKS = 8


class LoafPlanLosses(Closed):
    """Losses, percent of what enters each step."""

    handling_percent = Percent(
        "Lost to bowl, bench and scale. This much more is mixed.",
        maximum=MOST_HANDLING_PERCENT,
        load_default=0,
    )
    bake_percent = Percent(BAKE_LOSS, maximum=MOST_BAKE_LOSS_PERCENT)
    cooling_loss_percent = Percent(COOLING_LOSS, maximum=COOLING_LOSS_UPPER_PERCENT)


class LoafPlanScald(ScaldTreatment):
    """How the scald is made, and what happens to it next."""


class LoafPlanTemperatures(HeatBalance, TapAndIce):
    """What the water temperature is calculated from, by heat balance."""


class LoafPlanTimetable(Deadline):
    """The work before and after the stages; the last of it ends when the bread must be out."""

    after = Items(Object(Task), "After the stages, in order: bake, cool.", 1, MOST_TASKS, required=True)
    before = Items(Object(Task), "Before the stages, in order: make scald, cool scald, mix.", 0, MOST_TASKS)


class LoafPlanRequest(WantedWater, PansToFill, YeastAndFlour, Request):
    """A formula, the target share and pan, and what you know about bread, scale, times and temperatures."""

    formula = Object(Formula, required=True)
    pan = Pan(required=True)
    bread = KnownBread("What you know about the bread. Default: the calibration, or else the prior.")
    calibration = Object(Calibration, "Calibration from trial-fit. Used for dough mass and water.")
    losses = Object(LoafPlanLosses)
    scale = Object(Scale)
    stages = Items(
        Object(Stage), "From the end of mixing to the oven, in order; needed for the sugar.", 1, MAX_STAGES
    )
    scald = Object(LoafPlanScald)
    temperatures = Object(LoafPlanTemperatures)
    timetable = Object(LoafPlanTimetable)
