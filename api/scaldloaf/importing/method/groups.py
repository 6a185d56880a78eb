"""Marks and letters that group the lines of a list, and what the steps do with a group.

``★強力粉 20g``, ``★牛乳 100g`` and a step ``★を鍋で煮る``: the scald; ``A料`` in a list, ``A料刷在表面`` in a
step: no dough. What is moved is never sure.
"""

import re
import unicodedata
from collections.abc import Iterator, Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.cooked_steps import is_cooked, is_hot, names_scald
from scaldloaf.importing.method.crust_sentences import fills, kneads, washes
from scaldloaf.importing.quantities.readings import HEADING, INGREDIENT, Reader, Reading, grams_of_flour
from scaldloaf.importing.whole.listed_scald import LEAST_LIQUID, LIQUIDS, MOST_LIQUID, MOST_SHARE, is_dough
from scaldloaf.importing.words import text
from scaldloaf.importing.words.doubt import LIKELY, UNKNOWN_HEADING, Doubt
from scaldloaf.importing.words.vocabulary import OUTSIDE

MOST_STEPS = 100
MOST_SENTENCES = 60
MOST_FLOUR_ASIDE = 0.3  # of all the flour: a filling may have a little
_HAN = "[\u3040-\u30ff\u4e00-\u9fff]"
_SIGNS = "★☆◎○●◇◆□■△▲▽▼♡♥♪✿❀〇◯※"
_LINE = re.compile(
    rf"[\s・*-]*(?:[(\[【<「]\s*)?([{_SIGNS}]|(?:材料|グループ)?[A-F](?![A-Za-z0-9]))(?:料|材料)?\s*"
    rf"[)\]】>」]?[.:、]?\s*(?={_HAN}|[(\[【])"
)
_HEADING = re.compile(
    r"[\s・*#-]*[(\[【<「]?\s*(?:材料|グループ)?\s*([A-F])\s*(?:料|材料|組|组)?\s*[)\]】>」]?\s*[:.]?\s*"
)
_ENDS = re.compile(r"[。;；!！\n]")
_BEHIND_SIGN = "[をのとにはがも、,・和料全]"
_BEHIND_LETTER = "(?:料|材料|の|を|と|に|は|が|も|、|,|・|和|部分|混合|全部|中|放|倒|加|拌|[)\\]】])"


def with_groups(
    readings: list[Reading], lines: Sequence[str], steps: Sequence[str], reader: Reader
) -> list[Reading]:
    """The readings, with the groups of lines in the parts that the steps say.

    Parameters
        readings : list[Reading]
        lines : Sequence[str]  of the recipe, as pasted
        steps : Sequence[str]  of the method, besides those among the lines
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]
    """
    if not steps and not reader.method:
        return readings
    groups = _groups(readings, [unicodedata.normalize("NFKC", line) for line in lines])
    if not groups:
        return readings
    sentences = _sentences(lines, steps, reader)
    changed = list(readings)
    for key, places in groups.items():
        mentions = [sentence for sentence in sentences if _is_named(key, sentence)]
        inside = [readings[at] for at in places]
        if not mentions or not inside:
            continue
        if _is_scald(inside, readings, mentions) and not reader.has_scald:
            doubts: tuple[Doubt, ...] = (Doubt.of(LIKELY, "by_method"),)
            moved = [each._replace(part=SCALD, section_doubts=doubts) for each in inside]
            reader.has_scald = True
        elif _is_aside(inside, readings, mentions):
            doubts = (Doubt.of(LIKELY, "filling"),)
            moved = [each._replace(part=OUTSIDE, section_doubts=doubts) for each in inside]
        elif any(map(kneads, mentions)):
            moved = [_settled(each) for each in inside]
        else:
            continue
        for at, reading in zip(places, moved, strict=True):
            changed[at] = reading
    return changed


