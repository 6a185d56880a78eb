"""A formula per unit of its flour: everything that stays the same while its scalded share moves.

Amounts ``per flour`` are fractions of total flour by mass.
"""

from collections.abc import Iterable
from typing import NamedTuple

from scaldloaf.dough.formula import NEGLIGIBLE_SHARE, SCALD, Breakdown, Formula, break_down, nearest_name
from scaldloaf.dough.refusal import Refusal, listed
from scaldloaf.reference import Ingredient

HOLD_DOUGH, HOLD_FLOUR = "dough_mass", "flour_mass"
MOSTLY_WATER_PERCENT = 50.0  # what can carry a dough's water

Kind = Ingredient | str
Amounts = dict[Kind, float]  # per flour


def kind_of(ingredient: Ingredient) -> Kind:
    """What identifies an ingredient: its name; or the whole of a baker's own, as those may share a name."""
    return ingredient if ingredient.own else ingredient.name


class Change(NamedTuple):
    """What a formula is to become; None leaves a figure to the formula, the hydration to the optimum.

    share_percent: scalded flour, percent of total flour. liquid_ratio: liquid over flour of the scald, by
    mass. hydration_percent: all water of the lines that are not flour, percent of flour. hold: what stays,
    HOLD_DOUGH or HOLD_FLOUR. scald_liquids: names of the formula's liquids allowed in the scald, the
    preferred ones first; None: those it has now, else the adjusting liquid. gluten_percent: vital gluten,
    percent of flour.
    """

    share_percent: float | None = None
    liquid_ratio: float | None = None
    hydration_percent: float | None = None
    hold: str = HOLD_DOUGH
    scald_liquids: tuple[str, ...] | None = None
    gluten_percent: float | None = None


class ScaldLiquid(NamedTuple):
    """A liquid that may go into the scald.

    supply: how much there is, per flour; None for the adjusting liquid, whose amount is still unknown.
    weight: its part in the scald's mix; 0: it is used only when the others run short.
    """

    kind: Kind
    ingredient: Ingredient
    supply: float | None
    weight: float


class _Lines(NamedTuple):
    """The lines of a formula per unit of its flour, duplicates added up.

    flours, liquids: in both parts; scald_flours, scald_liquids: in the scald. others, others_water: what
    the lines other than flour and the adjusting liquid weigh, and their water. scald_other_water: water of
    the scald's lines that are neither flour nor liquid; scald_adjusting: what of them is the adjusting
    ingredient, which then stays in the scald.
    """

    flours: Amounts
    scald_flours: Amounts
    liquids: Amounts
    scald_liquids: Amounts
    flour_ingredients: dict[Kind, Ingredient]
    liquid_ingredients: dict[Kind, Ingredient]
    others: float
    others_water: float
    scald_other_water: float
    scald_adjusting: float

    def free_flours(self) -> Amounts:
        """The flours that a scald may be made with."""
        return {
            kind: amount
            for kind, amount in self.flours.items()
            if not self.flour_ingredients[kind].stays_in_dough
        }

    @classmethod
    def of(cls, formula: Formula, flour_g: float, adjusting: Ingredient) -> "_Lines":
        """The lines of a formula over its flour, g; adjusting: what takes up the difference."""
        adjusting_kind = kind_of(adjusting)
        flours: Amounts = {}
        scald_flours: Amounts = {}
        liquids: Amounts = {}
        scald_liquids: Amounts = {}
        flour_ingredients: dict[Kind, Ingredient] = {}
        liquid_ingredients: dict[Kind, Ingredient] = {}
        others = others_water = scald_other_water = scald_adjusting = 0.0
        for ingredient, mass_g, part in formula.lines:
            kind, amount, in_scald = kind_of(ingredient), mass_g / flour_g, part == SCALD
            if ingredient.is_flour:
                flour_ingredients[kind] = ingredient
                flours[kind] = flours.get(kind, 0.0) + amount
                if in_scald:
                    scald_flours[kind] = scald_flours.get(kind, 0.0) + amount
                continue
            water = amount * ingredient.water_percent / 100
            if kind != adjusting_kind:
                others += amount
                others_water += water
            if ingredient.is_liquid and (in_scald or not ingredient.stays_in_dough):
                liquid_ingredients[kind] = ingredient
                liquids[kind] = liquids.get(kind, 0.0) + amount
                if in_scald:
                    scald_liquids[kind] = scald_liquids.get(kind, 0.0) + amount
            elif in_scald:
                scald_other_water += water
                scald_adjusting += amount if kind == adjusting_kind else 0.0
        if adjusting.is_liquid:
            liquid_ingredients[adjusting_kind] = adjusting
        return cls(
            flours,
            scald_flours,
            liquids,
            scald_liquids,
            flour_ingredients,
            liquid_ingredients,
            others,
            others_water,
            scald_other_water,
            scald_adjusting,
        )


