"""The fields that requests and replies are made of: marshmallow's, but strict.

A field writes its JSON Schema in ``keywords`` and checks a value in ``is_one`` and ``check``. The document
and the gates are made from the first, the words of a refusal come from the others, so they are side by side
and must agree (``tests/contract/test_schemas_agree.py``). Bounds are inclusive: the nearest value that works
is the bound itself. Lists, objects and unions of objects are in ``objects``.
"""

import re
from collections.abc import Iterable, Mapping
from math import inf
from types import MappingProxyType
from typing import Any, NamedTuple

from marshmallow import ValidationError, fields, missing

from scaldloaf.operations.faults import closest
from scaldloaf.operations.steps import counted, format_number

Schema = dict[str, Any]  # a piece of JSON Schema, with shapes in place of references

LARGEST = 1e9  # keeps every product of a few inputs finite
MAX_NAME = 120
PLAIN_TEXT = re.compile(r"^[^\u0000-\u001f\u007f]*$")  # for fullmatch: Python's $ lets a last line feed pass


class Reason(NamedTuple):
    """Why a value is refused: a code for programs, words for people, and the nearest value that works.

    values: the bounds and names in the words.
    """

    code: str
    detail: str
    nearest: object = None
    values: Mapping[str, str | int | float] = MappingProxyType({})


def refusal(code: str, detail: str, nearest: object = None, **values: str | int | float) -> ValidationError:
    return ValidationError([Reason(code, detail, nearest, values)])


def choices_of(names: Iterable[str]) -> dict[str, str]:
    """The values of a Reason whose words list names: those names as they are listed."""
    listed = ", ".join(names)
    return {"choices": listed} if listed else {}


def described(shape: type) -> str:
    """The description of a shape: its docstring, in one line."""
    return " ".join((shape.__doc__ or "").split())


class WireField(fields.Field[Any]):
    """A field with a description. Subclasses name what they expect, and override ``keywords`` together
    with ``is_one`` and ``check``.

    In a request ``required`` and ``load_default`` mean what they mean to marshmallow; in a reply every field
    is always there unless ``required`` is False.
    """

    code = "wrong_type"  # of a value that is not what it expects
    value: object = None  # the only value allowed, where there is only one

    def __init__(
        self,
        description: str = "",
        *,
        required: bool | None = None,
        examples: list[Any] | None = None,
        **options: Any,
    ):
        super().__init__(required=bool(required), **options)
        self.optional = required is False
        annotations = {"description": description, "examples": examples}
        self.annotations = {name: value for name, value in annotations.items() if value}

    @property
    def expects(self) -> str:
        """What a value must be, in words."""
        return "any value"

    @property
    def choices(self) -> tuple[str, ...]:
        """The names among which a value must be, where ``expects`` lists them."""
        return () if self.value is None else (str(self.value),)

    @property
    def shape(self) -> type | None:
        """What the document refers to by name, in place of keywords."""
        return None

    def keywords(self) -> Schema:
        """The JSON Schema of a value, without annotations."""
        return {}

    def published(self) -> Schema:
        """The JSON Schema of the field: its keywords or its shape, null where allowed, and annotations."""
        schema: Schema = {"$ref": self.shape} if self.shape else self.keywords()
        if self.allow_none and self.shape:
            schema = {"anyOf": [schema, {"type": "null"}], "description": described(self.shape)}
        elif self.allow_none:
            schema["type"] = [schema["type"], "null"]
        default = {} if self.load_default is missing else {"default": self.load_default}
        return {**schema, **self.annotations, **default}

    def is_one(self, value: Any) -> bool:
        """Whether a value is what the field expects, whatever its bounds and parts."""
        return True

    def check(self, value: Any) -> None:
        """Raises ValidationError for what the field expects, but with a bound or a part that is refused."""

    def meant_by(self, value: Any) -> object:
        """The nearest value to one that is not what the field expects, where that is clear."""
        return self.value

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> Any:
        if not self.is_one(value):
            raise self._unexpected(value)
        self.check(value)
        return value

    def make_error(self, key: str, **kwargs: Any) -> ValidationError:
        """key: ``required`` or ``null``, from marshmallow."""
        if key == "required":
            return refusal("missing", f"{self.name} is needed here", self.value, field=str(self.name))
        return self._unexpected(None)

    def _unexpected(self, value: Any) -> ValidationError:
        detail = f"must be {self.expects}" + (" or null" if self.allow_none else "")
        return ValidationError([Reason(self.code, detail, self.meant_by(value), choices_of(self.choices))])


