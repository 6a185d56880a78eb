"""The pieces of a line that names things without an amount for each of them."""

from collections.abc import Sequence

from scaldloaf.importing.quantities.masses import EGGS
from scaldloaf.importing.quantities.measures import Group, Item, Measure, bare_words
from scaldloaf.importing.quantities.readings import Reader
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import LIKELY, Doubt
from scaldloaf.importing.words.german import is_verb
from scaldloaf.importing.words.vocabulary import (
    ADD,
    CHOOSE,
    COUNT,
    CUT,
    MASS,
    PERCENT,
    REMARK,
    STEPS,
    VOLUME,
    plain_word,
)

LEAST_PROSE = 4  # words before an amount that tell a story


def is_amount(items: Sequence[Item], at: int) -> bool:
    """Whether an amount of an ingredient is at a place."""
    item = items[at] if at < len(items) else None
    return isinstance(item, Measure) and item.kind not in (REMARK, PERCENT)


def names_alone(chunks: list[list[Item]], reader: Reader) -> list[list[Item]]:
    """The chunks of a line that only names things, without an amount: ``vanilla, rum and orange zest``."""
    names: list[str] = []
    for chunk in chunks:
        if any(isinstance(item, (Group, Measure)) for item in chunk) or not _is_one_choice(chunk):
            return []
        chunk = chunk[chunk.index(":") + 1 :] if ":" in chunk else chunk
        words = tuple(word for word in bare_words(chunk) if word not in ADD)
        named = reader.names.named_as_spelt(words) if words else None
        if named is None or named.ingredient is None or named.ingredient.name in names:
            return []
        names.append(named.ingredient.name)
    return chunks if len(chunks) > 1 else []


def _is_one_choice(chunk: Sequence[Item]) -> bool:
    """Whether a piece has no “or”, or one between names behind something: ``zest of an orange or lemon``."""
    ors = [at for at, item in enumerate(chunk) if item in CHOOSE]
    return not ors or len(ors) == 1 and 1 < ors[0] < len(chunk) - 1 and chunk[ors[0]] != "/"


def names_before_one(chunks: list[list[Item]], reader: Reader) -> list[list[Item]]:
    """The chunks of a line with an amount of its last thing only: ``water, salt, 1 tbsp butter``."""
    if (
        len(chunks) < 2
        or not any(is_amount(chunks[-1], at) for at in (0, 1))
        or not CHOOSE.isdisjoint(bare_words(chunks[-1]))
    ):
        return []
    last = reader.names.named_as_spelt(bare_words(chunks[-1])).ingredient
    before = [reader.names.named_as_spelt(bare_words(chunk)) for chunk in chunks[:-1]]
    if last is None or last.is_flour or last.yeast:
        return []
    is_other = all(
        each.ingredient
        and each.ingredient is not last
        and last.name not in each.alternatives
        and _is_bare(chunk)
        for each, chunk in zip(before, chunks, strict=False)
    )
    return chunks if is_other else []


def names_behind_one(chunks: list[list[Item]], reader: Reader) -> list[list[Item]]:
    """The chunks of a line with an amount behind its first name only: ``水 350ml + レモン汁``."""
    first, *others = chunks
    if not others or type(first[0]) is not str or not isinstance(first[-1], (Group, Measure)):
        return []
    if not has_weight(first) or not all(chunk[0] == "+" and _is_bare(chunk) for chunk in others):
        return []
    named = [reader.names.named_as_spelt(bare_words(chunk)).ingredient for chunk in chunks]
    is_open = any(each is None or each.is_flour or each.yeast for each in named[1:])
    return [] if named[0] is None or is_open or len(set(map(id, named))) < len(named) else chunks


def has_weight(items: Sequence[Item]) -> bool:
    """Whether one amount is among some items, a weight or a volume, and nothing is counted."""
    measures = [item for item in items if isinstance(item, Measure)]
    return len(measures) == 1 and measures[0].kind in (MASS, VOLUME)


def _is_bare(chunk: Sequence[Item]) -> bool:
    """Whether a piece of a line is words only, and no remark."""
    return all(isinstance(item, str) for item in chunk) and (CUT - CHOOSE).isdisjoint(bare_words(chunk))


def with_the_unit_before(chunks: list[list[Item]], reader: Reader) -> list[list[Item]]:
    """The pieces of a line, a bare number with the unit of the piece before: ``15 cl de lait et 5 d'eau``."""
    found: list[list[Item]] = []
    for chunk in chunks:
        before = next((item for item in found[-1] if isinstance(item, Measure)), None) if found else None
        at = next((at for at, item in enumerate(chunk) if isinstance(item, Measure)), len(chunk))
        own = chunk[at] if at < len(chunk) else None
        if (
            before is not None
            and isinstance(own, Measure)
            and before.kind in (MASS, VOLUME)
            and own.kind == COUNT
            and all(item in ADD for item in chunk[:at])
            and _is_weighed_out(chunk, reader)
        ):
            doubt = Doubt.of(LIKELY, "no_unit", number=own.quantity.best)
            quantity = own.quantity._replace(doubts=(*own.quantity.doubts, doubt))
            chunk = [*chunk[:at], own._replace(quantity=quantity, unit=before.unit), *chunk[at + 1 :]]
        found.append(chunk)
    return found


def _is_weighed_out(chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether a piece names what is weighed or poured, and not counted as eggs are."""
    named = reader.names.named_as_spelt(bare_words(chunk)).ingredient
    is_counted = named is None or named.name in EGGS or named.yeast is not None
    return (
        named is not None and not is_counted and (named.is_flour or named.is_liquid or named.fat_percent > 50)
    )


def is_prose(items: Sequence[Item]) -> bool:
    """Whether words before an amount only say what is done: ``Dann verrührt man alles mit 300 g Mehl``."""
    words = bare_words(items)
    if len(words) < LEAST_PROSE or any(isinstance(item, (Group, Measure)) for item in items):
        return False
    joined = f" {' '.join(words)} "
    if sections.ASIDE_WORDS.found_in(joined) or sections.SCALD_WORDS.found_in(joined):
        return False
    return any(word in STEPS or is_verb(word) for word in map(plain_word, words))
