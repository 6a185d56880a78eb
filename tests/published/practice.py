"""Turns recipes that were read by hand into rows of practice.csv: what each comes to, by our own ingredients.

    PYTHONPATH=api python tests/published/practice.py

The recipes are those of the import's corpus (tests/importing/corpus, whose README has the format) and,
without their text, those of practice_recipes.json. A row holds facts only. What a recipe does not say is
empty: its water where a line with water has no mass, its yeast where the yeast has none. Left out, and
counted, are recipes without an address to find them by, without a mass for each flour, and formulas that are
no enriched wheat bread.
"""

import csv
import json
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from scaldloaf.dough.formula import DOUGH, SCALD, Breakdown, Formula, Line, break_down
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import INGREDIENTS

TABLE = Path(__file__).with_name("practice.csv")
MORE = Path(__file__).with_name("practice_recipes.json")
CORPUS = Path(__file__).parents[1] / "importing" / "corpus"
COLUMNS = (
    "id",
    "source",
    "title",
    "writer",
    "language",
    "region",
    "form",
    "flour_g",
    "white_wheat_percent",
    "scalded_share_percent",
    "scald_liquid_ratio",
    "scald_water_ratio",
    "water_percent",
    "fat_percent",
    "sugar_percent",
    "salt_percent",
    "instant_yeast_percent",
    "dough_g",
    "pan_volume_cm3",
    "pan_volume_is",
    "tins",
    "lidded",
    "first_proof_minutes",
    "final_proof_minutes",
)
WHITE_WHEAT = ("bread_flour", "plain_flour", "cake_flour")
LEAST_WHITE_PERCENT = 90.0
LEAST_WATER_PERCENT = 35.0  # less is a recipe that leaves its water to the baker
# What a name that is none of our ingredients brings to the dough, where that is next to nothing but taste.
DRY_AND_LITTLE = re.compile(
    "vanilla|cinnamon|matcha|baking|zest|peel|cardamom|pearl sugar|spice|tea|pepper|ginger|clove|dill|"
    "aniseed|garlic powder|improver|yeast food|flavouring|coconut|curry|sesame|nut|almond|chocolate|chip|"
    "dried|herb|colou?r|cranberr|raisin|scallion|custard powder|remark|tool|tin|paper|step|named again"
)
# Tins that recipes only name, cm3 level full: the trade's size of that name, from memory.
USUAL_TINS = (
    (r"ホームベーカリー|bread machine|HB", None),
    (r"1\.5\s*斤", 2550.0),
    (r"2\s*斤", 3400.0),
    (r"1\s*斤", 1700.0),
    (r"24\s*兩", 4000.0),
    (r"450\s*[gG克].*[吐土]司|12\s*兩", 2000.0),  # cqcmst.com/meishi-baike/114296.html: about 2000 ml
    (r"13\s*[\"″].*[Pp]ullman", 3409.0),
    (r"9\s*[\"”″]?\s*(x|×|by|-?inch x)\s*5", 1900.0),
)
# A loaf in a tin by its name; rolls, plaits and cakes in a tin of their own are not.
LOAF = re.compile(
    r"loaf|toast|sandwich|shoku ?pan|pullman|pain de mie|pan de mold|pan ?carr|pan bauletto|tin bread|"
    r"milk bread|white bread|hokkaido|wei(ß|ss)brot|milchbrot|pain de lait|pan de leche|lactal|"
    r"pan de caja|cassetta|"
    r"roux bread|tangzhong bread|potato bread|吐司|土司|食パン|牛奶面包|牛奶麵包|角食|山食|北海道面包",
    re.IGNORECASE,
)
LOAF_TIN = re.compile(
    r"loaf|kasten|plum|moule à cake|pullman|bread tin|toast|[吐土]司|斤|食パン", re.IGNORECASE
)
NO_LOAF = re.compile(
    r"roll|bun|brioche|zopf|schnecke|croissant|bagel|donut|doughnut|babka|knot|wreath|pizza|brötchen|scallion|"
    r"pineapple|cinnamon|challah|菠蘿|菠萝|餐包|葱|蔥|あんぱん|メロン|ロール|ベーグル",
    re.IGNORECASE,
)
PROOF = re.compile(
    r"rise|ris[ei]ng|proof|prove|发酵|發酵|発酵|gehen|stockgare|stückgare|gare|pous|lev|lievit|ferment|repos|"
    r"reposo|in der form|hour|ore?\b|室溫|室温|minut|\bh\b|\bmin\b",
    re.IGNORECASE,
)
REST = re.compile(
    r"rest\b|rest |松弛|鬆弛|ベンチ|ruhe|refrigerat|冷藏|cold|overnight|biga|starter|スターター",
    re.IGNORECASE,
)


