"""A tasting planned: how many tasters, which fewest right answers, and a sheet for each taster."""

from typing import NamedTuple, cast

from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.tasting.binomial import (
    chance_of_at_least,
    fewest_by_tasters,
    fewest_right,
    right_share,
)
from scaldloaf.dough.tasting.draw import FIRST_CODE, LAST_CODE, Draw
from scaldloaf.dough.tasting.methods import METHODS, TRIANGLE, Level, Method, Serving, ranking_orders
from scaldloaf.dough.tasting.ranking import LEAST_SAMPLES, least_difference

CODES = LAST_CODE - FIRST_CODE + 1
LARGEST_TRIED = 8  # numbers of tasters
REACHED = 1e-12  # slack of a power, which is a sum of rounded terms


class PlanWanted(NamedTuple):
    """A tasting to plan.

    test: a name of METHODS, or RANKING. tasters: how many, None where power_percent asks for them.
    discriminators_percent: the share of tasters that the test should not miss, None where it is not said.
    Without tasters both of these are given. expected: the sample expected to be chosen, for the sheets' right
    codes.
    """

    test: str
    samples: tuple[str, ...]
    drawn: int
    level: Level
    tasters: int | None = None
    power_percent: float | None = None
    discriminators_percent: float | None = None
    expected: str | None = None


class Coded(NamedTuple):
    """A serving: its code and the sample under it."""

    code: int
    sample: str


class Sheet(NamedTuple):
    """What one taster is served, in order. reference: the sample served first and marked as the reference.
    right: the code of the right answer; None where no answer is."""

    taster: int
    reference: str | None
    servings: tuple[Coded, ...]
    right: int | None


class Plan(NamedTuple):
    """A tasting planned.

    least_tasters: the fewest with the power asked for, None where tasters were given. fewest_right: None
    for a ranking, and where all right are not enough. power_percent: None for a ranking, and without a
    share of discriminators. orders: how many orders of serving there are. least_difference: of rank sums.
    """

    tasters: int
    least_tasters: int | None
    fewest_right: int | None
    power_percent: float | None
    orders: int
    least_difference: float | None
    sheets: tuple[Sheet, ...]


def power(method: Method, fewest: int | None, tasters: int, discriminators_percent: float) -> float:
    """The chance that the test shows the difference when so many percent really tell.

    Counts the direction that is there, where both do.

    Parameters
        method : Method
        fewest : int or None  right answers that show it; None: it can't be shown
        tasters : int
        discriminators_percent : float  [% of tasters]
    Returns
        float  [0 to 1]
    Source
        ISO 4120, Annex A; binomial (exact)
    """
    if fewest is None:
        return 0.0
    return chance_of_at_least(fewest, tasters, right_share(discriminators_percent, method.one_in))


def most_tasters(test: str, samples: int) -> int:
    """The most tasters that the three-digit codes are enough for, each code used once."""
    return CODES // (len(METHODS[test].orders[0].samples) if test in METHODS else samples)


def tasters_for(
    method: Method, level: Level, discriminators_percent: float, power_percent: float
) -> tuple[int, int] | None:
    """(fewest tasters with a power, the next number that serves each order equally often and has it too).

    Power is a sawtooth: one taster more may have less.

    Parameters
        method : Method
        level : Level  the risk of showing what is not there
        discriminators_percent : float  [% of tasters] who really tell
        power_percent : float  [%] the chance of showing that
    Returns
        tuple[int, int] or None  None where no number up to ``most_tasters`` has it
    Source
        binomial (exact)
    """
    most, block = most_tasters(method.name, 2), len(method.orders)
    least = None
    for tasters, fewest in enumerate(fewest_by_tasters(most, method.one_in, level.of_one_side), 1):
        if least is not None and tasters % block:
            continue
        if power(method, fewest, tasters, discriminators_percent) >= power_percent / 100 - REACHED:
            least = least or tasters
            if tasters % block == 0:
                return least, tasters
    return None


def least_discriminators(method: Method, level: Level, power_percent: float) -> int:
    """The smallest share of discriminators, in whole percent, that about the most tasters show with a power.

    Looks at the largest numbers that serve each order equally often; one of them is at the top of the
    sawtooth.
    """
    most, block = most_tasters(method.name, 2), len(method.orders)
    fewest = fewest_by_tasters(most, method.one_in, level.of_one_side)
    largest = range(most - most % block, most - LARGEST_TRIED * block, -block)

    def shows(share: int) -> bool:
        needed = power_percent / 100 - REACHED
        return any(power(method, fewest[tasters - 1], tasters, share) >= needed for tasters in largest)

    low, high = 0, 100
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if shows(middle) else (middle, high)
    return high


