/** What is wrong with an entry, in the page's own words: the service sends a code and values, the page has a text for each code.
Loaded when something is wrong. */

import { h } from "./dom.js";
import { figuresOf, withUnit } from "./figures.js";
import { writeNumber } from "./numbers.js";

/** What the values of a code measure; those not named are plain numbers. @type {Record<string, Record<string, string>>} */
const MEASURES = {
  adjusting_liquid_short: { hydration: "percent" }, bake_loss_above_water: { most: "percent" },
  bake_loss_out_of_range: { low: "percent", high: "percent", most: "percent" }, colder_than_ice: { needed: "temperature" },
  composition_above_100: { total: "percent" }, dough_temperature_out_of_range: { least: "temperature", most: "temperature" },
  dough_too_cold: { coldest: "temperature", hottest: "temperature" }, dough_too_hot: { coldest: "temperature", hottest: "temperature" },
  fill_out_of_range: { low: "percent", high: "percent" }, fine_scale_coarser: { coarse: "mass" }, flour_not_100: { total: "percent" },
  heavier_than_put_in: { net: "mass", put_in: "mass" }, lighter_than_dry: { net: "mass", dry: "mass" },
  pan_too_small_for_any_share: { least: "mass", most: "mass" }, proof_too_short_for_any_share: { least: "minutes", most: "minutes" },
  starved_at_any_share: { needed: "percent" }, too_much_gluten: { own: "percent", most: "percent" }, oven_temperature_out_of_range: { least: "temperature", most: "temperature" },
  more_tasters_than_codes: { share: "percent", power: "percent" }, not_to_be_fed: { most: "percent" },
  sweetness_above_reach: { most: "percent", highest: "percent", target: "percent" }, sweetness_below_feeding: { feeds: "percent", lowest: "percent", target: "percent" },
  loaf_heavier_than_dough: { baked: "mass", dough: "mass" }, loaf_volume_out_of_range: { low: "volume", high: "volume" },
  not_ice: { least: "temperature", most: "temperature" }, not_liquid: { least: "temperature", most: "temperature" },
  not_water: { least: "temperature", most: "temperature" }, out_of_range: { lower: "percent", upper: "percent" },
  pan_dimension_out_of_range: { low: "length", high: "length" }, pan_volume_out_of_range: { volume: "volume", low: "volume", high: "volume" },
  pan_ratio_out_of_range: { low: "specific_volume", high: "specific_volume" }, resolution_too_fine: { least: "mass" },
  scald_flour_short: { whole: "percent", most: "percent" }, scald_liquid_short: { share: "percent", with_more: "percent" },
  share_above_bound: { bound: "percent" }, share_out_of_range: { low: "percent", high: "percent" },
  no_prior_for_flour: { share: "percent" }, too_wet_for_bread: { hydration: "percent" },
  share_outside_curve: { first: "percent", last: "percent", share: "percent" }, share_twice: { share: "percent" },
  specific_volume_out_of_range: { value: "specific_volume", low: "specific_volume", high: "specific_volume" },
  temperature_out_of_range: { least: "temperature", most: "temperature" }, too_large_a_batch: { most: "mass" }, too_long: { limit: "hours" },
  water_not_liquid: { low: "temperature", high: "temperature" }, water_too_far_off: { optimum: "percent" }, water_too_hot: { needed: "temperature" },
};
/** Entries that are easily written in another unit, by what the faults of these codes are about. @type {Record<string, string[]>} */
const UNITS = { pan_volume_out_of_range: ["l", "kg"], loaf_volume_out_of_range: ["l"], pan_dimension_out_of_range: ["mm"] };
const MOST_WAYS = 3;

/** What an option of a refusal changes, by its pointer. @type {Record<string, (work: Work, value: any) => void>} */
const CHANGES = {
  "/scald_liquid_ratio": (work, value) => { work.water.scald_liquid_ratio = value; },
  "/hydration_percent": (work, value) => { work.water.hydration_percent = value; },
  "/scald_liquids": (work, value) => { work.water.scald_liquids = value; },
  "/scalded_share_percent": (work, value) => { work.share = value; },
};

