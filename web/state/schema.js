/** The shape of everything that comes into the page from outside: links, notebook files, what the browser keeps. Nothing of it is
used before it is checked here.

A shape is the name of a kind, a list of choices, a list(of, most), or an object of shapes. A missing field takes a fresh
value, because older pages saved fewer fields. "name!" may not be missing; "name?" may be missing or null. An object with
"..." is a reply of the service: it may hold more fields than it names, and lacks none. Any other object holds no others:
dropping what a newer page saved would lose it silently. */

import { VOLUMES } from "../service/learn-requests.js";
import { BREAD_FIELDS, PAN_FIELDS } from "../service/requests.js";
import { SYSTEMS } from "../ui/numbers.js";
import { MOST_VALUES, isNumber, isObject, isPlain, isText } from "./plain.js";
import { newKey } from "./work.js";

const LAST_MOMENT = 8.64e15;            // of a Date, ms

/** @typedef {string | string[] | List | {[label: string]: Shape}} Shape */

/** @param {unknown} value */
const isTick = (value) => isObject(value) && Object.keys(value).length === 4 && isText(value.bread) && isText(value.row)
  && isNumber(value.weighed) && isNumber(value.exact);

const isEntry = (/** @type {unknown} */ value) => value === null || isNumber(value) || isText(value);
const COMPARED = ["share", "hydration_percent", "scald_liquid_ratio", "sucrose_percent", "gluten_percent"];
/** @param {unknown} value */
const isCompared = (value) => isObject(value) && Object.keys(value).length === COMPARED.length && COMPARED.every((name) => isEntry(value[name]));

/** Each kind: whether a value is one, and what replaces one that isn't.
@type {Record<string, [is: (value: any) => boolean, blank: () => unknown]>} */
const KINDS = {
  entry: [isEntry, () => null],           // a number field; a text as typed
  measure: [(value) => value === null || isNumber(value), () => null],
  number: [isNumber, () => 0],
  text: [isText, () => ""],
  note: [(value) => typeof value === "string", () => ""],
  ingredient: [isText, () => "?"],        // the page shows it, and the service refuses it
  flag: [(value) => typeof value === "boolean", () => false],
  key: [(value) => isText(value) && /^[\w-]{1,80}$/.test(value), newKey],
  date: [(value) => isNumber(value) && value >= 0 && value <= LAST_MOMENT, () => 0],
  moment: [(value) => value === "" || (isText(value) && /^\d{4,6}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?$/.test(value)), () => ""],
  count: [(value) => Number.isInteger(value) && value >= 0 && value <= MOST_VALUES, () => 0],
  tick: [(value) => isText(value) || isTick(value), () => ""],            // a text: of an older page
  compared: [(value) => isEntry(value) || isCompared(value), () => null],
  plain: [(value) => value === null || (isObject(value) && isPlain(value)), () => null],
};

class List {
  /** @param {Shape} of @param {number} most @param {{blanks?: boolean, fresh?: object}} more blanks: an entry that can't be used
  leaves a blank one, where the others are useless without it; fresh: what the missing fields of an entry are taken from */
  constructor(of, most, { blanks, fresh } = {}) {
    this.of = of;
    this.most = most;
    this.blanks = blanks;
    this.fresh = fresh;
  }
}
/** @param {ConstructorParameters<typeof List>} options */
const list = (...options) => new List(...options);
const BLANKS = { blanks: true };
/** @param {Shape} shape @param {string[]} names @returns {Record<string, Shape>} */
const each = (shape, names) => Object.fromEntries(names.map((name) => [name, shape]));
const entries = (/** @type {string[]} */ ...names) => each("entry", names);
const fieldsOf = (/** @type {Kinds} */ kinds) => [...new Set(Object.values(kinds).flatMap(Object.keys))];

const COMPOSITION = {
  ...entries("water_percent?", "fat_percent?", "protein_percent?", "salt_percent?", "sucrose_percent?", "glucose_percent?",
             "fructose_percent?", "maltose_percent?", "lactose_percent?"),
  "is_flour?": "flag", "is_liquid?": "flag", "is_white_wheat?": "flag", "stays_in_dough?": "flag",
  "yeast?": ["instant", "active_dry", "compressed"], "allergens?": list("text", 40),
};
const LINE = { "key!": "key", "ingredient!": "ingredient", "amount!": "entry", "part!": ["dough", "scald"], "composition?": COMPOSITION };
const STAGE = { "key!": "key", "name!": "text", "minutes!": "entry", temperature: "entry" };
const STAGES = list(STAGE, 100, BLANKS);
export const PAN = { shape: "text", "kind!": Object.keys(PAN_FIELDS), ...entries(...fieldsOf(PAN_FIELDS)) };

