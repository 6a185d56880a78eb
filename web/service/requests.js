/** Writes the work as requests. A request is {call, body, place(pointer)}; a place is a path such as "formula/<line>/mass". */

/** The fields of each kind and what they measure; a question mark: may stay empty. */
export const PAN_FIELDS = {
  box: { length: "length", width: "length", depth: "length" },
  tapered: { top_length: "length", top_width: "length", base_length: "length", base_width: "length", depth: "length" },
  round: { top_diameter: "length", base_diameter: "length", depth: "length" },
  oval: { top_length: "length", top_width: "length", base_length: "length", base_width: "length", depth: "length" },
  volume: { volume: "volume" },
  water_fill: { mass: "mass", temperature: "temperature" },
};

export const BREAD_FIELDS = {
  prior: {},
  reference_loaf: { dough_mass: "mass", loaf_volume: "volume", bake_loss_percent: "percent?",
                    scalded_share_percent: "percent" },
  specific_volume: { specific_volume: "number", scalded_share_percent: "percent?" },
  pan_ratio: { pan_ratio: "number", scalded_share_percent: "percent?" },
  calibration: {},
};

/** A value for the wire: numbers in the chosen unit, text as typed (the service says what is wrong with it). */
export function wire(value, quantity, units) {
  if (value === null || value === undefined || value === "") return undefined;
  return typeof value === "number" ? units.outward(value, quantity) : value;
}

/** The fields that have a value; undefined when none has. */
export function present(object) {
  const filled = Object.entries(object).filter(([, value]) => value !== undefined);
  return filled.length ? Object.fromEntries(filled) : undefined;
}

export function fields(kinds, kind, from, units) {
  const wanted = { kind };
  for (const [name, quantity] of Object.entries(kinds[kind] ?? {})) wanted[name] = wire(from[name], quantity.replace("?", ""), units);
  return wanted;
}

/** The lines that say something; a new, empty line is not sent. */
export function filledLines(formula) {
  return formula.lines.filter((line) => line.ingredient !== "" || (line.amount !== null && line.amount !== ""));
}

/** The amounts are masses, or percent of flour; the loss in cooking the scald goes by the same. */
export function wireFormula(formula, units) {
  const by = formula.by ?? "mass";
  return {
    name: formula.name,
    lines: filledLines(formula).map((line) => ({
      ingredient: line.ingredient, [by]: wire(line.amount, by, units), part: line.part,
      ...(line.composition ? { composition: line.composition } : {}),
    })),
    scald_evaporation: wire(formula.scald_evaporation, by, units),
  };
}

/** The filled points of the baker's own water table; undefined with fewer than two. */
export function wireCurve(curve, units) {
  const says = (value) => value !== null && value !== "";
  const points = curve.filter((point) => says(point.share) && says(point.hydration));
  return points.length < 2 ? undefined : points.map((point) => ({
    scalded_share_percent: wire(point.share, "percent", units), hydration_percent: wire(point.hydration, "percent", units) }));
}

export function formulaPlace(formula) {
  const keys = filledLines(formula).map((line) => line.key);
  return (pointer) => pointer.slice(1).replace(/^formula\/lines\/(\d+)/, (_, index) => `formula/${keys[index]}`)
    .replace(/\/percent$/, "/mass");
}

export function breakdownRequest(state, units) {
  return { call: "breakdown", body: { units: units.wire, formula: wireFormula(state.formula, units) },
           place: formulaPlace(state.formula) };
}

export function correctionRequest(state, units) {
  const { water } = state;
  const flour = present(Object.fromEntries(
    Object.entries(water.flour).map(([name, value]) => [name, wire(value, "percent", units)])));
  const inFormula = formulaPlace(state.formula);
  return {
    call: "hydration-correction",
    body: {
      units: units.wire, formula: wireFormula(state.formula, units),
      scalded_share_percent: wire(state.share, "percent", units), hold: water.hold,
      scald_liquid_ratio: wire(water.scald_liquid_ratio, "number", units),
      hydration_percent: wire(water.hydration_percent, "percent", units),
      bake_loss_percent: wire(state.bake_loss_percent, "percent", units),
      calibration: state.bread.kind === "calibration" ? state.bread.calibration ?? undefined : undefined,
      scald_liquids: water.scald_liquids.length ? water.scald_liquids : undefined,
      flour, water_curve: wireCurve(water.curve, units),
    },
    place: (pointer) => (pointer.startsWith("/formula") ? inFormula(pointer)
      : pointer === "/bake_loss_percent" ? "fill/bake_loss_percent" : `water${pointer}`),
  };
}

/** What fills the pan. bread: {share, off}: scalded share, and points of water off the optimum for it. */
export function panFillRequest(state, units, { share, off }) {
  return {
    call: "pan-fill",
    body: {
      units: units.wire, pan: fields(PAN_FIELDS, state.pan.kind, state.pan, units),
      fill_percent: wire(state.fill_percent, "percent", units), pans: wire(state.pans, "number", units),
      bake_loss_percent: wire(state.bake_loss_percent, "percent", units),
      scalded_share_percent: share, hydration_off_optimum_points: off,
      bread: { ...fields(BREAD_FIELDS, state.bread.kind, state.bread, units),
               ...(state.bread.kind === "calibration" ? { calibration: state.bread.calibration } : {}) },
    },
    place: (pointer) => (pointer === "/scalded_share_percent" ? "water/scalded_share_percent" : `fill${pointer}`),
  };
}

/** Whether a correction moved the share at all. */
export function movesShare({ before, after }) {
  return before.scalded_share_percent !== after.scalded_share_percent;
}

/** The bread before and after a correction, for panFillRequest. */
export function breadBefore(corrected) {
  return { share: corrected.before.scalded_share_percent, off: 0 };
}

export function breadAfter(corrected) {
  return { share: corrected.after.scalded_share_percent,
           off: corrected.hydration_percent - corrected.optimum_hydration_percent.best };
}

/** scale: left out altogether where the baker named none, so that the service takes a usual one. */
export function weighOutRequest(state, units, formula, doughMass) {
  const { weigh } = state;
  const scale = present({ resolution: wire(weigh.resolution, "mass", units),
                          fine_resolution: wire(weigh.fine_resolution, "mass", units),
                          fine_below: wire(weigh.fine_below, "mass", units) });
  return {
    call: "scaling",
    body: {
      units: units.wire, formula, target: { kind: "dough_mass", mass: doughMass },
      losses: { handling_percent: wire(weigh.handling_percent, "percent", units) }, scale,
    },
    place: (pointer) => `weigh${pointer}`,
  };
}

export function sugarRequest(state, units, formula) {
  const keys = state.stages.map((stage) => stage.key);
  return {
    call: "sugar-budget",
    body: {
      units: units.wire, formula, yeast_tolerance: state.yeast_tolerance,
      stages: state.stages.map((stage) => ({
        name: stage.name, minutes: wire(stage.minutes, "minutes", units),
        temperature: wire(stage.temperature, "temperature", units),
      })),
      bake_loss_percent: wire(state.bake_loss_percent, "percent", units),
      damaged_starch_percent: wire(state.damaged_starch_percent, "percent", units),
    },
    place: (pointer) => (pointer === "/bake_loss_percent" ? "fill/bake_loss_percent"
      : `sugar${pointer}`.replace(/^sugar\/stages\/(\d+)/, (_, index) => `sugar/${keys[index]}`)),
  };
}
