"""Notes on the most share, and the steps to it."""

from collections.abc import Iterator
from typing import cast

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import SCALD
from scaldloaf.dough.limits import ROUNDING, SHARE_UPPER_BOUND_PERCENT
from scaldloaf.dough.per_flour import Kind, kind_of
from scaldloaf.dough.share_limits import (
    BOUND,
    GLUTEN,
    PAN,
    PROOF,
    SCALD_FLOUR,
    SCALD_LIQUID,
    TEMPERATURE,
    WATER,
    YEAST,
)
from scaldloaf.dough.share_search import NOT_KNOWN, REACHED
from scaldloaf.dough.trials.proof import KnownProof
from scaldloaf.operations.how_far import Found, Row
from scaldloaf.operations.notes import Note, NotesOf, Said
from scaldloaf.operations.steps import Working, bracketed
from scaldloaf.operations.working import loaf_plan

TEXTS = {
    "present_share_breaks": (
        "The present share of {present:.3g} % already breaks a limit ({limits}): the most is {most:.3g} %."
    ),
    "no_limit_reached": (
        "Nothing that is known limits the share up to {bound:.3g} %, the most that is calculated."
    ),
    "limit_not_known": "The request has no {needs}, so {limit} is not judged.",
    "proof_not_known": "What the proof allows is not known: your own trials can't show it at these shares.",
    "yeast_not_judged": "There is no yeast in the dough, so its sugar limits nothing.",
    "gluten_added": (
        "{gluten:.3g} % of the flour is added as vital gluten, as the pan limits the share without it."
    ),
    "last_stage_moves": (
        "The last stage is {minutes:.3g} min at this share instead of {given:.3g} min, because your "
        "own trials show how the proof changes with the share."
    ),
    "known_water_binds": (
        "The right water is known only up to this share, so this is the limit; the bread itself may go "
        "further."
    ),
}
WORDS = {
    SCALD_LIQUID: "the scald's liquid",
    SCALD_FLOUR: "the scald's flour",
    WATER: "what is known of the water",
    TEMPERATURE: "the water temperature",
    PAN: "the pan",
    PROOF: "the proof",
    YEAST: "the yeast's sugar",
    GLUTEN: "the gluten that may be added",
    BOUND: "the most that is calculated",
}

_note = NotesOf(TEXTS)


def notes_on_limits(found: Found) -> Iterator[Note]:
    """On the present share, on what binds, on what is not known and on what moves with the share."""
    if found.present_breaks:
        words = ", ".join(WORDS[limit] for limit in found.present_breaks)
        yield _note(
            "present_share_breaks",
            present=found.present_percent,
            most=found.share.best,
            limits=Said(", ".join(found.present_breaks), words),
        )
    if found.binds == BOUND:
        yield _note("no_limit_reached", bound=SHARE_UPPER_BOUND_PERCENT)
    if found.binds == WATER and not found.plan.corrected.asked.change.hydration_percent:
        yield _note("known_water_binds")
    for row in found.rows:
        if row.state == NOT_KNOWN:
            yield _on_unknown(row)
    if found.gluten_percent > found.own_gluten_percent:
        yield _note("gluten_added", gluten=found.gluten_percent - found.own_gluten_percent)
    given, used = found.asked.plan.feeding, found.at.plan.feeding
    if given is not None and used is not None and given.stages[-1].minutes != used.stages[-1].minutes:
        yield _note("last_stage_moves", minutes=used.stages[-1].minutes, given=given.stages[-1].minutes)
    elif found.share.best > found.present_percent:
        yield loaf_plan.note("proof_longer")


def _on_unknown(row: Row) -> Note:
    if row.needs is None:
        return _note("proof_not_known" if row.limit == PROOF else "yeast_not_judged")
    said = Said(row.limit, WORDS[row.limit])
    return _note("limit_not_known", limit=said, needs=row.needs.rpartition(".")[2])


# ---- The working ---------------------------------------------------------------------------------


