/** What is folded below the comparison: what each bread has of its own, the differences from the first, and all weighed out at once. */

import { OWN_FIGURES } from "../service/compare-requests.js";
import { h } from "../ui/dom.js";
import { numberField } from "../ui/fields.js";
import { figuresOf } from "../ui/figures.js";
import { createGrid } from "../ui/grid.js";
import { showNumber } from "../ui/numbers.js";
import { table } from "../ui/tables.js";
import { saveText } from "./save-text.js";
import { printOnly } from "./print-only.js";

const MOST_DECIMALS = 4;
const SAME = 1e-9;              // figures that differ by less are the same

/** @typedef {Replies["variants"]} Reply */
/** @typedef {import("./compare-section.js").Place} Place */
/** @typedef {{current(): import("./compare-section.js").Compared | null, places(): Place[], titles(): Map<string, string>,
  breadOf(index: number): ComparedBread | undefined, change(index: number, name: OwnFigure, value: Entry): void}} Given */
/** @typedef {{write(): void}} More */

/** The fields of a bread for what it has of its own. @param {Bench} bench @param {Place} place @param {Given} given */
function ownColumn({ t, locale, units, board, api, names }, { index }, { breadOf, change }) {
  // Its own bench: the ways out of a fault are those of this column, not of the bread being worked on.
  const fields = Object.fromEntries(Object.entries(OWN_FIGURES).map(([name, quantity]) => {
    const figure = /** @type {OwnFigure} */ (name);
    return [name, numberField({ t, locale, units, board, api, names }, {
      label: t(`compare.own_${name}`), hideLabel: true, quantity, optional: true, place: `compare/${index}/${name}`,
      get: () => breadOf(index)?.[figure] ?? null, set: (value) => change(index, figure, value) })];
  }));
  for (const { input } of Object.values(fields)) input.setAttribute("enterkeyhint", "next");
  const title = h("span", {});
  return {
    head: { content: title },
    /** @param {string} row @returns {GridCell} */
    cell: (row) => ({ content: fields[row].node, faults: [/** @type {Element} */ (fields[row].node.querySelector(".fault"))] }),
    /** @param {string} row */
    inputs: (row) => [fields[row].input],
    refresh() { for (const field of Object.values(fields)) field.refresh(); },
    forget() { for (const field of Object.values(fields)) field.forget?.(); },
    /** What is used where a field is blank. @param {string} name @param {import("./compare-rows.js").Made | null} made */
    used(name, made) {
      title.textContent = name;
      for (const [figure, { input }] of Object.entries(fields)) {
        const value = made?.[/** @type {OwnFigure} */ (figure)];
        input.placeholder = typeof value === "number" ? showNumber(value, locale, 1) : "";
      }
    },
  };
}

/** Each bread less the first. @param {Bench} bench @param {Reply} reply */
function writeDifferences(bench, { variants, differences }) {
  const { t, locale } = bench;
  const { unitWord } = figuresOf(bench);
  const { wire } = bench.units();
  const [first] = variants.filter((each) => !each.problem);
  if (!differences.length) return h("p", { class: "hint" }, t("compare.noDifferences"));
  const signed = (/** @type {number} */ value, /** @type {number} */ digits) => (
    new Intl.NumberFormat(locale, { signDisplay: "exceptZero", maximumFractionDigits: digits }).format(Math.abs(value) < SAME ? 0 : value).replace("-", "\u2212"));
  const points = t("compare.points");
  /** @type {[string, keyof Reply["differences"][0], string, number][]} */
  const rows = [
    ["doughPerTin", "dough_mass", unitWord(wire.mass), wire.mass === "g" ? 0 : 1], ["volume", "specific_volume_percent", unitWord("percent"), 0],
    ["hydration", "hydration_points", points, 1], ["ratio", "scald_liquid_ratio", "", 2], ["sugar", "sucrose_points", points, 1],
    ["gluten", "gluten_points", points, 1], ["sweetness", "sweetness_points", points, 1], ["sugarLeft", "sugar_left_points", points, 1],
    ["lasts", "free_sugar_lasts_hours", unitWord("hours"), 1],
  ];
  const shown = rows.filter(([, field]) => differences.some((each) => Math.abs(Number(each[field] ?? 0)) > SAME));
  return table(t("compare.lessFirst", { name: first.name }),
    [[t("compare.scalded"), ""], ...differences.map(({ name }) => [name, "number"])],
    shown.map(([label, field, unit, digits]) => [[t(`compare.${label}`), unit ? h("small", {}, ` ${unit}`) : ""],
      ...differences.map((each) => (typeof each[field] === "number" ? signed(each[field], digits) : "—"))]));
}

