"""A pasted line made plain (no tags, entities, bullets or exotic digits), then cut into tokens."""

import html
import re
import unicodedata
from dataclasses import dataclass

from scaldloaf.importing.vocabulary import SPACELESS, is_spaceless, without_elision

MOST_RAW_CHARACTERS = 1200  # before tags and entities are removed
MOST_CHARACTERS = 300
MOST_TOKENS = 40  # of a line: words, numbers and marks
MOST_TOKENS_IN_ALL = 3_000  # of a recipe

_LINE_END = re.compile(r"<\s*(?:br|/li|/p|/div|/tr)\b[^<>]*>", re.IGNORECASE)
_TAG = re.compile(r"<([^<>]*)>")
_TAG_NAME = re.compile(
    r"(?:a|abbr|article|b|blockquote|body|br|button|caption|center|code|col|dd|del|div|dl|dt|em|fig\w+|font"
    r"|footer|form|h[1-6r]|head|header|html|i|img|input|ins|label|li|link|main|mark|meta|nav|noscript|ol|option|p"
    r"|picture|pre|q|s|samp|script|section|select|small|span|strike|strong|style|su[bp]|svg|table|tbody|td|tfoot"
    r"|th|thead|time|title|tr|tt|u|ul|var|video|wbr)",
    re.IGNORECASE,
)
_THIN_SPACE_IN_NUMBER = re.compile(r"(?<=\d)[\u00a0\u2009\u202f](?=\d{3}(?!\d))")
_NOT_PLAIN = re.compile(r"[¹²³⁰⁴-⁹]{1,3}[⁄/][₀-₉]{1,3}|[¼-¾⅐-⅞↉¹²³⁰⁴-⁹₀-₉⁄]")
# Marks that change no reading: those that can't be seen, and pictures.
_UNSEEN = re.compile("[\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u2064\u2066-\u2069\ufeff\ufe0e\ufe0f\u20e3]")
_PICTURE = re.compile(
    "[\U0001f000-\U0001faff\u2600-\u2775\u2794-\u27bf\u2b00-\u2bff]|(?<![^\\s-]):[a-z_]{2,30}:"
)
_CIRCLED = re.compile("^[\\s・*-]*[\u2460-\u24ff\u2776-\u2793]+")
_BULLET = re.compile(r"^(?:[-–—*•●○◎■□▢▪▫◦・·･‧✓☐»>▶►◆◇★☆△▲▼▽※♪〇◯＊┌│└⎧｛{]\s*|\[[ xX]?\]\s*)+")
_LIST_NUMBER = re.compile(r"^(?:\(\d{1,2}\)|\d{1,2}[)、]|0\d ?[-.:]|\d{1,2}[.](?!\d))\s*(?=\D*\d)")
_HAN = "[\u3040-\u30ff\u4e00-\u9fff]"
_GROUP_LETTER = re.compile(rf"^(?:\([A-Za-z]\)|[A-Za-z][).:、{{]?)\s*(?={_HAN})(?!サイズ|玉)")
_LEADER = re.compile(r"\*{2,}|[-_─―–—=~〜・·.]{2,}|[→⇒]|(?<=\D)\s[·・]\s(?=\d)")
_LONG_VOWEL = re.compile("(?<=[\u30a0-\u30ff])[-−](?=[^\\d\\s])|(?<=[\u30a0-\u30fa])-(?=\\s|$)")
_KANA_DOT = re.compile("(?<=[\u30a0-\u30ff])・(?=[\u30a0-\u30ff])")
_SPACED_HAN = re.compile("(?<=[\u4e00-\u9fff]) (?=[\u4e00-\u9fff](?: |$))")
_SPACED_LINE = re.compile("(?:[\u4e00-\u9fff] ){2}[\u4e00-\u9fff]")
_UNIT_GLUED = re.compile(r"(?<=\d)( ?(?:g|gr|kg|ml|cl|dl|l))(?=[A-ZÀ-Ö][a-zà-öø-ÿ]|de\b)")
_HAN_NUMBERS = {
    "一": "1",
    "二": "2",
    "兩": "2",
    "两": "2",
    "三": "3",
    "四": "4",
    "五": "5",
    "六": "6",
    "半": "0.5",
}
_HAN_NUMBER = re.compile("[一二兩两三四五六半](?=[顆颗個个粒隻只枚匙勺杯包茶湯汤]|[大小][匙勺])")
_BETWEEN_AMOUNTS = re.compile(r"(?<=[\d%gGlLg克])・(?=[^\d\s])")
_AMOUNT_CELL = re.compile(r"[約约]?\s*\d[^%％]*$")
_GLUED_AMOUNT = re.compile(r"(?<=[a-zß-ÿ]{3})(?=\d{1,4} ?(?:g|ml|EL|TL|kg|Würfel|Eier|Ei|Prise|Pck)\b)")
_LONG_ENOUGH_TO_BE_GLUED = 60
_FOOTNOTE = re.compile(r"(?<=[\d%)gG])\s*[*※←](?![*※\s]*\d).*$")
_VARIANTS = str.maketrans("髙麪麺粬塩糰紛醗", "高麵麵麴塩糰粉醱")
_TOKEN = re.compile(
    r"(?<![^\W_])[tTwWrR]\d{2,4}(?![\d.,]?\d|[^\W_])|\d+(?:[.,']\d+)*|(?<![^\s(/-])\.\d+|[^\W\d_]+(?:['’-][^\W\d_]+)*"
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
        text = _TAG.sub(_without_tag, text)
    text = html.unescape(text)
    if ":" in text or not text.isascii():
        text = _PICTURE.sub(" ", text)
    if not text.isascii():
        text = _CIRCLED.sub("", _UNSEEN.sub("", text), count=1)
        text = _THIN_SPACE_IN_NUMBER.sub("'", text.replace("º", "°").replace("˚", "°"))
        text = unicodedata.normalize("NFKC", _NOT_PLAIN.sub(_plain_character, text)[:MOST_RAW_CHARACTERS])
        text = _KANA_DOT.sub("", _LONG_VOWEL.sub("ー", text)).translate(_VARIANTS)
    if "|" in text:
        text = _cells(text)
    text = _LEADER.sub(" ", without_elision(_UNIT_GLUED.sub(r"\1 ", text)))
    if len(text) > _LONG_ENOUGH_TO_BE_GLUED:
        text = _GLUED_AMOUNT.sub(", ", text)
    text = " ".join(text[: 2 * MOST_RAW_CHARACTERS].split())
    text = _LIST_NUMBER.sub("", _BULLET.sub("", text, count=1), count=1)
    if not text.isascii():
        text = _HAN_NUMBER.sub(lambda found: _HAN_NUMBERS[found.group()], text)
        text = _FOOTNOTE.sub("", _BETWEEN_AMOUNTS.sub("、", text))
        if _SPACED_LINE.search(text):
            text = _SPACED_HAN.sub("", text)
        text = _GROUP_LETTER.sub("", text, count=1)
    return text[: MOST_CHARACTERS + 1]


def _without_tag(match: re.Match[str]) -> str:
    """A space for a tag; a heading in such brackets as it is."""
    inside = match.group(1)
    words = inside.strip("/ !").split(None, 1)
    is_tag = (
        not words
        or _TAG_NAME.fullmatch(words[0]) is not None
        or "=" in inside
        or "/" in inside
        or inside[0] == "!"
    )
    return " " if is_tag else f"#{inside}"


def _cells(text: str) -> str:
    """A row of a table as a line: the name and the first amount, without the remarks in the cells behind."""
    kept: list[str] = []
    for cell in filter(None, map(str.strip, text.split("|"))):
        kept.append(cell)
        amounts = sum(_AMOUNT_CELL.match(each) is not None for each in kept)
        if 0 < amounts < len(kept):
            break
    return " ".join(kept)


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
