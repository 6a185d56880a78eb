"""Letters in place of digits (``l00 g``), digits of a name, and words cut short: ``Raps- oder Maisöl``."""

import re

from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.readings import Reading
from scaldloaf.importing.words.doubt import UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import ADD, NUMBERS

_SLIP = re.compile(r"(?<![^\W_])(?:[lIO]\d[\dOl]*|\d+[OI][\dOl]*)(?=\s?(?:g|kg|ml|gr|grams?)\b)")
_SLIPS = str.maketrans("lIO", "110")
_TWO_MARKS = re.compile(r"\d+(?:[.]{2}|,{2}|[.],|,[.])\d+(?![\d.,])")
_BETWEEN = re.compile(
    r"\b(?:entre|tra|fra|between|zwischen) (?:i )?(\d+(?:[.,]\d+)?) ?(?:k?g|gr|[mc]?l)? "
    r"(?:y|e|et|and|und) (?:i )?(?=\d)",
    re.IGNORECASE,
)
_SPACED_MARK = re.compile(  # 1 ,5 cuchara
    r"\b(\d{1,2}) ,\s?(\d)(?= ?(?:cuchar|cucch|cuill|c\.|[cd]?l\b|kg\b|taz|tass))", re.IGNORECASE
)
_ONE = re.compile(r"^[Il|](?= (?:cup|tea|table|tbsp|tsp|pound|lb|egg)[a-z]*\b)")
_HALF = re.compile(r"\b(?:1 ?[/⁄] ?2|½)[ -]?(?=(?:écr[ée]m|ecrem)[ée]e?\b|sel\b)", re.IGNORECASE)
# The number of a note before an amount: ``flour*1 250 g``, ``強力粉※1 250g``.
_NOTE = re.compile(r"(?:(?<=[^\W\d_])|(?<=[)）]))\s?[*※]\s?\d{1,2}(?=\s+\d)")
_NOTE_BEHIND = re.compile(r"(?<=\d)([^\d※]{1,12})※\s?\d{1,2}$")  # 強力粉 50g ※1
_TIMES = re.compile(r"(?<=\d)(g|ml|公?克|毫升)[xX×](?=\d)")  # 6gx3
_STRENGTHS = re.compile(r"\b(W ?\d{3}) ?[-/–] ?\d{3}(?![\d.,])", re.IGNORECASE)  # farina 0 W280/300
_GRADE = re.compile(r"(\b(?:harina|farina)\b[^\d(),;:]{0,30})\((0{1,4})\)", re.IGNORECASE)
_SPOON_AND_HALF = re.compile(  # une cuillère et demie à soupe
    r"\b(cuill?[èeé]re?e?s?|cuillers?|cuil\.?|c\.) et (demie?) ([àa]|de) "
    r"(soupe|table|caf[ée]|th[ée]|dessert)\b",
    re.IGNORECASE,
)
_MIXED = re.compile(r"\b(\d) ?[–—] ?(?=[1-7]/[2-8]\b)")  # 1–1/2 cups
_WHITES = re.compile(  # 2 blancs et 1 jaune, 3 œufs + 1 blanc
    r"((?:^|\b(?:(?:œ|oe)uf|jaune)s?\b\D{0,14}?)\d{1,2} (?:gros |petits )?blancs?)"
    r"(?=$| ?[(,;+*]| (?:et|pour)\b| \d)",
    re.IGNORECASE,
)
_EGGS = r"(?:eier|eiern|ei|eigelbe?|huevos?|yemas?|uov[ao]|tuorl[oi]|œufs?|oeufs?)"
_IN_WORDS = re.compile(rf"({_EGGS}|eggs?)\b ?[:,–-]? ?([^\W\d_]+)", re.IGNORECASE)  # Huevos: dos
# Size L of the European Union, 63 to 73 g with its shell, is as heavy as a very large one elsewhere.
_SIZE_L = re.compile(
    rf"(\b{_EGGS}\b,? ?\(?(?:(?:größe|gr\.?|klasse|kl\.?|talla|tamaño|taglia|taille|calibre) ?)?)L\b",
    re.IGNORECASE,
)
_FILLED_UP = re.compile(
    r"\b(?:plus|and|\+) (?:enough|sufficient) ([a-z]+) to (?:make|bring it|come)(?: up)?(?: to)? "
    r"|\b(?:topped|made) up with ([a-z]+) to (?:make )?"
)
# Heads of German compounds that the first of two leaves out: ``Sonnenblumen- oder Rapsöl``.
_HEAD = "mehl|milch|öl|kerne|zucker|butter|nüsse|honig|essig|salz|sirup|drink|flocken|stärke|schokolade|samen"
_HEADLESS = re.compile(
    rf"\b([^\W\d_]{{3,}})-\s?(oder|und|bzw\.?|/)\s?-?([^\W\d_]+?)({_HEAD})\b", re.IGNORECASE
)


def _with_one(plain: str) -> str:
    """A line that begins with a unit and a half of it, with the number: ``kilo y medio de harina``."""
    unit, join, half, *_ = (*plain.lower().split(maxsplit=3), "", "", "")
    is_half = join in ADD and 0 < NUMBERS.get(half, 1) < 1
    return f"1 {plain}" if is_half and unit_of_word(unit) is not None else plain


def without_slips(plain: str, raw: str, blank: Reading) -> tuple[str, Reading]:
    """A line with letters in place of digits made digits, and with the doubts that this leaves."""
    plain = _with_one(plain) if plain[:1].isalpha() else plain
    plain = _NOTE_BEHIND.sub(r"\1", _NOTE.sub("", _ONE.sub("1", plain, count=1))).rstrip()
    plain = _TIMES.sub(r"\1 x ", plain)
    plain = _SPACED_MARK.sub(r"\1,\2", plain)
    plain = _BETWEEN.sub(r"\1-", plain)
    plain = _MIXED.sub(r"\1-", _WHITES.sub(r"\1 d'œuf", plain))
    if (counted := _IN_WORDS.fullmatch(plain)) and (count := NUMBERS.get(counted[2].lower(), 0)) >= 1:
        plain = f"{count:g} {counted[1]}"
    if "L" in plain:
        plain = _SIZE_L.sub(r"\1XL", plain)
    if " to " in plain and "egg" in plain:
        plain = _FILLED_UP.sub(lambda found: f"and {found[1] or found[2]} to make up ", plain)
    if " et demi" in plain:
        plain = _SPOON_AND_HALF.sub(r"\1 \3 \4 et \2", plain)
    plain = _STRENGTHS.sub(r"\1 ", _GRADE.sub(r"\1\2", _HALF.sub("demi-", plain)))
    if "- " in plain or "-/" in plain:
        plain = _HEADLESS.sub(r"\1\4 \2 \3\4", plain)
    if slip := _SLIP.search(plain):
        meant = slip.group().translate(_SLIPS)
        plain = _SLIP.sub(lambda found: found.group().translate(_SLIPS), plain)
        blank = blank._replace(doubts=(Doubt.of(UNSURE, "slip", text=slip.group(), meant=meant),))
    if doubled := _TWO_MARKS.search(raw):
        blank = blank._replace(doubts=(*blank.doubts, Doubt.of(UNSURE, "two_marks", text=doubled.group())))
    return plain, blank
