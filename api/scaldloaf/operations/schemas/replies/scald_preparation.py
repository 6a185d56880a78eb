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
        "Liquid temperature that would just do; null where it is not needed or even boiling would not.",
        allow_none=True,
    )
    liquid_ratio_needed = Number(
        "Liquid over flour that would just do at this liquid temperature; null where it is "
        "not needed or none would.",
        allow_none=True,
    )


class ScaldPreparationReplyTopUp(Open):
    """Water after cooking; null when nothing was weighed."""

    target_mass = Mass("What the formula counts on.")
    measured_mass = Mass("Weighed, without the pan.")
    evaporated = Mass("Lost in cooking.")
    water_to_add = Mass("Water to stir in.")
    still_to_evaporate = Mass("What is still too much.")


class ScaldPreparationReplyCoolingAssessment(Component, Choice):
    """How this scald does; null without readings."""

    names = dough.IN_TIME, dough.UNCERTAIN, dough.TOO_SLOW


class CoolingLimit(Open):
    """A limit of cooling for a scald that is kept."""

    from_temperature = Temperature("Counted from here.")
    to_temperature = Temperature("To be reached.")
    allowed_hours = Number("Within this time.")
    assessment = ScaldPreparationReplyCoolingAssessment(allow_none=True)
    hours = Object(
        Estimate,
        "Hours this scald takes; left out when unknown, or when it never gets there.",
        required=False,
    )


class ScaldPreparationReplyHolding(Open):
    """The wait; null when none was given."""

    hours = Number("As given.")
    temperature = Temperature("As given.")
    usual_hours = Number("How long bakers commonly keep a scald cold.")
    advised_temperature = Temperature("At or below.")
    assessment = Choice("Against common practice.", dough.USUAL, dough.LONGER_THAN_USUAL, dough.TOO_WARM)


class TimedTask(Open):
    """A stage with its times."""

    name = AnyText()
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
    """The scald prepared."""

    scald = Object(PreparedScald)
    core_temperature = Object(Estimate, "How hot its middle gets. In `units.temperature`.")
    ideal_temperature = Temperature("With no heat lost; null for a cooked scald.", allow_none=True)
    swollen_percent = Object(
        Estimate, "Share of the starch that swells, percent; for much water, less in a stiff scald."
    )
    mixed_temperature = Object(
        Estimate,
        "After about ten minutes in a mixer: the temperature to go on with. What has swollen stays swollen. "
        "Null by hand and for a cooked scald. In `units.temperature`.",
        allow_none=True,
    )
    gelatinisation = Object(Gelatinisation)
    top_up = Object(ScaldPreparationReplyTopUp, allow_none=True)
    cooling = Items(Object(CoolingLimit), "The limits, in order.")
    holding = Object(ScaldPreparationReplyHolding, allow_none=True)
    allergens = Items(Object(LineAllergen), "Allergens of the lines used.")
    timetable = Items(Object(TimedTask), "The stages with their times; empty when none were given.")
