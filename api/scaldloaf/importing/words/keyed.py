"""A line that is an ingredient of structured data: ``{ qty: 200, unit: "ml", item: "Wasser, warm" }``."""

import re

_PAIR = re.compile(
    r"[\"']?([A-Za-z_]{3,16})[\"']?\s?:\s?(\"[^\"]{0,120}\"|'[^']{0,120}'|[^,{}\"']{0,60})(?=\s?[,}]|$)"
)
_NAMES = ("item", "name", "ingredient", "zutat", "food", "nombre", "nom", "nome")
_AMOUNTS = ("qty", "quantity", "amount", "menge", "anzahl", "value", "cantidad", "quantite", "quantita")
_UNITS = ("unit", "units", "einheit", "measure", "unidad", "unite", "unita")
_NOTES = ("note", "notes", "info", "comment", "hinweis", "bemerkung")
_OPENING = re.compile(r"^\W{0,6}\{")


def in_words(text: str) -> str:
    """A line of structured data as amount, unit and name; any other line as it is."""
    if not _OPENING.match(text):
        return text
    pairs = {key.lower(): value.strip("\"' ") for key, value in _PAIR.findall(text)}
    name, amount, unit, note = (
        next((pairs[key] for key in keys if pairs.get(key)), "")
        for keys in (_NAMES, _AMOUNTS, _UNITS, _NOTES)
    )
    if not name or not amount:
        return text
    return " ".join(f"{amount} {unit} {name}{', ' if note else ''}{note}".split())
