"""A pasted line made plain (no tags, entities, bullets or exotic digits), then cut into tokens."""

import html
import re
import unicodedata
from dataclasses import dataclass

from scaldloaf.importing.words.glued import unglued, with_lines_apart
from scaldloaf.importing.words.keyed import in_words
from scaldloaf.importing.words.said_units import GRAMS, WEIGHED
from scaldloaf.importing.words.stand_in import with_one_choice
from scaldloaf.importing.words.vocabulary import OWN_UNITS, SPACELESS, is_spaceless, without_elision

MOST_RAW_CHARACTERS = 1200  # before tags and entities are removed
MOST_CHARACTERS = 300  # of a line that is read as it is
MOST_LONG_CHARACTERS = 1200  # of one that is cut into its parts, and plain
MOST_TOKENS = 40  # of a line: words, numbers and marks
MOST_TOKENS_IN_ALL = 3_000  # of a recipe

_LINE_END = re.compile(r"<\s*(?:br|/?(?:li|p|div|tr|ul|ol|dl|dt|table|h[1-6])|/dd)\b[^<>]*>", re.IGNORECASE)
_TAG_NAME = (
    r"(?:a|abbr|article|b|blockquote|body|br|button|caption|center|code|col|dd|del|div|dl|dt|em|fig\w+|font"
    r"|footer|form|h[1-6r]|head|header|html|i|img|input|ins|label|li|link|main|mark|meta|nav|noscript|ol|option|p"
    r"|picture|pre|q|s|samp|script|section|select|small|span|strike|strong|style|su[bp]|svg|table|tbody|td|tfoot"
    r"|th|thead|time|title|tr|tt|u|ul|var|video|wbr)"
)
# A tag, or else what is in such brackets.
_TAG = re.compile(
    rf"<(?:[^<>]*[/=][^<>]*|![^<>]*|[\s!]*|[\s!]*{_TAG_NAME}(?:[ !]*|\s[^<>]*))>|<([^<>]*)>", re.IGNORECASE
)
_THIN_SPACE_IN_NUMBER = re.compile(r"(?<=\d)[\u00a0\u2009\u202f](?=\d{3}(?!\d))")
_NOT_PLAIN = re.compile(r"[¹²³⁰⁴-⁹]{1,3}[⁄/][₀-₉]{1,3}|[¼-¾⅐-⅞↉¹²³⁰⁴-⁹₀-₉⁄]")
_KEYCAP = re.compile("([0-9])\ufe0f?\u20e3\\s?")  # a number on a key
# Marks that change no reading: those that can't be seen, and pictures.
_UNSEEN = re.compile("[\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u2064\u2066-\u2069\ufeff\ufe0e\ufe0f\u20e3]")
_PICTURE = re.compile(
    "[\U0001f000-\U0001faff\u2600-\u2775\u2794-\u27bf\u2b00-\u2bff]|(?<![^\\s-]):[a-z_]{2,30}:"
)
_CIRCLED = re.compile("^[\\s・*-]*[\u2460-\u24ff\u2776-\u2793]+")
_CIRCLED_INSIDE = re.compile("[\u2460-\u24ff\u2776-\u2793]")
_BULLET = re.compile(r"^(?:[-–—*•●○◎■□▢▪▫◦・·･‧✓☐»>▶►◆◇★☆△▲▼▽※♪〇◯＊┌│└⎧｛{]\s*|\[[ xX]?\]\s*)+")
_LIST_NUMBER = re.compile(
    r"^(?:\(\d{1,2}\)|\d{1,2}[)、]|0\d ?[-.:]|\d{1,2}[.](?!\d)|[A-Ha-h][-–](?=\s\d))\s*(?=\D*\d)"
)
_NUMBERED_WORDS = re.compile(r"^\d{1,2}[.、](?!\d)\s*(?=[^\W\d]\D{11,}$)")
_HAN = "[\u3040-\u30ff\u4e00-\u9fff]"
_GROUP_LETTER = re.compile(rf"^(?:\([A-Za-z]\)|[A-Za-z][).:、{{]?)\s*(?={_HAN})(?!サイズ|玉)")
_CUBIC = re.compile(r"(?<=[\d\s])cm[3³](?!\w)")
_LEADER = re.compile(r"\*{2,}|[-_─―–—=~〜・·.]{2,}|[→⇒]")
_DOT_LEADER = re.compile(r"^(\D{1,60})\s[·・]\s(?=\d)")
_LONG_VOWEL = re.compile("(?<=[\u30a0-\u30ff])[-−](?=[^\\d\\s])|(?<=[\u30a0-\u30fa])-(?=\\s|$)")
_KANA_DOT = re.compile("(?<=[\u30a0-\u30ff])・(?=[\u30a0-\u30ff])")
_SPACED_HAN = re.compile("(?<=[\u4e00-\u9fff]) (?=[\u4e00-\u9fff](?: |$))")
_SPACED_LINE = re.compile("(?:[\u4e00-\u9fff] ){2}[\u4e00-\u9fff]")
_UNIT_GLUED = re.compile(r"(?<=\d)( ?(?:g|gr|kg|ml|cl|dl|l))(?=[A-ZÀ-Ö][a-zà-öø-ÿ]|de\b)")
_HAN_DIGITS = {sign: number for number, sign in enumerate("〇一二三四五六七八九")} | {"兩": 2, "两": 2}
_HAN_COUNTED = (
    f"(?=[顆颗個个粒隻只枚匙勺杯包茶湯汤斤錢钱磅盒袋瓶罐]|[大小][匙勺]|{WEIGHED}"
    "|[兩两](?![顆颗個个粒隻只枚匙勺杯包茶湯汤大小片滴條条天次]))"  # 一兩 is a weight, 一兩滴 a drop or two
)
_HAN_NUMBER = re.compile(
    f"[一二兩两三四五六七八九十百]{{1,5}}{_HAN_COUNTED}|半{_HAN_COUNTED}|(?<=さじ)[一二三半]"
)
_HAN_COMPOUND = re.compile("(?<=[一二三四五六七八九十半][兩两])(?=[一二三四五六七八九半][錢钱])")
_HAN_FRACTION = re.compile(  # 四分之三, 1と3分の1
    r"(?:([一二三1-9])\s?[又と])?(?<!\d)([二三四五八2-9]|10)\s?分[之の]\s?([一二三1-9])(?!\d)"
)
_HAN_HALF = re.compile(
    "(\\d)( ?(?:[顆颗個个杯包斤兩两錢钱磅]|公斤|[茶湯汤大小]?[匙勺]|カップ)|(?<=さじ\\d)杯?)半"
    "(?![熟生乾干脱脫全])"
)
_SPOONS_IN_GRAMS = re.compile(  # 大さじ2/18g
    rf"(?<=[じ匙勺杯プ])( ?\d{{1,2}}) ?/ ?(?=\d{{1,3}}(?:\.\d)? ?{GRAMS})"
)
_BETWEEN_AMOUNTS = re.compile(r"(?<=[\d%gGlLcC克個个])・(?=[^\d\s])")
_SLASHED = re.compile(  # 高粉 280g / 糖 40g / 盐 3g
    rf"(?<=[\dgGlLcC克個个匙勺杯ム量部許许]) ?/ ?(?={_HAN})(?![大小][さ匙勺\d]|[約约茶]|[湯汤][匙勺])"
    rf"|(?<={_HAN}) ?/ ?(?=\d[\d.]* ?{WEIGHED}[的の]?{_HAN})"  # 20g高粉/100g水
)
_HELD_APART = re.compile(rf"(?<=[gl克升ム]\)) ?[/・·•+] ?(?={_HAN})")  # 高粉(20g)・水(100g)
_GRADE = r"(405|480|550|630|700|812|960|997|1050|1150|1370|1600)er\b"
_GRADE_BEFORE = re.compile(_GRADE + r"[ -](\w{0,12}mehl)\b", re.IGNORECASE)
_GRADE_BEHIND = re.compile(r"(?<=mehl )(?:type? )?" + _GRADE, re.IGNORECASE)
_BARE_CELL = re.compile(r"[約约]?\s*\d[\d.,/~～〜–-]*(?: \d/\d{1,2})?")  # 1 1/2
_UNIT_NAMES = frozenset(name for units in OWN_UNITS.values() for name in units)
_SEVERAL_AMOUNTS = re.compile(r"[^\W\d]\s*\d[^|]*[^\W\d]\s*\d")
_NAMED_AMOUNT = re.compile(
    r"^\d[\d.,/½¼¾]*\s?[^\W\d_]+\.?\s[^\W\d_]{3}|[^\W\d_]{3}[^\d]*\s\d[\d.,/½¼¾]*\s?[^\W\d_]+$"
)
_NAMED_IN_HAN = re.compile(  # 230g高筋麵粉, 水 100g
    rf"\d\s?{WEIGHED}[的の]?\s?{_HAN}|{_HAN}\D{{0,3}}\d[\d.,]*\s?{WEIGHED}$"
)
_PURE_AMOUNT = re.compile(r"[約约]?\s*[\d½¼¾⅓⅔][\d.,/½¼¾⅓⅔ -]*(?:\s?[^\W\d_]+\.?){0,3}")
_GRAMS_CELL = re.compile(r"\d[\d.,]*\s?(?:k?g|gr|grams?)\.?", re.IGNORECASE)
_OUNCES_CELL = re.compile(r"\d[\d.,/ ]*\s?(?:oz|ounces?|lbs?)\.?", re.IGNORECASE)
_AMOUNT_CELL = re.compile(r"[約约]?\s*\d[^%％]*$")
_FRACTION_IN_BRACES = re.compile(r"\$?\s*\\[td]?frac\{(\d{1,2})\}\{(\d{1,2})\}\s*\$?")  # 4 \frac{1}{2} cups
_IN_BRACES = re.compile(r"(?<=[^\W_]) \{([^{}:]{1,60})\}")  # 1 Ei {Größe M}
_SUM_OF_TWO = re.compile(  # 12 g (1 tbsp) plus 100 g (1/2 cup) sugar
    r"(?<=\d)( ?[A-Za-z]{1,11})\.? \([^()]{1,24}\) (?:plus|and|\+) "
    r"(\d[\d./ ]{0,8}[A-Za-z]{1,11})\.? \(\d[^()]{1,24}\)"
)
_SPOONS = re.compile(
    r"(?<![\d./,])(\d{1,2}) ?\+ ?(\d{1,2}) (?=(?:tb|ts|table|tea)s?p?)", re.IGNORECASE
)  # 2 + 1 tbsp
_ORDINAL = re.compile(r"(?<=\d/\d) ?(?:rd|th|nd)s?\b")  # 1/3rd cup
_NOTE = re.compile(r"(?<=[^\W\d_]) \*(?=[^\W\d_])")  # 1 egg *lightly beaten *keep 1 tsp for glazing
_PROTEIN = re.compile(  # bread flour, 12.5 % protein
    r"(?<=[a-zß-ÿ]),? (?:with )?\d[\d.,]{0,4} ?% (?:protein|eiweiß|protéines|proteine|proteínas)(?: content)?"
)
_FOOTNOTE = re.compile(r"(?<=[\d%)gG])\s*[*※←](?![*※\s]*\d).*$")
_VARIANTS = str.maketrans("髙麪麺粬塩糰紛醗", "高麵麵麴塩糰粉醱")
_TYPE = re.compile(r"(?<=[\u4e00-\u9fff])(?=[tT]\d{2,3}(?![\d.]))")  # 法国T65面粉
_EGG_SIZE = re.compile(r"(?:(?<=卵)|(?<=たまご)|(?<=玉子)) ?(?:\(([SML])\)|([SML])(?= ?\d))")
_GIVE_OR_TAKE = re.compile(rf"^(?=.*{_HAN})(.*\d) ?± ?\d[\d.]*")  # 水150±10克
_TOKEN = re.compile(
    r"(?<![^\W_])[tTwWrR]\d{2,4}(?![\d.,]?\d|[^\W_\u3040-\u30ff\u4e00-\u9fff])|\d+(?:[.,']\d+)*|(?<![^\s(/-])\.\d+|[^\W\d_]+(?:['’-][^\W\d_]+)*"
    r"|[()\[\]/,;:、%°+&×~〜–—*=#-]"
)
# one-half cup, une demi-cuillère; not half-and-half, demi-sel
_NUMBER_WORD = re.compile(
    r"(?i)(half|third|quarter|demie?|one|two|three|deux|trois)-"
    r"(?=half|third|fourth|quart|tiers|cuill|cup|tea|table|t(?:b)?sp|lit|sachet|cube|tasse|verre|pound|ounce|pint|pack)"
)
_UNIT_FIRST = re.compile(f"{WEIGHED}(?={_HAN})")
_SPACELESS = dict(SPACELESS)
_OPENING, _CLOSING = "([", ")]"
_SLASHED_SPOON = re.compile(r"(?<![^\W_])(c)/([cs])(?![^\W_])", re.IGNORECASE)  # 2 c/s
_ENERGY = re.compile(r"[\s•·|(,-]{1,6}\d{1,5} ?kcal\b.*$", re.IGNORECASE)  # of a line of a table


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
    """One line made plain; at most MOST_LONG_CHARACTERS of it."""
    text = html.unescape(text[:MOST_RAW_CHARACTERS])
    if "<" in text:
        text = _TAG.sub(_without_tag, text)
    text = _CUBIC.sub("ml", _without_beside(html.unescape(text)))
    if not text.isascii():
        text = text.replace("，", ", ")
        text = _UNSEEN.sub("", _KEYCAP.sub(r"\1. ", text))
        text = _CIRCLED_INSIDE.sub(" ", _CIRCLED.sub("", text, count=1))
        text = _THIN_SPACE_IN_NUMBER.sub("'", text.replace("º", "°").replace("˚", "°"))
        text = unicodedata.normalize("NFKC", _NOT_PLAIN.sub(_plain_character, text)[:MOST_RAW_CHARACTERS])
        text = _DOT_LEADER.sub(r"\1 ", text)
        text = _KANA_DOT.sub("", _LONG_VOWEL.sub("ー", text)).translate(_VARIANTS)
    if "{" in text:
        text = _FRACTION_IN_BRACES.sub(r" \1/\2 ", text)
        text = _IN_BRACES.sub(r" (\1)", in_words(text))
    text = _without_cells(text)
    text = _LEADER.sub(" ", without_elision(_UNIT_GLUED.sub(r"\1 ", _with_plain_numbers(unglued(text)))))
    text = with_lines_apart(text)
    text = " ".join(text[: 2 * MOST_RAW_CHARACTERS].split())
    text = _LIST_NUMBER.sub("", _BULLET.sub("", text, count=1), count=1)
    text = with_one_choice(_without_notes(text))
    if not text.isascii():
        text = _with_han_numbers(text)
        text = _FOOTNOTE.sub("", _with_commas(text))
        if _SPACED_LINE.search(text):
            text = _SPACED_HAN.sub("", text)
        text = _GIVE_OR_TAKE.sub(r"\1", _EGG_SIZE.sub(r"(\1\2サイズ)", text))
        text = _TYPE.sub(" ", _GROUP_LETTER.sub("", text, count=1))
    if text[:1].isdigit():
        text = _NUMBERED_WORDS.sub("", text, count=1)
    return text[:MOST_LONG_CHARACTERS]


