"""Moving flour and liquid between scald and dough without changing what the loaf is made of.

Bookkeeping (evidence ``exact``). While the scalded share moves, these stay:

* the baker's percentage of every ingredient but the adjusting liquid, and of each kind of flour;
* the dough mass, or the flour, whichever is held;
* the scald's flour mix and the mix of its liquids, as long as there is enough of each;
* what evaporates for each gram of scald flour: the loss grows with the scald;
* whatever else is in the scald (sugar, salt, butter ...), at its baker's percentage.

The liquid ratio counts what the trade calls liquid (water and milk, whole), as in the breakdown.
"""

from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, NEGLIGIBLE_SHARE, SCALD, Formula, Line
from scaldloaf.dough.limits import ROUNDING
from scaldloaf.dough.notes import Note
from scaldloaf.dough.per_flour import HOLD_FLOUR, Amounts, Change, Kind, PerFlour, kind_of
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scald_limits import (
    Hydration,
    adjusting_short,
    check_evaporation,
    flour_short,
    hydration_for,
    liquid_short,
)
from scaldloaf.reference import Ingredient

Place = tuple[Kind, str]  # a kind of ingredient in a part


class ShareMove(NamedTuple):
    """A formula with its scalded share moved, and the figures behind it (for the working).

    Masses in g; ``..._per_flour`` are fractions of total flour: what the other lines weigh and the water
    they bring, what the adjusting liquid must supply, and what evaporates.
    """

    formula: Formula
    flour_g: float
    scald_flour_g: float
    scald_liquid_g: float
    hydration_percent: float
    liquid_ratio: float | None
    others_per_flour: float
    others_water_per_flour: float
    adjusting_per_flour: float
    evaporation_per_flour: float
    adjusting: Ingredient
    notes: tuple[Note, ...]


def move_share(
    formula: Formula,
    adjust_with: Ingredient,
    change: Change,
    optimum: Hydration,
    advised: Hydration | None = None,
) -> ShareMove:
    """The formula with another scalded share, its dough mass (or its flour) held.

    q = (h - sum p w + E/F) / w_a and F = D / (1 + sum p + q - E/F), with E/F evaporation per flour, which is
    the formula's loss per scald flour times the new share. So F is exact, not iterated. A scald liquid that
    runs short gives way to the other allowed ones. Duplicate lines keep their proportions, lines keep their
    order; lines are added where needed and dropped where nothing is left, with a note.

    Parameters
        formula : Formula
        adjust_with : Ingredient  mostly water, takes up the difference
        change : Change  [%]
        optimum : Hydration  (share [%], liquid ratio) -> hydration [% of flour] where change names none;
            a function, so that limits are found with the water that suits them
        advised : Hydration or None  the same, refused where a share should not be advised; None: optimum
    Returns
        ShareMove  [g]
    Raises
        Refusal, each with what would work: share_out_of_range, ratio_needed, scald_flour_short,
        scald_liquid_short, adjusting_liquid_short, evaporation_above_scald_water, not_a_liquid,
        not_a_liquid_of_the_formula.
    Source
        mass balance (exact)
    """
    base = PerFlour.of(formula, adjust_with, change.scald_liquids)
    hydration = hydration_for(change, optimum)
    breakdown = base.breakdown
    share_percent = breakdown.scalded_share_percent if change.share_percent is None else change.share_percent
    share, ratio = _share_and_ratio(base, share_percent, change.liquid_ratio)
    hydration_percent = hydration(share_percent, ratio)
    advisable = hydration_for(change, advised or optimum)
    needed = _adjusting(base, share, ratio, hydration_percent, advisable)
    in_scald, mix_changed = _fill(base, ratio * share, needed)
    check_evaporation(base, share, ratio, in_scald)

    evaporation = base.evaporation_at(share)
    per_flour = 1 + base.lines.others + needed - evaporation
    flour_g = breakdown.flour_g if change.hold == HOLD_FLOUR else breakdown.dough_mass_g / per_flour
    lines, notes = _rebuild(base, share, needed, in_scald, flour_g)
    return ShareMove(
        formula=Formula(tuple(lines), evaporation * flour_g, formula.name),
        flour_g=flour_g,
        scald_flour_g=share * flour_g,
        scald_liquid_g=sum(in_scald.values()) * flour_g,
        hydration_percent=hydration_percent,
        liquid_ratio=ratio if share > 0 else None,
        others_per_flour=base.lines.others,
        others_water_per_flour=base.lines.others_water,
        adjusting_per_flour=needed,
        evaporation_per_flour=evaporation,
        adjusting=adjust_with,
        notes=(*notes, *_notes_on_mixes(base, share, in_scald, mix_changed)),
    )


