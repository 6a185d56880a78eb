"""Moving flour and liquid between scald and dough without changing what the loaf is made of.

Bookkeeping (evidence ``exact``). What stays put when the scalded share moves:

* every ingredient's baker's percentage but the adjusting liquid's, and each kind of flour's own;
* the dough mass, or the flour, whichever is held;
* the scald's flour mix and the mix of its liquids, as long as there is enough of each;
* what evaporates for each gram of scald flour: the loss grows with the scald;
* what else is in the scald (sugar, salt, butter ...): it stays there at its baker's percentage.

Fractions of total flour are called ``..._per_flour``. The liquid ratio counts what the trade calls
liquid (water and milk, whole), as in the breakdown.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import ceil, floor

from scaldloaf.dough.formula import (
    DOUGH, NEGLIGIBLE_SHARE, SCALD, Breakdown, Formula, Line, break_down, nearest_name,
)
from scaldloaf.dough.refusal import Refusal, listed, quoted
from scaldloaf.reference import Ingredient

HOLD_DOUGH, HOLD_FLOUR = "dough_mass", "flour_mass"

# Arithmetic, not facts of the craft.
TOLERANCE = 1e-9                    # per unit of flour: 0.1 x 3 water is enough for 0.3 of it
MOSTLY_WATER_PERCENT = 50.0         # what can carry a dough's water
SCAN_STEPS = 100                    # trial points on the way to a limit, before it is halved in on
HALVINGS = 50
LARGEST_LIQUID_RATIO = 50.0
LARGEST_HYDRATION_PERCENT = 400.0   # beyond it nothing is dough any more, so none is asked for or advised

Hydration = Callable[[float, float | None], float]


@dataclass(frozen=True, slots=True)
class ShareMove:
    """A formula with its scalded share moved, and the figures behind it (working).

    Masses in g; ``..._per_flour`` are fractions of total flour: what the other lines weigh and the
    water they bring, what the adjusting liquid must supply, what evaporates, and the scald's liquid.
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
    notes: tuple[tuple[str, str], ...]


def _key(ingredient: Ingredient):
    """What makes two lines the same ingredient; own ones may share a name and differ inside."""
    return ingredient if ingredient.own else ingredient.name


def _names(ingredients: Iterable[Ingredient]) -> str:
    return listed(ingredient.name for ingredient in ingredients)


def rounded_down(value: float) -> float:
    """To two decimals, downwards: a limit that is still inside."""
    return floor(value * 100 + 1e-7) / 100


def rounded_up(value: float) -> float:
    """To two decimals, upwards."""
    return ceil(value * 100 - 1e-7) / 100


class _Liquid:
    """A liquid that may go into the scald: its supply per flour (None: the adjusting liquid's), its
    weight in the scald's mix (0: only when the others run short)."""

    __slots__ = ("ingredient", "supply", "weight")

    def __init__(self, ingredient: Ingredient, supply: float | None, weight: float):
        self.ingredient, self.supply, self.weight = ingredient, supply, weight


