"""One line of a recipe: a heading, a mention of the scald, or ingredients with their measures."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing import sections, text
from scaldloaf.importing.doubt import LIKELY, Doubt
from scaldloaf.importing.ingredients import ingredients_of, joined_words, read_ingredient
from scaldloaf.importing.measures import Group, Item, Measure, read_items
from scaldloaf.importing.readings import HEADING, Reader, Reading, mention, unread
from scaldloaf.importing.text import Token
from scaldloaf.importing.vocabulary import OUTSIDE, PERCENT, REMARK
from scaldloaf.importing.whole_names import with_whole_names

_PART_WORDS = {SCALD: "the scald", DOUGH: "the dough", OUTSIDE: "something beside the dough"}


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
    blank = Reading(line, text.printable(raw, text.MOST_CHARACTERS), part=reader.part)
    if len(raw) > text.MOST_RAW_CHARACTERS or len(plain) > text.MOST_CHARACTERS:
        return [unread(blank, f"longer than {text.MOST_CHARACTERS} characters")]
    if not plain:
        return []
    try:
        pieces = text.cut(plain)
    except text.TooManyWords:
        return [unread(blank, f"more than {text.MOST_TOKENS} words, numbers and marks")]
    if reader.tokens_left >= 0:
        tokens = text.tokenise(pieces)
        reader.tokens_left -= len(tokens) + sum([len(token.inside) for token in tokens])
    if reader.tokens_left < 0:
        return [unread(blank, f"more words than the {text.MOST_TOKENS_IN_ALL} that are read of one recipe")]
    return _read_tokens(with_whole_names(tokens), blank, reader)


def _read_tokens(tokens: list[Token], blank: Reading, reader: Reader) -> list[Reading]:
    faults: list[str] = []
    items = read_items(tokens, reader.marks, faults)
    if not faults and (heading := _heading(tokens, items, blank, reader)):
        return [heading]
    colon = sections.colon_at(tokens)
    before = tokens[:colon] if colon else []
    part, _ = sections.part_named(before)
    if part == SCALD and reader.has_scald and not _has_measure(items):
        return [mention(blank)]
    prefix = ""
    if part:
        prefix = " ".join(token.text for token in before if token.kind == "w")
        if faults:
            faults = []
            items = read_items(tokens[len(before) + 1 :], reader.marks, faults)
        else:
            items = items[items.index(":") + 1 :]  # nothing is read across a colon
    blank = _in_part(blank, part, prefix, reader)
    if items and isinstance(items[-1], Group) and sections.ASIDE_WORDS.found_in(joined_words(items[-1:])):
        blank = blank._replace(part=OUTSIDE)
    return [read_ingredient(chunk, blank, reader, faults) for chunk in ingredients_of(items, reader)]


def _in_part(blank: Reading, part: str | None, prefix: str, reader: Reader) -> Reading:
    """The line in the part that is open, or in the part that its own heading names."""
    if part == OUTSIDE:  # of this line only: what follows is more likely dough again
        reader.open(reader.part, Doubt(LIKELY, f"assumed not to belong to “{prefix}”"))
        return blank._replace(part=OUTSIDE)
    if part:
        reader.open(part, prefix=prefix)
    else:
        reader.go_on()
    if blank.part == reader.part and blank.doubts == reader.part_doubts:
        return blank
    return blank._replace(part=reader.part, doubts=reader.part_doubts)


def _has_measure(items: Sequence[Item]) -> bool:
    return any(
        isinstance(item, Measure)
        and item.kind != REMARK
        or isinstance(item, Group)
        and _has_measure(item.items)
        for item in items
    )


def _heading(tokens: list[Token], items: list[Item], blank: Reading, reader: Reader) -> Reading | None:
    """The line as a heading, which opens a part for the lines to come; or as a mention of the scald."""
    is_measured = False
    for item in items:
        if isinstance(item, Measure):
            is_measured = True
            if item.kind not in ("count", REMARK, PERCENT):
                return None
    top = [token for token in tokens if token.kind != "g"]
    if not any(token.kind == "w" for token in top):
        return None
    marked = top[-1].text == ":" or top[0].text == "#"
    part, exact = sections.part_named(top)
    if not marked and (not exact or is_measured):
        return None
    if part == SCALD and not marked and reader.has_scald:
        return mention(blank)
    doubts = () if part else (Doubt(LIKELY, "unknown heading; the lines below it are read as dough"),)
    reader.open(part or DOUGH)
    return blank._replace(
        kind=HEADING, part=reader.part, doubts=doubts, read_as=f"heading of {_PART_WORDS[reader.part]}"
    )
