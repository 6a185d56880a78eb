"""The bake loss of the target bread: stated, usual for the pan, or that of the baker's trials."""

from typing import NamedTuple

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import NORMAL_90, Estimate, exactly
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT, BAKE_LOSS_OPEN_PERCENT
from scaldloaf.dough.notes import Note
from scaldloaf.dough.volume import Band, band_between


class BakeLoss(NamedTuple):
    """A bake loss, percent of the dough, the doubt about the fraction that stays, and notes."""

    percent: Estimate
    band: Band | None = None
    notes: tuple[Note, ...] = ()


def stated_bake_loss(percent: float) -> BakeLoss:
    """A bake loss that the baker knows: without doubt."""
    return BakeLoss(exactly(percent))


def shared_bake_loss(percent: float, stated_for: str) -> BakeLoss:
    """A bake loss stated for one of two loaves and used for both, with a note that says so.

    stated_for: ``"known"`` or ``"target"``.
    """
    note = Note("bake_loss_shared", {"bread": stated_for, "loss": percent})
    return BakeLoss(exactly(percent), None, (note,))


def usual_bake_loss(open_top: bool) -> BakeLoss:
    """The bake loss of an open or a lidded pan that is usual in the trade, with a note that says so."""
    row, pan = (BAKE_LOSS_OPEN_PERCENT, "open") if open_top else (BAKE_LOSS_LIDDED_PERCENT, "lidded")
    loss = Estimate(row.low, row.value, row.high, row.evidence)
    note = Note("bake_loss_default", {"loss": row.value, "pan": pan, "low": row.low, "high": row.high})
    return BakeLoss(loss, _band_of_kept(loss), (note,))


def bake_loss_of_trials(calibration: Calibration) -> BakeLoss:
    """The bake loss of the next bake, from a calibration, with its 90 % interval."""
    half, best = NORMAL_90 * calibration.bake_loss_sd_percent, calibration.bake_loss_percent
    loss = Estimate(max(best - half, 0.0), best, best + half, "assumption")
    note = Note("bake_loss_of_trials", {"loss": best})
    return BakeLoss(loss, _band_of_kept(loss), (note,))


def _band_of_kept(loss: Estimate) -> Band:
    """The doubt about what stays in the loaf, from a bake loss in percent."""
    return band_between("bake loss", 100 - loss.high, 100 - loss.best, 100 - loss.low, loss.evidence)
