"""The heaviest request of each call: longest lists, names unlike any other, thousands of faults.

Tests limit the work that each may cause, and a benchmark times them.
"""

import json
import random

from mangling import LIMIT
from scaldloaf.dough.tasting.result import MOST_TASTERS
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.operations.schemas.common import MAX_LINES
from scaldloaf.operations.schemas.keeping import MAX_LOAVES, MAX_SCORES
from scaldloaf.operations.schemas.order_demand import MOST_FORMULAS, MOST_ORDERS
from scaldloaf.operations.schemas.share_limit import MOST_LINES as MOST_LIMITED_LINES
from scaldloaf.operations.schemas.sugar_budget import MAX_STAGES
from scaldloaf.operations.schemas.trial_fit import MOST_TRIALS
from scaldloaf.operations.schemas.variants import MOST_LINES as MOST_VARIANT_LINES
from scaldloaf.operations.schemas.variants import MOST_VARIANTS
from scaldloaf.reference import INGREDIENTS

# The work (lines, calls and C calls, see tests/work.py) that a request of 64 kB may cause: a fifth more than
# the heaviest known one. A unit takes 20 to 150 ns, the least in keeping and in comparing names.
MOST_WORK = {
    **dict.fromkeys(BY_NAME, 300_000),
    "keeping": 2_700_000,
    "order-demand": 1_600_000,
    "trial-fit": 2_000_000,
    "variants": 1_600_000,  # twelve plans
    "share-limit": 2_600_000,  # a search of every limit, and one for each change that may loosen one
    "sugar-budget": 700_000,  # sucrose to find: nine roots, each of some courses through the stages
    "recipe-import": 2_400_000,  # eight languages, and what the headings and the method say of the scald
}
SCALE = {"resolution": 1, "fine_resolution": 0.1, "fine_below": 50}
ALIKE = "strong white bread flour skimmed milk powder"
PAN = {"kind": "box", "length": 20, "width": 10, "depth": 10}


def lines_of(count: int, **more) -> list[dict]:
    return [{"ingredient": "bread_flour", "mass": 1, **more}] * count


def own_lines(count: int) -> list[dict]:
    """Flour, water and own ingredients, each with its own name and allergens."""
    return [{"ingredient": "bread_flour", "mass": 500}, {"ingredient": "water", "mass": 300}] + [
        {
            "ingredient": f"{index:03} {'é' * 30}",
            "mass": 1,
            "composition": {
                "water_percent": 10,
                "sucrose_percent": 10,
                "fat_percent": 10,
                "yeast": "instant",
                "allergens": [f"a{index}{place}" for place in range(3)],
            },
        }
        for index in range(count - 2)
    ]


def orders(formulas: int, lines: int, orders: int, target: dict, **more) -> dict:
    return {
        "formulas": [
            {"id": str(index), "formula": {"lines": lines_of(lines)}, **more} for index in range(formulas)
        ],
        "orders": [{"formula": str(index % formulas), "target": target} for index in range(orders)],
        "scale": SCALE,
    }


def priced(lines: list[dict]) -> list[dict]:
    names = dict.fromkeys(line["ingredient"] for line in lines)
    return [{"ingredient": name, "price": 1.2345678, "per": 987.6} for name in names]


def unknown_formula(count: int) -> dict:
    """Orders of a formula that each of the formulas is a little like."""
    return {
        "formulas": [
            {
                "id": f"{index:02} {ALIKE} of the harbour, baked by night"[:80],
                "formula": {"lines": lines_of(1)},
            }
            for index in range(count)
        ],
        "orders": [{"formula": (ALIKE[::-1] * 2)[:80], "target": {"kind": "dough_mass", "mass": 5}}] * count,
    }


def recipes(count: int, ingredients: int) -> dict:
    return {
        "recipe": {
            "@graph": [{"@type": "Recipe", "name": "x", "recipeIngredient": ["1 g flour"] * ingredients}]
            * count
        }
    }