class _Base:
    """A formula per unit of its flour: all that stays the same while its share moves."""

    def __init__(self, formula: Formula, adjusting: Ingredient, scald_liquids: list[str] | None):
        self.formula = formula
        self.seen: Breakdown = break_down(formula)
        flour = self.seen.flour_g
        adjusting = self._adjusting_of(formula, adjusting)
        self.adjusting, self.adjusting_water = adjusting, adjusting.water_percent / 100
        adjusting_key = _key(adjusting)
        self.flours: dict = {}              # kind of flour -> per flour
        self.flour_kinds: dict = {}
        scald_flours: dict = {}
        totals: dict = {}                   # liquids -> per flour
        in_scald: dict = {}
        kinds: dict = {}
        self.others = self.others_water = 0.0
        self.adjusting_fixed = 0.0          # an adjusting ingredient that is no liquid stays in the scald
        self.scald_other_water = 0.0
        for line in formula.lines:
            ingredient, part = line.ingredient, line.mass_g / flour
            key, in_the_scald = _key(ingredient), line.part == SCALD
            if ingredient.is_flour:
                self.flours[key] = self.flours.get(key, 0.0) + part
                self.flour_kinds[key] = ingredient
                if in_the_scald:
                    scald_flours[key] = scald_flours.get(key, 0.0) + part
                continue
            if key != adjusting_key:
                self.others += part
                self.others_water += part * ingredient.water_percent / 100
            if ingredient.is_liquid:
                totals[key] = totals.get(key, 0.0) + part
                kinds[key] = ingredient
                if in_the_scald:
                    in_scald[key] = in_scald.get(key, 0.0) + part
            elif in_the_scald:
                self.scald_other_water += part * ingredient.water_percent / 100
                if key == adjusting_key:
                    self.adjusting_fixed += part
        if adjusting.is_liquid:
            kinds[adjusting_key] = adjusting
        self.mix_is_scalds = sum(scald_flours.values()) > NEGLIGIBLE_SHARE
        mix = scald_flours if self.mix_is_scalds else self.flours
        whole = sum(mix.values())
        self.mix = {key: part / whole for key, part in mix.items() if part > 0}
        share = self.seen.scalded_share_percent / 100
        evaporation = formula.scald_evaporation_g / flour
        self.evaporation_per_scald_flour = evaporation / share if self.mix_is_scalds else None
        self.evaporation_fixed = 0.0 if self.mix_is_scalds else evaporation
        self.adjusting_key, self.kinds, self.totals, self.in_scald = adjusting_key, kinds, totals, in_scald
        self.movable = set(in_scald)
        self.liquids = self._allowed(scald_liquids)
        self.movable.update(_key(liquid.ingredient) for liquid in self.liquids)

    @staticmethod
    def _adjusting_of(formula: Formula, adjusting: Ingredient) -> Ingredient:
        """The adjusting ingredient as the formula has it, or as it is."""
        if adjusting.is_flour or adjusting.water_percent <= MOSTLY_WATER_PERCENT:
            wet = [line.ingredient.name for line in formula.lines
                   if not line.ingredient.is_flour and line.ingredient.water_percent > MOSTLY_WATER_PERCENT]
            raise Refusal("adjust_with", "not_a_liquid",
                          "what adjusts the water must be mostly water, and this ingredient is not",
                          given=adjusting.name, nearest="water" if "water" in wet or not wet else wet[0])
        return adjusting

    def _liquid(self, key, weight: float) -> _Liquid:
        return _Liquid(self.kinds[key], None if key == self.adjusting_key else self.totals.get(key, 0.0),
                       weight)

    def _allowed(self, names: list[str] | None) -> list[_Liquid]:
        """The liquids that may go into the scald, those wanted first in front."""
        if names is None:
            keys = list(self.in_scald)
            if not sum(self.in_scald.values()) > NEGLIGIBLE_SHARE:
                if self.adjusting_key in self.kinds:
                    keys = [self.adjusting_key]
                else:
                    keys = sorted(self.kinds, key=lambda key: self.kinds[key].name != "water")[:1]
        else:
            keys = [self._named(name, index) for index, name in enumerate(names)]
        liquids = [self._liquid(key, self.in_scald.get(key, 0.0)) for key in dict.fromkeys(keys)]
        if liquids and not any(liquid.weight > 0 for liquid in liquids):
            liquids[0].weight = 1.0
        return liquids

    def _named(self, name: str, index: int):
        for key, ingredient in self.kinds.items():
            if name == ingredient.name:
                return key
        names = [ingredient.name for ingredient in self.kinds.values()]
        raise Refusal(f"scald_liquids.{index}", "not_a_liquid_of_the_formula",
                      f"the scald can take the formula's own liquids only: {listed(names) or 'it has none'}",
                      given=name,
                      nearest=nearest_name(name, self.kinds.values()) or (names[0] if names else None))

    def with_more_liquids(self) -> list[Ingredient]:
        """Liquids of the formula that were not allowed in the scald."""
        allowed = {_key(liquid.ingredient) for liquid in self.liquids}
        return [ingredient for key, ingredient in self.kinds.items()
                if key not in allowed and (key == self.adjusting_key or self.totals.get(key, 0.0) > 0)]

    def evaporation(self, share: float) -> float:
        if self.evaporation_per_scald_flour is None:
            return self.evaporation_fixed
        return self.evaporation_per_scald_flour * share

    def adjusting_needed(self, share: float, hydration_percent: float) -> float:
        """q, the adjusting liquid per flour."""
        return (hydration_percent / 100 - self.others_water + self.evaporation(share)) / self.adjusting_water

    def adjusting_least(self, share: float) -> float:
        """The adjusting ingredient that cannot leave the scald, per flour."""
        return self.adjusting_fixed if share > 0 else 0.0

    def hydration_of(self, share: float, adjusting_per_flour: float) -> float:
        """The hydration, percent, that goes with an amount of adjusting liquid per flour."""
        return 100 * (adjusting_per_flour * self.adjusting_water
                      + self.others_water - self.evaporation(share))

    def supply(self, adjusting_per_flour: float, extra: Iterable[Ingredient] = ()) -> float:
        """Liquid per flour that the scald may take."""
        keys = [_key(ingredient) for ingredient in (*(liquid.ingredient for liquid in self.liquids), *extra)]
        return sum(adjusting_per_flour if key == self.adjusting_key else self.totals.get(key, 0.0)
                   for key in keys)

    def takes_adjusting(self) -> bool:
        return any(liquid.supply is None for liquid in self.liquids)

    def largest_share_of_mix(self) -> float:
        """The largest share, as a fraction, that the scald's own flour mix allows."""
        return min(self.flours[key] / part for key, part in self.mix.items())