/** A limit to a step that bakers use, on the side that works. @param {number} limit @param {boolean} fromAbove the entry is too large */
function rounded(limit, fromAbove, step = 0.5) {
  const steps = limit / step;
  const found = Number(((fromAbove ? Math.floor(steps + 1e-9) : Math.ceil(steps - 1e-9)) * step).toPrecision(10));
  return Math.abs(found - limit) > Math.abs(limit) * 0.1 ? limit : found;
}

/** The fault that counts in the end: a bound may hide another. @param {Fault} fault */
function lastOf({ code = "", values = {} }) {
  if (typeof values.then !== "string") return { code, values };
  const then = Object.entries(values).filter(([name]) => name.startsWith("then_")).map(([name, value]) => [name.slice(5), value]);
  return { code: values.then, values: Object.fromEntries(then) };
}

/** Why an entry is refused, as a sentence. @param {FieldsBench} bench @param {Fault} fault @param {AtField} field */
function reasonOf(bench, fault, field) {
  const { t, names } = bench;
  const { say } = field;
  const label = field.input?.getAttribute("aria-label") ?? field.label;
  const { text } = figuresOf(bench);
  const { code, values } = lastOf(fault);
  const isEmpty = (code === "wrong_type" || code === "mixed_mass_and_percent") && (fault.given === null || fault.given === "");
  // Inside a sentence English writes an ingredient small.
  const inside = (/** @type {string} */ name) => (t.has("foreign.working") ? name : name.charAt(0).toLowerCase() + name.slice(1));
  const named = (/** @type {string} */ list) => list.split(", ").map((name) => inside(names.label(name))).join(t("write.list"));
  const words = Object.fromEntries(Object.entries(values).map(([name, value]) => [name, typeof value === "string" ? name === "limit" ? t(`limits.${value}`) : named(value)
    : text(value, MEASURES[code]?.[name] ?? "")]));
  const limit = values.minimum ?? values.maximum;
  const all = { ...words, label, given: fault.given, limit: typeof limit === "number" && fault.exact && say ? say(limit) : limit,
                nearest: say ? say(offered(fault, field, fault.nearest)) : fault.nearest };
  const why = code === "wrong_type" && typeof fault.given === "string" ? field.read?.(fault.given).why : undefined;
  const kinds = isEmpty || code === "missing" || code === "too_short" ? [label && fault.exact ? "missing" : "missing_other"]
    : why ? [why] : [fault.nearest === null || fault.nearest === undefined ? null : `${code}_nearest`, code, "other"];
  const found = kinds.find((kind) => kind && t.has(`refusals.${kind}`)) ?? "other";
  return t(`refusals.${found}`, all);
}

/** The value to offer: a share by the half percent. @param {Fault} fault @param {AtField} field @param {unknown} value */
function offered({ given }, { isShare }, value) {
  return isShare && typeof value === "number" && typeof given === "number" ? rounded(value, given > value) : value;
}

/** The same number in a unit that makes it fit: 1.9 is 1.9 l. The page offers it and never assumes it.
@param {FieldsBench} bench @param {Fault} fault @param {AtField} field */
function otherUnits({ t, locale }, fault, { read }) {
  const { values = {}, given, nearest } = fault;
  if (!read || typeof given !== "number" || typeof nearest !== "number") return [];
  const [low, high] = ["low", "high"].map((name) => Number(values[`then_${name}`] ?? values[name]));
  const room = high / low;
  return (UNITS[fault.code ?? ""] ?? []).map((unit) => withUnit(t, writeNumber(given, locale), unit))
    .map((label) => ({ label, value: read(label).number }))
    .filter(({ value = NaN }) => (nearest > given ? value >= nearest && value <= nearest * room : value <= nearest && value >= nearest / room));
}

