"""What the words between the names of a line say: weighed together, or one in place of the other."""

import re

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.besides import included
from scaldloaf.importing.line.egg_sums import TOGETHER, makes_up, with_egg_sum
from scaldloaf.importing.quantities.masses import EGGS, STICK_FATS
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.readings import STEP, Reading
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.said_units import WEIGHED
from scaldloaf.importing.words.sections import SCALD_WORDS, framed, title_in
from scaldloaf.importing.words.vocabulary import (
    ADD,
    MASS,
    OUTSIDE,
    VOLUME,
    is_spaceless,
    name_words,
)

LEAST_LIQUID, MOST_LIQUID = 0.6, 7.0  # times the flour of a scald
_ADD_WORDS = "|".join(
    f"{re.escape(word)}(?![^\\W\\d_])" if word.isalpha() and not is_spaceless(word) else re.escape(word)
    for word in sorted(ADD)
)
_ADDED_TO_SCALD = re.compile(  # an amount, and what it is of
    rf"(?P<before>[^()\d]{{2,50}})\((?:{_ADD_WORDS})\s?"
    r"(?P<added>[^()\d]{2,12}\d[^()]{1,20}|\d[\d.,/]{0,6}\s?[^\W\d_]{1,8}\.?\s[^()\d]{3,30})\)(?P<behind>\D{0,30})"
)
_SOLID_FATS = STICK_FATS | {"lard"}
_FIRST = r"[個个顆颗隻只分)]\s*(?:\([^()]*\)\s*)?[+と加和&]\s*[^\d+=]{1,12}?"
_TOGETHER = "合わせて|あわせて|合計で?|トータルで?|で|[一總总]?共計?|合[计計]|加起[来來]"
_SUM = re.compile(rf"{_FIRST}\s*(?:=|{_TOGETHER})\s*[約约]?\s*\d")
_SUM_BY_SIGN = re.compile(  # 1 Ei + Milch = 180 g
    r"^\d{1,2} ?[^\d+=]{2,30}[+&] ?[^\d+=]{2,25}= ?(?:ca\.? |about )?\d"
)
_PERHAPS = re.compile(_FIRST + r"\s+\d")  # 卵1個＋牛乳 180g
_MORE = re.compile(r"\d ?[^\W\d]{1,3} ?\+ ?\d")  # 黄油 25克+10克（刷面）
_EGG = r"(?P<egg>(?:溶き|とき)?全?(?:卵|玉子|たまご|雞蛋|鸡蛋|蛋液?))"
_COUNT = r"(?P<open>\()?[MLSmls]?\s?(?P<count>\d(?:[./]\d)?)\s?(?P<unit>[個コケ个顆颗隻只枚])分?(?(open)\))"
_LIQUID = r"(?P<liquid>[^\d+=()\s、,:]{1,10})"
_AMOUNT = rf"\d{{2,3}}\s?{WEIGHED}"
_ALL = (
    r"\s?(?:を?(?:足し|加え)て)?\s?\(?"
    r"(?:=|を?(?:足し|加え|合わせ|あわせ)て|合計で?|計|トータルで?|で|[一總总]?共[計计]?|合[計计])"
    rf"\s?[約约]?\s?(?P<amount>{_AMOUNT})\)?"
)
_AND = r"\s?[+と加和&に]\s?"
_OF_ONE_UNIT = re.compile(  # Lait : 25 + 10 ml
    r"(?P<before>^|[:(;]\s?)(?P<first>\d{1,4}(?:[.,]\d{1,2})?)\s?\+\s?(?P<second>\d{1,4}(?:[.,]\d{1,2})?)"
    r"\s?(?P<unit>[^\W\d_]{1,12})(?![^\W\d_])"
)
_SUMS = tuple(
    re.compile(form)
    for form in (
        f"{_EGG}\\s?{_COUNT}{_AND}{_LIQUID}{_ALL}",
        f"(?P<count>\\d)\\s?(?P<unit>[個个顆颗隻只])的?{_EGG}{_AND}{_LIQUID}{_ALL}",
        f"{_LIQUID}{_AND}{_EGG}\\s?{_COUNT}{_ALL}",
        rf"{_LIQUID}\s?\({_EGG}\s?{_COUNT}と(?:合わせて|あわせて|合計)\)\s?(?P<amount>{_AMOUNT})",
    )
)
_SHARED = re.compile(
    r"(?P<other>[^()\s\da-z、,]{1,8})(?:と|を|和|跟)\s?(?:合わせて|あわせて|合計|含め|含む|足して|一共|[总總]?共|合[计計])"
    r"|(?:加上?|[和跟與与含連连])(?P<more>雞蛋|鸡蛋|蛋液?|卵)\s?(?:一共|[总總]?共|合[计計]|在内|在內)"
)
_WITH_EGGS = re.compile(  # 水 卵と合わせて180cc; 牛奶(和鸡蛋一共190克)
    r"(?P<liquid>[^\d+=()\s、,:]{1,8}?)[\s:(]*(?:加上?|[和跟與与含連连])?\s?"
    r"(?:溶き|とき)?全?(?:卵|玉子|たまご|雞蛋|鸡蛋|蛋液?)(?:と|を)?\s?"
    rf"(?:合わせて|あわせて|合計で?|一共|[总總]?共|合[计計])\s?[約约]?(?P<amount>{_AMOUNT})"
    r"(?:に調整|に調節|に(?:なるように)?する|になるように)?\)?"
)
_WITH_EGG = re.compile(  # lait (compléter à 200 g avec l'oeuf)
    r"(?i)\b(?:avec|incluant|con|incluido|compreso|incluso|with|including|mit|inklusive) (?:l['’] ?|the |el "
    r"|los |le |les |dem |den )?([oœ]e?ufs?|huevos?|uov[oa]|eggs?|ei(?:ern?)?)\b"
)
_OWN_OF_SUM = re.compile(  # 牛乳 バター、卵と合わせて300mlになる量(約180ml); 鮮奶(和蛋共200g,約150g)
    r"(?P<name>[^\d\s(),、:]{1,10})[\s:(]+\D{1,20}?(?:[とを]?(?:合わせて|あわせて)|合計で?|一共|[总總]?共|合[计計])\s?"
    rf"{_AMOUNT}\D{{0,8}}?[\s(,]+(?:[約约]|[即就]是?)\s?"
    rf"(?P<amount>{_AMOUNT})(?:左右|ほど|程度)?\)?"
)
_EGG_WORDS = ("卵", "玉子", "たまご", "蛋")
_UP_TO = re.compile(  # 1 uovo + latte fino a 180 g; 1 œuf complété de lait pour faire 180 g
    r"(?i)[^\W\d_](?: =|.{0,40}\b(?:fino ad?|arrivare ad?|raggiungere|un totale|jusqu\w*|bis(?: zu)?|auf"
    r"|hasta|pour (?:faire|obtenir|arriver|atteindre|avoir)|para (?:completar|llegar|hacer|obtener)|up to))"
    r"[^\d]{0,24}\d|\d ?(?:g|gr|ml|cl)\.? (?:in tutto|in totale|en tout|au total|en total|zusammen|insgesamt)"
    r"\b|\bcompl[eé]té"
)
_ADDS = re.compile(r"(?i)[+&;]|,\s|\b(?:and|plus|und|et|y|e|più|más|mas)\b")
_IN_PLACE = re.compile(  # 水可以替换成牛奶180克; 参考：水 300ml
    r"(?i)[^\W\d]{1,8}?(?:可以?|也可以?|能)?(?:替[换換]成?|[换換]成|改成|改用|代替|替代|に[替換代]え)\w"
    r"|(?:参考|參考|p\.?s)\s?[.:]"
)

