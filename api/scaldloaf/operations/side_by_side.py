"""What is asked of variants, and what is found of each."""

from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.together import Together
from scaldloaf.dough.trials.proof import KnownProof
from scaldloaf.operations import planned
from scaldloaf.operations.context import Wire


class AskedVariant(NamedTuple):
    """A variant.

    plan: the chain of calls for it, with the formula as it came. hold: what it holds. sucrose_percent None:
    the formula's. dough_g: dough for each of its pans in place of what is held. own_pan: whether it has a pan
    of its own.
    """

    name: str
    plan: planned.Asked
    hold: str
    sucrose_percent: float | None = None
    dough_g: float | None = None
    own_pan: bool = False


class Asked(NamedTuple):
    """base: what all have in common. request: as it came, to try a variant with changes.

    proof: what own trials say; None: not given.
    """

    base: planned.Asked
    variants: tuple[AskedVariant, ...]
    request: Wire
    proof: KnownProof | None = None


class Made(NamedTuple):
    """A variant that can be made.

    dough_g: for one pan; total_g: best value for all of its pans. proof_minutes: None: not known.
    """

    asked: AskedVariant
    plan: planned.Found
    dough_g: Estimate
    total_g: float
    proof_minutes: Estimate | None = None

    @property
    def fills(self) -> bool:
        """Whether its dough is what fills the pan."""
        return self.dough_g == self.plan.filled.pan.filled.dough_mass_g

    @property
    def fill_percent(self) -> Estimate:
        """Loaf volume over pan volume with that dough, percent."""
        filling, dough = self.plan.filled.pan.filled.dough_mass_g, self.dough_g.best
        fill = self.plan.filled.asked.fill_percent
        return filling.map(lambda mass: fill * dough / mass)

    @property
    def pan_ratio(self) -> Estimate:
        """Pan volume over dough, cm³/g."""
        return self.dough_g.map(lambda mass: self.plan.filled.pan.volume.volume_cm3 / mass)


class Found(NamedTuple):
    """Each variant, or why it can't be made; and one weigh-out of those that can."""

    asked: Asked
    variants: tuple[Made | Refusal, ...]
    together: Together

    @property
    def made(self) -> list[Made]:
        """The variants that can be made."""
        return [each for each in self.variants if isinstance(each, Made)]
