"""The request of keeping: loaves and their scores by day."""

from scaldloaf.dough.keeping import FALLS, RISES
from scaldloaf.operations.schemas.common import Request
from scaldloaf.operations.schemas.fields import Choice, Number, Percent, Temperature, Text
from scaldloaf.operations.schemas.objects import Closed, Items, Object

MEASURED, SCORED = "measured", "scored"
# So many that one request takes no longer than any other may; further loaves go into a call of their own.
MAX_LOAVES, MAX_SCORES = 6, 40


class Score(Closed):
    """A score."""

    days = Number("Days since baking.", 0, 365, required=True)
    score = Number("On the scale of this request.", required=True)


class ScoredLoaf(Closed):
    """One kind of loaf."""

    name = Text("Its name, different from the others'.", 60, required=True)
    scores = Items(
        Object(Score),
        "Scores in the order of days; several of one day are replicates.",
        1,
        MAX_SCORES,
        required=True,
    )
    storage_temperature = Temperature("Storage temperature of this loaf.")
    moisture_percent = Percent("Moisture of the crumb, when it was measured.")
    specific_volume = Number(
        "Volume of the loaf over its mass, cm³/g, all loaves weighed alike; used for `measured` scores.",
        0,
        1000,
    )


class KeepingRequest(Request):
    """Loaves and their scores by day."""

    direction = Choice(
        "How the score changes as bread stales: firmness rises, softness falls.", RISES, FALLS, required=True
    )
    loaves = Items(
        Object(ScoredLoaf), "The loaves to compare, all scored on one scale.", 1, MAX_LOAVES, required=True
    )
    limit = Number("The score at which this bread is no longer soft enough for you, on the same scale.")
    scores_are = Choice(
        "`measured`: a firmness measured as a force, so that loaves with a volume are also compared at equal "
        "volume. `scored`: anything else, such as softness by hand or mouth.",
        SCORED,
        MEASURED,
        load_default=SCORED,
    )
    unit = Text("Unit of the scale, in your own words.", 20, 0, examples=["N"], load_default="")
    storage_temperature = Temperature("Storage temperature of all loaves that do not have their own.")
