"""Codes in the document: each list of known codes is a component, with what each code means.

A generator makes an enumeration of such a list. But /v1 may get codes that a client made today does not know,
so a field takes a known code *or* any other text: ``anyOf`` of the component and a string. Clients read a new
code as text; the tests hold the service to the lists.
"""

from collections.abc import Mapping
from importlib import import_module
from pkgutil import iter_modules
from string import Formatter
from typing import Any, NamedTuple

from scaldloaf import operations
from scaldloaf.http.error_codes import ERROR_CODES
from scaldloaf.http.problems import KINDS
from scaldloaf.importing.words.doubt import TEXTS as DOUBTS
from scaldloaf.operations import working
from scaldloaf.operations.working import usable
from scaldloaf.reference import CAUTIONS

Components = dict[str, dict[str, Any]]
MORE = "More may be added in /v1: treat one that you do not know like one that you do not handle."
IN_VALUES = "A word in braces stands for what `values` has under that name."


class Codes(NamedTuple):
    """A list of codes.

    of: what they say. meanings: code -> what it means. values: what a word in braces is.
    """

    of: str
    meanings: Mapping[str, str]
    values: str = ""


def _note_texts() -> dict[str, str]:
    """Code -> template of its text; of a code that several calls word differently, each wording."""
    texts: dict[str, list[str]] = {}
    for package in (operations, working):
        for found in iter_modules(package.__path__):
            module = import_module(f"{package.__name__}.{found.name}")
            for code, text in getattr(module, "TEXTS", {}).items() if module is not usable else ():
                texts.setdefault(code, []).append(text)
    return {code: " Or: ".join(dict.fromkeys(wordings)) for code, wordings in sorted(texts.items())}


def _plain(template: str) -> str:
    """A template without the formats of its places: ``{share:.3g} %`` -> ``{share} %``."""
    return "".join(
        words + ("" if name is None else f"{{{name}}}") for words, name, _, _ in Formatter().parse(template)
    )


# (component, its field) -> the name of its list, and the list. ReadDoubtCode and UsableReasonCode have the
# names under which generators already know them.
CODES: dict[tuple[str, str], tuple[str, Codes]] = {
    ("ProblemFault", "code"): ("ErrorCode", Codes("What is wrong, for programs.", ERROR_CODES)),
    ("Problem", "type"): (
        "ProblemType",
        Codes(
            "The kind of problem: the address of a page about it.",
            {f"/problems/{kind.slug}": f"{kind.title} ({kind.status})." for kind in KINDS.values()},
        ),
    ),
    ("Note", "code"): ("NoteCode", Codes("What the note says, for programs.", _note_texts(), IN_VALUES)),
    ("Caution", "code"): (
        "CautionCode",
        Codes(
            "What the caution says, for programs.",
            {code: row.text.replace("_degc}", "}") for code, row in CAUTIONS.items()},
            IN_VALUES,
        ),
    ),
    ("ReadDoubt", "code"): (
        "ReadDoubtCode",
        Codes("Why the reading is not sure, for programs.", DOUBTS, IN_VALUES),
    ),
    ("UsableReason", "code"): (
        "UsableReasonCode",
        Codes("Why the formula is doubtful or not usable, for programs.", usable.TEXTS, IN_VALUES),
    ),
}


def _component(name: str, codes: Codes) -> dict[str, Any]:
    meanings = "\n".join(f"- `{code}`: {_plain(text)}" for code, text in codes.meanings.items())
    about = " ".join(filter(None, (codes.of, MORE, codes.values)))
    return {
        "type": "string",
        "title": name,
        "description": f"{about}\n\n{meanings}",
        "enum": list(codes.meanings),
    }


def with_codes(components: Components) -> Components:
    """The components with their codes listed."""
    listed = dict(components)
    for (shape, field), (name, codes) in CODES.items():
        properties = listed[shape]["properties"]
        text = {key: value for key, value in properties[field].items() if key in ("type", "format")}
        known = {"$ref": f"#/components/schemas/{name}"}
        open_ = {"anyOf": [known, text], "description": codes.of}
        listed[shape] = {**listed[shape], "properties": {**properties, field: open_}}
        listed[name] = _component(name, codes)
    return listed
