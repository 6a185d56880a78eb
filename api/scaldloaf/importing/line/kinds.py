"""A line whose amount is shared out to kinds of one thing: ``500 g flour (80 % bread flour, 20 % rye)``."""

import re
from collections.abc import Sequence
from fractions import Fraction

from scaldloaf.importing.layouts.joined_lines import names_only_one
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.measures import TYPE_WORDS, unit_of_word
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.sections import ASIDE_WORDS
from scaldloaf.importing.words.vocabulary import (
    ADD,
    CHOOSE,
    CUT,
    EQUAL_PARTS,
    HALF,
    MASS,
    NUMBERS,
    OF_WHICH,
    PLAIN,
    REMAINING,
    VOLUME,
    name_words,
    plain_word,
)
from scaldloaf.reference import INGREDIENTS

MOST_CHARACTERS = 80  # of a line that shares its amount out in halves or in amounts
MOST_WITH_SHARES = 120  # ... in shares
_WHOLE_WITHIN = Fraction(1, 50)  # shares of a whole add up to it within so much of it
_AMOUNT = re.compile(r"(\d{1,5}(?:[.,]\d{1,3})?) ?([^\W\d_]{1,12})\b\.?")
_WORD = re.compile(r"50 ?%|[\w'’%.-]+")
_HALVES = HALF | {"50%", "halb"}
_LABELS = tuple(  # half milk, half cream
    name.casefold()
    for row in INGREDIENTS.values()
    for name in sum(row.names.values(), ())
    if sum(plain_word(word) in HALF for word in name.split()) > 1
)
_JOINS = ADD | OF | OF_WHICH | PLAIN | {"je", "zur"}
_LEADS = OF | OF_WHICH | REMAINING | PLAIN
_IN_KINDS = re.compile(
    r"(?:(?P<number>\d{1,5}(?:[.,]\d{1,3})?) ?(?P<unit>[^\W\d_]{1,12})\.? )?(?P<name>[^\d(),;:+]{3,40}?) ?"
    r"\((?P<kinds>[^()]+)\)"
)
_KIND = re.compile(
    r"(?P<number>\d{1,5}(?:[.,]\d{1,3})?) ?(?P<unit>(?:k?g|gr|ml|cl)\b\.?)? ?(?:d[ei'’] ?)?"
    r"(?P<kind>[^\W_][^+,;]{0,24})"
)
_BETWEEN_KINDS = re.compile(r" ?[+;&、] ?|, | / | (?:y|e|et|and|und) ")
_A_SHARE = r"\d{1,2}(?:[.,]\d)? ?%|[1-9]/[1-9](?!\d)"
# 500 g flour (80 % bread flour, 20 % rye); flour: 500 g, of which 2/3 T55 and 1/3 T110
_IN_SHARES = re.compile(
    r"(?P<outside>[^()%/]+?)(?: ?\((?P<inside>[^()]+)\)(?P<behind>[^()%/]*)|[,–-] (?P<open>[^()]+))"
)
_SHARED = re.compile(_A_SHARE)
_NAME = re.compile(r"[^\W\d_]{2}")
_EQUAL_PARTS = re.compile(rf" ?[,(]? ?(?:{'|'.join(map(re.escape, EQUAL_PARTS))})\)?", re.IGNORECASE)
_AMOUNT_LAST = re.compile(r"(?P<names>[^\d:]{5,60}?) ?[:,–-]? (?P<amount>\d[\d.,/]* ?[^\W\d_]{1,12}\.?)")
_OF_IT = re.compile(  # 500 g Mehl (davon 50 g Vollkorn)
    r"(?P<number>\d{1,5}(?:[.,]\d{1,3})?) ?(?P<unit>[^\W\d_]{1,12})\.? (?P<name>[^\d(),;:+]{3,40}?),? ?"
    rf"\(?(?:d[ei] |de los |de las )?(?:{'|'.join(sorted(OF_WHICH, key=len, reverse=True))}) "
    r"(?P<part>\d{1,5}(?:[.,]\d{1,3})?) ?(?P<of>[^\W\d_]{1,12})\.? (?P<kind>[^\d(),;:+]{3,30})\)?"
)