def _with_commas(text: str) -> str:
    """A list in one line with commas for its dots and strokes: 500 g Mehl • 250 ml Milch • 1 Ei."""
    if text.count(" • ") > 1:
        text = text.replace(" • ", ", ")
    if "/" in text:
        text = _SPOONS_IN_GRAMS.sub(r"\1 = ", text)
    text = _HELD_APART.sub("、", _BETWEEN_AMOUNTS.sub("、", text))
    if text.count("/") > 1 and len(_SLASHED.findall(text)) > 1:
        text = _SLASHED.sub("、", text)
    return text


def _without_beside(text: str) -> str:
    """Without pictures, what the ingredient holds of energy, and the stroke of ``2 c/s``."""
    if ":" in text or not text.isascii():
        text = _PICTURE.sub(" ", text)
    energy = _ENERGY.search(text) if "kcal" in text else None
    if energy and any(map(str.isdigit, text[: energy.start()])):
        text = text[: energy.start()]
    return _SLASHED_SPOON.sub(r"\1\2", text) if "/" in text else text


def _without_notes(text: str) -> str:
    """A line without the strength of its flour, and with its notes behind commas: ``1 egg *beaten``."""
    if "%" in text:
        text = _PROTEIN.sub("", text).replace("% fat", "%")
    at = text.find(" *") if "*" in text else -1
    if at < 1 or not text[at - 1].isalpha():
        return text
    if text[at + 2 : at + 3].isdigit() and any(map(str.isdigit, text[:at])):
        return text[:at]  # 2 tsp yeast *1 tsp takes longer
    return _NOTE.sub(", ", text)