def plan_tasting(wanted: PlanWanted) -> Plan:
    """Tasters, what they must answer, and their sheets. The same ``wanted`` gives the same plan.

    Raises
        Refusal: for more tasters than there are codes; for a share of discriminators that would take more;
        for samples that the test does not have.
    Source
        ISO 4120, ISO 10399, ISO 5495, ISO 8587 (exact); the draw as in ``draw``.
    """
    _check_samples(wanted)
    method = METHODS.get(wanted.test)
    if method is None:
        tasters = _given_tasters(wanted)
        least = least_difference(len(wanted.samples), tasters, wanted.level.significance_percent)
        orders = ranking_orders(len(wanted.samples))
        return Plan(tasters, None, None, None, len(orders), least, _sheets(wanted, orders, tasters))
    given = wanted.tasters is not None
    sizes = (None, _given_tasters(wanted)) if given else _sized(wanted, method)
    share, reached = wanted.discriminators_percent, None
    fewest = fewest_right(sizes[1], method.one_in, wanted.level.of_one_side)
    if share is not None:
        reached = 100 * power(method, fewest, sizes[1], share)
    sheets = _sheets(wanted, method.orders, sizes[1])
    return Plan(sizes[1], sizes[0], fewest, reached, len(method.orders), None, sheets)


def _check_samples(wanted: PlanWanted) -> None:
    for place, sample in enumerate(wanted.samples):
        if sample in wanted.samples[:place]:
            raise Refusal(
                f"samples.{place}",
                "sample_twice",
                "another sample has this name already; names tell them apart",
                given=sample,
            )
    count = len(wanted.samples)
    if wanted.test in METHODS and count != 2:
        raise Refusal(
            "samples",
            "not_two_samples",
            "this test compares {needed} samples and {given} are named; several are compared by a ranking",
            amounts={"needed": (2, None), "given": (count, None)},
        )
    if wanted.test not in METHODS and count < LEAST_SAMPLES:
        raise Refusal(
            "samples",
            "too_few_to_rank",
            "a ranking has at least {least} samples; two samples are a paired comparison",
            amounts={"least": (LEAST_SAMPLES, None)},
        )


def _given_tasters(wanted: PlanWanted) -> int:
    tasters, most = cast("int", wanted.tasters), most_tasters(wanted.test, len(wanted.samples))
    if tasters > most:
        raise Refusal(
            "tasters",
            "more_tasters_than_codes",
            "each serving has a three-digit code of its own, and there are {codes}: enough for {most} "
            "tasters; plan two tastings",
            given=tasters,
            nearest=most,
            amounts={"codes": (CODES, None), "most": (most, None)},
        )
    return tasters


def _sized(wanted: PlanWanted, method: Method) -> tuple[int, int]:
    """(fewest, balanced) tasters for the power wanted."""
    share = cast("float", wanted.discriminators_percent)
    needed = cast("float", wanted.power_percent)
    found = tasters_for(method, wanted.level, share, needed)
    if found is None:
        raise Refusal(
            "discriminators_percent",
            "more_tasters_than_codes",
            "to show {share} % discriminators with a power of {power} % would take more than {most} tasters",
            given=share,
            nearest=least_discriminators(method, wanted.level, needed),
            amounts={
                "share": (share, None),
                "power": (needed, None),
                "most": (most_tasters(wanted.test, 2), None),
            },
        )
    return found


def _sheets(wanted: PlanWanted, orders: tuple[Serving, ...], tasters: int) -> tuple[Sheet, ...]:
    """A sheet for each taster: codes in the order shuffled, orders block by block, each block shuffled."""
    draw = Draw(wanted.drawn)
    codes, sheets, block = iter(draw.codes()), [], list[Serving]()
    for taster in range(1, tasters + 1):
        block = block or draw.shuffled(orders)
        serving = block.pop(0)
        coded = tuple(Coded(next(codes), wanted.samples[sample]) for sample in serving.samples)
        reference = None if serving.reference is None else wanted.samples[serving.reference]
        sheets.append(Sheet(taster, reference, coded, _right(wanted, reference, coded)))
    return tuple(sheets)


def _right(wanted: PlanWanted, reference: str | None, coded: tuple[Coded, ...]) -> int | None:
    """The code of the right answer: the odd one, the one like the reference, or the one expected."""
    samples = [each.sample for each in coded]
    if wanted.test == TRIANGLE:
        return next(each.code for each in coded if samples.count(each.sample) == 1)
    target = reference or wanted.expected
    return next((each.code for each in coded if each.sample == target), None) if target else None
