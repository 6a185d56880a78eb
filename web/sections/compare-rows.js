/** The rows of the comparison: what each bread takes to weigh, and what comes of it. */

import { doughEnds, figuresOf } from "../ui/figures.js";
import { showNumber } from "../ui/numbers.js";

const WHOLE_GRAMS = 10;         // from here on masses are shown without decimals
const SAME = 1e-9;              // figures that differ by less are the same

/** @typedef {Required<Omit<Replies["variants"]["variants"][0], "problem" | "cost" | "yeast_fed" | "scald_starch">>
  & Pick<Replies["variants"]["variants"][0], "yeast_fed">} Made a bread that can be made */
/** @typedef {GridRow & {texts: (string | null)[]}} ComparedRow the text of each column; null where it is refused */

/** The lines to weigh by part and ingredient, with their percent of flour. @param {Made} made */
function linesOf({ weigh_out: lines, formula }) {
  const seen = new Map();
  return lines.map(({ ingredient, part, mass }, index) => {
    const stem = `${part}/${ingredient}`;
    seen.set(stem, (seen.get(stem) ?? 0) + 1);
    return { name: `${stem}/${seen.get(stem)}`, ingredient, part, mass, percent: formula.lines[index].percent };
  });
}

/** The lines that differ: the scald, the liquids, and whatever else changes its part of the flour. Others keep theirs.
@param {Bench} bench @param {(Made | null)[]} breads */
function movedLines(bench, breads) {
  const all = breads.map((made) => new Map((made ? linesOf(made) : []).map((line) => [line.name, line])));
  const names = [...new Set(all.flatMap((lines) => [...lines.keys()]))];
  const found = names.flatMap((name) => {
    const lines = all.map((lines) => lines.get(name));
    const [{ ingredient, part }] = /** @type {ReturnType<typeof linesOf>} */ (lines.filter(Boolean));
    const percents = breads.flatMap((made, index) => (made ? [Math.round((lines[index]?.percent ?? 0) * 10)] : []));
    const moved = part === "scald" || bench.isLiquid(ingredient) || new Set(percents).size > 1;
    return moved ? [{ name, ingredient, part, masses: breads.map((made, index) => (made ? lines[index]?.mass ?? 0 : null)) }] : [];
  });
  return (/** @type {Part} */ part) => found.filter((line) => line.part === part);
}

/** @param {Bench} bench @param {(Made | null)[]} breads @returns {ComparedRow[]} */
export function compareRows(bench, breads) {
  const { t, locale, names } = bench;
  const { unitWord } = figuresOf(bench);
  const inGrams = bench.units().wire.mass === "g";
  const unit = unitWord(bench.units().unit("mass"));
  const percent = unitWord("percent");
  const mass = (/** @type {number} */ value) => showNumber(value, locale, !inGrams ? 2 : value !== 0 && value < WHOLE_GRAMS ? 1 : 0);
  /** @param {string} name @param {string} label @param {string | undefined} of @param {(made: Made) => string} text @param {string} [kind]
  @returns {ComparedRow} */
  const row = (name, label, of, text, kind) => ({ name, label, unit: of, kind, texts: breads.map((made) => made && text(made)) });
  const moved = movedLines(bench, breads);
  /** @param {Part} part @returns {ComparedRow[]} */
  const part = (part) => [{ name: part, label: t(`compare.${part}`), unit, group: true, texts: [] },
    ...moved(part).map(({ name, ingredient, masses }) => (
      { name, label: names.label(ingredient), texts: masses.map((each) => (each === null ? null : mass(each))) }))];
  /** A row that is of interest only where the breads differ in it. @param {(made: Made) => number | null} of @param {ComparedRow} found */
  const ifMoved = (of, found) => {
    const values = breads.flatMap((made) => (made ? [of(made) ?? 0] : []));
    return Math.max(...values) - Math.min(...values) > SAME ? [found] : [];
  };
  return [
    row("dough", t("compare.doughPerTin"), unit, (made) => showNumber(made.dough_mass.best, locale, inGrams ? 0 : 1)),
    row("range", t("compare.range"), unit, (made) => {
      const { low, highNumber: high } = doughEnds(bench, made.dough_mass);
      return t("log.range", { low, high });
    }, "range"),
    ...part("scald"), ...part("dough").map((each) => (each.name === "dough" ? { ...each, name: "main" } : each)),
    { name: "bread", label: t("compare.bread"), group: true, texts: [] },
    ...ifMoved((made) => made.scald_liquid_ratio, row("ratio", t("compare.ratio"), undefined, ({ scald_liquid_ratio: ratio }) => (
      ratio === null ? "—" : showNumber(Number(ratio.toFixed(2)), locale)))),
    row("hydration", t("compare.hydration"), percent, (made) => showNumber(made.hydration_percent, locale, 1)),
    ...ifMoved((made) => made.sucrose_percent, row("sugar", t("compare.sugar"), percent, (made) => showNumber(made.sucrose_percent, locale, 1))),
    ...ifMoved((made) => made.gluten_percent, row("gluten", t("compare.gluten"), percent, (made) => showNumber(made.gluten_percent, locale, 1))),
    ...(breads.some((made) => made?.sweetness_percent) ? [
      row("sweetness", t("compare.sweetness"), percent, ({ sweetness_percent: sweet }) => (sweet ? showNumber(sweet.best, locale, 1) : "—")),
      row("yeast", t("compare.yeast"), undefined, ({ yeast_fed: fed }) => (fed ? t(`compare.yeast_${fed}`) : "—")),
    ] : []),
  ];
}
