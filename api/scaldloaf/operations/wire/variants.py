"""Variants on the wire: a row each, what they share, their differences, one weigh-out, and a table."""

from collections.abc import Sequence
from decimal import Decimal
from math import isclose

from scaldloaf.dough.costs import rounded
from scaldloaf.dough.flour import gluten_percent_of
from scaldloaf.dough.sucrose import sucrose_percent_of
from scaldloaf.dough.together import Shared
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.schemas.loaf_plan import LoafPlanRequest
from scaldloaf.operations.side_by_side import Found, Made
from scaldloaf.operations.tables import Fixed
from scaldloaf.operations.wire.formulas import ask_formula
from scaldloaf.operations.wire.scaling import write_total, write_weigh_out

Figure = float | Wire | None
SAME = 1e-9  # numerics: figures that differ by less are the same
_OF_WATER = (
    "hydration_percent",
    "optimum_hydration_percent",
    "assessment",
    "uncertain",
    "judged_by",
    "judged_against",
)
_SAME_FIGURES = (
    "scalded_share_percent",
    "scald_liquid_ratio",
    "hydration_percent",
    "sucrose_percent",
    "gluten_percent",
    "pan_volume",
    "dough_mass",
)


def write_figures(made: Made, parts: dict[str, Wire], context: Context) -> Wire:
    """The row of a variant. parts: the answers of its single calls."""
    corrected, filled, scaled = parts["hydration_correction"], parts["pan_fill"], parts["scaling"]
    fed, tempered = parts.get("sugar_budget"), parts.get("dough_temperature")
    heated = parts.get("scald_preparation")
    plan = made.plan
    flour_g = plan.scaled.masses.flour_g
    after = plan.corrected.correction.after
    return {
        "name": made.asked.name,
        "formula": scaled["formula"],
        "scalded_share_percent": after.scalded_share_percent,
        "scald_liquid_ratio": after.scald_liquid_ratio,
        "sucrose_percent": sucrose_percent_of(plan.scaled.scaling.formula, flour_g),
        "gluten_percent": gluten_percent_of(plan.scaled.scaling.formula, flour_g),
        **{field: corrected[field] for field in _OF_WATER},
        "pan_volume": filled["pan_volume"],
        "dough_mass": context.estimate(made.dough_g, "mass"),
        "mixed_dough_mass": scaled["dough_mass"],
        "filling_dough_mass": filled["dough_mass"],
        "fill_percent": context.estimate(made.fill_percent),
        "specific_volume": filled["specific_volume"],
        "pan_ratio": context.estimate(made.pan_ratio),
        **({} if fed is None else {"yeast_fed": fed["assessment"]}),
        "free_sugar_lasts_hours": fed and fed["free_sugar_lasts_hours"],
        "sugar_left_percent": fed and fed["residual"]["total"]["percent_of_bread"],
        "sweetness_percent": fed and fed["sweetness_percent"],
        "scald_core_temperature": heated and heated["core_temperature"],
        "scald_swollen_percent": heated and heated["swollen_percent"],
        **({} if heated is None else {"scald_starch": heated["gelatinisation"]["assessment"]}),
        "water_temperature": tempered and tempered["water_temperature"],
        "proof_minutes": made.proof_minutes and context.estimate(made.proof_minutes),
        "weigh_out": scaled["weigh_out"],
        "weigh_out_total": scaled["weigh_out_total"],
        **_write_cost(made, scaled),
    }


def _write_cost(made: Made, scaled: Wire) -> Wire:
    """What it costs, and what of it is one pan's; nothing without prices."""
    cost = made.plan.scaled.cost
    if cost is None:
        return {}
    per_pan = rounded(cost.exact / made.asked.plan.filling.pans, cost.decimals)
    return {"cost": {**scaled["cost"], "per_piece": per_pan}}


