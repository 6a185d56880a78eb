"""Lists, objects and unions of objects, made of fields.

``Closed`` objects are of requests, ``Open`` ones of replies. The class's name is the object's name in the
document, and its docstring the description there.
"""

from functools import cache
from math import inf
from typing import Any, ClassVar, cast

from marshmallow import EXCLUDE, ValidationError, fields, missing, validates_schema
from marshmallow import Schema as MarshmallowSchema
from marshmallow.exceptions import SCHEMA
from marshmallow.schema import SchemaMeta

from scaldloaf.operations.faults import MAX_FAULTS, closest
from scaldloaf.operations.schemas.fields import (
    AnyObject,
    Component,
    Integer,
    Number,
    Reason,
    Schema,
    Text,
    WireField,
    choices_of,
    described,
    is_number,
    refusal,
)
from scaldloaf.operations.schemas.json_schema import gate
from scaldloaf.operations.steps import counted


class _ShapeMeta(SchemaMeta):
    """Puts required fields first and inherited ones, such as ``units``, last; keeps the defaults by name."""

    default_values: dict[str, Any]
    _declared_fields: dict[str, fields.Field[Any]]

    @classmethod
    def get_declared_fields(
        mcs,
        klass: SchemaMeta,
        cls_fields: list[tuple[str, fields.Field[Any]]],
        inherited_fields: list[tuple[str, fields.Field[Any]]],
        dict_cls: type[dict[Any, Any]] = dict,
    ) -> dict[str, fields.Field[Any]]:
        declared = dict_cls(cls_fields)
        for parent in klass.__mro__[1:]:
            for name, field in getattr(parent, "_declared_fields", {}).items():
                declared.setdefault(name, field)
        for name, field in inherited_fields:  # of classes that are no Schema
            declared.setdefault(name, field)
        return dict_cls(sorted(declared.items(), key=lambda item: not item[1].required))

    def resolve_hooks(cls) -> dict[str, list[tuple[str, bool, dict[Any, Any]]]]:
        """As marshmallow does, but without a look at every attribute of a class that adds no hook: a third of
        the time that all the classes take at start."""
        own = any(hasattr(value, "__marshmallow_hook__") for value in vars(cls).values())
        bases = [cast("SchemaMeta", base) for base in cls.__bases__]
        inherited = {id(base._hooks): base._hooks for base in bases}
        return super().resolve_hooks() if own or len(inherited) > 1 else inherited.popitem()[1]

    def __init__(cls, name: str, bases: tuple[type, ...], attrs: dict[str, Any]):
        super().__init__(name, bases, attrs)  # type: ignore[no-untyped-call]
        cls.default_values = {
            field.data_key or name: field.load_default
            for name, field in cls._declared_fields.items()
            if field.load_default is not missing
        }


class Shape(MarshmallowSchema, metaclass=_ShapeMeta):
    """An object on the wire."""

    class Meta:
        unknown = EXCLUDE  # by marshmallow; Closed refuses it
        register = False

    default_values: ClassVar[dict[str, Any]]

    @classmethod
    def declared(cls) -> dict[str, WireField]:
        """Its fields by their name on the wire."""
        declared = cast("dict[str, WireField]", cls._declared_fields)
        return {field.data_key or name: field for name, field in declared.items()}

    @classmethod
    def filled(cls, given: dict[str, Any]) -> dict[str, Any]:
        """An object that a gate has accepted, with what it leaves out at its default."""
        return {**cls.default_values, **given}


class Closed(Shape):
    """An object of a request: closed, so that a misspelt field is refused and not ignored."""

    @classmethod
    def component(cls) -> Schema:
        declared = cls.declared()
        return {
            "type": "object",
            "title": cls.__name__,
            "description": described(cls),
            "properties": {name: field.published() for name, field in declared.items()},
            "required": [name for name, field in declared.items() if field.required],
            "additionalProperties": False,
        }

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def refuse_unknown_fields(self, data: Any, original: dict[str, Any], **kwargs: Any) -> None:
        unknown = [name for name in original if name not in self.fields][:MAX_FAULTS]
        if unknown:
            free = [name for name in self.fields if name not in original]
            detail = f"there is no such field here; the fields are {', '.join(self.fields)}"
            raise ValidationError(
                {
                    name: [Reason("unknown_field", detail, closest(name, free), choices_of(self.fields))]
                    for name in unknown
                }
            )

    def handle_error(self, error: ValidationError, data: Any, **kwargs: Any) -> None:
        """Adds to what is missing the unknown field that may have been meant for it."""
        messages = cast("dict[str, Any]", error.messages)  # a schema's are by field
        unknown = [name for name in messages if name not in self.fields]
        for name, reasons in messages.items() if unknown else ():
            if (
                isinstance(reasons, list)
                and reasons[0].code == "missing"
                and (hint := closest(name, unknown))
            ):
                detail = f"{reasons[0].detail}; {hint} is not a field of this object"
                values = {**reasons[0].values, "unknown": hint}
                messages[name] = [reasons[0]._replace(detail=detail, values=values)]


