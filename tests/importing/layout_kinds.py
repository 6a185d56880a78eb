"""Ways to write a recipe of the corpus in another layout: each makes, of a sheet, a page for the import."""

import re
import unicodedata
from collections.abc import Callable

from importing.layout_words import (
    ABOUT,
    AND,
    COMMA_LANGUAGES,
    FRACTIONS,
    GRAMS,
    LIQUIDS,
    PAGE,
    SAID,
    TOLD,
    WORDS,
)
from importing.score import METHOD
from importing.sheets import SPACED, Page, Part, Row, Sheet

Layout = Callable[[Sheet], Page | None]
MOST_LETTERS = 100  # of a line, for layouts that need more for each
LEAST_TOLD = 4  # rows of a recipe told in sentences
WIDE = {ord("!") + at: 0xFF01 + at for at in range(94)}
WIDE_DIGITS = {ord("0") + at: 0xFF10 + at for at in range(10)}


# ---- Letters: the same lines in other characters ---------------------------------------------------------


def in_letters(change: Callable[[str], str]) -> Layout:
    """The recipe as it is, each text of it changed."""

    def layout(sheet: Sheet) -> Page | None:
        if max(map(len, sheet.recipe["text"].splitlines())) > MOST_LETTERS:
            return None  # the reply has only the beginning of such a line
        page = Page(sheet)
        page.add(change(sheet.recipe["text"]))
        page.expected = [{**line, "text": change(line["text"])} for line in sheet.recipe["lines"]]
        page.add_method()
        return page if page.lines[0] != sheet.recipe["text"] or change is str else None

    return layout


def gram(word: int) -> Layout:
    def layout(sheet: Sheet) -> Page | None:
        unit = GRAMS[sheet.language][word]
        space = " " if unit.isascii() and sheet.language in SPACED else ""
        return in_letters(lambda text: re.sub(r"(?<=\d) ?(?:g|克|公克)(?![^\W\d_])\.?", space + unit, text))(
            sheet
        )

    return layout


def decimal(sheet: Sheet) -> Page | None:
    """The decimal mark that the language does not use."""
    if sheet.language in COMMA_LANGUAGES:
        return in_letters(lambda text: re.sub(r"(?<=\d),(?=\d{1,2}(?!\d))", ".", text))(sheet)
    return in_letters(lambda text: re.sub(r"(?<=\d)\.(?=\d{1,2}(?!\d))", ",", text))(sheet)


def _fractions(text: str) -> str:
    return re.sub(r"(?<![\d/]) ?([123]/[234])(?![\d/])", lambda m: FRACTIONS.get(m[1], m[0]), text)


def _plain_fractions(text: str) -> str:
    for plain, sign in FRACTIONS.items():
        text = re.sub(rf"(?<=\d) ?{sign}", f" {plain}", text).replace(sign, plain)
    return text


LETTERS: dict[str, Callable[[str], str]] = {
    "as it is": str,
    "CRLF": lambda text: text.replace("\n", "\r\n"),
    "no-break spaces": lambda text: text.replace(" ", "\u00a0"),
    "thin spaces": lambda text: re.sub(r"(?<=\d) ?(?=[^\W\d_])", "\u2009", text),
    "narrow no-break spaces": lambda text: re.sub(r"(?<=\d) ?(?=[^\W\d_])", "\u202f", text),
    "full-width spaces": lambda text: re.sub(r"(?<=\d) ", "\u3000", text),
    "zero-width spaces": lambda text: re.sub(r"(?<=\w) (?=\w)", " \u200b", text),
    "zero-width joiners at line ends": lambda text: re.sub(r"(?m)$", "\u200d", text),
    "soft hyphens": lambda text: re.sub(r"([^\W\d_]{4})(?=[^\W\d_]{4})", "\\1\u00ad", text),
    "full-width digits": lambda text: text.translate(WIDE_DIGITS),
    "full-width letters and marks": lambda text: text.translate(WIDE),
    "decomposed letters": lambda text: unicodedata.normalize("NFD", text),
    "curly quotes": lambda text: text.replace("'", "’").replace('"', "”"),
    "upper case": str.upper,
    "lower case": str.lower,
    "title case": lambda text: re.sub(r"(?<![\w'’])[^\W\d_]", lambda m: m[0].upper(), text),
    "fraction signs": _fractions,
    "fractions in digits": _plain_fractions,
    "unit glued": lambda text: re.sub(r"(?<=\d) (?=(?:g|ml|kg|gr|cl|oz)\b)", "", text),
    "unit apart": lambda text: re.sub(r"(?<=\d)(?=(?:g|ml|kg|gr|cl|oz|克|公克|毫升)\b)", " ", text),
    "entities": lambda text: text.replace("&", "&amp;").encode("ascii", "xmlcharrefreplace").decode(),
    "blank lines": lambda text: text.replace("\n", "\n\n"),
    "indented": lambda text: re.sub("(?m)^", "    ", text),
    "spaces at line ends": lambda text: re.sub("(?m)$", "   ", text),
    "two spaces": lambda text: text.replace(" ", "  "),
}


