"""One line of a recipe: a heading, a step, a mention of the scald, or ingredients with their measures."""

import re
from collections.abc import Iterator, Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.inside_headings import pieces_of
from scaldloaf.importing.layouts.latin_headings import led_by_first
from scaldloaf.importing.layouts.one_line import pieces_on_one_line
from scaldloaf.importing.line.headings import (
    MOST_SECTION_CHARACTERS,
    group_heading,
    has_measure,
    heading_of,
    inside_parentheses,
    is_yield,
    led_title_end,
    title_end,
    title_reading,
    weighs,
)
from scaldloaf.importing.line.item_words import mass_in
from scaldloaf.importing.line.lines_outside import all_of_heading, all_outside
from scaldloaf.importing.line.liquids_inside import read_with_liquid
from scaldloaf.importing.line.named_items import behind_for, is_remark, is_total, proper_words
from scaldloaf.importing.line.notes import is_note, is_other_case
from scaldloaf.importing.line.of_which import read_chunks, with_part_of_flour
from scaldloaf.importing.line.other_part import beside_its_part
from scaldloaf.importing.line.scald_parts import (
    chunks_of,
    in_grams,
    is_of_a_scald,
    names_its_own,
    without_end,
)
from scaldloaf.importing.line.titles import has_its_amount, of_one_heading
from scaldloaf.importing.method.made_before import cooks_above
from scaldloaf.importing.method.sentences import AMOUNTS, clauses_of, sentences_of_line
from scaldloaf.importing.method.stages import without_stage
from scaldloaf.importing.method.steps import (
    has_step_word,
    is_method_behind_heading,
    is_step,
    is_step_number,
    takes_time,
)
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.measures import Item, Measure, read_items, unit_of_word
from scaldloaf.importing.quantities.readings import INGREDIENT, STEP, Reader, Reading, mention, unread
from scaldloaf.importing.quantities.slips import without_slips
from scaldloaf.importing.words import sections, text
from scaldloaf.importing.words.doubt import LIKELY, NOT_KNOWN, SCALD_NOT_LISTED, UNSURE, Doubt, Fault
from scaldloaf.importing.words.said_units import WEIGHED
from scaldloaf.importing.words.sections import Title
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import (
    INFO,
    LIST,
    METHOD,
    OUTSIDE,
    PERCENT,
    PLACES,
    REMARK,
    SPONGE,
    STEPS,
    USED,
    heading_words,
    plain_word,
)
from scaldloaf.importing.words.whole_names import with_whole_names

LEAST_LONG_PARTS = 4  # amounts, of a line that is too long to be read as it is
LEAST_NOTE_WORDS = 4  # behind “note:”
MOST_VERB_CHARACTERS = 40
_BEFORE_VERB = frozenset(
    ("se", "si", "on", "first", "then", "dann", "zuerst", "poi", "luego", "primero", "puis", "prima")
)
MOST_BESIDE_SCALD = 5  # words, with its name: cooled tangzhong (20 g flour, 100 g water)
MOST_SAID = 16  # words and numbers of a line about the recipe, behind its colon
_BESIDE_SCALD = OF | USED | {"の", "を", "分", "のうち"}  # words beside the name of a scald with its parts
_DIGITS = re.compile(r"\d+")
_REMARK = re.compile(r"[A-ZÀ-Ý][a-zß-ÿ]*(?:[\s:,.!]|$)")
_STEP_NUMBER = re.compile(r"^\d{1,2}[.)]\s+")
_PLACES = tuple(f"{place} " for place in PLACES)
_WORDS = re.compile(r"[^\W\d_]+")
_PART_NUMBER = re.compile(r"^\d{1,2}[.、)](?!\d)\s*|^[一二三四五六][、.]\s*")
_PARTED = re.compile(rf"\d\s?{WEIGHED}[、,]")