def shared_out(plain: str, is_head_first: bool) -> str:
    """A line that shares its amount out to kinds, a line for each; empty for any other.

    is_head_first: a kind is behind the name in its language.
    """
    if len(plain) > MOST_WITH_SHARES or not _NAME.search(plain):
        return ""
    if last := _AMOUNT_LAST.fullmatch(plain):
        plain = f"{last['amount']} {last['names']}"  # moitié lait, moitié eau : 300 ml
    forms = (in_halves, in_kinds, in_shares, in_part_of_it, in_equal_parts)
    return next(filter(None, (form(plain, is_head_first) for form in forms)), "")


def in_halves(plain: str, is_head_first: bool) -> str:
    """A line whose amount is half of one kind and half of another as two lines; empty for any other.

    ``500 g de farine (moitié T45, moitié T55)``. is_head_first: a kind is behind the name in its language.
    """
    amount = _AMOUNT.match(plain)
    unit = unit_of_word(amount.group(2).lower()) if amount else None
    if not amount or unit is None or unit.kind not in (MASS, VOLUME) or len(plain) > MOST_CHARACTERS:
        return ""
    found = list(_WORD.finditer(plain, amount.end()))
    words = [word.group().strip(".") for word in found]
    halves = [at for at, word in enumerate(words) if plain_word(word.replace(" ", "")) in _HALVES]
    is_name = plain[amount.end() :].strip().casefold().removeprefix("of ").startswith(_LABELS)
    if not 0 < len(halves) < 3 or is_name or not CHOOSE.isdisjoint(words) or words[0][0].isdigit():
        return ""  # the last: 1 tablespoon + 2 teaspoons of half milk, half cream
    head, behind = _without_joins(words[: halves[0]]), words[halves[-1] + 1 :]
    before = plain[amount.end() : found[halves[0]].start()]
    if "(" in before and _without_joins(before[before.rindex("(") + 1 :].split()):
        return ""  # (I use half milk and half water)
    if len(halves) == 1:
        is_parted = "," in before or "(" in before or not OF_WHICH.isdisjoint(words[: halves[0]])
        if not is_parted or not head or not _is_kind(behind):
            return ""
        kinds = both if _is_kind((both := _parted(behind))[1]) else [[], behind]
    elif between := _without_joins(words[halves[0] + 1 : halves[1]]):
        kinds = [between, behind]
    else:
        kinds = _parted(behind)
    if not kinds[1]:
        return ""
    if names_only_one(" ".join(kinds[0])) and names_only_one(" ".join(kinds[1])) and _names_none(head):
        head = []  # liquid (half milk, half water)
    half = f"{float(amount.group(1).replace(',', '.')) / 2:.6g} {amount.group(2)}"
    return "\n".join(f"{half} {_named(head, kind, is_head_first)}" for kind in kinds)


def _names_none(words: list[str]) -> bool:
    return name_words(" ".join(words)) not in ENGLISH.read_as


def in_kinds(plain: str, is_head_first: bool) -> str:
    """A line that shares its amount out to kinds in parentheses, a line for each; empty for any other.

    ``500 g di farina (350 g manitoba + 150 g 00)``, ``Farine (300 g T45, 200 g T55)``.
    """
    found = _IN_KINDS.fullmatch(plain) if len(plain) <= MOST_CHARACTERS else None
    parts = [_KIND.fullmatch(part) for part in _BETWEEN_KINDS.split(found["kinds"])] if found else []
    if not found or len(parts) < 2 or not all(parts) or not names_only_one(found["name"]):
        return ""
    shares = [
        (part["number"], part["unit"] or found["unit"] or "", part["kind"].split()) for part in parts if part
    ]
    units = {unit_of_word(unit.lower()) for _, unit, _ in shares}
    unit = units.pop()
    if (
        units
        or unit is None
        or unit.kind not in (MASS, VOLUME)
        or not all(_is_kind(kind) for *_, kind in shares)
    ):
        return ""
    total = sum(float(number.replace(",", ".")) for number, *_ in shares)
    if found["number"] and abs(float(found["number"].replace(",", ".")) - total) > 0.01 * total:
        return ""
    head = found["name"].split()
    while head and head[0] in OF:
        del head[0]
    return "\n".join(f"{number} {unit} {_named(head, kind, is_head_first)}" for number, unit, kind in shares)


