"""The tables of order-demand: ingredients, batches, and what to weigh for each batch.

The caller's own codes have a column for each of their names. The unit is in the head of a column.
"""

from collections.abc import Iterable
from math import fsum

from scaldloaf.dough.limits import ROUNDING
from scaldloaf.operations.context import Wire
from scaldloaf.operations.faults import Fault, InputFault
from scaldloaf.operations.tables import Fixed

Table = list[list[object]]
_MASSES = ("mass", "scald", "dough", "dusting", "weighed")
_OF_BATCHES = ("dough_mass", "batch_dough_mass", "scald_mass", "dusting")
MOST_CODE_NAMES = 40  # each is a column, and a request has room for tens of thousands
BETWEEN = " | "


def ingredients_table(reply: Wire) -> Table:
    """A row for each ingredient, its cost last."""
    unit, rows = reply["units"]["mass"], reply["ingredients"]
    sets = list(map(_sets_of_codes, rows))
    names = _names(own for each in sets for own in each)
    packed = "packs" in rows[0]
    costs = [_fixed(line["cost"]) for line in reply["cost"]["lines"]] if "cost" in reply else None
    head = ["ingredient", *_heads(_MASSES, unit), "allergens"]
    if packed:
        head += ["packs", "stock_unit", *_heads(("pack_mass", "left_over"), unit)]
    table: Table = [[*head, *_own_heads(names), *(["cost"] if costs else ())]]
    for index, row in enumerate(rows):
        *exact, weighed = (row[column] for column in _MASSES)
        cells = [row["ingredient"], *exact, _fixed(weighed), " ".join(row["allergens"])]
        if packed:
            cells += _pack_cells(row["packs"])
        cells += [_together(sets[index], name) for name in names]
        table.append([*cells, costs[index]] if costs else cells)
    return table


def _pack_cells(packs: Wire | None) -> list[object]:
    if packs is None:
        return [None] * 4
    return [packs["count"], packs["stock_unit"], Fixed(packs["pack_mass"]), packs["left_over"]]


def batches_table(reply: Wire) -> Table:
    """A row for each formula, also one of which nothing is ordered; costs last."""
    unit, rows = reply["units"]["mass"], reply["formulas"]
    names = _names(row.get("own", {}) for row in rows)
    costs = reply["cost"]["batches"] if "cost" in reply else None
    head = ["formula", "orders", "batches", *_heads(_OF_BATCHES, unit), "allergens", *_own_heads(names)]
    table: Table = [[*head, *(("cost_per_batch", "cost_total") if costs else ())]]
    for index, row in enumerate(rows):
        cells = [row["id"], row["orders"], row["batches"], *(row[column] for column in _OF_BATCHES)]
        cells.append(" ".join(each["allergen"] for each in row["allergens"]))
        cells += [row.get("own", {}).get(name) for name in names]
        if costs:
            cells += [Fixed(costs[index]["per_batch"]), Fixed(costs[index]["total"])]
        table.append(cells)
    return table


def weigh_out_table(reply: Wire) -> Table:
    """A row for each line of one batch of each formula, as it is and, with a scale, as it is weighed."""
    unit = reply["units"]["mass"]
    made = [row for row in reply["formulas"] if row["batch"] is not None]
    of_lines = _names(line.get("own", {}) for row in made for line in row["batch"]["lines"])
    of_formulas = _names((row.get("own", {}) for row in made), len(of_lines))
    head = ["formula", "batches", "ingredient", "part", *_heads(("mass", "weighed", "resolution"), unit)]
    table: Table = [[*head, *_own_heads(of_lines), *(f"formula own: {name}" for name in of_formulas)]]
    for row in made:
        weighed = row["batch_weigh_out"] or [None] * len(row["batch"]["lines"])
        codes = [row.get("own", {}).get(name) for name in of_formulas]
        for line, shown in zip(row["batch"]["lines"], weighed, strict=True):
            on_scale = [None, None] if shown is None else [Fixed(shown["mass"]), Fixed(shown["resolution"])]
            own = [line.get("own", {}).get(name) for name in of_lines]
            cells = [row["id"], row["batches"], line["ingredient"], line["part"], line["mass"]]
            table.append([*cells, *on_scale, *own, *codes])
    return table


TABLES = {"ingredients": ingredients_table, "batches": batches_table, "weigh_out": weigh_out_table}


def _heads(columns: Iterable[str], unit: str) -> list[str]:
    return [f"{column} ({unit})" for column in columns]


def _own_heads(names: Iterable[str]) -> list[str]:
    return [f"own: {name}" for name in names]


def _fixed(number: float | None) -> Fixed | None:
    return None if number is None else Fixed(number)


def _names(owns: Iterable[Wire], before: int = 0) -> list[str]:
    """The names of codes in the order of first use. before: other columns of codes. Raises InputFault for too
    many."""
    names = list(dict.fromkeys(name for own in owns for name in own))
    count = before + len(names)
    if count > MOST_CODE_NAMES:
        detail = (
            f"the codes in own have {count} different names, and a table has {MOST_CODE_NAMES} columns for "
            "them; use the same names for the same things, or ask for JSON"
        )
        values = {"names": count, "most": MOST_CODE_NAMES}
        raise InputFault([Fault("/formulas", "too_many_code_names", detail, values=values)])
    return names


def _sets_of_codes(row: Wire) -> list[Wire]:
    """The sets of codes of an ingredient; an empty one stands for lines without, if others have codes."""
    by_own = row.get("by_own", ())
    with_codes, in_lines = fsum(each["mass"] for each in by_own), row["scald"] + row["dough"]
    owns = [each["own"] for each in by_own]
    return [*owns, {}] if owns and with_codes < in_lines * (1 - ROUNDING) else owns


def _together(owns: list[Wire], name: str) -> str | None:
    """One code of several sets: once if it is the same in all, else that of each set in turn."""
    values = [own.get(name, "") for own in owns]
    return BETWEEN.join(values[:1] if len(set(values)) == 1 else values) or None
