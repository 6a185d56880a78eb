"""The reply of scald-preparation: the scald prepared, and the work with its times."""

from scaldloaf.dough import preparation as dough
from scaldloaf.operations.schemas.fields import AnyText, Choice, Component, Integer, Mass, Number, Temperature
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, LineAllergen, Reply

_STARCH = dough.GELATINISED, dough.PARTLY, dough.NOT_GELATINISED


class PreparedScald(Open):
    """What goes in."""

    flour = Mass("Scald flour.")
    liquid = Mass("Scald liquid.")
    mass = Mass("All of it before cooking.")
    liquid_ratio = Number("Liquid over flour by mass.")
    moisture_percent = Number("Moisture before cooking, the flour's own included.")


class Gelatinisation(Open):
    """Whether the starch gelatinises."""

    assessment = Choice("What the starch does.", *_STARCH)
    at_low = Choice("What the starch does.", *_STARCH)
    at_high = Choice("What the starch does.", *_STARCH)
    liquid_temperature_needed = Temperature(
        "The lowest liquid temperature that works; null if not needed or if even boiling is not enough.",
        allow_none=True,
    )
    liquid_ratio_needed = Number(
        "The lowest liquid over flour that works at this liquid temperature; null if not needed or if "
        "none works.",
        allow_none=True,
    )


class ScaldPreparationReplyTopUp(Open):
    """Water to add after cooking; null if nothing was weighed."""

    target_mass = Mass("Mass according to the formula.")
    measured_mass = Mass("Mass weighed, without the container.")
    evaporated = Mass("Water lost while cooking.")
    water_to_add = Mass("Water to stir in.")
    still_to_evaporate = Mass("Water that must still evaporate.")


class ScaldPreparationReplyCoolingAssessment(Component, Choice):
    """Whether this scald keeps the limit; null without readings."""

    names = dough.IN_TIME, dough.UNCERTAIN, dough.TOO_SLOW


class CoolingLimit(Open):
    """A limit of cooling for a scald that is kept."""

    from_temperature = Temperature("Counted from here.")
    to_temperature = Temperature("To be reached.")
    allowed_hours = Number("Within this time.")
    assessment = ScaldPreparationReplyCoolingAssessment(allow_none=True)
    hours = Object(
        Estimate,
        "Hours this scald takes; omitted if unknown or if it never gets there.",
        required=False,
    )


class ScaldPreparationReplyHolding(Open):
    """The wait; null if none was given."""

    hours = Number("As given.")
    temperature = Temperature("As given.")
    usual_hours = Number("How long bakers commonly keep a scald cold.")
    advised_temperature = Temperature("At or below.")
    assessment = Choice("Against common practice.", dough.USUAL, dough.LONGER_THAN_USUAL, dough.TOO_WARM)


class TimedTask(Open):
    """A stage with its times."""

    name = AnyText("As in the request.")
    minutes = Number("How long it takes.")
    starts_minutes_before = Number("Its start, minutes before the bread must be out.")
    ends_minutes_before = Number("Its end, minutes before the bread must be out.")
    starts_at = AnyText("ISO 8601, as the time given; null without it.", allow_none=True)
    ends_at = AnyText("ISO 8601, as the time given; null without it.", allow_none=True)
    days_before = Integer(
        "Midnights between its start and the time the bread must be out; null without that time.",
        allow_none=True,
    )


class ScaldPreparationReply(Reply):
    """The plan of the scald."""

    scald = Object(PreparedScald)
    core_temperature = Object(Estimate, "How hot its middle gets. In `units.temperature`.")
    ideal_temperature = Temperature(
        "Its temperature without heat loss; null for a cooked scald.", allow_none=True
    )
    swollen_percent = Object(
        Estimate, "Share of the starch that swells, percent, with plenty of water; less in a stiff scald."
    )
    mixed_temperature = Object(
        Estimate,
        "Temperature after about ten minutes in a mixer, for the next steps. Swollen starch stays "
        "swollen. Null for a scald stirred by hand or cooked. In `units.temperature`.",
        allow_none=True,
    )
    gelatinisation = Object(Gelatinisation)
    top_up = Object(ScaldPreparationReplyTopUp, allow_none=True)
    cooling = Items(Object(CoolingLimit), "The limits, in order.")
    holding = Object(ScaldPreparationReplyHolding, allow_none=True)
    allergens = Items(Object(LineAllergen), "Allergens of the lines used.")
    timetable = Items(Object(TimedTask), "The stages with their times; empty if none were given.")