class Unusable(Exception):
    """A recipe that no row is made of, and why in a few words."""


# Ingredients of ours that the survey does not count: taste only, or too rare.
NOT_COUNTED = frozenset(
    ("matcha", "cinnamon", "cardamom", "flavouring", "aniseed", "walnuts", "almonds", "hazelnuts", "liqueur")
)


def lines_of(recipe: dict) -> tuple[list[Line], set[str]]:
    """The lines that go into the dough, and which sums are not known: ``water``, ``yeast``, ``salt``,
    ``fat``, ``sugar``, ``dough``."""
    used = recipe.get("expect", {}).get("scald_used_share") or 1.0
    found, unknown = [], set[str]()
    for line in recipe["lines"]:
        if line["section"] not in (DOUGH, SCALD) or not line.get("ingredient"):
            continue
        name, grams = line["ingredient"], line.get("grams")
        row = None if name in NOT_COUNTED else INGREDIENTS.get(name)
        if row is None:
            if not DRY_AND_LITTLE.search(name):
                unknown |= {"water", "fat", "sugar", "dough"}
                if "flour" in name or name == "scald":
                    raise Unusable(f"a flour or scald that is not known ({name})")
            continue
        if grams is None:
            if row.is_flour:
                raise Unusable("a flour without a mass")
            unknown |= _brings(row)
            continue
        found.append(Line(row, grams * (used if line["section"] == SCALD else 1.0), line["section"]))
    return found, unknown


def _brings(row) -> set[str]:
    """Which sums an ingredient without a mass leaves open: those that it is a good part of."""
    sums = set()
    if row.yeast:
        return {"yeast"}
    if row.salt_percent > 50:
        return {"salt"}
    if row.water_percent > 10:
        sums |= {"water", "dough"}
    if row.fat_percent > 10:
        sums |= {"fat", "dough"}
    if row.sucrose_percent + row.glucose_percent + row.fructose_percent > 10:
        sums |= {"sugar", "dough"}
    return sums


def _pan(recipe: dict) -> dict:
    """The recipe's tin: its volume as the recipe states it, or as usual for its name."""
    pan = recipe.get("pan")
    if not pan:
        return {}
    found = {"tins": pan.get("tins") or 1, "lidded": {True: "yes", False: "no"}.get(pan.get("lidded"), "")}
    if pan.get("volume_cm3"):
        return {**found, "pan_volume_cm3": pan["volume_cm3"], "pan_volume_is": "stated"}
    for pattern, volume in USUAL_TINS:
        if re.search(pattern, pan.get("text") or ""):
            return found if volume is None else {**found, "pan_volume_cm3": volume, "pan_volume_is": "usual"}
    return found


def _proofs(recipe: dict) -> dict:
    """Minutes of the first and the final proof; rests, cold and starters are neither."""
    stages = [
        stage["hours"]
        for stage in recipe.get("stages", [])
        if stage.get("hours")
        and PROOF.search(stage["text"])
        and not REST.search(stage["text"])
        and 0.25 <= stage["hours"] <= 4
    ]
    found = {}
    if stages:
        found["first_proof_minutes"] = 60 * stages[0]
    if len(stages) > 1:
        found["final_proof_minutes"] = 60 * stages[-1]
    return found


