/** The work as requests, each with the places on the page of its fields. */

/** @type {Kinds} */
export const PAN_FIELDS = {
  box: { length: "length", width: "length", depth: "length" },
  tapered: { top_length: "length", top_width: "length", base_length: "length", base_width: "length", depth: "length" },
  round: { top_diameter: "length", base_diameter: "length", depth: "length" },
  oval: { top_length: "length", top_width: "length", base_length: "length", base_width: "length", depth: "length" },
  volume: { volume: "volume" },
  water_fill: { mass: "mass", temperature: "temperature" },
};

/** @type {Kinds} */
export const BREAD_FIELDS = {
  prior: {},
  reference_loaf: { dough_mass: "mass", fill_percent: "percent?", loaf_volume: "volume?", bake_loss_percent: "percent?",
                    scalded_share_percent: "percent" },
  specific_volume: { specific_volume: "number", scalded_share_percent: "percent?" },
  pan_ratio: { pan_ratio: "number", scalded_share_percent: "percent?" },
  calibration: {},
};

/** @typedef {Replies["hydration-correction"]} Corrected */
/** @typedef {Pick<Units, "wire" | "outward">} Outward */
/** @typedef {(ingredient: string) => boolean} IsLiquid */

const MOSTLY_WATER = 50;        // percent of what the service adjusts with

/** @param {Entry | undefined} value @param {string} quantity @param {Outward} units */
export function wire(value, quantity, units) {
  if (value === null || value === undefined || value === "") return undefined;
  return typeof value === "number" ? units.outward(value, quantity) : value;
}

/** Undefined when no field has a value. @param {Record<string, unknown>} object */
export function present(object) {
  const filled = Object.entries(object).filter(([, value]) => value !== undefined);
  return filled.length ? Object.fromEntries(filled) : undefined;
}

/** @param {Kinds} kinds @param {string} kind @param {object} from @param {Outward} units */
export function fields(kinds, kind, from, units) {
  /** @type {Record<string, unknown>} */
  const wanted = { kind };
  const entries = /** @type {Record<string, Entry>} */ (from);
  for (const [name, quantity] of Object.entries(kinds[kind] ?? {})) wanted[name] = wire(entries[name], quantity.replace("?", ""), units);
  return wanted;
}

/** What is known of the bread without trials. A last loaf filled its tin so far, or has a volume.
@param {Work} state @param {Units} units */
export function knownBread({ bread }, units) {
  const known = fields(BREAD_FIELDS, bread.kind, bread, units);
  if (bread.kind !== "reference_loaf") return known;
  const { fill_percent: filled, loaf_volume: volume, ...rest } = known;
  return filled === undefined ? { ...rest, loaf_volume: volume }
    : { ...rest, fill_percent: filled, ...(bread.pan ? { pan: fields(PAN_FIELDS, bread.pan.kind, bread.pan, units) } : {}) };
}

/** Without new, empty lines. @param {Formula} formula */
export function filledLines(formula) {
  return formula.lines.filter((line) => line.ingredient !== "" || (line.amount !== null && line.amount !== ""));
}

/** @param {{name: string, is_liquid: boolean}[]} ingredients of GET /v1/labels */
export function liquidsAmong(ingredients) {
  const names = new Set(ingredients.filter((each) => each.is_liquid).map((each) => each.name));
  return (/** @type {string} */ name) => names.has(name);
}

/** The liquid that follows the share: undefined where the recipe has water, which the service takes by itself; else its own liquid of
which most is in the dough. @param {Formula} formula @param {IsLiquid} isLiquid @returns {string | undefined} */
export function followingLiquid(formula, isLiquid) {
  const lines = filledLines(formula);
  if (lines.some(({ ingredient }) => ingredient === "water")) return undefined;
  const liquids = lines.filter(({ ingredient, composition }) => (composition
    ? composition.is_liquid && !composition.stays_in_dough && Number(composition.water_percent) > MOSTLY_WATER : isLiquid(ingredient)));
  const inDough = liquids.filter(({ part }) => part === "dough");
  const most = (inDough.length ? inDough : liquids).sort((one, other) => Number(other.amount) - Number(one.amount));
  return most[0]?.ingredient;
}

/** @param {Formula} formula @param {Outward} units */
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

/** Undefined with fewer than two points. @param {WaterPoint[]} curve @param {Outward} units */
export function wireCurve(curve, units) {
  const says = (/** @type {Entry} */ value) => value !== null && value !== "";
  const points = curve.filter((point) => says(point.share) && says(point.hydration));
  return points.length < 2 ? undefined : points.map((point) => ({
    scalded_share_percent: wire(point.share, "percent", units), hydration_percent: wire(point.hydration, "percent", units) }));
}