def loaves(
    count: int,
    scores: int,
    noise: float,
    span: float = 9,
    time_constant: float = 4,
    exponent: float = 1,
    apart: float = 0,
) -> dict:
    """Loaves scored over ``span`` days, each ``apart`` days later than the one before: on days of its own."""
    chance = random.Random(5)
    days = [[index * apart + day * span / scores for day in range(scores)] for index in range(count)]
    return {
        "direction": "rises",
        "limit": 6,
        "loaves": [
            {
                "name": str(index),
                "scores": [
                    {
                        "days": day,
                        "score": 3
                        + 6 * (1 - 2.7 ** -((day / time_constant) ** exponent))
                        + chance.gauss(0, noise),
                    }
                    for day in each
                ],
            }
            for index, each in enumerate(days)
        ],
    }


def at_two_shares(body: dict) -> dict:
    """The same bakes at two shares, which no slope explains: refused, and fitted again for a nearest."""
    for index, trial in enumerate(body["trials"]):
        trial["scalded_share_percent"] = 35 if index % 3 == 2 else 20
    return body


def measured(body: dict) -> dict:
    """The same scores as firmness of loaves of different volumes."""
    for index, loaf in enumerate(body["loaves"]):
        loaf["specific_volume"] = 4.4 - 0.2 * index
    return {**body, "direction": "rises", "scores_are": "measured"}


def trials(count: int, seed: int, scatter: float, bad: float, camps: bool = False) -> dict:
    """Bakes of which a share went badly wrong, so that many subsets may be unsound; or in two camps."""
    chance = random.Random(seed)
    found = []
    for index in range(count):
        share, factor = chance.uniform(0, 40), 1 + chance.gauss(0, scatter)
        if chance.random() < bad:
            factor *= 1 + chance.choice((-1, 1)) * chance.uniform(0.15, 0.5)
        if camps and index % 2:
            factor *= 1.3
        found.append(
            {
                "scalded_share_percent": share,
                "dough_mass": 500,
                "baked_mass": 450,
                "loaf_volume": 1750 * min(max(factor, 0.45), 1.9),
                "proof_minutes": chance.uniform(30, 90),
                "hydration_percent": 65 + 0.3 * share + chance.uniform(-3, 3),
            }
        )
    return {"trials": found, "want": {"pan": PAN, "scalded_share_percent": 30}}


def misspelt(count: int, characters: int = 40) -> list[str]:
    """Lines of names that are each like several known ones, and like no other line's."""
    chance = random.Random(3)
    words = [
        "strongg",
        "whit",
        "braed",
        "flouur",
        "skimed",
        "mlik",
        "powdr",
        "instnt",
        "dryed",
        "yeest",
        "unsaltd",
        "buter",
        "vital",
        "glutn",
        "dark",
        "brwn",
        "suger",
    ]
    return [f"1 1/2 cups (180 g) {' '.join(chance.sample(words, 8))[:characters]}" for _ in range(count)]


def _plan() -> dict:
    body = json.loads(
        json.dumps(
            max((example.body for example in BY_NAME["loaf-plan"].examples), key=lambda each: len(str(each)))
        )
    )
    lines = body["formula"]["lines"]
    lines += [{"ingredient": "butter", "mass": 0.1}] * (MAX_LINES - len(lines))
    body["stages"] = [{"minutes": 180, "temperature": 28 if index % 2 else 5} for index in range(MAX_STAGES)]
    return body


