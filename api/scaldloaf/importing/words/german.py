"""What German recipes shorten, or say of two things at once, in the words that the grammar reads."""

import re
from collections.abc import Collection, Sequence

_AMOUNT = r"(?:\d[\d.,/]*(?: \d/\d)?|eine[nmrs]?|ein|halbe[nrs]?)"
_UNIT = r"(?:g|ml|cl|dl|EL|TL|KL|Essl?\.|Teel\.|Esslöffel|Teelöffel|Prisen?|Päckchen|Pck|Pkt|Msp)\b\.?"
_EACH_OF_TWO = re.compile(  # je einen Teelöffel Salz und Zucker
    rf"\bje ((?:ca\.? )?{_AMOUNT} ?{_UNIT}) ([^\W\d_][\w -]{{1,30}}?) (?:und|&|\+) (?=[^\W\d_]{{3}})",
    re.IGNORECASE,
)
_IN_PACKETS = r"(?:Trocken|Vanil|Back|Instant|Hefe|Germ|Puddingp)"
_PACKET = re.compile(rf"(?<=\d) ?T\. ?(?={_IN_PACKETS})")  # 1 T. Trockenhefe
_CUBE = re.compile(r"(?<=\d) ?(?:W\.?|Stück|St\.?|Stk\.?) (?=(?:frische[rn]? )?(?:Hefe|Germ|Frischhefe)\b)")
_SIZED_AS = re.compile(  # ein haselnussgroßes Stück Hefe
    r"\b(?:(?:1|eine?n?) )?(?:Erbse|(?:Hasel|Wal)?nu(?:ss|ß)|Kirsche?|Fingernagel|Bohne|Taubenei)n?-?"
    r"gro(?:ß|ss)(?:es|e|er|en)? (?:Stück(?:chen|e)? |Klecks |Kugel )?",
    re.IGNORECASE,
)
_HALVES = r"(?:halb|½|1 ?/ ?2|zur Hälfte|50 ?%|Hälfte)"
_HALF_MILK = re.compile(  # 3 dl Milchwasser (halb Milch, halb Wasser)
    rf"(\d[\d.,]*|\d ?/ ?\d) ?(g|ml|cl|dl|l|Liter|Deziliter|Milliliter)\.? (?:lauwarme\w* |kalte\w* )?"
    r"(?:Milchwasser|Milch-?/?Wasser(?:-?Gemisch|-?Mischung)?|Flüssigkeit|Milch und Wasser)?,? ?\(?"
    rf"(?:je )?{_HALVES}(?: Milch,?(?: und)? ?/? ?{_HALVES} Wasser| Wasser,?(?: und)? ?/? ?{_HALVES} Milch"
    r"|[ /-]{0,2}(?:und )?halb|(?: Milch| Wasser) und(?: zur)? Hälfte (?:Milch|Wasser))\)?",
    re.IGNORECASE,
)
_RIND = re.compile(  # ½ Zitrone(n), unbehandelt, davon die abgeriebene Schale
    r"((?:Bio-?)?(?:Zitrone|Orange|Limette))n?(?:\(n\))?,? ?\(?(?:[\w-]+, ){0,2}(?:nur )?(?:davon )?"
    r"(?:nur )?(?:1/2 |½ )?(?:die |der |den )?(?:fein )?(?:(?:ab)?geriebene?n? )?"
    r"(?:Schale|Abrieb|Zesten?)(?: davon)?"
    r"(?:,? (?:fein )?(?:ab)?gerieben)?(?: davon)?\)?$",
    re.IGNORECASE,
)
_RIND_OF = re.compile(  # geriebene Zitronenschale von ½ Zitrone
    r"((?:Zitronen?|Orangen?|Limetten?)-?(?:schalen?|abrieb|zesten?)) (?:von |aus |einer |\(von )[^()]{0,30}?"
    r"(?:Zitrone|Orange|Limette)n?\b\)?",
    re.IGNORECASE,
)
_SIZED = re.compile(
    r"\b(kl|gr|mittl)\.? (?=(?:Bio-?)?(?:Eier|Ei|Eigelbe?|Zitrone|Kartoffel)\b)", re.IGNORECASE
)
_FOR_THE = re.compile(r"\bf\. ?d\. ?(?=[A-ZÄÖÜ])")  # u. etwas f.d. Form
_AND_SOME = re.compile(r"\bu\. (?=etw)|(?<= )etw\. ", re.IGNORECASE)
_GRADE = re.compile(  # Weizenmehl (550er), Mehl (550)
    r"(?:(?<=mehl)|(?<=mehl )|(?=\(\d+er))\((405|480|550|630|700|812|1050|1150)(?:er)?\)", re.IGNORECASE
)
_GRADE_BEHIND = re.compile(r"(?<=mehl), ?(405|480|550|630|700|812|1050|1150)er\b", re.IGNORECASE)
_SIZES = {"kl": "kleine ", "gr": "große ", "mittl": "mittelgroße "}
_FILLED_UP = re.compile(  # 1 Ei mit Milch auf 300 ml aufgefüllt
    r"^(\d{1,2} (?:Ei|Eier)\b[^\d+=]{0,20}?),? (?:mit|und|\+) ([^\W\d_]\w{2,15}) (?:zusammen )?auf "
    r"(\d+ ?(?:g|ml|l))\b[^\d]{0,30}$",
    re.IGNORECASE,
)
# Of verbs as names are compared: without umlauts, ss for ß.
_BEFORE = (
    "hinein|herein|hinzu|dazu|darunter|daruber|darauf|unter|ein|auf|an|ab|aus|um|durch|zu|glatt|bei|vor"
    "|bereit"
)
_STEMS = (
    "brockel|brosel|krumel|geb|ruhr|knet|misch|giess|streu|sieb|schutt|heb|arbeit|los|fug|stell|warm|hitz|koch"
    "|schmelz|deck|roll|teil|quirl|schlag|meng|full|nehm|lass|geh|ruh|quell|kochel|schneid|raspel"
)
_VERB = re.compile(rf"(?:{_BEFORE}|ver|zer|be|er){{0,2}}(?:zu|ge)?(?:{_STEMS})(?:e?[nt]|e)")
LEAST_VERB = 4


