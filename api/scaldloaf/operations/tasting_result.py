"""tasting-result: what the answers of a blind tasting show, and what they do not."""

from collections.abc import Iterator
from typing import NamedTuple

from scaldloaf.dough import tasting as dough
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.tasting.result import MOST_TASTERS
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.notes import Note
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.tasting import TastingResultRequest
from scaldloaf.operations.steps import Working
from scaldloaf.operations.tasting_plan import BASIS
from scaldloaf.operations.wire.tasting import read_expected, read_level, require_fields
from scaldloaf.operations.working.tasting import (
    conclusion_of_counts,
    conclusion_of_ranking,
    note,
    panel_notes,
    show_counts,
    show_ranking,
)

# By test: the fields that it needs, and those that it has no use for.
FIELDS = {
    dough.TRIANGLE: (("tasters", "right"), ("chosen", "rankings", "hypothesis", "expected")),
    dough.DUO_TRIO: (("tasters", "right"), ("chosen", "rankings", "hypothesis", "expected")),
    dough.PAIRED: (("tasters", "chosen"), ("right", "rankings")),
    dough.RANKING: (("rankings",), ("tasters", "right", "chosen", "hypothesis", "expected")),
}


class Asked(NamedTuple):
    """Answers to one test. rankings: of a ranking, else empty.

    right: right answers, or choices of ``sample``. sample: in a paired comparison the expected sample, or of
    a two-sided one the sample chosen more often; else empty.
    """

    test: str
    level: dough.Level
    tasters: int
    right: int = 0
    sample: str = ""
    rankings: tuple[tuple[str, ...], ...] = ()


class Found(NamedTuple):
    """What the answers show: counted, or ranked."""

    asked: Asked
    counted: dough.Counted | None
    ranked: dough.Ranked | None


def read(request: Wire, context: Context) -> Asked:
    test = request["test"]
    require_fields(request, *FIELDS[test])
    request = TastingResultRequest.filled(request)
    level = read_level(request)
    if test == dough.RANKING:
        rankings = tuple(map(tuple, request["rankings"]))
        return Asked(test, level, len(rankings), rankings=rankings)
    tasters = int(request["tasters"])
    if test != dough.PAIRED:
        return Asked(test, level, tasters, int(request["right"]))
    chosen = {sample: int(count) for sample, count in request["chosen"].items()}
    counted = sum(chosen.values())
    if counted != tasters:
        raise Refusal(
            "tasters",
            "counts_not_tasters",
            "the choices come to {counted}, and every taster chooses one sample",
            given=tasters,
            nearest=counted if 0 < counted <= MOST_TASTERS else None,
            amounts={"counted": (counted, None)},
        )
    sample = read_expected(request, list(chosen)) or max(chosen, key=lambda name: (chosen[name], name))
    return Asked(test, level, tasters, chosen[sample], sample)


def compute(asked: Asked) -> Found:
    percent = asked.level.significance_percent
    if asked.test == dough.RANKING:
        return Found(asked, None, dough.rank_samples(asked.rankings, percent))
    method = dough.METHODS[asked.test]
    return Found(asked, dough.count_answers(method, asked.right, asked.tasters, asked.level), None)


def write(found: Found, context: Context) -> Wire:
    asked, counted, ranked = found
    answer = {
        "test": asked.test,
        "tasters": asked.tasters,
        "significance_percent": asked.level.significance_percent,
        **(_write_counted(found, counted, context) if counted else {}),
        **(_write_ranked(asked, ranked) if ranked else {}),
    }
    return context.reply(
        answer,
        lambda show: _show(show, found),
        basis=(BASIS[asked.test], "friedman_1937" if ranked else "clopper_pearson_1934"),
        cautions=cautions.OF_TASTING,
        notes=_notes(found),
    )


def _write_counted(found: Found, counted: dough.Counted, context: Context) -> Wire:
    asked = found.asked
    return {
        "p_value": counted.p_value,
        "fewest_right": counted.fewest_right,
        "shown": counted.shown,
        "discriminators_percent": context.estimate(counted.discriminators),
        "conclusion": conclusion_of_counts(asked.test, counted, asked.level, asked.sample),
        "chi_square": None,
        "least_significant_difference": None,
        "rank_sums": [],
        "pairs": [],
    }


def _write_ranked(asked: Asked, ranked: dough.Ranked) -> Wire:
    return {
        "p_value": ranked.p_value,
        "fewest_right": None,
        "shown": ranked.shown,
        "discriminators_percent": None,
        "conclusion": conclusion_of_ranking(ranked, asked.level),
        "chi_square": ranked.statistic,
        "least_significant_difference": ranked.least_difference,
        "rank_sums": [{"sample": sample, "rank_sum": rank_sum} for sample, rank_sum in ranked.rank_sums],
        "pairs": [pair._asdict() for pair in ranked.pairs],
    }


def _notes(found: Found) -> Iterator[Note]:
    asked = found.asked
    yield from panel_notes(asked.test, dough.METHODS.get(asked.test), asked.tasters, asked.level)
    if asked.test != dough.RANKING:
        yield note("forced_choice")
    if asked.sample and 2 * asked.right < asked.tasters:
        yield note("against_expected", sample=asked.sample)


def _show(show: Working, found: Found) -> None:
    asked, counted, ranked = found
    if counted is not None:
        show_counts(show, dough.METHODS[asked.test], counted, asked.level)
    if ranked is not None:
        show_ranking(show, ranked, asked.level)


TASTING_RESULT = Operation(
    name="tasting-result",
    summary="Evaluate a blind tasting",
    description="The exact chance of such answers by guessing, the fewest right answers that show a "
    "difference, the share of tasters who can really tell, with its interval, and what may "
    "be concluded. For a ranking: the rank sums, Friedman's test and the least significant "
    "difference.",
    request=TastingResultRequest,
    read=read,
    compute=compute,
    write=write,
    examples=(
        Example(
            "triangle",
            "Thirteen of twenty-four at Lantern Quay find the odd slice",
            {"test": "triangle", "tasters": 24, "right": 13},
        ),
        Example(
            "preference",
            "Twenty guests choose between two tin loaves",
            {
                "test": "paired",
                "tasters": 20,
                "chosen": {"plain tin loaf": 8, "tin loaf with honey": 12},
            },
        ),
        Example(
            "softness_expected",
            "More scald is expected to be softer",
            {
                "test": "paired",
                "tasters": 30,
                "chosen": {"20 % scalded": 9, "35 % scalded": 21},
                "hypothesis": "expected",
                "expected": "35 % scalded",
            },
        ),
        Example(
            "ranking",
            "Three shares ranked by softness, softest first",
            {
                "test": "ranking",
                "rankings": [
                    ["35 % scalded", "20 % scalded", "no scald"],
                    ["35 % scalded", "20 % scalded", "no scald"],
                    ["20 % scalded", "35 % scalded", "no scald"],
                    ["35 % scalded", "20 % scalded", "no scald"],
                    ["35 % scalded", "no scald", "20 % scalded"],
                    ["20 % scalded", "35 % scalded", "no scald"],
                    ["35 % scalded", "20 % scalded", "no scald"],
                    ["35 % scalded", "20 % scalded", "no scald"],
                    ["no scald", "35 % scalded", "20 % scalded"],
                    ["35 % scalded", "20 % scalded", "no scald"],
                ],
            },
        ),
    ),
)