def read_line(raw: str, plain: str, line: int, reader: Reader) -> list[Reading]:
    """The readings of one line; none for a blank one, several for ``500 g flour, 10 g salt``.

    Parameters
        raw : str  the line as pasted
        plain : str  the line as ``text.clean`` made it
        line : int  its number
        reader : Reader  what the recipe's lines share; changed by headings
    Returns
        list[Reading]
    """
    blank = _blank(raw, line, reader)
    if not plain:
        return []
    if reader.is_title and not reader.has_listed and not _names_a_part(plain):
        return [title_reading(blank)]
    begins = reader.has_listed and not reader.next_is_listed and is_step_number(plain)
    reader.in_method = reader.in_method or begins
    if reader.in_method and not _ends_method(raw, plain, reader) or _tells(plain, reader):
        return [_step(blank, plain, line, reader)]
    if len(raw) > text.MOST_RAW_CHARACTERS or len(plain) > text.MOST_CHARACTERS:
        return _read_long(raw, plain, blank, reader)
    if group := group_heading(plain, blank, reader):
        return [group]
    plain, blank = without_slips(plain, raw, blank)
    plain = without_stage(plain, reader.next_is_listed)
    plain = _PART_NUMBER.sub("", plain) if reader.next_is_list else plain
    readings: list[Reading] = []
    for heading, rest in pieces_of(plain):
        if heading:
            readings += _read_sentence(f"{heading}:", f"{heading}:", blank, reader)
            blank = _blank(raw, line, reader)
        is_list = ";" in rest and len(_listed(rest, reader)) > 1
        for sentence in _while_left([rest] if is_list else sentences_of_line(rest, reader), reader):
            listed = readings and readings[-1].kind == STEP and AMOUNTS.search(sentence)
            if readings and not listed and not sentence[0].isdigit() and _REMARK.match(sentence):
                readings.append(_step(blank, sentence, line, reader))
                continue
            readings += _read_sentence(sentence, "" if heading else raw, blank, reader)
            blank = _blank(raw, line, reader) if readings else blank
    return of_one_heading(readings, plain)


def _tells(plain: str, reader: Reader) -> bool:
    """Whether a line before any list tells what to do; it is read once no list has followed."""
    is_short = len(plain) <= text.MOST_CHARACTERS
    if (
        is_short
        and not reader.has_listed
        and (". " in plain and _begins_with_verb(plain) or _says_where(plain))
    ):
        return True
    return not plain[:1].isdigit() and cooks_above(plain, reader)


def _says_where(plain: str) -> bool:
    """Whether a line is a sentence that begins with where it is done: ``In a bowl mix 300 g flour …``."""
    plain = _STEP_NUMBER.sub("", plain)
    if not plain.lower().startswith(_PLACES) or not plain.endswith("."):
        return False
    return has_step_word(plain) and not sections.title_in(plain.partition(":")[0]).exact


def _while_left(parts: Sequence[str], reader: Reader) -> Iterator[str]:
    """The parts of a line; only the first once a recipe has had as many words as are read of one."""
    for at, part in enumerate(parts):
        if at and reader.tokens_left < 0:
            return
        yield part


def _blank(raw: str, line: int, reader: Reader) -> Reading:
    return Reading(
        line,
        text.printable(raw, text.MOST_CHARACTERS),
        part=reader.part,
        section=reader.section,
        section_doubts=reader.part_doubts,
    )


def _listed(plain: str, reader: Reader) -> list[str]:
    """The ingredients of a list on one line; one piece for another line, and behind many with numbers."""
    if reader.letters_left < 0 or len(_DIGITS.findall(plain)) < 2:
        return [plain]
    reader.letters_left -= len(plain)
    return pieces_on_one_line(plain)


def _read_sentence(plain: str, raw: str, blank: Reading, reader: Reader) -> list[Reading]:
    if len(listed := _listed(plain, reader)) > 1:
        return _read_parts(listed, raw, blank, reader)
    try:
        pieces = text.cut(plain)
    except text.TooManyWords:
        parts = clauses_of(plain)
        if len(parts) > 2 and len(_DIGITS.findall(plain)) >= len(parts) // 2:
            return _read_parts(parts, raw, blank, reader)
        if has_step_word(plain):
            return [_step(blank, plain, blank.line, reader)]
        return [unread(blank, "too_many_words", most=text.MOST_TOKENS)]
    if reader.tokens_left >= 0:
        tokens = text.tokenise(pieces)
        reader.tokens_left -= len(tokens) + sum([len(token.inside) for token in tokens])
    if reader.tokens_left < 0:
        return [unread(blank, "too_many_words_in_all", most=text.MOST_TOKENS_IN_ALL)]
    is_bullet = bool(reader.bullet) and raw.lstrip().startswith(reader.bullet)
    is_dressed = not is_bullet and sections.is_dressed(raw.rstrip(" ;；") if reader.is_ended else raw)
    return _read_tokens(with_whole_names(tokens), plain, is_dressed, blank, reader)