_NAME_APART = re.compile(
    r"(?P<name>[^\W\d_][^\d:(),]{1,24}?) ?: ?(?P<amount>\d[\d.,/]* ?[^\W\d_]{1,12}\.?) "
    r"(?P<rest>[^\d:(),]{2,30})"
)
MOST_ADDED = 80  # characters of a line that adds something to the scald


def with_name_behind(plain: str) -> str:
    """A line that has a part of the name behind its amount, the name whole: ``Yeast: 6 g instant``."""
    found = _NAME_APART.fullmatch(plain) if ":" in plain else None
    if not found or name_words(found["name"]) not in ENGLISH.read_as:
        return plain
    for name in (f"{found['name']} {found['rest']}", f"{found['rest']} {found['name']}"):
        if name_words(name) in ENGLISH.read_as:
            return f"{found['amount']} {name}"
    return plain


def added_apart(plain: str) -> str:
    """A line of the scald with what is added to the dough beside it, as two lines; empty for any other.

    ``all of the tangzhong (plus 40 g milk)``.
    """
    found = _ADDED_TO_SCALD.fullmatch(plain) if len(plain) <= MOST_ADDED else None
    words = found["before"].casefold() if found else ""
    is_scald = SCALD_WORDS.found_in(words if is_spaceless(words) else framed(words)) is not None
    if not found or not is_scald and title_in(words).part != SCALD:
        return ""
    return f"{found['before'].strip()} {found['behind'].strip()}\n{found['added'].strip()}"


