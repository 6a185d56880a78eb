"""loaf-plan: the whole chain in one context, made of the single calls and nothing else.

Each step builds the request of a single context, runs that context, and hands its answer on to the next;
the reply embeds both, so that any step can be redone by itself.
"""

from collections.abc import Mapping
from math import ceil, floor

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT
from scaldloaf.dough.per_flour import HOLD_DOUGH
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import DOUGH_MASS, share_left
from scaldloaf.dough.timetable import timetable
from scaldloaf.operations.context import Context
from scaldloaf.operations.dough_temperature import DOUGH_TEMPERATURE
from scaldloaf.operations.hydration_correction import HYDRATION_CORRECTION
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.least_certain import write_least_certain
from scaldloaf.operations.located import located
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.pan_fill import PAN_FILL
from scaldloaf.operations.scald_preparation import (
    SCALD_PREPARATION,
    read_tasks,
    timetable_notes,
    write_timetable,
)
from scaldloaf.operations.scaling import SCALING, read_losses
from scaldloaf.operations.schemas.dough_temperature import TapAndIce
from scaldloaf.operations.schemas.hydration_correction import WantedWater
from scaldloaf.operations.schemas.loaf_plan import LoafPlanLosses, LoafPlanRequest
from scaldloaf.operations.schemas.pan_fill import PansToFill
from scaldloaf.operations.schemas.scald_preparation import ScaldTreatment
from scaldloaf.operations.schemas.sugar_budget import YeastAndFlour
from scaldloaf.operations.sugar_budget import SUGAR_BUDGET
from scaldloaf.operations.working.steps import Working, format_number
from scaldloaf.reference import CAUTIONS

# Fields that the plan has from single calls, each under its own name.
_CORRECTION, _FILL, _SUGAR, _SCALD, _ICE = (
    tuple(shared.declared()) for shared in (WantedWater, PansToFill, YeastAndFlour, ScaldTreatment, TapAndIce)
)
_ALWAYS = (HYDRATION_CORRECTION, PAN_FILL, SCALING)
_SUGAR_IN_SHORT = ("free_sugar_spent_hours", "sweetness_percent", "assessment")


def _field(operation: Operation) -> str:
    return operation.name.replace("-", "_")


def _without(fields: dict, *names: str) -> dict:
    return {name: field for name, field in fields.items() if name not in names}


# ---- The chain ------------------------------------------------------------------------------------


class _Chain:
    """The single calls made so far: what was asked and what was answered."""

    def __init__(self, wire: dict, context: Context):
        self.wire, self.context = wire, context
        self.losses = wire.get("losses", {})  # as given: what is left out, the single calls fill in
        self.units = {"units": wire["units"]} if "units" in wire else {}
        self.requests: dict[str, dict] = {}
        self.parts: dict[str, dict] = {}

    def given(self, *names: str) -> dict:
        return {name: self.wire[name] for name in names if name in self.wire}

    def loss(self, name: str, at: str) -> dict:
        """A loss of the request under the name that a single call has for it."""
        return {at: self.losses[name]} if name in self.losses else {}

    def ask(
        self, operation: Operation, request: dict, moved: Mapping[str, str], own_formula: bool = False
    ) -> dict:
        """Run a single call. moved: its fields to the plan's, where they differ; own_formula: it gets the
        caller's formula and not one that the plan has made."""
        request = {**self.units, **request}
        try:
            reply = operation.answer(request, self.context)
        except Refusal as refusal:
            _point_into_plan(refusal, moved, own_formula)
            raise
        self.requests[_field(operation)], self.parts[_field(operation)] = request, reply
        return reply


def _point_into_plan(refusal: Refusal, moved: Mapping[str, str], own_formula: bool = False) -> None:
    """Let a single call's refusal name a field of the plan.

    The lines of a formula that the plan has made are not the caller's: then the formula is named as a
    whole, and no line's value is repeated.
    """
    first, *rest = refusal.argument.split(".")
    if first == "formula" and not own_formula:
        refusal.argument, refusal.given, refusal.nearest = ".".join([first, *rest[:1]]), None, None
        return
    for start, place in moved.items():
        if refusal.argument == start or refusal.argument.startswith(start + "."):
            refusal.argument = place + refusal.argument[len(start) :]
            return


_BAKE_LOSS = {"bake_loss_percent": "losses.bake_percent"}


def _correct(chain: _Chain) -> dict:
    """Share and water, the dough mass held."""
    return chain.ask(
        HYDRATION_CORRECTION,
        {
            **chain.given("formula", *_CORRECTION, "calibration"),
            "hold": HOLD_DOUGH,
            **chain.loss("bake_percent", "bake_loss_percent"),
        },
        _BAKE_LOSS,
        own_formula=True,
    )