def _with_plain_numbers(text: str) -> str:
    """Numbers without what joins them to words: Mehl 550, one half cup."""
    if "er" in text and "ehl" in text:
        text = _GRADE_BEHIND.sub(r"\1", _GRADE_BEFORE.sub(r"\2 \1", text))
    if "/" in text:
        text = _ORDINAL.sub("", text)
    if ") " in text:
        text = _SUM_OF_TWO.sub(r"\1 plus \2", text)
    if "+" in text:
        text = _SPOONS.sub(_sum, text)
    return _NUMBER_WORD.sub(r"\1 ", text) if "-" in text else text


def _sum(found: re.Match[str]) -> str:
    return f"{int(found.group(1)) + int(found.group(2))} "


def _with_han_numbers(text: str) -> str:
    """Numbers in Chinese signs as digits: 十五克, 四分之三杯, 一茶匙半."""
    if "分" in text:
        text = _HAN_FRACTION.sub(_han_fraction, text)
    text = _HAN_NUMBER.sub(_han_number, _HAN_COMPOUND.sub(" ", text))
    return _HAN_HALF.sub(r"\1.5\2", text) if "半" in text else text


def _han_fraction(found: re.Match[str]) -> str:
    whole, under, over = found.groups()
    fraction = f"{_HAN_DIGITS.get(over, over)}/{_HAN_DIGITS.get(under, under)}"
    return f"{_HAN_DIGITS.get(whole, whole)} {fraction}" if whole else fraction


