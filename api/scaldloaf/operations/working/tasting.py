"""The steps of a tasting, the notes on it, and what may be concluded."""

from collections.abc import Iterator

from scaldloaf.dough.tasting import DUO_TRIO, PAIRED, RANKING, TRIANGLE, Counted, Level, Method, Ranked
from scaldloaf.dough.tasting.binomial import fewest_tasters
from scaldloaf.dough.tasting.methods import TASTING_FEW_TASTERS
from scaldloaf.dough.tasting.ranking import TASTING_FRIEDMAN_TASTERS
from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.steps import Working, format_number

TEXTS = {
    "alike_slice": "Serve slices of one thickness from the middle of the loaves, without ends, and cut off "
    "crusts that give a sample away.",
    "alike_temperature": "Serve all samples at the same temperature.",
    "alike_day": "Bake the samples on one day, in one oven, cool them alike and taste them at the same age.",
    "alike_cover": "Hide what the test does not ask about: plain plates, one light, codes only. Whoever "
    "serves does not know which code is which bread.",
    "one_person_once": "Each taster is one person. The same person tasting twice is not two tasters, so "
    "count everyone once.",
    "few_tasters": "With fewer than {few} tasters only a large difference is likely to show. If none shows, "
    "that says little.",
    "cannot_show": "{tasters} tasters cannot show a difference at a risk of {significance} %, even if "
    "all are right. You need at least {least}.",
    "orders_uneven": "The {orders} orders of serving cannot come equally often with {tasters} tasters; "
    "with {even} they can.",
    "power_unknown": "How likely the test is to show a difference depends on its size. Send "
    "discriminators_percent, the share of tasters who should be able to tell, and the "
    "reply has the power.",
    "ranking_power": "The power of a ranking is not calculated, as it depends on how each sample differs. "
    "More tasters show smaller differences.",
    "expected_beforehand": "Name the expected sample before the tasting, for a reason that is known then. "
    "After it only a two-sided test is honest, and a preference is always two-sided.",
    "forced_choice": "Everyone answers, and a guess is an answer. An answer left out, or counted as no "
    "difference, spoils the test.",
    "against_expected": "{sample} was expected, and the other sample was chosen more often. This test "
    "cannot show that; taste again with a two-sided one.",
    "friedman_approximate": "With fewer than about {few} tasters the chance of a ranking is approximate.",
}

note = NotesOf(TEXTS)

INSTRUCTIONS = {
    TRIANGLE: "Two of the three are the same bread. Taste them from left to right, and write down the code "
    "of the odd one. If you can't tell, guess.",
    DUO_TRIO: "Taste the reference first, then the two others from left to right. Write down the code of "
    "the one that is the same bread as the reference. If you can't tell, guess.",
    PAIRED: "Taste both from left to right, and write down the code of the one you choose. If you can't "
    "decide, guess.",
    RANKING: "Taste all from left to right. Then write down their codes in order, first place first, no two "
    "in one place.",
}

_RARE = " in {chance} % of tastings, no more than the {significance} % allowed, so "
_COMMON = " in {chance} % of tastings, more than the {significance} % allowed, so "
_RIGHT = "{right} of {tasters} answers are right. Guessing alone comes to that many or more"
_CHOSEN = "{sample} was chosen by {right} of {tasters}. Choosing by chance comes to {clearer}"
_AGREE = "If no taster could tell the samples apart, rankings would agree this closely"
_NOT_ALIKE = (
    "no difference is shown. That does not make the breads alike: up to {high} % of such tasters may still "
)
CONCLUSIONS = {
    (TRIANGLE, True): (
        f"{_RIGHT}{_RARE}tasters can tell the two breads apart. The test does not say which is better, or "
        "what differs."
    ),
    (TRIANGLE, False): f"{_RIGHT}{_COMMON}{_NOT_ALIKE}tell them apart.",
    (PAIRED, True): (
        f"{_CHOSEN}{_RARE}more tasters choose {{sample}}. That holds for the question asked and for tasters "
        "like these, and does not say how large the difference is."
    ),
    (PAIRED, False): f"{_CHOSEN}{_COMMON}{_NOT_ALIKE}choose one of them for a reason.",
    (RANKING, True): f"{_AGREE}{_RARE}the samples differ. {{pairs}} The ranks do not say by how much.",
    (RANKING, False): (
        f"{_AGREE}{_COMMON}no difference is shown, and no two samples may be called different, whatever "
        "their rank sums. That does not make them alike."
    ),
}
_CLEARER = {True: "a split so uneven", False: "that many or more"}


def few(number: float) -> str:
    """A number for a sentence: three digits, and no row of zeros."""
    return "less than 0.001" if 0 < number < 0.001 else format_number(float(f"{number:.3g}"))


def conclusion_of_counts(test: str, counted: Counted, level: Level, sample: str) -> str:
    """What may be concluded, in a sentence.

    Parameters
        test : str  PAIRED, or one of those with a right answer
        counted : Counted
        level : Level
        sample : str  the one whose choices are counted, in a paired comparison
    Returns
        str
    """
    return CONCLUSIONS[PAIRED if test == PAIRED else TRIANGLE, counted.shown].format(
        right=counted.right,
        tasters=counted.tasters,
        chance=few(100 * counted.p_value),
        significance=few(level.significance_percent),
        high=few(counted.discriminators.high),
        sample=sample,
        clearer=_CLEARER[level.two_sided],
    )