def _read_long(raw: str, plain: str, blank: Reading, reader: Reader) -> list[Reading]:
    """The readings of a line that is too long to be read at once: a whole list, or prose with its amounts."""
    is_headed = sections.names_part_first(plain[:MOST_SECTION_CHARACTERS])
    is_list = (is_headed or not reader.has_listed) and len(AMOUNTS.findall(plain)) >= LEAST_LONG_PARTS
    if not is_list or len(raw) > text.MOST_RAW_CHARACTERS:
        return [unread(blank, "too_long", most=text.MOST_CHARACTERS)]
    if not is_headed and _begins_with_verb(plain):
        return [_step(blank, plain, blank.line, reader)]
    parts = max(clauses_of(plain), _listed(plain, reader), key=len)
    readings = _read_parts(parts, raw, blank, reader)
    said = [
        each
        for each in readings
        if each.ingredient or each.read_as or each.kind != INGREDIENT or each.part == SCALD
    ]
    return said or [unread(blank, "too_long", most=text.MOST_CHARACTERS)]


def _begins_with_verb(plain: str) -> bool:
    """Whether the first word of a line is one that only a method has: ``Mezcle``, ``Se mezclan``."""
    words = _WORDS.findall(plain[:MOST_VERB_CHARACTERS].lower())
    if words and words[0] in _BEFORE_VERB:
        del words[0]
    return bool(words) and plain_word(words[0]) in STEPS


def _read_parts(parts: Sequence[str], raw: str, blank: Reading, reader: Reader) -> list[Reading]:
    """The readings of a line too long to be read at once: what is between its commas, one after the other."""
    readings: list[Reading] = []
    held = ""
    for part in _while_left(led_by_first(parts), reader):
        here = blank._replace(part=reader.part, section=reader.section, section_doubts=reader.part_doubts)
        readings += _read_sentence(part, "", here, reader)
        held, reader.prefix = reader.prefix or held, ""  # a heading before the first is that of all
    reader.prefix = held
    return all_outside(all_of_heading(readings))


def _names_a_part(plain: str) -> bool:
    """Whether a line names a part besides the dough and nothing else: ``Tangzhong``."""
    title = sections.title_in(plain)
    return title.exact and title.part in (SCALD, OUTSIDE, SPONGE)


def _ends_method(raw: str, plain: str, reader: Reader) -> bool:
    """Whether a line among the steps is the heading of another list."""
    if len(plain) > MOST_SECTION_CHARACTERS or not (
        reader.next_is_list or reader.next_is_listed and not reader.next_is_step
    ):
        return False
    title = sections.title_in(_PART_NUMBER.sub("", plain))
    if title.part in (None, METHOD) or not (title.exact or sections.is_dressed(raw)):
        return False
    reader.in_method, reader.after_method = False, reader.has_listed
    return True


def _step(blank: Reading, plain: str, line: int, reader: Reader) -> Reading:
    reader.method.append((line, plain, reader.section))
    return blank._replace(kind=STEP, doubts=(), section_doubts=(), part=DOUGH, read_as="a step of the method")


def _is_about_the_recipe(tokens: Sequence[Token]) -> bool:
    """Whether a line says something about the recipe: ``Prep time: 20 minutes``, ``Course: Bread``."""
    colon = sections.colon_at(tokens)
    if not colon or len(tokens) - colon - 1 > MOST_SAID:
        return False
    label = heading_words(" ".join(token.text for token in tokens[:colon] if token.kind == "w"))
    if label not in INFO:
        return False
    has_number = any(token.kind == "n" for token in tokens[colon + 1 :])
    return has_number or not sections.title_of(label.split()).exact