class Open(Shape):
    """An object of a reply: open to readers, so that /v1 may grow; the tests hold it closed.

    A field is always there unless ``required`` is False, and numbers promise no bounds.
    """

    @classmethod
    def component(cls) -> Schema:
        declared = cls.declared()
        properties = {name: field.published() for name, field in declared.items()}
        return {
            "type": "object",
            "title": cls.__name__,
            "description": described(cls),
            "properties": {name: _without_bounds(schema) for name, schema in properties.items()},
            "required": [name for name, field in declared.items() if not field.optional],
        }

    def on_bind_field(self, field_name: str, field_obj: fields.Field[Any]) -> None:
        if isinstance(field_obj, WireField):
            field_obj.required = not field_obj.optional
        if isinstance(field_obj, Number):
            field_obj.minimum, field_obj.maximum = -inf, inf


def _without_bounds(schema: Schema) -> Schema:
    return {keyword: value for keyword, value in schema.items() if keyword not in ("minimum", "maximum")}


@cache
def _reader(schema: type[Shape]) -> Shape:
    return schema()


def load(schema: type[Shape], value: dict[str, Any]) -> None:
    """Let marshmallow read a value. Raises ValidationError with the Reasons for which it can't.

    A schema's instance is made when it is first needed and kept: making one takes longer than using it.
    """
    _reader(schema).load(value)


class Object(WireField):
    """An object with a schema of its own."""

    expects = "an object"

    def __init__(self, schema: type[Shape], description: str = "", **options: Any):
        super().__init__(description, **options)
        self.of = schema

    @property
    def shape(self) -> type[Shape]:
        return self.of

    def is_one(self, value: Any) -> bool:
        return isinstance(value, dict)

    def check(self, value: Any) -> None:
        load(self.shape, value)


class Union(Component):
    """One of several objects that their ``kind`` tells apart. Subclasses list them in ``kinds``; each has a
    Constant ``kind``."""

    kinds: tuple[type[Closed], ...] = ()

    @classmethod
    @cache
    def branches(cls) -> dict[str, type[Closed]]:
        """kind -> its schema"""
        return {str(schema.declared()["kind"].value): schema for schema in cls.kinds}

    @classmethod
    def filled(cls, given: dict[str, Any]) -> dict[str, Any]:
        """One of the objects, with what it leaves out at its default."""
        return cls.branches()[given["kind"]].filled(given)

    @property
    def expects(self) -> str:
        return f"an object with a kind: {', '.join(self.branches())}"

    @property
    def choices(self) -> tuple[str, ...]:
        return tuple(self.branches())

    def keywords(self) -> Schema:
        branches = self.branches()
        return {
            "oneOf": [{"$ref": schema} for schema in branches.values()],
            "discriminator": {"propertyName": "kind", "mapping": branches},
        }

    def is_one(self, value: Any) -> bool:
        return isinstance(value, dict)

    def check(self, value: Any) -> None:
        branches, kind = self.branches(), value.get("kind")
        if isinstance(kind, str) and kind in branches:
            load(branches[kind], value)
            return
        code = "not_one_of" if "kind" in value else "missing"
        nearest = closest(kind, branches) or next(iter(branches))
        detail = f"kind must be one of {', '.join(branches)}"
        raise ValidationError({"kind": [Reason(code, detail, nearest, choices_of(branches))]})