def _is_kind(words: list[str]) -> bool:
    """Whether words may say what kind half of something is: not ``for the tin``, ``of a cube``."""
    is_aside = ASIDE_WORDS.found_in(f" {' '.join(words)} ") is not None
    is_cut = bool(words) and words[0] in CUT and words[0] not in TYPE_WORDS
    if not words or is_cut or unit_of_word(words[0].lower()) is not None:
        return False
    return NUMBERS.keys().isdisjoint(words) and not is_aside


def _named(head: Sequence[str], kind: Sequence[str], is_head_first: bool) -> str:
    """The name of a thing and its kind: ``farine`` and ``complète``, ``flour`` and ``bread``.

    The first way to put them together that is a name, what may be a type (``Weizen 550``) behind it.
    """
    if kind and kind[0] in CUT and kind[0] not in TYPE_WORDS:
        return f"{' '.join(head)} ({' '.join(kind)})"
    if set(map(str.casefold, head)) & set(map(str.casefold, kind)) - OF:
        return " ".join(kind)
    if len(head) == 1 and kind and kind[-1].endswith(head[0].lower()):
        return " ".join(kind)  # Mehl (halb Weizenmehl, halb Dinkelmehl)
    words, of_type = _without_type(kind)
    thing, said = " ".join(head), " ".join(words)
    for name in (f"{said}{thing.lower()}", f"{thing} {said}", f"{said} {thing}", said):
        if words and name_words(name) in ENGLISH.read_as:
            return " ".join([name, *of_type])
    return " ".join([*head, *kind] if is_head_first else [*kind, *head])


def _without_type(kind: Sequence[str]) -> tuple[list[str], list[str]]:
    """The words of a kind without the number that ends it, and that number: ``Weizen`` and ``Type 550``."""
    words = list(kind)
    while len(words) > 1 and (words[-1][:1].isdigit() or words[-1].lower() in TYPE_WORDS):
        del words[-1]
    return words, list(kind[len(words) :])


def in_equal_parts(plain: str, is_head_first: bool) -> str:
    """A line of two things of equal parts as two lines: ``300 ml de leche y agua a partes iguales``."""
    amount = _AMOUNT.match(plain)
    said = _EQUAL_PARTS.search(plain, amount.end()) if amount else None
    if not amount or not said or unit_of_word(amount.group(2).lower()) is None:
        return ""
    words = (plain[amount.end() : said.start()] + plain[said.end() :]).split()
    kinds = [_without_leads(_without_joins(kind)) for kind in _parted(words)]
    if not all(kinds) or not all(map(names_only_one, map(" ".join, kinds))):
        return ""
    half = f"{_said(float(amount.group(1).replace(',', '.')) / 2)} {amount.group(2)}"
    first = kinds[0][:1] if is_head_first and len(kinds[0]) > 1 else kinds[0][-1:]
    if _names_none(kinds[1]) and len(kinds[0]) > 1:
        kinds[1] = [_named(first, kinds[1], is_head_first)]  # farine T45 et T55
    return "\n".join(f"{half} {' '.join(kind)}" for kind in kinds)


def in_part_of_it(plain: str, is_head_first: bool) -> str:
    """A line of which a part is another kind as two lines; empty for any other, and for a kind named whole.

    ``500 g di farina (di cui 50 g integrale)``, not ``500 g flour (of which 50 g rye flour)``.
    """
    found = _OF_IT.fullmatch(plain) if len(plain) <= MOST_CHARACTERS else None
    if not found or unit_of_word(found["unit"].lower()) is not unit_of_word(found["of"].lower()):
        return ""
    number, part = (float(found[each].replace(",", ".")) for each in ("number", "part"))
    head, kind = (_without_leads(found[each].split()) for each in ("name", "kind"))
    thing = ENGLISH.read_as.get(name_words(" ".join(head)))
    if not thing or not thing.is_flour or part >= number or not _is_kind(kind) or not _names_none(kind):
        return ""
    name = _named(head, kind, is_head_first)
    if _names_none(name.split()):
        return ""
    return f"{_said(number - part)} {found['unit']} {' '.join(head)}\n{found['part']} {found['unit']} {name}"


