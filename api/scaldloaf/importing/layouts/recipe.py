"""A schema.org Recipe in JSON-LD: its ingredients, whatever the nesting.

Nothing is fetched and ``@context`` is ignored: types and properties are known by their local names
(``Recipe``, ``schema:Recipe``, ``https://schema.org/Recipe``). Every walk is a loop that visits each value
once, so depth and references in circles do no harm.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any

from scaldloaf.importing.words.text import clean, printable, split_lines
from scaldloaf.importing.words.vocabulary import UNIT_CODES

Node = dict[str, Any]  # an object of JSON

MOST_PLACE_DIGITS = 10
MOST_NAME_CHARACTERS = 120
MOST_RECIPES = 50
MOST_TEXTS = 2_000  # of one recipe, blank ones too: far more than are read
MOST_KEYS_SHOWN = 5
MOST_STEPS = 100
MOST_STEP_CHARACTERS = 2_000
# In order of preference; the first that holds anything is read.
INGREDIENT_PROPERTIES = ("recipeIngredient", "ingredients", "supply")
METHOD_PROPERTIES = ("recipeInstructions", "instructions", "step", "steps")
_LISTS = frozenset(("itemListElement", "@list", "@set"))
_INNER_IN_TURN = ("item", "@value", *sorted(_LISTS))
_INNER = frozenset(_INNER_IN_TURN)
_PREFIXES = (
    "http://schema.org/",
    "https://schema.org/",
    "http://www.schema.org/",
    "https://www.schema.org/",
    "schema:",
)


@dataclass(frozen=True, slots=True)
class FoundRecipe:
    """A recipe of a document: name, ingredients and method as the document has them, and its nodes by id."""

    name: str
    ingredients: object
    by_id: dict[str, Node]
    method: object = None

    def lines(self) -> tuple[str, ...]:
        """The texts of its ingredients in order, headings of its lists included, at most MOST_TEXTS."""
        return tuple(islice(_texts(self.ingredients, self.by_id), MOST_TEXTS))

    def steps(self) -> tuple[str, ...]:
        """The texts of its method in order, names of sections before their steps, at most MOST_STEPS."""
        return tuple(islice(_steps(self.method, self.by_id), MOST_STEPS))


def local_name(name: str) -> str:
    """A term of schema.org without its prefix."""
    for prefix in _PREFIXES:
        if name.startswith(prefix):
            return name[len(prefix) :]
    return name


def _local(node: Node) -> Node:
    """A node's properties by their local names; the plain spelling wins over a prefixed one."""
    if not any(":" in key for key in node):
        return node
    return {**{local_name(key): value for key, value in node.items()}, **node}


def _types(node: Node) -> list[str]:
    kind = node.get("@type", node.get("type"))
    if kind is None:
        return []
    kinds = kind if isinstance(kind, list) else [kind]
    return [local_name(kind) for kind in kinds if isinstance(kind, str)]


def _nodes(document: object) -> Iterator[Node]:
    """Every object of a document, in the order of its text."""
    waiting = [document]
    while waiting:
        value = waiting.pop()
        if isinstance(value, dict):
            yield value
            waiting.extend(reversed([inner for key, inner in value.items() if key != "@context"]))
        elif isinstance(value, list):
            waiting.extend(reversed(value))


def recipes_in(document: object) -> list[FoundRecipe]:
    """The recipes of a document that list ingredients, in order, at most MOST_RECIPES of them."""
    nodes = list(_nodes(document))
    by_id = {
        node["@id"]: node for node in reversed(nodes) if isinstance(node.get("@id"), str) and len(node) > 1
    }
    found: list[FoundRecipe] = []
    parts: set[int] = set()  # of a recipe that was read with all of them
    for node in nodes:
        if "Recipe" not in _types(node) and "recipeIngredient" not in node or id(node) in parts:
            continue
        local = _local(node)
        ingredients, inner = _ingredients(local), _inner_recipes(local, by_id)
        methods = [_method(local)]
        if ingredients is None and inner and _is_a_recipe(node):
            parts.update(map(id, inner))
            locals_ = [_local(part) for part in inner]
            ingredients = [{"name": _name(part), "itemListElement": _ingredients(part)} for part in locals_]
            methods += [{"name": _name(part), "itemListElement": _method(part)} for part in locals_]
        if ingredients is not None:
            found.append(FoundRecipe(_name(local), ingredients, by_id, methods))
        if len(found) == MOST_RECIPES:
            break
    return found


def _is_a_recipe(node: Node) -> bool:
    return "Recipe" in _types(node)


def _ingredients(node: Node) -> object:
    return next((node[name] for name in INGREDIENT_PROPERTIES if node.get(name)), None)


def _method(node: Node) -> object:
    return next((node[name] for name in METHOD_PROPERTIES if node.get(name)), None)