# ---- Lines: the same list, each line with other marks ----------------------------------------------------


def bare(text: str) -> str:
    """A line without its bullet."""
    return re.sub(r"^[\s*•·・–—○●▢□☐✓-]+(?=\w)", "", text).strip()


def heading_of(part: Part) -> str:
    """A heading without its marks."""
    return re.sub(r"^[\W_]+|[\s:：*#=_】〉>\]—–-]+$", "", part.heading)


def in_lines(
    write: Callable[[Row, int, Sheet], str | None],
    head: str = "{}",
    needs_name: bool = False,
) -> Layout:
    """A list with each row written anew, under its own headings.

    Parameters
        write : Callable  a row, its number and its sheet to a line; None leaves the line as it is
        head : str  how headings are written
        needs_name : bool  only for recipes whose names are told apart from the amounts
    Returns
        Layout
    """

    def layout(sheet: Sheet) -> Page | None:
        if not (sheet.is_plain if needs_name else sheet.is_listed):
            return None
        page = Page(sheet)
        number = 0
        for part in sheet.parts:
            if part.heading:
                page.add(part.heading if head == "{}" else head.format(heading_of(part)))
            for row in part.rows:
                number += 1
                page.add(write(row, number, sheet) or row.text, [row])
        page.add_method()
        return page

    return layout


def marked(mark: str) -> Layout:
    return in_lines(
        lambda row, number, sheet: mark.format(bare(row.text), n=number, c=chr(0x245F + min(number, 20)))
    )


def named(form: str) -> Layout:
    """Rows by amount and name: ``{n}: {a}``."""

    def write(row: Row, number: int, sheet: Sheet) -> str | None:
        if not row.name:
            return None
        found = re.fullmatch(r"(.*[\d½¼¾⅓⅔]) ?(\D*)", row.amount)
        number_, unit = found.groups() if found else (row.amount, "")
        of = row.of or ""
        return form.format(
            n=row.name,
            a=row.amount,
            x=row.note,
            of=of,
            v=number_,
            u=unit.strip(),
            p=percent(row, sheet),
            oz=_ounces(row),
        )

    return in_lines(write, needs_name=True)


def percent(row: Row, sheet: Sheet) -> str:
    """The baker's percentage of a row in grams."""
    total = sheet.recipe["expect"]["total_flour_g"]
    return f"{100 * row.grams / total:.0f}" if row.grams and total else ""


def _ounces(row: Row) -> str:
    return f"{row.grams / 28.35:.1f}" if row.grams else ""


def with_ounces(form: str) -> Layout:
    """Rows in grams with ounces too; English only."""

    def write(row: Row, number: int, sheet: Sheet) -> str | None:
        if not row.grams or not row.name:
            return None
        return form.format(a=row.amount, n=row.name, x=row.note, oz=_ounces(row), g=f"{row.grams:.0f}")

    made = in_lines(write, needs_name=True)
    return lambda sheet: made(sheet) if sheet.language == "en" else None


def with_percent(form: str) -> Layout:
    """Rows in grams with their baker's percentage."""

    def write(row: Row, number: int, sheet: Sheet) -> str | None:
        share = percent(row, sheet)
        if not share or share == "0" or not row.name or row.by_hand[0]["section"] == "not_dough":
            return None
        return form.format(a=row.amount, n=row.name, x=row.note, p=share)

    return in_lines(write, needs_name=True)


# ---- Lists on one line -----------------------------------------------------------------------------------