def in_shares(plain: str, is_head_first: bool) -> str:
    """A line that shares its amount out in percent or parts of a whole, a line for each; empty for any other.

    ``500 g flour (80 % bread flour, 20 % rye)``, ``Farine : 500 g (2/3 T55, le reste T110)``.
    """
    found = _IN_SHARES.fullmatch(plain) if len(plain) <= MOST_WITH_SHARES and _SHARED.search(plain) else None
    shares = _shares_in(found["inside"] or found["open"]) if found else []
    outside = f"{found['outside']} {found['behind'] or ''}" if found else ""
    amount = _AMOUNT.search(outside)
    unit = unit_of_word(amount.group(2).lower()) if amount else None
    if not shares or not amount or unit is None or unit.kind not in (MASS, VOLUME):
        return ""
    head = _without_leads((outside[: amount.start()] + outside[amount.end() :]).strip(" ,;:.-–").split())
    thing = ENGLISH.read_as.get(name_words(" ".join(head)))
    names = [_named(head, kind, is_head_first) for _, kind in shares]
    if not head or any(map(str.isdigit, " ".join(head))) or not all(_is_kind(kind) for _, kind in shares):
        return ""
    if not thing or not thing.is_flour:
        names = [" ".join(kind) for _, kind in shares]  # liquid (2/3 milk, 1/3 water)
        if not _names_none(head) or not all(name_words(name) in ENGLISH.read_as for name in names):
            return ""
    number, shared = float(amount.group(1).replace(",", ".")), zip(shares, names, strict=True)
    return "\n".join(f"{_said(number * share)} {amount.group(2)} {name}" for (share, _), name in shared)


def _said(number: float) -> str:
    """A number in digits; with four decimals, if it has any: three may mean thousands."""
    return f"{number:.0f}" if number.is_integer() else f"{number:.4f}"


def _shares_in(said: str) -> list[tuple[float, list[str]]]:
    """The shares of a whole that some words name, with their kinds; none where they are no whole.

    One of them may be what is left: ``70 % T55, le reste T110``.
    """
    found: list[tuple[Fraction | None, list[str]]] = []
    for part in _BETWEEN_KINDS.split(said):
        share = _SHARED.search(part)
        kind = _without_leads(_SHARED.sub(" ", part).split())
        if not kind or not share and REMAINING.isdisjoint(map(plain_word, part.lower().split())):
            return []
        found.append((_fraction(share.group()) if share else None, kind))
    left = 1 - sum((share for share, _ in found if share is not None), Fraction())
    unsaid = [share for share, _ in found].count(None)
    if len(found) < 2 or unsaid > 1 or (left <= 0 if unsaid else abs(left) > _WHOLE_WITHIN):
        return []
    return [(float(left if share is None else share), kind) for share, kind in found]


def _fraction(share: str) -> Fraction:
    """A share of a whole: ``2/3``, ``66,7 %``."""
    if "%" in share:
        return Fraction(share.rstrip(" %").replace(",", ".")) / 100
    return Fraction(share)


def _parted(words: list[str]) -> list[list[str]]:
    """The words before and behind the first that joins: half and half of one ``and`` another."""
    plain = [plain_word(word.lower()) for word in words]
    at = next((at for at, word in enumerate(plain) if at and word in ADD | REMAINING), len(words))
    return [_without_joins(words[:at]), _without_leads(words[at + 1 :])]


def _without_joins(words: list[str]) -> list[str]:
    """Words without what joins them to those behind: ``e``, ``and``, ``of which the``."""
    while len(words) > 1 and plain_word(words[-1].lower()) in _JOINS:
        words = words[:-1]
    return [] if len(words) == 1 and words[0] in ADD | OF | OF_WHICH | {"je", "zur"} else words


def _without_leads(words: list[str]) -> list[str]:
    """Words without what leads to a name: ``de``, ``le reste``; the last of them stays."""
    while len(words) > 1 and plain_word(words[0].lower()) in _LEADS:
        words = words[1:]
    return words