def spelt_out(line: str) -> str:
    """A line with what it shortens written out, as far as only one thing can be meant."""
    lower = line.lower()
    if "je " in lower:
        line = _EACH_OF_TWO.sub(r"\1 \2, \1 ", line)
    if "gro" in lower:
        line = _SIZED_AS.sub("etwas ", line)
    if "hefe" in lower or "germ" in lower or "zucker" in lower or "backp" in lower or "pudding" in lower:
        line = _CUBE.sub(" Würfel ", _PACKET.sub(" Päckchen ", line))
    if "wasser" in lower and "h" in lower:
        line = _HALF_MILK.sub(_in_halves, line)
    if "zitrone" in lower or "orange" in lower or "limette" in lower:
        line = _RIND_OF.sub(r"\1", _RIND.sub(r"\1 Abrieb", line))
    if "f." in lower or "etw" in lower:
        line = _AND_SOME.sub(lambda found: "und " if found.group()[0] in "uU" else "etwas ", line)
        line = _FOR_THE.sub("für die ", line)
    if "er" in lower and "mehl" in lower:
        line = _GRADE_BEHIND.sub(r" (Type \1)", line)
    if "er)" in lower or "mehl" in lower and "(" in lower:
        line = _GRADE.sub(r"(Type \1)", line)
    if "l" in lower or "gr" in lower:
        line = _SIZED.sub(lambda found: _SIZES[found.group(1).lower()], line)
    return _FILLED_UP.sub(r"\1 + \2 = \3", line)


def _in_halves(found: re.Match[str]) -> str:
    number, unit = found.group(1).replace(" ", ""), found.group(2)
    over, _, under = number.partition("/")
    value = float(over.replace(",", ".")) / float(under or 1) / 2
    shown = f"{value:.4g}".replace(".", ",")
    return f"{shown} {unit} Milch, {shown} {unit} Wasser"


def is_verb(word: str) -> bool:
    """Whether a plain word is what a step does: ``hineinbröckeln``, ``gebe``, ``untergerührt``."""
    return len(word) >= LEAST_VERB and word[-1] in "nte" and _VERB.fullmatch(word) is not None


_ENDINGS = ("em", "en", "er", "es", "e")  # of adjectives, the longer first
_FORMS = ("e", "er", "en", "", "em")  # a plain word has lost its s
LEAST_STEM = 3


def with_known_endings(
    words: Sequence[str], names: Collection[tuple[str, ...]], plain: Collection[str]
) -> Sequence[str]:
    """Plain words, each adjective with the ending that a name or a plain word has: ``braunem Zucker``.

    Parameters
        words : Sequence[str]
        names : Collection[tuple[str, ...]]  the words of each name
        plain : Collection[str]  words that change nothing of a name
    Returns
        Sequence[str]  the same words where nothing was changed
    """
    if len(words) < 2:
        return words
    return [
        _known_form(word, behind, names, plain) for word, behind in zip(words, (*words[1:], ""), strict=True)
    ]


def _known_form(word: str, behind: str, names: Collection[tuple[str, ...]], plain: Collection[str]) -> str:
    """A word as a name has it before the word behind it, or else as a plain word."""
    ending = next((ending for ending in _ENDINGS if word.endswith(ending)), "")
    stem = word[: len(word) - len(ending)]
    if not ending or len(stem) < LEAST_STEM or (word, behind) in names:
        return word
    forms = [stem + form for form in _FORMS]
    named = next((form for form in forms if (form, behind) in names), None)
    if named or word in plain or (word,) in names:
        return named or word
    return next((form for form in forms if form in plain), word)
