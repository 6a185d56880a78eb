"""The items of a line made those of its ingredients: cut where another starts."""

from collections.abc import Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.line.item_words import MEASURED, has_amount, joined_words, phrases_of, without_units
from scaldloaf.importing.line.set_aside import (
    says_what_for,
    without_more,
    without_original,
    without_what_is_done,
)
from scaldloaf.importing.line.shared_by_names import SEPARATORS, shared_by_names
from scaldloaf.importing.line.unmeasured import (
    is_amount,
    is_prose,
    names_alone,
    names_before_one,
    names_behind_one,
)
from scaldloaf.importing.quantities.masses import EGGS
from scaldloaf.importing.quantities.measures import Group, Item, Mark, Measure, bare_words
from scaldloaf.importing.quantities.readings import Reader
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import SOURDOUGH
from scaldloaf.importing.words.vocabulary import (
    ADD,
    CHOOSE,
    COUNT,
    CUT,
    FURTHER,
    MASS,
    OUTSIDE,
    PERCENT,
    REMARK,
    SALTS,
    SPONGE,
    VOLUME,
    is_spaceless,
)

_PARTING = (",", ";", "、")
WITH = frozenset(("with", "mit", "avec", "con", "in", "en", "dans"))  # between two amounts
_CUT = CUT - CHOOSE
_LEAST_OF_RUN = 3  # ingredients of a list on one line
_MOST_PARTED = 4  # strokes of a line that may stand between flour and its liquid
_MOST_NAME_ITEMS = 5  # words and marks of a name between two amounts
_MOST_PART_ITEMS = 6  # of the name of a scald or a sponge


def ingredients_of(items: list[Item], reader: Reader) -> list[list[Item]]:
    """The items of each ingredient of a line; one list unless several have a measure and a name each."""
    items = _with_parted(without_more(without_what_is_done(without_original(items))), reader)
    if last := _crust_at_end(items, reader):
        return [*ingredients_of(items[:last], reader), items[last + 1 :]]
    if between := _scald_at_start(items, reader) or _scald_at_end(items, reader):
        sides = (items[:between], items[between + 1 :])
        return [
            one for side in sides for one in (ingredients_of(side, reader) if has_amount(side) else [side])
        ]
    if shared := shared_by_names(items, reader):
        return shared
    if len(items) > 1 and items[0] in WITH and is_amount(items, 1):
        items = items[1:]  # Tangzhong with | 30 g flour and 150 g milk
    chunks: list[list[Item]] = [[]]
    for at, item in enumerate(items):
        if (
            isinstance(item, str)
            and item in SEPARATORS
            and chunks[-1]
            and not (at + 1 < len(items) and items[at + 1] in CHOOSE)
            or type(item) is str
            and item in WITH
            and is_amount(items, at + 1)
            or _starts_another(items, at, chunks[-1], reader)
        ):
            chunks.append([])
        chunks[-1].append(item)
    measured = _are_measured(chunks, reader)
    if sum(measured) < 2:
        named = names_alone(chunks, reader) or names_before_one(chunks, reader)
        return named or names_behind_one(chunks, reader) or [items]
    whole = [
        not is_measured
        and _names_a_part(chunk)
        or is_measured
        and not says_what_for(chunk)
        and (_names_one(chunk, reader) or _names_one_made_before(chunk, reader))
        for is_measured, chunk in zip(measured, chunks, strict=True)
    ]
    if sum(whole) < 2:
        return chunks if _are_weighed(chunks) else [items]
    if sum(whole) >= _LEAST_OF_RUN:
        whole = [each or _is_of_its_own(chunk, reader) for each, chunk in zip(whole, chunks, strict=True)]
    pieces = _joined(chunks, whole, reader)
    return [part for piece in pieces for part in shared_by_names(piece, reader) or [piece]]


