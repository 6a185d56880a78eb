"""What only the whole recipe shows: unknown sections, a scald used in part, the flour and yeast meant."""

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.line.scald_parts import without_parts_twice
from scaldloaf.importing.line.sponges import with_sponges
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.readings import INGREDIENT, MENTION, Reader, Reading, in_part, mention
from scaldloaf.importing.whole.bare_numbers import with_numbers_alone
from scaldloaf.importing.whole.beside_dough import (
    behind_a_whole_dough,
    beside_a_whole_dough,
    may_be_kneaded_in,
    runs_beside_a_dough,
    without_filling_behind,
)
from scaldloaf.importing.whole.contents import (
    additions,
    certain_by_heading,
    dough_by_contents,
    fillings,
    is_whole_dough,
    listed,
    others_are_dough,
    sublists,
)
from scaldloaf.importing.whole.mixed_in import with_mixed_in
from scaldloaf.importing.whole.no_amount import without_amount
from scaldloaf.importing.whole.other_sizes import is_other_size, without_other_sizes, without_other_versions
from scaldloaf.importing.whole.scald_aside import with_scald_aside
from scaldloaf.importing.whole.scald_twice import with_scald_once
from scaldloaf.importing.whole.soaked import with_soaked
from scaldloaf.importing.whole.things import listed_before_flour, thing_of
from scaldloaf.importing.whole.usual_amounts import unusual
from scaldloaf.importing.words.doubt import LIKELY, SCALD_NOT_LISTED, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import OUTSIDE, PACKET, heading_words
from scaldloaf.reference import INGREDIENTS

USED_WHOLE = 0.97  # a scald of which at least so much is used is used whole
_WHITE = frozenset(("bread_flour", "plain_flour", "high_gluten_flour"))
BARE_FLOUR, BARE_YEAST = "flour_kind", "yeast_kind"
YEAST_OR_POWDER = "yeast_or_baking_powder"
FRESH = "compressed_yeast"
LEAST_FRESH, LEAST_FRESH_ELSEWHERE = 0.018, 0.028  # of the flour; dry yeast is used at 0.5 to 2.5 %
LEAST_FRESH_BEER = 0.015  # of “lievito di birra”, which mostly means the fresh one
_FRESH_IN_SHOPS = frozenset(
    ("de", "fr", "es", "it")
)  # languages of places where fresh yeast is the usual one
MOST_OF_OTHER = 0.15  # of all flour, that plain “flour” is beside a named one, and the same
LEAST_FLOUR_G = 100.0  # of a flour that is not named as one
MOST_OF_ONE_LINE = 60  # characters of a line with one ingredient
MOST_IN_PACKETS_G = 22.0  # of dry yeast; a packet with so much is of fresh yeast
LEAST_FRESH_G = 15.0  # of yeast in a recipe whose flour has no mass
LEAST_AGAIN = 3  # lines of what is listed already


def settled(
    readings: list[Reading], reader: Reader, flour_is_said: bool, yeast_is_said: bool
) -> list[Reading]:
    """The readings, with what the whole recipe settles: above all their parts.

    Parameters
        readings : list[Reading]
        reader : Reader  what the recipe's lines share
        flour_is_said : bool  the caller says what plain flour is
        yeast_is_said : bool  the caller says what plain yeast is
    Returns
        list[Reading]
    """
    readings = without_other_versions(_heaviest_is_flour(with_scald_once(readings)))
    readings = with_mixed_in(fillings(dough_by_contents(others_are_dough(readings, reader.said))))
    readings = with_scald_aside(with_soaked(readings), reader.said)
    readings = with_numbers_alone(readings, reader)
    readings = _powder_beside_yeast(readings)
    if not yeast_is_said:
        readings = _yeast_by_amount(readings, reader.marks.lexicon.language)
    readings = _again(without_other_sizes(_twice(unusual(additions(without_amount(sublists(readings)))))))
    readings = behind_a_whole_dough(without_filling_behind(readings))
    readings = runs_beside_a_dough(beside_a_whole_dough(readings))
    if not flour_is_said:
        readings = _same_flour(readings)
    readings = without_parts_twice(readings)
    return certain_by_heading(readings)