def _fill(chain: _Chain, corrected: dict) -> dict:
    """Dough for the pans, and the corrected formula scaled to it."""
    wire, moved, bread = chain.wire, _BAKE_LOSS, chain.wire.get("bread", {"kind": "prior"})
    if "calibration" in wire and "bread" not in wire:
        bread = {"kind": "calibration", "calibration": wire["calibration"]}
        moved = {**moved, "bread.calibration": "calibration"}
    optimum = corrected["optimum_hydration_percent"]["best"]
    try:
        return chain.ask(
            PAN_FILL,
            {
                "pan": wire["pan"],
                "bread": bread,
                "formula": corrected["formula"],
                **chain.given(*_FILL),
                "hydration_off_optimum_points": corrected["hydration_percent"] - optimum,
                **chain.loss("bake_percent", "bake_loss_percent"),
            },
            moved,
        )
    except Refusal as refusal:
        if refusal.argument == "hydration_off_optimum_points":
            refusal.argument, refusal.given = "hydration_percent", wire.get("hydration_percent")
            refusal.nearest = None if refusal.nearest is None else optimum + refusal.nearest
        elif refusal.argument == "pans" and refusal.nearest:  # what handling loses must be mixed too
            left = share_left(read_losses(chain.losses), baked=False)
            refusal.nearest = floor(refusal.nearest * left) or None
        raise


def _scale(chain: _Chain, filled: dict) -> dict:
    """What to mix, handling loss counted, and its weigh-out."""
    handling = chain.loss("handling_percent", "handling_percent")
    target = {"kind": DOUGH_MASS, "mass": filled["total_dough_mass"]["best"]}
    try:
        return chain.ask(
            SCALING,
            {
                "formula": filled["formula"],
                "target": target,
                **({"losses": handling} if handling else {}),
                **chain.given("scale"),
            },
            {"target.mass": "pans"},
        )
    except Refusal as refusal:
        if refusal.argument == "pans":
            _count_in_pans(refusal, filled["pans"])
        raise


def _count_in_pans(refusal: Refusal, pans: int) -> None:
    """A batch that is too large or too small, told as a number of pans."""
    if refusal.nearest is not None:
        times = refusal.nearest / refusal.given
        refusal.nearest = (floor if times < 1 else ceil)(pans * times) or None
    refusal.given, refusal.quantity = pans, None


def _feed(chain: _Chain, formula: dict, filled: dict) -> dict | None:
    """The yeast's sugar through the stages; None without stages."""
    if "stages" not in chain.wire:
        return None
    return chain.ask(
        SUGAR_BUDGET,
        {
            "formula": formula,
            **chain.given("stages", *_SUGAR),
            "bake_loss_percent": filled["bake_loss_percent"]["best"],
        },
        _BAKE_LOSS,
    )


def _tasks(wire: dict) -> dict | None:
    """The whole timetable of a request: the work before, the stages, the work after; None without one."""
    given = wire.get("timetable")
    if given is None:
        return None
    stages = [
        {"name": stage.get("name") or f"stage {number}", "minutes": stage["minutes"]}
        for number, stage in enumerate(wire.get("stages", ()), 1)
    ]
    return {
        **_without(given, "before", "after"),
        "stages": [*given.get("before", ()), *stages, *given["after"]],
    }


_MOVED_TIMETABLE = {"timetable.stages": "timetable"}


def _prepare(chain: _Chain, formula: dict, share_percent: float, tasks: dict | None) -> dict | None:
    scald = chain.wire.get("scald")
    if scald is None or not share_percent:
        return None
    timed = {} if tasks is None else {"timetable": tasks}
    return chain.ask(
        SCALD_PREPARATION,
        {"scald": {"kind": "formula", "formula": formula}, **scald, **timed},
        {**{name: f"scald.{name}" for name in _SCALD}, **_MOVED_TIMETABLE},
    )


def _timed(chain: _Chain, tasks: dict | None, prepared: dict | None) -> list[dict]:
    """The timetable: scald-preparation's, or by the same function where there is no scald to prepare."""
    if tasks is None:
        return []
    if prepared is not None:
        return prepared["timetable"]
    with located("timetable", tasks="timetable"):
        return write_timetable(timetable(read_tasks(tasks), tasks.get("ready_at")))


def _has_scald(formula: dict) -> bool:
    return any(line["part"] == SCALD and line["mass"] for line in formula["lines"])