def is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


class Number(WireField):
    """A JSON number between two bounds; never text, never true or false."""

    expects, json_type = "a number", "number"

    def __init__(
        self, description: str = "", minimum: float = -LARGEST, maximum: float = LARGEST, **options: Any
    ):
        super().__init__(description, **options)
        self.minimum, self.maximum = minimum, maximum

    def keywords(self) -> Schema:
        return {"type": self.json_type, "minimum": self.minimum, "maximum": self.maximum}

    def is_one(self, value: Any) -> bool:
        return is_number(value)

    def check(self, value: Any) -> None:
        if value < self.minimum:
            raise refusal(
                "too_small",
                f"must be at least {format_number(self.minimum)}",
                self.minimum,
                minimum=self.minimum,
            )
        if value > self.maximum:
            raise refusal(
                "too_large",
                f"must be at most {format_number(self.maximum)}",
                self.maximum,
                maximum=self.maximum,
            )

    def meant_by(self, value: Any) -> float | None:
        """The number that a text was meant to be."""
        if not isinstance(value, str) or len(value) > 40:
            return None
        try:
            number = float(value.strip().replace(",", "."))
        except ValueError:
            return None
        return number if abs(number) < inf else None


class Integer(Number):
    """A whole number; 6.0 is one, as in JSON Schema."""

    expects, json_type = "a whole number", "integer"

    def is_one(self, value: Any) -> bool:
        return is_number(value) and value == value // 1

    def meant_by(self, value: Any) -> int | None:
        number = super().meant_by(value)
        if number is not None:
            return int(number) if number.is_integer() else None
        return round(value) if isinstance(value, float) and abs(value) < 1e15 else None


class Percent(Number):
    def __init__(self, description: str, minimum: float = 0.0, maximum: float = 100.0, **options: Any):
        super().__init__(description, minimum, maximum, **options)


class _Quantity(Number):
    """A number in the request's unit of a quantity."""

    quantity: str
    bounds = (-LARGEST, LARGEST)

    def __init__(
        self, description: str, minimum: float | None = None, maximum: float | None = None, **options: Any
    ):
        low, high = self.bounds
        super().__init__(
            f"{description} {self.measured_in()}",
            low if minimum is None else minimum,
            high if maximum is None else maximum,
            **options,
        )

    def measured_in(self) -> str:
        return f"In `units.{self.quantity}`."


class Mass(_Quantity):
    quantity, bounds = "mass", (0.0, LARGEST)


class Length(_Quantity):
    quantity, bounds = "length", (0.001, 1e6)


class Volume(_Quantity):
    quantity, bounds = "volume", (0.001, LARGEST)


class Temperature(_Quantity):
    quantity, bounds = "temperature", (-500, 1000)


class TemperatureDifference(_Quantity):
    """A rise or a friction: degrees of the request's unit, without its zero point."""

    quantity, bounds = "temperature", (-500, 1000)

    def measured_in(self) -> str:
        return f"A difference, in degrees of `units.{self.quantity}`."


