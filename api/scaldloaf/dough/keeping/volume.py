"""Firmness at equal volume: a denser loaf is a firmer one, whatever its crumb is made of."""

from collections.abc import Sequence
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.keeping.loaves import Kept
from scaldloaf.dough.keeping.scores import FALLS
from scaldloaf.dough.keeping.times import NO_LIMIT, TimeToLimit, time_to_limit
from scaldloaf.dough.limits import SPECIFIC_VOLUME_REFUSE_HIGH, SPECIFIC_VOLUME_REFUSE_LOW, require_between
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import coefficient

FIRMNESS_VOLUME_EXPONENT = coefficient("firmness_volume_exponent")


class AtEqualVolume(NamedTuple):
    """A loaf as it would firm at the specific volume of another.

    factor: its firmness at that volume over its firmness as it is. time: to the baker's limit at that volume.
    """

    kept: Kept
    specific_volume: float
    factor: Estimate
    time: TimeToLimit


def equal_volume_factor(specific_volume: float, reference_specific_volume: float) -> Estimate:
    """What turns a loaf's firmness into that at another specific volume: (SV / SV_ref)^2.1.

    Firmness goes with SV^-2.1 (1.6 to 2.6), fitted to a published table of 30 breads
    (firmness_volume_exponent). Specific volumes in cm³/g, valid from 2.0 to 8.5; -10 % of volume is +25 % of
    firmness.
    """
    row, ratio = FIRMNESS_VOLUME_EXPONENT, specific_volume / reference_specific_volume
    low, high = sorted((ratio**row.low, ratio**row.high))
    return Estimate(low, ratio**row.value, high, row.evidence)


def check_measured(direction: str) -> None:
    """Refuse a firmness that falls as bread stales: what is measured as a force rises."""
    if direction == FALLS:
        raise Refusal(
            "direction",
            "firmness_falls",
            "a measured firmness rises as bread stales; a softness that falls is scored",
            given=direction,
            nearest="rises",
        )


def at_equal_volume(
    kept: Sequence[Kept], specific_volumes: Sequence[float | None], limit: float | None
) -> list[AtEqualVolume]:
    """The loaves that have a volume, each at the volume of the first of these.

    A firmness times f is at the limit when the firmness is at limit / f, so the curves stay what they are;
    the ends of the time are the least and the most over the doubt about the exponent. Fewer than two volumes:
    none.

    Parameters
        kept : Sequence[Kept]  by measured firmness
        specific_volumes : Sequence[float or None]  [cm³/g] of each loaf
        limit : float or None  [of the scores] the baker's own
    Returns
        list[AtEqualVolume]
    Raises
        Refusal: at ``loaves.N.specific_volume``, for what no pan loaf has.
    """
    found: list[AtEqualVolume] = []
    known = [(each, value) for each, value in zip(kept, specific_volumes, strict=True) if value is not None]
    for index, value in enumerate(specific_volumes):
        if value is not None:
            require_between(
                value,
                SPECIFIC_VOLUME_REFUSE_LOW,
                SPECIFIC_VOLUME_REFUSE_HIGH,
                f"loaves.{index}.specific_volume",
                "specific_volume_out_of_range",
                "pan loaves lie between {low} and {high} cm³/g",
            )
    if len(known) < 2:
        return found
    reference = known[0][1]
    for each, value in known:
        factor = equal_volume_factor(value, reference)
        found.append(AtEqualVolume(each, value, factor, _time(each, factor, limit)))
    return found


def _time(kept: Kept, factor: Estimate, limit: float | None) -> TimeToLimit:
    """When a loaf is at the limit, its firmness times the factor."""
    if kept.posterior is None or limit is None or kept.time.reason == NO_LIMIT:
        return kept.time
    if factor.low == factor.high:
        return kept.time
    early, best, late = (
        time_to_limit(kept.posterior, limit / each) for each in (factor.high, factor.best, factor.low)
    )
    low = best.low if early.low is None else early.low
    return TimeToLimit(
        low, best.best, late.high if best.high is not None else None, best.reason, best.reached
    )
