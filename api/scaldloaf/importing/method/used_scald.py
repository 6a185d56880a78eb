"""How much of the scald the method puts into the dough, where it is made larger than it is used."""

import re
from collections.abc import Iterable, Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.layouts.cooked_steps import names_scald
from scaldloaf.importing.method.said_amounts import amounts_in, named_in
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.readings import INGREDIENT, MENTION, Reader, Reading
from scaldloaf.importing.whole.left_over import batches_of
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.said_units import GRAMS
from scaldloaf.importing.words.text import clean
from scaldloaf.importing.words.vocabulary import (
    HALF,
    MASS,
    USED,
    heading_words,
    is_spaceless,
    plain_word,
    plain_words,
)

MOST_NAMING = 40  # characters of a line that only names the scald
MOST_WORDS_BETWEEN = 4  # of “half” and the scald: half of the cooled tangzhong
LEFT_AFTER_COOKING = 0.85  # a share of what goes in: more than that is all of it
LEAST_USED = 0.1
_HALF_SPACELESS = tuple(filter(is_spaceless, HALF))
_MOST_BETWEEN = 12  # characters between “use” and the amount: davon nur


def _any_of(words: Iterable[str], is_east: bool) -> str:
    """A pattern of those words that are, or are not, of a script without spaces; the longest first."""
    return "|".join(
        sorted((re.escape(word) for word in words if is_spaceless(word) == is_east), key=len)[::-1]
    )


_USES = {is_east: _any_of(USED, is_east) for is_east in (True, False)}
_HALVES = {is_east: _any_of(HALF, is_east) for is_east in (True, False)}
_MASS = rf"(\d{{1,4}}(?:[.,]\d)?)\s?{GRAMS}(?![a-z])"
_USE_SPACELESS = re.compile(  # 只用80克, 取80g使用, うち80g使用, 80gを使う
    rf"(?:{_USES[True]})\s?(?:其中的?)?[約约]?\s?{_MASS}(?!\s?の?(?!用(?:\W|$))[^\W\d_])"
    rf"|(?:(?:{_USES[True]})\s?[約约]?\s?)?{_MASS}\s?(?:だけ|のみ)?[をは]?(?:{_USES[True]})"
)
_USE = re.compile(
    rf"\b(?:{_USES[False]})\b[^\d;.]{{0,{_MOST_BETWEEN}}}?\s{_MASS}"
    rf"(?=\s*(?:$|[),.;]|\b(?:{_USES[False]}|of it|for|für|per|pour|para)\b))"
)
_USE_HALF = re.compile(  # うち半量使用, 只用一半, use only half, davon die Hälfte verwenden
    rf"(?:{_USES[True]})\s?(?:その)?(?:{_HALVES[True]})(?=\s?[)）。.]|\s?$)"
    rf"|(?:{_HALVES[True]})\s?(?:だけ|のみ)?[をは]?(?:{_USES[True]})(?=\s?[)）。.]|\s?$)"
    rf"|\b(?:{_USES[False]})\s(?:(?:only|just|nur|die|la|solo)\s){{0,2}}(?:{_HALVES[False]})\b"
)
_HALF_NUMBER = re.compile(r"(?<![\d,.])(?:1 ?[/⁄∕] ?2(?!\d)|½|0[.,]5(?!\d))")


def note_used_scald(readings: Sequence[Reading], sentences: Iterable[str], reader: Reader) -> None:
    """Note in the reader how much of the scald is used, where no line of the list says it."""
    scald = [each for each in readings if each.part == SCALD and each.mass]
    scald_g = sum(each.grams for each in scald if each.in_formula)
    named = [each for each in readings if _names_the_scald(each)]
    if reader.scald_used_g or not scald_g or any(each.mass for each in named):
        return
    if any(len(each.text) <= MOST_NAMING and _is_halved(each.text.lower()) for each in named):
        reader.scald_used_g = scald_g / 2
        return
    shared = {each.text for each in readings if each.part != SCALD}  # 強力粉 250g (うち20g)
    if said_g := _said_among([each for each in readings if each.text not in shared], scald_g):
        reader.scald_used_g = said_g
        return
    batches = batches_of(readings)
    if batches > 1:
        reader.scald_used_g = scald_g / batches
        return
    was_named = False
    for sentence in sentences:
        if reader.tokens_left < 0:
            return
        is_named = names_scald(sentence.lower())
        if is_named or was_named:
            used_g = _used_in(sentence, scald_g, reader, is_named)
            if LEAST_USED * scald_g <= used_g < LEFT_AFTER_COOKING * scald_g:
                reader.scald_used_g = used_g
                return
        was_named = is_named


