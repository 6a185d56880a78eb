"""What calls for a caution, decided here for every operation, and the order of the work they belong to."""

from collections.abc import Iterable

from scaldloaf.dough.formula import SCALD, Formula
from scaldloaf.reference import coefficient

# In the order of the steps they belong to: scald, mixing to proof, pan and oven, loaf.
CAUTION_ORDER = (
    "hot_scald",
    "scald_cooling",
    "raw_flour",
    "allergens",
    "allergen_contact",
    "perishable_dough",
    "overfilled_pan",
    "core_temperature",
    "acrylamide",
    "hot_pan",
    "rope_spoilage",
    "refrigerator_stales",
    "net_weight",
    "bread_identity",
    "no_nutrition_claim",
    "no_shelf_life_claim",
    "honey_infants",
    "tasting_allergens",
    "tasting_consent",
    "tasting_cooked_bread",
)
OF_MIXING = ("raw_flour",)
OF_SCALD = ("hot_scald", "scald_cooling")
OF_PAN = ("overfilled_pan", "hot_pan", "net_weight")
OF_BAKING = ("core_temperature", "acrylamide", "rope_spoilage")
OF_KEEPING = ("no_shelf_life_claim", "refrigerator_stales", "rope_spoilage")
OF_BAKED_PIECES = ("net_weight",)
OF_FIGURES = ("no_nutrition_claim",)
OF_TASTING = ("tasting_allergens", "tasting_consent", "tasting_cooked_bread")

MOST_LOAF_MOISTURE_PERCENT = 100 - coefficient("bread_solids_least_percent").value
PERISHABLE = {"milk", "egg"}


def of_formula(formula: Formula) -> list[str]:
    """Any formula: raw flour and allergens, and honey or a scald where it has them."""
    codes = [*OF_MIXING, "allergens"]
    if any([line.ingredient.name == "honey" and line.mass_g for line in formula.lines]):
        codes.append("honey_infants")
    if SCALD in [line.part for line in formula.lines]:
        codes += OF_SCALD
    return codes


def of_formulas(formulas: Iterable[Formula]) -> list[str]:
    """Formulas made on one day: those of each, and what one leaves for the next."""
    formulas = list(formulas)
    codes = [code for formula in formulas for code in of_formula(formula)]
    return [*codes, "allergen_contact"] if len(formulas) > 1 else codes


def of_warm_dough(formula: Formula) -> list[str]:
    """Dough that ferments warm: what perishes in it."""
    perishable = any(PERISHABLE & set(line.ingredient.allergens) for line in formula.lines)
    return ["perishable_dough"] if perishable else []


def of_loaf(moisture_percent: float) -> list[str]:
    """A loaf moister than what may be called bread."""
    return ["bread_identity"] if moisture_percent > MOST_LOAF_MOISTURE_PERCENT else []


def in_order(codes: Iterable[str]) -> list[str]:
    """The cautions in the order of the work, each once."""
    return sorted(set(codes), key=CAUTION_ORDER.index)