def ask_plan(request: Wire, index: int, made: Made, context: Context) -> Wire:
    """The loaf-plan of one variant.

    Parameters
        request : Wire  that of all variants, as it came
        index : int  the place of this one
        made : Made  this one
        context : Context
    Returns
        Wire
    """
    own = request["variants"][index]
    asked = {name: request[name] for name in LoafPlanRequest.declared() if name in request}
    asked |= {name: own[name] for name in own if name in LoafPlanRequest.declared()}
    if made.asked.sucrose_percent is not None:
        asked["formula"] = ask_formula(made.plan.corrected.asked.formula, context)
    bread = request.get("bread", {})
    if "pan" in own and "fill_percent" in bread and bread["kind"] == "reference_loaf" and "pan" not in bread:
        asked["bread"] = {**bread, "pan": request["pan"]}
    return asked


# ---- Side by side --------------------------------------------------------------------------------


def same_for_all(rows: Sequence[Wire]) -> Wire:
    """What the rows have in common, each figure once."""
    same = {
        field: rows[0][field]
        for field in _SAME_FIGURES
        if rows and rows[0][field] is not None and all(_alike(row[field], rows[0][field]) for row in rows)
    }
    shares = [_by_line(row, "percent") for row in rows]
    lines = [
        {"ingredient": ingredient, "part": part, "percent": percent}
        for (ingredient, part), percent in (shares[0].items() if shares else ())
        if all(_alike(other.get((ingredient, part)), percent) for other in shares)
    ]
    return {**same, "lines": lines}


def _alike(one: object, other: object) -> bool:
    """Whether two figures, or two estimates, are the same but for rounding."""
    if isinstance(one, dict) and isinstance(other, dict):
        return all(_alike(one[name], other[name]) for name in one)
    if isinstance(one, int | float) and isinstance(other, int | float):
        return isclose(one, other, rel_tol=SAME, abs_tol=SAME)
    return one == other


def _by_line(row: Wire, field: str) -> dict[tuple[str, str], float]:
    """A figure of the formula's lines by ingredient and part, added up."""
    found: dict[tuple[str, str], float] = {}
    for line in row["formula"]["lines"]:
        key = line["ingredient"], line["part"]
        found[key] = found.get(key, 0.0) + line[field]
    return found


def write_differences(first: Wire, row: Wire) -> Wire:
    """A row less the first, best values."""
    before, after = _by_line(first, "mass"), _by_line(row, "mass")
    masses = {key: (after.get(key, 0.0), before.get(key, 0.0)) for key in (*before, *after)}
    volume, reference = row["specific_volume"]["best"], first["specific_volume"]["best"]
    return {
        "name": row["name"],
        **{
            name: _less(row[field], first[field])
            for name, field in (
                ("scalded_share_points", "scalded_share_percent"),
                ("scald_liquid_ratio", "scald_liquid_ratio"),
                ("hydration_points", "hydration_percent"),
                ("sucrose_points", "sucrose_percent"),
                ("gluten_points", "gluten_percent"),
                ("dough_mass", "dough_mass"),
                ("fill_points", "fill_percent"),
                ("free_sugar_lasts_hours", "free_sugar_lasts_hours"),
                ("sweetness_points", "sweetness_percent"),
                ("sugar_left_points", "sugar_left_percent"),
                ("scald_core_temperature", "scald_core_temperature"),
                ("scald_swollen_points", "scald_swollen_percent"),
                ("water_temperature", "water_temperature"),
                ("proof_minutes", "proof_minutes"),
            )
        },
        **({} if "cost" not in row else {"cost_per_piece": float(_money(row) - _money(first))}),
        "specific_volume_percent": 0.0 if _alike(volume, reference) else 100 * (volume / reference - 1),
        "lines": [
            {"ingredient": ingredient, "part": part, "mass": now - was}
            for (ingredient, part), (now, was) in masses.items()
            if not _alike(now, was)
        ],
    }


def _money(row: Wire) -> Decimal:
    """The cost of one pan, as it is written."""
    return Decimal(str(row["cost"]["per_piece"]))


