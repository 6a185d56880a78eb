"""The items of a line made those of its ingredients: cut where another starts, and without remarks."""

from collections.abc import Sequence

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import SCALD
from scaldloaf.importing import sections
from scaldloaf.importing.apportioned import apportioned, is_amount, joined_words, with_counted_part
from scaldloaf.importing.doubt import Doubt
from scaldloaf.importing.measures import Group, Item, Mark, Measure, bare_words, unit_of_word
from scaldloaf.importing.mixed_washes import mixes_a_wash
from scaldloaf.importing.readings import Reader
from scaldloaf.importing.set_aside import portioned, says_what_for, with_filling, without_condition
from scaldloaf.importing.vocabulary import (
    ADD,
    CHOOSE,
    CONTAINER,
    COUNT,
    CUBE,
    CUT,
    INSTEAD,
    KEPT,
    MASS,
    OF_WHICH,
    PACKET,
    PERCENT,
    REMARK,
    STICK,
    VOLUME,
    is_spaceless,
    plain_word,
)

_SEPARATORS = frozenset((",", ";", "、")) | ADD
_WITH = frozenset(("with", "mit", "avec", "con", "in", "en", "dans"))  # between two amounts
_MEASURED = (Group, Measure)
_KEPT_BACK = ADD | {"more", "extra", "additional", "mehr", "etwas", "zusätzlich", "encore", "una", "un"}
_THE_REST = frozenset(("other", "rest", "remaining", "remainder", "andere", "restliche", "restliches"))
_LEAST_OF_RUN = 3  # ingredients of a list on one line
_MOST_NAME_ITEMS = 5  # words and marks of a name between two amounts
_DASHES = frozenset(("-", "–", "—"))
_LEAST_REMARK = 3  # words behind a dash that tell a story
_SHARED = frozenset(("各", "ずつ", "each", "jeweils", "je", "chacun", "cada"))


def _with_part_inside(items: list[Item]) -> list[Item]:
    """``500 g flour, of which 25 g for the tangzhong``: what is said of a part, as if in parentheses."""
    for at, item in enumerate(items):
        if type(item) is not str or item not in OF_WHICH or not any(is_amount(items, n) for n in range(at)):
            continue
        if sections.SCALD_WORDS.found_in(joined_words(items[at:])):
            inside = [
                each._replace(is_inside=True) if isinstance(each, Measure) else each for each in items[at:]
            ]
            return [*items[:at], Group(tuple(inside))]
    return items


def ingredients_of(items: list[Item], reader: Reader) -> list[list[Item]]:
    """The items of each ingredient of a line; one list unless several have a measure and a name each."""
    items = _with_part_inside(items)
    if shared := _sharing(items, reader):
        return shared
    chunks: list[list[Item]] = [[]]
    for at, item in enumerate(items):
        if (
            isinstance(item, str)
            and item in _SEPARATORS
            and chunks[-1]
            and not (at + 1 < len(items) and items[at + 1] in CHOOSE)
            or type(item) is str
            and item in _WITH
            and is_amount(items, at + 1)
            or _starts_another(items, at, chunks[-1], reader)
        ):
            chunks.append([])
        chunks[-1].append(item)
    measured = [
        any([isinstance(item, Measure) and item.kind != REMARK for item in chunk]) for chunk in chunks
    ]
    if sum(measured) < 2:
        return _names_alone(chunks, reader) or [items]
    whole = [
        is_measured
        and not says_what_for(chunk)
        and (
            any(reader.names.named_as_spelt(phrase).ingredient for phrase in phrases_of(without_units(chunk)))
            or sections.SCALD_WORDS.found_in(joined_words(chunk)) is not None
        )
        for is_measured, chunk in zip(measured, chunks, strict=True)
    ]
    if sum(whole) < 2:
        return [items]
    if sum(whole) >= _LEAST_OF_RUN:
        whole = [each or _is_of_its_own(chunk, reader) for each, chunk in zip(whole, chunks, strict=True)]
    return _joined(chunks, whole, reader)


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
        joined[1] = joined[0] + joined[1]
        del joined[0]
    return joined