def _feasible(base: _Base, share: float, ratio: float, hydration: Hydration,
              extra: Iterable[Ingredient] = ()) -> bool:
    """Whether the scald's liquid, the flour mix and the adjusting liquid are all there."""
    try:
        needed = base.adjusting_needed(share, hydration(100 * share, ratio))
    except Refusal:
        return False
    return (needed >= base.adjusting_least(share) - TOLERANCE
            and share <= base.largest_share_of_mix() + TOLERANCE
            and ratio * share <= base.supply(needed, extra) + TOLERANCE)


def _largest(works: Callable[[float], bool], least: float, most: float) -> float | None:
    """The largest value in [least, most] that works, rounded down to two decimals; None if none does.

    Looks from the top for a value that works, then halves in on where it stops; the rounded value
    is tried itself, so following it works.
    """
    if works(most):
        return most
    step = (most - least) / SCAN_STEPS
    bad = most
    good = None
    for index in range(1, SCAN_STEPS + 1):
        value = most - index * step
        if works(value):
            good = value
            break
        bad = value
    if good is None:
        return None
    for _ in range(HALVINGS):
        middle = (good + bad) / 2
        good, bad = (middle, bad) if works(middle) else (good, middle)
    shown = rounded_down(good)
    return shown if works(shown) else good


def largest_workable_share_percent(formula: Formula, most_percent: float, liquid_ratio: float,
                                   hydration: Hydration, adjust_with: Ingredient,
                                   scald_liquids: list[str] | None = None) -> float | None:
    """The largest share, percent, up to most_percent, to which move_share can take a formula; None: none.

    Arguments as for move_share.
    """
    return largest_share_percent(_Base(formula, adjust_with, scald_liquids), liquid_ratio, hydration,
                                 most_percent)


def largest_share_percent(base: _Base, ratio: float, hydration: Hydration, most_percent: float,
                          extra: Iterable[Ingredient] = ()) -> float | None:
    """The largest scalded share, percent, up to most_percent, that this ratio's liquid allows.

    The hydration is taken anew at each share, as the optimum moves with it.
    """
    return _largest(lambda percent: _feasible(base, percent / 100, ratio, hydration, extra), 0.0,
                    most_percent)


def _liquid_short(base: _Base, share: float, ratio: float, hydration_percent: float, hydration: Hydration,
                  needed: float) -> Refusal:
    """The refusal for a scald whose liquid is not there, with every way out reckoned."""
    percent = 100 * share
    available = base.supply(needed)
    largest_share = largest_share_percent(base, ratio, hydration, percent)
    largest_ratio = _largest(lambda value: _feasible(base, share, value, hydration), 0.0, ratio)
    liquids = _names(liquid.ingredient for liquid in base.liquids) or "no liquid"
    amounts = {"share": (percent, None), "ratio": (ratio, None),
               "wanted": (round(100 * ratio * share, 2), None),
               "hydration": (round(hydration_percent, 2), None),
               "available": (round(100 * available, 2), None)}
    message = ["a {share} % share at 1:{ratio} needs {wanted} % of the flour as liquid in the scald; at "
               "{hydration} % "
               f"hydration there is {{available}} % for it ({quoted(liquids)})"]
    if largest_share is not None:
        message.append("the largest share at this ratio is {largest_share} %")
        amounts["largest_share"] = (largest_share, None)
    if largest_ratio is not None and largest_ratio > 0:
        message.append("the largest ratio at this share is 1:{largest_ratio}")
        amounts["largest_ratio"] = (largest_ratio, None)
    if base.takes_adjusting():
        others = available - needed
        smallest = rounded_up(base.hydration_of(share, ratio * share - others))
        if smallest <= LARGEST_HYDRATION_PERCENT:
            message.append("the smallest hydration that would do is {smallest} %")
            amounts["smallest"] = (smallest, None)
    more = base.with_more_liquids()
    if more:
        names = quoted(_names(more))
        with_more = largest_share_percent(base, ratio, hydration, percent, more)
        if with_more is not None and with_more >= percent:
            message.append(f"allowing {names} in the scald as well (scald_liquids) makes this share work")
        elif with_more is not None:
            message.append(f"allowing {names} in the scald as well (scald_liquids) would take it to "
                           f"{{with_more}} %")
            amounts["with_more"] = (with_more, None)
    return Refusal("scalded_share_percent", "scald_liquid_short", "; ".join(message), given=percent,
                   nearest=largest_share, amounts=amounts)


