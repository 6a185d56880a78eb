"""What the items of a line name: an ingredient, or the scald itself."""

from collections.abc import Sequence
from itertools import pairwise, takewhile

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.line.allowed import ALLOWED_SPACELESS
from scaldloaf.importing.line.item_words import joined_words, phrases_of, without_units
from scaldloaf.importing.quantities.masses import CUBED_YEAST, MOST_CUBES
from scaldloaf.importing.quantities.measures import Group, Item, Measure, bare_words
from scaldloaf.importing.quantities.readings import Reader
from scaldloaf.importing.words.doubt import LIKELY, NOT_KNOWN, NOT_READ, UNSURE, Doubt
from scaldloaf.importing.words.names import Named, Names
from scaldloaf.importing.words.sections import SCALD_WORDS, title_of
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import (
    ALLOWED,
    CHOOSE,
    COOKED,
    COUNT,
    DENIED,
    EGG_SIZES,
    FILLED,
    MASS,
    NOT_OURS,
    OUTSIDE,
    PACKET,
    STEPS,
    TOTALS,
    VOLUME,
    heading_words,
    is_spaceless,
)
from scaldloaf.reference import INGREDIENTS

DRY_YEAST = "instant_yeast"
LEAST_FRESH_G = 15.0  # of yeast in a packet; one of dry yeast holds half as much at most
MOST_PHRASES = 3  # that together may be one name
_MADE_OF = (
    ["aus"],
    ["from"],
    ["made"],
    ["mit"],
    ["with"],
    ["de"],
    ["di"],
    ["con"],
    ["fait"],
    ["hecho"],
    ["fatto"],
)
# Verbs of a sentence about an ingredient, which no line of a list has before its first comma.
_VERBS = frozenset(
    ("is", "are", "was", "were", "should", "would", "will", "doesn't", "isn't", "don't", "can't")
)
_VERBS |= {"ist", "sind", "war", "sollte", "sollten", "wird"}
_EQUALS = frozenset(("is", "are", "equals", "ist", "sind", "entspricht", "entsprechen"))
_ABOUT = frozenset(("about", "around", "close", "roughly", "approximately", "slightly", "equal"))
_ABOUT |= {"etwa", "ca", "ungefähr", "circa", "rund"}
_LEAST_REMARK_WORDS = 5
_DONE = tuple(filter(is_spaceless, {*STEPS, *FILLED, *COOKED}))
_UNKNOWN = (*NOT_KNOWN, "another_thing")
_LEAST_TAKEN_WORDS = 8
_NOT_KNOWN = frozenset(("no_name", "not_in_catalogue", "misspelt"))
_GERM = ("germ",)  # of Austria: fresh yeast, but for what a packet says it weighs
_OPEN_YEAST = frozenset(("yeast_kind", "yeast_fresh_or_dry"))


def name_of(items: Sequence[Item], names: Names, proper: frozenset[str] = frozenset()) -> Named:
    """The ingredient that the items name: the first phrase that names one, refined by the others.

    proper: words of the line that are spelt as the name of a place or a maker.
    """
    phrases = phrases_of(without_units(items))
    inside = [phrase for item in items if isinstance(item, Group) for phrase in phrases_of(item.items)]
    best = Named(None, (Doubt.of(NOT_READ, "no_name"),))
    for at, phrase in enumerate(phrases):
        named = names.named(phrase)
        if named.ingredient is None and not at and 1 < len(phrases) + len(inside) <= MOST_PHRASES:
            whole = names.named_as_spelt(tuple(word for each in (*phrases, *inside) for word in each))
            if whole.ingredient and len(whole.words) > 1 and not whole.doubts:
                return whole  # Zitrone (Abrieb)
        if named.ingredient is None:
            best = best if best.alternatives or at and not named.alternatives else named
            continue
        for other in (*phrases[at + 1 :], *(inside if len(inside) < MOST_PHRASES else ())):
            if _would_do(other):
                continue  # バター(有塩でも可)
            refined = names.refined(named, _without_use(other))
            if DENIED.isdisjoint(other) or not DENIED.isdisjoint(refined.words):
                named = refined  # and not milk (not skimmed), but beurre (non salé)
        named = _flour_inside(named, inside, names)
        is_guess = any(doubt.code == "misspelt" for doubt in named.doubts)
        if is_guess and (kind := _kind_inside(items, named, names)):
            return kind
        unknown = [doubt for doubt in best.doubts if doubt.code in _UNKNOWN and at and len(phrases[0]) > 1]
        return named._replace(doubts=(*named.doubts, *map(_unsure, unknown[:1], (named,))))
    return _kind_inside(items, best, names) or _of_a_place(best, proper) or _before_step(items, best, names)