def _with_parted(items: list[Item], reader: Reader) -> list[Item]:
    """The items, a stroke between an amount of flour and one of a liquid as a comma.

    ``50 g flour/50 g boiling water``: neither would do instead of the other.
    """
    if "/" not in items:
        return items
    for at in [at for at, item in enumerate(items) if item == "/"][:_MOST_PARTED]:
        if not (has_amount(items[:at]) and has_amount(items[at + 1 :])):
            continue
        sides = (items[:at], items[at + 1 :])
        named = [reader.names.named_as_spelt(bare_words(side)).ingredient for side in sides]
        kinds = {"flour" if one.is_flour else "liquid" if one.is_liquid else "" for one in named if one}
        if kinds == {"flour", "liquid"}:
            return [*items[:at], Mark(","), *items[at + 1 :]]
    return items


def _crust_at_end(items: Sequence[Item], reader: Reader) -> int:
    """Where the last thing of a line starts, without an amount and for the crust: ``butter 30 g, egg wash``.

    0 where it may say what the thing before it is for: ``butter 30 g, for brushing``.
    """
    last = next((at for at in range(len(items) - 1, 0, -1) if items[at] in _PARTING), 0)
    behind = items[last + 1 :]
    if not last or not has_amount(items[:last]) or any(map(_is_no_crust, behind)):
        return 0
    words = joined_words(behind)
    if not (sections.ASIDE_WORDS.found_in(words) or sections.title_in(words).part == OUTSIDE):
        return 0
    amount = next(at for at in range(last - 1, -1, -1) if is_amount(items, at))
    first = next((at for at in range(amount, 0, -1) if items[at] in _PARTING), 0)
    before = {match.ingredient for match, _ in reader.names.all_in(bare_words(items[first:last]))}
    said = bare_words(behind)
    ends = [word[at:] for word in said if is_spaceless(word) for at in range(1, len(word))]  # 刷蛋液
    named = {match.ingredient for match, _ in reader.names.all_in([*said, ",", *ends])}
    others = [each for each in named - before if each]
    if any(each and each.name in EGGS for each in before) and all(each.name in EGGS for each in others):
        return 0  # 1 egg yolk, save the white for glazing
    return last if others and not any(each.is_flour for each in others) else 0


def _scald_at_start(items: Sequence[Item], reader: Reader) -> int:
    """Where the scald ends that is named first, without an amount, among what is in the dough.

    ``放涼的湯種、鮮奶70g``; 0 where flour follows, which may be its own.
    """
    end = next((at for at, item in enumerate(items) if isinstance(item, str) and item in SEPARATORS), 0)
    before, behind = items[:end], items[end + 1 :]
    if not end or any(isinstance(item, Group) or is_amount([item], 0) for item in before[1:]):
        return 0
    if not sections.SCALD_WORDS.found_in(joined_words(before)) or not has_amount(behind):
        return 0
    if items[end] not in _PARTING and not _is_only_scald(before, reader):
        return 0
    named = [match.ingredient for match, _ in reader.names.all_in(bare_words(behind))]
    known = [each for each in named if each]
    is_own = any(each.is_flour for each in known) or bool(_scald_names(before, reader))
    return 0 if not known or is_own else end


def _scald_at_end(items: Sequence[Item], reader: Reader) -> int:
    """Where what joins the scald to an amount of another thing stands: ``150 g milk + the tangzhong``."""
    last = len(items) - 1
    while last > 0 and isinstance(items[last], str) and items[last] not in ADD:
        last -= 1
    if last <= 0 or not isinstance(items[last], str) or not _is_only_scald(items[last + 1 :], reader):
        return 0
    if not has_amount(items[:last]):
        return 0
    named = [match.ingredient for match, _ in reader.names.all_in(bare_words(items[:last]))]
    return last if any(named) else 0


