"""How well the import reads recipes in other layouts: those of the corpus that it has all right, rewritten.

    PYTHONPATH=api:tests .venv/bin/python tests/importing/layouts.py               # each layout, all recipes
    ... --every 5               # each fifth recipe only
    ... --layout "table"        # layouts with these words in their names
    ... --lines                 # and each line that is not right
    ... --by-language           # a row for each language too

A layout changes how a list is written, never what it says, so the reading by hand holds for all of them.
Columns: see ``score.py``. lost: recipes that are not all right any more. Long lines and lists that are
written in marks of their own are left out where a layout can't be told from them.
"""

import argparse
from collections.abc import Iterable, Iterator
from html import escape

from importing.layout_kinds import (
    LETTERS,
    Layout,
    about,
    advert,
    among,
    bare,
    buttons,
    decimal,
    gram,
    in_letters,
    marked,
    method_first,
    named,
    on_one_line,
    on_whole_page,
    only_in_step,
    scald_in_method,
    told,
    with_headings,
    with_ounces,
    with_parts_turned,
    with_percent,
)
from importing.layout_tables import as_json_ld, in_markup, in_table, supply
from importing.score import HEAD, Recipe, Score, _show, answer, recipes
from importing.sheets import Sheet, is_all_right, sheet_of

# n: the name, a: the amount (v its number, u its unit), x: a note, p: the percentage, oz: ounces, g: grams.


def _forms(text: str) -> list[str]:
    """The forms of a table: parted by a broken bar or a line end, with ``\\n`` and ``\\t`` as in a string."""
    parts = [part for line in text.strip().splitlines() for part in line.strip().split(" ¦ ")]
    return [part.replace("\\n", "\n").replace("\\t", "\t") for part in parts]


MARKS = _forms(
    r"""
    [ ] {} ¦ - [ ] {} ¦ [x] {} ¦ {n}. {} ¦ {n}) {} ¦ ({n}) {} ¦ {n}.- {} ¦ {n} - {} ¦ {c} {} ¦ {c}{}
    🥖 {} ¦ • • {} ¦ •{} ¦ -{} ¦ ・{} ¦ * * {} ¦ {}, ¦ {}; ¦ {}. ¦ {} + ¦ **{}** ¦ _{}_ ¦ “{}” ¦ o {}
    \t{} ¦ # {} ¦ {} ✔ ¦ (   ) {} ¦ ☐ ☐ {} ¦ &bull; {} ¦ \\* {} ¦ l {} ¦ – – {}
    """
)
COLUMNS = _forms(
    r"""
    {n} {a}{x} ¦ {n}{x} {a} ¦ {n}: {a}{x} ¦ {n} : {a}{x} ¦ {n}：{a}{x} ¦ {n} - {a}{x} ¦ {n} – {a}{x}
    {n} — {a}{x} ¦ {n} = {a}{x} ¦ {n}, {a}{x} ¦ {n} ({a}){x} ¦ {n} [{a}]{x} ¦ {n} ........ {a}{x}
    {n}........{a}{x} ¦ {n} …… {a}{x} ¦ {n}\t{a}{x} ¦ {n}    {a}{x} ¦ {n} / {a}{x} ¦ {n} | {a}{x}
    {n} → {a}{x} ¦ {n} ~ {a}{x} ¦ {n}_{a}{x} ¦ • {n}: {a}{x} ¦ **{n}**: {a}{x} ¦ **{n}:** {a}{x}
    - **{n}** – {a}{x} ¦ **{a}** {n}{x} ¦ {a} – {n}{x} ¦ {a} - {n}{x} ¦ {a}: {n}{x} ¦ {a} | {n}{x}
    {a}\t{n}{x} ¦ {a} {of}{n}{x} ¦ {a}, {n}{x} ¦ {a} / {n}{x} ¦ ({a}) {n}{x} ¦ {a}. {n}{x}
    {a} ... {n}{x} ¦ {n} {v} {u}{x} ¦ {v}\t{u}\t{n}{x} ¦ {n}{x}\n{a} ¦ {a}\n{n}{x} ¦ {v}\n{u}\n{n}{x}
    {n}{x}\n\n{a} ¦ {n}:\n{a} ¦ {n}\n– {a} ¦ {n}\n{v}\n{u} ¦ {n} x {a}{x} ¦ {n}\n({a})
    @{n}{{{v}%{u}}}{x} ¦ {a} “{n}”{x} ¦ <b>{a}</b> {n}{x}
    <span>{v}</span> <span>{u}</span> <span>{n}</span>{x}
    """
)
PERCENTAGES = _forms(
    r"""
    {a} {n}{x} ({p} %) ¦ {a} {n}{x} ({p}%) ¦ {n} {a} ({p}%){x} ¦ {n} {p}% {a} ¦ {n} {a} {p}%
    {n} – {p}% – {a} ¦ {p}% {n}: {a} ¦ {n}: {a} / {p}% ¦ {n}\t{p}%\t{a} ¦ {n}\t{a}\t{p}%
    | {n} | {p}% | {a} | ¦ {a} ({p}%) {n}{x} ¦ {n}, {p}%, {a} ¦ {n} ({p}%) {a} ¦ {n} ({p}%): {a}
    {p}%\t{n}\t{a}
    """
)
OUNCES = _forms(
    r"""
    {a} ({oz} oz) {n}{x} ¦ {a} / {oz} oz {n}{x} ¦ {a}/{oz}oz {n}{x} ¦ {oz} oz ({a}) {n}{x}
    {oz} oz / {a} {n}{x} ¦ {oz} ounces ({a}) {n}{x} ¦ {n} {a} ({oz} oz){x} ¦ {n}: {a} | {oz} oz{x}
    {n}: {a} / {oz} oz{x} ¦ {a} {n} ({oz} oz){x} ¦ {n}\t{a}\t{oz} oz ¦ {n}\t{oz} oz\t{a}
    | {n} | {oz} oz | {a} | ¦ {g}g|{oz}oz {n}{x} ¦ {oz} oz. | {a} {n}{x} ¦ {a} ({oz} oz.) {n}{x}
    {a}, {oz} oz {n}{x} ¦ {a} [{oz} oz] {n}{x} ¦ {n} ({a} / {oz} oz){x} ¦ {oz} oz. {n} ({a}){x}
    {a} - {oz} oz {n}{x}
    """
)
HEADINGS = _forms(
    r"""
    {upper} ¦ {}: ¦ {upper}: ¦ **{}** ¦ **{}:** ¦ ## {} ¦ ### {}: ¦ {}\n{line} ¦ --- {} --- ¦ === {} ===
    [{}] ¦ ({}) ¦ 【{}】 ¦ <{}> ¦ {at}. {} ¦ {at}) {} ¦ - {} ¦ • {} ¦ • {}: ¦ __{}__ ¦ *{}* ¦ _{}_
    ~ {} ~ ¦ <h3>{}</h3> ¦ <strong>{}</strong> ¦ ■{} ¦ ◆ {} ¦ 🥖 {} ¦ \n{}\n ¦ {} : ¦ {}： ¦ {} - ¦ {}…
    {}. ¦ ★{}★ ¦ 《{}》 ¦ ―{}― ¦ # {} ¦ ➤ {}
    """
)
BETWEEN = (
    ", ",
    "; ",
    " · ",
    " - ",
    " – ",
    " • ",
    " / ",
    " | ",
    " + ",
    " ",
    "\t",
    "、",
    "，",
    "；",
    ",",
    ". ",
    " * ",
    " & ",
    "<br>",
)