def conclusion_of_ranking(ranked: Ranked, level: Level) -> str:
    told = [f"{pair.first} from {pair.second}" for pair in ranked.pairs if pair.shown]
    pairs = f"Told apart: {', '.join(told)}." if told else "No single pair is told apart."
    return CONCLUSIONS[RANKING, ranked.shown].format(
        chance=few(100 * ranked.p_value), significance=few(level.significance_percent), pairs=pairs
    )


# ---- Notes -----------------------------------------------------------------------------------------


def plan_notes() -> Iterator[Note]:
    """What to keep alike."""
    for code in ("alike_slice", "alike_temperature", "alike_day", "alike_cover"):
        yield note(code)


def panel_notes(test: str, method: Method | None, tasters: int, level: Level) -> Iterator[Note]:
    """Who is counted, and whether they are enough.

    Parameters
        test : str
        method : Method or None  None: a ranking
        tasters : int
        level : Level
    Returns
        Iterator[Note]
    """
    yield note("one_person_once")
    if method is None:
        if tasters < TASTING_FRIEDMAN_TASTERS:
            yield note("friedman_approximate", few=(TASTING_FRIEDMAN_TASTERS, None))
        return
    least = fewest_tasters(method.one_in, level.of_one_side)
    if tasters < least:
        risk = (level.significance_percent, None)
        yield note("cannot_show", tasters=tasters, significance=risk, least=least)
    if tasters < TASTING_FEW_TASTERS:
        yield note("few_tasters", few=(TASTING_FEW_TASTERS, None))
    if test == PAIRED and not level.two_sided:
        yield note("expected_beforehand")


# ---- Steps -----------------------------------------------------------------------------------------


def show_fewest(show: Working, method: Method, fewest_right: int | None, tasters: int, level: Level) -> None:
    """The step to the fewest right answers; none where all right are not enough.

    Parameters
        show : Working  the steps are added to
        method : Method
        fewest_right : int or None  None: all right are not enough
        tasters : int
        level : Level
    """
    if fewest_right is not None:
        show.step(
            "Fewest right answers that show a difference",
            f"the fewest of {tasters} that guessing 1 in {method.one_in} reaches in at most "
            f"{show.format(float(100 * level.of_one_side))} % of tastings",
            fewest_right,
        )


def show_counts(show: Working, method: Method, counted: Counted, level: Level) -> None:
    """The steps from the counts to the chance of such answers by guessing, and to who really tells.

    Parameters
        show : Working  the steps are added to
        method : Method
        counted : Counted
        level : Level
    """
    shown, right, tasters, one_in = show.format, counted.right, counted.tasters, method.one_in
    show.step(
        "Chance of so uneven a split" if level.two_sided else "Chance of so many right by guessing",
        f"{right} or more of {tasters} for either sample, chosen by chance"
        if level.two_sided
        else f"{right} or more right of {tasters}, guessing 1 in {one_in}",
        100 * counted.p_value,
        unit="%",
    )
    show_fewest(show, method, counted.fewest_right, tasters, level)

    def telling(label: str, share: str, value: float) -> None:
        show.step(label, f"the larger of 0 and {share} ÷ (1 − 1 ÷ {one_in})", value, unit="% of tasters")

    telling("Tasters who tell", f"100 × ({right} ÷ {tasters} − 1 ÷ {one_in})", counted.discriminators.best)
    risk = level.of_one_side
    low, high = (100 * share for share in counted.share_interval)
    percent = shown(float(100 * risk))
    show.step(
        "Lowest share of right answers that fits",
        f"the share at which {right} or more of {tasters} comes to {percent} %",
        low,
        unit="%",
    )
    telling("Tasters who tell, low end", f"({shown(low)} − 100 ÷ {one_in})", counted.discriminators.low)
    show.step(
        "Highest share of right answers that fits",
        f"the share at which {right} or fewer of {tasters} comes to {percent} %",
        high,
        unit="%",
    )
    telling("Tasters who tell, high end", f"({shown(high)} − 100 ÷ {one_in})", counted.discriminators.high)


def show_least_difference(
    show: Working, samples: int, tasters: int, normal_quantile: float, least_difference: float, percent: float
) -> None:
    """The steps to the difference of rank sums from which two samples are told apart.

    Parameters
        show : Working  the steps are added to
        samples, tasters : int
        normal_quantile : float
        least_difference : float  of rank sums
        percent : float  [%] the risk in either direction
    """
    shown = show.format
    show.step(
        "Normal quantile",
        f"passed in either direction in {shown(percent)} % of cases",
        normal_quantile,
    )
    show.step(
        "Least significant difference of rank sums",
        f"{shown(normal_quantile)} × √({tasters} × {samples} × {samples + 1} ÷ 6)",
        least_difference,
    )


def show_ranking(show: Working, ranked: Ranked, level: Level) -> None:
    shown, samples, tasters = show.format, len(ranked.rank_sums), ranked.tasters
    for sample, rank_sum in ranked.rank_sums:
        show.step(f"Rank sum of {sample}", "its places added", rank_sum)
    squares = " + ".join(f"{rank_sum}²" for _, rank_sum in ranked.rank_sums)
    show.step(
        "Friedman's chi-square",
        f"12 ÷ ({tasters} × {samples} × {samples + 1}) × ({squares}) − 3 × {tasters} × {samples + 1}",
        ranked.statistic,
    )
    show.step(
        "Chance that rankings agree this closely",
        f"chi-square of {shown(ranked.statistic)} or more with {samples - 1} degrees of freedom",
        100 * ranked.p_value,
        unit="%",
    )
    show_least_difference(
        show,
        samples,
        tasters,
        ranked.normal_quantile,
        ranked.least_difference,
        level.significance_percent,
    )