def _han_number(found: re.Match[str]) -> str:
    """The digits of a number below a thousand; what is no number stays."""
    signs = found.group()
    if signs == "半":
        return "0.5"
    value, digit = 0, -1
    for sign in signs:
        if sign in "十百":
            value += (1 if digit < 0 else digit) * (10 if sign == "十" else 100)
            digit = -1
        elif digit >= 0:
            return signs  # 一二: no number
        else:
            digit = _HAN_DIGITS[sign]
    return str(value + max(digit, 0))


def _without_tag(match: re.Match[str]) -> str:
    """A space for a tag; a heading in such brackets as it is."""
    return " " if match[1] is None else f"#{match[1]}"


def _without_cells(text: str) -> str:
    """A line without the marks of a table between its amount and its name."""
    if ";" in text and _is_row(text.split(";")):
        text = text.replace(";", "|")
    return _cells(text) if "|" in text else text


def _is_row(cells: list[str]) -> bool:
    """Whether what semicolons part is a name, its amount, and perhaps a percentage: ``Mehl;500 g;100 %``."""
    cells = list(filter(None, map(str.strip, cells)))
    amounts = sum(_PURE_AMOUNT.fullmatch(cell) is not None for cell in cells)
    names = sum(not any(map(str.isdigit, cell.split("(")[0])) for cell in cells)
    shares = sum(cell[0].isdigit() and cell[-1] in "%％" for cell in cells)
    return amounts == names == 1 and amounts + names + shares == len(cells)


