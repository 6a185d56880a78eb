"""What a pasted page has around its list: a title above it, and sentences below it without a heading."""

import re
from collections import Counter
from collections.abc import Collection, Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.line.headings import FOR, TITLE
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.readings import HEADING, INGREDIENT, MENTION, STEP, Reading, step
from scaldloaf.importing.words.doubt import MADE_BEFORE, NOT_READ, SOURDOUGH
from scaldloaf.importing.words.said_units import WEIGHED
from scaldloaf.importing.words.sections import SCALD_WORDS, title_of
from scaldloaf.importing.words.vocabulary import (
    BREADS,
    INFO,
    KNEADED,
    LIST,
    MASS,
    NOT_OURS,
    NUMBERS,
    PACKET,
    TO_READER,
    VOLUME,
    heading_words,
    is_spaceless,
)

LEAST_SENTENCE_WORDS = 5
LEAST_ABOVE = 4  # ingredients above what is done with them
LEAST_TO_READER = 14  # characters of a sentence
MOST_NAME_CHARACTERS, MOST_NAME_WORDS = 60, 9
MOST_CALLED_WORDS = 5
_REMARK = "a remark"
_NO_NAME = re.compile(r"[\d:：|,;<>]|[.!?。]$")
_GUESSES = frozenset(("misspelt", "unknown_words"))
_NAMELESS = frozenset(("another_thing", "not_in_catalogue", "no_name"))
_DONE = tuple(word for word in KNEADED if is_spaceless(word) and (len(word) > 1 or word == "揉"))
_WEIGHED = re.compile(rf"\d\s?{WEIGHED}(?![a-z])", re.IGNORECASE)
_TIMED = re.compile(r"\d\s?(?:分鐘|分钟|小時|小时|度|℃|°C)")
_DIVIDED = ("分成", "分割", "每份", "每個", "每个", "分为", "分為", "分割成")
_COLON = re.compile("[:：]")
_FULL_STOPS = ("。", "！", "？", "!", "～")
_IN_PARENTHESES = re.compile(r"\([^()]*\)")
_NUMBER = re.compile(r"\d+")
_BESIDE = re.compile(r"[(（][^()（）]*[)）]")
_SIZE_BEHIND = re.compile(r"\s*[(（][^()（）]*[\d一二两兩三半][^()（）]*[)）]$")
_IN_WORDS = re.compile(r"[一二两兩三四五六七八九十百半][克公毫升斤个個颗顆枚杯勺匙]")  # 三克
_COMMA = re.compile(r"[,，。;；!！?？]")
_MEASURED = re.compile(r"\d\s?([^\W\d_]+)")
_BEGINS_WITH_NUMBER = re.compile(r"\W*[\d½¼¾⅓⅔]")
_ENDS_SENTENCE = re.compile(r"(?:[!?]|(?:[^\W_]{3}|\bca)[.])(?:\s|\W*$)")  # not 2 c. à soupe


def name_in(readings: Sequence[Reading]) -> str:
    """The recipe's name, where the first line is one; "" where it is not.

    A title, or what stands alone above the headings of the list: ``Hokkaido milk bread`` above ``Tangzhong``.
    Without the size behind it: ``ふわふわ湯種食パン（1.5斤）``.
    """
    if len(readings) < 2:
        return ""
    first, second = readings[:2]
    text = _SIZE_BEHIND.sub("", first.text.strip(" #*_=-–—•★☆"))
    is_title = first.kind == HEADING and first.read_as == TITLE
    is_above = first.kind in (HEADING, STEP) and first.part == DOUGH and second.kind == HEADING
    is_bread = first.kind == HEADING and first.part == DOUGH and heading_words(text).endswith(BREADS)
    is_bread = is_bread and not first.text.rstrip().endswith(":")  # Conchas
    is_title = is_title or is_bread or _is_bread_called(first)
    is_short = 0 < len(text) <= MOST_NAME_CHARACTERS and len(text.split()) <= MOST_NAME_WORDS
    if not (is_title or is_above) or not is_short or _NO_NAME.search(text):
        return ""
    words = heading_words(text).split()
    if (
        not words
        or words[0] in FOR
        or words[0] in INFO
        or any(title_of([word]).part == LIST for word in words)
    ):
        return ""
    if is_spaceless(text):
        return text if text.endswith(BREADS) else ""
    part, exact, *_ = title_of(words)
    is_heading = part not in (None, DOUGH) or part == DOUGH and exact and len(words) == 1
    return "" if is_heading and not is_title or tuple(words) in NOT_OURS else text


