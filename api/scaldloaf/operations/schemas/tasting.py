"""The requests of tasting-plan and tasting-result: one of four tests, and what is planned or counted."""

from scaldloaf.dough.tasting import HYPOTHESES, METHODS, MOST_SAMPLES, RANKING
from scaldloaf.dough.tasting.draw import MOST_DRAW
from scaldloaf.dough.tasting.result import MOST_TASTERS
from scaldloaf.operations.schemas.common import Request
from scaldloaf.operations.schemas.fields import Choice, Integer, Percent, Text
from scaldloaf.operations.schemas.objects import Counts, Items
from scaldloaf.reference import coefficient

MAX_SAMPLE_NAME = 60
TESTS = (*METHODS, RANKING)
SIGNIFICANCE_PERCENT = coefficient("tasting_significance_percent").value
POWER_PERCENT = coefficient("tasting_power_percent").value
MOST_PLANNED_TASTERS = 450


class Tasting(Request):
    """A blind tasting by one of four tests."""

    test = Choice(
        "`triangle`: three servings, which is the odd one. `duo_trio`: which of two is like the reference. "
        "`paired`: which of two has more of something, or is preferred. `ranking`: three samples or more in "
        "order.",
        *TESTS,
        required=True,
    )
    significance_percent = Percent(
        "Risk of seeing a difference where there is none.", 0.1, 20.0, load_default=SIGNIFICANCE_PERCENT
    )
    # No load_default: clients made from the document send defaults, and other tests refuse this one.
    hypothesis = Choice(
        "For `paired` only. `two_sided` (default): either sample may be chosen more often, as always "
        "for a preference. `expected`: only one can be, for a reason known before the tasting.",
        *HYPOTHESES,
    )
    expected = Text("The sample expected to be chosen. Only with `hypothesis` `expected`.", MAX_SAMPLE_NAME)


class TastingPlanRequest(Tasting):
    """A tasting to plan, for a number of tasters or for the difference it must be able to show."""

    samples = Items(
        Text("A name, different from the others'.", MAX_SAMPLE_NAME),
        "The breads: two, or three and more for a ranking.",
        2,
        MOST_SAMPLES,
        required=True,
    )
    draw = Integer(
        "Any number of your choice, which takes the place of chance: the same request gives the same plan. "
        "The numbers that follow from it are x = 48271 x mod 2147483647, beginning with x = draw + 1, the "
        "first ten passed over. A list is shuffled from its last place down: the entry at place i, counted "
        "from 0, changes places with the one at x mod (i + 1), x being the next number. First the codes 100 "
        "to 999 are shuffled and given out, taster by taster in the order of serving. Then the orders of "
        "serving are shuffled and given out, and again for each further block of tasters. With A and B for "
        "the samples, they are: triangle AAB ABA BAA BBA BAB ABB; duo-trio AB BA with A as the reference, "
        "then AB BA with B; paired AB BA. Those of a ranking of k samples, numbered from 0, begin with each "
        "s from 0 to k - 1 and go on with s + 1, s - 1, s + 2, s - 2 and so on, mod k; for an odd k each of "
        "them follows backwards, in the same sequence.",
        0,
        MOST_DRAW,
        required=True,
    )
    tasters = Integer(
        "How many tasters there are, each a different person. Default: as many as `power_percent` "
        "needs. Required for a ranking.",
        1,
        MOST_PLANNED_TASTERS,
    )
    discriminators_percent = Percent(
        "The difference that the test should not miss: the share of tasters who can really tell the "
        "samples apart. Required without `tasters`.",
        1.0,
    )
    power_percent = Percent(
        f"Chance of showing that difference. Default: {POWER_PERCENT:g}. Not with `tasters`, which "
        f"decide it.",
        50.0,
        99.9,
    )


class TastingResultRequest(Tasting):
    """The counted answers of a tasting."""

    tasters = Integer(
        "How many people answered, each once. Not for a ranking, whose rankings are counted.", 1, MOST_TASTERS
    )
    right = Integer("How many answers are right, in a triangle or duo-trio test.", 0, MOST_TASTERS)
    chosen = Counts(
        "How often each of the two samples was chosen in a paired comparison. The counts add up to the "
        "number of tasters.",
        2,
        MAX_SAMPLE_NAME,
        MOST_TASTERS,
        examples=[{"20 % scalded": 14, "35 % scalded": 10}],
    )
    rankings = Items(
        Items(Text("A sample.", MAX_SAMPLE_NAME), "One taster's order, first place first.", 1, MOST_SAMPLES),
        "Each taster's ranking: the same samples, each once.",
        1,
        MOST_TASTERS,
    )