def _temper(chain: _Chain, formula: dict) -> dict | None:
    given = chain.wire.get("temperatures")
    if given is None:
        return None
    unused = () if _has_scald(formula) else ("scald_temperature",)
    return chain.ask(
        DOUGH_TEMPERATURE,
        {
            "rule": {"kind": "heat_balance", "formula": formula, **_without(given, *_ICE, *unused)},
            **{name: given[name] for name in _ICE if name in given},
        },
        {"rule": "temperatures", **{name: f"temperatures.{name}" for name in _ICE}},
    )


# ---- Cautions and notes ---------------------------------------------------------------------------

# In the order of the steps they belong to: scald, mixing to proof, pan and oven, loaf.
CAUTION_ORDER = (
    "hot_scald",
    "scald_cooling",
    "raw_flour",
    "allergens",
    "allergen_contact",
    "perishable_dough",
    "overfilled_pan",
    "core_temperature",
    "acrylamide",
    "hot_pan",
    "rope_spoilage",
    "refrigerator_stales",
    "net_weight",
    "bread_identity",
    "no_nutrition_claim",
    "no_shelf_life_claim",
    "honey_infants",
)
_OF_BAKING = ("core_temperature", "acrylamide", "rope_spoilage")


def _cautions(chain: _Chain) -> list[str]:
    """The cautions of all parts and of baking, each once, in order."""
    codes = {caution["code"] for part in chain.parts.values() for caution in part["cautions"]}
    codes.update(_OF_BAKING)
    if any(line["ingredient"] == "honey" for line in chain.wire["formula"]["lines"]):
        codes.add("honey_infants")
    return sorted(codes, key=CAUTION_ORDER.index)


_LEFT_OUT = {
    "stages": (
        "no_stages",
        "No stages were given, so the sugar is not reckoned: give their minutes and "
        "dough temperatures from mixing to the oven.",
    ),
    "temperatures": (
        "no_temperatures",
        "No temperatures were given, so the water temperature is not "
        "reckoned: give the dough temperature wanted, the flour's, the scald's, and the rise in "
        "the mixer.",
    ),
    "timetable": (
        "no_timetable",
        "No timetable was asked for: give the work before and after the stages, "
        "and when the bread must be out.",
    ),
}
_NO_METHOD = (
    "no_scald_method",
    "How the scald is made was not said, so whether it gelatinises is not reckoned: give scald.method.",
)
_NO_SCALD = (
    "no_scald",
    "The bread has no scald at this share, so what was given for it (scald, scald_temperature) is not used.",
)
_BREAD_BEATS = (
    "bread_beside_calibration",
    "A known bread and a calibration were both given: the dough mass "
    "is reckoned from the bread, the water from the calibration.",
)
_BREAD_ONLY = (
    "calibration_of_bread_only",
    "The calibration was given as the bread, so only the dough mass "
    "is reckoned from it; give it as calibration for the water too.",
)
_PROOF_LONGER = (
    "proof_longer",
    "With more of the flour scalded the proof takes longer. By how much is not "
    "published; your own trials can tell, when they note its minutes. The stages are taken as "
    "given.",
)


def _own_notes(chain: _Chain) -> list[tuple[str, str]]:
    wire, corrected = chain.wire, chain.parts["hydration_correction"]
    notes = [note for name, note in _LEFT_OUT.items() if name not in wire]
    if corrected["after"]["scalded_share_percent"]:
        if "scald" not in wire:
            notes.append(_NO_METHOD)
    elif "scald" in wire or "scald_temperature" in wire.get("temperatures", {}):
        notes.append(_NO_SCALD)
    bread_kind = wire.get("bread", {}).get("kind")
    if bread_kind == "calibration" and "calibration" not in wire:
        notes.append(_BREAD_ONLY)
    elif bread_kind not in (None, "calibration") and "calibration" in wire:
        notes.append(_BREAD_BEATS)
    if corrected["after"]["scalded_share_percent"] > corrected["before"]["scalded_share_percent"]:
        notes.append(_PROOF_LONGER)
    reckoned = chain.parts["pan_fill"]["bake_loss_percent"]["best"]
    if "bake_percent" not in chain.losses and reckoned != BAKE_LOSS_LIDDED_PERCENT.value:
        notes.append(
            (
                "crumb_at_usual_loss",
                f"The change of crumb moisture is reckoned with {format_number(BAKE_LOSS_LIDDED_PERCENT.value)} % bake "
                f"loss, all else with {format_number(reckoned)} %; give losses.bake_percent to have one for "
                "all.",
            )
        )
    if "timetable" in wire and "scald_preparation" not in chain.parts:
        notes += timetable_notes(wire["timetable"].get("ready_at"))
    return notes


