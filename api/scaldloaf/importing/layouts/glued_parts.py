"""Parts that a sentence names in front of the first thing of each: ``湯種部分高筋麵粉25克、水125克``.

In scripts without spaces nothing parts the name of the part from that of the ingredient.
"""

import re
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.said_units import WEIGHED
from scaldloaf.importing.words.sections import title_of
from scaldloaf.importing.words.vocabulary import SPONGE, STEPS, is_spaceless, name_words

MOST_NAME, LEAST_NAME = 8, 2  # characters of the name of a part
MOST_LINE = 400  # characters
_AMOUNT = rf"(?:[約约]\s?)?\d[\d.]*\s?(?:{WEIGHED}|[大小][さ匙勺])"
_IDEOGRAPHS = r"[\u3040-\u30ff\u4e00-\u9fff]"
_APART = re.compile(rf"(\([約约]?\s?\d[\d.]*\s?{WEIGHED}\))\s+(?={_IDEOGRAPHS}+\([約约]?\s?\d)")
_FIRST = re.compile(rf"\s*[・•*-]?\s*({_IDEOGRAPHS}{{2,8}}用)[\s　]+(?={_IDEOGRAPHS}.*\d)")
_CLAUSE = re.compile(rf"(?:^|(?<=[、，,;；。:：|\s]))(?={_IDEOGRAPHS}{{4}}|{_IDEOGRAPHS}{{2,8}}\d)")
_LEADS = r"(?:部[分份]|材料|用料|[用裡里裏中])?(?:需要|用的是|[是为為要用がはに]|には)?"
_NAMED = re.compile(
    rf"({_LEADS})(?:({_IDEOGRAPHS}{{1,10}}?)\s?:?\s?{_AMOUNT}|{_AMOUNT}\s?の?({_IDEOGRAPHS}+))"
)
_IS = re.compile(r"(?:部[分份]|[是がは]|には)$")  # it speaks of the part, not of the ingredient
_STEP_WORDS = tuple(filter(is_spaceless, STEPS))
_JOINED = re.compile(rf"(?<=\d)({WEIGHED})(?:に対して?|[にと])(?={_IDEOGRAPHS}+\s?(?:[大小]さじ)?\d)")


class _Part(NamedTuple):
    """Where a name begins and ends, where the ingredient behind it begins, and what it names.

    is_said: the words between the two say that the name is that of a part.
    """

    at: int
    end: int
    named: int
    part: str
    is_said: bool


def with_glued_parts(line: str) -> str:
    """The line, with a colon behind each part that it names in front of an ingredient with its amount.

    Only where it names the scald first and then the dough, or says that its first words are a part.
    """
    if len(line) > MOST_LINE or line.isascii() or not any(map(str.isdigit, line)):
        return line
    line = _APART.sub(r"\1、", line)  # 高筋面粉(20g) 水(100g)
    is_step = any(map(line.__contains__, _STEP_WORDS))
    found = [part for clause in _CLAUSE.finditer(line) if (part := _part_at(line, clause.start()))]
    parts = [each.part for each in found]
    if not (len(parts) > 1 and parts[0] != DOUGH and DOUGH in parts):
        found = [each for each in found if not line[: each.at].strip() and each.is_said and not is_step]
    for each in reversed(found):
        line = f"{line[: each.end]}:{line[each.named :]}"
    if (first := _FIRST.match(line)) and title_of([first.group(1)]) == (DOUGH, True):
        line = f"{first.group(1)}:{line[first.end() :]}"  # 本ごね用 牛乳 125g
    return line if is_step and not found else _JOINED.sub(r"\1、", line)


def _part_at(line: str, at: int) -> _Part | None:
    """The part whose name begins there, an ingredient with its amount behind it."""
    for length in range(MOST_NAME, LEAST_NAME - 1, -1):
        title = title_of([line[at : at + length]])
        named = _NAMED.match(line, at + length)
        if not named or not title.exact or title.part not in (SCALD, DOUGH, SPONGE):
            continue
        name = named.group(2) or named.group(3)
        said = line[at : named.end(1)]
        if _is_known(name) and name_words(said + name) not in ENGLISH.read_as:
            return _Part(at, at + length, named.end(1), title.part, _IS.search(said) is not None)
    return None


def _is_known(name: str) -> bool:
    """Whether some words begin with an ingredient."""
    return any(name_words(name[:end]) in ENGLISH.read_as for end in range(len(name), 0, -1))
