"""Headings inside a line that holds a whole list, in scripts without spaces.

``高粉 250g 鹽 4g … 湯種材料 高粉 20g 水 100g``, or ``トッピングの材料- 薄力粉 30g``.
"""

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.said_units import GRAMS, WEIGHED
from scaldloaf.importing.words.sections import ends_with_aside, title_in, title_of
from scaldloaf.importing.words.vocabulary import (
    DOUGH_WORDS,
    LIST,
    METHOD,
    OUTSIDE,
    SECTION_LEADS,
    SECTIONS,
    SPONGE,
    STAGES,
    heading_words,
    is_spaceless,
    name_words,
)

LEAST_AMOUNTS = 4  # of a line that may be a whole list
MOST_HEADING = 80  # characters
MOST_PIECES = 12  # parts of one line
LEAST_LISTED, MOST_LISTED = 0.5, 1.2  # of what a heading says its part weighs, in the lines below
LEAST_ADDED = 3  # plus signs of a whole list on one line: 高粉 250g + 鹽 4g + … = 456g
_HEADED = re.compile(r"^(\D{2,24}(?:材料|用料|食材))\s?[-–—]\s+(?=\S)")
_SUM = re.compile(
    rf"\s*=\s*(?:共|合計|合计|總共|总共|計|计|約|约)?\s*\d[\d.,]*\s*{WEIGHED}?(?=$|[。.;；\s(])"
)
COUNTED = re.compile(r"\d[\d.]*|[適适]量|適宜|少[許许々]|全[量份部]")  # an amount, or that there is none
_PARTS = frozenset((SCALD, DOUGH, OUTSIDE, SPONGE))
_AMOUNT = re.compile(rf"\d\s?(?:{WEIGHED}|個|个|匙|杯|顆|颗|隻|%)")
_HEAD = re.compile(
    r"[【《〔\[<「](?P<in_marks>[^\d【】《》〔〕\[\]<>「」]{1,14})[】》〕\]>」]:?\s*"
    r"|(?<![^\s,、;。.】)])(?P<before_colon>[^\s\d,、;:。()【】《》]{1,14}):\s*"
    r"|(?<![^\s,、;。])(?P<alone>[^\s\d,、;:。()【】《》]{2,14})\s+(?=[^\W\d_])"
)
_LED = re.compile(  # [菠萝皮] 低筋粉 100g
    r"[【《〔\[<「『(](?P<name>[^\d【】《》〔〕\[\]<>「」『』()]{1,14})[】》〕\]>」』)]:?\s*(?=[^\W\d_])(?![約约適适少])"
)
_NAME_AND_AMOUNT = re.compile(
    r"([\u3040-\u30ff\u4e00-\u9fff]{1,10})\s?:\s?(?:(?:[約约]|大約|大约)?\s?\d[\d./~〜～-]*\s?"
    rf"(?:{WEIGHED}|[個个顆颗隻只枚]|[大小茶湯汤]?[匙勺])?|[適适]量|少[許许々])(?:\s?\([^()]*\))?"
)
_NAME_BEFORE_AMOUNT = re.compile(r"([\u3040-\u30ff\u4e00-\u9fff]{1,12})[\s:]*([約约(]?\s?\d.*)$")
_PART_OF_LIST = re.compile(  # 食材：主麵糰; Ingredients: Filling
    r"\W*([^\W\d_][^\d:,、;–—-]{1,30}?)\s*(?::|[–—・]|\s-|(?<=[\u4e00-\u9fff])[\s-])\s*([^\W\d][^\d:,、;]{1,40}?)\s*:?\s*"
)
_NUMBERED_PART = re.compile(  # Part 1: Tangzhong; Part 2 (dough); Day 1: Yudane; 第1步 湯種
    rf"(?i)\W*(?:(?:{'|'.join(STAGES)}|day|tag|jour|día|giorno|第)\s?\d{{1,2}}\s?"
    r"(?:步|部分|部份|天|日目)?[\s:.、–—(-]+|\d{1,2}\s?(?::|日目[の:、・]?)\s?)(\D{2,40}?)\)?:?\s*"
)
_YIELD = re.compile(  # 主麵糰 1條份; 湯種 2斤分
    r"([^\W\d][^\d:,、;()]{1,20}?)\s*([x×]?\d{1,2}\s?(?:[條条個个]份?|份|斤分?|[個本台枚]分|人[份分])"
    rf"|[約约]?\s?\d{{2,4}}\s?{GRAMS})\s*"
)
_MASS = re.compile(rf"(\d{{1,5}}(?:\.\d+)?)\s?{GRAMS}")
_CALLED_DOUGH = tuple(word[-2:] if is_spaceless(word) else word for word in DOUGH_WORDS)  # 麵團, 生地
_BEHIND_NAME = re.compile(r"\s*\([^()]*\)$")
_SCALD_BEHIND = re.compile(  # 強力粉【湯種】 50g, 強力粉・湯種 50g
    r"(?P<name>[\s・･•*-]*[^\W\d]{1,14})(?:\s?[【〈《＜<［]\s?(?P<marked>[^\W\d]{2,8})\s?[】〉》＞>］]"
    r"|[\s・･·‐–—-]{0,3}(?P<apart>(?<=[\s・･·‐–—-])[^\W\d]{2,8}|[湯汤燙烫ゆ][^\W\d]{1,4}用))[\s:：]*(?=[約约]?\d)"
)
LEAST_IN_MARKED = 2  # amounts of a line whose parts may have marks
_AMOUNT_IN_LIST = re.compile(rf"\d\s?(?:{WEIGHED}|ｇ|[大小茶湯汤]?[匙さ勺])")
_MARKED_PART = re.compile(
    r"(?P<before>^|[\s。；;、，)）])(?:[■□◆◇●○★☆▶▷▼▽◎♦🔸🌟🍞]\s?(?P<bulleted>[^\W\d]{2,8})[\s:：]+"
    r"|(?P<led>[^\W\d]{2,8})\s?(?:→|⇒|➡|👉|…+|⋯+)\s?|[(（](?P<inside>[^\W\d]{2,8})[)）]\s?)"
    rf"(?=[^\W\d]{{1,16}}[\s:：(（…]{{0,2}}\d|\d{{1,4}}\s?(?:{WEIGHED}|ｇ)的?[^\W\d])"
)
MOST_FILLINGS = 40  # names that are looked at on one line
_ARROW = re.compile(r"\s?(?:👉|➡|→|⇒|➔)\ufe0f?\s?")
_FILLING = re.compile(
    r"(?P<before>[,，、;；。]\s*)(?P<name>[^\W\d]{2,12})(?<![粉油液水糖])\s?[,，、:：]\s?(?=[^\W\d]{1,12}\s?\d)"
)
_SCALD_AT_END = re.compile(
    r"(?:(?<=\d[gｇ克])|(?<=[%％][)）]))\s?(?:[※←⇐👈→⇒]|[-–—…・]{2,6})\s?(?P<said>[^\W\d]{2,8}?)(?:[にで]使[用うい]|に|へ)?\s*$"
)
_SCALDS = tuple(filter(is_spaceless, SECTIONS[SCALD]))
_IS_MADE_OF = re.compile(  # 汤种是水100克和高筋面粉20克煮成糊
    rf"^({'|'.join(sorted(_SCALDS, key=len, reverse=True))})\s?[是為为]\s?"
    rf"(?=\D{{1,12}}\d{{1,4}}\s?{WEIGHED}\D{{1,12}}\d)"
)
MOST_NOTE = 8  # characters before the colon of a note
_MADE_OF = re.compile(  # 湯種 100g←強力粉50g＋熱湯50g
    rf"(?P<scald>(?P<name>[^\W\d]{{2,10}})[\s:：]*\d{{2,4}}\s?(?:{GRAMS}|ｇ))\s?[←⇐＝=]\s?"
    r"(?P<parts>[^\W\d][^()（）←⇐＝=]{1,14}\d[^()（）←⇐＝=]{1,8}[+＋、,，/・と和][^()（）←⇐＝=]{1,14}\d[^()（）←⇐＝=]{1,8})"
)
_FIRST_CELL = re.compile(
    r"([\u3040-\u30ff\u4e00-\u9fff]{2,8})(?: |\s?[-–—|]\s?)(?=[\u3040-\u30ff\u4e00-\u9fff]\D*\d)"
)
_HELD = re.compile(  # 湯種(強力粉 50g、熱湯(95℃) 50g)
    r"([\u3040-\u30ff\u4e00-\u9fff々]{1,12})\s?\(((?:[^()]|\([^()]*\)){6,})\)(?=\s*(?:[,、;。]|$))"
)
_NAMES_A_LIST = ("材料", "用料", "食材", "原料", "配料", "部分", "部份")