def show_share_limit(show: Working, found: Found) -> None:
    """The share at which each limit binds that has a formula, the least of all, and the bread there."""
    shown, reached = show.format, [row for row in found.rows if row.state == REACHED]
    for row in reached:
        if row.limit == PROOF:
            _show_proof_limit(show, found, row)
        if row.limit == SCALD_FLOUR:
            _show_flour_limit(show, found, row)
    *others, last = [shown(cast("Estimate", row.share).best) for row in reached]
    least = f"the least of {', '.join(others)} and {last}" if others else last
    share = found.share.best
    show.step("Most scalded share", least, share, unit="% of flour")
    _show_bread(show, found)
    for each in found.loosenings:
        if each.gain_points:
            what = each.argument.rpartition(".")[2].replace("_", " ").removesuffix(" percent")
            show.step(
                f"Gain by the next step of {what}",
                f"{shown(each.share_percent)} − {shown(share)}",
                each.gain_points,
                unit="points of share",
            )


def _show_proof_limit(show: Working, found: Found, row: Row) -> None:
    """Where the trend of own trials comes to the longest proof; a limit that is reached has all of these."""
    shown, proof = show.format, cast("KnownProof", found.asked.proof)
    known, slope = cast("Estimate", proof.minutes), cast("Estimate", proof.minutes_per_share_point)
    minutes, most = shown(known.best), cast("float", found.asked.mosts.proof_minutes)
    show.step(
        "Share at which the proof is the longest",
        f"{shown(proof.share_percent)} + ln({shown(most)} ÷ {minutes}) × {minutes} ÷ "
        f"{bracketed(shown(slope.best))}",
        cast("Estimate", row.share).best,
        unit="% of flour",
    )


def _show_flour_limit(show: Working, found: Found, row: Row) -> None:
    """The flour of the scald's mix that runs out first, by the masses of the formula."""
    shown, whole, scalded = show.format, dict[Kind, float](), dict[Kind, float]()
    for ingredient, mass_g, part in found.at.plan.correction.formula.lines:
        if ingredient.is_flour:
            kind = kind_of(ingredient)
            whole[kind] = whole.get(kind, 0.0) + mass_g
            if part == SCALD:
                scalded[kind] = scalded.get(kind, 0.0) + mass_g
    short = max(scalded, key=lambda kind: scalded[kind] / max(whole[kind], ROUNDING))
    show.step(
        "Share at which a flour of the scald runs out",
        f"100 × {shown(whole[short], 'mass')} × {shown(sum(scalded.values()), 'mass')} ÷ "
        f"({shown(scalded[short], 'mass')} × {shown(sum(whole.values()), 'mass')})",
        cast("Estimate", row.share).best,
        unit="% of flour",
    )


def _show_bread(show: Working, found: Found) -> None:
    """What the scald takes, and the bread at that share, which a loaf-plan of it gives."""
    shown, share, plan = show.format, found.share.best, found.plan
    by_plan = f"by loaf-plan at {shown(share)} % scalded"
    show.step("Hydration there", by_plan, plan.corrected.correction.hydration_percent, unit="% of flour")
    ratio = plan.corrected.correction.after.scald_liquid_ratio
    if ratio is not None:
        show.step("Liquid of the scald", f"{shown(ratio)} × {shown(share)}", ratio * share, unit="% of flour")
    show.step("Dough for one pan there", by_plan, plan.filled.pan.filled.dough_mass_g.best, "mass")
    if plan.fed is not None and plan.fed.budget.free_sugar_lasts_hours is not None:
        show.step(
            "Free sugar lasts there", by_plan, plan.fed.budget.free_sugar_lasts_hours.best, unit="hours"
        )
    if found.proof_minutes is not None:
        _show_proof(show, cast("KnownProof", found.asked.proof), share, found.proof_minutes.best)


def _show_proof(show: Working, proof: KnownProof, share_percent: float, there: float) -> None:
    """The proof at that share, minutes, by own trials."""
    shown, slope = show.format, proof.minutes_per_share_point
    moved = minutes = shown(cast("Estimate", proof.minutes).best)
    if slope is not None:
        way = f"({shown(share_percent)} − {shown(proof.share_percent)})"
        moved += f" × e^({bracketed(shown(slope.best))} × {way} ÷ {minutes})"
    show.step("Proof there", moved, there, unit="min")