def _groups(readings: Sequence[Reading], lines: Sequence[str]) -> dict[str, list[int]]:
    """Mark or letter -> the places of the ingredients of the dough that it groups."""
    groups: dict[str, list[int]] = {}
    others = 0
    under = ""
    listed = {each.line for each in readings if each.kind == INGREDIENT and 0 < each.line <= len(lines)}
    leads = {at: begins.group(1)[-1] for at in sorted(listed) if (begins := _LINE.match(lines[at - 1]))}
    goes_on = _begin_groups(leads)
    for at, reading in enumerate(readings):
        if reading.kind == HEADING:
            found = _HEADING.fullmatch(unicodedata.normalize("NFKC", reading.text))
            under = found.group(1) if found else ""
        if reading.kind != INGREDIENT:
            continue
        key = leads.get(reading.line) or under
        under = key if goes_on else under
        if not key:
            others += 1
        elif is_dough(reading):
            groups.setdefault(key, []).append(at)
    return groups if others or len(groups) > 1 else {}


def _begin_groups(leads: dict[int, str]) -> bool:
    """Whether letters stand before the first line of each group only: ``A 高粉``, ``糖``, ``B 奶油``."""
    letters = [lead for lead in leads.values() if lead not in _SIGNS]
    return len(letters) > 1 and letters == sorted(set(letters))


def _sentences(lines: Sequence[str], steps: Sequence[str], reader: Reader) -> list[str]:
    """The sentences of the method as they are written, with their marks."""
    numbers = dict.fromkeys(line for line, _, _ in reader.method if 0 < line <= len(lines))
    written = [lines[line - 1] for line in numbers] + list(steps[:MOST_STEPS])
    found: list[str] = []
    for step in written:
        plain = unicodedata.normalize("NFKC", step[: text.MOST_RAW_CHARACTERS])
        found += filter(None, map(str.strip, _ENDS.split(plain)))
        if len(found) >= MOST_SENTENCES:
            break
    return found[:MOST_SENTENCES]


def _is_named(key: str, sentence: str) -> bool:
    """Whether a sentence speaks of a group; a mark that only begins it is a bullet."""
    for at in _places(key, sentence):
        behind = sentence[at + 1 :].lstrip()
        before = sentence[:at].rstrip()
        if key in _SIGNS:
            starts = not before or before[-1] in ".)、:" and before[:-1].isdigit() or before.isdigit()
            if not starts or re.match(_BEHIND_SIGN, behind):
                return True
        elif not re.match("[A-Za-z0-9°ン]", sentence[max(0, at - 1) : at]) and not re.match(
            "[A-Za-z0-9]", behind
        ):
            is_led = re.search(r"(?:材料|グループ|[(\[【]|[将將把加入和與与跟]|混合|拌入)$", before)
            if is_led or re.match(_BEHIND_LETTER, behind):
                return True
    return False


def _places(key: str, sentence: str) -> Iterator[int]:
    at = sentence.find(key)
    while at >= 0:
        yield at
        at = sentence.find(key, at + 1)


def _flour_g(readings: Sequence[Reading]) -> float:
    return grams_of_flour(each for each in readings if each.in_formula)


def _has_yeast(readings: Sequence[Reading]) -> bool:
    return any(each.ingredient is not None and each.ingredient.yeast is not None for each in readings)


def _is_scald(inside: Sequence[Reading], readings: Sequence[Reading], mentions: Sequence[str]) -> bool:
    """Whether a group is flour with its liquid that a step scalds or cooks to a paste."""
    is_done = any(names_scald(said) or is_cooked(said) or is_hot(said) for said in mentions)
    if not is_done or _has_yeast(inside):
        return False
    flour = _flour_g(inside)
    liquid = sum(each.grams for each in inside if each.ingredient and each.ingredient.name in LIQUIDS)
    if not 0 < flour <= MOST_SHARE * _flour_g(readings):
        return False
    return LEAST_LIQUID * flour <= liquid <= MOST_LIQUID * flour


def _is_aside(inside: Sequence[Reading], readings: Sequence[Reading], mentions: Sequence[str]) -> bool:
    """Whether a group is brushed on, rolled in or sprinkled on, and in no step kneaded."""
    if _has_yeast(inside) or _flour_g(inside) > MOST_FLOUR_ASIDE * _flour_g(readings):
        return False
    if any(map(kneads, mentions)):
        return False
    return any(washes(sentence) or fills(sentence) for sentence in mentions)


def _settled(reading: Reading) -> Reading:
    """A line under a letter, which the steps knead: a doubt about the letter is settled."""
    doubts = tuple(doubt for doubt in reading.section_doubts if doubt.code != UNKNOWN_HEADING)
    return reading._replace(section_doubts=doubts) if reading.part == DOUGH else reading