def used_in_part(readings: list[Reading], reader: Reader) -> list[Reading]:
    """The readings, now that their parts are known: of a scald and a sponge what the recipe uses of it."""
    return with_sponges(_mentions(readings, reader))


def _heaviest_is_flour(readings: list[Reading]) -> list[Reading]:
    """In a dough with yeast and no flour, the one thing that is not known and outweighs all else: its flour.

    Such a flour is often named by its mill or brand only.
    """
    inside = [reading for reading in listed(readings) if reading.part == DOUGH]
    names = [reading.ingredient for reading in inside if reading.ingredient]
    if any(name.is_flour for name in names) or not any(name.yeast for name in names):
        return readings
    heaviest = max((reading.mass.best for reading in inside if reading.mass), default=0.0)
    unknown = [
        at
        for at, reading in enumerate(readings)
        if reading.weighed and reading.part == DOUGH and reading.weighed.best > max(heaviest, LEAST_FLOUR_G)
    ]
    if len(unknown) != 1:
        return readings
    (at,) = unknown
    flour, weighed = INGREDIENTS["bread_flour"], readings[at].weighed
    words = next((str(dict(each.values).get("words", "")) for each in readings[at].doubts), "")
    if weighed is None or not words:
        return readings
    read = readings[at]._replace(
        ingredient=flour,
        mass=weighed,
        doubts=(Doubt.of(UNSURE, "unknown_words", words=words, name=flour.label),),
        read_as=flour.label,
        expression=f"{weighed.best:.6g} g as written",
    )
    return [*readings[:at], read, *readings[at + 1 :]]


def _yeast_by_amount(readings: list[Reading], language: str) -> list[Reading]:
    """Plain “yeast” of so much of the flour as only fresh yeast is used, all lines of it together."""
    inside = listed(readings)
    flour = sum(
        reading.mass.best
        for reading in inside
        if reading.mass and reading.ingredient and reading.ingredient.is_flour
    )

    named = {
        reading.ingredient.name
        for reading in inside
        if reading.ingredient and reading.ingredient.yeast and not _is_bare_yeast(reading)
    }

    weighed = sum(
        reading.grams for reading in inside if _is_bare_yeast(reading) and "cm3" not in reading.expression
    )

    def meant(reading: Reading) -> Reading:
        if not reading.mass or not _is_bare_yeast(reading):
            return reading
        if not flour and (language not in _FRESH_IN_SHOPS or reading.mass.best < LEAST_FRESH_G):
            return reading
        least = LEAST_FRESH if language in _FRESH_IN_SHOPS else LEAST_FRESH_ELSEWHERE
        if language == "it" and reading.ingredient and reading.ingredient.name == FRESH:
            least = LEAST_FRESH_BEER
        is_much = weighed >= least * flour and "cm3" not in reading.expression
        fresh = is_much and not _is_in_packets(reading)
        name, code = FRESH if fresh else "instant_yeast", "yeast_by_amount"
        if named == {FRESH}:
            name, code = FRESH, "yeast_as_other"
        return _as_other(reading, name, BARE_YEAST, code)

    return [meant(reading) if reading.in_formula else reading for reading in readings]


def _is_in_packets(reading: Reading) -> bool:
    """Whether yeast comes in packets of a few grams, as only dry yeast does: ``2 x 7 g sachets``."""
    if len(reading.text) > MOST_OF_ONE_LINE:
        return False  # a whole list
    units = map(unit_of_word, heading_words(reading.text).split())
    return reading.grams <= MOST_IN_PACKETS_G and any(unit and unit.kind == PACKET for unit in units)


def _as_other(reading: Reading, name: str, doubted: str, code: str) -> Reading:
    """The reading of a name that may be several things as another of them, with the doubt of that code."""
    old, new = reading.ingredient, INGREDIENTS[name]
    if old is None or old is new or name not in reading.alternatives:
        return reading
    doubt = Doubt.of(LIKELY, code, name=new.label)
    return reading._replace(
        ingredient=new,
        doubts=tuple(doubt if each.code == doubted else each for each in reading.doubts),
        alternatives=(old.name, *(each for each in reading.alternatives if each != name)),
        read_as=reading.read_as.replace(old.label, new.label),
    )


