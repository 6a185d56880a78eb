"""All lines of a recipe: the marks they share, the parts they open, what the method says, and percentages."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import islice
from types import MappingProxyType
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.aligned import with_strokes
from scaldloaf.importing.layouts.besides import without_besides
from scaldloaf.importing.layouts.braces import as_list
from scaldloaf.importing.layouts.columns import with_parts_of_table
from scaldloaf.importing.layouts.copied import without_copying
from scaldloaf.importing.layouts.cut_lines import without_cuts
from scaldloaf.importing.layouts.data_rows import as_rows
from scaldloaf.importing.layouts.glued_parts import with_glued_parts
from scaldloaf.importing.layouts.inside_headings import (
    with_its_scald,
    with_led_parts,
    with_marked_parts,
    with_yields,
    without_braces,
    without_colon,
    without_its_part,
    without_list_word,
)
from scaldloaf.importing.layouts.joined_lines import joined
from scaldloaf.importing.layouts.latin_headings import lines_in
from scaldloaf.importing.layouts.layout import next_is_step, of_next, titles_in, with_units_of_table
from scaldloaf.importing.layouts.list_marks import (
    end_with_semicolons,
    last_scald_heading,
    page_line,
    with_parts_below,
    without_drawn_brackets,
    without_number_cells,
    without_numbers,
    without_page_lines,
    without_parentheses,
    without_semicolon,
)
from scaldloaf.importing.layouts.method_behind import with_method_apart
from scaldloaf.importing.layouts.named_shares import MAY_BE_SHARED, in_named_shares, with_units_behind
from scaldloaf.importing.layouts.nested import nested_in
from scaldloaf.importing.layouts.nutrition import label_lines
from scaldloaf.importing.layouts.parts_below import with_parts_above
from scaldloaf.importing.layouts.prices import without_price
from scaldloaf.importing.layouts.scald_in_list import scald_in_list
from scaldloaf.importing.layouts.scald_marks import cooked_apart, with_legend, with_marks_above
from scaldloaf.importing.layouts.scald_pairs import scald_added, scald_pair, without_strokes
from scaldloaf.importing.layouts.scald_ratios import with_scald_of_ratio
from scaldloaf.importing.line.alternatives import without_alternatives
from scaldloaf.importing.line.cases import with_first_yeast, without_cases
from scaldloaf.importing.line.headings import BULLETED, GROUP_MARK
from scaldloaf.importing.line.kinds import shared_out
from scaldloaf.importing.line.notes import footnotes_in, times_in
from scaldloaf.importing.line.of_total import without_its_total
from scaldloaf.importing.line.one_head import around_plus, of_one_head
from scaldloaf.importing.line.open_amounts import with_open_amounts
from scaldloaf.importing.line.scald_parts import with_doubt_of_yeast
from scaldloaf.importing.line.together import (
    added_apart,
    as_one_line,
    as_sum,
    with_name_behind,
    without_eggs,
)
from scaldloaf.importing.lines import read_line
from scaldloaf.importing.method.cooked_above import with_scald_cooked_below
from scaldloaf.importing.method.groups import with_groups
from scaldloaf.importing.method.half_marked import with_other_half
from scaldloaf.importing.method.method import MOST_SENTENCES, sentences_of, with_scald_of_method
from scaldloaf.importing.method.method_amounts import with_method_amounts
from scaldloaf.importing.method.shared_amounts import with_parted_eggs, with_shares
from scaldloaf.importing.method.steps import begins_a_step, without_long_step
from scaldloaf.importing.method.steps_below import without_steps_below
from scaldloaf.importing.method.used_scald import note_used_scald
from scaldloaf.importing.method.washes import without_washes
from scaldloaf.importing.quantities.amounts import marks_of
from scaldloaf.importing.quantities.masses import Choices
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.number_columns import with_one_column, without_dashes, without_other_batch
from scaldloaf.importing.quantities.readings import STEP, Reader, Reading
from scaldloaf.importing.quantities.sizes import rows_of_sizes
from scaldloaf.importing.whole.around_list import without_page_text
from scaldloaf.importing.whole.contents import without_first_wash, without_totals
from scaldloaf.importing.whole.flour_of_title import without_flour_of_title
from scaldloaf.importing.whole.laminated import with_doubt_of_sheet
from scaldloaf.importing.whole.left_over import with_doubt_of_left_over
from scaldloaf.importing.whole.listed_again import made_of_listed
from scaldloaf.importing.whole.other_sizes import with_doubt_of_sizes
from scaldloaf.importing.whole.said_lines import (
    NOTHING_SAID,
    SaidLines,
    as_said,
    with_said_scald,
    without_doubt_of_said,
)
from scaldloaf.importing.whole.scald_ends import with_a_dough
from scaldloaf.importing.whole.scald_in_doubt import with_doubt_of_title
from scaldloaf.importing.whole.starters import with_starters
from scaldloaf.importing.whole.taken_of_listed import without_taken_of_listed
from scaldloaf.importing.whole.unread_sentences import without_sentences
from scaldloaf.importing.whole.whole_recipe import settled, used_in_part
from scaldloaf.importing.words.adjectives import HEAD_FIRST
from scaldloaf.importing.words.doubt import LIKELY, NOT_READ, Doubt
from scaldloaf.importing.words.fruits import each_fruit
from scaldloaf.importing.words.german import spelt_out
from scaldloaf.importing.words.language import language_of
from scaldloaf.importing.words.lexicon import ENGLISH, Lexicon, lexicon
from scaldloaf.importing.words.names import Names
from scaldloaf.importing.words.sections import BIG_PINTS, framed, title_in
from scaldloaf.importing.words.text import MOST_CHARACTERS, clean, printable
from scaldloaf.importing.words.vocabulary import LATIN, LIST, OUTSIDE, name_words

MOST_LINES = 200
MOST_LIST_HEADING = 24  # characters of a heading of a whole list
MOST_PIECES = 100  # that lines of a recipe are cut into, besides the lines
LEAST_AHEAD = 4  # lines with an amount below one, of a list
MOST_LISTED = 120  # characters of a line that lists something
MOST_PERCENTAGES = 0.5  # of the lines with an amount, that say how much fat a thing has, or protein
ASSUMED_FLOUR_G = 100.0
MOST_PERCENT = 1000  # of flour, of one line
MOST_BESIDE_WEIGHED = 30  # of flour, of one line where the others are weighed
THIN_WATER_PERCENT = 85.0  # of what may be more: milk and what is thinner
_EAST_ASIAN = re.compile("[\u3040-\u30ff\u4e00-\u9fff]+")
_LATIN_WORD = re.compile("(?<![^\\W\\d_])[A-Za-z]{3,}(?![^\\W\\d_])")
_KIND_IN_LATIN = re.compile(r"\(([A-Za-z -]{3,30})\)")  # 乾酵母(active dry yeast)
_NO_KIND = ("sugar",)  # 砂糖(sugar): soft sugar in Japan
_ODD_BULLET = re.compile(r"\s*([■□◆◇▼▽▲●○★☆▶▷►☐☑✅])\s*\w")
_SMALL_CUBES = frozenset(("it", "es"))  # languages of places that sell yeast in cubes of 25 g
_DIGIT_OR_VAGUE = re.compile(
    "[0-9]|適量|适量|少許|少许|適宜|少々|ひとつまみ|一小撮|q\\.?b\\.?$|to taste", re.IGNORECASE
)


class Known(NamedTuple):
    """What is known of a recipe besides its lines.

    name: its own. steps: of the method, where it has them apart. sections: heading, as ``heading_words`` has
    it -> the part that the caller says it opens. said: of single lines, by the caller.
    """

    name: str = ""
    steps: Sequence[str] = ()
    sections: Mapping[str, str] = MappingProxyType({})
    said: SaidLines = NOTHING_SAID


NOTHING_KNOWN = Known()


def read_lines(
    lines: Sequence[str],
    choices: Choices,
    chosen: dict[str, str],
    decimal: str = "auto",
    known: Known = NOTHING_KNOWN,
) -> list[Reading]:
    """The readings of a recipe's lines, without blank ones.

    Parameters
        lines : Sequence[str]  at most MOST_LINES
        choices : Choices  how measures are weighed
        chosen : dict  bare name -> ingredient that it means
        decimal : str  ``auto``, ``comma`` or ``point``
        known : Known  besides the lines
    Returns
        list[Reading]
    """
    numbered = with_parts_below(without_drawn_brackets(without_number_cells(as_rows(without_copying(lines)))))
    headed = [with_marked_parts(with_its_scald(with_glued_parts(as_list(line)))) for line in numbered]
    cleaned = without_dashes(lines, with_one_column(lines, with_units_behind(list(map(clean, headed)))))
    beside, plain = without_page_lines(without_other_batch(without_numbers(lines, cleaned)))
    whole, plain = joined(*without_cuts(lines, without_parentheses(lines, plain)))
    labels = label_lines(plain)
    whole, plain = with_parts_above(whole, plain)
    plain = with_marks_above(whole, with_legend(whole, plain))
    words = lexicon(language_of(plain))
    plain = list(map(without_price, plain))
    plain = [
        as_sum(with_name_behind(without_its_part(without_colon(_in_one_language(line, words)))))
        for line in map(
            without_long_step,
            map(without_its_total, map(without_besides, map(without_semicolon, without_strokes(plain)))),
        )
    ]
    plain = [line.rstrip(" :：.") if GROUP_MARK.fullmatch(line) else line for line in plain]
    plain = with_first_yeast(
        with_led_parts(with_yields([without_list_word(without_braces(line)) for line in plain]))
    )
    plain = with_scald_of_ratio(plain)
    if words.language == "de":
        plain = list(map(spelt_out, plain))
    is_head_first = words.language in HEAD_FIRST
    cut = [
        (line if at in labels else "")
        or cooked_apart(line)
        or with_method_apart(line)
        or scald_pair(line)
        or scald_in_list(line)
        or (scald_added(line) if "+" in line else "")
        or (in_named_shares(line) if MAY_BE_SHARED.search(line) else "")
        or added_apart(line)
        or shared_out(line, is_head_first)
        or of_one_head(line, is_head_first)
        or around_plus(line)
        or each_fruit(line)
        or lines_in(line)
        for at, line in enumerate(plain)
    ]
    plain = _in_pieces(plain, with_parts_of_table(with_strokes(whole), with_units_of_table(whole, cut)))
    choices = replace(
        choices,
        small_cubes=words.language in _SMALL_CUBES,
        cakes=words.language == "en",
        big_pints=any(map(BIG_PINTS.found_in, map(framed, plain))),
    )
    marks, names = marks_of(plain, decimal, words), Names(chosen, words)
    reader = Reader(marks, choices, names, said=dict(known.sections))
    listed, stepped, titles = _next_is_listed(plain), next_is_step(whole), titles_in(lines)
    reader.is_bulleted, reader.bullet = _are_bulleted(whole)
    reader.are_in_percent = _are_in_percent(plain)
    reader.is_ended = end_with_semicolons(whole)
    heads_list = _next_heads_a_list(plain)
    of_label = labels | footnotes_in(whole) | times_in(whole)
    last_headed = last_scald_heading(whole, plain, listed)
    places = [at for at, is_listed in enumerate(listed) if is_listed]
    last_list = places[-LEAST_AHEAD] if len(places) >= LEAST_AHEAD else -1
    nested = {each.end: each.heading for each in nested_in(lines)}
    opened = dict.fromkeys(nested.values(), reader.opened())
    readings: list[Reading] = []
    for at, raw in enumerate(whole):
        if at in of_label:
            readings.append(_of_label(raw, at + 1))
            continue
        if at in nested:
            reader.open_again(*opened[nested[at]])
        if at in opened:
            opened[at] = reader.opened()
        reader.next_is_listed, reader.next_is_step = listed[at], stepped[at]
        reader.next_is_list, reader.is_title = heads_list[at], at in titles
        reader.scald_is_ahead = at < last_headed
        reader.list_is_ahead = at <= last_list
        if at in beside:
            readings.append(page_line(raw, at + 1, reader.section))
        for piece in plain[at].split("\n"):
            readings += as_one_line(read_line(raw, piece, at + 1, reader), piece)
    readings = without_steps_below(without_alternatives(readings), reader)
    readings = without_flour_of_title(with_open_amounts(without_page_text(readings)))
    readings = without_totals(without_first_wash(without_eggs(without_cases(readings))))
    readings = with_method_amounts(readings, known.steps, reader)
    sentences = list(islice(sentences_of(known.steps, reader), MOST_SENTENCES))
    if known.said.is_whole_scald:
        readings = with_said_scald(readings, known.said)
    else:
        readings = _with_scald(readings, whole, sentences, known, reader)
    readings = without_sentences(without_washes(readings, known.steps, reader))
    readings = with_parted_eggs(with_shares(readings, sentences, reader), sentences, reader)
    note_used_scald(readings, sentences, reader)
    readings = without_taken_of_listed(readings)
    readings = as_said(settled(readings, reader, "flour" in chosen, "yeast" in chosen), known.said)
    readings = used_in_part(_with_percentages(readings), reader)
    is_said = known.said.is_whole_scald or SCALD in known.sections.values()
    readings = with_doubt_of_sheet(readings, sentences)
    readings = with_doubt_of_left_over(with_doubt_of_title(readings, is_said), is_said)
    readings = with_doubt_of_sizes(with_doubt_of_yeast(readings, is_said), rows_of_sizes(lines))
    readings = without_doubt_of_said(readings, known.said)
    return with_starters(readings, chosen.get("flour"), words.language)


def _with_scald(
    readings: list[Reading], whole: Sequence[str], sentences: Sequence[str], known: Known, reader: Reader
) -> list[Reading]:
    """The readings with the scald that the list and the method show, where the caller does not say it.

    Parameters
        readings : list[Reading]
        whole : Sequence[str]  the lines of the recipe
        sentences : Sequence[str]  of its method
        known : Known  besides the lines
        reader : Reader  what the lines share
    Returns
        list[Reading]
    """
    if SCALD not in known.sections.values():
        readings = made_of_listed(with_a_dough(readings))
    readings = with_scald_cooked_below(with_groups(readings, whole, known.steps, reader))
    readings = with_scald_of_method(readings, known.steps, known.name, reader)
    return with_other_half(readings, sentences, reader)


def _of_label(raw: str, line: int) -> Reading:
    return Reading(line, printable(raw, MOST_CHARACTERS), kind=STEP, read_as="a remark", part=DOUGH)


def _in_pieces(plain: Sequence[str], cut: Sequence[str]) -> list[str]:
    """The lines, those that hold several cut into them, up to so many pieces in all."""
    left = MOST_PIECES
    found: list[str] = []
    for line, pieces in zip(plain, cut, strict=True):
        left -= pieces.count("\n")
        found.append(pieces if left >= 0 else line)
    return found


def _in_one_language(line: str, words: Lexicon) -> str:
    """A line that says everything in two languages, without the one that the recipe is not in."""
    if line.isascii() or not _EAST_ASIAN.search(line) or not _LATIN_WORD.search(line):
        return line
    if words.language in LATIN:
        return " ".join(_EAST_ASIAN.sub(" ", line).split())
    said = _KIND_IN_LATIN.search(line)
    named = name_words(said.group(1)) if said else ()
    kind = said.group() if said and named != _NO_KIND and ENGLISH.read_as.get(named) else ""
    before, _, behind = line.partition(kind) if kind else (line, "", "")
    return " ".join(f"{_without_latin(before)}{kind}{_without_latin(behind)}".split())


def _without_latin(line: str) -> str:
    """A line without its words in Latin letters, but for units."""
    return _LATIN_WORD.sub(lambda found: found.group() if unit_of_word(found.group().lower()) else " ", line)


def _next_is_listed(plain: Sequence[str]) -> list[bool]:
    """Of each line, whether the next one that is not blank looks like an ingredient with its amount."""

    def is_listed(line: str) -> bool:
        return (
            len(line) < MOST_LISTED and _DIGIT_OR_VAGUE.search(line) is not None and not begins_a_step(line)
        )

    marks = ("" if GROUP_MARK.fullmatch(line) else line for line in plain)
    return of_next(list(marks), is_listed)


def _next_heads_a_list(plain: Sequence[str]) -> list[bool]:
    """Of each line, whether the next one that is not blank is a heading of a whole list: ``Ingredients``."""

    def heads_it(line: str) -> bool:
        is_short = len(line) <= MOST_LIST_HEADING
        return is_short and title_in(line) == (LIST, True)

    return of_next(plain, heads_it)


def _are_bulleted(lines: Sequence[str]) -> tuple[bool, str]:
    """Whether nearly all lines that are short and have an amount begin with a bullet, and which odd one."""
    measured = [line for line in lines if len(line) < MOST_LISTED and _DIGIT_OR_VAGUE.search(line)]
    enough = 0.8 * len(measured)
    marks = Counter(found.group(1) for found in map(_ODD_BULLET.match, measured) if found)
    odd = next((mark for mark, count in marks.most_common(1) if len(measured) > 2 and count >= enough), "")
    bulleted = sum(BULLETED.match(line) is not None for line in measured)
    return bool(odd) or len(measured) > 2 and bulleted >= enough, odd


def _are_in_percent(plain: Sequence[str]) -> bool:
    """Whether most lines with an amount have a percentage too: ``糖 10% 50g``."""
    measured = [line for line in plain if len(line) < MOST_LISTED and any(map(str.isdigit, line))]
    return sum("%" in line for line in measured) > max(LEAST_AHEAD, MOST_PERCENTAGES * len(measured))


def _with_percentages(readings: list[Reading]) -> list[Reading]:
    """Baker's percentages to masses: of the flour that has a mass, or else of 100 g."""
    if not any(reading.percent for reading in readings):
        return readings
    readings = _with_scald_of_mass(readings)
    usable = [reading for reading in readings if reading.sure != NOT_READ and reading.part != OUTSIDE]
    weighed = [reading.mass for reading in usable if reading.mass]
    flours = [reading for reading in usable if reading.ingredient and reading.ingredient.is_flour]
    flour = sum([reading.mass.best for reading in flours if reading.mass])
    has_flour_percent = any(reading.percent for reading in flours)
    if has_flour_percent and weighed:
        return _refused(readings, "only_a_percentage")
    if not has_flour_percent and not flour:
        return _refused(readings, "percentage_of_nothing")
    of = ASSUMED_FLOUR_G if has_flour_percent else flour
    code = "percentage_of_assumed" if has_flour_percent else "percentage_of_flour"
    shares = [reading for reading in usable if reading.percent and not reading.mass]
    are_weighed = not has_flour_percent and len(weighed) > len(shares)
    return [_resolved(reading, of, code, are_weighed) if reading.percent else reading for reading in readings]


