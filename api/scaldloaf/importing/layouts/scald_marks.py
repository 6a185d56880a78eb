"""What a line says of its own flour and liquid, or a mark below two of them: that they are the scald."""

import re
from collections.abc import Sequence
from unicodedata import normalize

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.layouts.one_line import names_in
from scaldloaf.importing.words.sections import SCALD_WORDS, framed, title_in
from scaldloaf.importing.words.vocabulary import STEPS, heading_words, plain_word
from scaldloaf.reference import Ingredient

MOST_CHARACTERS = 100
MOST_ABOVE, MOST_BELOW = 4, 12  # lines
_COOKED = (
    r"(?:cooked|scalded|boiled|gekocht|aufgekocht|überbrüht|cuite?s?|échaudée?s?|ébouillantée?s?"
    r"|cocid[ao]s?|escaldad[ao]s?|hervid[ao]s?|cott[aoe]|scottat[aoe])"
)
_WITH = r"(?:with|in|into|mit|avec|dans|con|en|nel|nell'|nella)"
_AMOUNT_AND_NAME = r"\d[^,;:()]{2,40}?(?: \([^()]{1,20}\))?"
_STIRRED = (
    r"(?:whisked|mixed|stirred|dissolved|verrührt|eingerührt|délayée?s?|mélangée?s?|disuelt[ao]s?|mezclad[ao]s?"
    r"|sciolt[ao]|mescolat[ao])"
)
_COOKED_WITH = re.compile(
    rf"(?:[^\d:]{{3,30}}: )?({_AMOUNT_AND_NAME}) {_STIRRED} {_WITH} ({_AMOUNT_AND_NAME}) (?:and|und|et|y|e) "
    rf"{_COOKED}\b[^\d]*"
    rf"|({_AMOUNT_AND_NAME}),? \(?{_COOKED} {_WITH} ({_AMOUNT_AND_NAME})\)?"
    rf"|({_AMOUNT_AND_NAME}),? \(?{_WITH} ({_AMOUNT_AND_NAME}) {_COOKED}\)?",
    re.IGNORECASE,
)
_MARKED = re.compile(r"\((?P<inside>[^()\d]{4,40})\)|(?:[-–=]{0,3}>|[→↑^«])\s*(?P<behind>[^\d()]{4,40})")

_SIGNS = "★☆◎○●◇◆□■△▲▽▼♡♥♪✿❀〇◯*"
_LEGEND = re.compile(  # ☆は湯種用です; (★=湯種); ※◎印が湯種の材料; ☆為湯種
    rf"[\s※(（]*([{_SIGNS}])\s*(?:(?:印|マーク|標)?(?:は|が|=|:|\.{{2,}}|⋯+|・{{2,}}|→|[為为是]|的[為为是])|印)\s*"
    r"([^\W\d][^\d]{1,14})"
)
LEAST_MARKED = 2  # lines of the scald


def cooked_apart(plain: str) -> str:
    """A line of flour that is cooked with its liquid as two lines of the scald; empty for any other.

    ``20 g flour cooked with 100 g milk``, ``50 g Mehl, mit 100 g kochendem Wasser überbrüht``.
    """
    found = _COOKED_WITH.fullmatch(plain) if len(plain) <= MOST_CHARACTERS else None
    if not found:
        return ""
    flour, liquid = filter(None, found.groups())
    if (
        not _has_flour(_named(flour))
        or not all(each.is_liquid for each in _named(liquid))
        or not _named(liquid)
    ):
        return ""
    return f"{flour} (tangzhong)\n{liquid} (tangzhong)"


def with_marks_above(raw: Sequence[str], plain: Sequence[str]) -> list[str]:
    """The plain lines, a mark of the scald below the first flour and liquid on each of those.

    Lines
        ``25 g flour``
        ``125 g water``
        ``(for the tangzhong)``
        ``375 g flour``
    """
    made = list(plain)
    listed = [at for at, line in enumerate(plain) if line]
    for place, at in enumerate(listed[: MOST_ABOVE + 1]):
        found = _MARKED.fullmatch(raw[at].strip()) if place > 1 else None
        is_marked = found is not None and title_in(found["inside"] or found["behind"]) == (SCALD, True)
        is_step = place > 1 and _is_step_of_scald(plain[at])
        if not is_marked and not is_step:
            continue
        above, below = listed[:place], listed[place + 1 : place + 1 + MOST_BELOW]
        while len(above) > 2 and not any(map(str.isdigit, plain[above[0]])):
            above = above[1:]  # a heading: The evening before
        named = [_named(plain[each]) for each in above]
        names = [name for each in named for name in each]
        is_scald = all(named) and _has_flour(names) and all(name.is_flour or name.is_liquid for name in names)
        later = [name for each in below for name in _named(plain[each])]
        is_apart = is_marked or any(name.is_flour for name in later)
        if is_scald and is_apart and any(name.yeast for name in later):
            for each in above:
                made[each] = f"{plain[each]} (tangzhong)"
            made[at] = ""
        break
    return made


def with_legend(raw: Sequence[str], plain: Sequence[str]) -> list[str]:
    """The plain lines, those that begin with a sign with what a line says of it, where that is the scald.

    Lines
        ``☆強力粉 50g``
        ``☆熱湯 50g``
        ``強力粉 200g``
        ``☆は湯種用です``
    """
    made = list(plain)
    for at, line in enumerate(raw):
        found = _LEGEND.fullmatch(normalize("NFKC", line).strip()) if line[:6].strip() else None
        scald = SCALD_WORDS.found_in(framed(found[2])) if found else None
        if not found or not scald:
            continue
        signed = [place for place, each in enumerate(raw) if place != at and _begins_with(each, found[1])]
        listed = [place for place in signed if any(map(str.isdigit, plain[place]))]
        others = sum(any(map(str.isdigit, each)) for each in plain) - len(listed)
        if len(listed) == len(signed) >= LEAST_MARKED and others > LEAST_MARKED:
            made[at] = ""
            for place in listed:
                made[place] = f"{plain[place]} ({scald})"
    return made


def _begins_with(line: str, sign: str) -> bool:
    return normalize("NFKC", line[:8]).lstrip(" ・-").startswith(sign)


def _is_step_of_scald(line: str) -> bool:
    """Whether a line says to make the scald of what is above it: ``Mix and cover (this is the yudane).``"""
    words = heading_words(line).split()
    if len(words) < 3 or len(line) > MOST_CHARACTERS or line.endswith(":") or any(map(str.isdigit, line)):
        return False
    return plain_word(words[0]) in STEPS and SCALD_WORDS.found_in(framed(" ".join(words))) is not None


def _named(line: str) -> list[Ingredient]:
    return [each for each in names_in(line) if each is not None] if any(map(str.isdigit, line)) else []


def _has_flour(names: Sequence[Ingredient]) -> bool:
    return any(each.is_flour for each in names)
