/** The rows of the comparison: what each share takes to weigh, and what comes of it. */

import { figuresOf } from "../ui/figures.js";
import { showNumber } from "../ui/numbers.js";

const WHOLE_GRAMS = 10;         // from here on masses are shown without decimals
const BAND_STEP = 5;            // g

/** @typedef {Replies["loaf-plan"]} Plan */
/** @typedef {GridRow & {texts: (string | null)[]}} ComparedRow the text of each column; null where it is refused */

/** The lines to weigh by part and ingredient, with their percent of flour. @param {Plan} plan */
function linesOf({ parts }) {
  const { weigh_out: lines, formula } = parts.scaling;
  const seen = new Map();
  return lines.map(({ ingredient, part, mass }, index) => {
    const stem = `${part}/${ingredient}`;
    seen.set(stem, (seen.get(stem) ?? 0) + 1);
    return { name: `${stem}/${seen.get(stem)}`, ingredient, part, mass, percent: formula.lines[index].percent };
  });
}

/** The lines that the share moves: the scald, the liquids, and whatever else changes its part of the flour. Salt, fat and sugar keep
theirs. @param {Bench} bench @param {(Plan | null)[]} plans */
function movedLines(bench, plans) {
  const all = plans.map((plan) => new Map((plan ? linesOf(plan) : []).map((line) => [line.name, line])));
  const names = [...new Set(all.flatMap((lines) => [...lines.keys()]))];
  const found = names.flatMap((name) => {
    const lines = all.map((lines) => lines.get(name));
    const [{ ingredient, part }] = /** @type {ReturnType<typeof linesOf>} */ (lines.filter(Boolean));
    const percents = plans.flatMap((plan, index) => (plan ? [Math.round((lines[index]?.percent ?? 0) * 10)] : []));
    const moved = part === "scald" || bench.isLiquid(ingredient) || new Set(percents).size > 1;
    return moved ? [{ name, ingredient, part, masses: plans.map((plan, index) => (plan ? lines[index]?.mass ?? 0 : null)) }] : [];
  });
  return (/** @type {Part} */ part) => found.filter((line) => line.part === part);
}

/** @param {Bench} bench @param {(Plan | null)[]} plans @returns {ComparedRow[]} */
export function compareRows(bench, plans) {
  const { t, locale, names } = bench;
  const { unitWord } = figuresOf(bench);
  const inGrams = bench.units().wire.mass === "g";
  const unit = unitWord(bench.units().unit("mass"));
  const percent = unitWord("percent");
  const mass = (/** @type {number} */ value) => showNumber(value, locale, !inGrams ? 2 : value !== 0 && value < WHOLE_GRAMS ? 1 : 0);
  const end = (/** @type {number} */ value) => showNumber(inGrams ? Math.round(value / BAND_STEP) * BAND_STEP : value, locale, inGrams ? 0 : 1);
  /** @param {string} name @param {string} label @param {string | undefined} of @param {(plan: Plan) => string} text @param {string} [kind]
  @returns {ComparedRow} */
  const row = (name, label, of, text, kind) => ({ name, label, unit: of, kind, texts: plans.map((plan) => plan && text(plan)) });
  const moved = movedLines(bench, plans);
  /** @param {Part} part @returns {ComparedRow[]} */
  const part = (part) => [{ name: part, label: t(`compare.${part}`), unit, group: true, texts: [] },
    ...moved(part).map(({ name, ingredient, masses }) => (
      { name, label: names.label(ingredient), texts: masses.map((each) => (each === null ? null : mass(each))) }))];
  return [
    row("dough", t("compare.doughPerTin"), unit, (plan) => showNumber(plan.dough_mass.best, locale, inGrams ? 0 : 1)),
    row("range", t("compare.range"), unit, ({ dough_mass: { low, high } }) => t("log.range", { low: end(low), high: end(high) }), "range"),
    ...part("scald"), ...part("dough").map((each) => (each.name === "dough" ? { ...each, name: "main" } : each)),
    { name: "bread", label: t("compare.bread"), group: true, texts: [] },
    row("hydration", t("compare.hydration"), percent, (plan) => showNumber(Math.round(plan.hydration_percent * 2) / 2, locale)),
    ...(plans.some((plan) => plan?.sugar) ? [
      row("sweetness", t("compare.sweetness"), percent, ({ sugar }) => (sugar ? showNumber(sugar.sweetness_percent.best, locale, 1) : "—")),
      row("yeast", t("compare.yeast"), undefined, ({ sugar }) => (sugar ? t(`compare.yeast_${sugar.assessment}`) : "—")),
    ] : []),
  ];
}
