/** The bakes of the log: what they are called, what is scored when, and how one is added. */

import { ratioTonight } from "../service/learn-requests.js";
import { newKey } from "../state/work.js";
import { figuresOf } from "../ui/figures.js";

export const FIRST_DAYS = [0, 1, 2, 3];
const GLUTEN = "vital_gluten";
const MOST_LETTERS = 60;        // of a loaf's name, for the service

/** Every column there is, from the oldest on: loaves of which only the scores were kept, then the bakes.
@param {Notebook} book @returns {LogColumn[]} */
export function columnsOf({ loaves, trials }) {
  return [...loaves, ...trials];
}

/** The bread of a bake, where it is another than the one being worked on. @param {Bench} bench @param {LogColumn} column */
export const otherBread = ({ state }, column) => (isBake(column) && column.bread !== state.formula.name ? column.bread ?? "" : "");

/** @param {LogColumn} column @returns {column is Trial} */
export function isBake(column) {
  return "dough_mass" in column;
}

/** What each column is called: its share; with its day where several have it, and with a number where that is the same too.
@param {Bench} bench @param {LogColumn[]} columns @returns {Map<string, string>} */
export function titlesOf(bench, columns) {
  const { text } = figuresOf(bench);
  const nameOf = (/** @type {LogColumn} */ column) => column.name.trim().slice(0, MOST_LETTERS - 15) || bench.t("log.nameless");
  const plain = columns.map((column) => (isBake(column) && typeof column.scalded_share_percent === "number"
    ? text(column.scalded_share_percent, "percent") : nameOf(column)));
  const isOne = (/** @type {string} */ title) => plain.indexOf(title) === plain.lastIndexOf(title);
  const dated = columns.map((column, index) => (isOne(plain[index]) || plain[index] === nameOf(column)
    ? plain[index] : `${plain[index]}, ${nameOf(column)}`));
  return new Map(columns.map(({ key }, index) => {
    const before = dated.slice(0, index).filter((each) => each === dated[index]).length;
    return [key, before ? `${dated[index]} (${before + 1})` : dated[index]];
  }));
}

/** A score for a day, put where it belongs in the order of days. @param {LogColumn} column @param {number} days @param {Entry} score */
export function newScore(column, days, score) {
  const points = column.points ??= [];
  const later = points.findIndex((point) => typeof point.days === "number" && point.days > days);
  points.splice(later < 0 ? points.length : later, 0, { key: newKey(), days, score });
}

/** The scores of a day; several are of several tasters or slices. @param {LogColumn} column @param {number} day */
export function scoresOf({ points = [] }, day) {
  return points.filter(({ days }) => days === day);
}

/** @param {Intl.LocalesArgument} locale */
function today(locale) {
  return new Intl.DateTimeFormat(locale, { day: "numeric", month: "short", year: "2-digit" }).format(new Date());
}

/** A bake to fill in, in the tin of the bread being worked on. @param {Bench} bench
@param {{share: Entry, ratio: Entry, gluten: Entry, hydration?: number, dough?: number, of?: string}} bread ratio: of the scald; of: what
else it differs in @returns {Trial} */
export function newBake({ t, locale, state }, { share, ratio, gluten, hydration, dough, of }) {
  return {
    key: newKey(), name: of ? [today(locale), of].join(t("write.list")) : today(locale), scalded_share_percent: share,
    hydration_percent: hydration === undefined ? null : Number(hydration.toFixed(2)),
    scald_liquid_ratio: typeof ratio === "number" ? Number(ratio.toFixed(2)) : null,
    gluten_percent: typeof gluten === "number" && gluten > 0 ? Number(gluten.toFixed(2)) : null,
    dough_mass: dough === undefined ? null : Math.round(dough),
    volume_by: "fill_percent", loaf_volume: null, fill_percent: null, crown_height: null, bread: state.formula.name,
    pan: { ...state.pan }, baked_mass: null, proof_minutes: null,
  };
}

/** @param {Bench} bench @param {Trial[]} bakes */
function add(bench, bakes) {
  bench.changeNotebook((book) => { book.trials.push(...bakes); });
  bench.redraw();
}

/** Logs the bread being worked on, as answered for its entries as they are now, and returns the new bake. @param {Bench} bench */
export function logNow(bench) {
  const { state, units } = bench;
  const { fill, formula, water } = bench.answers.now();
  const bake = newBake(bench, {
    share: typeof state.share === "number" ? state.share : null, ratio: state.share === 0 ? null : ratioTonight(state, formula, water),
    gluten: water?.formula.lines.reduce((sum, { ingredient, percent }) => sum + (ingredient === GLUTEN ? percent : 0), 0) ?? null, hydration: water?.hydration_percent,
    dough: fill && units().inward(fill.dough_mass.best, "mass"),
  });
  add(bench, [bake]);
  return bake;
}

/** Logs several breads, but none again that was logged today and has nothing measured yet. How many are new.
@param {Bench} bench @param {Trial[]} bakes */
export function logAll(bench, bakes) {
  const waiting = bench.notebook.state.trials.filter((bake) => (
    [bake.fill_percent, bake.loaf_volume, bake.crown_height].every((measured) => measured === null)));
  const fresh = bakes.filter((bake) => !waiting.some(({ name, scalded_share_percent: share, dough_mass: dough }) =>
    name === bake.name && share === bake.scalded_share_percent && dough === bake.dough_mass));
  if (fresh.length) add(bench, fresh);
  return fresh;
}