def _with_scald_of_mass(readings: list[Reading]) -> list[Reading]:
    """A scald that is listed in percent only, as much of it as the dough takes: ``湯種 75g``."""
    taken = [each.mass.best for each in readings if each.part == SCALD and not each.ingredient and each.mass]
    parts = [each for each in readings if each.part == SCALD and each.ingredient]
    shares = [each.percent.best for each in parts if each.percent and not each.mass]
    has_flour = any(each.ingredient and each.ingredient.is_flour for each in parts)
    if not taken or not has_flour or not 1 < len(shares) == len(parts):
        return readings
    flour_g = 100 * sum(taken) / sum(shares)
    return [
        _resolved(each, flour_g, "percentage_of_flour", False)._replace(percent=None)
        if each in parts
        else each
        for each in readings
    ]


def _refused(readings: list[Reading], code: str) -> list[Reading]:
    return [
        reading._replace(doubts=(*reading.doubts, Doubt.of(NOT_READ, code))) if reading.percent else reading
        for reading in readings
    ]


def _resolved(reading: Reading, flour_g: float, code: str, are_weighed: bool) -> Reading:
    """A reading of a baker's percentage, with its mass.

    Where most lines are weighed, a large one says what the thing is made of: ``cacao 100 %``.

    Parameters
        reading : Reading  with a percentage
        flour_g : float  [g]
        code : str  of the doubt
        are_weighed : bool  most lines of the recipe have a mass
    Returns
        Reading
    """
    percent = reading.percent
    if percent is None:
        return reading
    is_thin = reading.ingredient is not None and reading.ingredient.water_percent > THIN_WATER_PERCENT
    most = MOST_BESIDE_WEIGHED if are_weighed and not is_thin else MOST_PERCENT
    if percent.high > most:
        return _refused([reading], "percentage_too_large")[0]
    low, best, high = (flour_g * share / 100 for share in (percent.low, percent.best, percent.high))
    mass = Estimate(low, best, high, "assumption" if percent.is_range else "exact")
    return reading._replace(
        mass=mass,
        doubts=(*reading.doubts, Doubt.of(LIKELY, code, flour_g=flour_g)),
        expression=f"{percent.best:.6g} % × {flour_g:.6g} g of flour",
    )