def _flour_inside(named: Named, inside: Sequence[tuple[str, ...]], names: Names) -> Named:
    """What parentheses say of a flour whose kind is open: ``farine (seigle)``, and not ``(ou seigle)``."""
    if len(inside) != 1 or not named.alternatives:
        return named
    is_flour = named.ingredient is not None and named.ingredient.is_flour
    if not is_flour or not (CHOOSE.isdisjoint(inside[0]) and DENIED.isdisjoint(inside[0])):
        return named
    kind = names.named_as_spelt(inside[0])
    is_kind = kind.ingredient is not None and kind.ingredient.is_flour and not kind.doubts
    return kind if is_kind else named


def _without_use(said: tuple[str, ...]) -> tuple[str, ...]:
    """What is used, without the word for it: ``砂糖(てんさい糖使用)``."""
    is_used = said[-2:] == ("使", "用") and "不" not in said
    return said[:-2] if is_used and len(said) > 2 else said


def _would_do(said: Sequence[str]) -> bool:
    """Whether words only say what would do as well: ``有塩でも可``, ``salted is fine``."""
    return not ALLOWED.isdisjoint(said) or "".join(said).endswith(ALLOWED_SPACELESS)


def _kind_inside(items: Sequence[Item], outside: Named, names: Names) -> Named | None:
    """What parentheses say that an unknown name is: ``エスプリ(準強力粉)``, ``Manitoba (bread flour)``."""
    if any(doubt.code not in _NOT_KNOWN for doubt in outside.doubts):
        return None
    groups = [
        item for item in items if isinstance(item, Group) and any(type(each) is str for each in item.items)
    ]
    words = bare_words([item for item in without_units(items) if type(item) is str])
    if len(groups) != 1 or words in NOT_OURS or title_of(list(words)).part in (OUTSIDE, SCALD):
        return None
    inside = phrases_of(groups[0].items)
    if len(inside) != 1 or any(isinstance(each, Measure) for each in groups[0].items):
        return None
    if not DENIED.isdisjoint(inside[0]):
        return None  # yaourt de soja (non sucré)
    named = names.named_as_spelt(inside[0])
    if named.ingredient is None or any(doubt.level != LIKELY for doubt in named.doubts):
        return None
    if all(map(names.is_harmless, words)):
        return named
    level = LIKELY if named.ingredient.is_flour or is_spaceless("".join(words)) else UNSURE
    doubt = Doubt.of(level, "unknown_words", words=f"“{' '.join(words)}”", name=named.ingredient.label)
    return named._replace(doubts=(*named.doubts, doubt))


def _unsure(doubt: Doubt, named: Named) -> Doubt:
    """The doubt that the words before a comma, which name nothing known, leave about the name behind it."""
    words = str(dict(doubt.values).get("words", ""))
    label = named.ingredient.label if named.ingredient else ""
    return Doubt.of(UNSURE, "unknown_words", words=words, name=label)


def _of_a_place(named: Named, proper: frozenset[str]) -> Named | None:
    """An ingredient beside the name of a place or a maker, which hardly makes it another thing."""
    doubt = next((each for each in named.doubts if each.code == "another_thing"), None)
    if doubt is None or not proper:
        return None
    words = str(dict(doubt.values)["words"])
    if not all(word in proper for word in words.strip("“”").split()):
        return None
    thing = INGREDIENTS[named.alternatives[0]]
    return Named(
        thing, (Doubt.of(UNSURE, "unknown_words", words=words, name=thing.label),), named.alternatives[1:]
    )