class AnyText(WireField):
    """Text of any characters. form: its ``format`` in JSON Schema, which is not checked."""

    expects = "text"

    def __init__(
        self,
        description: str = "",
        max_length: int | None = None,
        min_length: int = 0,
        form: str | None = None,
        **options: Any,
    ):
        super().__init__(description, **options)
        self.min_length, self.max_length, self.form = min_length, max_length, form

    def keywords(self) -> Schema:
        bounds = {"minLength": self.min_length or None, "maxLength": self.max_length, "format": self.form}
        return {"type": "string", **{name: bound for name, bound in bounds.items() if bound is not None}}

    def is_one(self, value: Any) -> bool:
        return isinstance(value, str)

    def check(self, value: Any) -> None:
        if reasons := list(self.faults_of(value)):
            raise ValidationError(reasons)

    def faults_of(self, text: str) -> Iterable[Reason]:
        if len(text) < self.min_length:
            shortest = {"shortest": self.min_length}
            least = counted(self.min_length, "character", "characters")
            yield Reason("too_short", f"must have at least {least}", None, shortest)
        if self.max_length is not None and len(text) > self.max_length:
            yield Reason(
                "too_long",
                f"must have at most {self.max_length} characters",
                text[: self.max_length],
                {"longest": self.max_length},
            )


class Text(AnyText):
    """Text without control characters, such as a name."""

    def __init__(self, description: str, max_length: int = MAX_NAME, min_length: int = 1, **options: Any):
        super().__init__(description, max_length, min_length, **options)

    def keywords(self) -> Schema:
        return {**super().keywords(), "minLength": self.min_length, "pattern": PLAIN_TEXT.pattern}

    def faults_of(self, text: str) -> Iterable[Reason]:
        yield from super().faults_of(text)
        if not PLAIN_TEXT.fullmatch(text):
            clean = "".join(filter(str.isprintable, text))
            yield Reason("not_plain_text", "must be plain text without control characters", clean or None)


class Choice(WireField):
    """One of some names."""

    code = "not_one_of"
    names: tuple[str, ...] = ()

    def __init__(self, description: str = "", *names: str, **options: Any):
        super().__init__(description, **options)
        self.names = names or self.names

    @property
    def expects(self) -> str:
        return f"one of {', '.join(self.names)}"

    @property
    def choices(self) -> tuple[str, ...]:
        return self.names

    def keywords(self) -> Schema:
        return {"type": "string", "enum": list(self.names)}

    def is_one(self, value: Any) -> bool:
        return isinstance(value, str) and value in self.names

    def meant_by(self, value: Any) -> str | None:
        return closest(value, self.names)


class Constant(WireField):
    """The only value allowed, such as the kind of a branch or the version of a shape."""

    code, expects = "not_one_of", ""

    def __init__(self, value: str | int, description: str = "", **options: Any):
        super().__init__(description, required=True, **options)
        self.value, self.expects = value, str(value)

    def keywords(self) -> Schema:
        return {"const": self.value}

    def is_one(self, value: Any) -> bool:
        return value == self.value and not isinstance(value, bool)


class Flag(WireField):
    expects = "true or false"

    def keywords(self) -> Schema:
        return {"type": "boolean"}

    def is_one(self, value: Any) -> bool:
        return isinstance(value, bool)


class Anything(WireField):
    """Any JSON value, null too."""

    def __init__(self, description: str = "", **options: Any):
        super().__init__(description, allow_none=True, **options)

    def published(self) -> Schema:
        return self.annotations


class AnyObject(WireField):
    """An object with any fields."""

    expects = "an object"

    def keywords(self) -> Schema:
        # The second says what is so without it: some generators allow no field without it.
        return {"type": "object", "additionalProperties": True}

    def is_one(self, value: Any) -> bool:
        return isinstance(value, dict)


class Values(AnyObject):
    """An object of numbers and texts by name."""

    expects = "an object of numbers and texts"

    def keywords(self) -> Schema:
        return {"type": "object", "additionalProperties": {"type": ["number", "string"]}}

    def is_one(self, value: Any) -> bool:
        return super().is_one(value) and all(
            is_number(each) or isinstance(each, str) for each in value.values()
        )


class Component(WireField):
    """A field that the document has by name: the class's name, with the docstring as its description.

    It comes first among the bases: ``class WaterCurve(Component, Items)``.
    """

    @property
    def shape(self) -> type:
        return type(self)

    @classmethod
    def component(cls) -> Schema:
        return {"title": cls.__name__, **cls().keywords(), "description": described(cls)}