def _powder_beside_yeast(readings: list[Reading]) -> list[Reading]:
    """The readings, what may be yeast or baking powder as powder beside another yeast: ``发酵粉 3g``.

    Not an amount by volume, which weighs what it was read as.
    """
    doubtful = {
        at for at, each in enumerate(readings) if any(doubt.code == YEAST_OR_POWDER for doubt in each.doubts)
    }
    inside = (each for at, each in enumerate(readings) if at not in doubtful and each.in_formula)
    if not doubtful or not any(each.ingredient and each.ingredient.yeast for each in inside):
        return readings
    return [
        _as_other(each, "baking_powder", YEAST_OR_POWDER, YEAST_OR_POWDER)
        if at in doubtful and "cm3" not in each.expression
        else each
        for at, each in enumerate(readings)
    ]


def _is_bare_yeast(reading: Reading) -> bool:
    return any(doubt.code == BARE_YEAST for doubt in reading.doubts)


def _again(readings: list[Reading]) -> list[Reading]:
    """A doubt about a list that starts again in one section: most of what follows is there already."""
    sections: dict[str, list[int]] = {}
    for at, reading in enumerate(readings):
        if reading.in_formula and reading.ingredient:
            sections.setdefault(reading.section, []).append(at)
    doubtful: set[int] = set()
    beside: set[int] = set()
    for places in sections.values():
        names = [thing_of(reading) for reading in map(readings.__getitem__, places)]
        start = next((at for at, name in enumerate(names) if name and name in names[:at]), len(names))
        again = sum(bool(name) and name in names[:start] for name in names[start:])
        if again >= LEAST_AGAIN and 2 * again > len(names) - start:
            doubtful.update(places[start:])
            doubtful.update(
                places[at] for at in listed_before_flour([readings[each] for each in places], start)
            )
            before, behind = (
                [each for at in part if (each := readings[at].ingredient)]
                for part in (places[:start], places[start:])
            )
            other_size = is_other_size(
                [readings[at] for at in places[:start]], [readings[at] for at in places[start:]]
            )
            is_other = not any(each.yeast for each in behind) and not may_be_kneaded_in(behind)
            if is_whole_dough(before) and (other_size or is_other):
                beside.update(places[start:])
        elif _starts_a_batter([readings[at] for at in places], start):
            doubtful.update(places[start:])
            beside.update(places[start:])
    doubt = Doubt.of(UNSURE, "starts_again")
    return [
        reading._replace(
            part=OUTSIDE if at in beside else reading.part, section_doubts=(*reading.section_doubts, doubt)
        )
        if at in doubtful
        else reading
        for at, reading in enumerate(readings)
    ]


def _starts_a_batter(listed: list[Reading], start: int) -> bool:
    """Whether flour that is listed again, behind a whole dough, may be that of a batter or a crust."""
    before, behind = (
        [each.ingredient for each in part if each.ingredient] for part in (listed[:start], listed[start:])
    )
    if len(behind) < LEAST_AGAIN or not behind[0].is_flour or listed[start].part != DOUGH:
        return False
    return is_whole_dough(before) and not any(each.yeast for each in behind)


def _twice(readings: list[Reading]) -> list[Reading]:
    """A doubt about yeast and salt listed twice in one section with the same amount."""
    seen: set[tuple[str, str, float]] = set()
    found: list[Reading] = []
    for reading in readings:
        if (
            reading.in_formula
            and reading.mass
            and reading.ingredient
            and (reading.ingredient.yeast or reading.ingredient.name == "salt")
        ):
            key = (reading.ingredient.name, reading.section, reading.mass.best)
            if key in seen:
                reading = reading._replace(doubts=(*reading.doubts, Doubt.of(UNSURE, "listed_twice")))
            seen.add(key)
        found.append(reading)
    return found