def _is_bread_called(reading: Reading) -> bool:
    """Whether a remark is what a bread is called: ``My white tin loaf``; not ``One white loaf``."""
    words = heading_words(_SIZE_BEHIND.sub("", reading.text)).split()
    if reading.kind != STEP or reading.read_as != _REMARK or len(words) > MOST_CALLED_WORDS:
        return False
    if not words or not FOR.isdisjoint(words) or not NUMBERS.keys().isdisjoint(words):
        return False
    return " ".join(words).endswith(BREADS) or DOUGH in (title_of(words).part, title_of(words[-1:]).part)


def without_page_text(readings: list[Reading]) -> list[Reading]:
    """The readings; what was not read above the list's heading, or in sentences below it, is a remark."""
    readings = [_remark(each) if _is_to_reader(each) else each for each in readings]
    listed = [at for at, each in enumerate(readings) if _has_amount(each) and each.ingredient]
    if not listed:
        return readings
    first, last = listed[0], listed[-1]
    on_lines = Counter(each.line for each in readings)
    masses = {f"{readings[at].grams:g}" for at in listed if readings[at].mass}
    head = _begin(readings[: first + 1])
    method = next((at for at in range(last + 1, len(readings)) if readings[at].kind == STEP), len(readings))

    def is_page_text(at: int, reading: Reading) -> bool:
        if at < first and _says_what_it_makes(reading) or at == 0 < first and _may_be_title(reading):
            return True
        is_alone = on_lines[reading.line] == 1 and len(listed) >= LEAST_ABOVE
        if is_alone and at > listed[LEAST_ABOVE - 1] and _is_done(reading, masses):
            return True
        if first <= at <= last or _begins_with_amount(reading.text):
            return False
        if _is_sentence(reading.text) and (at < head or not _has_amount(reading)):
            return True
        if heading_words(_NUMBER.sub(" ", reading.text)) in INFO:
            return at < head  # Servings 16
        return (at < head or at > method) and not _has_amount(reading) and not _is_measured(reading.text)

    is_headed = title_of(heading_words(readings[head].text).split()).part == LIST
    return [
        _remark(each)
        if _is_unread(each) and is_page_text(at, each) or is_headed and at < head and _is_prose(each)
        else each
        for at, each in enumerate(readings)
    ]


def _is_guess(reading: Reading) -> bool:
    return any(doubt.code in _GUESSES for doubt in reading.doubts)


def _is_done(reading: Reading, masses: Collection[str]) -> bool:
    """Whether a line in a script without spaces says what is done: ``28度发酵60分钟``; not a list.

    One with an amount only says an amount of the list again, or how the dough is divided.
    """
    text, codes = reading.text, {doubt.code for doubt in reading.doubts}
    if (
        reading.ingredient
        or codes & {*MADE_BEFORE}
        or _COLON.search(text)
        or not is_spaceless(heading_words(text))
    ):
        return False
    is_said = any(map(text.__contains__, _DONE)) or _TIMED.search(text) is not None
    if _WEIGHED.search(text) is None:
        return is_said
    is_again = is_said and "another_thing" not in codes
    is_again = is_again and any(number in masses for number in _NUMBER.findall(text))
    return is_again or any(map(text.__contains__, _DIVIDED))