/** Ways out that keep what the baker wants, each a button. @param {Bench} bench @param {Fault} fault @param {AtField} field */
function waysOf(bench, fault, { accept, input }) {
  const { t, names, state } = bench;
  const { text } = figuresOf(bench);
  const percent = (/** @type {unknown} */ value) => (typeof value === "number" ? text(value, "percent") : "");
  const { values = {}, options = [] } = fault;
  const known = options.map(({ change }) => Object.entries(change)).filter((change) => change.length === 1 && change[0][0] in CHANGES);
  const ways = known.map(([[pointer, exact]]) => {
    const value = typeof exact !== "number" ? exact : pointer === "/scald_liquid_ratio" ? rounded(exact, true, exact < 1 ? 0.01 : 0.1)
      : rounded(exact, pointer === "/scalded_share_percent");
    const words = { share: percent(state.share), value: typeof value === "number" ? text(value, pointer.endsWith("percent") ? "percent" : "") : "",
                    ratio: typeof values.ratio === "number" ? text(values.ratio, "") : "", more: String(values.more ?? "").split(", ").map(names.label).join(t("write.list")) };
    const keepsRatio = pointer === "/scalded_share_percent" && words.ratio;
    return { pointer, label: t(`ways.${pointer.slice(1)}${keepsRatio ? "_ratio" : ""}`, words), act() {
      if (pointer === fault.pointer && accept) return accept(value);
      bench.change((work) => CHANGES[pointer](work, value));
      bench.redraw();
      input?.focus();
    } };
  });
  // More water than the recipe has is the last resort.
  return ways.length > MOST_WAYS ? ways.filter(({ pointer }) => pointer !== "/hydration_percent").slice(0, MOST_WAYS) : ways;
}

/** @param {FieldsBench} bench @param {Fault} fault @param {AtField} field @returns {{label: string, act(): void}[]} */
function buttonsOf(bench, fault, field) {
  const { t } = bench;
  const { accept } = field;
  const use = (/** @type {any} */ value, label = accept?.say ? accept.say(value) : value) =>
    ({ label: t("fault.use", { value: label }), act: () => accept?.(value) });
  const ways = "redraw" in bench && fault.code !== "share_above_bound" ? waysOf(/** @type {Bench} */ (bench), fault, field) : [];
  if (ways.length > 1) return ways;
  if (!accept || !fault.exact || fault.nearest === null || fault.nearest === undefined) return ways;
  const others = otherUnits(bench, fault, field);
  if (others.length) return others.map(({ value, label }) => use(value, label));
  return [fault.nearest].flat().map((value) => use(offered(fault, field, value)));
}

/** A fault with its ways out. @param {FieldsBench} bench @param {Fault} fault @param {AtField} [field] */
export function faultLine(bench, fault, field = {}) {
  const { t } = bench;
  const own = fault.lang || fault.asWritten;
  const unit = own ? [] : otherUnits(bench, fault, field);
  return h("p", {}, h("strong", {}, `${t("fault.look")} `),
    h("span", { lang: fault.asWritten ? fault.lang ?? "en" : null }, own ? fault.detail : reasonOf(bench, fault, field)),
    unit.length ? ` ${t("refusals.unit", { value: unit[0].label })}` : "", " ",
    buttonsOf(bench, fault, field).map(({ label, act }) => h("button", { type: "button", class: "nearest", on: { click: act } }, label)));
}

/** @type {WeakMap<Element, string>} */
const written = new WeakMap();

/** Writes faults with their ways out. The same ones again stay: no button is taken away under a finger.
@param {FieldsBench} bench @param {Element} into @param {Fault[]} faults @param {AtField} [field] */
export function showFaults(bench, into, faults, field) {
  const lines = faults.map((fault) => faultLine(bench, fault, field));
  const of = JSON.stringify(faults);
  const same = written.get(into) === of && lines.length === into.children.length && lines.every((line, index) => line.isEqualNode(into.children[index]));
  if (same) return;
  written.set(into, of);
  into.replaceChildren(...lines);
}