def _is_of_its_own(chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether a piece of a run is something else than the one before it, though it has no amount or no name
    of ours: ``、红豆沙180g``, ``、蛋液适量``, ``、黄油``.
    """
    words = bare_words(chunk)
    if words and not is_spaceless("".join(words)):
        weighed = next((item for item in chunk if item not in _SEPARATORS), None)
        return isinstance(weighed, Measure) and weighed.kind in (MASS, VOLUME) and CHOOSE.isdisjoint(words)
    if not words or not CUT.isdisjoint(words):
        return False
    named = reader.names.named_as_spelt(words)
    at_end = [item for item in chunk if isinstance(item, Measure) and item.kind != REMARK]
    if not at_end:
        if named.ingredient is None:
            return bool(named.words)
        return not named.doubts or sections.VAGUE_WORDS.found_in(joined_words(chunk)) is not None
    return bool(named.words) or chunk[-1] is at_end[-1] and not all(map(reader.names.is_harmless, words))


def _names_alone(chunks: list[list[Item]], reader: Reader) -> list[list[Item]]:
    """The chunks of a line that only names things, without an amount: ``vanilla, rum and orange zest``."""
    names: list[str] = []
    for chunk in chunks:
        if any(isinstance(item, _MEASURED) or item in CHOOSE for item in chunk):
            return []
        chunk = chunk[chunk.index(":") + 1 :] if ":" in chunk else chunk
        words = tuple(word for word in bare_words(chunk) if word not in ADD)
        named = reader.names.named_as_spelt(words) if words else None
        if named is None or named.ingredient is None or named.ingredient.name in names:
            return []
        names.append(named.ingredient.name)
    return chunks if len(chunks) > 1 else []


def _goes_on_with_other(before: Sequence[Item], chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether a chunk is of what would do instead: ``butter, or 40 g oil``, ``… and 225 g rye flour``.

    It has no amount of its own before its “or”, or it goes on with the flours behind an “or”.
    """
    choice = next((at for at, item in enumerate(chunk) if type(item) is str and item in CHOOSE), None)
    if choice is not None and is_amount(chunk, choice + 1) and not _has_amount(chunk[:choice]):
        return _has_amount(before)
    if not isinstance(chunk[0], str) or chunk[0] not in ADD:
        return False
    other = [at for at, item in enumerate(before) if type(item) is str and item in CHOOSE]
    if not other or not _has_amount(before[other[-1] :]) or not _has_amount(before[: other[-1]]):
        return False
    return _is_flour(before[other[-1] :], reader) and _is_flour(chunk, reader)


def _has_amount(items: Sequence[Item]) -> bool:
    return any(is_amount(items, at) for at in range(len(items)))


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
        if items[end] in _SEPARATORS:
            return False
        if type(items[end]) is str:
            words.append(str(items[end]))
        end += 1
    if not is_amount(items, end):
        return False
    if not any(isinstance(each, Measure) and each.kind not in (REMARK, PERCENT, COUNT) for each in chunk):
        return False
    if not isinstance(chunk[-1], _MEASURED) or type(chunk[0]) is not str:
        return False
    title = sections.title_of(words)
    return title == (SCALD, True) or reader.names.named_as_spelt(tuple(words)).ingredient is not None


def _names_one_behind(items: Sequence[Item], at: int, chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether an amount starts another ingredient: ``500 g flour 8 g salt``, each amount before its name."""
    if not chunk or not is_amount(chunk, 0) or type(chunk[-1]) is not str or chunk[-1] in CHOOSE:
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


def _sharing(items: list[Item], reader: Reader) -> list[list[Item]] | None:
    """``糖、鹽各5克``: several names with an amount for each of them."""
    at = next((at for at, item in enumerate(items) if type(item) is str and item in _SHARED), None)
    if at is None:
        return None
    measures = [item for item in items if isinstance(item, Measure) and item.kind not in (REMARK, PERCENT)]
    if len(measures) != 1 or measures[0] not in (*items[at + 1 : at + 2], *items[max(0, at - 1) : at]):
        return None
    names: list[list[Item]] = [[]]
    for item in items:
        if isinstance(item, str) and item in _SEPARATORS:
            names.append([])
        elif type(item) is str and item not in _SHARED:
            names[-1].append(item)
    known = [name for name in names if name and reader.names.named_as_spelt(tuple(map(str, name))).ingredient]
    if len(known) < 2 or len(known) < len([name for name in names if name]):
        return None
    return [[*name, measures[0]] for name in known]


def phrases_of(items: Sequence[Item]) -> list[tuple[str, ...]]:
    """The words outside parentheses, by the commas between them."""
    phrases, phrase = [], []
    for item in items:
        if type(item) is str:
            phrase.append(item)
        elif isinstance(item, Mark):
            if item in ",;、:":
                phrases.append(phrase)
                phrase = []
            elif item in "/+&":
                phrase.append("or" if item == "/" else "and")
    return [tuple(phrase) for phrase in (*phrases, phrase) if phrase]


def without_units(items: Sequence[Item]) -> list[Item]:
    """Without the word for what is counted: ``packets`` in ``2 (7 g) packets``."""
    kept: list[Item] = []
    counted = False
    for item in items:
        unit = unit_of_word(item) if counted else None
        if unit is None or unit.kind not in (CONTAINER, PACKET, STICK, CUBE):
            kept.append(item)
            counted = isinstance(item, _MEASURED)
    return kept


def _without_remainder(items: list[Item], reader: Reader) -> list[Item]:
    """Without what is set aside beside the amount: ``plus more for dusting``, ``and 2 tbsp for the pan``."""
    measured = False
    for at, item in enumerate(items):
        if not measured:
            measured = isinstance(item, Measure)
        elif isinstance(item, Group) and _is_remainder(item):
            return [*items[:at], *items[at + 1 :]]
        elif isinstance(item, str) and items[at - 1] not in _WITH and _is_kept_back(items, at):
            return items if mixes_a_wash(items[:at], items[at:], reader.names) else items[:at]
    return items


def _is_kept_back(items: Sequence[Item], at: int) -> bool:
    """Whether what starts at a place is set aside: ``plus more for dusting``, ``the rest for brushing``."""
    is_rest = items[at] in _KEPT_BACK or items[at] in _THE_REST and not _has_amount(items[at:])
    return is_rest and sections.ASIDE_WORDS.found_in(joined_words(items[at:])) is not None


def _after_colon(items: list[Item]) -> list[Item]:
    """Without the amounts before a colon that the amount follows: ``flour with 13 g of protein: 350 g``."""
    at = next((at for at, item in enumerate(items) if isinstance(item, Mark) and item == ":"), None)
    if at is None or not is_amount(items, at + 1) or not any(type(item) is str for item in items[:at]):
        return items
    before = [item for item in items[:at] if not isinstance(item, Measure) or item.kind == PERCENT]
    return [*before, *items[at + 1 :]]


def _before_dash(items: list[Item], reader: Reader) -> list[Item]:
    """Without a sentence behind a dash, where the amount is before it: ``2 cups flour – it gives …``."""
    for at, item in enumerate(items):
        is_dash = isinstance(item, Mark) and item in _DASHES
        if not is_dash or not any(is_amount(items, n) for n in range(at)):
            continue
        behind = bare_words(items[at + 1 :])
        if len(behind) < _LEAST_REMARK or any(is_amount(items, n) for n in range(at + 1, len(items))):
            return items
        words = joined_words(items[at:])
        if sections.ASIDE_WORDS.found_in(words) or sections.SCALD_WORDS.found_in(words):
            return items
        before = bare_words(items[:at])
        return items[:at] if reader.names.named_as_spelt(before).ingredient else items
    return items


def _without_alternatives(items: list[Item], reader: Reader) -> list[Item]:
    """Without another ingredient that would do, with its own amount: ``7 g dry or 15 g fresh``."""
    measured = False
    kept: list[Item] = []
    for at, item in enumerate(items):
        if type(item) is str and item in CHOOSE and is_amount(items, at + 1):
            words = bare_words(items[at + 2 :])
            before = tuple(word for word in bare_words(items[:at]) if word not in CHOOSE)
            if measured and before and words and _would_do(words, items[:at], reader):
                return kept
            if not measured and before and reader.names.named_as_spelt(before).ingredient:
                return kept  # Mark einer Vanilleschote, ersatzweise 1 Päckchen Vanillezucker
        if isinstance(item, Group) and measured | is_amount(items, at + 1) and _is_other(item, items, reader):
            continue
        measured = measured or is_amount(items, at)
        kept.append(item)
    return kept


def _would_do(words: tuple[str, ...], before: Sequence[Item], reader: Reader) -> bool:
    """Whether words behind “or” name another ingredient, or another kind of the yeast: ``7 g dried``."""
    if reader.names.named_as_spelt(words).ingredient:
        return True
    first = reader.names.named_as_spelt(bare_words(before)).ingredient
    return first is not None and first.yeast is not None


def _is_other(group: Group, items: Sequence[Item], reader: Reader) -> bool:
    """Whether what is in parentheses is the amount of something else than what is outside."""
    if not _has_amount(group.items):
        return False
    if group.items and type(group.items[0]) is str and group.items[0] in CHOOSE:
        return True
    if any(type(item) is str and item in INSTEAD for item in group.items):
        return True
    words = bare_words(group.items)
    inside = reader.names.named_as_spelt(words).ingredient if words else None
    if inside is None:
        return False
    outside = reader.names.named_as_spelt(bare_words(items))
    return outside.ingredient is not None and outside.ingredient is not inside


def _is_remainder(group: Group) -> bool:
    """Whether what is in parentheses is set aside beside the amount: ``(plus more for dusting)``."""
    if not group.items:
        return False
    if group.items[0] in _KEPT_BACK:
        return True
    words = joined_words([group])
    kept = any(plain_word(word) in KEPT or word[0] in KEPT or word[:2] in KEPT for word in words.split())
    return kept and (sections.ASIDE_WORDS.found_in(words) is not None or group.items[0] in KEPT)


def mass_in(items: Sequence[Item]) -> Estimate | None:
    """The first weight among some items."""
    for item in items:
        if isinstance(item, Measure) and item.kind == MASS:
            grams = item.unit.grams
            low, best, high = (end * grams for end in item.quantity[:3])
            return Estimate(low, best, high, "exact")
    return None


def trimmed(items: list[Item], reader: Reader) -> tuple[list[Item], tuple[Doubt, ...]]:
    """The items of one ingredient without what is beside its amount, with the doubts that this leaves."""
    items, doubts = portioned(with_filling(_after_colon(with_counted_part(items))))
    items = _before_dash(without_condition(_without_remainder(items, reader)), reader)
    items, more = apportioned(_without_alternatives(items, reader))
    return items, doubts + more
