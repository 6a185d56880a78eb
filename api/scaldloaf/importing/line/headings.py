"""Headings among the lines of a recipe: known ones, those in their marks, and short lines that may be one."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.nutrition import heads_a_label
from scaldloaf.importing.line.going_on import go_on, says_more
from scaldloaf.importing.line.item_words import joined_words
from scaldloaf.importing.line.sponges import is_all_of_a_sponge, mentioned
from scaldloaf.importing.line.titles import begins_the_method, title_with_inside, used_grams
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.measures import Group, Item, Measure, bare_words, read_items, unit_of_word
from scaldloaf.importing.quantities.readings import HEADING, STEP, Reader, Reading, mention
from scaldloaf.importing.words import sections, text
from scaldloaf.importing.words.doubt import LIKELY, UNKNOWN_HEADING, UNSURE, Doubt
from scaldloaf.importing.words.sections import Title
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import (
    CHOOSE,
    CONTAINER,
    COUNT,
    CUT,
    GOES_ON,
    INFO,
    INSTEAD,
    LIST,
    LOAVES,
    MASS,
    METHOD,
    NUMBERS,
    OUTSIDE,
    PACKET,
    PERCENT,
    PIECE,
    PLAIN,
    REMARK,
    SECTION_TAILS,
    SPONGE,
    heading_words,
    is_spaceless,
    plain_word,
)

_PART_WORDS = {SCALD: "the scald", DOUGH: "the dough", OUTSIDE: "something beside the dough"}
_WEIGHS_NOTHING = frozenset((COUNT, REMARK, PERCENT, PIECE, CONTAINER, PACKET))
_ALL = frozenset(("all", "the", "tutto", "tutta", "tout", "toute", "todo", "toda", "alles", "gesamter"))
MOST_LED_WORDS = 6  # of a heading before an amount, on the same line
_OF_PART = tuple(tail for tail in SECTION_TAILS if is_spaceless(tail) and len(tail) > 1)
TITLE = "a title"  # what such a line is read as
FOR = frozenset(("for", "für", "pour", "para", "per", "zum"))
_BESIDE_YIELD = INFO | OF | NUMBERS.keys() | set(map(heading_words, FOR | GOES_ON))
MOST_TITLE_WORDS = 7
MOST_TITLE_CHARACTERS = 14  # of scripts without spaces
MOST_SECTION_CHARACTERS = 120
_LOAVES_WORDS = 3  # for 2 loaves
_SOME = re.compile(r"\w\W*(?:[適适]量|適宜|少[許许々]|酌量|若干)")
_LISTED = re.compile(r"\W*\d{1,2}[.)、]\s*[^\W\d]")
_LED_SPONGE = re.compile(r"\W*\d{1,3}\s?(?:[%％]|[度°℃]C?)[^\s\d]{2,8}\W*")  # 70%中種
GROUP_MARK = re.compile(r"[\s(\[【]*[A-Ha-h甲乙丙丁①②③④][\s)\]】.:、]*")  # (A), alone on its line
BULLETED = re.compile(r"^\s*[-•*·✓▪‣]\s*\w")


def heading_of(
    tokens: list[Token], items: list[Item], dressed: bool, blank: Reading, reader: Reader
) -> Reading | None:
    """The line as a heading, which opens a part for the lines to come; or as a mention of the scald.

    Parameters
        tokens : list[Token]
        items : list[Item]  the same as measures, words and marks
        dressed : bool  the line has the marks of a heading
        blank : Reading  of the line
        reader : Reader  what the recipe's lines share; changed by a heading
    Returns
        Reading  None for another line
    """
    end = min(_timed_title_end(tokens, reader), _counted_title_end(tokens), _version_end(tokens, reader))
    tokens, items = tokens[:end], items[:end]
    measures = [item for item in items if isinstance(item, Measure)]
    top = _title_tokens(tokens, bool(measures))
    if not top or any(measure.kind not in _WEIGHS_NOTHING for measure in measures):
        return None
    in_parentheses = top is not tokens and len(tokens) == 1
    marked = not in_parentheses and (dressed or top[-1].text == ":" or top[0].text == "#")
    words = sections.words_of_title(top)
    title = sections.title_of(words)
    if reader.has_sponge and not marked and is_all_of_a_sponge(_with_inside(words, tokens)):
        return mentioned(blank)
    if title.part == OUTSIDE and not marked and _has_an_amount(words, items, blank.text, reader):
        return None
    if not measures and sections.are_heads_of_columns(words):
        return title_reading(blank)
    said = reader.said.get(heading_words(" ".join(words)))
    if said:
        return _open(said, _name(blank), tokens, blank, reader)
    goes_on = title.part is None and reader.has_listed and reader.next_is_listed and not measures
    if goes_on and says_more(words) and go_on(_name(blank), _PART_WORDS[reader.part], reader):
        return _opened(blank._replace(section=reader.section, doubts=()), reader)
    numbered = len(measures) == 1 and (
        _LISTED.match(blank.text) is not None
        or title == (SPONGE, True)
        and _LED_SPONGE.fullmatch(blank.text) is not None
    )
    title = title_with_inside(title, tokens, top, words, reader)
    is_open = not title.exact or title.part == DOUGH
    if is_open and not measures and begins_the_method(words, reader):
        title = Title(METHOD, True)
    if not marked and (not title.exact or measures and not numbered and title.part != LIST):
        return _plain_heading(words, items, bool(measures), blank, reader)
    if not title.exact and _names_an_ingredient(words, bool(measures), dressed, reader):
        return None
    return _known(title, marked, tokens, blank, reader)


def _timed_title_end(tokens: Sequence[Token], reader: Reader) -> int:
    """Where a heading ends that says how long its part takes: ``Mehlkochstück: 4 bis 12 Stunden``.

    The end of the line for any other.
    """
    colon = sections.colon_at(tokens)
    if not colon or not reader.next_is_listed or any(token.kind != "w" for token in tokens[:colon]):
        return len(tokens)
    title = sections.title_of([token.text for token in tokens[:colon]])
    if not title.exact or title.part not in (SCALD, DOUGH, SPONGE):
        return len(tokens)
    rest = read_items(tokens[colon + 1 :], reader.marks, [])
    is_time = bool(rest) and isinstance(rest[0], Measure) and rest[0].kind == REMARK
    return colon + 1 if is_time and not weighs(rest) else len(tokens)


def _version_end(tokens: Sequence[Token], reader: Reader) -> int:
    """Where the heading of a second version ends before its number, else the line: ``Version 2: no milk``."""
    end = next((at for at, token in enumerate(tokens) if token.kind != "w"), 0)
    words = " ".join(token.text for token in tokens[:end])
    is_second = reader.has_listed and reader.next_is_listed and sections.calls_a_version(words)
    return end if is_second and not weighs(read_items(tokens[end:], reader.marks, [])) else len(tokens)


def _counted_title_end(tokens: Sequence[Token]) -> int:
    """Where a heading ends that says how many loaves its part is for: ``Tangzhong for 2 loaves``.

    The end of the line for any other.
    """
    said = [token.text for token in tokens if token.text != ":"]
    if len(said) <= _LOAVES_WORDS or said[-3] not in FOR or said[-1] not in LOAVES:
        return len(tokens)
    end = len(said) - _LOAVES_WORDS
    is_number = said[-2].isdecimal() or said[-2] in NUMBERS
    is_title = all(token.kind == "w" for token in tokens[:end]) and sections.title_of(said[:end]).exact
    return end if is_number and is_title else len(tokens)


def _with_inside(words: Sequence[str], tokens: Sequence[Token]) -> list[str]:
    """The words of a line and, behind them, those in its parentheses: ``中種(全量)``."""
    inside = [word for token in tokens if token.kind == "g" for word in sections.words_of_title(token.inside)]
    return [*words, *inside]


def _has_an_amount(words: Sequence[str], items: Sequence[Item], line: str, reader: Reader) -> bool:
    """Whether a line has some of what may head a list too: ``蛋液（45克）``, ``蛋液 适量（刷表面）``."""
    is_weighed = any(
        isinstance(inside, Measure) and inside.kind == MASS
        for item in items
        if isinstance(item, Group)
        for inside in item.items
    )
    is_named = reader.names.named_as_spelt(tuple(words)).ingredient is not None
    return is_weighed and is_named or _SOME.search(line) is not None or _lists_inside(items, reader)


def _lists_inside(items: Sequence[Item], reader: Reader) -> bool:
    """Whether parentheses list ingredients with their amounts: ``egg wash (1 egg, 1 tbsp milk)``."""
    return any(
        isinstance(item, Group)
        and has_measure(item.items)
        and any(match.ingredient for match, _ in reader.names.all_in(bare_words(item.items)))
        for item in items
    )


def _title_tokens(tokens: list[Token], is_measured: bool) -> list[Token]:
    """The tokens of a heading outside its parentheses, or inside where that is all; none for another line."""
    top = [token for token in tokens if token.kind != "g"]
    if any(token.kind == "w" for token in top):
        is_prefix = top[-1].text != ":" and any(token.text == ":" for token in top)
        return [] if is_prefix else top
    if len(tokens) != 1 or is_measured:
        return []
    inside = list(tokens[0].inside)
    kinds = {token.kind for token in inside}
    return inside if "w" in kinds and "n" not in kinds else []


def _names_an_ingredient(words: Sequence[str], is_measured: bool, dressed: bool, reader: Reader) -> bool:
    """Whether a line with a colon is an ingredient without its amount: ``Butter:``."""
    named = reader.names.named_as_spelt(tuple(words))
    return named.ingredient is not None and (is_measured or not named.doubts and not dressed)


def _known(title: Title, marked: bool, tokens: Sequence[Token], blank: Reading, reader: Reader) -> Reading:
    """A heading by what it says: of the method, of the whole list, of a part, or of something unknown."""
    if title.part == SCALD and not marked and _is_mentioned(reader):
        return mention(blank)
    if title.part == SPONGE and not marked and (_names_all_of_it(tokens, reader) or _is_named_first(reader)):
        return mentioned(blank)
    if title.part == METHOD and not reader.has_listed and reader.next_is_listed and not reader.next_is_step:
        return title_reading(blank)  # it heads the list
    if title.part == METHOD:
        reader.in_method, reader.section = True, ""
        return blank._replace(kind=STEP, doubts=(), section_doubts=(), read_as="the heading of the method")
    if title.part == LIST and reader.just_opened and not heads_a_label(reader.section):
        return _opened(blank._replace(section=reader.section), reader)
    name = _name(blank)
    reader.has_sponge = reader.has_sponge or title.part == SPONGE
    if title.part == LIST and reader.after_method:
        reader.open(DOUGH, Doubt.of(UNSURE, "starts_again"), section=name)
        return _opened(blank._replace(section=name, doubts=()), reader)
    if title.part is not None and not (title == (LIST, False) and reader.has_listed):  # … for the pastry:
        return _open(sections.part_of(title.part), name, tokens, blank, reader)
    doubt = Doubt.of(LIKELY, UNKNOWN_HEADING, heading=name, part="dough")
    reader.open(DOUGH, doubt, section=name, is_known=False)
    reader.just_opened = False
    unknown = Doubt.of(LIKELY, "unknown_heading", part="dough")
    return _opened(blank._replace(section=name, doubts=(unknown,)), reader)


def _is_mentioned(reader: Reader) -> bool:
    """Whether the scald has a list of its own, above or below what goes into the dough.

    A title above all lists that names the scald is none: ``Milk bread with tangzhong``.
    """
    is_above = reader.has_scald and reader.has_listed
    return is_above or reader.scald_is_ahead and (reader.has_listed or reader.section != "")


def _names_all_of_it(tokens: Sequence[Token], reader: Reader) -> bool:
    """Whether a line names the sponge again, among what is in the dough: ``all of the biga``."""
    is_in_dough = sections.title_in(reader.section).part != SPONGE
    return reader.has_sponge and bool(tokens) and (is_in_dough or tokens[0].text in _ALL)


def _is_named_first(reader: Reader) -> bool:
    """Whether the list of the dough begins with a sponge that has its own: ``Hauptteig:``, ``- Vorteig``."""
    if not (reader.has_sponge and reader.just_opened):
        return False
    return sections.title_in(reader.section) == (DOUGH, True)


def _open(part: str, name: str, tokens: Sequence[Token], blank: Reading, reader: Reader) -> Reading:
    """A known heading, which opens its part."""
    if part == SCALD:
        reader.scald_used_g = used_grams([token for token in tokens if token.kind == "g"], reader)
    reader.open(part, section=name)
    reader.just_opened = True
    return _opened(blank._replace(section=name, doubts=()), reader)


def _name(blank: Reading) -> str:
    """A heading as it is shown, without its marks."""
    return text.printable(blank.text.strip(" :：#*"), MOST_SECTION_CHARACTERS)


def _opened(blank: Reading, reader: Reader) -> Reading:
    return blank._replace(
        kind=HEADING,
        part=reader.part,
        section_doubts=(),
        read_as=f"heading of {_PART_WORDS[reader.part]}",
    )


def _plain_heading(
    words: Sequence[str], items: Sequence[Item], is_measured: bool, blank: Reading, reader: Reader
) -> Reading | None:
    """A short line without an amount and without the marks of a heading, before one that has an amount.

    Before the first ingredient it is the recipe's title.
    """
    if is_measured or not reader.next_is_listed or has_measure(items) or BULLETED.match(blank.text):
        return None
    if not _is_short(words):
        return None
    title = sections.title_of(words)
    if reader.has_listed and _is_made_of(words, title):
        return _open_aside(blank, reader)
    if _says_what(items, reader):
        return _aside_heading(words, items, blank, reader)
    is_first = not reader.has_listed and reader.part == DOUGH
    is_of_bread = title in ((None, False), (DOUGH, False))
    if is_first and is_of_bread and sections.SCALD_WORDS.found_in(joined_words(items)):
        return title_reading(blank)  # tangzhong milk bread
    named = reader.names.named_as_spelt(tuple(words))
    of_filling = title.part == OUTSIDE and reader.has_listed and sections.ends_with_aside("".join(words))
    is_known = named.ingredient is not None or named.alternatives or named.doubts
    is_doubted = reader.is_bulleted and reader.has_listed and named.doubts
    if title.part != SCALD and is_known and not of_filling and not is_doubted and not _says_part(words):
        return None
    name = _name(blank)
    if is_first and title.part != SCALD:
        return title_reading(blank)
    part = sections.part_of(title.part)
    doubt = Doubt.of(LIKELY, UNKNOWN_HEADING, heading=name, part=_PART_WORDS[part])
    reader.open(part, doubt, section=name, is_known=False)
    unknown = Doubt.of(LIKELY, "unknown_heading", part=part if part != OUTSIDE else "no dough")
    return _opened(blank._replace(section=name, doubts=(unknown,)), reader)


def _says_part(words: Sequence[str]) -> bool:
    """Whether a line says that it heads something, whatever it names: ``芋泥部分``, ``Chocolate version``."""
    joined = "".join(words)
    return is_spaceless(joined) and joined.endswith(_OF_PART) or sections.calls_a_version(" ".join(words))


def _aside_heading(
    words: Sequence[str], items: Sequence[Item], blank: Reading, reader: Reader
) -> Reading | None:
    """A line that only says what is done outside the dough, above one with an amount: ``Zum Glasieren``."""
    plain = joined_words(items)
    if not sections.ASIDE_WORDS.found_in(plain) or sections.VAGUE_WORDS.found_in(plain):
        return None
    named = reader.names.named_as_spelt(tuple(words))
    is_known = named.ingredient or named.alternatives or named.words
    return None if is_known else _open_aside(blank, reader)


def _open_aside(blank: Reading, reader: Reader) -> Reading:
    name = _name(blank)
    doubt = Doubt.of(LIKELY, UNKNOWN_HEADING, heading=name, part=_PART_WORDS[OUTSIDE])
    reader.open(OUTSIDE, doubt, section=name, is_known=False)
    return _opened(blank._replace(section=name, doubts=()), reader)


def _is_made_of(words: Sequence[str], title: Title) -> bool:
    """Whether a heading says what a filling or topping is of: ``Honey Butter Filling & Finishing``."""
    if title.part != OUTSIDE or len(words) < 2:
        return False
    if words[0] in FOR and any(
        sections.title_of(words[:end]) == (OUTSIDE, True) for end in range(2, len(words))
    ):
        return True  # pour la garniture au chocolat
    if not CUT.isdisjoint(words):
        return False
    last = sections.title_of(words[-1:])
    first = sections.title_of(words[:1])
    return OUTSIDE in (last.part if last.exact else None, first.part if first.exact else None)


def _is_short(words: Sequence[str]) -> bool:
    """Whether words are few enough for a heading."""
    joined = "".join(words)
    if is_spaceless(joined):
        return len(joined) <= MOST_TITLE_CHARACTERS
    return 0 < len(words) <= MOST_TITLE_WORDS


def _says_what(items: Sequence[Item], reader: Reader) -> bool:
    """Whether a line without an amount is no heading: a vague amount, a wash, or the scald again."""
    plain = joined_words(items)
    if sections.ASIDE_WORDS.found_in(plain) or sections.VAGUE_WORDS.found_in(plain):
        return True
    return sections.SCALD_WORDS.found_in(plain) is not None and (reader.has_scald or reader.has_listed)


def group_heading(plain: str, blank: Reading, reader: Reader) -> Reading | None:
    """A letter alone above the first lines of a list, in the part that is open: ``(A)``, ``A:``."""
    is_first = reader.just_opened or not reader.has_listed
    is_mark = reader.next_is_listed and GROUP_MARK.fullmatch(plain) is not None
    return _opened(blank, reader) if is_first and is_mark else None


def title_reading(blank: Reading) -> Reading:
    """A line before the first ingredient that is none: the recipe's name, or how many loaves it makes."""
    return blank._replace(kind=HEADING, doubts=(), section_doubts=(), read_as=TITLE)