def _share_and_ratio(base: PerFlour, share_percent: float, ratio: float | None) -> tuple[float, float]:
    """The share as a fraction, 0 where it is only rounding, and the liquid ratio; both refused if bad."""
    if not 0 <= share_percent <= 100:
        raise Refusal(
            "change.share_percent",
            "share_out_of_range",
            "a share is a part of the flour, {low} to {high} %",
            given=share_percent,
            nearest=min(max(share_percent, 0.0), 100.0),
            amounts={"low": (0.0, None), "high": (100.0, None)},
        )
    share = share_percent / 100 if share_percent > 100 * NEGLIGIBLE_SHARE else 0.0
    ratio = base.breakdown.scald_liquid_ratio if ratio is None else ratio
    if ratio is None and share > 0:
        raise Refusal(
            "change.liquid_ratio",
            "ratio_needed",
            "the formula has no scald to take the ratio from; say how much liquid goes to 1 of flour",
        )
    return share, 0.0 if ratio is None else ratio


def _adjusting(
    base: PerFlour, share: float, ratio: float, hydration_percent: float, hydration: Hydration
) -> float:
    """The adjusting liquid per flour, once flour and liquid are known to be enough.

    Parameters
        base : PerFlour
        share : float  [fraction of total flour]
        ratio : float  liquid over flour of the scald
        hydration_percent : float  [% of flour] at that share
        hydration : Hydration  at other shares, for the refusals
    Returns
        float  [per flour]
    Raises
        Refusal: scald_flour_short, adjusting_liquid_short, scald_liquid_short.
    """
    needed, least = base.adjusting_needed(share, hydration_percent), base.adjusting_least(share)
    if share > base.largest_share_of_mix() + ROUNDING:
        raise flour_short(base, share, ratio, hydration)
    liquid = ratio * share
    if needed < least - ROUNDING and (base.takes_adjusting() or liquid <= base.supply(least) + ROUNDING):
        raise adjusting_short(base, share, ratio, hydration_percent, hydration)
    needed = max(needed, least)
    if liquid > base.supply(needed) + ROUNDING:
        raise liquid_short(base, share, ratio, hydration_percent, hydration, needed)
    return needed


def kept_water_ratio(base: PerFlour, share_percent: float, ratio: float, hydration_percent: float) -> float:
    """Water that a scald keeps over its flour: all that its lines bring, flour aside, less what evaporates.

    Liquid that is not there counts as the scald's first one, so that a limit can be searched for.

    Parameters
        base : PerFlour
        share_percent : float  [% of total flour], above 0
        ratio : float  liquid over flour of the scald
        hydration_percent : float  [% of flour] of the whole dough
    Returns
        float  [g of water per g of scald flour]
    Source
        mass balance (exact)
    """
    share = share_percent / 100
    needed = max(base.adjusting_needed(share, hydration_percent), base.adjusting_least(share), 0.0)
    in_scald, _ = _fill(base, ratio * share, needed)
    ingredients = base.lines.liquid_ingredients
    water = sum(amount * ingredients[kind].water_percent for kind, amount in in_scald.items()) / 100
    missing = ratio * share - sum(in_scald.values())
    if missing > ROUNDING:
        first = base.allowed[0].ingredient if base.allowed else base.adjusting
        water += missing * first.water_percent / 100
    kept = water + base.lines.scald_other_water - base.evaporation_at(share)
    return max(kept / share, 0.0)


def _notes_on_mixes(base: PerFlour, share: float, in_scald: Amounts, mix_changed: bool) -> list[Note]:
    """Notes on a mix of liquids that had to change, and on a first scald of several flours."""
    notes = []
    if mix_changed:
        ingredients = base.lines.liquid_ingredients
        used = ", ".join(ingredients[kind].name for kind, amount in in_scald.items() if amount > ROUNDING)
        notes.append(Note("scald_liquids_mixed", {"liquids": used}))
    if share > 0 and not base.mix_is_scalds and len(base.mix) > 1:
        notes.append(Note("scald_flour_mix"))
    return notes


def _fill(base: PerFlour, needed: float, adjusting: float) -> tuple[Amounts, bool]:
    """The scald's liquids, per flour: its own mix, then whatever else is allowed.

    needed: all of the scald's liquid, adjusting: all of the adjusting liquid, per flour; the supply is known
    to be enough. Returns the amounts, and whether the mix had to change.
    """
    left = {each.kind: adjusting if each.supply is None else each.supply for each in base.allowed}
    taken = dict.fromkeys(left, 0.0)
    weights = {each.kind: each.weight for each in base.allowed if each.weight > 0}
    missing, changed = needed, False
    while missing > 0 and weights:
        whole = sum(weights.values())
        draw = {kind: missing * weight / whole for kind, weight in weights.items()}
        short = [kind for kind, amount in draw.items() if amount > left[kind]]
        if not short:
            for kind, amount in draw.items():
                taken[kind] += amount
            return taken, changed
        for kind in short:
            changed = changed or draw[kind] > left[kind] + ROUNDING
            taken[kind] += left[kind]
            missing -= left[kind]
            left[kind] = 0.0
            del weights[kind]
    for kind, supply in left.items():
        amount = min(supply, missing)
        if amount > 0:
            changed = changed or amount > ROUNDING
            taken[kind] += amount
            missing -= amount
    return taken, changed


# ---- The lines of the moved formula --------------------------------------------------------------


def _split(whole: float, scalded: float) -> tuple[float, float]:
    """An amount divided into scald and dough; what is left by rounding alone goes to the scald."""
    rest = whole - scalded
    return (whole, 0.0) if scalded > 0 and rest <= ROUNDING else (scalded, rest)


