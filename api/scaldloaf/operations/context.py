"""What one request sets for its whole answer: its units, and whether it wants the working."""

from collections.abc import Callable, Iterable
from typing import Any

from scaldloaf.dough.estimate import Estimate
from scaldloaf.operations.notes import AnyNote, written_note
from scaldloaf.operations.schemas.fields import LARGEST
from scaldloaf.operations.steps import Working
from scaldloaf.reference import CAUTIONS
from scaldloaf.units import TEMPERATURES, Units, units_of

Wire = dict[str, Any]  # an object of a request or a reply


def _cautions_in(units: Units) -> dict[str, Wire]:
    """The cautions on the wire, their temperatures in the request's scale, in the text in whole degrees."""

    def degrees(value_c: float) -> str:
        return f"{units.to_wire(value_c, 'temperature'):.0f} {units.symbol('temperature')}"

    return {
        code: {
            "code": code,
            "text": row.text_in(degrees),
            "values": {
                **{
                    name.removesuffix("_degc"): units.to_wire(value, "temperature")
                    for name, value in row.temperatures_c.items()
                },
                **row.numbers,
            },
            "defer_to": row.defer_to,
        }
        for code, row in CAUTIONS.items()
    }


_CAUTIONS = {scale: _cautions_in(units_of(temperature=scale)) for scale in TEMPERATURES}


class Context:
    """The units of one request, and whether it wants all there is to say (``full``): working, basis, notes.

    figures_only: the answer is for a reply that takes single figures from it, so it has no timeline and no
    steps.
    """

    __slots__ = ("figures_only", "full", "units")

    def __init__(self, units: Units, full: bool = True, figures_only: bool = False):
        self.units = units
        self.full = full
        self.figures_only = figures_only

    @property
    def most_mass_g(self) -> float:
        """The largest mass that a request in these units could bring back."""
        return self.units.from_wire(LARGEST, "mass")

    def from_wire(self, value: float | None, quantity: str | None) -> float | None:
        """A number of the request in the craft's own unit; None stays None."""
        return None if value is None else self.units.from_wire(value, quantity)

    def to_wire(self, value: float | None, quantity: str | None) -> float | None:
        """A number of the craft in the request's unit; None stays None."""
        return None if value is None else self.units.to_wire(value, quantity)

    def estimate(self, estimate: Estimate, quantity: str | None = None) -> Wire:
        """An estimate of the craft on the wire."""
        out = self.units.to_wire
        return {
            "low": out(estimate.low, quantity),
            "best": out(estimate.best, quantity),
            "high": out(estimate.high, quantity),
            "evidence": estimate.evidence,
        }

    def reply(
        self,
        answer: Wire,
        working: Callable[[Working], None],
        basis: Iterable[str] = (),
        cautions: Iterable[str] = (),
        notes: Iterable[AnyNote] = (),
    ) -> Wire:
        """Complete an answer with what every reply carries.

        Parameters
            answer : Wire  the call's own fields; completed in place
            working : Callable  adds the steps; only called when the working is wanted
            basis : Iterable[str]  sources
            cautions : Iterable[str]  codes, in order; repetitions are dropped
            notes : Iterable[AnyNote]  consumed only when they are wanted: a generator costs nothing else
        Returns
            Wire  the answer
        """
        answer["units"] = self.units.as_wire()
        said = _CAUTIONS[self.units.temperature]
        answer["cautions"] = [said[code] for code in dict.fromkeys(cautions)]
        if self.full:
            show = Working(self.units)
            if not self.figures_only:
                working(show)
            answer["working"] = show.steps
            answer["basis"] = list(dict.fromkeys(basis))
            written: dict[tuple[str, str], Wire] = {}
            for note in notes:
                each = written_note(note, show)
                written.setdefault((each["code"], each["text"]), each)
            answer["notes"] = list(written.values())
        return answer
