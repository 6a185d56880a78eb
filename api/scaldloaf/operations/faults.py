"""What is wrong with a request, said once for every transport: pointer, why, given, nearest."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches

from scaldloaf.dough.refusal import Refusal, Way
from scaldloaf.operations.steps import counted, format_number
from scaldloaf.units import Units

MAX_FAULTS = 20
MAX_ABRIDGED = 80  # characters of what was given that a problem repeats
MOST_TRIES = 8  # beyond the first, of a refused request with changes: each is a whole calculation
MOST_HOPS = 2  # of them, from a nearest value to a nearer one, until it works
_NOWHERE = object()  # what a value has at a place that it does not have
A_NAME = "unknown_field"  # the code whose nearest is the name of a field, no value for one


@dataclass(frozen=True, slots=True)
class Option:
    """A way out: what to change, pointer -> value. keeps: the pointer of what stays as asked for it, empty
    where that is all the rest."""

    keeps: str
    change: Mapping[str, object]

    def as_wire(self) -> dict[str, object]:
        return {"keeps": self.keeps, "change": dict(self.change)}


@dataclass(frozen=True, slots=True)
class Fault:
    """values: the numbers and names in the detail, in the request's units. ways: ways out that are not tried
    yet. options: those that work."""

    pointer: str
    code: str
    detail: str
    given: object = None
    nearest: object = None
    values: Mapping[str, str | int | float] = field(default_factory=dict)
    ways: tuple[Option, ...] = ()
    options: tuple[Option, ...] = ()

    def as_wire(self) -> dict[str, object]:
        return {
            "pointer": self.pointer,
            "code": self.code,
            "detail": self.detail,
            "given": self.given,
            "nearest": self.nearest,
            "values": dict(self.values),
            "options": [option.as_wire() for option in self.options],
        }


class InputFault(Exception):
    """A request that does not make sense (422), with every fault found."""

    def __init__(self, faults: list[Fault]):
        super().__init__(faults)
        self.faults = faults


def pointer(path: Iterable[str | int]) -> str:
    """A JSON Pointer (RFC 6901) from path segments."""
    return "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in path)


def path_of(at: str) -> list[str]:
    """The path segments of a JSON Pointer."""
    return [part.replace("~1", "/").replace("~0", "~") for part in at.split("/")[1:]]


def abridged(value: object) -> object:
    """What was given, when it is a short scalar; else a word on what it was."""
    if isinstance(value, str):
        return value if len(value) <= MAX_ABRIDGED else value[:MAX_ABRIDGED] + "…"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        return f"an object of {counted(len(value), 'field', 'fields')}"
    return value


def closest(word: object, names: Iterable[str]) -> str | None:
    """The name most like a word, whatever its case; None when none is like it."""
    by_lower = {str(name).lower(): name for name in names}
    close = get_close_matches(word[:MAX_ABRIDGED].lower(), by_lower, 1, 0.4) if isinstance(word, str) else []
    return by_lower[close[0]] if close else None


def refusal_fault(refusal: Refusal, units: Units) -> Fault:
    """A Refusal of a field on the wire: its amounts in the request's units, its argument as a pointer."""

    def out(value: object) -> object:
        return units.to_wire(value, refusal.quantity) if isinstance(value, int | float) else value

    words: dict[str, str] = {}
    values: dict[str, str | int | float] = {}
    for name, amount in refusal.amounts.items():
        if isinstance(amount, str):
            words[name] = values[name] = amount
            continue
        number, quantity = amount
        values[name] = on_wire = units.to_wire(number, quantity)
        words[name] = format_number(on_wire) + (f" {units.symbol(quantity)}" if quantity else "")
    return Fault(
        _pointer_to(refusal.argument),
        refusal.code,
        refusal.message.format(**words),
        abridged(out(refusal.given)),
        out(refusal.nearest),
        values,
        tuple(_option(way, units) for way in refusal.ways),
    )


def _pointer_to(argument: str) -> str:
    return pointer(argument.split(".")) if argument else ""


def _option(way: Way, units: Units) -> Option:
    change = {
        _pointer_to(argument): units.to_wire(value, way.quantity) if isinstance(value, int | float) else value
        for argument, value in way.change.items()
    }
    return Option(_pointer_to(way.keeps), change)


def _at(value: object, path: Iterable[str], past_end: bool = False) -> object:
    """What a value has at a place; _NOWHERE without such a place. past_end: a list's last entry counts beyond
    its end too."""
    for part in path:
        if isinstance(value, list) and value and part.isdigit():
            index = min(int(part), len(value) - 1) if past_end else int(part)
            value = value[index] if index < len(value) else _NOWHERE
        else:
            value = value.get(part, _NOWHERE) if isinstance(value, dict) else _NOWHERE
    return value