def _each_with_unit(found: re.Match[str]) -> str:
    """Two numbers added that share a unit, each with it: ``25 + 10 ml`` as ``25 ml + 10 ml``."""
    unit = unit_of_word(found["unit"].lower())
    if unit is None or unit.kind not in (MASS, VOLUME):
        return found.group()
    first, second = (f"{found[each]} {found['unit']}" for each in ("first", "second"))
    return f"{found['before']}{first} + {second}"


def as_sum(plain: str) -> str:
    """A line whose amount is that of eggs and a liquid together, in one form: ``卵1個+牛乳=190g``."""
    if "+" in plain:
        plain = _OF_ONE_UNIT.sub(_each_with_unit, plain)
    plain = with_egg_sum(plain)
    if plain.isascii():
        return plain
    for form in _SUMS:
        if found := form.fullmatch(plain):
            return f"{found['egg']}{found['count']}{found['unit']}+{found['liquid']}={found['amount']}"
    if found := _OWN_OF_SUM.fullmatch(plain):
        return f"{found['name']} {found['amount']}"
    if found := _WITH_EGGS.fullmatch(plain):
        return f"{found['liquid']} {found['amount']}(卵と合わせて)"
    return plain


def as_one_line(readings: list[Reading], plain: str) -> list[Reading]:
    """The readings of a line: a remark about another recipe as none, and a sum as its parts."""
    if not readings:
        return readings
    if not is_spaceless(plain):
        if len(readings) == 1 and (egg := _WITH_EGG.search(plain)):
            return [_with_another(readings[0], egg.group(1))]
        if len(readings) != 2:
            return readings
        readings = _both_of_scald(readings)
        is_sum = bool(TOGETHER.found_in(framed(plain)) or _SUM_BY_SIGN.match(plain) or _UP_TO.search(plain))
        readings = _said_again(readings, plain)
        return _rest_of_sum(readings, True) if is_sum else readings
    if _IN_PLACE.match(plain):
        first = readings[0]
        return [Reading(first.line, first.text, STEP, "a remark", part=DOUGH)]
    readings = [_with_light_spoon(reading) for reading in readings]
    if len(readings) == 1 and readings[0].part == OUTSIDE and _MORE.search(plain):
        readings = [readings[0]._replace(section_doubts=(Doubt.of(UNSURE, "part_not_dough"),))]
    if len(readings) == 1 and readings[0].part != OUTSIDE and included(readings[0].text):
        doubt = Doubt.of(LIKELY, "part_not_dough")
        return [readings[0]._replace(doubts=(*readings[0].doubts, doubt))]
    if len(readings) == 1 and (shared := _SHARED.search(plain)):
        return [_with_another(readings[0], shared["other"] or shared["more"])]
    if len(readings) != 2:
        return readings
    is_sum = _SUM.search(plain) is not None
    return _rest_of_sum(readings, is_sum) if is_sum or _PERHAPS.search(plain) else readings


def _both_of_scald(readings: list[Reading]) -> list[Reading]:
    """A flour and its liquid, where their line names the scald before one: ``roux: 100 g milk with 20 g``."""
    flours = [each for each in readings if each.in_formula and each.ingredient and each.ingredient.is_flour]
    liquids = [each for each in readings if each.in_formula and each.ingredient and each.ingredient.is_liquid]
    if len(flours) != 1 or len(liquids) != 1 or {each.part for each in readings} != {SCALD, DOUGH}:
        return readings
    if not LEAST_LIQUID * flours[0].grams <= liquids[0].grams <= MOST_LIQUID * flours[0].grams:
        return readings
    doubt = Doubt.of(LIKELY, "by_method")
    return [
        each if each.part == SCALD else each._replace(part=SCALD, section_doubts=(doubt,))
        for each in readings
    ]