/** One weigh-out for all: what is made once with its portions, then the rest of each. @param {Bench} bench @param {Reply} reply
*/
function writeTogether(bench, { weigh_out: { scalds, common, rest } }) {
  const { t, locale, names } = bench;
  const { onScale, text } = figuresOf(bench);
  const lineOf = (/** @type {Reply["weigh_out"]["rest"][0]["lines"][0]} */ line) => (
    h("li", {}, h("b", {}, onScale(line)), " ", names.label(line.ingredient)));
  /** @param {string} title @param {Reply["weigh_out"]["scalds"][0] | NonNullable<typeof common>} mix */
  const shared = (title, { lines, total, portions }) => {
    // Portions come in steps of the coarser scale, and the total as they add up: a fine line in it shows no finer one.
    const digits = Math.max(0, ...portions.map(({ mass }) => String(Number(mass.toFixed(MOST_DECIMALS))).split(".")[1]?.length ?? 0));
    const mass = (/** @type {number} */ value) => text(value, "mass", digits);
    return h("div", { class: "mix" }, h("h3", {}, title), h("ul", {}, lines.map(lineOf)),
      h("p", {}, t("compare.madeOnce", { total: mass(total) })),
      h("ul", { class: "portions" }, portions.map((each) => h("li", {}, h("b", {}, mass(each.mass)), " ", t("compare.portionFor", { name: each.name })))));
  };
  return [
    ...scalds.map((scald) => shared(scald.liquid_ratio === null ? t("compare.scald")
      : t("compare.scaldOf", { ratio: `${t("write.toOne")}${showNumber(Number(scald.liquid_ratio.toFixed(2)), locale)}` }), scald)),
    common ? shared(t("compare.dryMix"), common) : null,
    ...rest.map(({ name, lines }) => h("div", { class: "mix" }, h("h3", {}, t("compare.restOf", { name: name })), h("ul", {}, lines.map(lineOf)))),
  ];
}

/** @param {Bench} bench @param {Given} given @param {Record<"own" | "differences" | "together", HTMLElement>} rooms @returns {More} */
export function compareMore(bench, given, rooms) {
  const { t } = bench;
  const grid = createGrid(t("compare.own"), t("compare.scalded"), (/** @type {Place} */ place) => ownColumn(bench, place, given));
  rooms.own.append(h("p", { class: "hint" }, t("compare.ownHint")), grid.node);
  const said = h("p", { role: "status", class: "said" });
  const weighed = h("div", { class: "weighed" });
  const download = h("button", { type: "button", on: { click: saveTable } }, t("compare.csv"));
  const print = h("button", { type: "button", on: { click: () => {
    if (given.current()) printOnly(h("div", { class: "printed-mixes" }, h("h1", {}, bench.state.formula.name), h("h2", {}, t("compare.together")), weighed.cloneNode(true)));
  } } }, t("compare.printTogether"));
  const buttons = h("div", { class: "buttons" }, print, download);
  rooms.together.append(weighed, buttons, said);

  /** The figures as a table of values, of the breads as they are now. */
  async function saveTable() {
    const now = given.current();
    if (!now) return;
    said.textContent = "";
    try {
      const response = await fetch("/v1/variants.csv", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(now.asked) });
      if (!response.ok) throw new Error(String(response.status));
      saveText(`${bench.state.formula.name || "scaldloaf"}.csv`, await response.text(), "text/csv");
    } catch {
      said.textContent = t("link.lost");
    }
  }

  return {
    write() {
      const now = given.current();
      const titles = given.titles();
      const columns = given.places().slice(1);
      grid.show(columns, Object.entries(OWN_FIGURES).map(([name, quantity]) => (
        { name, label: t(`compare.own_${name}`), unit: quantity === "percent" ? t("units.percent") : "" })), titles);
      for (const { key, index } of columns) {
        const bread = now?.breads[index];
        grid.column(key)?.used(titles.get(key) ?? "", bread && !(bread instanceof Error) ? bread : null);
      }
      buttons.hidden = !now;
      rooms.differences.replaceChildren(...(now ? [writeDifferences(bench, now.reply)] : []));
      weighed.replaceChildren(...(now ? writeTogether(bench, now.reply).filter((each) => each !== null) : []));
    },
  };
}