LAYOUTS: dict[str, Layout] = {
    **{f"letters: {name}": in_letters(change) for name, change in LETTERS.items()},
    **{f"letters: gram as word {at + 1}": gram(at) for at in range(4)},
    "letters: the other decimal mark": decimal,
    **{f"bullet {mark}": marked(mark + " {}") for mark in "•-*–·◦▪✓➤□☐▢◇○►➢+>"},
    **{f"mark {mark}": marked(mark) for mark in MARKS},
    **{f"columns {form!r}": named(form) for form in COLUMNS},
    **{f"percent {form!r}": with_percent(form) for form in PERCENTAGES},
    **{f"ounces {form!r}": with_ounces(form) for form in OUNCES},
    **{f"one line, {between!r}": on_one_line(between) for between in BETWEEN},
    **{f"one line, name first, {between!r}": on_one_line(between, "{n} {a}") for between in BETWEEN[:15]},
    **{f"one line, colons, {between!r}": on_one_line(between, "{n}: {a}") for between in BETWEEN[:14:2]},
    **{f"one line, in brackets, {between!r}": on_one_line(between, "{n} ({a})") for between in BETWEEN[:14]},
    "told in steps": told("\n"),
    "told in one paragraph": told(" "),
    "told in one paragraph, no heading": told(" ", is_headed=False),
    "told: only a step has the salt": only_in_step("salt", "coarse_salt"),
    "told: only a step has the yeast": only_in_step("instant_yeast", "active_dry_yeast", "compressed_yeast"),
    "told: only a step has the liquid": only_in_step("water", "whole_milk"),
    "table: Markdown": in_table("|", "na"),
    "table: Markdown, amount first": in_table("|", "an"),
    "table: Markdown, no head": in_table("|", "na", head=False),
    "table: Markdown, percent last": in_table("|", "na%"),
    "table: Markdown, percent first": in_table("|", "n%a"),
    "table: Markdown, numbered": in_table("|", "#na"),
    "table: Markdown, parts": in_table("|", "pna"),
    "table: tabs": in_table("\t", "na"),
    "table: tabs, amount first": in_table("\t", "an"),
    "table: tabs, no head": in_table("\t", "na", head=False),
    "table: tabs, no head, percent": in_table("\t", "na%", head=False),
    "table: tabs, parts": in_table("\t", "pna"),
    "table: tabs, parts last": in_table("\t", "anp"),
    "table: tabs, numbered": in_table("\t", "#na"),
    "table: tabs, empty column": in_table("\t", "n-a", head=False),
    "table: tabs, percent": in_table("\t", "n%a"),
    "table: CSV": in_table(",", "na"),
    "table: CSV, quotes": in_table(",", "na", quote='"'),
    "table: CSV, parts, quotes": in_table(",", "pan", quote='"'),
    "table: CSV, semicolons": in_table(";", "na"),
    "table: CSV, no head": in_table(",", "na", head=False),
    "table: CSV, no head, quotes": in_table(",", "na", head=False, quote='"'),
    "table: CSV, semicolons, no head": in_table(";", "an", head=False),
    "markup: list": in_markup("<li>{t}</li>", "<ul>", "</ul>"),
    "markup: list on one line": in_markup("<li>{t}</li>", "<ul>", "</ul>", joined=" "),
    "markup: list glued": in_markup("<li>{t}</li>", "<ul>", "</ul>", joined="\u200b"),
    "markup: breaks": in_markup("{t}<br />", "", "", "<strong>{}</strong><br />"),
    "markup: breaks on one line": in_markup("{t}<br>", "", "", "<b>{}</b><br>", joined=" "),
    "markup: paragraphs": in_markup("<p>{t}</p>", "", "", "<h4>{}</h4>"),
    "markup: table": in_markup("<tr><td>{n}</td><td>{a}</td></tr>", "<table>", "</table>"),
    "markup: table, amount first": in_markup("<tr><td>{a}</td><td>{n}</td></tr>", "<table>", "</table>"),
    "markup: table on one line": in_markup(
        "<tr><td>{n}</td><td>{a}</td></tr>", "<table>", "</table>", joined=" "
    ),
    "markup: spans": in_markup(
        '<li class="i"><span class="a">{a}</span> <span class="n">{n}</span></li>', "<ul>", "</ul>"
    ),
    "markup: labels": in_markup('<label><input type="checkbox"> {t}</label>', "<div>", "</div>"),
    "markup: definitions": in_markup("<dt>{n}</dt><dd>{a}</dd>", "<dl>", "</dl>"),
    "structured data": as_json_ld(lambda row: bare(row.text)),
    "structured data, no headings": as_json_ld(lambda row: bare(row.text), headings=False),
    "structured data as text": as_json_ld(lambda row: escape(bare(row.text)), as_text=True),
    "structured data, supplies": as_json_ld(supply),
    **{f"heading {form!r}": with_headings(form) for form in HEADINGS},
    **{f"heading of its language {number + 1}": with_headings("{}", number) for number in range(5)},
    **{
        f"heading of its language {number + 1} in capitals": with_headings("{upper}", number)
        for number in range(3)
    },
    "parts turned": with_parts_turned,
    "scald in the method": scald_in_method,
    "method first": method_first,
    "around: about above": among(about),
    "around: about behind": among(about, behind=True),
    "around: about between": among(about, between=True),
    "around: adverts between": among(advert, between=True),
    "around: buttons above": among(buttons),
    "around: a whole page": on_whole_page,
}


