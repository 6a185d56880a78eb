"""A pasted line made plain (no tags, entities, bullets or exotic digits), then cut into tokens."""

import html
import re
import unicodedata
from dataclasses import dataclass

from scaldloaf.importing.vocabulary import SPACELESS, is_spaceless

MOST_RAW_CHARACTERS = 1200  # before tags and entities are removed
MOST_CHARACTERS = 300
MOST_TOKENS = 40  # of a line: words, numbers and marks
MOST_TOKENS_IN_ALL = 3_000  # of a recipe

_LINE_END = re.compile(r"<\s*(?:br|/li|/p|/div|/tr)\b[^<>]*>", re.IGNORECASE)
_TAG = re.compile(r"<[^<>]*>")
_THIN_SPACE_IN_NUMBER = re.compile(r"(?<=\d)[\u00a0\u2009\u202f](?=\d{3}(?!\d))")
_NOT_PLAIN = re.compile(r"[¹²³⁰⁴-⁹]{1,3}[⁄/][₀-₉]{1,3}|[¼-¾⅐-⅞↉¹²³⁰⁴-⁹₀-₉⁄]")
_BULLET = re.compile(r"^(?:[-–—*•●○◎■□▢▪◦・·✓☐»>]|\[[ xX]?\])\s*")
_LIST_NUMBER = re.compile(r"^\d{1,2}[.)]\s+(?=\D*\d)")
_TOKEN = re.compile(
    r"\d+(?:[.,']\d+)*|(?<![^\s(/-])\.\d+|[^\W\d_]+(?:['’-][^\W\d_]+)*"
    r"|[()\[\]/,;:、%°+&×~〜–—*=#-]"
)
_SPACELESS = dict(SPACELESS)
_OPENING, _CLOSING = "([", ")]"


@dataclass(slots=True)
class Token:
    """A number (kind ``n``), a word (``w``), a mark (``p``), or what is in parentheses (``g``).

    text: in lower case. raw: as written. inside: the tokens of a ``g``.
    """

    kind: str
    text: str
    raw: str = ""
    inside: tuple["Token", ...] = ()


def _plain_character(match: re.Match[str]) -> str:
    return _PLAIN_CHARACTERS.get(match.group()) or _plain_characters(match.group())


def _plain_characters(characters: str) -> str:
    """A fraction as `` 1/2``; a space for small digits that are none, which are footnotes."""
    shown = unicodedata.normalize("NFKC", characters).replace("\u2044", "/")
    if "/" not in shown:
        return " "
    return shown if shown == "/" else f" {shown}"


_PLAIN_CHARACTERS = {
    character: _plain_characters(character)
    for character in map(chr, range(0xB0, 0x2190))
    if _NOT_PLAIN.fullmatch(character)
}


def split_lines(text: str) -> list[str]:
    """The lines of a text, those ended by tags included."""
    return _LINE_END.sub("\n", text).splitlines()


def clean(text: str) -> str:
    """One line made plain; at most MOST_CHARACTERS + 1 of it, so that a line too long still shows as one."""
    text = html.unescape(text[:MOST_RAW_CHARACTERS])
    if "<" in text:
        text = _TAG.sub(" ", text)
    text = html.unescape(text)
    if not text.isascii():
        text = _THIN_SPACE_IN_NUMBER.sub("'", text.replace("º", "°").replace("˚", "°"))
        text = unicodedata.normalize("NFKC", _NOT_PLAIN.sub(_plain_character, text)[:MOST_RAW_CHARACTERS])
    text = " ".join(text[: 2 * MOST_RAW_CHARACTERS].split())
    text = _BULLET.sub("", text, count=1)
    return _LIST_NUMBER.sub("", text, count=1)[: MOST_CHARACTERS + 1]


def printable(text: str, most: int) -> str:
    """A text that may be sent back: whole, or its beginning, without control characters."""
    shown = text[: most + 1]
    if not shown.isprintable():
        shown = "".join(character if character.isprintable() else " " for character in shown)
    shown = " ".join(shown.split())
    return shown if len(shown) <= most else shown[: most - 1] + "…"


def _cut_spaceless(run: str) -> list[str]:
    """The known words in a run of characters, longest first; what lies between them as words too."""
    pieces: list[str] = []
    at = unknown = 0
    while at < len(run):
        for word in _SPACELESS.get(run[at], ()):
            if run.startswith(word, at):
                pieces += (run[unknown:at], word)
                at = unknown = at + len(word)
                break
        else:
            at += 1
    pieces.append(run[unknown:])
    return list(filter(None, [piece.strip("'’-") for piece in pieces]))


class TooManyWords(ValueError):
    """A line of more than MOST_TOKENS words, numbers and marks."""


def cut(text: str) -> list[str | list[str]]:
    """The words, numbers and marks of a clean line; a run without spaces as a list of its words.

    Raises TooManyWords.
    """
    found = _TOKEN.findall(text)
    if len(found) > MOST_TOKENS:
        raise TooManyWords
    if text.isascii():
        return found
    count = len(found)
    for at, raw in enumerate(found):
        if not raw.isascii() and raw[0].isalpha() and is_spaceless(raw):
            found[at] = words = _cut_spaceless(raw.lower())
            count += len(words) - 1
    if count > MOST_TOKENS:
        raise TooManyWords
    return found


def tokenise(pieces: list[str | list[str]]) -> list[Token]:
    """The tokens of a line that was cut, parentheses gathered; nested ones count as one."""
    top: list[Token] = []
    inside: list[Token] = []
    depth, tokens = 0, top
    for raw in pieces:
        if isinstance(raw, list):
            tokens.extend([Token("w", word, word) for word in raw])
            continue
        first = raw[0]
        if first.isalpha():
            tokens.append(Token("w", raw.lower().replace("’", "'"), raw))
        elif first.isdecimal() or first == ".":
            tokens.append(Token("n", raw, raw))
        elif first in _OPENING:
            depth, tokens = depth + 1, inside
        elif first in _CLOSING:
            if depth == 1:
                top.append(Token("g", "", "", tuple(inside)))
                tokens = top
                inside = []
            depth = max(0, depth - 1)
        else:
            tokens.append(Token("p", raw, raw))
    if inside:
        top.append(Token("g", "", "", tuple(inside)))
    return top
