"""What is for the yeast, which a line names before it in a script without spaces: ``酵母用溫水 50g``."""

from scaldloaf.importing.line.unmeasured import is_amount
from scaldloaf.importing.quantities.measures import Group, Item
from scaldloaf.importing.words.names import Names
from scaldloaf.importing.words.vocabulary import USED_FOR


def without_yeast(items: list[Item], names: Names) -> list[Item]:
    """The items without the yeast before a name and its amount; all of them where nothing says that it is so.

    The yeast alone or behind a verb, then a word such as “for”: ``イーストを溶かす水``, ``泡酵母的溫水``.
    """
    end = next((at for at, item in enumerate(items) if type(item) is not str), 0)
    amount = next((at for at in range(end, len(items)) if not isinstance(items[at], Group)), end)
    if end < 3 or items[end - 2] not in USED_FOR or not is_amount(items, amount):
        return items
    thing = names.named_as_spelt((str(items[end - 1]),))
    if thing.ingredient is None or thing.ingredient.yeast:
        return items
    first = (names.named_as_spelt((str(item),)).ingredient for item in items[:2])
    return items[end - 1 :] if any(each and each.yeast for each in first) else items