def _before_step(items: Sequence[Item], named: Named, names: Names) -> Named:
    """A name before its weight, whatever is said behind: ``水100g煮成糊``, ``鹽 3g 放角落``; never sure.

    As named for others.
    """
    at = next((at for at, item in enumerate(items) if isinstance(item, Measure)), 0)
    behind = "".join(bare_words(items[at:]))
    if not any(doubt.code == "another_thing" for doubt in named.doubts) or not is_spaceless(behind):
        return named
    own = names.named_as_spelt(bare_words(items[:at]))
    amount = items[at]
    is_weight = isinstance(amount, Measure) and amount.kind == MASS
    if own.ingredient is None or not is_weight and not any(map(behind.__contains__, _DONE)):
        return named
    doubt = Doubt.of(UNSURE, "unknown_words", words=f"“{behind}”", name=own.ingredient.label)
    return own._replace(doubts=(*own.doubts, doubt))


def is_the_scald(items: Sequence[Item], scald: str, names: Names) -> bool:
    """Whether only the scald's own name is read as an ingredient: ``100 g di water roux``.

    Or the line says what it is made of: ``200 g Mehlkochstück aus Dinkelmehl``.
    """
    spelt = scald.split()
    words = list(bare_words(items))
    if words[: len(spelt)] == spelt and words[len(spelt) : len(spelt) + 1] in _MADE_OF:
        return sum(isinstance(item, Measure) for item in items) == 1
    if len(spelt) == 1 or not set(spelt) <= set(words):
        return False  # 125 g water (tangzhong)
    beside = tuple(word for word in words if word not in spelt)
    return len(beside) < len(words) and not names.named_as_spelt(beside).words


def beside_scald(items: Sequence[Item], scald: str, names: Names) -> Named | None:
    """The ingredient that the scald's name stands before: ``Tangzhong flour 25 g``."""
    words = bare_words(items)
    if len(words) < 2 or words[0] != scald:
        return None
    named = name_of([item for item in items if item != scald], names)
    return named if named.ingredient else None


def with_first_size(items: list[Item]) -> list[Item]:
    """Eggs of the first of two sizes: ``1 large or 2 small eggs``."""
    for at in range(len(items) - 5):
        first, size, choice, second, other = items[at : at + 5]
        sizes = type(size) is str and type(other) is str and size in EGG_SIZES and other in EGG_SIZES
        if sizes and isinstance(first, Measure) and isinstance(second, Measure) and choice in CHOOSE:
            return items[: at + 2] + items[at + 5 :]
    return items


def as_sold(named: Named, measures: Sequence[Measure], language: str) -> Named:
    """Yeast that may be fresh or dry: as so many packets, cubes or pieces of so many grams are sold.

    What is measured in spoons is dry.
    """
    if any(measure.kind == PACKET for measure in measures):
        if named.words == _GERM:
            doubt = Doubt.of(LIKELY, "yeast_kind", name=INGREDIENTS[CUBED_YEAST].label)
            named = named._replace(doubts=(doubt,), alternatives=(DRY_YEAST,))
            has_grams = any(measure.kind == MASS for measure in measures)
            return named if _is_heavy(measures) or not has_grams else _in_packets_dry(named)
        return _fresh(named) if _is_heavy(measures) else _in_packets_dry(named)
    is_counted = len(measures) == 1 and measures[0].kind == COUNT
    if is_counted and language == "de" and measures[0].quantity.best <= MOST_CUBES:
        return _fresh(named)  # ½ Hefe
    in_spoons = bool(measures) and all(measure.kind == VOLUME for measure in measures)
    if in_spoons and _is_open(named) and named.ingredient is INGREDIENTS[CUBED_YEAST]:
        return _as_kind(named, DRY_YEAST, "yeast_by_amount")
    return named


def _is_heavy(measures: Sequence[Measure]) -> bool:
    """Whether packets weigh what a cube of fresh yeast does: ``1 Päckchen Hefe (42 g)``."""
    packets = sum(measure.quantity.best for measure in measures if measure.kind == PACKET)
    grams = [
        measure.quantity.best * (measure.unit.grams or 1.0) for measure in measures if measure.kind == MASS
    ]
    return len(grams) == 1 and packets > 0 and grams[0] >= LEAST_FRESH_G * packets