def _remark(blank: Reading) -> Reading:
    """A line about the recipe: how much it makes, how long it takes."""
    return blank._replace(kind=STEP, doubts=(), section_doubts=(), part=DOUGH, read_as="a remark")


def _read_tokens(
    tokens: list[Token], plain: str, dressed: bool, blank: Reading, reader: Reader
) -> list[Reading]:
    faults: list[Fault] = []
    if bare := inside_parentheses(tokens, reader):
        tokens, blank = bare, blank._replace(doubts=(*blank.doubts, Doubt.of(LIKELY, "optional")))
    items = read_items(tokens, reader.marks, faults)
    if _is_about_the_recipe(tokens) or is_total(items, reader) or is_yield(tokens, items, reader):
        return [_remark(blank)]
    if is_note(tokens) or is_other_case(items, blank, reader):
        return [_remark(blank)]
    if reader.has_listed and is_method_behind_heading(plain, reader.has_scald):
        return [_step(blank, plain, blank.line, reader)]
    if parts := _parts_of_scald(tokens, blank, reader):
        return parts
    if not faults and (heading := heading_of(tokens, items, dressed, blank, reader)):
        return [heading]
    if is_step(behind_for(tokens, reader), items, plain) or is_remark(tokens, items):
        return [_step(blank, plain, blank.line, reader)]
    reader.just_opened = False
    return _read_ingredients(tokens, items, plain, blank, reader, faults)


def _read_ingredients(
    tokens: list[Token], items: list[Item], plain: str, blank: Reading, reader: Reader, faults: list[Fault]
) -> list[Reading]:
    """The ingredients of a line, in the part that is open or that its own heading names.

    Parameters
        tokens : list[Token]
        items : list[Item]  the same as measures, words and marks
        plain : str  the line
        blank : Reading  of the line
        reader : Reader  what the recipe's lines share
        faults : list[str]  numbers of the line that can't be read, and why
    Returns
        list[Reading]
    """
    reader.proper = proper_words(tokens, reader)
    before, rest = _prefix(tokens, items, plain)
    title, part = _title_of_prefix(before, reader)
    is_note = title == (METHOD, True) and sum(token.kind == "w" for token in rest) >= LEAST_NOTE_WORDS
    if is_note and not weighs(items[:1]):
        return [_step(blank, plain, blank.line, reader)]
    says_more = any(token.kind == "w" and unit_of_word(token.text) is None for token in rest)
    if part == SCALD and not says_more and names_its_own(sections.words_of_title(before), reader):
        title, part = Title(None, False), None
    if part == SCALD and reader.has_scald and not (says_more and has_measure(items)):
        return [mention(blank)._replace(mass=mass_in(items))]
    if part == SCALD and reader.has_listed and not says_more and has_measure(items):
        scald = " ".join(token.text for token in before if token.kind == "w")
        return [unread(blank._replace(part=SCALD, mass=mass_in(items)), SCALD_NOT_LISTED, scald=scald)]
    prefix = ""
    reader.has_sponge = reader.has_sponge or title.part == SPONGE
    if title.part:
        prefix = " ".join(token.text for token in before if token.kind == "w")
        if faults:
            faults = []
        items = read_items(rest, reader.marks, faults)
    blank = _in_part(blank, part, prefix, reader)
    chunks = chunks_of(with_part_of_flour(items, reader), reader)
    readings = read_chunks(chunks, blank, reader, faults)
    if blank.part != OUTSIDE:
        readings = beside_its_part(all_outside(readings))
    if _is_title(items, readings, reader):
        return [title_reading(blank)]
    if takes_time(items) and not any(each.ingredient for each in readings):
        return [_remark(blank)]  # rise 1 hour 45 minutes
    reader.has_listed = reader.has_listed or any(reading.ingredient for reading in readings)
    return readings


