/** Numbers and estimates for reading. Each keeps its full value in <data value>. */

import { h } from "./dom.js";
import { showNumber } from "./numbers.js";

/** Writers of figures for one bench. */
export function figuresOf(bench) {
  const { t } = bench;
  const unitWord = (unit) => (t.has(`units.${unit}`) ? t(`units.${unit}`) : unit ?? "");
  const unitOf = (quantity) => (quantity in bench.units().wire ? bench.units().unit(quantity) : quantity ?? "");

  function text(value, quantity, digits) {
    const unit = unitWord(unitOf(quantity));
    return `${showNumber(value, bench.locale, digits)}${unit ? `\u00a0${unit}` : ""}`;
  }

  /** A number with its unit; — when there is none. */
  function figure(value, quantity, digits) {
    if (value === null || value === undefined) return h("span", { class: "figure" }, "—");
    return h("data", { class: "figure", value: String(value) }, text(value, quantity, digits));
  }

  /** An estimate: its best value, then its band and what it rests on in words. */
  function estimate(value, quantity, digits) {
    return [figure(value.best, quantity, digits), " ", band(value, quantity, digits)];
  }

  function band(value, quantity, digits) {
    const low = showNumber(value.low, bench.locale, digits);
    return h("span", { class: "band" },
      value.low === value.high ? t("estimate.sure", { evidence: t(`evidence.${value.evidence}`) })
        : t("estimate.band", { low, high: text(value.high, quantity, digits), evidence: t(`evidence.${value.evidence}`) }));
  }

  /** A mass in a table, each with the same decimals. */
  const weight = (value) => figure(value, "mass", { g: 1, oz: 2 }[bench.units().unit("mass")]);

  /** The band alone, for tables. */
  function range(value, digits) {
    const [low, high] = [value.low, value.high].map((each) => showNumber(each, bench.locale, digits));
    return low === high ? null : h("span", { class: "band" }, t("estimate.range", { low, high }));
  }

  return { text, figure, estimate, band, range, weight, unitWord };
}

/** A list of figures: [term, content, extra class]. */
export function figureList(rows) {
  return h("dl", { class: "figures" }, rows.filter(Boolean).map(([term, content, kind]) =>
    h("div", { class: kind }, h("dt", {}, term), h("dd", {}, content))));
}

/** A table with a caption and a header row; columns: [label, class]. rows: [cells], or {group: "heading"}. */
export function table(caption, columns, rows, foot = []) {
  const line = (row) => {
    if (row.group) return h("tr", { class: "group" }, h("th", { scope: "rowgroup", colspan: columns.length }, row.group));
    return h("tr", {}, row.map((cell, index) =>
      (index === 0 ? h("th", { scope: "row" }, cell) : h("td", { class: columns[index][1] }, cell))));
  };
  return h("div", { class: "table", role: "region", tabindex: "0", "aria-label": caption },
    h("table", {}, h("caption", {}, caption),
      h("thead", {}, h("tr", {}, columns.map(([label, kind]) => h("th", { scope: "col", class: kind }, label)))),
      h("tbody", {}, rows.map(line)), foot.length ? h("tfoot", {}, foot.map(line)) : null));
}