def _inner_recipes(node: Node, by_id: dict[str, Node]) -> list[Node]:
    """The recipes that a recipe is made of, those with ingredients."""
    inner = node.get("hasPart") or ()
    found: list[Node] = []
    for part in inner if isinstance(inner, list) else [inner]:
        if isinstance(part, dict) and len(part) == 1 and isinstance(part.get("@id"), str):
            part = by_id.get(part["@id"], part)
        if (
            isinstance(part, dict)
            and part is not node
            and _ingredients(_local(part))
            and len(found) < MOST_RECIPES
        ):
            found.append(part)
    return found


def _name(node: Node) -> str:
    name = _scalar(node.get("name")) or _scalar(node.get("headline"))
    return printable(clean(name), MOST_NAME_CHARACTERS) if name else ""


def _scalar(value: object) -> str:
    """A text or number as text, the first of several; an empty text for anything else."""
    if value is None or isinstance(value, str):
        return value or ""
    for _ in range(3):
        if isinstance(value, list) and value:
            value = value[0]
        elif isinstance(value, dict):
            value = value.get("@value", "")
    if isinstance(value, str):
        return value
    if isinstance(value, bool) or not isinstance(value, int | float) or value < 0:
        return ""
    # A number of JSON has no thousands marks: four decimals can't look like them.
    return f"{value:.0f}" if float(value).is_integer() else f"{value:.4f}"


def _parts(value: object, by_id: dict[str, Node], keys: Iterable[str]) -> Iterator[object]:
    """What a property holds: its texts, numbers and nodes in turn, through lists and references.

    Each node comes once, before what it has under ``keys``.
    """
    waiting: list[Any] = [value]
    seen: set[int] = set()
    while waiting:
        value = waiting.pop()
        if isinstance(value, list):
            waiting.extend(reversed(_by_position(value)))
        elif isinstance(value, dict):
            if len(value) == 1 and isinstance(value.get("@id"), str):
                value = by_id.get(value["@id"], value)
            if id(value) in seen:
                continue
            seen.add(id(value))
            node = _local(value)
            yield node
            waiting.extend(node[key] for key in keys if key in node)
        else:
            yield value


def _texts(value: object, by_id: dict[str, Node]) -> Iterator[str]:
    """The lines of a property: texts, lists, PropertyValue and HowToSupply objects, and references."""
    for part in _parts(value, by_id, _INNER_IN_TURN):
        if isinstance(part, str):
            yield from split_lines(part)
        elif isinstance(part, int | float) and (bare := _scalar(part)):
            yield bare
        elif isinstance(part, dict):
            if _INNER.isdisjoint(part):
                # A node without a text is not passed over: the names of its properties are its line.
                yield _line(part) or f"{{{', '.join(list(part)[:MOST_KEYS_SHOWN])}}}"
                continue
            heading = "" if _LISTS.isdisjoint(part) else _scalar(part.get("name"))
            if heading:
                yield f"{heading.rstrip(' :')}:"


def _steps(value: object, by_id: dict[str, Node]) -> Iterator[str]:
    """The lines of a method: texts, HowToStep and HowToSection objects, lists of them, and references."""
    for part in _parts(value, by_id, ("steps", *_INNER_IN_TURN)):
        if isinstance(part, str):
            yield from split_lines(part[:MOST_STEP_CHARACTERS])
        elif isinstance(part, dict):
            name, words = _scalar(part.get("name")), _scalar(part.get("text"))
            if name and not (words and words.startswith(name[:20])):
                yield f"{name.rstrip(' :')}:"
            if words:
                yield from split_lines(words[:MOST_STEP_CHARACTERS])


def _by_position(values: list[Any]) -> list[Any]:
    """List items in the order of their own positions, where each of them has one."""
    places: list[float] = []
    for value in values:
        place = _local(value).get("position") if isinstance(value, dict) else None
        if isinstance(place, str) and place.isdecimal() and len(place) < MOST_PLACE_DIGITS:
            place = int(place)
        if not isinstance(place, int | float):
            return values
        places.append(place)
    return [value for _, value in sorted(zip(places, values, strict=True), key=lambda pair: pair[0])]


def _line(node: Node) -> str:
    """One structured ingredient in words: ``500 g bread flour``."""
    name = _scalar(node.get("name")) or _scalar(node.get("text")) or _scalar(node.get("description"))
    amount = _amount(node)
    if not amount:
        for key in ("requiredQuantity", "value", "amount"):
            inner = node.get(key)
            if isinstance(inner, list) and inner:
                inner = inner[0]
            if isinstance(inner, dict):
                amount = _amount(_local(inner))
            elif key == "requiredQuantity":
                amount = _scalar(inner)
            if amount:
                break
    return f"{amount} {name}".strip()


def _amount(node: Node) -> str:
    """Value and unit of a PropertyValue or QuantitativeValue; a range of two ends."""
    value = "" if isinstance(node.get("value"), dict) else _scalar(node.get("value"))
    if not value:
        ends = [end for key in ("minValue", "maxValue") if (end := _scalar(node.get(key)))]
        value = " - ".join(dict.fromkeys(ends))
    if not value:
        return ""
    unit = _scalar(node.get("unitText"))
    if not unit:
        code = _scalar(node.get("unitCode")).strip()
        unit = UNIT_CODES.get(code.upper(), code)
    return f"{value} {unit}".strip()