/** @param {Formula} formula */
export function formulaPlace(formula) {
  const keys = filledLines(formula).map((line) => line.key);
  return (/** @type {string} */ pointer) => pointer.slice(1).replace(/^formula\/lines\/(\d+)/, (_, /** @type {number} */ index) => `formula/${keys[index]}`)
    .replace(/\/percent$/, "/mass");
}

/** @param {Work} state @param {Units} units @returns {ServiceRequest<"breakdown">} */
export function breakdownRequest(state, units) {
  return { call: "breakdown", body: { units: units.wire, formula: wireFormula(state.formula, units) },
           place: formulaPlace(state.formula) };
}

/** @param {Work} state @param {Units} units @param {IsLiquid} isLiquid @returns {ServiceRequest<"hydration-correction">} */
export function correctionRequest(state, units, isLiquid) {
  const { water } = state;
  const flour = present(Object.fromEntries(
    Object.entries(water.flour).map(([name, value]) => [name, wire(value, "percent", units)])));
  const inFormula = formulaPlace(state.formula);
  return {
    call: "hydration-correction",
    body: {
      units: units.wire, formula: wireFormula(state.formula, units),
      // Without a share the service keeps the formula's: an emptied field must not be answered with that.
      scalded_share_percent: wire(state.share, "percent", units) ?? null, hold: water.hold,
      scald_liquid_ratio: wire(water.scald_liquid_ratio, "number", units),
      hydration_percent: wire(water.hydration_percent, "percent", units),
      gluten_percent: wire(water.gluten_percent, "percent", units),
      bake_loss_percent: wire(state.bake_loss_percent, "percent", units),
      calibration: state.bread.kind === "calibration" ? state.bread.calibration ?? undefined : undefined,
      scald_liquids: water.scald_liquids.length ? water.scald_liquids : undefined,
      adjust_with: followingLiquid(state.formula, isLiquid), flour, water_curve: wireCurve(water.curve, units),
    },
    place: (pointer) => (pointer.startsWith("/formula") ? inFormula(pointer)
      : pointer === "/bake_loss_percent" ? "fill/bake_loss_percent" : `water${pointer}`),
  };
}

/** @param {Work} state @param {Units} units @param {ShareAndWater} bread its formula, or else the recipe as it is
@returns {ServiceRequest<"pan-fill">} */
export function panFillRequest(state, units, { share, off, formula = wireFormula(state.formula, units) }) {
  return {
    call: "pan-fill",
    body: {
      units: units.wire, pan: fields(PAN_FIELDS, state.pan.kind, state.pan, units),
      fill_percent: wire(state.fill_percent, "percent", units), lid: state.lid ?? undefined, pans: wire(state.pans, "number", units),
      bake_loss_percent: wire(state.bake_loss_percent, "percent", units),
      cooling_loss_percent: wire(state.cooling_loss_percent, "percent", units),
      scalded_share_percent: share, hydration_off_optimum_points: off, formula,
      bread: { ...knownBread(state, units),
               ...(state.bread.kind === "calibration" ? { calibration: state.bread.calibration } : {}) },
    },
    place: (pointer) => (pointer === "/scalded_share_percent" ? `water${pointer}` : pointer.startsWith("/formula") ? "formula" : `fill${pointer}`),
  };
}

export const SAME_SHARE = 1e-6;         // percent: two shares as far apart are one

/** @param {Corrected} corrected */
export function movesShare({ before, after }) {
  return Math.abs(before.scalded_share_percent - after.scalded_share_percent) > SAME_SHARE;
}

/** Where the baker's own bakes are used, they say which water suits. @param {Corrected} corrected @param {Work} [work] */
const byTrials = ({ off_trials_points: off }, work) => (work?.bread.kind === "calibration" ? off : undefined);

/** @param {Corrected} corrected @param {Work} [work] */
export function breadBefore(corrected, work) {
  return { share: corrected.before.scalded_share_percent, off: byTrials(corrected, work)?.before ?? 0 };
}

/** @param {Corrected} corrected @param {Work} [work] */
export function breadAfter(corrected, work) {
  return { share: corrected.after.scalded_share_percent, formula: corrected.formula,
           off: byTrials(corrected, work)?.after ?? corrected.hydration_percent - corrected.optimum_hydration_percent.best };
}

/** Without a scale, the service takes a usual one.
@param {Work} state @param {Units} units @param {object} formula @param {number} doughMass @returns {ServiceRequest<"scaling">} */
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