# ---- The answer -----------------------------------------------------------------------------------


def _show(show: Working, chain: _Chain) -> None:
    """The main numbers in a row; how each came about is in the working of its part."""
    shown, from_wire, parts = show.format, show.units.from_wire, chain.parts
    corrected, filled, scaled = (parts[_field(operation)] for operation in _ALWAYS)
    before, after = corrected["before"], corrected["after"]

    def mass(value: float) -> str:
        return shown(from_wire(value, "mass"), "mass")

    optimum = corrected["optimum_hydration_percent"]["best"]
    show.step(
        "Optimum hydration",
        f"from {shown(before['hydration_percent'])} at {shown(before['scalded_share_percent'])} % scalded "
        f"to {shown(after['scalded_share_percent'])} %",
        optimum,
        unit="% of flour",
    )
    if corrected["hydration_percent"] != optimum:
        show.step("Hydration used", "as asked for", corrected["hydration_percent"], unit="% of flour")
    per_pan, total = filled["dough_mass"]["best"], filled["total_dough_mass"]["best"]
    loaf = show.metric(from_wire(filled["loaf_volume"], "volume"), "volume")
    one_pan = (
        f"{loaf} ÷ ({shown(filled['specific_volume']['best'])} cm³/g × "
        f"(1 − {shown(filled['bake_loss_percent']['best'])} ÷ 100))"
    )
    per_pan_g = from_wire(per_pan, "mass")
    show.step("Dough for one pan", show.ending(one_pan, per_pan_g, "mass"), per_pan_g, "mass")
    show.step("Dough for all pans", f"{filled['pans']} × {mass(per_pan)}", from_wire(total, "mass"), "mass")
    handling = LoafPlanLosses.filled(chain.losses)["handling_percent"]
    left = f" ÷ (1 − {shown(handling)} ÷ 100)" if handling else ", nothing lost in handling"
    show.step("Dough to mix", f"{mass(total)}{left}", from_wire(scaled["dough_mass"], "mass"), "mass")
    scald = [line["mass"] for line in scaled["weigh_out"] if line["part"] == SCALD]
    if scald:
        show.step(
            "Of it to weigh for the scald",
            " + ".join(map(mass, scald)),
            from_wire(sum(scald), "mass"),
            "mass",
        )
    if "dough_temperature" in parts:
        water = parts["dough_temperature"]["water_temperature"]["best"]
        show.step(
            "Water temperature",
            "by the heat balance of what is mixed",
            from_wire(water, "temperature"),
            "temperature",
        )
    if "sugar_budget" in parts:
        show.step(
            "Sweetness of the bread, as sucrose",
            "what the stages leave of the sugars",
            parts["sugar_budget"]["sweetness_percent"]["best"],
            unit="% of bread",
        )


def run(request: dict, context: Context) -> dict:
    chain = _Chain(request, context)
    corrected = _correct(chain)
    filled = _fill(chain, corrected)
    scaled = _scale(chain, filled)
    formula, share = scaled["formula"], corrected["after"]["scalded_share_percent"]
    fed = _feed(chain, formula, filled)
    tasks = _tasks(request)
    prepared = _prepare(chain, formula, share, tasks)
    timed = _timed(chain, tasks, prepared)
    tempered = _temper(chain, formula)
    weigh_out = {
        part: [line for line in scaled["weigh_out"] if line["part"] == part] for part in (SCALD, DOUGH)
    }

    answer = {
        "formula": formula,
        "weigh_out": {**weigh_out, "total": scaled["weigh_out_total"]},
        "dough_mass": filled["dough_mass"],
        "pans": filled["pans"],
        "total_dough_mass": filled["total_dough_mass"],
        "mixed_dough_mass": scaled["dough_mass"],
        "scalded_share_percent": share,
        "hydration_percent": corrected["hydration_percent"],
        "optimum_hydration_percent": corrected["optimum_hydration_percent"],
        "assessment": corrected["assessment"],
        "water_temperature": tempered and tempered["water_temperature"],
        "sugar": fed and {name: fed[name] for name in _SUGAR_IN_SHORT},
        "timetable": timed,
        "least_certain": write_least_certain(
            chain.parts, chain.requests["pan_fill"]["bread"]["kind"], "calibration" in request, context
        ),
        "parts": chain.parts,
        "requests": chain.requests,
    }
    basis, notes = [], []
    if context.full:
        for part in chain.parts.values():
            basis += part["basis"]
            notes += ((note["code"], note["text"]) for note in part["notes"])
        basis += (source for code in _OF_BAKING for source in CAUTIONS[code].sources)
        notes = [*_own_notes(chain), *notes]
    return context.reply(
        answer, lambda show: _show(show, chain), basis=basis, cautions=_cautions(chain), notes=notes
    )