def _with_another(reading: Reading, other: str) -> Reading:
    """A doubt about an amount that is of something else too: ``水(卵と合わせて) 180ml``."""
    if reading.ingredient is None or not reading.ingredient.is_liquid:
        return reading
    doubt = Doubt.of(UNSURE, "one_amount", names=f"{reading.ingredient.label} and “{other}”")
    return reading._replace(doubts=(*reading.doubts, doubt))


def _said_again(readings: list[Reading], plain: str) -> list[Reading]:
    """A doubt about one ingredient with two amounts on a line that adds nothing: ``… 1/3 cup butter``."""
    first, second = readings
    both = first.in_formula and second.in_formula and first.part == second.part
    if not both or first.ingredient is not second.ingredient or _ADDS.search(plain):
        return readings
    doubt = Doubt.of(UNSURE, "starts_again")
    return [first, second._replace(section_doubts=(*second.section_doubts, doubt))]


def _with_light_spoon(reading: Reading) -> Reading:
    """A doubt about a spoon of solid fat, which Japan's table of spoons has a sixth lighter."""
    if (
        not reading.ingredient
        or reading.ingredient.name not in _SOLID_FATS
        or "cm3" not in reading.expression
    ):
        return reading
    doubt = Doubt.of(LIKELY, "loose_measure", name=reading.ingredient.label)
    return reading._replace(doubts=(*reading.doubts, doubt))


def _rest_of_sum(readings: list[Reading], is_sum: bool) -> list[Reading]:
    """Eggs, and the liquid as what is left of an amount that is that of both: ``卵1個＋牛乳＝180g``."""
    first, second = readings
    if not (first.mass and second.mass and first.ingredient and second.ingredient):
        return readings
    if (
        not makes_up(second.ingredient)
        or first.ingredient.name not in EGGS
        or first.mass.best >= second.mass.best
    ):
        return readings
    names = f"{first.ingredient.label} and {second.ingredient.label}"
    doubt = Doubt.of(LIKELY if is_sum else UNSURE, "one_amount", names=names)
    second = second._replace(doubts=(*second.doubts, doubt))
    if is_sum:
        egg, both = first.mass, second.mass or first.mass
        rest = Estimate(
            max(0.0, both.low - egg.high), both.best - egg.best, both.high - egg.low, both.evidence
        )
        second = second._replace(mass=rest, expression=f"{both.best:.6g} g − {egg.best:.6g} g")
    return [first, second]


def without_eggs(readings: list[Reading]) -> list[Reading]:
    """The readings; of an amount that is of the eggs of another line too only what is left."""
    eggs = [
        each.mass for each in readings if each.in_formula and each.ingredient and each.ingredient.name in EGGS
    ]
    if len(eggs) != 1 or not eggs[0]:
        return readings
    return [_less(reading, eggs[0]) for reading in readings]


def _less(reading: Reading, egg: Estimate) -> Reading:
    is_one = any(doubt.code == "one_amount" for doubt in reading.doubts)
    shared = _SHARED.search(reading.text) if is_one else None  # the line may say what is its own
    if not shared or not reading.in_formula or not reading.mass or not reading.ingredient:
        return reading
    is_egg = (shared["other"] or shared["more"]).endswith(_EGG_WORDS)
    if not is_egg or not reading.ingredient.is_liquid or reading.mass.best <= egg.best:
        return reading
    both = reading.mass
    rest = Estimate(max(0.0, both.low - egg.high), both.best - egg.best, both.high - egg.low, both.evidence)
    doubts = tuple(
        Doubt.of(LIKELY, doubt.code, **dict(doubt.values)) if doubt.code == "one_amount" else doubt
        for doubt in reading.doubts
    )
    return reading._replace(mass=rest, doubts=doubts, expression=f"{both.best:.6g} g − {egg.best:.6g} g")