def _said_among(scald: Sequence[Reading], scald_g: float) -> float:
    """How much a line among those of the scald says to use: ``…, water 100 g, use only 80 g``; 0 for none."""
    for line in dict.fromkeys(each.text for each in scald):
        plain = clean(line).lower()
        for found in (_USE_SPACELESS if is_spaceless(plain) else _USE).finditer(plain):
            used_g = float(next(filter(None, found.groups())))
            if LEAST_USED * scald_g <= used_g < LEFT_AFTER_COOKING * scald_g:
                return used_g
        if _USE_HALF.search(plain if is_spaceless(plain) else " ".join(plain_words(plain))):
            return scald_g / 2
    return 0.0


def _names_the_scald(reading: Reading) -> bool:
    """Whether a line of the list names a scald that other lines make."""
    is_unread = reading.kind == INGREDIENT and reading.part == SCALD and reading.ingredient is None
    return reading.kind == MENTION or is_unread


def _used_in(sentence: str, scald_g: float, reader: Reader, is_named: bool) -> float:
    """The grams of the scald that a sentence uses; 0 where it does not say so, or says how it is made."""
    phrase = sections.SCALD_WORDS.found_in(sections.framed(sentence.lower()))
    beside = sentence.lower().replace(phrase, " ") if phrase else sentence  # water roux names no water
    named, _ = named_in(beside, reader)
    if any(each.mass or each.share for each in named):
        return 0.0
    if not is_named:  # The tangzhong is enough for two; use half of it.
        return scald_g / 2 if not named and _is_use_of_half(sentence) else 0.0
    if _is_halved(sentence.lower()):
        return scald_g / 2
    amounts = [said for said in amounts_in(sentence, reader, (MASS,)) if said.amount]
    of_scald = [said for said in amounts if names_scald(" ".join(said.words).lower())]
    if is_spaceless(sentence) and len(amounts) == 1 and not named:
        of_scald = amounts
    return sum(
        each.amount.quantity.best * (each.amount.unit.grams or 0.0) for each in of_scald if each.amount
    )


def _is_halved(text: str) -> bool:
    """Whether a text says half of the scald that it names: ``half of the tangzhong``, ``湯種 半量``."""
    if is_spaceless(text):
        return any(map(text.__contains__, _HALF_SPACELESS)) or _HALF_NUMBER.search(text) is not None
    words = heading_words(_HALF_NUMBER.sub(" half ", text)).split()
    return any(
        plain_word(word) in HALF
        and not _is_unit(words[at + 1 : at + 2])
        and (
            names_scald(" ".join(words[at + 1 : at + 1 + MOST_WORDS_BETWEEN]))
            or at > 0
            and plain_word(words[at - 1]) in USED
        )
        for at, word in enumerate(words)
    )


def _is_unit(words: Sequence[str]) -> bool:
    """Whether a word is a unit: half a cup of tangzhong is not half of it."""
    return any(unit_of_word(word) is not None for word in words)


def _is_use_of_half(sentence: str) -> bool:
    """``Use half of it``, ``取一半``."""
    if is_spaceless(sentence):
        return any(map(sentence.__contains__, _HALF_SPACELESS)) and any(map(sentence.__contains__, USED))
    words = plain_words(sentence)
    return not HALF.isdisjoint(words) and not USED.isdisjoint(words)
