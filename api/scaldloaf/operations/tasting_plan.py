"""tasting-plan: a blind tasting by one of four tests: how many tasters, and a sheet for each."""

from collections.abc import Iterator
from typing import NamedTuple, cast

from scaldloaf.dough import tasting as dough
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.tasting.binomial import right_share
from scaldloaf.dough.tasting.ranking import normal_quantile
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.notes import Note
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.tasting import POWER_PERCENT, TastingPlanRequest
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.tasting import read_expected, read_level, require_fields
from scaldloaf.operations.working.tasting import (
    INSTRUCTIONS,
    note,
    panel_notes,
    plan_notes,
    show_fewest,
    show_least_difference,
)

# By test: the fields that it needs, and those that it has no use for.
FIELDS = {
    dough.TRIANGLE: ((), ("hypothesis", "expected")),
    dough.DUO_TRIO: ((), ("hypothesis", "expected")),
    dough.PAIRED: ((), ()),
    dough.RANKING: (("tasters",), ("hypothesis", "expected", "power_percent", "discriminators_percent")),
}
BASIS = {
    dough.TRIANGLE: "iso_4120",
    dough.DUO_TRIO: "iso_10399",
    dough.PAIRED: "iso_5495",
    dough.RANKING: "iso_8587",
}


class Found(NamedTuple):
    """What is wanted, and the plan for it."""

    wanted: dough.PlanWanted
    plan: dough.Plan


def read(request: Wire, context: Context) -> dough.PlanWanted:
    require_fields(request, *FIELDS[request["test"]])
    request = TastingPlanRequest.filled(request)
    tasters, power = request.get("tasters"), request.get("power_percent")
    if tasters is not None and power is not None:
        raise Refusal(
            "power_percent",
            "tasters_decide_power",
            "the number of tasters decides the power; leave one of the two out",
            given=power,
        )
    if tasters is None and "discriminators_percent" not in request:
        raise Refusal(
            "discriminators_percent",
            "difference_needed",
            "to find how many tasters it takes, say which share of them should be able to tell the samples "
            "apart; or say how many tasters there are",
        )
    return dough.PlanWanted(
        test=request["test"],
        samples=tuple(request["samples"]),
        drawn=int(request["draw"]),
        level=read_level(request),
        tasters=None if tasters is None else int(tasters),
        power_percent=power if power is not None or tasters is not None else POWER_PERCENT,
        discriminators_percent=request.get("discriminators_percent"),
        expected=read_expected(request, request["samples"]),
    )


def compute(wanted: dough.PlanWanted) -> Found:
    return Found(wanted, dough.plan_tasting(wanted))


def write(found: Found, context: Context) -> Wire:
    wanted, plan = found
    return context.reply(
        {
            "test": wanted.test,
            "tasters": plan.tasters,
            "least_tasters": plan.least_tasters,
            "significance_percent": wanted.level.significance_percent,
            "fewest_right": plan.fewest_right,
            "power_percent": plan.power_percent,
            "least_significant_difference": plan.least_difference,
            "orders": plan.orders,
            "instruction": INSTRUCTIONS[wanted.test],
            "sheets": [
                {
                    "taster": sheet.taster,
                    "reference": sheet.reference,
                    "servings": [{"code": each.code, "sample": each.sample} for each in sheet.servings],
                    "right": sheet.right,
                }
                for sheet in plan.sheets
            ],
        },
        lambda show: _show(show, found),
        basis=(
            BASIS[wanted.test],
            "park_miller_1993",
            *(("williams_1949",) if wanted.test == dough.RANKING else ()),
        ),
        cautions=cautions.OF_TASTING,
        notes=_notes(found),
    )


def _notes(found: Found) -> Iterator[Note]:
    wanted, plan = found
    yield from plan_notes()
    yield from panel_notes(wanted.test, dough.METHODS.get(wanted.test), plan.tasters, wanted.level)
    if plan.tasters % plan.orders:
        even = plan.orders * (plan.tasters // plan.orders + 1)
        yield note("orders_uneven", orders=plan.orders, tasters=plan.tasters, even=even)
    if wanted.test == dough.RANKING:
        yield note("ranking_power")
    elif plan.power_percent is None:
        yield note("power_unknown")


def _show(show: Working, found: Found) -> None:
    (wanted, plan), shown = found, show.format
    method = dough.METHODS.get(wanted.test)
    if method is None:
        percent = wanted.level.significance_percent
        samples, quantile = len(wanted.samples), normal_quantile(percent)
        show_least_difference(
            show, samples, plan.tasters, quantile, cast("float", plan.least_difference), percent
        )
        return
    if plan.least_tasters is not None:
        share, power = cast("float", wanted.discriminators_percent), cast("float", wanted.power_percent)
        show.step(
            "Fewest tasters",
            f"the fewest that show {shown(share)} % who tell in at least {shown(power)} % of tastings",
            plan.least_tasters,
        )
        show.step(
            "Tasters",
            f"the next multiple of {plan.orders} from {plan.least_tasters} on that does so too",
            plan.tasters,
        )
    show_fewest(show, method, plan.fewest_right, plan.tasters, wanted.level)
    if wanted.discriminators_percent is not None and plan.fewest_right is not None:
        right = 100 * right_share(wanted.discriminators_percent, method.one_in)
        show.step(
            "Share of right answers then",
            f"100 ÷ {method.one_in} + (1 − 1 ÷ {method.one_in}) × {shown(wanted.discriminators_percent)}",
            right,
            unit="%",
        )
        show.step(
            "Power",
            f"{plan.fewest_right} or more right of {plan.tasters}, each with a chance of {shown(right)} %",
            cast("float", plan.power_percent),
            unit="%",
        )


TASTING_PLAN = Operation(
    name="tasting-plan",
    summary="Plan a blind tasting: tasters, codes and orders of serving",
    description="For triangle, duo-trio, paired comparison and ranking: how many tasters a difference "
    "and a risk need, the fewest right answers that show it, three-digit codes, balanced "
    "orders of serving, and a sheet for each taster. The same request gives the same plan: "
    "`draw` replaces chance.",
    request=TastingPlanRequest,
    read=read,
    compute=compute,
    write=write,
    examples=(
        Example(
            "triangle_by_power",
            "Can tasters at Lantern Quay tell 35 % scalded from 20 %?",
            {
                "test": "triangle",
                "samples": ["20 % scalded", "35 % scalded"],
                "draw": 20261201,
                "discriminators_percent": 40,
            },
        ),
        Example(
            "preference",
            "Which of two tin loaves do twenty guests of Lantern Quay prefer?",
            {
                "test": "paired",
                "samples": ["plain tin loaf", "tin loaf with honey"],
                "draw": 7,
                "tasters": 20,
                "discriminators_percent": 50,
            },
        ),
        Example(
            "ranking",
            "Three shares ranked by softness",
            {
                "test": "ranking",
                "samples": ["no scald", "20 % scalded", "35 % scalded"],
                "draw": 3,
                "tasters": 12,
            },
        ),
    ),
)