class PerFlour(NamedTuple):
    """A formula per unit of its flour, with the liquid that adjusts its water.

    mix: the scald's flours as fractions of them; of all flours that need not stay in the dough where the
    formula has no scalded flour (not mix_is_scalds). evaporation: per scald flour where mix_is_scalds, else
    per flour. allowed: the liquids that may go into the scald, the preferred ones first.
    """

    formula: Formula
    breakdown: Breakdown
    adjusting: Ingredient
    adjusting_kind: Kind
    lines: _Lines
    mix: Amounts
    mix_is_scalds: bool
    evaporation: float
    allowed: tuple[ScaldLiquid, ...]

    @classmethod
    def of(
        cls, formula: Formula, adjust_with: Ingredient, scald_liquids: tuple[str, ...] | None = None
    ) -> "PerFlour":
        """A formula per unit of its flour.

        adjust_with: the ingredient, mostly water, that takes up the difference; scald_liquids: as in
        ``Change``. Raises Refusal as ``break_down``, for an adjusting ingredient that is no liquid, and for
        a scald liquid that is none of the formula's.
        """
        breakdown = break_down(formula)
        _check_adjusting(formula, adjust_with)
        lines = _Lines.of(formula, breakdown.flour_g, adjust_with)
        mix_is_scalds = sum(lines.scald_flours.values()) > NEGLIGIBLE_SHARE
        flours = lines.scald_flours if mix_is_scalds else lines.free_flours() or lines.flours
        whole = sum(flours.values())
        evaporation = formula.scald_evaporation_g / breakdown.flour_g
        if mix_is_scalds:
            evaporation = evaporation / (breakdown.scalded_share_percent / 100)
        return cls(
            formula=formula,
            breakdown=breakdown,
            adjusting=adjust_with,
            adjusting_kind=kind_of(adjust_with),
            lines=lines,
            mix={kind: amount / whole for kind, amount in flours.items() if amount > 0},
            mix_is_scalds=mix_is_scalds,
            evaporation=evaporation,
            allowed=_allowed(lines, kind_of(adjust_with), scald_liquids),
        )

    def evaporation_at(self, share: float) -> float:
        """What evaporates per flour at a scalded share, as a fraction."""
        return self.evaporation * share if self.mix_is_scalds else self.evaporation

    def adjusting_needed(self, share: float, hydration_percent: float) -> float:
        """The adjusting liquid per flour that a hydration needs at a share (q)."""
        water = self.adjusting.water_percent / 100
        return (hydration_percent / 100 - self.lines.others_water + self.evaporation_at(share)) / water

    def adjusting_least(self, share: float) -> float:
        """The adjusting ingredient that cannot leave the scald, per flour."""
        return self.lines.scald_adjusting if share > 0 else 0.0

    def hydration_percent_with(self, share: float, adjusting: float) -> float:
        """The hydration, percent, at a share with an amount of adjusting liquid per flour."""
        water = self.adjusting.water_percent / 100
        return 100 * (adjusting * water + self.lines.others_water - self.evaporation_at(share))

    def supply(self, adjusting: float, extra: Iterable[Ingredient] = ()) -> float:
        """Liquid per flour that the scald may take; extra: liquids allowed besides."""
        kinds = [*(liquid.kind for liquid in self.allowed), *(kind_of(ingredient) for ingredient in extra)]
        return sum(
            adjusting if kind == self.adjusting_kind else self.lines.liquids.get(kind, 0.0) for kind in kinds
        )

    def takes_adjusting(self) -> bool:
        """Whether the adjusting liquid may go into the scald."""
        return any(liquid.supply is None for liquid in self.allowed)

    def largest_share_of_mix(self) -> float:
        """The largest share, as a fraction, that the scald's own flour mix allows."""
        return min(self.lines.flours[kind] / part for kind, part in self.mix.items())

    def other_liquids(self) -> list[Ingredient]:
        """Liquids of the formula that are not allowed in the scald."""
        allowed = {liquid.kind for liquid in self.allowed}
        return [
            ingredient
            for kind, ingredient in self.lines.liquid_ingredients.items()
            if kind not in allowed and (kind == self.adjusting_kind or self.lines.liquids.get(kind, 0.0) > 0)
        ]


