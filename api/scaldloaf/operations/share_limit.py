"""share-limit: how far the scalded share can go, what stops it, and what would let it go further."""

from collections.abc import Iterator

from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations import cautions, chain, how_far, loaf_plan, sugar_budget
from scaldloaf.operations.any_share import Asked, Mosts
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.how_far import Found
from scaldloaf.operations.hydration_correction import basis_of
from scaldloaf.operations.lantern_quay import FIRST_SCALD, HOW_FAR, HOW_FAR_BY_TRIALS
from scaldloaf.operations.notes import AnyNote
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.hydration_correction import MOST_GLUTEN_PERCENT
from scaldloaf.operations.schemas.share_limit import MOST_LINES, ShareLimitRequest
from scaldloaf.operations.wire.pans import pan_basis
from scaldloaf.operations.wire.proof import read_proof
from scaldloaf.operations.wire.share_limit import write_found
from scaldloaf.operations.working.share_limit import notes_on_limits, show_share_limit


def read(request: Wire, context: Context) -> Asked:
    if (lines := len(request["formula"]["lines"])) > MOST_LINES:
        raise Refusal(
            "formula.lines",
            "too_many_lines",
            "the formula has {lines} lines, and the share is searched for formulas of up to {most}",
            amounts={"lines": (lines, None), "most": (MOST_LINES, None)},
        )
    given = request.get("limits", {})
    most_gluten, own_gluten = given.get("gluten_percent"), request.get("gluten_percent", 0.0)
    if most_gluten is not None and own_gluten + most_gluten > MOST_GLUTEN_PERCENT:
        raise Refusal(
            "limits.gluten_percent",
            "too_much_gluten",
            "with the {own} % of gluten_percent that is more than the {most} % a formula may have",
            given=most_gluten,
            nearest=MOST_GLUTEN_PERCENT - own_gluten,
            amounts={"own": (own_gluten, None), "most": (MOST_GLUTEN_PERCENT, None)},
        )
    return Asked(
        plan=loaf_plan.read(request, context),
        mosts=Mosts(
            context.from_wire(given.get("dough_mass"), "mass"), given.get("proof_minutes"), most_gluten
        ),
        request=request,
        sucrose_percent=request.get("sucrose_percent"),
        proof=read_proof(request["proof"]) if "proof" in request else None,
    )


def write(found: Found, context: Context) -> Wire:
    plan = found.plan
    formula = plan.scaled.scaling.formula
    codes = [*cautions.of_formula(formula), *cautions.OF_PAN]
    if plan.fed is not None:
        codes += cautions.of_warm_dough(formula)
    return context.reply(
        write_found(found, context),
        lambda show: show_share_limit(show, found),
        basis=_basis(found) if context.full else (),
        cautions=cautions.in_order(codes),
        notes=_notes(found),
    )


def _basis(found: Found) -> list[str]:
    plan = found.plan
    corrected, pan = plan.corrected, plan.filled.pan
    basis = basis_of(corrected.correction, corrected.water_rule, corrected.asked.flour_change)
    basis += [*pan_basis(pan.pan), *pan.bread.basis, "assumption"]
    return basis + list(sugar_budget.BASIS) if plan.fed is not None else basis


def _notes(found: Found) -> Iterator[AnyNote]:
    yield from notes_on_limits(found)
    yield from found.plan.corrected.correction.notes
    yield from found.plan.filled.pan.bread.notes


SHARE_LIMIT = Operation(
    name="share-limit",
    summary="Find the highest scalded share that a bread can take",
    description="How far the scalded share of a loaf-plan can go, and what limits it: the scald's "
    "liquid and flours, what is known about the water, the water temperature, the pan, the "
    "proof, the yeast's sugar, and the gluten that may be added. Each limit has the share "
    "at which it binds; what you omit limits nothing. Each change that loosens a limit is "
    "tried, with the points of share that it gains.",
    request=ShareLimitRequest,
    read=read,
    compute=how_far.compute,
    write=write,
    places=lambda asked, context: chain.places(asked.plan, context),
    examples=(
        Example(
            "tin_and_proof",
            "The Lantern Quay tin loaf: at most 460 g in the tin and 80 minutes of proof",
            HOW_FAR,
        ),
        Example(
            "by_calibration",
            "By what your own trials have taught, with gluten that may be added",
            HOW_FAR_BY_TRIALS,
        ),
        Example("first_scald", "A roux of 1:5 for a bread without one, nothing known of it yet", FIRST_SCALD),
    ),
)