def _is_only_scald(items: Sequence[Item], reader: Reader) -> bool:
    """Whether some items name the scald or a sponge, and nothing else: ``all of the tangzhong``."""
    if not items or not all(type(item) is str for item in items):
        return False
    if _names_a_part(items):
        return True
    said = joined_words(items)
    phrase = sections.SCALD_WORDS.found_in(said)
    beside = said.replace(f" {phrase} ", " ", 1).split() if phrase else []
    return phrase is not None and all(map(reader.names.is_harmless, beside))


def _scald_names(items: Sequence[Item], reader: Reader) -> list[str]:
    """What some items name besides the scald: ``全粒粉湯種``."""
    said = bare_words(items)
    phrase = sections.SCALD_WORDS.found_in(joined_words(items)) or ""
    beside = [word for word in said if word not in phrase.split()]
    return [match.ingredient.name for match, _ in reader.names.all_in(beside) if match.ingredient]


def _is_no_crust(item: Item) -> bool:
    """An amount, or that something else would do: no thing for the crust alone is behind it."""
    return isinstance(item, MEASURED) or type(item) is str and item in CHOOSE


def _joined(chunks: list[list[Item]], whole: list[bool], reader: Reader) -> list[list[Item]]:
    """The pieces of a line, those that are no whole ingredient joined to the one before, or behind."""
    joined: list[list[Item]] = []
    for chunk, is_whole in zip(chunks, whole, strict=True):
        if is_whole and joined and _goes_on_with_other(joined[-1], chunk, reader):
            joined[-1].extend(chunk)
        elif is_whole or not joined:
            joined.append(list(chunk))
        else:
            joined[-1].extend(chunk)
    if not whole[0] and len(joined) > 1:
        joined[1] = ([] if is_prose(joined[0]) else joined[0]) + joined[1]
        del joined[0]
    return joined


def _are_weighed(chunks: Sequence[Sequence[Item]]) -> bool:
    """Whether pieces between plus signs are a weight of something each: ``30g粉+30g滾水``."""
    return all(
        (not at or chunk[0] == "+")
        and is_spaceless("".join(bare_words(chunk)) or " ")
        and sum([isinstance(item, Measure) and item.kind == MASS for item in chunk]) == 1
        for at, chunk in enumerate(chunks)
    )


def _names_a_part(items: Sequence[Item]) -> bool:
    """Whether some items only name the scald or a sponge, which other lines list."""
    title = sections.title_of(list(bare_words(items))) if len(items) <= _MOST_PART_ITEMS else None
    return title is not None and title.exact and title.part in (SCALD, SPONGE)


