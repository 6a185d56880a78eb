"""The request of scald-preparation: the scald, how it is made, and what happens to it next."""

from scaldloaf.dough import preparation
from scaldloaf.operations.schemas.common import Formula, Request
from scaldloaf.operations.schemas.fields import Choice, Constant, Mass, Number, Temperature, Text
from scaldloaf.operations.schemas.objects import Closed, Items, Object, Union

MAX_TASKS = 40


class ScaldPreparationScaldMasses(Closed):
    """masses"""

    kind = Constant("masses")
    flour_mass = Mass("Scald flour.", 0.001, required=True)
    liquid_mass = Mass("Scald liquid.", 0.001, required=True)
    flour = Text("Catalogue name of the flour.", 80, load_default="bread_flour")
    liquid = Text("Catalogue name of the liquid.", 80, load_default="water")


class ScaldPreparationScaldFormula(Closed):
    """formula"""

    kind = Constant("formula")
    formula = Object(Formula, required=True)


class ScaldPreparationScald(Union):
    """What goes into it."""

    kinds = ScaldPreparationScaldMasses, ScaldPreparationScaldFormula


class ScaldPreparationMethodPourOver(Closed):
    """pour over"""

    kind = Constant("pour_over")
    flour_temperature = Temperature("Temperature of the flour.", required=True)
    liquid_temperature = Temperature("Temperature of the liquid as it is poured.", required=True)
    room_temperature = Temperature("Temperature of bowl and air. Default: the flour's.")


class ScaldPreparationMethodCooked(Closed):
    """cooked"""

    kind = Constant("cooked")
    core_temperature = Temperature("Highest temperature measured in its middle.", required=True)
    minutes = Number("How long it was kept there.", 0, 240)


class ScaldPreparationMethod(Union):
    """Hot liquid poured on the flour, or both cooked together as a roux."""

    kinds = ScaldPreparationMethodPourOver, ScaldPreparationMethodCooked


class WeighedScald(Closed):
    """The scald on the scale after cooking."""

    mass = Mass("What the scale shows.", 0.001, required=True)
    container_mass = Mass("The pan or bowl weighed with it.", load_default=0)


class CoolingReading(Closed):
    """A reading."""

    minutes = Number("On any clock.", 0, 10080, required=True)
    temperature = Temperature("In the middle of the scald.", required=True)


class ScaldCooling(Closed):
    """Two readings while it cools, in steady surroundings."""

    surroundings_temperature = Temperature(
        "Temperature of the room, the cold room or the water bath.", required=True
    )
    readings = Items(Object(CoolingReading), "Two readings, the earlier one first.", 2, 2, required=True)


class ScaldHolding(Closed):
    """How long it waits, and how cold."""

    hours = Number("Hours until it goes into the dough.", 0, 720, required=True)
    temperature = Temperature("Temperature of the place where it waits.", required=True)


class Task(Closed):
    """One stage."""

    name = Text("What is done.", 60, required=True, examples=["cool scald"])
    minutes = Number("How long it takes, waiting included.", 0, 20160, required=True)


class Deadline(Closed):
    ready_at = Text(
        "When the bread must be out: local date and time, ISO 8601, with an offset or without.",
        40,
        examples=["2026-12-01T07:00"],
    )


class Timetable(Deadline):
    """The work in order; the last stage ends when the bread must be out."""

    stages = Items(Object(Task), "Stages in the order they are done.", 1, MAX_TASKS, required=True)


def _stirred() -> Choice:
    return Choice(
        "How hot liquid and flour are stirred together: by hand, or by a mixer that runs about ten minutes.",
        preparation.HAND,
        preparation.MIXER,
        load_default=preparation.HAND,
    )


class ScaldTreatment(Closed):
    """How a scald is made, and what happens to it next."""

    method = ScaldPreparationMethod(required=True)
    weighed = Object(WeighedScald)
    cooling = Object(ScaldCooling)
    holding = Object(ScaldHolding)
    stirred = _stirred()


class ScaldsMade(Closed):
    """How all scalds are made. For what you weigh or measure of a single scald, use scald-preparation."""

    method = ScaldPreparationMethod(required=True)
    holding = Object(ScaldHolding)
    stirred = _stirred()


class ScaldPreparationRequest(ScaldTreatment, Request):
    """A scald, how it is made, and what happens to it next."""

    scald = ScaldPreparationScald(required=True)
    timetable = Object(Timetable)
