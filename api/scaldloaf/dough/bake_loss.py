"""The bake loss of the target bread: stated, usual for the pan, or that of the baker's trials."""

from typing import NamedTuple

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import NORMAL_90, Estimate, exactly
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT, BAKE_LOSS_OPEN_PERCENT, FULL_PERCENT
from scaldloaf.dough.notes import Note
from scaldloaf.dough.volume import Band, band_between
from scaldloaf.reference import coefficient

OPEN_FILL_PERCENT = coefficient("open_fill_percent").value


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
    return BakeLoss(loss, _band_of_kept(loss), tuple(notes))


def bake_loss_of_trials(calibration: Calibration) -> BakeLoss:
    """The bake loss of the next bake, from a calibration, with its 90 % interval."""
    half, best = NORMAL_90 * calibration.bake_loss_sd_percent, calibration.bake_loss_percent
    loss = Estimate(max(best - half, 0.0), best, best + half, "assumption")
    note = Note("bake_loss_of_trials", {"loss": best})
    return BakeLoss(loss, _band_of_kept(loss), (note,))


def _band_of_kept(loss: Estimate) -> Band:
    """The doubt about what stays in the loaf, from a bake loss in percent."""
    return band_between("bake loss", 100 - loss.high, 100 - loss.best, 100 - loss.low, loss.evidence)