def _is_prose(reading: Reading) -> bool:
    """Whether a line in a script without spaces is a guess and ends as sentences do."""
    is_sentence = _COMMA.search(reading.text) is not None and reading.text.rstrip().endswith(_FULL_STOPS)
    return reading.kind == INGREDIENT and is_sentence and (reading.ingredient is None or _is_guess(reading))


def _may_be_title(reading: Reading) -> bool:
    """Whether an unread first line may be the recipe's name: ``牛奶卷``; not a dough made before."""
    codes = {doubt.code for doubt in reading.doubts}
    is_short = len(reading.text) <= MOST_NAME_CHARACTERS and len(reading.text.split()) <= MOST_NAME_WORDS
    return (
        reading.ingredient is None and is_short and codes <= _NAMELESS and not _NO_NAME.search(reading.text)
    )


def _begin(above: Sequence[Reading]) -> int:
    """Where a list begins, of the lines down to its first amount: at its heading, or behind a blank line."""
    for at in range(len(above) - 1, 0, -1):
        if above[at - 1].kind in (HEADING, MENTION):
            return at - 1
        if above[at].line > above[at - 1].line + 1:
            return at
    return 0


def _has_amount(reading: Reading) -> bool:
    has_one = reading.mass or reading.percent or reading.weighed or reading.bare
    return reading.kind == INGREDIENT and has_one is not None


def _begins_with_amount(text: str) -> bool:
    """Whether a line begins with a number, as one of an ingredient does: ``- 250 g of levain``."""
    return _BEGINS_WITH_NUMBER.match(text) is not None


def _is_measured(text: str) -> bool:
    """Whether a line has a number and the unit of an ingredient: ``levain 250 g``."""
    units = (unit_of_word(word.lower()) for word in _MEASURED.findall(text))
    return any(unit is not None and unit.kind in (MASS, VOLUME, PACKET) for unit in units)


def _is_unread(reading: Reading) -> bool:
    """Whether a line is taken for an ingredient, and its name is unknown or a guess."""
    if reading.kind != INGREDIENT or reading.sure != NOT_READ:
        return False
    return reading.ingredient is None or _is_guess(reading)


def _says_what_it_makes(reading: Reading) -> bool:
    """Whether a line says how many breads or which tin the recipe is for: ``Pour 2 pains de 450 g``."""
    if any(doubt.code == SOURDOUGH for doubt in reading.doubts):
        return False
    words = heading_words(_IN_PARENTHESES.sub("", reading.text)).split()
    is_counted = any(word.isdecimal() or word in NUMBERS for word in words)
    if SCALD_WORDS.found_in(f" {' '.join(words)} "):
        return False
    if is_counted and not FOR.isdisjoint(words[:2]):
        return True
    said = [word for word in words if word.isalpha() and unit_of_word(word) is None]
    while said and said[-1] in OF:
        del said[-1]
    return title_of(said).part == DOUGH


def _is_to_reader(reading: Reading) -> bool:
    """Whether a line in a script without spaces is a sentence to the reader and weighs nothing.

    ``酵母的活性很關鍵:用少許溫水加一點糖,5分鐘內起泡就代表活性足夠``; never for what is read without a doubt.
    """
    text = _BESIDE.sub("", reading.text)
    if reading.kind != INGREDIENT or len(text) < LEAST_TO_READER or not is_spaceless(heading_words(text)):
        return False
    is_guess = reading.ingredient is None or _is_guess(reading)
    is_said = _COMMA.search(text) is not None and any(word in text for word in TO_READER)
    return is_guess and is_said and not _is_measured(text) and _IN_WORDS.search(text) is None


def _is_sentence(text: str) -> bool:
    return _ENDS_SENTENCE.search(text) is not None and len(text.split()) >= LEAST_SENTENCE_WORDS


def _remark(reading: Reading) -> Reading:
    return step(reading, _REMARK)