class Piece(NamedTuple):
    """A piece of a line, and the heading before it; none for the first."""

    heading: str
    rest: str


def pieces_of(plain: str) -> list[Piece]:
    """The pieces of a line, from one heading inside it to the next; one piece for most lines."""
    if plain.isascii():
        return [Piece("", plain)]
    if plain.count("+") >= LEAST_ADDED:
        plain = _SUM.sub("", plain)
    if headed := _HEADED.match(plain):
        return [Piece(headed.group(1), plain[headed.end() :])]
    amounts = len(_AMOUNT.findall(plain))
    pieces: list[Piece] = []
    heading, start = "", 0
    led = _LED.match(plain)
    if led and amounts > (plain[0] == "(") and _is_heading(led.group("name"), False, True):
        heading, start = led.group("name"), led.end()
    if amounts < LEAST_AMOUNTS:
        return [Piece(heading, plain[start:])]
    for found in _HEAD.finditer(plain):
        if found.start() == 0 or len(pieces) == MOST_PIECES:
            continue
        name = next(filter(None, found.groups()))
        if not _is_heading(name, found.group("alone") is not None, found.group("in_marks") is not None):
            continue
        pieces.append(Piece(heading, plain[start : found.start()].strip(" ,、;")))
        heading, start = name, found.end()
    return [*pieces, Piece(heading, plain[start:])]