_LIDDED_TIN = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
_THREE_TINS = {
    "formula": TIN_LOAF,
    "scalded_share_percent": 35,
    "pan": _LIDDED_TIN,
    "pans": 3,
    "bread": {
        "kind": "reference_loaf",
        "dough_mass": 440,
        "loaf_volume": 1714.75,
        "bake_loss_percent": 10.5,
        "scalded_share_percent": 20,
    },
    "losses": {"handling_percent": 2, "bake_percent": 10.5},
    "scale": {"resolution": 1, "fine_resolution": 0.1},
    "stages": [
        {"name": "bulk", "minutes": 60, "temperature": 27},
        {"name": "bench", "minutes": 25, "temperature": 27},
        {"name": "proof", "minutes": 65, "temperature": 32},
    ],
    "scald": {
        "method": {"kind": "pour_over", "flour_temperature": 21, "liquid_temperature": 99},
        "holding": {"hours": 12, "temperature": 4},
    },
    "temperatures": {
        "target": 27,
        "flour_temperature": 21,
        "scald_temperature": 20,
        "temperature_rise": 4,
        "adjust_with": ["water", "whole_milk"],
    },
    "timetable": {
        "ready_at": "2026-12-01T07:00+01:00",
        "before": [
            {"name": "make scald", "minutes": 15},
            {"name": "cool scald", "minutes": 720},
            {"name": "mix", "minutes": 15},
        ],
        "after": [{"name": "bake", "minutes": 35}, {"name": "cool", "minutes": 90}],
    },
}
_BY_CALIBRATION = {
    "formula": TIN_LOAF,
    "scalded_share_percent": 30,
    "pan": {"kind": "volume", "volume": 1750},
    "pans": 6,
    "calibration": {
        "version": 1,
        "log_specific_volume": 1.42,
        "share_volume_loss": 0.31,
        "water_slope": 0.27,
        "covariance": [[0.0006, 0.0012, 0], [0.0012, 0.006, 0], [0, 0, 0.004]],
        "bake_loss_percent": 10.4,
        "bake_loss_sd_percent": 0.7,
        "spread_percent": 1.5,
        "trials": 4,
        "base_share_percent": 20,
    },
}
_FIRST_BAKE = {
    "units": {"mass": "oz", "length": "in", "volume": "in3", "temperature": "degF"},
    "formula": {
        "lines": [
            {"ingredient": "bread_flour", "mass": 16},
            {"ingredient": "water", "mass": 6.5},
            {"ingredient": "whole_milk", "mass": 4.5},
            {"ingredient": "honey", "mass": 1},
            {"ingredient": "butter", "mass": 1},
            {"ingredient": "salt", "mass": 0.3},
            {"ingredient": "instant_yeast", "mass": 0.16},
        ]
    },
    "scalded_share_percent": 15,
    "fill_percent": 150,
    "pan": {
        "kind": "tapered",
        "top_length": 8.5,
        "top_width": 4.5,
        "base_length": 7.5,
        "base_width": 3.5,
        "depth": 2.75,
    },
    "stages": [
        {"name": "bulk", "minutes": 75, "temperature": 79},
        {"name": "proof", "minutes": 60, "temperature": 84},
    ],
    "temperatures": {"target": 79, "flour_temperature": 68, "scald_temperature": 75, "temperature_rise": 5},
}

LOAF_PLAN = Operation(
    name="loaf-plan",
    summary="The whole plan: formula, weigh-out, water, sugar, timetable",
    description="From a formula that works to the bench in one call: share moved with its water, dough for "
    "the pans, weigh-out for the scale, sugar through the stages, scald, water temperature and "
    "timetable, and what of it is least certain. It is made of the single calls, and gives each "
    "one's request and answer.",
    request=LoafPlanRequest,
    run=run,
    examples=(
        Example(
            "three_lidded_tins",
            "The Lantern Quay tin loaf from 20 to 35 % scalded, three lidded tins for seven o'clock",
            _THREE_TINS,
        ),
        Example(
            "by_calibration",
            "By what own trials have taught, for the dough and for the water",
            _BY_CALIBRATION,
        ),
        Example(
            "first_bake_in_ounces", "A first scald in a US pan, nothing known of the bread yet", _FIRST_BAKE
        ),
    ),
)