def _with(request: object, path: list[str], value: object) -> object:
    """A request with a value at a place, in new objects where it has none; as it was without such a place."""
    if not path:
        return value
    head, *rest = path
    inner = _at(request, [head])
    if isinstance(request, list) and inner is not _NOWHERE:
        index = int(head)
        return [*request[:index], _with(inner, rest, value), *request[index + 1 :]]
    if isinstance(request, dict) and not (inner is _NOWHERE and rest and rest[0].isdigit()):
        return {**request, head: _with({} if inner is _NOWHERE else inner, rest, value)}
    return request


def _from_examples(examples: Iterable[object], path: list[str]) -> object:
    """What the first example with such a place has there; beyond the end of a list, its last entry counts."""
    found = (_at(example, path, past_end=True) for example in examples)
    return next((value for value in found if value is not None and value is not _NOWHERE), None)


class Tries:
    """A request tried with changes, no more often than is good for it: each try is a whole answer."""

    def __init__(self, request: object, faults_of: Callable[[object], list[Fault]]):
        self.request, self._faults_of = request, faults_of
        self._found: dict[str, list[Fault]] = {}

    def faults_with(self, change: Mapping[str, object]) -> list[Fault] | None:
        """The faults of the request with values at pointers; None where nothing changes or all is tried."""
        key = repr(sorted(change.items(), key=lambda item: item[0]))
        if key not in self._found:
            trial = self.request
            for at, value in change.items():
                trial = _with(trial, path_of(at), value)
            if trial is self.request or len(self._found) > MOST_TRIES:
                return None
            self._found[key] = self._faults_of(trial)
        return self._found[key]


def _nearest_value(fault: Fault) -> object:
    """The nearest value to put in a fault's place; None where its nearest is a name, or it has none."""
    return None if fault.code == A_NAME else fault.nearest


def with_workable_nearest(faults: list[Fault], tries: Tries, examples: Sequence[object]) -> list[Fault]:
    """The faults, with nearest values that work.

    A bound of the schema is not always one that the craft takes too, and one bound of the craft can
    hide another. So each nearest value is tried; while its own place is refused again, the value named
    there is tried instead, and that refusal is named as well. A fault elsewhere can hide such a refusal:
    then its nearest value, or else what one of ``examples`` has at its place, is put there for the trial.
    Names in a refusal that comes then may be the example's, so they are not taken.
    """
    nearest = {fault.pointer: _nearest_value(fault) for fault in faults if _nearest_value(fault) is not None}
    if not nearest:
        return faults
    then: dict[str, Fault] = {}
    elsewhere: dict[str, object] = {}
    is_of_example = False
    for hop in range(MOST_HOPS + 1):
        change = {at: value for at, value in {**elsewhere, **nearest}.items() if value is not None}
        found = tries.faults_with(change) or []
        again = [fault for fault in found if nearest.get(fault.pointer) is not None]
        hiding = [fault for fault in found if fault.pointer not in nearest | elsewhere]
        if not again and not hiding:
            break
        for fault in again:
            if is_of_example and isinstance(fault.nearest, str):
                continue
            nearest[fault.pointer] = fault.nearest if hop < MOST_HOPS else None
            then[fault.pointer] = fault
        for fault in hiding:
            works = _nearest_value(fault)
            if works is None:
                works = _from_examples(examples, path_of(fault.pointer))
                is_of_example = True
            elsewhere[fault.pointer] = works
    return [
        _and_then(replace(fault, nearest=nearest[fault.pointer]), then.get(fault.pointer))
        if fault.pointer in nearest and fault.code != A_NAME
        else fault
        for fault in faults
    ]


def with_options(faults: list[Fault], tries: Tries) -> list[Fault]:
    """The faults; the only one of a request with the ways out of it that work.

    First those that change what the request does not state itself, as that is the nearest to what it asks;
    then its nearest value, then the others.
    """
    if len(faults) != 1:
        return faults
    (fault,) = faults
    candidates = list(fault.ways)
    if _nearest_value(fault) is not None:
        kept = [at for option in candidates for at in option.change if fault.pointer not in option.change]
        candidates.insert(0, Option(kept[0] if kept else "", {fault.pointer: fault.nearest}))
    candidates.sort(
        key=lambda option: any(_at(tries.request, path_of(at)) is not _NOWHERE for at in option.change)
    )
    options = [option for option in candidates if tries.faults_with(option.change) == []]
    return [replace(fault, options=tuple(options))]


def _and_then(fault: Fault, following: Fault | None) -> Fault:
    """A fault that also says what its place is refused for next: its code as the value ``then``, its values
    as ``then_...``."""
    if following is None or following.detail == fault.detail:
        return fault
    values = {f"then_{name}": value for name, value in following.values.items()}
    return replace(
        fault,
        detail=f"{fault.detail}; then: {following.detail}",
        values={**fault.values, "then": following.code, **values},
    )