def without_colon(plain: str) -> str:
    """A line that is a name, a colon and an amount, without the colon: ``蛋液：30克`` is no heading."""
    found = _NAME_AND_AMOUNT.fullmatch(plain)
    if found and name_words(found.group(1)) in ENGLISH.read_as:
        return plain.replace(":", " ", 1)
    return plain


def without_its_part(plain: str) -> str:
    """A line that begins with what it is for, with that in parentheses: ``湯種用熱湯 50g``."""
    part, use, rest = plain.partition("用")
    if not use or part not in _SCALDS:
        return plain
    found = _NAME_BEFORE_AMOUNT.match(rest.removeprefix("の").lstrip())
    if found is None or name_words(found.group(1)) not in ENGLISH.read_as:
        return plain
    return f"{found.group(1)}({part}{use}) {found.group(2)}"


def with_its_scald(line: str) -> str:
    """A line as pasted that names the scald beside an ingredient, with that in parentheses.

    ``強力粉【湯種】 50g``, ``強力粉・湯種用 50g``, ``強力粉 50g ※湯種``.
    """
    if line.isascii():
        return line
    note, _, said = line.replace("：", ":").partition(":")
    if len(note) <= MOST_NOTE and said.lstrip().startswith(_SCALDS) and title_in(note) == (METHOD, True):
        line = said.lstrip()  # 備註：湯種 水100g+高粉20g
    line = _IS_MADE_OF.sub(r"\1: ", line)
    if found := _SCALD_BEHIND.match(line):
        said, name = found["marked"] or found["apart"], found["name"]
        if _is_scald(said) and name_words(name.strip(" ・･-•*")) in ENGLISH.read_as:
            return f"{name}({said}) {line[found.end() :]}"
    if (found := _MADE_OF.fullmatch(line.strip())) and title_in(found["name"]) == (SCALD, True):
        return f"{found['scald'].strip()}({found['parts']})"
    if (found := _SCALD_AT_END.search(line)) and _is_scald(found["said"]):
        return f"{line[: found.start()]}({found['said']})"
    return line