def _same_flour(readings: list[Reading]) -> list[Reading]:
    """Plain “flour” as the one flour that the recipe names elsewhere."""
    named = {
        reading.ingredient.name: reading.ingredient
        for reading in listed(readings)
        if reading.ingredient and reading.ingredient.name in _WHITE and not _is_bare(reading)
    }
    if len(named) != 1:
        return readings
    flour = next(iter(named.values()))
    label = flour.label
    beside = {
        reading.section
        for reading in listed(readings)
        if reading.ingredient is flour and not _is_bare(reading)
    }
    little = MOST_OF_OTHER * sum(
        reading.grams for reading in listed(readings) if reading.ingredient and reading.ingredient.is_flour
    )

    def meant(reading: Reading) -> Reading:
        if reading.section in beside and reading.grams > little and reading.part == DOUGH:
            return reading  # 260 g farina manitoba, 300 g farina
        if not _is_bare(reading) or flour.name not in (
            *reading.alternatives,
            reading.ingredient and reading.ingredient.name,
        ):
            return reading
        doubts = tuple(
            Doubt.of(LIKELY, "flour_as_other", name=label) if doubt.code == BARE_FLOUR else doubt
            for doubt in reading.doubts
        )
        old = reading.ingredient
        others = (
            *([old.name] if old and old is not flour else []),
            *(name for name in reading.alternatives if name != flour.name),
        )
        read_as = reading.read_as.replace(old.label, label) if old else label
        mass = reading.mass
        if (
            mass
            and old
            and old is not flour
            and mass.evidence != "exact"
            and old.density_g_per_cm3
            and flour.density_g_per_cm3
        ):
            share = flour.density_g_per_cm3 / old.density_g_per_cm3
            if f"{old.density_g_per_cm3:g} g/cm3" in reading.expression:
                mass = Estimate(mass.low * share, mass.best * share, mass.high * share, mass.evidence)
        expression = (
            reading.expression.replace(
                f"{old.density_g_per_cm3:g} g/cm3", f"{flour.density_g_per_cm3:g} g/cm3"
            )
            if old and old.density_g_per_cm3 and flour.density_g_per_cm3
            else reading.expression
        )
        return reading._replace(
            ingredient=flour,
            mass=mass,
            doubts=doubts,
            alternatives=others,
            read_as=read_as,
            expression=expression,
        )

    return [meant(reading) for reading in readings]


def _is_bare(reading: Reading) -> bool:
    return any(doubt.code in (BARE_FLOUR, "flour_as_other") for doubt in reading.doubts)


def _mentions(readings: list[Reading], reader: Reader) -> list[Reading]:
    """The scald named among the ingredients, now that its own lines are known; and how much of it is used."""
    scald_g = sum(reading.mass.best for reading in listed(readings) if reading.part == SCALD and reading.mass)
    if not scald_g:
        return readings
    used_g: float | None = None
    half = False
    changed: list[Reading] = []
    for reading in readings:
        if (
            reading.kind == INGREDIENT
            and reading.part == SCALD
            and reading.ingredient is None
            and any(each.code == SCALD_NOT_LISTED for each in reading.doubts)
        ):
            if reading.mass:
                used_g = (used_g or 0.0) + reading.mass.best
            half = half or reading.is_half
            reading = mention(reading)
        elif reading.kind == MENTION and reading.mass:
            used_g = (used_g or 0.0) + reading.mass.best
        changed.append(reading)
    used_g = used_g or reader.scald_used_g  # what a heading says, and a line of the dough, is one amount
    if half and not used_g:
        used_g = scald_g / 2
    if not used_g or used_g >= USED_WHOLE * scald_g:
        return changed
    share = used_g / scald_g
    doubt = Doubt.of(LIKELY, "scald_used_in_part", used_g=used_g, made_g=scald_g)

    def used(reading: Reading) -> Reading:
        if not (reading.in_formula and reading.part == SCALD and reading.mass):
            return reading
        return in_part(reading, share, doubt)._replace(scald_used_g=used_g, scald_made_g=scald_g)

    return [used(reading) for reading in changed]