def on_one_line(between: str, form: str = "", by_part: bool = True) -> Layout:
    """The rows of each part on one line, or all parts on one."""

    def layout(sheet: Sheet) -> Page | None:
        if not sheet.is_plain or sheet.recipe["expect"]["scald"] and not by_part:
            return None
        if "," in between and any("," in row.text or "(" in row.text for row in sheet.rows):
            return None
        if form and not all(row.name or row.is_vague for row in sheet.rows):
            return None
        page = Page(sheet)
        for part in sheet.parts if by_part else [Part("", "", tuple(sheet.rows))]:
            if part.heading:
                page.add(part.heading)
            texts = [
                form.format(n=row.name, a=row.amount) + row.note if form and row.name else bare(row.text)
                for row in part.rows
            ]
            page.add(between.join(texts), part.rows)
        page.add_method()
        return page

    return layout


# ---- Recipes told in sentences --------------------------------------------------------------------------


def told(between: str, is_headed: bool = True) -> Layout:
    """No list: the scald in one sentence, the dough in two, under the heading of a method or under none."""

    def layout(sheet: Sheet) -> Page | None:
        scald = _of_kinds(sheet, "scald")
        dough = [row for row in _of_kinds(sheet, "dough", "") if not row.is_vague]
        if (
            sheet.steps
            or not _is_told(sheet, [*scald, *dough])
            or bool(scald) != sheet.recipe["expect"]["scald"]
        ):
            return None
        page, half = Page(sheet), (len(dough) + 1) // 2
        of_scald, first, second = TOLD[sheet.language]
        steps = [of_scald.format(_enumerated(scald, sheet))] if scald else []
        steps += [
            form.format(_enumerated(rows, sheet))
            for form, rows in ((first, dough[:half]), (second, dough[half:]))
        ]
        if is_headed:
            page.add(f"{METHOD[sheet.language]}:")
        page.add(between.join(steps), [*scald, *dough])
        return page

    return layout


def only_in_step(*ingredients: str) -> Layout:
    """A list without its only yeast, salt or liquid, which a step names."""

    def layout(sheet: Sheet) -> Page | None:
        rows = _of_kinds(sheet, "scald", "dough", "")
        said = [row for row in rows if row.by_hand[0]["ingredient"] in ingredients]
        if sheet.steps or not _is_told(sheet, rows) or sheet.recipe["expect"]["scald"] or len(said) != 1:
            return None
        page = Page(sheet)
        for row in rows:
            if row not in said:
                page.add(row.text, [row])
        page.add(f"{METHOD[sheet.language]}:")
        page.add(TOLD[sheet.language][2].format(_enumerated(said, sheet)), said)
        return page

    return layout


def _of_kinds(sheet: Sheet, *kinds: str) -> list[Row]:
    return [row for part in sheet.parts if part.kind in kinds for row in part.rows]


def _is_told(sheet: Sheet, rows: list[Row]) -> bool:
    """Whether rows have an amount and a name each, and are those of a dough."""
    is_named = all(row.name or row.is_vague for row in sheet.rows)
    is_dough = all(line["section"] != "not_dough" for row in rows for line in row.by_hand)
    return sheet.is_plain and is_named and is_dough and len(rows) >= LEAST_TOLD


def _enumerated(rows: list[Row], sheet: Sheet) -> str:
    if sheet.language not in SPACED:
        return "、".join(f"{row.name}{row.amount}" for row in rows)
    *others, last = (f"{row.amount} {row.of}{row.name}" for row in rows)
    return AND[sheet.language].join(filter(None, (", ".join(others), last)))


# ---- Headings --------------------------------------------------------------------------------------------


def with_headings(form: str, number: int | None = None) -> Layout:
    """The rows under other headings: their own in other marks, or those that the language uses, by number."""

    def layout(sheet: Sheet) -> Page | None:
        headed = [part for part in sheet.parts if part.heading]
        if not headed or number is not None and not all(part.kind for part in headed):
            return None
        page = Page(sheet)
        for at, part in enumerate(sheet.parts, 1):
            if part.heading:
                words = heading_of(part) if number is None else WORDS[sheet.language][part.kind][number]
                page.lines += form.format(words, at=at, upper=words.upper(), line="-" * len(words)).split(
                    "\n"
                )
            for row in part.rows:
                page.add(row.text, [row])
        page.add_method()
        return page

    return layout


