"""What a line in Chinese or Japanese says beside its amount, which is no part of it."""

import re

from scaldloaf.importing.words.said_units import WEIGHED
from scaldloaf.importing.words.sections import ASIDE_WORDS

_AMOUNT = rf"\d\s?(?:{WEIGHED}|個|个|本|枚|[大小茶湯汤][匙さじ勺]|[匙勺杯])\s*"
# More of it that is not weighed: 奶油 20g,另備少許抹模; バター 20g(型用は別に適量); 蛋液 30g,剩下的刷面.
_MORE = re.compile(
    r"(?:[,、;；，(（+＋ ]+(?:[並并]?(?:另(?:外)?[備备加準准需取留]|額外|额外|外加|[多再][备備準准])"
    r"|別途|別に|(?:以?及|和|與|与)(?=[少適适若一些])|[+＋])(?P<more>[^,、;；，]{1,16}?)[)）]?"
    r"|[(（](?P<apart>[^\d()（）]{1,14}?)(?:は(?:別|分量外|含ま)|別途|另[計计算]|不[計计含在]|除外|を?除く|未[計计含])"
    r"[^\d()（）]{0,10}[)）]"
    r"|[(（](?:不含|未含|不包[括含]|不[計计]|扣除)(?P<but>[^\d()（）]{1,14}?)[)）]"
    r"|[,、;；，](?:剩(?:下|[余餘])?|[余餘]下|其[余餘]|多[余餘]|残りは?|余りは?)(?:[用拿][来來于於])?(?P<rest>[^\d,、;；，]{1,10}?)"
    r"|[,、;；，と+＋ ](?P<some>[^\d,、;；，:：]{2,10}?)(?:[適适]量|適宜|少[々許许量])"
    r")\s*$"
)
# The spoon that comes with a machine, before how many of them: 糖 麵包機附的湯匙 x 3大匙.
_OWN_SPOON = re.compile(
    r"\s*(?:(?:麵包機|面包机|隨機|随机)(?:所?[附自內内][贈赠帶带]?附?的?|的)?|[附自內内][贈赠帶带附]的?)"
    r"(?:專用|专用)?(?:量匙|量勺|湯匙|汤匙|匙|勺)\s*[x×*]?\s*(?=[\d一二兩两三半])"
    r"|\s*付属の?(?:計量)?スプーン(?:で|の)?\s*(?=[大小\d])"
)
# What is done with it, behind the amount: 牛乳 170cc 電子レンジで1分加熱, 牛乳 20ml ← 水でもOK.
_STORY = re.compile(
    f"(?P<kept>{_AMOUNT})"
    r"(?:(?:[\s、,]+(?=[^\d、,。]{0,8}(?:電子レンジ|(?<!オ)レンジ[でに]|加熱|温めて|温める))"
    r"|(?=電子レンジ|レンジ[でに]|加熱|温め))(?:\D|\d+\s?[W分秒度℃])+|[←⇐]\D+)$"
)
# A part of it that is not for the dough, and not weighed: 高筋麵粉 260g(含手粉), 植物油(塗り用を含む) 20g.
_INCLUDED = re.compile(
    r"\s*[(（](?:[已內内]?包?[含括](?:了|少許|少许)?(?P<before>[^\d()（）]{1,12})|(?P<after>[^\d()（）]{1,12}?)"
    r"(?:を|も)?(?:含む|含め|込み|を使う))[^\d()（）]{0,6}[)）]"
)
_BARE_FLOUR = re.compile(r"(?:^\W*|(?<=[、,;:/ 】\])}+＋(（]))粉(?=[\s:…・.]{0,8}\d)")  # 粉 500g
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
MOST_NUMBERS = 2  # of one ingredient: 20g(2大匙)
_KNEADED = re.compile(r"(?<=\w)[和揉](?=[面麵麪](?![粉包團团糰條条]))")  # 20g和面: kneaded in, not “and”
_ABOUT = re.compile(rf"(\d\s?(?:粒|個|枚|本|片|房|{WEIGHED}))ほど")


def included(line: str) -> re.Match[str] | None:
    """Where a line says that a part of its amount is for the tin or the table: ``高筋麵粉 260g(含手粉)``."""
    found = _INCLUDED.search(line)
    said = found and (found["before"] or found["after"])
    return found if said and ASIDE_WORDS.found_in(f" {said} ") else None


def without_besides(plain: str) -> str:
    """A line without more of the same that is not weighed, the name of the spoon, or what is done with it."""
    if plain.isascii():
        return plain
    plain = _BARE_FLOUR.sub(lambda found: found.group().replace("粉", "小麦粉"), plain)
    plain = _KNEADED.sub(" 揉", plain)
    plain = _ABOUT.sub(r"\1", _OWN_SPOON.sub(" ", plain))
    plain = _STORY.sub(r"\g<kept>", plain)
    if part := included(plain):
        plain = plain[: part.start()] + plain[part.end() :]
    found = _MORE.search(plain)
    if found is None or not 0 < len(_NUMBER.findall(plain, 0, found.start())) <= MOST_NUMBERS:
        return plain
    said = found["more"] or found["apart"] or found["but"] or found["rest"] or found["some"]
    return plain[: found.start()].rstrip() if ASIDE_WORDS.found_in(f" {said} ") else plain
