"""The losses of the target bread, in the oven and while it cools: stated, usual for the pan, or the trials'.

A bake loss is of the dough put in the oven, weighed at the oven's mouth; the cooling loss is in points of
that dough too, so a cooled loaf weighs dough x (1 - bake loss - cooling loss). A bake loss stated without a
cooling loss includes it.
"""

from typing import NamedTuple

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import NORMAL_90, Estimate, exactly
from scaldloaf.dough.limits import (
    BAKE_LOSS_LIDDED_PERCENT,
    BAKE_LOSS_OPEN_PERCENT,
    COOLING_LOSS_PERCENT,
    FULL_PERCENT,
    require_cooling_loss,
)
from scaldloaf.dough.notes import Note
from scaldloaf.dough.volume import Band, band_between
from scaldloaf.reference import coefficient

OPEN_FILL_PERCENT = coefficient("open_fill_percent").value


class BakeLoss(NamedTuple):
    """A bake loss, percent of the dough, the doubt about the fraction that stays, and notes.

    cooling: what the loaf loses after that while it cools, points of the dough.
    """

    percent: Estimate
    band: Band | None = None
    notes: tuple[Note, ...] = ()
    cooling: Estimate = exactly(0.0)

    @property
    def cooled_per_oven(self) -> Estimate:
        """Mass of the cooled loaf over its mass at the oven's mouth: (1 - loss - cooling) / (1 - loss)."""
        kept = 100 - self.percent.best
        return self.cooling.map(lambda points: (kept - points) / kept)

    def with_cooling(self, percent: float | None, argument: str) -> "BakeLoss":
        """The losses with a cooling loss that the baker knows; None leaves them as they are."""
        if percent is None:
            return self
        require_cooling_loss(percent, argument)
        notes = tuple(note for note in self.notes if note.code != "cooling_loss_default")
        return self._replace(cooling=exactly(percent), notes=notes)


def stated_bake_loss(percent: float) -> BakeLoss:
    """A bake loss that the baker knows: without doubt."""
    return BakeLoss(exactly(percent))


def shared_bake_loss(percent: float, stated_for: str) -> BakeLoss:
    """A bake loss stated for one of two loaves and used for both, with a note that says so.

    stated_for: ``"known"`` or ``"target"``.
    """
    note = Note("bake_loss_shared", {"bread": stated_for, "loss": percent})
    return BakeLoss(exactly(percent), None, (note,))


class Lidded(NamedTuple):
    """Whether a pan has a lid (None: not said), and how far the loaf fills it, percent."""

    lid: bool | None
    fill_percent: float = FULL_PERCENT


def usual_bake_loss_percent(pan: Lidded) -> float:
    """The usual bake loss of a pan, percent of the dough.

    Where nothing is said of a lid it is that of a lidded pan up to a full one, and rises evenly to that of
    an open one at a fill of OPEN_FILL_PERCENT. Source: trade figures (published); the rise is an assumption.
    """
    lidded, open_top = BAKE_LOSS_LIDDED_PERCENT.value, BAKE_LOSS_OPEN_PERCENT.value
    if pan.lid is not None:
        return lidded if pan.lid else open_top
    over = min(max((pan.fill_percent - FULL_PERCENT) / (OPEN_FILL_PERCENT - FULL_PERCENT), 0.0), 1.0)
    return lidded + over * (open_top - lidded)


def usual_bake_loss(pan: Lidded) -> BakeLoss:
    """The bake loss that is usual for a pan, with a note that says so; not knowing the lid widens it."""
    lidded, open_top = BAKE_LOSS_LIDDED_PERCENT, BAKE_LOSS_OPEN_PERCENT
    best = usual_bake_loss_percent(pan)
    if pan.lid is None:
        low, high = min(lidded.low, open_top.low), max(lidded.high, open_top.high)
        kind, evidence = "unsaid", "assumption"
    else:
        row, kind = (lidded, "lidded") if pan.lid else (open_top, "open")
        low, high, evidence = row.low, row.high, row.evidence
    loss = Estimate(low, best, high, evidence)
    notes = [Note("bake_loss_default", {"loss": best, "pan": kind, "low": low, "high": high})]
    if pan.lid is None:
        notes.append(Note("lid_unsaid"))
    notes.append(_cooling_note())
    return BakeLoss(loss, _band_of_kept(loss), tuple(notes), usual_cooling_loss())


def usual_cooling_loss() -> Estimate:
    """What a loaf loses while it cools, points of the dough, where nothing is known of it."""
    row = COOLING_LOSS_PERCENT
    return Estimate(row.low, row.value, row.high, row.evidence)


def _cooling_note() -> Note:
    row = COOLING_LOSS_PERCENT
    return Note("cooling_loss_default", {"loss": row.value, "low": row.low, "high": row.high})


def bake_loss_of_trials(calibration: Calibration) -> BakeLoss:
    """The bake loss of the next bake, from a calibration, with its 90 % interval."""
    half, best = NORMAL_90 * calibration.bake_loss_sd_percent, calibration.bake_loss_percent
    loss = Estimate(max(best - half, 0.0), best, best + half, "assumption")
    note = Note("bake_loss_of_trials", {"loss": best})
    points = calibration.cooling_loss_percent
    cooling = Estimate(points, points, points, "assumption") if points else exactly(0.0)
    return BakeLoss(loss, _band_of_kept(loss), (note,), cooling)


def _band_of_kept(loss: Estimate) -> Band:
    """The doubt about what stays in the loaf, from a bake loss in percent."""
    return band_between("bake loss", 100 - loss.high, 100 - loss.best, 100 - loss.low, loss.evidence)
