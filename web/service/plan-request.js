/** The whole plan as one request. */

import { PAN_FIELDS, fields, followingLiquid, formulaPlace, knownBread, present, wire, wireCurve, wireFormula } from "./requests.js";

/** @type {Kinds} */
const SCALD = { pour_over: { flour_temperature: "temperature", liquid_temperature: "temperature", room_temperature: "temperature" },
                cooked: { core_temperature: "temperature" } };

/** @param {Stage[]} list */
function tasks(list) {
  return list.map(({ name, minutes }) => ({ name, minutes: minutes ?? undefined }));
}

/** @param {Work} state @param {Units} units @param {import("./requests.js").IsLiquid} isLiquid @param {string[]} liquids those of the dough that are brought to one temperature
@returns {ServiceRequest<"loaf-plan">} */
export function planRequest(state, units, isLiquid, liquids = []) {
  const { plan, water, weigh } = state;
  const degrees = (/** @type {PlanFigure} */ name) => wire(plan[name], "temperature", units);
  const method = fields(SCALD, plan.method, plan, units);
  const holding = present({ hours: wire(plan.holding_hours, "hours", units), temperature: degrees("holding_temperature") });
  const weighed = present({ mass: wire(plan.scald_mass, "mass", units), container_mass: wire(plan.container_mass, "mass", units) });
  return {
    call: "loaf-plan",
    body: {
      units: units.wire, formula: wireFormula(state.formula, units), pan: fields(PAN_FIELDS, state.pan.kind, state.pan, units),
      scalded_share_percent: wire(state.share, "percent", units), hydration_percent: wire(water.hydration_percent, "percent", units),
      scald_liquid_ratio: wire(water.scald_liquid_ratio, "number", units), gluten_percent: wire(water.gluten_percent, "percent", units),
      scald_liquids: water.scald_liquids.length ? water.scald_liquids : undefined, adjust_with: followingLiquid(state.formula, isLiquid),
      flour: present(Object.fromEntries(Object.entries(water.flour).map(([name, value]) => [name, wire(value, "percent", units)]))),
      water_curve: wireCurve(water.curve, units),
      fill_percent: wire(state.fill_percent, "percent", units), lid: state.lid ?? undefined, pans: wire(state.pans, "number", units),
      bread: state.bread.kind === "calibration" ? undefined : knownBread(state, units),
      calibration: state.bread.kind === "calibration" ? state.bread.calibration ?? undefined : undefined,
      losses: present({ handling_percent: wire(weigh.handling_percent, "percent", units),
                        bake_percent: wire(state.bake_loss_percent, "percent", units),
                        cooling_loss_percent: wire(state.cooling_loss_percent, "percent", units) }),
      scale: present({ resolution: wire(weigh.resolution, "mass", units), fine_resolution: wire(weigh.fine_resolution, "mass", units),
                       fine_below: wire(weigh.fine_below, "mass", units) }),
      stages: state.stages.map((stage) => ({ name: stage.name, minutes: wire(stage.minutes, "minutes", units),
                                             temperature: wire(stage.temperature, "temperature", units) })),
      yeast_tolerance: state.yeast_tolerance, damaged_starch_percent: wire(state.damaged_starch_percent, "percent", units),
      scald: { method, holding, weighed, stirred: plan.stirred || undefined },
      temperatures: { target: degrees("target"), flour_temperature: degrees("flour_temperature"),
                      temperature_rise: wire(plan.temperature_rise, "temperature_difference", units),
                      scald_temperature: degrees("scald_temperature"), others_temperature: degrees("others_temperature"),
                      tap_temperature: degrees("tap_temperature"), adjust_with: liquids.length ? liquids : undefined },
      timetable: plan.after.length ? { before: tasks(plan.before), after: tasks(plan.after), ready_at: plan.ready_at || undefined } : undefined,
    },
    place: placeIn(state),
  };
}

/** Where the fields of the plan are entered; those that are not here are the plan's own.
@type {Record<string, string>} */
const PLACES = {
  "/scalded_share_percent": "water/scalded_share_percent", "/hydration_percent": "water/hydration_percent",
  "/scald_liquid_ratio": "water/scald_liquid_ratio", "/gluten_percent": "water/gluten_percent", "/flour": "water/flour", "/water_curve": "water/water_curve", "/pan": "fill/pan", "/bread": "fill/bread",
  "/pans": "fill/pans", "/fill_percent": "fill/fill_percent", "/losses/bake_percent": "fill/bake_loss_percent", "/losses/cooling_loss_percent": "fill/cooling_loss_percent",
  "/losses/handling_percent": "weigh/losses/handling_percent", "/scale": "weigh/scale", "/stages": "sugar",
  "/damaged_starch_percent": "sugar/damaged_starch_percent", "/timetable/before": "plan/before", "/timetable/after": "plan/after",
  "/scald/method": "plan", "/scald/stirred": "plan", "/scald/weighed/mass": "plan/scald_mass", "/scald/weighed/container_mass": "plan/container_mass",
  "/scald/holding/hours": "plan/holding_hours", "/scald/holding/temperature": "plan/holding_temperature",
  "/temperatures": "plan", "/timetable/ready_at": "plan/ready_at",
};

/** @param {Work} state */
function placeIn({ formula, stages, plan }) {
  const inFormula = formulaPlace(formula);
  /** @type {Record<string, Stage[]>} */
  const lists = { sugar: stages, "plan/before": plan.before, "plan/after": plan.after };
  return (/** @type {string} */ pointer) => {
    if (pointer.startsWith("/formula")) return inFormula(pointer);
    const [start] = Object.keys(PLACES).filter((each) => pointer === each || pointer.startsWith(`${each}/`))
      .sort((one, other) => other.length - one.length);
    const place = start ? PLACES[start] + pointer.slice(start.length) : `plan${pointer}`;
    return place.replace(/^(sugar|plan\/(?:before|after))\/(\d+)/, (_, list, index) => `${list}/${lists[list][index]?.key}`);
  };
}
