"""share-limit on the wire: its rows, what loosens them, and the loaf-plan at the most share."""

from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.how_far import Found, Loosening, Row
from scaldloaf.operations.schemas.loaf_plan import LoafPlanRequest
from scaldloaf.operations.wire.formulas import ask_formula, write_formula


def write_found(found: Found, context: Context) -> Wire:
    """The fields of the call's own in its reply."""
    plan = found.plan
    correction, filled = plan.corrected.correction, plan.filled.pan.filled
    lasts = plan.fed and plan.fed.budget.free_sugar_lasts_hours
    return {
        "scalded_share_percent": context.estimate(found.share),
        "binds": found.binds,
        "present_share_percent": found.present_percent,
        "present_breaks": list(found.present_breaks),
        "limits": [_write_row(row, found, context) for row in found.rows],
        "loosenings": [
            {
                "change": _write_change(each, each.value, context),
                "instead_of": _write_change(each, each.before, context),
                "limits": list(each.limits),
                "scalded_share_percent": each.share_percent,
                "gain_points": each.gain_points,
                "binds": each.binds,
            }
            for each in found.loosenings
        ],
        "plan": {
            "formula": write_formula(plan.scaled.scaling.formula, context, plan.scaled.masses),
            "hydration_percent": correction.hydration_percent,
            "optimum_hydration_percent": context.estimate(correction.optimum),
            "scald_liquid_ratio": correction.after.scald_liquid_ratio,
            "gluten_percent": found.gluten_percent,
            "dough_mass": context.estimate(filled.dough_mass_g, "mass"),
            "proof_minutes": found.proof_minutes and context.estimate(found.proof_minutes),
            "free_sugar_lasts_hours": lasts and context.estimate(lasts),
        },
        "request": _ask_plan(found, context),
    }


def _write_row(row: Row, found: Found, context: Context) -> Wire:
    loosening = found.loosening_of(row.limit)
    return {
        "limit": row.limit,
        "state": row.state,
        "scalded_share_percent": row.share and context.estimate(row.share),
        "needs": row.needs and "/" + row.needs.replace(".", "/"),
        "loosened_by": loosening and _write_change(loosening, loosening.value, context),
        "gain_points": loosening and loosening.gain_points,
    }


def _write_change(change: Loosening, value: object, context: Context) -> Wire:
    """The field that changes with a value, nested as it is in the request."""
    if isinstance(value, int | float):
        value = context.units.to_wire(value, change.quantity)
    *outer, name = change.argument.split(".")
    written: Wire = {name: value}
    for each in reversed(outer):
        written = {each: written}
    return written


def _ask_plan(found: Found, context: Context) -> Wire:
    """The loaf-plan that is the plan at the most share."""
    request, at = found.asked.request, found.at.plan
    asked: Wire = {name: request[name] for name in LoafPlanRequest.declared() if name in request}
    asked["scalded_share_percent"] = found.share.best
    if found.gluten_percent != found.own_gluten_percent:
        asked["gluten_percent"] = found.gluten_percent
    if found.asked.sucrose_percent is not None:
        asked["formula"] = ask_formula(at.correction.formula, context)
    if at.feeding is not None:
        *first, last = asked["stages"]
        asked["stages"] = [*first, {**last, "minutes": at.feeding.stages[-1].minutes}]
    return asked