def inside_parentheses(tokens: Sequence[Token], reader: Reader) -> list[Token]:
    """What a line in parentheses with an amount holds: ``(optional: 100 g raisins)``; else nothing."""
    inside = list(tokens[0].inside) if len(tokens) == 1 else []
    said = CHOOSE | INSTEAD  # (or 15 g of fresh yeast)
    if not inside or not said.isdisjoint(token.text for token in inside):
        return []
    return inside if weighs(read_items(inside, reader.marks, [])) else []


def is_yield(tokens: Sequence[Token], items: Sequence[Item], reader: Reader) -> bool:
    """Whether a line says how much is made: ``For 1 loaf of 700 g``, ``2 loaves, 450 g each``.

    Above the list a number of pieces says so alone: ``8 Stück (10 cm)``.
    """
    if not reader.has_listed and _only_counts(items):
        return True
    kinds = {item.kind for item in items if isinstance(item, Measure)}
    if MASS not in kinds:
        return False
    spelt = [token.text for token in tokens if token.kind == "w"]
    left = [heading_words(word) for word in spelt if unit_of_word(word) is None]
    left = [word for word in left if word not in _BESIDE_YIELD and plain_word(word) not in PLAIN]
    if not reader.has_listed and PIECE in kinds and not left:
        return True  # 9 Stück à 100 g
    is_for = COUNT in kinds or bool(spelt) and heading_words(spelt[0]) in FOR | INFO
    return is_for and bool(left) and sections.title_of(left) == (DOUGH, True)


