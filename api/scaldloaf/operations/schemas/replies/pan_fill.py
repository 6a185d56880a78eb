"""The reply of pan-fill: the dough that fills the pan."""

from scaldloaf.operations.schemas.fields import Integer, Percent, Volume
from scaldloaf.operations.schemas.objects import Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, FullFormula, Reply


class Fill(Open):
    """A pan filled."""

    pan_volume = Volume("Volume of the pan, level full.")
    loaf_volume = Volume("Volume of the target loaf.")
    specific_volume = Object(
        Estimate, "Specific volume of the target bread, cm³ per g of the loaf at the oven's mouth."
    )
    bake_loss_percent = Object(Estimate, "Bake loss used, percent of dough, weighed at the oven's mouth.")
    cooling_loss_percent = Object(
        Estimate,
        "What the loaf then loses while it cools, points of the dough; 0 if the bake loss includes it.",
    )
    dough_mass = Object(Estimate, "Dough for one pan. In `units.mass`.")
    oven_mass = Object(Estimate, "The loaf of one pan at the oven's mouth. In `units.mass`.")
    baked_mass = Object(Estimate, "The cooled loaf of one pan. In `units.mass`.")
    pan_ratio = Object(Estimate, "Pan volume over dough mass, cm³/g.")


class AgainstReferenceLoaf(Open):
    """The dough of one pan against the reference loaf's."""

    dough_mass = Object(Estimate, "More (or, below 0, less) dough. In `units.mass`.")
    percent = Object(Estimate, "The same, percent of the reference loaf's dough.")


class PanFillReply(Fill, Reply):
    """Dough for the pan."""

    pans = Integer("How many pans.")
    total_dough_mass = Object(Estimate, "Dough for all pans. In `units.mass`.")
    scalded_share_percent = Percent(
        "Scalded share of the answer; null if neither asked for nor known.", allow_none=True
    )
    formula = Object(FullFormula, required=False)
    against_reference_loaf = Object(AgainstReferenceLoaf, required=False)