def _goals(base: PerFlour, share: float, adjusting: float, in_scald: Amounts) -> dict[Place, float]:
    """What each flour and each liquid that moves is to weigh in each part, per flour."""
    goals: dict[Place, float] = {}
    for kind, whole in base.lines.flours.items():
        goals[kind, SCALD], goals[kind, DOUGH] = _split(whole, base.mix.get(kind, 0.0) * share)
    movable = dict.fromkeys((*base.lines.scald_liquids, *(liquid.kind for liquid in base.allowed)))
    for kind in (*movable, base.adjusting_kind):
        whole = adjusting if kind == base.adjusting_kind else base.lines.liquids.get(kind, 0.0)
        is_liquid = kind in base.lines.liquid_ingredients
        scalded = in_scald.get(kind, 0.0) if is_liquid else base.adjusting_least(share)
        goals[kind, SCALD], goals[kind, DOUGH] = _split(whole, scalded)
    return goals


def _rebuild(
    base: PerFlour, share: float, adjusting: float, in_scald: Amounts, flour_g: float
) -> tuple[list[Line], list[Note]]:
    """The lines of the moved formula, in order, with notes on those added and dropped.

    Parameters
        base : PerFlour
        share : float  [fraction of total flour]
        adjusting : float  [per flour] of the adjusting liquid
        in_scald : Amounts  [per flour] the scald's liquids
        flour_g : float  [g] of the moved formula
    Returns
        (lines, notes)
    """
    goals = _goals(base, share, adjusting, in_scald)
    had: dict[Place, float] = {}
    for ingredient, mass_g, part in base.formula.lines:
        place = kind_of(ingredient), part
        had[place] = had.get(place, 0.0) + mass_g
    lines, dropped = _moved_lines(base, share, goals, had, flour_g)
    # What is there by rounding alone makes no line.
    new = {place: goal * flour_g for place, goal in goals.items() if goal > ROUNDING and place not in had}
    added = _add_lines(base, new, lines) if new else []
    notes = []
    if added:
        notes.append(Note("lines_added", {"lines": ", ".join(added)}))
    if dropped:
        notes.append(Note("lines_dropped", {"lines": ", ".join(dict.fromkeys(dropped))}))
    if share == 0 and any(part == SCALD and (kind, part) not in goals for kind, part in had):
        notes.append(Note("scald_lines_to_dough"))
    return lines, notes


def _moved_lines(
    base: PerFlour, share: float, goals: dict[Place, float], had: dict[Place, float], flour_g: float
) -> tuple[list[Line], list[str]]:
    """The formula's own lines with their new masses, in order; and those of which nothing is left.

    Parameters
        base : PerFlour
        share : float  [fraction of total flour]
        goals : dict  place -> amount [per flour] that it is to have
        had : dict  place -> mass [g] that it had
        flour_g : float  [g] of the moved formula
    Returns
        (lines, names of the lines dropped)
    """
    lines: list[Line] = []
    dropped: list[str] = []
    seen: set[Place] = set()
    for ingredient, mass_g, part in base.formula.lines:
        place = kind_of(ingredient), part
        if place not in goals:
            stays = DOUGH if share == 0 and part == SCALD else part
            lines.append(Line(ingredient, mass_g / base.breakdown.flour_g * flour_g, stays))
            continue
        goal = goals[place] * flour_g
        if goal == 0 and (had[place] > 0 or share == 0 and part == SCALD):
            dropped.append(f"{ingredient.name} ({part})")
        elif had[place] > 0:
            lines.append(Line(ingredient, goal * (mass_g / had[place]), part))
        else:  # lines of no mass: the first of them takes it all
            lines.append(Line(ingredient, 0.0 if place in seen else goal, part))
        seen.add(place)
    return lines, dropped


def _add_lines(base: PerFlour, masses: dict[Place, float], lines: list[Line]) -> list[str]:
    """Insert the lines that the formula did not have, flours before liquids; their names, as noted."""
    ingredients = {
        **base.lines.flour_ingredients,
        **base.lines.liquid_ingredients,
        base.adjusting_kind: base.adjusting,
    }
    new = [Line(ingredients[kind], mass_g, part) for (kind, part), mass_g in masses.items()]
    for line in sorted(new, key=lambda line: not line.ingredient.is_flour):
        lines.insert(_place(lines, line.ingredient, line.part), line)
    return [f"{line.ingredient.name} ({line.part})" for line in new]


def _place(lines: list[Line], ingredient: Ingredient, part: str) -> int:
    """Where a new line goes.

    A scald line goes after the scald's last (or to the front), a dough flour before the first dough line, a
    dough liquid after the last dough flour.
    """
    if part == SCALD:
        return max((index + 1 for index, line in enumerate(lines) if line.part == SCALD), default=0)
    if ingredient.is_flour:
        return next((index for index, line in enumerate(lines) if line.part == DOUGH), len(lines))
    flours = [index for index, line in enumerate(lines) if line.part == DOUGH and line.ingredient.is_flour]
    return flours[-1] + 1 if flours else len(lines)