def with_marked_parts(line: str) -> str:
    """A line as pasted with several amounts, the marked names of its parts in one kind of marks.

    ``■湯種 粉20g、水100g ■本種 …``, ``湯種→粉20g、水100g 本種→…``, ``湯種…粉20g 水100g``.
    """
    if line.isascii() or len(_AMOUNT_IN_LIST.findall(line)) < LEAST_IN_MARKED:
        return line
    line = _without_what_follows(_MARKED_PART.sub(_as_marked, line))
    return (
        line
        if len(_AMOUNT_IN_LIST.findall(line)) < LEAST_AMOUNTS
        else _FILLING.sub(_as_filling, line, MOST_FILLINGS)
    )


def _without_what_follows(line: str) -> str:
    """A list on one line without the steps that arrows lead to: ``…+黄油25克→揉出膜→发酵``."""
    pieces = _ARROW.split(line)
    listed = [at for at, piece in enumerate(pieces) if _AMOUNT_IN_LIST.search(piece)]
    if len(pieces) < 2 or not listed or listed[-1] == len(pieces) - 1:
        return line
    return "→".join(pieces[: listed[-1] + 1])


def _as_filling(found: re.Match[str]) -> str:
    """In marks: a filling that heads what follows it, ``…、黄油25g、抹茶奶油馅、抹茶粉5g、淡奶油100g``."""
    name = found["name"]
    is_known = name_words(name) in ENGLISH.read_as  # 豆沙馅 may be an ingredient without its amount
    is_heading = _is_heading(name, False, True) and title_in(name).part == OUTSIDE
    return f"{found['before']}【{name}】" if is_heading and not is_known else found.group()


def _as_marked(found: re.Match[str]) -> str:
    name = found["bulleted"] or found["led"] or found["inside"]
    is_heading = _is_heading(name, False, True) and title_of([name]).exact
    return f"{found['before']}【{name}】" if is_heading else found.group()


def _is_scald(said: str) -> bool:
    return title_of([said.removesuffix("用")]) == (SCALD, True)


def without_braces(plain: str) -> str:
    """A line with the lists of its parts in parentheses, their names in marks: ``湯種(粉50g、湯50g)``."""
    if plain.isascii() or "(" not in plain:
        return plain
    whole = _HELD.fullmatch(plain)
    if whole and title_of([whole.group(1)]) == (SCALD, True):
        return plain
    return _HELD.sub(_in_marks, plain)


def _in_marks(found: re.Match[str]) -> str:
    name, held = found.groups()
    is_named = title_in(name).exact or name.endswith(_NAMES_A_LIST)  # not ライトクリーム(乳脂肪20%)
    if len(COUNTED.findall(held)) < 2 or not is_named or not _is_heading(name, False, True):
        return found.group()
    return f"【{name}】{held}"


def without_list_word(plain: str) -> str:
    """A heading of a part with what is beside its name, as the name with a colon.

    ``食材：主麵糰``, ``前一晚：湯種``, ``Part 1: Tangzhong``.
    """
    if len(plain) > MOST_HEADING:
        return plain
    if found := _PART_OF_LIST.fullmatch(plain):
        lead, part = found.groups()
        is_list = title_of(lead.split()) == (LIST, True)
        if (is_list or heading_words(lead) in SECTION_LEADS) and _names_part(part):
            return f"{part}:"
        if is_list and _may_head(part):
            return part
    elif (found := _NUMBERED_PART.fullmatch(plain)) and _names_part(found.group(1)):
        return f"{found.group(1)}:"
    return plain


