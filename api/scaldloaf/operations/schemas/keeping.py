"""The request of keeping: loaves and their scores by day."""

from scaldloaf.dough.keeping import FALLS, RISES
from scaldloaf.operations.schemas.common import Request
from scaldloaf.operations.schemas.fields import Choice, Number, Percent, Temperature, Text
from scaldloaf.operations.schemas.objects import Closed, Items, Object

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
    storage_temperature = Temperature("Where the loaf is kept.")
    moisture_percent = Percent("Moisture of the crumb, when it was measured.")


class KeepingRequest(Request):
    """Loaves and their scores by day."""

    direction = Choice(
        "What the score does as bread stales: firmness rises, softness falls.", RISES, FALLS, required=True
    )
    loaves = Items(
        Object(ScoredLoaf), "The loaves to compare, all scored on one scale.", 1, MAX_LOAVES, required=True
    )
    limit = Number("Where bread of this kind is no longer soft enough for you, on the same scale.")
    unit = Text("Unit of the scale, in your own words.", 20, 0, examples=["N"])
    storage_temperature = Temperature("Where all of them are kept, unless a loaf says otherwise.")