def compare(
    sheets: Iterable[Sheet], layout: Layout, by_language: bool, show: bool
) -> Iterator[tuple[str, Score, int]]:
    """Name, score and recipes lost, of all recipes that a layout can write, and of each language."""
    scores: dict[str, Score] = {}
    lost: dict[str, int] = {}
    for sheet in sheets:
        page = layout(sheet)
        if page is None:
            continue
        recipe = page.as_recipe()
        reply = answer(recipe)
        for name in ("all", sheet.language) if by_language else ("all",):
            found = scores.setdefault(name, Score()).add(recipe, reply)
            lost[name] = lost.get(name, 0) + (not is_all_right(recipe, reply))
        if show:
            _show(recipe, reply, found)
    for name, score in sorted(scores.items()):
        yield name, score, lost[name]


def sheets_of(corpus: Iterable[Recipe], every: int = 1) -> list[Sheet]:
    """Each ``every``-th of the recipes that the import has all right."""
    return [sheet for sheet in map(sheet_of, list(corpus)[::every]) if sheet]


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    options.add_argument("--every", type=int, default=1)
    options.add_argument("--layout", default="")
    options.add_argument("--lines", action="store_true")
    options.add_argument("--by-language", action="store_true")
    options.add_argument("--language")
    chosen = options.parse_args()
    sheets = [each for each in sheets_of(recipes(), chosen.every) if chosen.language in (None, each.language)]
    print(f"{'':45}{HEAD}    lost")
    for title, layout in LAYOUTS.items():
        if chosen.layout not in title:
            continue
        for name, score, lost in compare(sheets, layout, chosen.by_language, chosen.lines):
            print(f"{title[:44]:45}{score.row(name)}{lost:8}", flush=True)


if __name__ == "__main__":
    main()