def _names_part(words: str) -> bool:
    """Whether some words are the heading of a part, and no ingredient."""
    part = _BEHIND_NAME.sub("", words)
    title = title_of(part.split())
    is_part = title.exact or title.part != DOUGH and name_words(part) not in ENGLISH.read_as
    return title.part in _PARTS and is_part


def _may_head(words: str) -> bool:
    """Whether some words may be a heading that is not known, and name no ingredient: ``the pastry``."""
    is_named = any(name_words(word) in ENGLISH.read_as for word in (words, *words.split()))
    return words.replace(" ", "").isalpha() and not is_spaceless(words) and not is_named


def with_yields(plain: list[str]) -> list[str]:
    """The lines, the headings with how much they make as such: ``湯種 120g`` and ``主麵糰 400g``.

    Only where the dough has one; before it those of the scald and the sponge, behind it of what is no dough.
    """
    headed = {
        at: found
        for at, line in enumerate(plain)
        if len(line) <= MOST_HEADING and (found := _YIELD.fullmatch(line)) and _names_part(found.group(1))
    }
    doughs = [at for at, found in headed.items() if title_of(found.group(1).split()).part == DOUGH]
    marked = list(plain)
    for at, found in headed.items() if doughs else ():
        part = title_of(found.group(1).split()).part
        is_in_place = part == DOUGH or (at < doughs[0]) == (part != OUTSIDE)
        below = next((n for n in range(at + 1, len(plain)) if plain[n].strip()), at)
        if (
            is_in_place
            and below not in headed
            and COUNTED.search(plain[below])
            and _adds_up(plain, at, headed)
        ):
            marked[at] = f"{found.group(1)}({found.group(2)}):"
    return marked


def _adds_up(plain: Sequence[str], at: int, headed: Mapping[int, re.Match[str]]) -> bool:
    """Whether the lines below a heading of the dough are about as heavy as it says: not ``油脂 60g``.

    One that says how many breads it makes is believed, and one that is called a dough.
    """
    said, name = _MASS.search(headed[at].group(2)), headed[at].group(1).lower().replace("糰", "團")
    if said is None or title_of(name.split()).part != DOUGH or name.endswith(_CALLED_DOUGH):
        return True
    end = min([other for other in headed if other > at], default=len(plain))
    total = sum(float(found.group(1)) for line in plain[at + 1 : end] if (found := _MASS.search(line)))
    return LEAST_LISTED * float(said.group(1)) <= total <= MOST_LISTED * float(said.group(1))


def with_led_parts(plain: list[str]) -> list[str]:
    """The lines, in marks the parts that a table has before the first line of each: ``本捏 強力粉 200g``.

    Only where one line begins with the scald or a sponge and another with the dough.
    """
    led = {
        at: (found.group(1), title_of([found.group(1)]))
        for at, line in enumerate(plain)
        if (found := _FIRST_CELL.match(line)) and name_words(found.group(1)) not in ENGLISH.read_as
    }
    parts = {title.part for _, title in led.values() if title.exact}
    if parts.isdisjoint((SCALD, SPONGE)) or parts <= {SCALD} or parts <= {SPONGE}:
        return plain
    marked = list(plain)
    for at, (word, title) in led.items():
        if title.exact and title.part in _PARTS:
            marked[at] = f"【{word}】{plain[at][len(word) :].lstrip(' -–—|')}"
    return marked


def _is_heading(name: str, is_alone: bool, is_marked: bool) -> bool:
    """Whether words inside a line name a part and no ingredient; in marks they may be those of a filling."""
    words = name_words(name)
    if (
        not is_spaceless(name)
        or words in ENGLISH.read_as
        and not (is_marked and ENGLISH.read_as[words] is None)
    ):
        return False
    title = title_in(name)
    if title.part not in _PARTS:
        return False
    if is_alone:
        return name.endswith(_NAMES_A_LIST)
    return title.exact or name.endswith(_NAMES_A_LIST) or is_marked and ends_with_aside(name)