def _only_counts(items: Sequence[Item]) -> bool:
    """Whether a line counts pieces and names nothing, but in parentheses: ``8個分(直径14cm)``."""
    if not items or not isinstance(items[0], Measure) or items[0].kind != PIECE:
        return False
    return all(isinstance(item, Group) and not weighs(item.items) for item in items[1:])


def weighs(items: Sequence[Item]) -> bool:
    """Whether an amount that can be weighed is among the items."""
    return any(isinstance(item, Measure) and item.kind not in _WEIGHS_NOTHING for item in items)


def weighs_inside(items: Sequence[Item]) -> bool:
    """Whether an amount that can be weighed is in parentheses among the items."""
    return any(isinstance(item, Group) and weighs(item.items) for item in items)


def has_measure(items: Sequence[Item]) -> bool:
    return any(
        isinstance(item, Measure)
        and item.kind != REMARK
        or isinstance(item, Group)
        and has_measure(item.items)
        for item in items
    )


def led_title_end(tokens: Sequence[Token]) -> int:
    """Where a part ends that a line begins with, behind “for”: ``per il water roux 20 g di farina``; or 0."""
    end = next((at for at, token in enumerate(tokens) if token.kind != "w"), 0)
    if not 1 < end <= MOST_LED_WORDS or tokens[end].kind != "n" or tokens[0].text not in FOR:
        return 0
    title = sections.title_of([token.text for token in tokens[:end]])
    return end if title.exact and title.part in (SCALD, DOUGH, SPONGE, OUTSIDE) else 0


def title_end(tokens: Sequence[Token], plain: str) -> int:
    """How many tokens the first word of a line is, in scripts that write words together."""
    first = plain.partition(" ")[0].lower()
    if not is_spaceless(first) or any(map(str.isdigit, first)):
        return 1
    end, length = 0, 0
    while end < len(tokens) and tokens[end].kind == "w" and length < len(first):
        length += len(tokens[end].text)
        end += 1
    return end