def _names_one_made_before(chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether a piece with an amount names the scald, or only a sponge or starter: ``20 g starter``."""
    if sections.SCALD_WORDS.found_in(joined_words(chunk)) is not None:
        return True
    if sum(is_amount(chunk, at) for at in range(len(chunk))) > 1:
        return False  # 75 g Lievito Madre bestehend aus 50 g Mehl
    if _names_a_part(chunk):
        return True
    named = reader.names.named_as_spelt(bare_words(chunk))
    return any(doubt.code == SOURDOUGH for doubt in named.doubts)


def _are_measured(chunks: Sequence[Sequence[Item]], reader: Reader) -> list[bool]:
    """Of each piece of a line, whether it has an amount, be it a vague one of something that is named."""
    measured: list[bool] = []
    for chunk in chunks:
        has_measure = any([isinstance(item, Measure) and item.kind != REMARK for item in chunk])
        measured.append(has_measure or _is_vague(chunk, any(measured), reader))
    return measured


def _is_vague(chunk: Sequence[Item], is_behind: bool, reader: Reader) -> bool:
    """Whether a piece behind “and” or a comma has a vague amount and a name: ``… und etwas Milch``.

    So salt, alone and behind an amount of something: nothing else is a kind of it.
    """
    if len(chunk) < 2 or chunk[0] not in SEPARATORS or any(type(item) is not str for item in chunk[1:]):
        return False
    words, said = bare_words(chunk), joined_words(chunk)
    vague = sections.VAGUE_WORDS.found_in(said)
    if vague is None:
        is_alone = is_behind and len(chunk) == 2
        salt = reader.names.named_as_spelt(words).ingredient if is_alone else None
        return salt is not None and salt.name in SALTS
    if chunk[0] not in ADD and not FURTHER.isdisjoint(set(words) - set(vague.split())):
        return False  # 200 ml milk, a little more if needed
    plain = " ".join(words[1:] if words[0] in ADD else words)
    is_whole = plain.startswith(vague) or plain.endswith(vague)  # not: beaten with a splash of milk
    return len(chunk) > 2 and (is_whole or chunk[0] in ADD) and _names_one(chunk, reader)


def _names_one(chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether a piece of a line names an ingredient, what is done before it or not: ``add 5 g salt``."""
    start = next((at for at in range(len(chunk)) if is_amount(chunk, at)), 0)
    return any(
        reader.names.named_as_spelt(phrase).ingredient
        for items in _named_parts(chunk, start)
        for phrase in phrases_of(without_units(items))
    )


def _named_parts(chunk: Sequence[Item], start: int) -> list[Sequence[Item]]:
    """What of a piece may be its name: all, what is from its amount on; without spaces, what is before."""
    if not start or not bare_words(chunk[start:]):
        return [chunk]
    amount = chunk[start]
    is_before = isinstance(amount, Measure) and amount.kind in (MASS, VOLUME)
    is_before = is_before and is_spaceless("".join(bare_words(chunk[:start])))
    return [chunk, chunk[start:], chunk[:start]] if is_before else [chunk, chunk[start:]]


def _is_of_its_own(chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether a piece of a run is something else than the one before it, though it has no amount or no name
    of ours: ``、红豆沙180g``, ``、蛋液适量``, ``、黄油``, ``, 10 g dough enhancer``.
    """
    words, vague = bare_words(chunk), ""
    if not words:
        return False
    if not _CUT.isdisjoint(words):
        vague = sections.VAGUE_WORDS.found_in(joined_words(chunk)) or ""
        if not _CUT.isdisjoint(set(words) - set(vague.split())):
            return False
    if not is_spaceless("".join(words)):
        return _starts_with_amount(chunk) or _is_only_a_name(chunk, reader)
    named = reader.names.named_as_spelt(words)
    at_end = [item for item in chunk if isinstance(item, Measure) and item.kind != REMARK]
    if not at_end:
        if named.ingredient is None:
            return bool(named.words)
        return not named.doubts or sections.VAGUE_WORDS.found_in(joined_words(chunk)) is not None
    return bool(named.words) or chunk[-1] is at_end[-1] and not all(map(reader.names.is_harmless, words))


def _is_only_a_name(chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether a piece is a name, with a vague amount or none: ``…, Salz``, ``…, agua c/n``.

    Without any amount it may be no flour or yeast, which could say what is before it.
    """
    rest = chunk[1:]
    if chunk[0] != "," or not all(isinstance(item, str) for item in rest):
        return False
    said = joined_words(rest)
    vague = sections.VAGUE_WORDS.found_in(said)
    if vague is None and any(isinstance(item, Mark) or is_or(item) for item in rest):
        return False
    named = reader.names.named_as_spelt(tuple(said.replace(f" {vague} ", " ", 1).split()))
    one, codes = named.ingredient, {doubt.code for doubt in named.doubts}
    if one is None or not codes.isdisjoint(("another_thing", "unknown_words", "several_names")):
        return False
    return vague is not None or not one.is_flour and one.yeast is None and not codes


def _starts_with_amount(chunk: Sequence[Item]) -> bool:
    """Whether a piece is an amount with words behind that name something: ``, 10 g dough enhancer``."""
    rest = chunk[1:] if chunk[0] in SEPARATORS else chunk
    return len(rest) > 1 and is_amount(rest, 0) and type(rest[1]) is str and rest[1] not in CHOOSE


def _goes_on_with_other(before: Sequence[Item], chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether a chunk is of what would do instead: ``butter, or 40 g oil``, ``… and 225 g rye flour``.

    It has no amount of its own before its “or”, or it goes on with the flours behind an “or”.
    Names before amounts: ``instant yeast 3 g or fresh yeast 9 g``.
    """
    choice = next((at for at, item in enumerate(chunk) if type(item) is str and item in CHOOSE), None)
    if choice is not None and not has_amount(chunk[:choice]):
        leads = all(item in SEPARATORS for item in chunk[:choice]) and has_amount(chunk[choice + 1 :])
        if leads or is_amount(chunk, choice + 1):
            return has_amount(before)
    if is_or(before[-1]) and len(before) > 1:
        return has_amount(before) and has_amount(chunk)
    if not isinstance(chunk[0], str) or chunk[0] not in ADD:
        return False
    other = [at for at, item in enumerate(before) if type(item) is str and item in CHOOSE]
    if not other or not has_amount(before[other[-1] :]) or not has_amount(before[: other[-1]]):
        return False
    return _is_flour(before[other[-1] :], reader) and _is_flour(chunk, reader)


def is_or(item: Item) -> bool:
    """Whether an item is a word for “or”, not a stroke."""
    return type(item) is str and item in CHOOSE and item != "/"


def _is_flour(items: Sequence[Item], reader: Reader) -> bool:
    named = reader.names.named_as_spelt(bare_words(items))
    return named.ingredient is not None and named.ingredient.is_flour


def _starts_another(items: Sequence[Item], at: int, chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether another name and amount start at a place behind a name and an amount: ``塩 4g 砂糖 20g``."""
    item, after = items[at], items[at + 1] if at + 1 < len(items) else None
    if is_amount(items, at) and type(after) is str:
        return _names_one_behind(items, at, chunk, reader)
    if type(item) is not str or isinstance(item, Mark):
        return False
    words, end = [item], at + 1
    while end < len(items) and end < at + _MOST_NAME_ITEMS and (type(items[end]) is str or items[end] == ":"):
        if items[end] in SEPARATORS:
            return False
        if type(items[end]) is str:
            words.append(str(items[end]))
        end += 1
    if not is_amount(items, end):
        return False
    counts = (REMARK, PERCENT) if is_spaceless("".join(words)) else (REMARK, PERCENT, COUNT)  # 高粉20 水100
    if not any(isinstance(each, Measure) and each.kind not in counts for each in chunk):
        return False
    first = next((each for each in chunk if each not in ADD), chunk[0])
    if not isinstance(chunk[-1], MEASURED) or type(first) is not str:
        return False
    title = sections.title_of(words)
    return title == (SCALD, True) or reader.names.named_as_spelt(tuple(words)).ingredient is not None


def _names_one_behind(items: Sequence[Item], at: int, chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether an amount starts another ingredient: ``500 g flour 8 g salt``, each amount before its name."""
    if chunk and chunk[0] in SEPARATORS:
        chunk = chunk[1:]
    if not chunk or not is_amount(chunk, 0) or chunk[-1] in CHOOSE or not _ends_name(chunk):
        return False
    words = [str(item) for item in chunk if type(item) is str]
    if not words or not reader.names.named_as_spelt(tuple(words)).ingredient:
        return False
    behind: list[str] = []
    for item in items[at + 1 :]:
        if type(item) is not str:
            break
        behind.append(item)
    return reader.names.named_as_spelt(tuple(behind)).ingredient is not None


def _ends_name(chunk: Sequence[Item]) -> bool:
    """Whether a word is last, or parentheses without an amount behind one: ``¼ cup sugar (extra)``."""
    last = chunk[-1]
    if isinstance(last, Group):
        return type(chunk[-2]) is str and not has_amount(last.items)
    return type(last) is str
