"""A line as it was pasted, made plain: no tags, entities, bullets or exotic digits; then cut into tokens."""

import html
import re
import unicodedata
from typing import NamedTuple

from scaldloaf.importing.vocabulary import SPACELESS, is_spaceless

MOST_RAW_CHARACTERS = 1200      # before tags and entities are taken out
MOST_CHARACTERS = 300
MOST_TOKENS = 40                # of a line: words, numbers and marks
MOST_TOKENS_IN_ALL = 3_000      # of a recipe

_LINE_END = re.compile(r"<\s*(?:br|/li|/p|/div|/tr)\b[^<>]*>", re.IGNORECASE)
_TAG = re.compile(r"<[^<>]*>")
_THIN_SPACE_IN_NUMBER = re.compile(r"(?<=\d)[\u00a0\u2009\u202f](?=\d{3}(?!\d))")
_NOT_PLAIN = re.compile(r"[¹²³⁰⁴-⁹]{1,3}[⁄/][₀-₉]{1,3}|[¼-¾⅐-⅞↉¹²³⁰⁴-⁹₀-₉⁄]")
_DEGREES = str.maketrans("º˚", "°°")
_BULLET = re.compile(r"^(?:[-–—*•●○◎■□▢▪◦・·✓☐»>]|\[[ xX]?\])\s*")
_LIST_NUMBER = re.compile(r"^\d{1,2}[.)]\s+(?=\D*\d)")
_TOKEN = re.compile(r"\d+(?:[.,']\d+)*|(?<![^\s(/-])\.\d+|[^\W\d_]+(?:['’-][^\W\d_]+)*"
                    r"|[()\[\]/,;:、%°+&×~〜–—*=#-]")
_OPENING, _CLOSING = "([", ")]"


class Token(NamedTuple):
    """kind: ``n`` a number, ``w`` a word, ``p`` a mark, ``g`` what stands in parentheses.

    text is in lower case, raw as written; inside holds the tokens of a ``g``.
    """

    kind: str
    text: str
    raw: str = ""
    inside: tuple = ()


def _plain_character(match: re.Match) -> str:
    """Fractions as `` 1/2``; small digits that are none are footnotes."""
    shown = unicodedata.normalize("NFKC", match.group()).replace("\u2044", "/")
    if "/" not in shown:
        return " "
    return shown if shown == "/" else f" {shown}"


def split_lines(text: str) -> list[str]:
    """The lines of a text, those ended by tags included."""
    return _LINE_END.sub("\n", text).splitlines()


def clean(text: str) -> str:
    """One line made plain; at most MOST_CHARACTERS + 1 of it, so that a line too long still shows as one."""
    text = html.unescape(_TAG.sub(" ", html.unescape(text[:MOST_RAW_CHARACTERS])))
    text = text.translate(_DEGREES)
    text = _THIN_SPACE_IN_NUMBER.sub("'", text)
    text = unicodedata.normalize("NFKC", _NOT_PLAIN.sub(_plain_character, text)[:MOST_RAW_CHARACTERS])
    text = " ".join(text[:2 * MOST_RAW_CHARACTERS].split())
    text = _BULLET.sub("", text, count=1)
    return _LIST_NUMBER.sub("", text, count=1)[:MOST_CHARACTERS + 1]


def printable(text: str, most: int) -> str:
    """A text that may be sent back: whole, or its beginning, without control characters."""
    shown = text[:most + 1]
    if not shown.isprintable():
        shown = "".join(character if character.isprintable() else " " for character in shown)
    shown = " ".join(shown.split())
    return shown if len(shown) <= most else shown[:most - 1] + "…"


def _cut_spaceless(run: str) -> list[str]:
    """The known words in a run of characters, longest first; what lies between them as words too."""
    pieces: list[str] = []
    at = unknown = 0
    while at < len(run):
        word = next((word for word in SPACELESS.get(run[at], ()) if run.startswith(word, at)), None)
        if word is None:
            at += 1
            continue
        pieces += (run[unknown:at], word)
        at = unknown = at + len(word)
    pieces.append(run[unknown:])
    return [bare for piece in pieces if (bare := piece.strip("'’-"))]


class TooManyWords(ValueError):
    """A line of more than MOST_TOKENS words, numbers and marks."""


def tokenise(text: str) -> list[Token]:
    """The tokens of a clean line, parentheses gathered; nested ones count as one. Raises TooManyWords."""
    found = _TOKEN.findall(text)
    if len(found) > MOST_TOKENS:
        raise TooManyWords
    flat: list[Token] = []
    spaced = text.isascii()
    for raw in found:
        first = raw[0]
        if first.isdecimal() or first == ".":
            flat.append(Token("n", raw, raw))
        elif first.isalpha():
            if not spaced and not raw.isascii() and is_spaceless(raw):
                flat.extend(Token("w", word, word) for word in _cut_spaceless(raw.lower()))
            else:
                flat.append(Token("w", raw.lower().replace("’", "'"), raw))
        else:
            flat.append(Token("p", raw, raw))
    if len(flat) > MOST_TOKENS:
        raise TooManyWords
    return _gather(flat)


def _gather(flat: list[Token]) -> list[Token]:
    top: list[Token] = []
    inside: list[Token] = []
    depth = 0
    for token in flat:
        if token.kind == "p" and token.text in _OPENING:
            depth += 1
        elif token.kind == "p" and token.text in _CLOSING:
            if depth == 1:
                top.append(Token("g", "", "", tuple(inside)))
                inside = []
            depth = max(0, depth - 1)
        else:
            (inside if depth else top).append(token)
    if inside:
        top.append(Token("g", "", "", tuple(inside)))
    return top
