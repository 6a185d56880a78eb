"""Notes on what a plan was not told, or does not use."""

from scaldloaf.operations.working.notes import Note

TEXTS = {
    "no_stages": (
        "No stages were given, so the sugar is not reckoned: give their minutes and dough temperatures "
        "from mixing to the oven."
    ),
    "no_temperatures": (
        "No temperatures were given, so the water temperature is not reckoned: give the dough "
        "temperature wanted, the flour's, the scald's, and the rise in the mixer."
    ),
    "no_timetable": (
        "No timetable was asked for: give the work before and after the stages, and when the bread must "
        "be out."
    ),
    "no_scald_method": (
        "How the scald is made was not said, so whether it gelatinises is not reckoned: give scald.method."
    ),
    "no_scald": (
        "The bread has no scald at this share, so what was given for it (scald, scald_temperature) is "
        "not used."
    ),
    "bread_beside_calibration": (
        "A known bread and a calibration were both given: the dough mass is reckoned from the bread, the "
        "water from the calibration."
    ),
    "calibration_of_bread_only": (
        "The calibration was given as the bread, so only the dough mass is reckoned from it; give it as "
        "calibration for the water too."
    ),
    "proof_longer": (
        "With more of the flour scalded the proof takes longer. By how much is not published; your own "
        "trials can tell, when they note its minutes. The stages are taken as given."
    ),
    "crumb_at_usual_loss": (
        "The change of crumb moisture is reckoned with {usual} % bake loss, all else with {used} %; give "
        "losses.bake_percent to have one for all."
    ),
}


def note(code: str, **values: tuple[float, None]) -> Note:
    """A note of loaf-plan."""
    return Note(code, TEXTS[code], values)