class Items(WireField):
    """A list.

    The check ends when it has found as many faults as a problem has room for, and it passes over an entry
    that the entry's own gate accepts, so a list of thousands is explained as fast as one of twenty.
    """

    expects = "a list"

    def __init__(
        self,
        item: WireField,
        description: str = "",
        min_items: int = 0,
        max_items: int | None = None,
        **options: Any,
    ):
        super().__init__(description, **options)
        self.item, self.min_items, self.max_items = item, min_items, max_items

    def keywords(self) -> Schema:
        bounds = {"minItems": self.min_items, "maxItems": self.max_items}
        return {
            "type": "array",
            "items": self.item.published(),
            **{name: bound for name, bound in bounds.items() if bound is not None},
        }

    def is_one(self, value: Any) -> bool:
        return isinstance(value, list)

    def check(self, value: Any) -> None:
        faulty: dict[str | int, Any] = {}
        if length := self._fault_of_length(len(value)):
            faulty[SCHEMA] = [length]
        accepts, room = gate(self.item.shape).is_valid if self.item.shape else None, MAX_FAULTS - len(faulty)
        for index, entry in enumerate(value[: self.max_items]):
            if accepts and accepts(entry):
                continue
            try:
                self.item.deserialize(entry)
            except ValidationError as error:
                faulty[index] = error.messages
                room -= _count(error.messages)
                if room <= 0:
                    break
        if faulty:
            raise ValidationError(faulty)

    def _fault_of_length(self, length: int) -> Reason | None:
        if length < self.min_items:
            shortest = {"shortest": self.min_items}
            least = counted(self.min_items, "entry", "entries")
            return Reason("too_short", f"must have at least {least}", None, shortest)
        if self.max_items is not None and length > self.max_items:
            return Reason(
                "too_long",
                f"must have at most {self.max_items} entries; send the rest in another call",
                None,
                {"longest": self.max_items},
            )
        return None


class Counts(AnyObject):
    """A fixed number of whole numbers, each under a name of the caller's own."""

    expects = "an object of whole numbers, each under its name"

    def __init__(self, description: str, entries: int, max_name: int, maximum: int, **options: Any):
        super().__init__(description, **options)
        self.entries, self.called = entries, Text("A name.", max_name)
        self.count = Integer("How many.", 0, maximum)

    def keywords(self) -> Schema:
        return {
            **super().keywords(),
            "propertyNames": self.called.keywords(),
            "additionalProperties": self.count.published(),
            "minProperties": self.entries,
            "maxProperties": self.entries,
        }

    def check(self, value: Any) -> None:
        if len(value) != self.entries:
            detail = f"must have exactly {self.entries} entries"
            raise refusal("not_so_many_entries", detail, entries=self.entries)
        _check_entries(value, self.called, self.count)


class Texts(AnyObject):
    """A few texts, each under a name of the caller's own."""

    expects = "an object of texts, each under its name"

    def __init__(self, description: str, entries: int, max_name: int, max_text: int, **options: Any):
        super().__init__(description, **options)
        self.entries, self.called = entries, Text("A name.", max_name)
        self.text = _TextOrNumber("A text.", max_text, 0)

    def keywords(self) -> Schema:
        return {
            **super().keywords(),
            "propertyNames": self.called.keywords(),
            "additionalProperties": self.text.keywords(),
            "maxProperties": self.entries,
        }

    def check(self, value: Any) -> None:
        if len(value) > self.entries:
            detail = f"must have at most {self.entries} entries"
            raise refusal("too_long", detail, longest=self.entries)
        _check_entries(value, self.called, self.text)


class _TextOrNumber(Text):
    """Text that a number is easily sent for, such as an article's."""

    def meant_by(self, value: Any) -> str | None:
        if not is_number(value) or abs(value) >= 1e15:
            return None
        return str(int(value) if value == value // 1 else value)


def _check_entries(value: dict[str, Any], called: Text, each: WireField) -> None:
    """Raises ValidationError for names that are not ``called`` so, or else for what is under them."""
    if any(list(called.faults_of(name)) for name in value):
        longest = called.max_length or 0
        detail = f"each name must have 1 to {longest} characters, and no control characters"
        raise refusal("name_unusable", detail, longest=longest)
    faulty: dict[str, Any] = {}
    for name, entry in value.items():
        try:
            each.deserialize(entry)
        except ValidationError as error:
            faulty[name] = error.messages
    if faulty:
        raise ValidationError(faulty)


def _count(messages: dict[Any, Any] | list[Any]) -> int:
    """How many Reasons there are among messages by name or index."""
    return sum(map(_count, messages.values())) if isinstance(messages, dict) else len(messages)
