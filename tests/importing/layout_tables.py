"""Layouts of recipes of the corpus in tables, in the markup of a page and in structured data."""

import html
import json
from collections.abc import Callable

from importing.layout_kinds import Layout, bare, heading_of, percent
from importing.layout_words import WORDS
from importing.score import METHOD
from importing.sheets import Page, Row, Sheet


def _cells(row: Row) -> tuple[str, str]:
    return (row.name + row.note, row.amount) if row.name else (bare(row.text), "")


def in_table(mark: str, order: str = "na", head: bool = True, quote: str = "") -> Layout:
    """Rows of a table.

    Parameters
        mark : str  between its cells
        order : str  its columns: name, amount, part, ``%``, ``#`` a number, ``-`` an empty one
        head : bool  whether it has heads of columns
        quote : str  around each cell
    Returns
        Layout
    """

    def layout(sheet: Sheet) -> Page | None:
        in_parts = "p" not in order
        if not sheet.is_plain or not (in_parts or all(part.kind for part in sheet.parts[1:])):
            return None
        words = WORDS[sheet.language]
        names = dict(zip("nap%#-", (*words["heads"], "%", "#", ""), strict=True))
        heads = [_row_of([names[column] for column in order], mark, quote)]
        if mark == "|":
            heads.append("|" + "---|" * len(order))
        page = Page(sheet)
        page.lines += heads if head and not in_parts else []
        number = 0
        for part in sheet.parts:
            if in_parts:
                page.lines += [part.heading] if part.heading else []
                page.lines += heads if head else []
            for row in part.rows:
                number += 1
                cells = _cells_of(row, number, words[part.kind or "dough"][0], sheet)
                page.add(_row_of([cells[column] for column in order], mark, quote), [row])
        page.add_method()
        return page

    return layout


def _cells_of(row: Row, number: int, part: str, sheet: Sheet) -> dict[str, str]:
    """The cells of a row by the letters of their columns.

    Parameters
        row : Row
        number : int  its place in the table
        part : str  in words
        sheet : Sheet  of the row
    Returns
        dict
    """
    name, amount = _cells(row)
    share = percent(row, sheet)
    return {"n": name, "a": amount, "p": part, "%": share and f"{share}%", "#": str(number), "-": ""}


def _row_of(cells: list[str], mark: str, quote: str) -> str:
    if mark == "|":
        return "| " + " | ".join(cells) + " |"
    return mark.join(f"{quote}{cell}{quote}" if quote or mark not in cell else f'"{cell}"' for cell in cells)


def in_markup(
    item: str, before: str = "", after: str = "", heading: str = "<h3>{}</h3>", joined: str = ""
) -> Layout:
    """HTML as it is pasted from a page's source."""

    def layout(sheet: Sheet) -> Page | None:
        if not (sheet.is_plain if "{n}" in item else sheet.is_listed):
            return None
        page = Page(sheet)
        for part in sheet.parts:
            if part.heading:
                page.add(heading.format(html.escape(heading_of(part))))
            page.add(before)
            for row in part.rows:
                name, amount = _cells(row)
                page.add(
                    item.format(t=html.escape(bare(row.text)), n=html.escape(name), a=html.escape(amount)),
                    [row],
                )
            page.add(after)
        if joined:
            page.lines = [joined.join(filter(None, page.lines))]
        page.add_method()
        return page

    return layout


def as_json_ld(write: Callable[[Row], object], headings: bool = True, as_text: bool = False) -> Layout:
    """Structured data: its ingredients in one list, headings among them or left out."""

    def layout(sheet: Sheet) -> Page | None:
        if not headings and any(part.heading for part in sheet.parts):
            return None
        page = Page(sheet)
        entries: list[object] = []
        for part in sheet.parts:
            if part.heading:
                entries.append(f"{heading_of(part)}:")
            for row in part.rows:
                page.add(bare(row.text), [row])
                entries.append(write(row))
        steps = [{"@type": "HowToStep", "text": step} for step in sheet.steps.splitlines()]
        section = {"@type": "HowToSection", "name": METHOD[sheet.language], "itemListElement": steps}
        recipe = {
            "@context": "https://schema.org",
            "@type": ["Recipe"],
            "name": "Bread",
            "recipeYield": ["1", "1 loaf"],
            "recipeIngredient": entries,
            "recipeInstructions": [section],
        }
        page.recipe = json.dumps({"@graph": [recipe]}) if as_text else recipe
        return page

    return layout


def supply(row: Row) -> object:
    if not row.name:
        return bare(row.text)
    return {"@type": "HowToSupply", "name": row.name + row.note, "requiredQuantity": row.amount}
