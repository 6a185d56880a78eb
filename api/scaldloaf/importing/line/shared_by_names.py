"""Several names with one amount for each of them: ``糖、鹽各5克``."""

from scaldloaf.importing.quantities.measures import Item, Measure
from scaldloaf.importing.quantities.readings import Reader
from scaldloaf.importing.words.vocabulary import ADD, PERCENT, REMARK

SEPARATORS = frozenset((",", ";", "、")) | ADD
_SHARED = frozenset(("各", "ずつ", "each", "jeweils", "je", "chacun", "cada"))


def shared_by_names(items: list[Item], reader: Reader) -> list[list[Item]] | None:
    """``糖、鹽各5克``: several names with an amount for each of them."""
    at = next((at for at, item in enumerate(items) if type(item) is str and item in _SHARED), None)
    if at is None:
        return None
    measures = [item for item in items if isinstance(item, Measure) and item.kind not in (REMARK, PERCENT)]
    if len(measures) != 1 or measures[0] not in (*items[at + 1 : at + 2], *items[max(0, at - 1) : at]):
        return None
    names: list[list[Item]] = [[]]
    for item in items:
        if isinstance(item, str) and item in SEPARATORS:
            names.append([])
        elif type(item) is str and item not in _SHARED:
            names[-1].append(item)
    names = [each for name in names for each in _each_named(name, reader)]
    known = [name for name in names if name and reader.names.named_as_spelt(tuple(map(str, name))).ingredient]
    if len(known) < 2 or len(known) < len([name for name in names if name]):
        return None
    return [[*name, measures[0]] for name in known]


def _each_named(name: list[Item], reader: Reader) -> list[list[Item]]:
    """The names that stand side by side without a mark, which a middle dot has left: ``塩 砂糖``."""
    named = [reader.names.named_as_spelt((str(word),)).ingredient for word in name]
    if len(name) < 2 or None in named or len(set(map(id, named))) < len(named):
        return [name]
    whole = reader.names.named_as_spelt(tuple(map(str, name)))
    return [name] if whole.ingredient and not whole.doubts else [[word] for word in name]
