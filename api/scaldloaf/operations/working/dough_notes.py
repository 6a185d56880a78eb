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
        "No bake loss was given: {loss:.3g} % of the dough is assumed, usual for {pan} ({low:g} to {high:g} "
        "%). Weigh a loaf before and after baking to know your own."
    ),
    "lid_unsaid": "Say whether the pan has a lid: an open loaf loses more.",
    "volume_falls_with_share": (
        "With more scalded flour each gram of dough gives less volume, because scalding destroys "
        "gluten. Use more dough in the same pan."
    ),
    "gluten_beyond_lost": (
        "{gluten:.2g} % of the flour is vital gluten beyond what scalding destroys. The loaf may rise "
        "higher; the best value does not include this."
    ),
    "other_flour": (
        "{share:.3g} % of the flour is not white wheat flour. These figures are for white wheat, so the "
        "bands are wider; bake a loaf of your own and measure it."
    ),
    "white_wheat_unsaid": (
        "Counted as white wheat flour: {flours}. If it is another flour, say so (is_white_wheat: false), and "
        "the bands widen."
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
        "The pan's volume is calculated from its dimensions. Filling it with water and weighing is "
        "better: one tin measured in this way held 2 % more."
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
    "not_judged": (
        "Nothing says yet whether this water is right. Give the flour's absorption, a water table or a "
        "calibration."
    ),
    "base_off_absorption": (
        "The formula starts from {hydration:.3g} % water, but its flour's absorption suggests "
        "{low:.3g} to {high:.3g} %. The correction keeps that difference."
    ),
    "unusual_water": (
        "{hydration:.3g} % water is outside what pan bread of white flour has with such a scald, "
        "{low:.3g} to {high:.3g} %. Check the amounts."
    ),
    "under_watered": (
        "With this much less water than suits, the loaf loses about {loss:.2g} % of its volume: {words}. "
        "Bakers also report that such bread is stale within about a day."
    ),
    "sticky": (
        "{points:.2g} points more water than suits: the scald and the flour cannot bind it all, so the dough "
        "sticks and spreads. It costs about {loss:.2g} % of the volume. Leave some water out while you mix."
    ),
    "dry_scald": (
        "With more than {share:g} % of the flour scalded and less than {hydration:g} % water, staling {how} "
        "instead of slowing."
    ),
    "proof_and_mixing": (
        "With more scalded flour the proof takes longer, and the dough bears less mixing. By how much is not "
        "published: watch the dough."
    ),
    "gluten_makes_up": (
        "{mass} of vital gluten ({percent:.2g} % of the flour) would replace all the gluten lost to "
        "the larger share."
    ),
    "crumb_takes_little_water": (
        "Most of the added water leaves in the oven: {water:.2g} points more water make the crumb about "
        "{crumb:g} point moister."
    ),
    "evaporation_scaled": (
        "The scald is assumed to lose as much per gram of its flour as before; weigh it after cooking."
    ),
    "ratio_outside_range": (
        "A scald of 1:{ratio:.3g} is outside 1:{low:g} to 1:{high:g}, the scalds this rule is known for; its "
        "water is extrapolated."
    ),
    "ratio_moves_water": (
        "Another ratio of the scald moves the water by itself, here with the share by {low:.2g} to "
        "{high:.2g} points: start at the low end and add water while you mix."
    ),
    "own_slope_other_ratio": (
        "Your trials were baked with scalds of 1:{ratio:.3g}; at this ratio their slope is scaled as other "
        "bakers' is."
    ),
    "share_extrapolated": (
        "Beyond a share of {limit:.3g} % at 1:{ratio:.3g} the water is extrapolated; bake a trial first."
    ),
    "own_water_slope": "The slope of the water comes from the calibration, that is, from your own trials.",
    "own_water_table": "The water is read from your table, unchecked; between its points it runs straight.",
    "table_other_ratio": (
        "The scald's liquid ratio changes too; the table is assumed to hold at both ratios."
    ),
    # scald
    "scald_liquids_mixed": (
        "The scald's own liquids do not stretch to this share in their old proportion; it now uses {liquids}."
    ),
    "scald_flour_mix": ("The formula had no scalded flour, so each flour is scalded in proportion."),
    "lines_added": "Lines added to the formula: {lines}.",
    "lines_dropped": "Nothing is left of these lines, so they are gone: {lines}.",
    "scald_lines_to_dough": "There is no scald any more, so its other ingredients go into the dough.",
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
    "bake_loss_default": {
        "pan": {"open": "an open pan", "lidded": "a lidded pan", "unsaid": "a pan filled like this"}
    },
    "under_watered": {
        "words": {
            "hardly": "hardly seen",
            "a_little_denser": "a little denser",
            "denser_and_firmer": "denser and firmer",
            "dense": "dense",
        }
    },
    "dry_scald": {"how": {"speeds_up": "speeds up", "may_speed_up": "may already speed up"}},
}