const POINTS = list({ "key!": "key", "days!": "entry", "score!": "entry" }, 1000, BLANKS);

const WORK = {
  "formula!": { name: "text", "lines!": list(LINE, 300, BLANKS), scald_evaporation: "entry", by: ["mass", "percent"], flour: "measure" },
  share: "entry",
  water: {
    hold: ["dough_mass", "flour_mass"], ...entries("scald_liquid_ratio", "hydration_percent", "gluten_percent"),
    scald_liquids: list("text", 100), curve: list({ "key!": "key", "share!": "entry", "hydration!": "entry" }, 300, BLANKS),
    flour: entries("moisture_percent", "absorption_percent", "base_moisture_percent", "base_absorption_percent"),
  },
  pan: PAN, "lid?": "flag",
  ...entries("pans", "fill_percent", "bake_loss_percent", "cooling_loss_percent"),
  bread: { "kind!": Object.keys(BREAD_FIELDS), ...entries(...fieldsOf(BREAD_FIELDS)), calibration: "plain", "pan?": PAN },
  stages: STAGES, "untimed?": "flag",
  yeast_tolerance: ["ordinary", "sugar_tolerant"], damaged_starch_percent: "entry",
  plan: {
    method: ["pour_over", "cooked"], stirred: ["", "hand", "mixer"], ready_at: "moment", before: STAGES, after: STAGES,
    ...entries("flour_temperature", "liquid_temperature", "room_temperature", "core_temperature", "scald_mass", "container_mass",
               "holding_hours", "holding_temperature", "target", "temperature_rise", "scald_temperature", "others_temperature",
               "tap_temperature"),
  },
  weigh: entries("handling_percent", "resolution", "fine_resolution", "fine_below"),
  ticked: list("tick", 1000),
  "compare?": list("compared", 10), "limits?": entries("dough_mass", "proof_minutes", "gluten_percent"),
};

/** The work as the browser keeps it, and as a link has it. */
export const BENCH = { version: "number", units: Object.keys(SYSTEMS), ...WORK };
export const LINK = { "version?": "number", "units?": Object.keys(SYSTEMS), ...WORK };

/** @param {Work} work a fresh one */
export function entryShapes(work) {
  return {
    breads: list({ "key!": "key", "name!": "text", saved: "date", "work!": WORK, answers: "plain" }, 5000, { fresh: { work } }),
    trials: list({ "key!": "key", "name!": "text", "bread?": "text", volume_by: Object.keys(VOLUMES), ...entries(...Object.keys(VOLUMES)), pan: PAN,
                   ...entries("scalded_share_percent", "hydration_percent", "dough_mass", "baked_mass", "proof_minutes"), "scald_liquid_ratio?": "entry",
                   "gluten_percent?": "entry", "points?": POINTS }, 5000),
    loaves: list({ "key!": "key", "name!": "text", points: POINTS }, 5000),
    tastings: list({ "key!": "key", "test!": ["triangle", "duo_trio", "paired", "ranking"], "samples!": list({ "key!": "key", "name!": "text" }, 12, BLANKS),
                     by: ["tasters", "power"], expected: "text", contains: "text", "draw!": "count",
                     ...entries("tasters", "discriminators_percent", "power_percent", "significance_percent", "came", "right"),
                     chosen: list("entry", 12), rankings: list("text", 450) }, 1000),
    prices: list({ "key!": "key", "ingredient!": "text", "price!": "entry", per: ["kg", "lb"] }, 400),
  };
}

/** @param {Work} work a fresh one */
export function notebookShape(work) {
  const { tastings, prices, ...must } = entryShapes(work);
  return { version: "number", ...must, "tastings?": tastings, "prices?": prices, keeping: { direction: ["falls", "rises"], limit: "entry" } };
}

/** The place on the page that is come back to. */
export const PLACE = { "way!": list("count", 100), "tops!": list("number", 100), "folds!": list(list("count", 100), 1000) };

const MORE = { "...": "more" };
const ESTIMATE = { ...each("number", ["low", "best", "high"]), evidence: "text", ...MORE };
const PERCENTAGES = { ...each("number", ["scalded_share_percent", "hydration_percent", "dough_yield"]), ...MORE };
const FORMULA = { lines: list({ ingredient: "text", part: ["dough", "scald"], ...each("number", ["mass", "percent", "percent_of_dough"]),
                                ...MORE }, 1000), ...MORE };