def _flour_short(base: _Base, share: float, ratio: float, hydration: Hydration) -> Refusal:
    short = min(base.mix, key=lambda key: base.flours[key] / base.mix[key])
    most = 100 * base.largest_share_of_mix()
    name = quoted(base.flour_kinds[short].name)
    nearest = largest_share_percent(base, ratio, hydration, min(rounded_down(most), 100 * share))
    return Refusal(
        "scalded_share_percent", "scald_flour_short",
        f"the scald's flour is {{part}} % {name}, and {name} is only {{whole}} % of all flour: with this mix "
        f"the largest share is {{most}} %; put another flour into the scald to go further",
        given=100 * share, nearest=nearest,
        amounts={"part": (round(100 * base.mix[short], 2), None), "most": (rounded_down(most), None),
                 "whole": (round(100 * base.flours[short], 2), None)})


def _adjusting_short(base: _Base, share: float, ratio: float, hydration_percent: float) -> Refusal:
    """Too little water asked for: the other lines alone bring more."""
    least = base.adjusting_least(share)
    if base.takes_adjusting():
        least = max(least, ratio * share - base.supply(0.0))
    smallest = max(rounded_up(base.hydration_of(share, least)), 0.0)
    works = smallest <= LARGEST_HYDRATION_PERCENT
    advice = ("the smallest hydration that works is {smallest} %, or adjust with another liquid" if works
              else "no hydration up to {largest} % covers so much scald; scald less, or with less liquid")
    return Refusal(
        "hydration_percent", "adjusting_liquid_short",
        f"at {{hydration}} % hydration there is not enough {quoted(base.adjusting.name)}: the other lines "
        f"bring {{others}} % of the flour as water by themselves, and the scald takes its own; {advice}",
        given=round(hydration_percent, 6), nearest=smallest if works else None,
        amounts={"hydration": (round(hydration_percent, 2), None), "smallest": (smallest, None),
                 "largest": (LARGEST_HYDRATION_PERCENT, None),
                 "others": (round(100 * base.others_water, 2), None)})


def _fill(base: _Base, wanted: float, adjusting_per_flour: float) -> tuple[dict, bool]:
    """Liquid of the scald by kind, per flour: the scald's mix, then whatever else is allowed.

    Returns the amounts and whether the mix had to change. The supply is known to be enough.
    """
    left = {_key(liquid.ingredient): adjusting_per_flour if liquid.supply is None else liquid.supply
            for liquid in base.liquids}
    taken = dict.fromkeys(left, 0.0)
    weights = {_key(liquid.ingredient): liquid.weight for liquid in base.liquids if liquid.weight > 0}
    missing, changed = wanted, False
    while missing > 0 and weights:
        whole = sum(weights.values())
        draw = {key: missing * weight / whole for key, weight in weights.items()}
        short = [key for key, amount in draw.items() if amount > left[key]]
        if not short:
            for key, amount in draw.items():
                taken[key] += amount
            return taken, changed
        for key in short:
            changed = changed or draw[key] > left[key] + TOLERANCE
            taken[key] += left[key]
            missing -= left[key]
            left[key] = 0.0
            del weights[key]
    for key in left:
        amount = min(left[key], missing)
        if amount > 0:
            changed = changed or amount > TOLERANCE
            taken[key] += amount
            missing -= amount
    return taken, changed


