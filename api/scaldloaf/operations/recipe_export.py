"""recipe-export: a formula or a plan written as a recipe, in a language and the measures of a kitchen."""

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from scaldloaf.dough.formula import Breakdown, Formula, break_down
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.sugar_stages import check_stages
from scaldloaf.dough.temperature import FREEZING_DEGC, require_oven_temperature
from scaldloaf.exporting import forms
from scaldloaf.exporting.amounts import BOTH, US
from scaldloaf.exporting.recipe import Known, Mixing, Recipe, Scalding, recipe_of
from scaldloaf.exporting.vocabulary import WORDS, Words
from scaldloaf.operations import cautions, chain, loaf_plan, planned
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.lantern_quay import FIRST_BAKE, THREE_TINS, TIN_LOAF
from scaldloaf.operations.located import Place, located
from scaldloaf.operations.notes import AnyNote
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.recipe_export import CSV, JSON_LD, MARKDOWN, TEXT, RecipeExportRequest
from scaldloaf.operations.steps import Working
from scaldloaf.operations.sugar_budget import read_stages
from scaldloaf.operations.tables import csv_of
from scaldloaf.operations.wire.formulas import in_percent, read_formula, write_allergens
from scaldloaf.operations.wire.scald import Cooked, Poured, Treatment
from scaldloaf.operations.wire.timetable import read_tasks
from scaldloaf.operations.working.formula import formula_notes
from scaldloaf.operations.working.recipe_export import notes_of
from scaldloaf.operations.working.scaling import weigh_out_notes
from scaldloaf.reference import CAUTIONS

OF_A_PLAN = ("pans", "stages", "timetable")  # what a formula is sent with and a plan has itself
MEDIA_TYPES = {
    JSON_LD: "application/ld+json",
    MARKDOWN: "text/markdown",
    TEXT: "text/plain",
    CSV: "text/csv",
}


class Asked(NamedTuple):
    """A formula or a plan, and how it is to be written.

    by_percent: the formula came in percent only. known: what the request says besides; of a plan, its work
    and the oven. name: empty for the formula's own.
    """

    of: Formula | planned.Asked
    by_percent: bool
    known: Known
    form: str
    words: Words
    measures: str
    name: str
    with_cautions: bool


class Found(NamedTuple):
    """The recipe, and the formula and all else that it is of; plan: what a plan found."""

    asked: Asked
    known: Known
    formula: Formula
    breakdown: Breakdown
    recipe: Recipe
    cautions: list[str]
    plan: planned.Found | None


# ---- Reading -------------------------------------------------------------------------------------


def units_in(request: Wire) -> Wire:
    """The units of a request: its own, or those of its plan."""
    units: Wire = request.get("units") or request.get("plan", {}).get("units") or {}
    return units


def read(request: Wire, context: Context) -> Asked:
    filled = RecipeExportRequest.filled(request)
    _require_one(request)
    of: Formula | planned.Asked
    if "plan" in request:
        with located("plan"):
            of = loaf_plan.read(request["plan"], context)
    else:
        of = read_formula(request["formula"], context)
    return Asked(
        of=of,
        by_percent="formula" in request and in_percent(request["formula"]),
        known=_read_known(request, context),
        form=filled["format"],
        words=WORDS[filled["language"]],
        measures=filled["measures"],
        name=request.get("name", ""),
        with_cautions=filled["cautions"],
    )


def _require_one(request: Wire) -> None:
    """Refuse a request without formula and plan or with both, and what a plan has itself."""
    if ("formula" in request) == ("plan" in request):
        both = "plan" in request
        raise Refusal(
            "plan" if both else "formula",
            "one_input",
            "send a formula or a plan" + ", not both" * both,
        )
    if "formula" in request:
        return
    for field in OF_A_PLAN:
        if field in request:
            raise Refusal(field, "plan_has_its_own", "a plan has its own {field}", amounts={"field": field})
    own = request["plan"].get("units")
    if own is not None and request.get("units", own) != own:
        raise Refusal(
            "units", "other_units", "the plan has other units; leave these out, or send the same", nearest=own
        )


