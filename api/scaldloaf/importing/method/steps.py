"""Which of the lines are sentences of the method."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.layouts.joined_lines import names_one
from scaldloaf.importing.line.headings import MOST_TITLE_CHARACTERS, has_measure, weighs_inside
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.measures import Item, Measure, unit_of_word
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.sections import SCALD_WORDS, framed, title_in
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import (
    CHOOSE,
    COUNT,
    FROM_LIST,
    INSTEAD,
    KNEADED,
    MASS,
    OPENERS,
    PACKET,
    PERCENT,
    PIECE,
    REMARK,
    SECTION_LEADS,
    STAGES,
    STEPS,
    has_one_of,
    is_spaceless,
    plain_word,
)

LEAST_SENTENCE_CHARACTERS = 8
LEAST_STEP_WORDS = 8
LEAST_SAID = 4
MOST_WORDS_BEFORE_AMOUNT = 4  # of a line that is a name and its amount
MOST_WORDS_BEFORE_SHARE = 3
LEAST_LONG_CHARACTERS = 120  # of a line that has its step behind its amounts
_WEIGHED = frozenset((MASS, "volume", COUNT, PIECE, PACKET, "stick", "spice", "container", "cube"))
_STEP_NUMBER = re.compile(
    rf"(?:{'|'.join(STAGES)})\s?\d{{1,2}}(?:\s?(?:{'|'.join(sorted(OF))}|sur|/)\s?\d{{1,2}})?\s?[:.]?",
    re.IGNORECASE,
)
_LEADS = tuple(lead + end for lead in SECTION_LEADS for end in " '’")  # whole words: le, but not leave
_TAKES = re.compile(
    r"\W{0,3}(?:\d{1,2}[\s.、)）:：]{1,3})?(?:首先|先|再|然后|然後|最后|最後)?[将將把](?=[^\s:：]{4})"
)
_METHODS = ("做法", "作法", "步驟", "步骤", "方法", "製法", "制法", "作り方")
_KNEADED = tuple(filter(is_spaceless, KNEADED))
_WORD = re.compile(r"[^\W\d_]+")
_DIGIT = re.compile(r"\d")
_INSIDE = re.compile(r"\([^()]*\)")
_AMOUNT = re.compile(r"\d\s?(?:gr?|grs|gramm?[eio]s?|gramos|ml|cl|dl)\b")


def is_step_number(plain: str) -> bool:
    """Whether a line only counts the steps: ``Step 1``, ``Schritt 2 von 6``."""
    return _STEP_NUMBER.fullmatch(plain) is not None


def begins_a_step(plain: str) -> bool:
    """Whether a line begins with a word that begins sentences of a method: ``Add 20 g of oil``, ``将``."""
    if _TAKES.match(plain):
        return True
    words = plain.lower().split(maxsplit=LEAST_SAID)
    if len(words) <= LEAST_SAID or f"{' '.join(words[:2])} ".startswith(_LEADS):
        return False  # pour la pâte : 500 g de farine
    first = plain_word(words[0])
    return first in STEPS or first in OPENERS


def has_step_word(plain: str) -> bool:
    """Whether one of the words that only a method has is in a line."""
    return has_one_of(plain, STEPS)


def is_method_behind_heading(plain: str, has_scald: bool) -> bool:
    """Whether a line in a script without spaces is a method behind its heading: ``麵團做法：全部材料揉勻``.

    That of a scald that is not listed holds its amounts.
    """
    head, _, said = plain.partition(":")
    if not said or len(head) > MOST_TITLE_CHARACTERS or not head.endswith(_METHODS) or not is_spaceless(head):
        return False
    has_step = has_step_word(said) or any(map(said.__contains__, _KNEADED))
    return has_step and (has_scald or SCALD_WORDS.found_in(framed(head)) is None)


def _starts_with_time(items: Sequence[Item]) -> bool:
    """Whether a line starts with a time or a temperature: ``30 minutes to rest``."""
    return bool(items) and isinstance(items[0], Measure) and items[0].kind == REMARK


def is_step(tokens: Sequence[Token], items: Sequence[Item], plain: str) -> bool:
    """Whether a line is a sentence of the method, or a remark."""
    if not tokens or tokens[0].kind == "n" and not _starts_with_time(items):
        return False
    if len(tokens) == 1 and tokens[0].inside:
        inside = tokens[0].inside
        if inside[0].text in CHOOSE or any(token.text in INSTEAD for token in inside):
            return True  # (or 15 g of fresh yeast)
    measured = any(isinstance(item, Measure) and item.kind in _WEIGHED for item in items)
    if is_spaceless(plain):
        return _is_spaceless_step(items, plain, measured)
    words = [token for token in tokens if token.kind == "w"]
    if tokens[0].kind == "n" and not measured and has_step_word(plain):
        return True
    if len(words) >= LEAST_STEP_WORDS and not any(map(str.isdigit, plain)) and _begins_with_step(words):
        return True
    said = [token for token in words if token.text not in OF and not _is_unit(token.text)]
    is_said = len(said) >= LEAST_STEP_WORDS // 2 or takes_time(items, COUNT)  # mix 20 seconds/Speed 4
    if plain_word(tokens[0].text) in STEPS and is_said:
        return True
    if _opens_a_step(tokens[0].text, items, len(said), measured) or _takes_from_list(plain, items):
        return True
    if len(words) >= LEAST_STEP_WORDS // 2 and not measured and plain_word(words[-1].text) in STEPS:
        return True  # Mehl, Salz und Hefe mischen.
    return len(words) >= LEAST_STEP_WORDS and not measured and has_step_word(plain)


def takes_time(items: Sequence[Item], *beside: str) -> bool:
    """Whether a time or a temperature is among the items, and no amount but of some kinds beside it."""
    kinds = {item.kind for item in items if isinstance(item, Measure)}
    return REMARK in kinds and kinds <= {REMARK, *beside}


def _opens_a_step(first: str, items: Sequence[Item], said: int, measured: bool) -> bool:
    """Whether a line is a step by its first word: ``Add the butter to the bowl``.

    Parameters
        first : str  its first word
        items : Sequence[Item]
        said : int  how many words it has besides units
        measured : bool  whether anything in it is counted
    Returns
        bool
    """
    enough = LEAST_STEP_WORDS if measured else LEAST_STEP_WORDS // 2
    return plain_word(first) in OPENERS and said >= enough and not _is_weighed(items)


def _takes_from_list(plain: str, items: Sequence[Item]) -> bool:
    """Whether a line says what an amount of the list is for: ``… use 25 g of the flour listed above``.

    Not one that is a name and its amount: ``Levure : 20 g, à délayer avec un peu de la farine``.
    """
    if plain.count(" ") < LEAST_STEP_WORDS or not _says_from_list(plain) or not _is_weighed(items):
        return False
    before = _DIGIT.split(plain, maxsplit=1)[0].strip(" :–-(")
    is_listed = 0 < len(before.split()) <= MOST_WORDS_BEFORE_AMOUNT and names_one(before)
    return not is_listed or title_in(before).part == SCALD or _says_from_list(before)


def _says_from_list(plain: str) -> bool:
    return any(map(plain.lower().__contains__, FROM_LIST))


def _is_weighed(items: Sequence[Item]) -> bool:
    return any(isinstance(item, Measure) and item.kind in (MASS, "volume") for item in items)


def _is_spaceless_step(items: Sequence[Item], plain: str, measured: bool) -> bool:
    """Whether a line in a script without spaces is a sentence of the method."""
    measured = measured or len(plain) <= MOST_TITLE_CHARACTERS and weighs_inside(items)
    ends, is_long = plain.endswith("。"), len(plain) >= LEAST_SENTENCE_CHARACTERS
    if (measured or _is_a_share(items)) and not ends:
        return False
    outside = _INSIDE.sub("", plain)  # 黄油 8%(后油法加入)
    has_step = has_step_word(outside if outside.strip() else plain)
    if ends and not has_measure(items) and has_step:
        return True
    return is_long and (ends and not measured or has_step)


def _is_a_share(items: Sequence[Item]) -> bool:
    """Whether a line is a name and its percentage and nothing else: ``速發酵母 1.2%``, ``烤熟核桃 10%``."""
    words, share = [item for item in items[:-1] if item != ":"], items[-1] if items else None
    is_share = isinstance(share, Measure) and share.kind == PERCENT
    is_named = 0 < len(words) <= MOST_WORDS_BEFORE_SHARE and (words[-1],) in ENGLISH.read_as
    return is_share and is_named and all(type(word) is str for word in words)


def _is_unit(word: str) -> bool:
    unit = unit_of_word(word)
    return unit is not None and unit.kind != REMARK


def _begins_with_step(words: Sequence[Token]) -> bool:
    """Whether one of the first words is of a method: ``Now mix that with all but one egg``."""
    return any(plain_word(word.text) in STEPS for word in words[:3])


def without_long_step(plain: str) -> str:
    """A long line of the scald, without the step behind its amounts: ``Tangzhong : 20 g de farine et …``.

    ``…, à mélanger dans une casserole jusqu'à ce que`` and so on.
    """
    if len(plain) < LEAST_LONG_CHARACTERS or ":" not in plain:
        return plain
    heading, _, listed = plain.partition(":")
    if title_in(_INSIDE.sub("", heading)) != (SCALD, True):
        return plain
    step = next((word for word in _WORD.finditer(listed) if plain_word(word.group().lower()) in STEPS), None)
    if step is None or len(_AMOUNT.findall(listed[: step.start()])) < 2 or ":" in listed[step.start() :]:
        return plain  # the last: … 100 g de lait. Pour la pâte : 480 g de farine
    return f"{heading}:{listed[: step.start()]}".rstrip(" ,;.")