def move_share(formula: Formula, share_percent: float, liquid_ratio: float | None,
               hydration: float | Hydration, adjust_with: Ingredient, hold: str = HOLD_DOUGH,
               scald_liquids: list[str] | None = None) -> ShareMove:
    """The formula with another scalded share, its dough mass (or its flour) held.

    share_percent: scalded flour in percent of all flour, 0-100. liquid_ratio: liquid over flour of
    the scald by mass, >= 0; None keeps the formula's. hydration: percent of flour to reach, or a
    function (share percent, ratio) -> percent, so that limits are found with the water that goes
    with them. adjust_with: the ingredient, mostly water, that takes up the difference.
    scald_liquids: names of the formula's liquids allowed in the scald, those preferred in front;
    by default the ones it has there, else the adjusting liquid. A liquid that runs short is
    replaced by the other allowed ones.

    q = (h - sum p w + E/F) / w_a and F = D / (1 + sum p + q - E/F), with E/F evaporation per flour,
    which is the formula's loss per scald flour times the new share; so F is exact, not iterated.
    Duplicate lines keep their proportions, lines keep their order; lines are added where needed and
    dropped where nothing is left, with a note.

    Raises Refusal, each with what would work: ``scald_flour_short``, ``scald_liquid_short``,
    ``adjusting_liquid_short``, ``evaporation_above_scald_water``, ``not_a_liquid``,
    ``not_a_liquid_of_the_formula``. Source: mass balance (exact).
    """
    base = _Base(formula, adjust_with, scald_liquids)
    if not 0 <= share_percent <= 100:
        raise Refusal("scalded_share_percent", "share_out_of_range",
                      "a share is a part of the flour, 0 to 100 %",
                      given=share_percent, nearest=min(max(share_percent, 0.0), 100.0))
    share = share_percent / 100 if share_percent > 100 * NEGLIGIBLE_SHARE else 0.0
    ratio = base.seen.scald_liquid_ratio if liquid_ratio is None else liquid_ratio
    if ratio is None:
        if share > 0:
            raise Refusal("scald_liquid_ratio", "ratio_needed",
                          "the formula has no scald to take the ratio from; say how much liquid goes to 1 of "
                          "flour")
        ratio = 0.0
    at = hydration if callable(hydration) else (lambda _share, _ratio: hydration)
    hydration_percent = at(share_percent, ratio)
    needed = base.adjusting_needed(share, hydration_percent)
    least = base.adjusting_least(share)
    if share > base.largest_share_of_mix() + TOLERANCE:
        raise _flour_short(base, share, ratio, at)
    wanted = ratio * share
    if needed < least - TOLERANCE and (base.takes_adjusting() or wanted <= base.supply(least) + TOLERANCE):
        raise _adjusting_short(base, share, ratio, hydration_percent)
    needed = max(needed, least)
    if wanted > base.supply(needed) + TOLERANCE:
        raise _liquid_short(base, share, ratio, hydration_percent, at, needed)
    in_scald, mix_changed = _fill(base, wanted, needed)
    evaporation = base.evaporation(share)
    _check_evaporation(base, share, ratio, in_scald, evaporation)

    per_flour = 1 + base.others + needed - evaporation
    flour_g = base.seen.flour_g if hold == HOLD_FLOUR else base.seen.dough_mass_g / per_flour
    lines, notes = _rebuild(base, share, needed, in_scald, flour_g)
    if mix_changed:
        taken = ", ".join(base.kinds[key].name for key, amount in in_scald.items() if amount > TOLERANCE)
        notes.append(("scald_liquids_mixed", "The scald's own liquids do not stretch to this share in their "
                                             f"old proportion; it now takes {taken}."))
    if share > 0 and not base.mix_is_scalds and len(base.mix) > 1:
        notes.append(("scald_flour_mix", "The formula had no scalded flour, so the scald takes all its "
                                         "flours in their overall proportion."))
    moved = Formula(tuple(lines), evaporation * flour_g, formula.name)
    return ShareMove(moved, flour_g, share * flour_g, sum(in_scald.values()) * flour_g, hydration_percent,
                     ratio if share > 0 else None, base.others, base.others_water, needed, evaporation,
                     base.adjusting, tuple(notes))