def _read_known(request: Wire, context: Context) -> Known:
    """What a request says besides the formula; of a plan, its work."""
    oven = context.from_wire(request.get("oven_temperature"), "temperature")
    if oven is not None:
        require_oven_temperature(oven, "oven_temperature")
    times = request.get("plan", request).get("timetable", {})
    known = Known(
        before=read_tasks(times.get("before", ())),
        after=read_tasks(times.get("after", ())),
        timed=bool(times),
        oven_c=oven,
    )
    if "plan" in request:
        return known
    stages = read_stages(request.get("stages", []), context)
    if stages:
        check_stages(stages)
    return known._replace(pans=request.get("pans"), stages=stages)


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    plan, known = None, asked.known
    if isinstance(asked.of, Formula):
        formula = asked.of
    else:
        with located("plan"):
            plan = loaf_plan.compute(asked.of)
        formula, known = _weighed(plan), _known_of(plan, known)
    if asked.name:
        formula = formula._replace(name=asked.name)
    breakdown = break_down(formula)
    codes = [*cautions.of_formula(formula), "core_temperature"]
    if known.stages:
        codes += cautions.of_warm_dough(formula)
    codes = cautions.in_order(codes)
    said = codes if asked.with_cautions else ()
    return Found(
        asked,
        known,
        formula,
        breakdown,
        recipe_of(formula, known, asked.measures, asked.words, said),
        codes,
        plan,
    )


def _weighed(plan: planned.Found) -> Formula:
    """The plan's formula as its scale can weigh it; a line that rounds to nothing is as it is."""
    formula = plan.scaled.scaling.formula
    weighed = plan.scaled.weighed.lines
    return formula._replace(
        lines=tuple(
            line if each.vanished else line._replace(mass_g=each.mass_g)
            for line, each in zip(formula.lines, weighed, strict=True)
        )
    )


def _known_of(plan: planned.Found, known: Known) -> Known:
    """What a plan knows besides its formula; known: its work and the oven."""
    asked = plan.asked
    return known._replace(
        pans=asked.filling.pans,
        dough_each_g=plan.filled.pan.filled.dough_mass_g.best,
        stages=asked.feeding.stages if asked.feeding else (),
        scalding=_scalding(
            asked.treatment, asked.tempering.at.temperatures.scald_c if asked.tempering else None
        ),
        mixing=_mixing(plan),
    )


def _scalding(how: Treatment | None, cooled_c: float | None) -> Scalding:
    if how is None:
        return Scalding(cooled_c=cooled_c)
    held = how.holding
    kept = Scalding(
        kept_hours=held.hours if held else None,
        kept_c=held.temperature_c if held else None,
        cooled_c=cooled_c,
    )
    match how.method:
        case Poured(liquid_c=liquid):
            return kept._replace(poured_c=liquid)
        case Cooked(core, minutes):
            return kept._replace(cooked_c=core, cooked_minutes=minutes)


def _mixing(plan: planned.Found) -> Mixing:
    """How warm the plan's water is, and the dough made with it.

    With ice it is the tap's; water that should be below freezing, with no ice to make it so, has none.
    """
    tempered, tempering = plan.tempered, plan.asked.tempering
    if tempered is None or tempering is None:
        return Mixing()
    dough = Mixing(dough_c=tempering.at.target_c)
    if tempered.ice_fraction and tempered.water_g:
        return dough._replace(ice_g=tempered.ice_fraction * tempered.water_g, tap_c=tempering.ice.tap_c)
    water_c = tempered.by_rule.water.best
    if water_c < FREEZING_DEGC:
        return dough
    in_dough = {line.ingredient.name: line.ingredient for line in plan.scaled.scaling.formula.lines}
    warmed = (in_dough[name] for name in tempering.at.adjust_with if name in in_dough)
    return dough._replace(warmed=tuple(warmed), warmed_c=water_c)


def places(asked: Asked, context: Context) -> Mapping[str, str | Place]:
    """Where what ``compute`` refuses is in the request."""
    if isinstance(asked.of, Formula):
        return {}
    found: dict[str, str | Place] = {}
    for name, place in chain.places(asked.of, context).items():
        found[f"plan.{name}"] = (
            place._replace(address=f"plan.{place.address}") if isinstance(place, Place) else f"plan.{place}"
        )
    return found


# ---- Writing -------------------------------------------------------------------------------------

_WRITERS: dict[str, Callable[[Recipe], str]] = {
    MARKDOWN: forms.markdown,
    TEXT: forms.plain_text,
    CSV: lambda recipe: csv_of(forms.table(recipe)).decode("utf-8"),
}