def _form(recipe: dict) -> str:
    """``loaf`` where title or tin name one, else ``other``."""
    title, tin = recipe["title"], (recipe.get("pan") or {}).get("text") or ""
    named = LOAF.search(title) or LOAF_TIN.search(tin)
    return "loaf" if named and not NO_LOAF.search(title) else "other"


def row_of(recipe: dict) -> dict:
    """The row of one recipe. Raises Unusable."""
    if not recipe["source"].startswith("http"):
        raise Unusable("no address")
    lines, unknown = lines_of(recipe)
    flours = [line for line in lines if line.ingredient.is_flour]
    try:
        whole: Breakdown = break_down(Formula(tuple(lines)))
    except Refusal:
        raise Unusable("no flour") from None
    white = 100 * sum(line.mass_g for line in flours if line.ingredient.name in WHITE_WHEAT) / whole.flour_g
    if white < LEAST_WHITE_PERCENT:
        raise Unusable("not white wheat flour")
    if "yeast" not in unknown and not whole.instant_yeast_percent:
        raise Unusable("no yeast")
    if "fat" not in unknown and "sugar" not in unknown and whole.fat_percent + whole.sugar_percent < 2:
        raise Unusable("not enriched")
    if whole.hydration_percent < LEAST_WATER_PERCENT:
        unknown |= {"water", "dough"}
    scald = [line for line in lines if line.part == SCALD]
    scald_water = sum(
        line.mass_g * line.ingredient.water_percent / 100 for line in scald if not line.ingredient.is_flour
    )
    if scald and not (whole.scald_flour_g and scald_water):
        raise Unusable("a scald without flour or liquid")
    sums = {
        "water_percent": ("water", whole.hydration_percent),
        "fat_percent": ("fat", whole.fat_percent),
        "sugar_percent": ("sugar", whole.sugar_percent),
        "salt_percent": ("salt", whole.salt_percent),
        "instant_yeast_percent": ("yeast", whole.instant_yeast_percent),
        "dough_g": ("dough", whole.dough_mass_g),
    }
    row = {
        **{field: " ".join(str(recipe[field]).split()) for field in COLUMNS[:6]},
        "form": _form(recipe),
        "flour_g": whole.flour_g,
        "white_wheat_percent": white,
        "scalded_share_percent": whole.scalded_share_percent,
        **{field: value for field, (what, value) in sums.items() if what not in unknown},
        **_pan(recipe),
        **_proofs(recipe),
    }
    if scald:
        liquid = sum(line.mass_g for line in scald if not line.ingredient.is_flour)
        row |= {
            "scald_liquid_ratio": liquid / whole.scald_flour_g,
            "scald_water_ratio": scald_water / whole.scald_flour_g,
        }
    return {field: _written(row.get(field, "")) for field in COLUMNS}


def _written(value: object) -> str:
    return f"{value:.4g}" if isinstance(value, float) else str(value)


def recipes() -> Iterator[dict]:
    """Every recipe that was read by hand."""
    for path in sorted(CORPUS.glob("*/*.json")):
        recipe = json.loads(path.read_text("utf-8"))
        if recipe.get("survey", True):
            yield recipe
    yield from json.loads(MORE.read_text("utf-8"))


def rows_of_recipes() -> tuple[list[dict], Counter[str]]:
    """The rows in the order of their ids, and how many recipes are left out for what."""
    rows, left_out = {}, Counter[str]()
    for recipe in recipes():
        try:
            rows[recipe["id"]] = row_of(recipe)
        except Unusable as why:
            left_out[str(why)] += 1
    return [rows[name] for name in sorted(rows)], left_out


def main() -> None:
    rows, left_out = rows_of_recipes()
    with TABLE.open("w", encoding="utf-8", newline="") as table:
        writer = csv.DictWriter(table, COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    scalded = sum(float(row["scalded_share_percent"]) > 0 for row in rows)
    print(f"{len(rows)} recipes, {scalded} with a scald")
    for why, count in left_out.most_common():
        print(f"left out, {why}: {count}")


if __name__ == "__main__":
    main()