def _variants(share: float) -> dict:
    """As many as there may be, each of a long formula through many stages; above 40 % each is refused."""
    plan = _plan()
    kept = ("formula", "pan", "pans", "bread", "losses", "scale", "stages", "temperatures")
    scald = {"method": plan["scald"]["method"], "holding": {"hours": 12, "temperature": 4}}
    variants = [
        {"name": str(index), "scalded_share_percent": share + index / 9, "scald_liquid_ratio": 1 + index / 99}
        for index in range(MOST_VARIANTS)
    ]
    del plan["formula"]["lines"][MOST_VARIANT_LINES // MOST_VARIANTS :]
    return {**{name: plan[name] for name in kept}, "scald": scald, "variants": variants}


def _share_limit(**more) -> dict:
    """A long plan with all that may limit its share."""
    plan = _plan()
    del plan["formula"]["lines"][MOST_LIMITED_LINES:]
    plan["stages"] = [{**stage, "minutes": 9} for stage in plan["stages"]]
    return {
        **plan,
        "limits": {"dough_mass": 470, "proof_minutes": 90, "gluten_percent": 2},
        "proof": {
            "scalded_share_percent": 20,
            "minutes": {"low": 60, "best": 66, "high": 74},
            "minutes_per_share_point": {"low": 0.4, "best": 0.9, "high": 1.4},
        },
        **more,
    }


def _hydration() -> dict:
    return {
        "formula": {
            "lines": [
                {"ingredient": "bread_flour", "mass": 100, "part": "scald"},
                {"ingredient": "water", "mass": 100, "part": "scald"},
                *lines_of(98),
                *[{"ingredient": "water", "mass": 1}] * 100,
            ]
        },
        "scalded_share_percent": 60,
        "hold": "dough_mass",
        "water_curve": [
            {"scalded_share_percent": at, "hydration_percent": 60 + at / 10} for at in range(100)
        ],
    }


STAGES = [
    {"minutes": 4320 / MAX_STAGES, "temperature": 5 + index % 2 * 30, "name": "x" * 50}
    for index in range(MAX_STAGES)
]
WORDS = "1 1/2 cups (180 g) strongg whit braed flouur, siftted and mor"

REQUESTS: dict[str, tuple[str, dict]] = {
    "lines": ("breakdown", {"formula": {"lines": lines_of(MAX_LINES)}}),
    "own_lines": ("breakdown", {"formula": {"lines": own_lines(MAX_LINES)}}),
    "allergens": (
        "breakdown",
        {
            "formula": {
                "lines": lines_of(1)
                + [
                    {
                        "ingredient": str(index),
                        "mass": 1,
                        "composition": {"allergens": [f"{index}.{place}" for place in range(20)]},
                    }
                    for index in range(MAX_LINES - 1)
                ]
            }
        },
    ),
    "unknown_name": (
        "breakdown",
        {"formula": {"lines": [*lines_of(MAX_LINES - 1), {"ingredient": ALIKE[:20], "mass": 1}]}},
    ),
    "unknown_fields": (
        "breakdown",
        {**{f"k{index}formula": 1 for index in range(3500)}, "formula": TIN_LOAF},
    ),
    "unknown_long_fields": ("breakdown", {f"{index:04}formulaunits" * 6: 1 for index in range(600)}),
    "numbers_for_lines": ("breakdown", {"formula": {"lines": [0] * 32_000}}),
    "objects_for_lines": ("breakdown", {"formula": {"lines": [{}] * 21_000}}),
    "wrong_lines": (
        "breakdown",
        {"formula": {"lines": [{"ingredient": 1, "mass": "1", "part": ALIKE}] * 700}},
    ),
    "wrong_compositions": (
        "breakdown",
        {
            "formula": {
                "lines": [
                    {
                        "ingredient": "w",
                        "mass": 1,
                        "composition": {"yeast": ALIKE, "wter_percnt": 1, "sucros": 2},
                    }
                ]
                * MAX_LINES
            }
        },
    ),
    "scaling": (
        "scaling",
        {
            "formula": {"lines": own_lines(MAX_LINES)},
            "scale": SCALE,
            "target": {"kind": "pieces", "mass": 1234.5, "count": 999},
        },
    ),
    "one_formula_many_orders": (
        "order-demand",
        orders(1, MAX_LINES, 930, {"kind": "dough_mass", "mass": 1000}),
    ),
    "many_formulas_many_orders": (
        "order-demand",
        orders(
            MOST_FORMULAS, 9, 340, {"kind": "baked_pieces", "count": 3, "mass": 9}, losses={"bake_percent": 9}
        ),
    ),
    "many_formulas": (
        "order-demand",
        orders(MOST_FORMULAS, 14, 100, {"kind": "dough_mass", "mass": 1000}, dusting_percent=1),
    ),
    "unknown_formula": ("order-demand", unknown_formula(MOST_FORMULAS)),
    "wrong_orders": (
        "order-demand",
        {
            "formulas": [{"id": "a", "formula": {"lines": lines_of(1)}}],
            "orders": [{"formula": "b", "target": {"kind": "piecs", "mas": 1}}] * 1000,
        },
    ),
    "hydration": ("hydration-correction", _hydration()),
    "three_days": (
        "sugar-budget",
        {
            "formula": {"lines": TIN_LOAF["lines"] + [{"ingredient": "sucrose", "mass": 0.1}] * 180},
            "stages": STAGES,
        },
    ),
    "sugar_to_find": (
        "sugar-budget",
        {"formula": TIN_LOAF, "stages": STAGES, "solve": {"kind": "sweetness", "sweetness_percent": 12}},
    ),
    "sugar_to_match": (
        "sugar-budget",
        {
            "formula": {"lines": TIN_LOAF["lines"] + [{"ingredient": "sucrose", "mass": 0.1}] * 180},
            "stages": STAGES,
            "solve": {
                "kind": "same_sweetness_as",
                "formula": {"lines": TIN_LOAF["lines"] + [{"ingredient": "sucrose", "mass": 1}] * 150},
            },
        },
    ),
    "hungry_yeast": (
        "sugar-budget",
        {
            "formula": {"lines": TIN_LOAF["lines"] + [{"ingredient": "instant_yeast", "mass": 1}] * 180},
            "stages": STAGES,
        },
    ),
    "plan": ("loaf-plan", _plan()),
    "recipe_of_plan": (
        "recipe-export",
        {"plan": _plan(), "format": "json_ld", "language": "ja", "measures": "both"},
    ),
    "recipe_of_own_lines": (
        "recipe-export",
        {"formula": {"lines": own_lines(MAX_LINES)}, "format": "markdown", "measures": "both"},
    ),
    "recipe_of_spoons": (
        "recipe-export",
        {
            "formula": {"lines": lines_of(MAX_LINES, mass=5.3)},
            "format": "csv",
            "measures": "both",
            "stages": STAGES,
        },
    ),
    "variants": ("variants", _variants(35)),
    "variants_refused": ("variants", _variants(60)),
    "share_limit": ("share-limit", _share_limit()),
    "share_limit_below": ("share-limit", _share_limit(scalded_share_percent=60)),
    "share_limit_dry": ("share-limit", _share_limit(hydration_percent=70, scald_liquid_ratio=1.8)),
    "share_limit_by_table": (
        "share-limit",
        _share_limit(
            water_curve=[
                {"scalded_share_percent": at * 0.6, "hydration_percent": 65 + at / 20} for at in range(100)
            ]
        ),
    ),
    "share_limit_too_cold": (
        "share-limit",
        _share_limit(
            temperatures={
                "target": 40,
                "flour_temperature": 2,
                "scald_temperature": 5,
                "temperature_rise": 0,
                "adjust_with": ["water"],
            }
        ),
    ),
    "share_limit_too_dry": ("share-limit", _share_limit(hydration_percent=40)),
    "share_limit_refused": (
        "share-limit",
        _share_limit(limits={"dough_mass": 300, "proof_minutes": 90, "gluten_percent": 2}),
    ),
    **{
        f"trials_{seed}": ("trial-fit", trials(MOST_TRIALS, seed, scatter, bad))
        for seed, (scatter, bad) in enumerate(
            ((0.02, 0.1), (0.05, 0.05), (0.05, 0.3), (0.1, 0.1), (0.1, 0.5), (0.15, 0.2))
        )
    },
    **{
        f"trials_in_camps_{seed}": ("trial-fit", trials(MOST_TRIALS, seed, scatter, 0.66, camps=True))
        for seed, scatter in enumerate((0.01, 0.03, 0.05, 0.1))
    },
    **{
        f"trials_at_two_shares_{seed}": (
            "trial-fit",
            at_two_shares(trials(MOST_TRIALS, seed, 0.2, 0.9, camps=True)),
        )
        for seed in (58, 71)
    },
    **{
        f"keeping_{scores}_{noise:g}": ("keeping", loaves(MAX_LOAVES, scores, noise))
        for scores in (3, 6, 12, MAX_SCORES)
        for noise in (0, 0.01, 0.3)
    },
    **{
        f"keeping_{name}": (
            "keeping",
            loaves(MAX_LOAVES, MAX_SCORES, noise, span, time_constant, exponent, apart),
        )
        for name, (noise, span, time_constant, exponent, apart) in {
            "at_once": (0, 2, 1.2, 0.55, 0.03),
            "bent": (0.2, 270, 80, 3.5, 1),
            "bent_alike": (0.2, 270, 80, 3.5, 0),
            "sharp": (0.2, 270, 80, 6, 1),
            "late": (1e-6, 330, 0.2, 0.7, 1),
        }.items()
    },
    **{
        f"keeping_measured_{name}": ("keeping", measured(loaves(MAX_LOAVES, MAX_SCORES, *course)))
        for name, course in {
            "bent": (0.2, 270, 80, 3.5, 1),
            "at_once": (0, 2, 1.2, 0.55, 0.03),
            "long": (0.1, 360, 100, 3, 0.5),
        }.items()
    },
    **{
        f"tasting_plan_{name}": ("tasting-plan", {"samples": ["a", "b"], "draw": 5, **more})
        for name, more in {
            "largest": {"test": "duo_trio", "tasters": 450, "discriminators_percent": 1},
            "searched": {"test": "paired", "discriminators_percent": 14, "power_percent": 80},
            "refused": {"test": "paired", "discriminators_percent": 1, "power_percent": 99.9},
            "ranked": {
                "test": "ranking",
                "samples": [f"{'é' * 57}{at:03}" for at in range(12)],
                "tasters": 75,
            },
        }.items()
    },
    "tasting_counted": ("tasting-result", {"test": "triangle", "tasters": MOST_TASTERS, "right": 350}),
    "tasting_ranked": (
        "tasting-result",
        {"test": "ranking", "rankings": [list("abcdefghijkl")] * MOST_TASTERS},
    ),
    "tasting_names": (
        "tasting-result",
        {"test": "ranking", "rankings": [[f"{'é' * 50}{at:03}" for at in range(12)]] * 50},
    ),
    "prices": (
        "scaling",
        {
            "formula": {"lines": own_lines(MAX_LINES)},
            "target": {"kind": "pieces", "count": 7, "mass": 450},
            "prices": priced(own_lines(MAX_LINES - 5)),
            "price_decimals": 6,
        },
    ),
    "prices_of_a_day": (
        "order-demand",
        {
            **orders(60, 9, 400, {"kind": "pieces", "count": 3, "mass": 9}),
            "prices": priced([{"ingredient": name} for name in INGREDIENTS]),
        },
    ),
    "import_table": (
        "recipe-import",
        {"text": "part,ingredient,amount\n" + "\n".join([f"dough,strong flour,{WORDS}"] * 199)},
    ),
    "import_empty_table": ("recipe-import", {"text": "ingredient,amount\n" + "x\n" * 20_000}),
    "import_braces": ("recipe-import", {"text": "@flour{1%g} " * 5_000}),
    "import_open_braces": ("recipe-import", {"text": "@flour{1 2 3 4 5 6 7 8 9" * 2_500}),
    "import_run_on": ("recipe-import", {"text": "\n".join(["5 g salt 9 g sugar " * 90] * 30)}),
    "import_label": ("recipe-import", {"text": "\n".join(["Calories 250, sugar 5 g, " * 15] * 150)}),
    "import_near_misses": ("recipe-import", {"text": "\n".join([WORDS] * 200)}),
    "import_many_amounts": (
        "recipe-import",
        {
            "lines": [
                "1 cup パック or ½ 829 oder 卵白 160 / ) 819 インスタントドライイースト 全粒粉 "
                "° 582 804 1/2 367 : 428 509 モルト 545"
            ]
            * 200
        },
    ),
    "import_misspelt": ("recipe-import", {"lines": misspelt(200)}),
    "import_phrases": (
        "recipe-import",
        {
            "lines": [
                "askimmed milk [ teaspoon ; 1½ some dozen boiled potato ; 582 finely maisstärke as needed "
                "; weak flour optional haluf and half ; juice of lemon モルトシロップ 脱脂粉乳 リットル "
                "extra virgiin olive oil roughly 0"
            ]
            * 200
        },
    ),
    "import_headed": (
        "recipe-import",
        {
            "lines": [
                f"water roux: {line}, 582 玉子 ; soft white sugar 1 1/2 ; dry buttermilk ½"
                for line in misspelt(200, 30)
            ]
        },
    ),
    "import_long_lines": ("recipe-import", {"lines": ["1 cup " + "flour or milk " * 20] * 200}),
    "import_nested": ("recipe-import", recipes(26, 100)),
    "import_nothings": ("recipe-import", {"recipe": {"@type": "Recipe", "recipeIngredient": [{}] * 20_000}}),
    "import_steps": (
        "recipe-import",
        {
            "recipe": {
                "@type": "Recipe",
                "name": "x",
                "recipeIngredient": ["20 g bread flour", "100 g water", "300 g bread flour"] * 60,
                "recipeInstructions": ["Whisk 20 g flour, 100 g water and 7 g honey until thick. " * 10] * 90,
            }
        },
    ),
    "import_method": (
        "recipe-import",
        {
            "lines": [
                "20 g flour",
                "Method",
                *["Cook 20 g flour with 100 g water to a paste of 65 degrees."] * 190,
            ],
        },
    ),
    "import_sections": (
        "recipe-import",
        {
            "lines": [f"Harbour loaf {chr(97 + at % 26)}:" if at % 2 else "20 g flour" for at in range(200)],
            "sections": [{"heading": "Harbour loaf b", "part": "dough"}] * 50,
        },
    ),
    "import_said_lines": (
        "recipe-import",
        {
            "lines": ["6 g dry yeast / 18 g fresh yeast", "300 g bread flour"] * 100,
            "scald_lines": list(range(1, 68)),
            "dough_lines": list(range(68, 135)),
            "aside_lines": list(range(135, 201)),
        },
    ),
    "import_line_in_two_fields": (
        "recipe-import",
        {
            "lines": misspelt(200),
            "dough_lines": list(range(1, 200)),
            "aside_lines": [200] * 199 + [199],
        },
    ),
    "import_runs": ("recipe-import", {"lines": ["高筋面粉250克、牛奶120毫升、糖各5克、" * 14] * 45}),
    "import_fillings": ("recipe-import", {"text": "高筋面粉250g、" + "抹茶奶油馅、抹茶粉5g、" * 1_900}),
    "import_fractions": ("recipe-import", {"lines": ["½" * 300] * 105}),
}


# Requests of order-demand, which may be longer: all orders different, or all wrong.
REQUESTS_OF_A_DAY = {
    "different_orders": {
        **orders(MOST_FORMULAS, 100, 0, {}, losses={"bake_percent": 9}, dusting_percent=1),
        "orders": [
            {
                "formula": str(index % MOST_FORMULAS),
                "target": {"kind": "baked_pieces", "count": 3, "mass": 100 + index},
            }
            for index in range(MOST_ORDERS)
        ],
    },
    "own_codes": {
        **orders(MOST_FORMULAS, 100, 0, {}),
        "formulas": [
            {"id": str(index), "formula": {"lines": lines_of(100, own={"lot": str(index)})}}
            for index in range(MOST_FORMULAS)
        ],
        "orders": [
            {
                "formula": str(index % MOST_FORMULAS),
                "target": {"kind": "dough_mass", "mass": 100 + index},
                "own": {"till": str(index)},
            }
            for index in range(MOST_ORDERS)
        ],
        "packs": [{"ingredient": "bread_flour", "pack_mass": 25000}],
    },
    "wrong_orders": {
        "formulas": [{"id": "a", "formula": {"lines": lines_of(1)}}],
        "orders": [{"formula": "b", "target": {"kind": "piecs", "mas": 1}}] * MOST_ORDERS,
    },
}
MOST_WORK_OF_A_DAY = 5_000_000


def body_of(request: dict, most: int = LIMIT) -> bytes:
    body = json.dumps(request, separators=(",", ":"), ensure_ascii=False).encode()
    assert len(body) <= most, f"a body of {len(body)} bytes says nothing of one of {most}"
    return body