def with_parts_turned(sheet: Sheet) -> Page | None:
    """The dough first, the scald behind it."""
    kinds = [part.kind for part in sheet.parts]
    if "scald" not in kinds or "dough" not in kinds or not all(part.heading for part in sheet.parts):
        return None
    page = Page(sheet)
    for part in sorted(sheet.parts, key=lambda part: ("dough", "scald", "aside", "").index(part.kind)):
        page.add(part.heading)
        for row in part.rows:
            page.add(row.text, [row])
    page.add_method()
    return page


# ---- What stands around a list ---------------------------------------------------------------------------


def among(before: Callable[[Sheet], list[str]], between: bool = False, behind: bool = False) -> Layout:
    """The list as it is among other lines: above it, after each third row, or behind it."""

    def layout(sheet: Sheet) -> Page | None:
        page = Page(sheet)
        around = before(sheet)
        if not between and not behind:
            page.lines += [*around, ""]
        number = 0
        for part in sheet.parts:
            if part.heading:
                page.add(part.heading)
            for row in part.rows:
                page.add(row.text, [row])
                number += 1
                if between and number % 3 == 0:
                    page.lines.append(around[number // 3 % len(around)])
        if behind:
            page.lines += ["", *around]
        page.add_method()
        return page

    return layout


def method_first(sheet: Sheet) -> Page | None:
    """The method above the list."""
    if not sheet.steps:
        return None
    page = Page(sheet)
    page.add_method()
    page.lines = [*page.lines[1:], "", f"{WORDS[sheet.language]['list'][0]}:"]
    for part in sheet.parts:
        if part.heading:
            page.add(part.heading)
        for row in part.rows:
            page.add(row.text, [row])
    return page


def scald_in_method(sheet: Sheet) -> Page | None:
    """No list of the scald: its parts are in the lines of the dough, and the method says how much."""
    expect = sheet.recipe["expect"]
    scald = [row for part in sheet.parts if part.kind == "scald" for row in part.rows]
    rest = [row for part in sheet.parts if part.kind != "scald" for row in part.rows]
    if expect.get("scald_used_share") or len(scald) != 2 or sheet.steps or not scald or not sheet.is_plain:
        return None
    flour, liquid = sorted(scald, key=lambda row: row.by_hand[0]["ingredient"] in ("water", "whole_milk"))
    if not flour.grams or not liquid.grams or "flour" not in flour.by_hand[0]["ingredient"]:
        return None
    if liquid.by_hand[0]["ingredient"] not in ("water", "whole_milk"):
        return None
    page = Page(sheet)
    for row in rest:
        line = row.by_hand[0]
        part = next((each for each in scald if each.by_hand[0]["ingredient"] == line["ingredient"]), None)
        if line["ingredient"] == "scald":
            continue
        if part is None or row.grams is None or line["section"] != "dough":
            page.add(row.text, [row])
            continue
        scald.remove(part)
        both = f"{row.grams + part.grams:g}"
        text = row.text.replace(row.amount, re.sub(r"[\d.,]+", both, row.amount, count=1))
        page.add(text, [row])
        page.expected.append({**part.by_hand[0], "text": text})
    if flour in scald:
        return None
    for row in scald:
        page.add(row.text, [row])
    said = LIQUIDS[sheet.language][liquid.by_hand[0]["ingredient"] == "whole_milk"].format(
        g=f"{liquid.grams:g}"
    )
    step = SAID[sheet.language].format(f=f"{flour.grams:g}", l=said)
    page.lines += ["", f"{METHOD[sheet.language]}:", step]
    return page


def about(sheet: Sheet) -> list[str]:
    return list(ABOUT[sheet.language][:4])


def advert(sheet: Sheet) -> list[str]:
    return [ABOUT[sheet.language][4]]


def on_whole_page(sheet: Sheet) -> Page | None:
    """The list as a page has it: a title and a label above it, sentences without a heading below it."""
    above, below = PAGE[sheet.language]
    page = Page(sheet)
    page.lines += [*above, ""]
    page.add(sheet.recipe["text"])
    page.expected = list(sheet.recipe["lines"])
    page.lines += ["", *below]
    page.add_method()
    return page


def buttons(sheet: Sheet) -> list[str]:
    return ["Jump to Recipe", "Print", "1x 2x 3x", "US Customary | Metric", "Cook Mode"]
