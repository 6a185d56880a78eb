"""The texts of the notes that the craft itself makes, by their code."""

from collections.abc import Mapping

TEXTS: Mapping[str, str] = {
    # bread, bake_loss
    "fill_of_pan_ratio": (
        "At a fill of {fill:g} % this pan ratio means only {value:.3g} cm³ per g of bread. If the loaf rose "
        "above the rim, state the fill_percent at which you found it."
    ),
    "prior": (
        "Nothing is known of your own bread yet, so the band is wide. Bake one loaf at any share, measure "
        "its volume and its mass, and use it as the reference loaf."
    ),
    "unusual_specific_volume": (
        "A specific volume of {value:.3g} cm³/g is unusual for a pan loaf ({low:g} to {high:g}): check the "
        "measurements."
    ),
    "share_beyond_range": (
        "The scalded share of the {bread} is above {limit:g} %, beyond any figure for its effect on volume: "
        "this is extrapolated."
    ),
    "bake_loss_shared": "The bake loss stated for the {bread}, {loss:g} %, is used for both loaves.",
    "bake_loss_default": (
        "No bake loss was given: {loss:g} % of the dough is assumed, usual for {pan} ({low:g} to {high:g} "
        "%). Weigh a loaf before and after baking to know your own."
    ),
    "cooling_loss_default": (
        "While it cools the loaf is assumed to lose {loss:g} % of the dough more ({low:g} to {high:g} %). "
        "Weigh it at the oven's mouth and again when it has cooled to know your own."
    ),
    "bake_loss_of_trials": "The bake loss is that of your trials, {loss:g} % of the dough.",
    # pan
    "base_above_top": (
        "The base is larger than the top, which is rare in a pan: check that the two are not swapped."
    ),
    "calculated_pan_volume": (
        "The pan's volume is calculated from its dimensions. Filling it with water and weighing is better: "
        "one tin so measured held 2 % more."
    ),
    # temperature
    "hot_water": (
        "Water this hot harms yeast that meets it: mix it with the flour first and add the yeast after, or "
        "warm the flour or the scald and use cooler water."
    ),
    "ice_needed": (
        "No water is this cold: part of it must be ice. State the temperature of your tap water to get the "
        "mass of ice."
    ),
    # hydration, water_rule
    "ratio_assumed": "The formula has no scald; it is made 1:{ratio:g}, with boiling water.",
    "base_at_optimum": (
        "The formula's own water is assumed to be right for its share; the optimum moves from there."
    ),
    "under_watered": (
        "With this much less water than the optimum, expect a dense loaf that is stale within about a day."
    ),
    "dry_scald": (
        "Above a share of {share:g} % at a hydration of {hydration:g} % or less, staling speeds up instead "
        "of slowing."
    ),
    "evaporation_scaled": (
        "The scald is assumed to lose as much per gram of its flour as before; weigh it after cooking."
    ),
    "ratio_outside_range": (
        "A scald of 1:{ratio:.3g} is outside 1:{low:g} to 1:{high:g}; its water is calculated as at "
        "1:{end:g}."
    ),
    "share_extrapolated": (
        "Beyond a share of {limit:.3g} % at 1:{ratio:.3g} the water is extrapolated; bake a trial first."
    ),
    "own_water_slope": "The slope of water by share comes from the calibration, and so from your own trials.",
    "own_water_table": "The water is read from your table, unchecked; between its points it runs straight.",
    "table_other_ratio": (
        "The scald's liquid ratio changes too; the table is assumed to hold at both ratios."
    ),
    # scald
    "scald_liquids_mixed": (
        "The scald's own liquids do not stretch to this share in their old proportion; it now uses {liquids}."
    ),
    "scald_flour_mix": (
        "The formula had no scalded flour, so the scald takes all its flours in their overall proportion."
    ),
    "lines_added": "Lines added to the formula: {lines}.",
    "lines_dropped": "Nothing is left of these lines, so they are gone: {lines}.",
    "scald_lines_to_dough": "There is no scald any more; what else it held goes into the dough.",
    # scaling
    "bake_loss_not_used": (
        "The bake loss is not used: this target is not a mass of baked bread (baked_pieces is)."
    ),
    "handling_loss_not_used": (
        "The handling loss does not change what is mixed here: this target fixes the mixing, not what is "
        "left of it."
    ),
}

# Code -> name -> value -> how the text says it.
WORDS: Mapping[str, Mapping[str, Mapping[str, str]]] = {
    "share_beyond_range": {"bread": {"known": "known loaf", "target": "target bread"}},
    "bake_loss_shared": {"bread": {"known": "reference loaf", "target": "target bread"}},
    "bake_loss_default": {"pan": {"open": "an open pan", "lidded": "a lidded pan"}},
}