def _title_of_prefix(before: Sequence[Token], reader: Reader) -> tuple[Title, str | None]:
    """What the words before a colon say, and the part that they name: None where they name none."""
    words = sections.words_of_title(before)
    title = sections.title_of(words)
    named = reader.names.named_as_spelt(tuple(words)).ingredient if title.part else None
    if named and (not title.exact or title.part == DOUGH and named.is_flour):
        return Title(None, False), None  # maple syrup, the remaining flour: an ingredient
    if title.part in (LIST, METHOD):
        return title, DOUGH if reader.prefix else None
    return title, title.part and sections.part_of(title.part)


def _is_title(items: Sequence[Item], readings: Sequence[Reading], reader: Reader) -> bool:
    """Whether a line before the first ingredient says something else: ``Für 12 Brötchen``."""
    if reader.has_listed or not reader.next_is_listed or weighs(items):
        return False
    return not any(
        reading.ingredient
        or reading.part != DOUGH
        or reading.alternatives
        and all(doubt.code not in NOT_KNOWN for doubt in reading.doubts)
        for reading in readings
    )


def _parts_of_scald(tokens: list[Token], blank: Reading, reader: Reader) -> list[Reading]:
    """A line of the scald that has its parts in parentheses: ``Tangzhong (20 g flour, 100 g water)``."""
    outside = [
        token.text
        for token in tokens
        if token.kind == "w" and unit_of_word(token.text) is None and token.text not in _BESIDE_SCALD
    ]
    groups = [token for token in tokens if token.kind == "g"]
    title = sections.title_of(outside)
    is_named = sections.SCALD_WORDS.found_in(f" {' '.join(outside)} ") is not None
    if len(groups) != 1 or not is_named or not title.exact and len(outside) > MOST_BESIDE_SCALD:
        return []
    used = mass_in(read_items(tokens, reader.marks, []))
    items = without_end(read_items(groups[0].inside, reader.marks, []))
    weighed = in_grams(items)
    chunks = chunks_of(weighed, reader)
    if len(chunks) < 2:
        return []
    bare = () if weighed == items else (Doubt.of(UNSURE, "bare_grams"),)
    here = blank._replace(part=SCALD, section_doubts=(), doubts=(*blank.doubts, *bare))
    readings = [reading for chunk in chunks for reading in read_with_liquid(chunk, here, reader, [])]
    if not all(reading.ingredient and (reading.mass or reading.percent) for reading in readings):
        return []
    if not title.exact and not is_of_a_scald(readings):
        return []
    reader.has_scald = reader.has_listed = True
    if used and used.best < sum(reading.mass.best for reading in readings if reading.mass):
        reader.scald_used_g = used.best  # 90 g of roux (20 g flour and 100 ml water)
    return readings


def _prefix(tokens: list[Token], items: list[Item], plain: str) -> tuple[list[Token], list[Token]]:
    """The words before a colon, which may name the part of the line, and what is behind it.

    Without a colon a line may also begin with the name of the scald, when two amounts follow.
    """
    colon = sections.colon_at(tokens)
    if colon:
        return tokens[:colon], tokens[colon + 1 :]
    measures = sum(isinstance(item, Measure) and item.kind not in (REMARK, PERCENT) for item in items)
    if measures and (end := led_title_end(tokens)):
        return tokens[:end], tokens[end:]
    if measures > 1 and tokens[0].kind == "w":
        end = title_end(tokens, plain)
        title = sections.title_of([token.text for token in tokens[:end]])
        if title.exact and (
            title.part == SCALD
            or title.part in (OUTSIDE, DOUGH)
            and end
            and not has_its_amount(tokens, end)
            and (measures > 2 or _PARTED.search(plain))
        ):
            return tokens[:end], tokens[end:]
    return [], tokens


def _in_part(blank: Reading, part: str | None, prefix: str, reader: Reader) -> Reading:
    """The line in the part that is open, or in the part that its own heading names."""
    if part == OUTSIDE:  # of this line only: what follows is more likely dough again
        doubt = Doubt.of(LIKELY, "not_of_heading", heading=prefix)
        reader.open(reader.part, doubt, section=reader.section)
        return blank._replace(part=OUTSIDE, section=prefix)
    if part:
        reader.open(part, prefix=prefix)
    else:
        reader.go_on()
    return blank._replace(part=reader.part, section=reader.section, section_doubts=reader.part_doubts)