def _check_evaporation(base: _Base, share: float, ratio: float, in_scald: dict, evaporation: float) -> None:
    if evaporation <= 0:
        return
    other = base.scald_other_water + sum(base.mix[key] * share * base.flour_kinds[key].water_percent / 100
                                         for key in base.mix)
    liquid = sum(amount * base.kinds[key].water_percent / 100 for key, amount in in_scald.items())
    if evaporation <= (other + liquid) * (1 + TOLERANCE):
        return
    kept = base.seen.scald_liquid_ratio
    raise Refusal(
        "scald_liquid_ratio", "evaporation_above_scald_water",
        "the scald loses {lost} % of its flour's mass in cooking, as the formula says, and would hold only "
        "{water} %; use a thinner scald, or correct scald_evaporation",
        given=ratio, nearest=kept if kept is not None and ratio < kept <= LARGEST_LIQUID_RATIO else None,
        amounts={"lost": (round(100 * evaporation / (share or 1), 2), None),
                 "water": (round(100 * (other + liquid) / (share or 1), 2), None)})


def _split(whole: float, scalded: float) -> tuple[float, float]:
    """An amount per flour parted into scald and dough, what is only rounding not left behind."""
    rest = whole - scalded
    return (whole, 0.0) if scalded > 0 and rest <= TOLERANCE else (scalded, rest)


def _rebuild(base: _Base, share: float, adjusting: float, in_scald: dict,
             flour_g: float) -> tuple[list[Line], list[tuple[str, str]]]:
    """The lines of the moved formula, in order, with notes on those added and dropped."""
    goals: dict = {}                        # (kind, part) -> per flour
    kinds: dict = {**base.flour_kinds, **base.kinds, base.adjusting_key: base.adjusting}
    for key, whole in base.flours.items():
        goals[key, SCALD], goals[key, DOUGH] = _split(whole, base.mix.get(key, 0.0) * share)
    for key in (*base.movable, base.adjusting_key):
        whole = adjusting if key == base.adjusting_key else base.totals.get(key, 0.0)
        scalded = in_scald.get(key, 0.0) if base.kinds.get(key) is not None else base.adjusting_least(share)
        goals[key, SCALD], goals[key, DOUGH] = _split(whole, scalded)
    had: dict = {}
    for line in base.formula.lines:
        place = _key(line.ingredient), line.part
        had[place] = had.get(place, 0.0) + line.mass_g
    flour_before = base.seen.flour_g
    lines: list[Line] = []
    dropped: list[str] = []
    given: set = set()
    for line in base.formula.lines:
        place = _key(line.ingredient), line.part
        if place not in goals:
            mass, part = line.mass_g / flour_before * flour_g, line.part
            if share == 0 and part == SCALD:
                part = DOUGH
            lines.append(Line(line.ingredient, mass, part))
            continue
        goal = goals[place] * flour_g
        if had[place] > 0:
            mass = goal * (line.mass_g / had[place])
        else:
            mass = 0.0 if place in given else goal
        given.add(place)
        if goal == 0 and (had[place] > 0 or share == 0 and line.part == SCALD):
            dropped.append(f"{line.ingredient.name} ({line.part})")
        else:
            lines.append(Line(line.ingredient, mass, line.part))
    notes = []
    added = [(kinds[place[0]], place[1], goal * flour_g) for place, goal in goals.items()
             if goal > 0 and place not in given]
    for ingredient, part, mass in sorted(added, key=lambda new: not new[0].is_flour):
        lines.insert(_place(lines, ingredient, part), Line(ingredient, mass, part))
    if added:
        names = ", ".join(f"{ingredient.name} ({part})" for ingredient, part, _ in added)
        notes.append(("lines_added", f"Lines added to the formula: {names}."))
    if dropped:
        notes.append(("lines_dropped", "Nothing is left of these lines, so they are gone: "
                                       f"{', '.join(dict.fromkeys(dropped))}."))
    if share == 0 and any(line.part == SCALD and (_key(line.ingredient), SCALD) not in goals
                          for line in base.formula.lines):
        notes.append(("scald_lines_to_dough", "There is no scald any more; what else it held goes into the "
                                              "dough."))
    return lines, notes


def _place(lines: list[Line], ingredient: Ingredient, part: str) -> int:
    """Where a new line goes: scald lines after the scald's last (or in front), a dough flour before
    the first dough line, a dough liquid after the last dough flour."""
    if part == SCALD:
        return max((index + 1 for index, line in enumerate(lines) if line.part == SCALD), default=0)
    if ingredient.is_flour:
        return next((index for index, line in enumerate(lines) if line.part == DOUGH), len(lines))
    flours = [index for index, line in enumerate(lines) if line.part == DOUGH and line.ingredient.is_flour]
    return flours[-1] + 1 if flours else len(lines)