const SUGARS = ["sucrose", "glucose", "fructose", "maltose", "lactose", "total"];
const reply = (/** @type {Record<string, Shape>} */ fields) => ({
  ...fields, units: { ...each("text", ["mass", "length", "volume", "temperature"]), ...MORE },
  cautions: list({ ...each("text", ["code", "defer_to"]), text: "note", ...MORE }, 100),
  "notes?": list({ code: "text", text: "note", ...MORE }, 100), ...MORE,
});

const FILL = reply({
  ...each("number", ["pans", "pan_volume", "loaf_volume"]), scalded_share_percent: "measure",
  ...each(ESTIMATE, ["dough_mass", "total_dough_mass", "baked_mass", "specific_volume", "pan_ratio", "bake_loss_percent"]),
  "against_reference_loaf?": { dough_mass: ESTIMATE, percent: ESTIMATE, ...MORE },
});

/** The service's answers as far as the page shows them, by step. */
export const ANSWERS = {
  ...MORE,
  formula: reply({
    formula: FORMULA, totals: { ...each("number", ["flour", "dough"]), ...MORE },
    ...each("number", ["scalded_share_percent", "hydration_percent", "liquid_percent", "total_percent", "sugar_percent", "fat_percent",
                       "salt_percent", "instant_yeast_percent"]),
    scald: { ...each("measure", ["liquid_ratio", "moisture_percent"]), ...MORE },
    allergens: list({ allergen: "text", from: list("text", 1000), ...MORE }, 5000),
  }),
  water: reply({
    formula: FORMULA, before: PERCENTAGES, after: PERCENTAGES, hydration_percent: "number", assessment: "text",
    optimum_hydration_percent: ESTIMATE, crumb_moisture_change_points: ESTIMATE,
  }),
  fill: FILL,
  "fill-before?": FILL,
  sugar: reply({
    assessment: "text", unmet_percent: "number", sugar_tolerant_yeast_advised: "flag",
    ...each("measure", ["free_sugar_spent_hours", "maltose_drawn_hours"]),
    free_sugar_spent_range_hours: { ...each("measure", ["earliest", "latest"]), ...MORE },
    ...each(ESTIMATE, ["used_percent", "sweetness_percent", "gas_per_100_g_flour"]),
    residual: { ...each({ percent_of_flour: ESTIMATE, percent_of_bread: ESTIMATE, ...MORE }, SUGARS), ...MORE },
    timeline: list({ ...each("number", ["hours", "glucose_percent", "fructose_percent", "maltose_percent", "used_percent"]), ...MORE }, 5000),
  }),
  weigh: reply({
    ...each("number", ["weigh_out_total", "dough_mass", "factor"]),
    formula: FORMULA, weigh_out: list({ ingredient: "text", part: ["dough", "scald"], mass: "number", resolution: "number", ...MORE }, 1000),
  }),
  "taught?": FILL,
  "trials?": reply({
    learned: { reference_specific_volume: ESTIMATE, ...MORE }, spread_percent: "number",
    fit: list({ "name?": "text", flagged: "flag", ...each("number", ["predicted", "measured", "residual_percent"]), ...MORE }, 100),
    "proof?": { "minutes?": ESTIMATE, ...MORE }, "teach?": { advice: "note", ...MORE },
  }),
};

const bare = (/** @type {string} */ label) => label.replace(/[!?]$/, "");

/** What replaces a value of which nothing can be used: something empty that a reader will miss. Somebody would bake in a made-up
pan. @param {Shape} shape @param {any} [spare] whose fields that may be missing are null @returns {any} */
function blank(shape, spare) {
  if (typeof shape === "string") return KINDS[shape][1]();
  if (Array.isArray(shape)) return shape[0];
  if (shape instanceof List) return [];
  return Object.fromEntries(Object.entries(shape).filter(([label]) => !label.endsWith("?") || spare?.[bare(label)] !== undefined)
    .map(([label, field]) => [bare(label), label.endsWith("?") ? null : blank(field, spare?.[bare(label)])]));
}

/** @typedef {(string | number)[]} Path */

