"""What is wrong with a request, said once for every transport: pointer, why, given, nearest."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.steps import format_number
from scaldloaf.units import Units

MAX_FAULTS = 20
MAX_ABRIDGED = 80  # characters of what was given that a problem repeats
MOST_HOPS = 8  # from a nearest value to a nearer one, until it works
A_NAME = "unknown_field"  # the code whose nearest is the field's name, not its value


@dataclass(frozen=True, slots=True)
class Fault:
    pointer: str
    code: str
    detail: str
    given: object = None
    nearest: object = None

    def as_wire(self) -> dict[str, object]:
        return {
            "pointer": self.pointer,
            "code": self.code,
            "detail": self.detail,
            "given": self.given,
            "nearest": self.nearest,
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
        return f"an object of {len(value)} fields"
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

    words = {
        name: format_number(units.to_wire(value, quantity))
        + (f" {units.symbol(quantity)}" if quantity else "")
        for name, (value, quantity) in refusal.amounts.items()
    }
    detail = refusal.message.format(**words) if words else refusal.message
    at = pointer(refusal.argument.split(".")) if refusal.argument else ""
    return Fault(at, refusal.code, detail, abridged(out(refusal.given)), out(refusal.nearest))


def _with(request: object, path: list[str], value: object) -> object:
    """A request with a value at a place; as it was where there is no such place."""
    if not path:
        return value
    head, *rest = path
    if isinstance(request, list) and head.isdigit() and int(head) < len(request):
        index = int(head)
        return [*request[:index], _with(request[index], rest, value), *request[index + 1 :]]
    if isinstance(request, dict) and (head in request or not rest):
        return {**request, head: _with(request.get(head), rest, value)}
    return request


def _from_examples(examples: Iterable[object], path: list[str]) -> object:
    """What the first example with such a place has there; beyond the end of a list, its last entry counts."""
    for example in examples:
        value = example
        for part in path:
            if isinstance(value, list) and value and part.isdigit():
                value = value[min(int(part), len(value) - 1)]
            else:
                value = value.get(part) if isinstance(value, dict) else None
        if value is not None:
            return value
    return None


def with_workable_nearest(
    faults: list[Fault],
    request: object,
    faults_of: Callable[[object], list[Fault]],
    examples: Sequence[object],
) -> list[Fault]:
    """The faults, with nearest values that work.

    A bound of the schema is not always one that the craft takes too, and one bound of the craft can
    hide another. So each nearest value is tried; while its own place is refused again, the value named
    there is tried instead, and that refusal is told as well. A fault elsewhere can hide such a refusal:
    then its nearest value, or else what one of ``examples`` has at its place, is put there for the trial.
    """
    nearest = {
        fault.pointer: fault.nearest for fault in faults if fault.nearest is not None and fault.code != A_NAME
    }
    if not nearest:
        return faults
    said: dict[str, str] = {}
    elsewhere: dict[str, object] = {}
    for hop in range(MOST_HOPS + 1):
        trial = request
        for at, value in {**elsewhere, **nearest}.items():
            if value is not None:
                trial = _with(trial, path_of(at), value)
        found = faults_of(trial)
        again = [fault for fault in found if nearest.get(fault.pointer) is not None]
        hiding = [fault for fault in found if fault.pointer not in nearest | elsewhere]
        if not again and not hiding:
            break
        for fault in again:
            nearest[fault.pointer] = fault.nearest if hop < MOST_HOPS else None
            said[fault.pointer] = fault.detail
        for fault in hiding:
            works = None if fault.code == A_NAME else fault.nearest
            if works is None:
                works = _from_examples(examples, path_of(fault.pointer))
            elsewhere[fault.pointer] = works
    return [
        replace(
            fault, nearest=nearest[fault.pointer], detail=_and_then(fault.detail, said.get(fault.pointer))
        )
        if fault.pointer in nearest and fault.code != A_NAME
        else fault
        for fault in faults
    ]


def _and_then(detail: str, following: str | None) -> str:
    return detail if following in (None, detail) else f"{detail}; then: {following}"
