/** Lists and tables of figures. */

import { h } from "./dom.js";

/** A list of figures. What a range rests on is said where it changes. @param {(Child[] | false | null | undefined)[]} rows term,
content and class */
export function figureList(rows) {
  const list = h("dl", { class: "figures" }, rows.map((row) => {
    if (!row) return null;
    const [term, content, kind] = row;
    return h("div", { class: kind }, h("dt", {}, term), h("dd", {}, content));
  }));
  let before = "";
  for (const tag of list.querySelectorAll(".tag")) {
    const says = tag.textContent ?? "";
    if (says === before) tag.remove();
    before = says;
  }
  return list;
}

/** @typedef {Child[] | {group: string}} TableRow */

/** @param {string} caption @param {string[][]} columns label and class @param {TableRow[]} rows @param {Child[][]} foot */
export function table(caption, columns, rows, foot = []) {
  /** @param {TableRow} row */
  const line = (row) => {
    if ("group" in row) return h("tr", { class: "group" }, h("th", { scope: "rowgroup", colspan: columns.length }, row.group));
    return h("tr", {}, row.map((cell, index) =>
      (index === 0 ? h("th", { scope: "row" }, cell) : h("td", { class: columns[index][1] }, cell))));
  };
  return h("div", { class: "table", role: "region", tabindex: "0", "aria-label": caption },
    h("table", {}, h("caption", {}, caption),
      h("thead", {}, h("tr", {}, columns.map(([label, kind]) => h("th", { scope: "col", class: kind }, label)))),
      h("tbody", {}, rows.map(line)), foot.length ? h("tfoot", {}, foot.map(line)) : null));
}
