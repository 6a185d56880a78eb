"""Notes on what a plan was not given or does not use, and its main numbers in a row."""

from collections.abc import Iterator

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.formula import SCALD
from scaldloaf.dough.hydration import Correction
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT
from scaldloaf.dough.scaling import Scaling, WeighOut
from scaldloaf.operations.filled_pan import FilledPan
from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.planned import Found
from scaldloaf.operations.steps import Working

TEXTS = {
    "no_stages": (
        "No stages were given, so the sugar is not calculated: give their minutes and dough temperatures "
        "from mixing to the oven."
    ),
    "no_temperatures": (
        "No temperatures were given, so the water temperature is not calculated: give the dough "
        "temperature to reach, the flour's, the scald's, and the rise in the mixer."
    ),
    "no_timetable": (
        "No timetable was asked for: give the work before and after the stages, and when the bread must "
        "be out."
    ),
    "no_scald_method": ("Without scald.method it is not calculated whether the scald gelatinises."),
    "no_scald": (
        "The bread has no scald at this share, so what was given for it (scald, scald_temperature) is "
        "not used."
    ),
    "bread_beside_calibration": (
        "A known bread and a calibration were both given: the dough mass is calculated from the bread, the "
        "water from the calibration."
    ),
    "calibration_of_bread_only": (
        "The calibration was given as the bread, so only the dough mass is calculated from it; give it as "
        "calibration for the water too."
    ),
    "proof_longer": (
        "With more of the flour scalded the proof takes longer. By how much is not published; your own "
        "trials can show it if they record proof_minutes. The stages are used as given."
    ),
    "sugars_moved": (
        "With the same stages the bread has {after:.2g} % of sugars that are not lactose at "
        "{to_share:.3g} % scalded flour, and {before:.2g} % at {from_share:.3g} %."
    ),
    "crumb_at_usual_loss": (
        "The change of crumb moisture is calculated with {usual} % bake loss, all else with {used} %; give "
        "losses.bake_percent to have one for all."
    ),
}

note = NotesOf(TEXTS)


def notes_on_left_out(found: Found) -> Iterator[Note]:
    """On what the plan was not given, or does not use."""
    asked = found.asked
    if asked.feeding is None:
        yield note("no_stages")
    if asked.tempering is None:
        yield note("no_temperatures")
    if asked.timetable is None:
        yield note("no_timetable")
    if found.share_percent:
        if asked.treatment is None:
            yield note("no_scald_method")
    elif asked.treatment is not None or (
        asked.tempering is not None and asked.tempering.at.temperatures.scald_c is not None
    ):
        yield note("no_scald")


def notes_on_bread(found: Found) -> Iterator[Note]:
    """On what is known of the bread, and on what the move does to its proof and sugars."""
    asked, correction = found.asked, found.corrected.correction
    by_trials = asked.correction.calibration is not None
    if asked.bread_given and isinstance(asked.filling.bread, Calibration):
        if not by_trials:
            yield note("calibration_of_bread_only")
    elif asked.bread_given and by_trials:
        yield note("bread_beside_calibration")
    if correction.after.scalded_share_percent > correction.before.scalded_share_percent:
        yield note("proof_longer")
    moved = found.sugars_moved()
    if moved is not None:
        before, after = moved
        yield note(
            "sugars_moved",
            before=before,
            after=after,
            from_share=correction.before.scalded_share_percent,
            to_share=correction.after.scalded_share_percent,
        )
    used, usual = found.filled.pan.bread.bake_loss_percent.best, BAKE_LOSS_LIDDED_PERCENT.value
    if asked.bake_percent is None and used != usual:
        yield note("crumb_at_usual_loss", usual=(usual, None), used=(used, None))


# ---- The working ---------------------------------------------------------------------------------


def show_water(show: Working, correction: Correction) -> None:
    """The optimum water at the share planned, and the water used where it is another."""
    shown, before, after = show.format, correction.before, correction.after
    optimum = correction.optimum.best
    show.step(
        "Optimum hydration",
        f"from {shown(before.hydration_percent)} at {shown(before.scalded_share_percent)} % scalded "
        f"to {shown(after.scalded_share_percent)} %",
        optimum,
        unit="% of flour",
    )
    if correction.hydration_percent != optimum:
        show.step("Hydration used", "as asked for", correction.hydration_percent, unit="% of flour")


def show_dough(show: Working, pan: FilledPan, pans: int, total_g: float) -> None:
    """The dough for one pan, and for all of them.

    Parameters
        show : Working  the steps are added to
        pan : FilledPan
        pans : int  how many
        total_g : float  [g] dough for all of them
    """
    shown, bread, dough_g = show.format, pan.bread, pan.filled.dough_mass_g.best
    loaf = show.metric(pan.filled.loaf_volume_cm3, "volume")
    one_pan = (
        f"{loaf} ÷ ({shown(bread.specific_volume.best)} cm³/g × "
        f"(1 − {shown(bread.bake_loss_percent.best)} ÷ 100))"
    )
    show.step("Dough for one pan", show.ending(one_pan, dough_g, "mass"), dough_g, "mass")
    show.step("Dough for all pans", f"{pans} × {shown(dough_g, 'mass')}", total_g, "mass")


def show_mixing(
    show: Working, total_g: float, handling_percent: float, scaling: Scaling, weighed: WeighOut
) -> None:
    """The dough to mix, so that handling leaves the total, and how much of it is weighed for the scald.

    Parameters
        show : Working  the steps are added to
        total_g : float  [g] dough for all pans
        handling_percent : float  [% of what is mixed]
        scaling : Scaling
        weighed : WeighOut
    """
    shown = show.format
    left = ", nothing lost in handling"
    if handling_percent:
        left = f" ÷ (1 − {shown(handling_percent)} ÷ 100)"
    show.step("Dough to mix", f"{shown(total_g, 'mass')}{left}", scaling.dough_mass_g, "mass")
    scald = [each.mass_g for each in weighed.lines if each.line.part == SCALD]
    if scald:
        masses = " + ".join(shown(mass, "mass") for mass in scald)
        show.step("Of it to weigh for the scald", masses, sum(scald), "mass")