def _cells(text: str) -> str:
    """A row of a table as a line: the name and the first amount, without the remarks in the cells behind."""
    kept: list[str] = []
    cells = _with_units(list(filter(None, map(str.strip, text.split("|")))))
    if len(cells) > 2 and cells[0].isdigit() and any(map(_SEVERAL_AMOUNTS.search, cells[1:])):
        del cells[0]  # the number of the row
    if len(cells) > 1 and (all(map(_NAMED_AMOUNT.search, cells)) or all(map(_NAMED_IN_HAN.search, cells))):
        return " · ".join(cells)  # ingredients side by side
    if grams := list(filter(_GRAMS_CELL.fullmatch, cells)):  # the same in ounces or spoons is left out
        is_named = any(not any(map(str.isdigit, cell)) for cell in cells)
        other = _PURE_AMOUNT if is_named and len(grams) == 1 else _OUNCES_CELL
        cells = [cell for cell in cells if cell in grams or not other.fullmatch(cell)]
    for cell in cells:
        kept.append(cell)
        amounts = sum(_AMOUNT_CELL.match(each) is not None for each in kept)
        if 0 < amounts < len(kept):
            break
    return " ".join(kept)


def _with_units(cells: list[str]) -> list[str]:
    """The cells, each number with the unit that has a cell of its own behind it."""
    found: list[str] = []
    for cell in cells:
        if found and _BARE_CELL.fullmatch(found[-1]) and cell.lower().rstrip(".") in _UNIT_NAMES:
            found[-1] = f"{found[-1]} {cell}"
        else:
            found.append(cell)
    return found


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
            words = _cut_spaceless(raw.lower())
            unit = _UNIT_FIRST.match(words[0]) if at and words and found[at - 1][0].isdigit() else None
            if unit and words[0] not in _SPACELESS.get(words[0][0], ()):
                words[:1] = [unit.group(), words[0][unit.end() :]]  # 20克做汤种
            found[at] = words
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