def write(found: Found, context: Context) -> Wire:
    asked, recipe, out = found.asked, found.recipe, context.units.to_wire
    minutes = recipe.times
    answer: Wire = {}
    if asked.form == JSON_LD:
        answer["recipe"] = forms.json_ld(recipe)
        text = forms.script_safe(answer["recipe"])
    else:
        text = _WRITERS[asked.form](recipe)
    answer |= {
        "text": text,
        "format": asked.form,
        "media_type": MEDIA_TYPES[asked.form],
        "language": recipe.words.language,
        "name": recipe.name,
        "makes": recipe.makes,
        "minutes": minutes._asdict(),
        "lines": [
            {
                "ingredient": line.of.ingredient.name,
                "part": line.of.part,
                "mass": out(line.of.mass_g, "mass"),
                "printed_mass": out(line.amount.mass_g, "mass"),
                "label": line.label,
                "amount": line.amount.text,
                "text": line.text,
            }
            for line in recipe.all_lines
        ],
        "allergens": write_allergens(found.formula.lines),
    }
    return context.reply(
        answer,
        lambda show: _show(show, found),
        basis=("mass_balance", *(source for code in found.cautions for source in CAUTIONS[code].sources)),
        cautions=found.cautions,
        notes=_notes(found, answer),
    )


def _notes(found: Found, answer: Wire) -> Iterator[AnyNote]:
    formula, recipe = found.formula, found.recipe
    if found.plan is not None:
        yield from weigh_out_notes(found.plan.scaled.weighed)
    yield from formula_notes(found.asked.by_percent, found.breakdown, formula)
    lines = answer["recipe"]["recipeIngredient"] if "recipe" in answer else answer["text"].split("\n")
    yield from notes_of(recipe, formula, sum(map(bool, lines)))


def _show(show: Working, found: Found) -> None:
    """What the lines come to as they are printed, and how the times add up."""
    printed = [line.amount.mass_g for line in found.recipe.all_lines]
    show.step(
        "All lines as printed",
        " + ".join(show.format(mass, "mass") for mass in printed),
        sum(printed),
        "mass",
    )
    before, known = found.recipe.times.prep, found.known
    if before is None:
        return
    shown = show.format
    work = [task.minutes for task in known.before] + [stage.minutes for stage in known.stages]
    show.step("Before the oven", " + ".join(map(shown, work)), before, unit="minutes")
    after = [task.minutes for task in known.after]
    total = " + ".join(map(shown, (before, *after)))
    show.step("In all", total, before + sum(after), unit="minutes")


RECIPE_EXPORT = Operation(
    name="recipe-export",
    summary="Write a formula or a plan as a recipe",
    description="Writes a schema.org Recipe (JSON-LD), Markdown, plain text or CSV, in English, German, "
    "Japanese or Chinese (both scripts), with metric measures, those of the United States, or both. Its "
    "steps say what the formula or the plan holds and what is common practice, and nothing else; it has no "
    "nutrition figures. recipe-import reads the ingredients back, their masses as printed.",
    request=RecipeExportRequest,
    read=read,
    compute=compute,
    write=write,
    places=places,
    units=units_in,
    examples=(
        Example(
            "plan_for_a_recipe_page",
            "The plan for three lidded tins as a schema.org Recipe",
            {"plan": THREE_TINS, "format": JSON_LD, "oven_temperature": 200},
        ),
        Example(
            "formula_in_both_measures",
            "The Lantern Quay tin loaf as Markdown, in grams and in ounces and spoons",
            {
                "formula": TIN_LOAF,
                "format": MARKDOWN,
                "measures": BOTH,
                "pans": 2,
                "stages": THREE_TINS["stages"],
            },
        ),
        Example(
            "leaflet_in_german",
            "The same as a leaflet in German, without the cautions",
            {
                "formula": TIN_LOAF,
                "format": TEXT,
                "language": "de",
                "name": "Lantern-Quay-Kastenbrot",
                "cautions": False,
            },
        ),
        Example(
            "first_bake_as_a_table",
            "A plan in ounces as a table in Japanese",
            {
                "units": FIRST_BAKE["units"],
                "plan": FIRST_BAKE,
                "format": CSV,
                "language": "ja",
                "measures": US,
            },
        ),
    ),
)
