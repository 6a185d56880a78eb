"""What tasting-plan and tasting-result read alike: which fields go with which test, and the risk."""

from collections.abc import Iterable

from scaldloaf.dough.refusal import Refusal, Way, listed
from scaldloaf.dough.tasting import EXPECTED, PAIRED, TWO_SIDED, Level
from scaldloaf.operations.context import Wire
from scaldloaf.operations.faults import closest


def require_fields(request: Wire, needed: Iterable[str], foreign: Iterable[str]) -> None:
    """Refuses a request without the fields that its test needs, or with those that it has no use for.

    request: as it came, without defaults.
    """
    for field in foreign:
        if field in request:
            raise Refusal(
                field,
                "not_for_this_test",
                "a test of the kind {test} has no {field}; leave it out",
                amounts={"test": request["test"], "field": field},
            )
    for field in needed:
        if field not in request:
            raise Refusal(
                field,
                "needed_for_this_test",
                "a test of the kind {test} needs {field}",
                amounts={"test": request["test"], "field": field},
            )


def _is_two_sided(request: Wire) -> bool:
    """Whether either sample of a paired comparison may be chosen more often: also where it is not said."""
    return bool(request.get("hypothesis", TWO_SIDED) == TWO_SIDED)


def read_level(request: Wire) -> Level:
    """The risk, of a request with its defaults filled in."""
    two_sided = request["test"] == PAIRED and _is_two_sided(request)
    return Level(request["significance_percent"], two_sided)


def read_expected(request: Wire, samples: list[str]) -> str | None:
    """The sample that a paired comparison expects to be chosen; None for a two-sided one.

    request: with its defaults filled in.
    """
    expected: str | None = request.get("expected")
    if _is_two_sided(request):
        if expected is not None:
            raise Refusal(
                "expected",
                "expected_without_hypothesis",
                "a sample is expected, and the hypothesis is {hypothesis}; leave this out, or expect it",
                given=expected,
                amounts={"hypothesis": TWO_SIDED},
                ways=(Way("expected", {"hypothesis": EXPECTED}),),
            )
        return None
    if expected is None:
        raise Refusal(
            "expected",
            "expected_missing",
            "name the sample that is expected to be chosen; the samples are {samples}",
            amounts={"samples": listed(samples)},
        )
    if expected not in samples:
        raise Refusal(
            "expected",
            "unknown_sample",
            "there is no such sample; the samples are {samples}",
            given=expected,
            nearest=closest(expected, samples),
            amounts={"samples": listed(samples)},
        )
    return expected