/**
 * A copy of what fits the shape; undefined: nothing can be used. Each fault has a code: "wrong", "unknown", "missing", or "many"
 * with count and most. Goes no deeper than the shape.
 * @param {Shape} shape
 * @param {any} value
 * @param {any} spare what missing fields are taken from
 * @param {Path} at
 * @param {SchemaFault[]} faults
 * @returns {any}
 */
function fit(shape, value, spare, at, faults) {
  if (typeof shape === "string" && KINDS[shape][0](value)) return value === 0 ? 0 : value;         // no -0
  if (Array.isArray(shape) && shape.includes(value)) return value;
  if (shape instanceof List && Array.isArray(value)) return fitList(shape, value, at, faults);
  if (typeof shape === "object" && !Array.isArray(shape) && !(shape instanceof List) && isObject(value)) {
    return fitObject(shape, value, spare, at, faults);
  }
  faults.push({ at, code: "wrong" });
  return undefined;
}

/** @param {{[label: string]: Shape}} shape @param {Record<string, any>} value @param {any} spare @param {Path} at
@param {SchemaFault[]} faults */
function fitObject(shape, value, spare, at, faults) {
  const fields = new Map(Object.entries(shape).map(([label, field]) => [bare(label), { field, label }]));
  const open = fields.delete("...");
  /** @type {Record<string, any>} */
  const whole = {};
  // In the order of the value, so that a sound one is copied to the letter.
  for (const name of new Set([...Object.keys(value), ...fields.keys()])) {
    const known = fields.get(name);
    if (!known) {
      if (!open) faults.push({ at: [...at, name], code: "unknown" });
      continue;
    }
    const { field, label } = known;
    const [must, may] = [open || label.endsWith("!"), label.endsWith("?")];
    const given = Object.hasOwn(value, name) ? value[name] : undefined;
    const fresh = spare?.[name];
    if (may && (given === undefined || given === null)) {
      if (fresh !== undefined) whole[name] = given === undefined ? structuredClone(fresh) : null;
      continue;
    }
    if (must && given === undefined) faults.push({ at: [...at, name], code: "missing" });
    const found = given === undefined ? undefined : fit(field, given, fresh, [...at, name], faults);
    if (found !== undefined) whole[name] = found;
    else if (given === undefined && !must && fresh !== undefined) whole[name] = structuredClone(fresh);
    // Can't be made up, and without it the rest is of no use.
    else if (must && typeof field === "object") return undefined;
    else if (!may) whole[name] = Array.isArray(field) && field.includes(fresh) ? fresh : blank(field, fresh);
  }
  return whole;
}

/** @param {List} shape @param {any[]} value @param {Path} at @param {SchemaFault[]} faults */
function fitList({ of, most, blanks, fresh }, value, at, faults) {
  if (value.length > most) faults.push({ at, code: "many", count: value.length, most });
  const keys = new Set();
  return value.slice(0, most).flatMap((each, index) => {
    const entry = fit(of, each, fresh, [...at, index], faults) ?? (blanks ? blank(of) : undefined);
    if (entry === undefined) return [];
    if (isObject(entry) && "key" in entry) {
      if (keys.has(entry.key)) {
        faults.push({ at, code: "wrong" });
        entry.key = newKey();
      }
      keys.add(entry.key);
    }
    return [entry];
  });
}

/** A copy of the sound parts of a value, undefined when there are none, and what is wrong with the rest.
@param {Shape} shape @param {unknown} value @param {object} [spare] @returns {{value: any, faults: SchemaFault[]}} */
export function checked(shape, value, spare) {
  /** @type {SchemaFault[]} */
  const faults = [];
  return { value: fit(shape, value, spare, [], faults), faults };
}

/** The value of a JSON text, undefined when it can't be read. A name given twice in one object is a fault: whichever value were
taken, the other would be lost. @param {string} text @returns {{value: any, faults: SchemaFault[]}} */
export function readJson(text) {
  let value;
  try {
    value = JSON.parse(text);
  } catch {
    return { value: undefined, faults: [{ at: [], code: "wrong" }] };
  }
  const written = text.match(/"[^"\\]*(?:\\.[^"\\]*)*"(?:\s*:)?/g)?.filter((token) => token.endsWith(":")).length ?? 0;
  let named = 0;
  for (const rest = [value]; rest.length;) {
    const one = rest.pop();
    if (one === null || typeof one !== "object") continue;
    const inside = Object.values(one);
    if (!Array.isArray(one)) named += inside.length;
    for (const each of inside) rest.push(each);
  }
  return { value, faults: written === named ? [] : [{ at: [], code: "twice" }] };
}