def _check_adjusting(formula: Formula, adjusting: Ingredient) -> None:
    """Refuse to adjust the water with what is not mostly water."""
    if not adjusting.is_flour and adjusting.water_percent > MOSTLY_WATER_PERCENT:
        return
    wet = [
        line.ingredient.name
        for line in formula.lines
        if not line.ingredient.is_flour and line.ingredient.water_percent > MOSTLY_WATER_PERCENT
    ]
    raise Refusal(
        "adjust_with",
        "not_a_liquid",
        "what adjusts the water must be mostly water, and this ingredient is not",
        given=adjusting.name,
        nearest="water" if "water" in wet or not wet else wet[0],
    )


def _allowed(lines: _Lines, adjusting: Kind, names: tuple[str, ...] | None) -> tuple[ScaldLiquid, ...]:
    """The liquids that may go into the scald, the preferred ones first."""
    if names is None:
        kinds = _default_liquids(lines, adjusting)
    else:
        kinds = [_named(lines, name, index) for index, name in enumerate(names)]
    liquids = [
        ScaldLiquid(
            kind,
            lines.liquid_ingredients[kind],
            None if kind == adjusting else lines.liquids.get(kind, 0.0),
            lines.scald_liquids.get(kind, 0.0),
        )
        for kind in dict.fromkeys(kinds)
    ]
    if liquids and not any(liquid.weight > 0 for liquid in liquids):
        liquids[0] = liquids[0]._replace(weight=1.0)
    return tuple(liquids)


def _default_liquids(lines: _Lines, adjusting: Kind) -> list[Kind]:
    """The liquids the scald has now, else the adjusting one, else one of the formula, preferably water."""
    if sum(lines.scald_liquids.values()) > NEGLIGIBLE_SHARE:
        return list(lines.scald_liquids)
    if adjusting in lines.liquid_ingredients:
        return [adjusting]
    ingredients = lines.liquid_ingredients
    return sorted(ingredients, key=lambda kind: ingredients[kind].name != "water")[:1]


def _named(lines: _Lines, name: str, index: int) -> Kind:
    """The formula's liquid of that name."""
    for kind, ingredient in lines.liquid_ingredients.items():
        if name == ingredient.name:
            return kind
    names = [ingredient.name for ingredient in lines.liquid_ingredients.values()]
    raise Refusal(
        f"change.scald_liquids.{index}",
        "not_a_liquid_of_the_formula",
        "the scald can take the formula's own liquids only: {liquids}",
        given=name,
        nearest=nearest_name(name, lines.liquid_ingredients.values()) or (names[0] if names else None),
        amounts={"liquids": listed(names) or "it has none"},
    )