def _is_open(named: Named) -> bool:
    return (
        named.ingredient is not None
        and named.ingredient.yeast is not None
        and bool(named.alternatives)
        and CUBED_YEAST in (named.ingredient.name, *named.alternatives)
    )


def _fresh(named: Named) -> Named:
    return _as_kind(named, CUBED_YEAST, "yeast_by_amount") if _is_open(named) else named


def _in_packets_dry(named: Named) -> Named:
    """Yeast that may be fresh or dry, and is counted in packets: dry, whatever its amount."""
    return _as_kind(named, DRY_YEAST, "yeast_by_packet") if _is_open(named) else named


def _as_kind(named: Named, kind: str, code: str) -> Named:
    """Yeast as one kind of it, the others as what it may be too."""
    old = (*named.alternatives, named.ingredient.name) if named.ingredient else named.alternatives
    others = tuple(name for name in old if name not in (DRY_YEAST, CUBED_YEAST))
    doubt = Doubt.of(LIKELY, code, name=INGREDIENTS[kind].label)
    doubts = tuple(doubt if each.code in _OPEN_YEAST else each for each in named.doubts)
    other = DRY_YEAST if kind == CUBED_YEAST else CUBED_YEAST
    return named._replace(ingredient=INGREDIENTS[kind], doubts=doubts, alternatives=(*others, other))


def proper_words(tokens: Sequence[Token], reader: Reader) -> frozenset[str]:
    """The words that are written with a capital among others that are not, and not as the first of a line."""
    words = [token for token in tokens if token.kind == "w" and len(token.raw) > 2]
    first = tokens[0] if tokens else None
    capital = [token for token in words if token.raw[0].isupper() and token is not first]
    if reader.marks.lexicon.language == "de" or not any(token.raw.islower() for token in words):
        return frozenset()
    return frozenset(token.text for token in capital)


def is_remark(tokens: Sequence[Token], items: Sequence[Item]) -> bool:
    """Whether a line says something about an ingredient: ``3 g salt is close to 1/2 tsp``."""
    start = next((at for at, token in enumerate(tokens) if token.kind in "wn"), len(tokens))
    clause = list(takewhile(lambda token: token.kind in "wn" or token.text in "%-/.", tokens[start:]))
    verb = next((at for at, token in enumerate(clause) if token.text in _VERBS | _EQUALS), 0)
    if not verb:
        return _takes_from_the_list(tokens, items)
    if any(isinstance(item, Measure) and item.kind in (MASS, VOLUME) for item in items):
        after = clause[verb + 1 : verb + 2]
        said = clause[verb].text in _EQUALS and bool(after)
        return said and (after[0].kind == "n" or after[0].text in _ABOUT)
    return sum(token.kind == "w" for token in clause) >= _LEAST_REMARK_WORDS


def is_total(items: Sequence[Item], reader: Reader) -> bool:
    """Whether a line only says what a list adds up to: ``合計 414g``, ``Total: 2 lb``, ``Total flour 500 g``.

    Before the list an amount of flour may be all that is said of it.
    """
    weighed = any(isinstance(item, Measure) and item.kind == MASS for item in items)
    if not weighed or heading_words(joined_words(items)) not in TOTALS:
        return False
    return reader.has_listed or reader.names.named_as_spelt(bare_words(items)).ingredient is None


def _takes_from_the_list(tokens: Sequence[Token], items: Sequence[Item]) -> bool:
    """Whether a line puts parts of listed amounts into the scald: ``for the roux use 25 g of the flour``."""
    if len(tokens) < _LEAST_TAKEN_WORDS:
        return False
    words = [token.text for token in tokens if token.kind == "w"]
    if len(words) < _LEAST_TAKEN_WORDS or tokens[0].kind != "w":
        return False
    if not any(pair == ("of", "the") for pair in pairwise(words)):
        return False
    return SCALD_WORDS.found_in(joined_words(items)) is not None


def behind_for(tokens: list[Token], reader: Reader) -> list[Token]:
    """The tokens without the French “for”, which is a step in English: ``Pour la pâte : 200 g d’eau``."""
    is_for = bool(tokens) and reader.marks.lexicon.language == "fr" and tokens[0].text == "pour"
    return tokens[1:] if is_for else tokens