def _less(one: Figure, other: Figure) -> float | None:
    """A figure, or the best value of an estimate, less another; None where one of them is. No rounding."""
    if isinstance(one, dict) and isinstance(other, dict):
        one, other = one["best"], other["best"]
    if not isinstance(one, int | float) or not isinstance(other, int | float):
        return None
    return 0.0 if _alike(one, other) else one - other


# ---- Weighed out together ------------------------------------------------------------------------


def write_together(found: Found, context: Context) -> Wire:
    """One weigh-out of all that can be made."""
    together, names = found.together, [each.asked.name for each in found.made]
    return {
        "scalds": [
            {
                "liquid_ratio": scald.liquid_ratio,
                **_write_shared(scald, names, context),
                "evaporation": context.units.to_wire(scald.lost_g, "mass"),
            }
            for scald in together.scalds
        ],
        "common": together.common and _write_shared(together.common, names, context),
        "rest": [
            {"name": name, "lines": write_weigh_out(lines, context)}
            for name, lines in zip(names, together.rest, strict=True)
        ],
    }


def _write_shared(shared: Shared, names: Sequence[str], context: Context) -> Wire:
    out = context.units.to_wire
    return {
        "lines": write_weigh_out(shared.weighed.lines, context),
        "total": write_total(shared.weighed, context),
        "portions": [
            {"name": names[each.formula], "mass": round(out(each.mass_g, "mass"), 9)}
            for each in shared.portions
        ],
    }


# ---- As CSV --------------------------------------------------------------------------------------

# field -> (its unit, or the quantity that it measures)
_COLUMNS = {
    "scalded_share_percent": "",
    "scald_liquid_ratio": "",
    "sucrose_percent": "",
    "gluten_percent": "",
    "hydration_percent": "",
    "assessment": "",
    "dough_mass": "mass",
    "mixed_dough_mass": "mass",
    "fill_percent": "",
    "specific_volume": "cm3/g",
    "pan_ratio": "cm3/g",
    "yeast_fed": "",
    "free_sugar_lasts_hours": "",
    "sugar_left_percent": "",
    "sweetness_percent": "",
    "scald_core_temperature": "temperature",
    "scald_swollen_percent": "",
    "scald_starch": "",
    "water_temperature": "temperature",
    "proof_minutes": "",
}
_COSTS = {"cost_total": "total", "cost_per_piece": "per_piece"}
_BANDS = ("low", "best", "high")


def variants_table(reply: Wire) -> list[list[object]]:
    """The table: a row for each variant, an estimate in three columns, then each line of what it weighs."""
    rows, units = reply["variants"], reply["units"]
    answered = [row for row in rows if "problem" not in row]
    banded = {field for field in _COLUMNS for row in answered if isinstance(row.get(field), dict)}
    lines = dict.fromkeys((line["ingredient"], line["part"]) for row in answered for line in row["weigh_out"])
    head = ["name", "problem"]
    for field, unit in _COLUMNS.items():
        label = f"{field} ({units.get(unit, unit)})" if unit else field
        head += [f"{label} {end}" for end in _BANDS] if field in banded else [label]
    costs = _COSTS if any("cost" in row for row in answered) else {}
    head += [*costs, *(f"{ingredient}, {part} ({units['mass']})" for ingredient, part in lines)]
    table: list[list[object]] = [list(head)]
    for row in rows:
        cells: list[object] = [row["name"], row["problem"]["detail"] if "problem" in row else ""]
        for field in _COLUMNS:
            value = row.get(field)
            if field in banded:
                cells += [None] * 3 if value is None else [value[end] for end in _BANDS]
            else:
                cells.append(value)
        weighed: dict[tuple[str, str], float] = {}
        for line in row.get("weigh_out", ()):
            key = line["ingredient"], line["part"]
            weighed[key] = weighed.get(key, 0.0) + line["mass"]
        cells += [_fixed(row["cost"][field] if "cost" in row else None) for field in costs.values()]
        cells += [_fixed(weighed.get(key)) for key in lines]
        table.append(cells)
    return table


def _fixed(number: float | None) -> Fixed | None:
    return None if number is None else Fixed(number)
