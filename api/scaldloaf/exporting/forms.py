"""A recipe as JSON-LD, Markdown, plain text or the rows of a table."""

import json
import re
from collections.abc import Iterable, Iterator
from typing import Any

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.exporting.amounts import iso_duration, print_time
from scaldloaf.exporting.recipe import Recipe, Section
from scaldloaf.importing.layouts.layout import underline

SCHEMA_ORG = "https://schema.org"
_TIMES = {"prep": "prepTime", "cook": "cookTime", "total": "totalTime"}
# What could end a script element or open a comment in it, and the two line ends that old scripts stumble on.
_IN_SCRIPT = re.compile("[<>&\u2028\u2029]")
# What has a meaning in Markdown inside a line, and what has one at its beginning.
_MARKS = re.compile(r"[\\`*_\[\]<>~|#]|&(?=#?\w+;)")
_AT_BEGINNING = re.compile(r"^(?:(?=[-+=])|(\d+)(?=[.)]\s))")


def json_ld(recipe: Recipe) -> dict[str, Any]:
    """A Recipe of schema.org; its cautions are tips (HowToTip), its allergens are in the description."""
    times = {_TIMES[name]: iso_duration(value) for name, value in recipe.times._asdict().items() if value}
    description = " ".join(_about(recipe))
    return {
        "@context": SCHEMA_ORG,
        "@type": "Recipe",
        "name": recipe.name,
        "inLanguage": recipe.words.language,
        **({"description": description} if description else {}),
        "recipeYield": recipe.makes,
        **times,
        "recipeIngredient": list(_listed(recipe)),
        "recipeInstructions": [_how_to(section) for section in recipe.sections],
    }


def _listed(recipe: Recipe) -> Iterator[str]:
    """The lines, each part under its heading."""
    for part, lines in recipe.lines.items():
        yield f"{recipe.words.names[part]}:"
        yield from (line.text for line in lines)


def _how_to(section: Section) -> dict[str, Any]:
    steps = [{"@type": "HowToStep", "text": step} for step in section.steps]
    tips = [{"@type": "HowToTip", "text": caution} for caution in section.cautions]
    return {"@type": "HowToSection", "name": section.name, "itemListElement": [*steps, *tips]}


def _about(recipe: Recipe) -> Iterator[str]:
    """The allergens, and the cautions of no section."""
    if recipe.allergens:
        yield recipe.words.said("allergens", recipe.words.list.join(recipe.allergens)) + _stop(recipe)
    yield from recipe.cautions


def _stop(recipe: Recipe) -> str:
    return "." if recipe.words.list.endswith(" ") else "。"


def script_safe(document: dict[str, Any]) -> str:
    """JSON that may stand in a script element of HTML as it is, whatever names are in it."""
    text = json.dumps(document, ensure_ascii=False, indent=2)
    return _IN_SCRIPT.sub(lambda found: f"\\u{ord(found.group()):04x}", text)


def plain_text(recipe: Recipe) -> str:
    """Lines to be read by anyone: the title underlined, each part under its heading."""
    words = recipe.words
    lines = [recipe.name, underline(recipe.name), "", *_facts(recipe)]
    for part, listed in recipe.lines.items():
        lines += ["", words.heading.format(name=words.names[part]), *(line.text for line in listed)]
    lines += ["", words.heading.format(name=words.names["method"])]
    for section in recipe.sections:
        lines += ["", section.name, *_numbered(section.steps)]
        lines += [words.said("caution", caution) for caution in section.cautions]
    if about := list(_about(recipe)):
        lines += ["", *about]
    return "\n".join(lines) + "\n"


def markdown(recipe: Recipe) -> str:
    """CommonMark; what has a meaning there in the names of others is escaped."""
    words = recipe.words
    lines = [f"# {escaped(recipe.name)}", "", *(f"- {escaped(fact)}" for fact in _facts(recipe))]
    for part, listed in recipe.lines.items():
        lines += ["", f"## {words.names[part]}", "", *(f"- {escaped(line.text)}" for line in listed)]
    lines += ["", f"## {words.names['method']}"]
    for section in recipe.sections:
        lines += ["", f"### {section.name}", "", *_numbered(map(escaped, section.steps))]
        for caution in section.cautions:
            lines += ["", f"> {escaped(words.said('caution', caution))}"]
    for sentence in _about(recipe):
        lines += ["", escaped(sentence)]
    return "\n".join(lines) + "\n"


def escaped(text: str) -> str:
    """A text that Markdown shows as it is."""
    text = _MARKS.sub(lambda found: "\\" + found.group(), text)
    return _AT_BEGINNING.sub(lambda found: f"{found.group(1) or ''}\\", text, count=1)


def _facts(recipe: Recipe) -> Iterator[str]:
    """How much it makes, and its times."""
    yield recipe.words.said("yield", recipe.makes)
    for name, minutes in recipe.times._asdict().items():
        if minutes:
            yield recipe.words.said(name, print_time(minutes, recipe.words))


def _numbered(steps: Iterable[str]) -> Iterator[str]:
    return (f"{number}. {step}" for number, step in enumerate(steps, 1))


def table(recipe: Recipe) -> Iterator[tuple[object, ...]]:
    """The ingredients as rows under a head: part, ingredient, amount as printed, g, percent of flour."""
    yield tuple(recipe.words.table.values())
    flour_g = sum(line.of.mass_g for line in recipe.all_lines if line.of.ingredient.is_flour)
    for part in (SCALD, DOUGH):
        for line in recipe.lines.get(part, ()):
            numbers = (line.amount.mass_g, 100 * line.of.mass_g / flour_g)
            cells = (float(f"{number:.6g}") for number in numbers)
            yield recipe.words.names[part], line.label, line.amount.text, *cells
