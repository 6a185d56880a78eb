/** A table with a column an item. Columns and rows keep their elements, and so the focus, while others come and go. */

import { h, uniqueId } from "./dom.js";

const HEAD = "";            // the row of the headings

/** @param {Element} place @param {Element[]} nodes */
function put(place, nodes) {
  const same = nodes.length === place.children.length && nodes.every((node, index) => node === place.children[index]);
  if (!same) place.replaceChildren(...nodes);
}

/** Enter moves the focus down the column and on to the next one, with Shift back.
@param {HTMLTableElement} table @param {KeyboardEvent} event */
function moveOn(table, event) {
  const from = event.target;
  if (event.key !== "Enter" || !(from instanceof HTMLInputElement)) return;
  /** @type {HTMLElement[]} */
  const fields = [];
  for (let index = 1; index < table.rows[0].cells.length; index += 1) {
    for (const row of table.rows) {
      const found = row.matches(".faults") ? [] : row.cells[index]?.querySelectorAll("input, select") ?? [];
      for (const field of found) if (field instanceof HTMLElement && field.offsetParent) fields.push(field);
    }
  }
  const next = fields[fields.indexOf(from) + (event.shiftKey ? -1 : 1)];
  if (!next) return;
  event.preventDefault();
  next.focus();
}

/** @param {string} name @param {GridRow} row */
function newRow(name, { group, kind = "" }) {
  const words = h("span", { id: uniqueId("row") });
  const unit = h("small", {});
  // Of a wide heading both stay in view while the columns move.
  const said = group ? h("span", { class: "stays" }, words, " ", unit) : [words, " ", unit];
  const head = h("th", { scope: name === HEAD ? "col" : group ? "rowgroup" : "row" }, said);
  const wide = h("td", {});
  return { words, unit, head, wide, row: h("tr", { class: `${group ? "head " : ""}${kind}`.trim() || null }, head),
           faults: h("tr", { class: "faults" }, wide) };
}

/** The heading of the first column is that of all rows.
@template {Keyed} I @template {GridColumn} C @param {string} label @param {string} corner @param {(item: I) => C} make */
export function createGrid(label, corner, make) {
  /** @typedef {{item: I, column: C, title: HTMLElement, cells: Map<string, HTMLElement>, whose: Map<string, HTMLElement>}} Kept */
  /** @type {Map<string, Kept>} */
  const columns = new Map();
  /** @type {Map<string, ReturnType<typeof newRow>>} */
  const rows = new Map();
  const parts = { head: h("thead", {}), body: h("tbody", {}), foot: h("tfoot", {}) };
  /** @type {HTMLTableElement} */
  const table = h("table", { class: "grid", on: { keydown: (event) => moveOn(table, event) } }, parts.head, parts.body, parts.foot);
  const node = h("div", { class: "scroll", role: "group", tabindex: "0", "aria-label": label }, table);

  /** Makes the columns that are new and forgets those that are gone; whether there are any.
  @param {I[]} items @param {Map<string, string>} titles */
  function takeColumns(items, titles) {
    const wanted = new Map(items.map((item) => [item.key, item]));
    let changed = false;
    for (const [key, { item, column }] of columns) {
      if (wanted.get(key) === item) continue;
      column.forget?.();
      columns.delete(key);
      changed = true;
    }
    for (const item of items) {
      const known = columns.get(item.key);
      if (known) {
        known.column.refresh();
        continue;
      }
      const title = h("span", { class: "unseen", id: uniqueId("column") });
      columns.set(item.key, { item, column: make(item), title, cells: new Map(), whose: new Map() });
      changed = true;
    }
    retitle(titles);
    return changed;
  }

  /** @param {GridRow[]} wanted */
  function forgetRows(wanted) {
    for (const name of [...rows.keys()].filter((each) => wanted.every((row) => row.name !== each))) {
      rows.delete(name);
      for (const { cells, whose, column } of columns.values()) {
        cells.delete(name);
        whose.delete(name);
        column.drop?.(name);
      }
    }
  }

  /** The cell of a column in a row, its fields named by both. @param {Kept} kept @param {string} name */
  function cellOf(kept, name) {
    const known = kept.cells.get(name);
    if (known) return known;
    const { content = null, faults = [], kind } = (name === HEAD ? kept.column.head : kept.column.cell(name)) ?? {};
    const cell = name === HEAD ? h("th", { scope: "col" }, kept.title, content) : h("td", { class: kind }, content);
    const names = `${rows.get(name)?.words.id} ${kept.title.id}`;
    if (name !== HEAD) for (const input of kept.column.inputs(name)) input.setAttribute("aria-labelledby", names);
    kept.cells.set(name, cell);
    // Faults are written below the row, over its whole width, with the column they belong to.
    const whose = h("div", { class: "whose" }, h("b", { "aria-hidden": "true" }, kept.title.textContent), faults);
    if (faults.length) kept.whose.set(name, whose);
    return cell;
  }

  /** The elements of a row: itself, and room for its faults. @param {GridRow} row @param {Kept[]} shown */
  function layRow(row, shown) {
    const { name, label: words, unit = "", group } = row;
    const found = rows.get(name) ?? newRow(name, row);
    rows.set(name, found);
    found.words.textContent = words;
    found.unit.textContent = unit;
    const [wide, all] = [group ? found.head : found.wide, String(shown.length + 1)];
    if (wide.getAttribute("colspan") !== all) wide.setAttribute("colspan", all);
    if (group) return [found.row];
    put(found.row, [found.head, ...shown.map((kept) => cellOf(kept, name))]);
    const whose = shown.flatMap((kept) => kept.whose.get(name) ?? []);
    put(found.wide, whose);
    return whose.length ? [found.row, found.faults] : [found.row];
  }

  /** @param {Map<string, string>} titles */
  function retitle(titles) {
    for (const [key, { title, whose }] of columns) {
      title.textContent = titles.get(key) ?? "";
      for (const each of whose.values()) if (each.firstChild) each.firstChild.textContent = title.textContent;
    }
  }

  return {
    node, retitle,
    /** @param {string} [key] */
    column: (key = "") => columns.get(key)?.column,
    /** The cells of a column, its heading included. @param {string} key */
    cells: (key) => [...columns.get(key)?.cells.values() ?? []],
    /** @param {I[]} items @param {GridRow[]} below the rows under the headings @param {Map<string, string>} titles of the columns, by their keys */
    show(items, below, titles) {
      const before = columns.size;
      const wanted = [{ name: HEAD, label: corner }, ...below];
      const changed = takeColumns(items, titles);
      forgetRows(wanted);
      const shown = items.flatMap((item) => columns.get(item.key) ?? []);
      /** @type {Record<keyof typeof parts, Element[]>} */
      const laid = { head: [], body: [], foot: [] };
      for (const row of wanted) laid[row.name === HEAD ? "head" : row.foot ? "foot" : "body"].push(...layRow(row, shown));
      put(parts.head, laid.head);
      put(parts.body, laid.body);
      put(parts.foot, laid.foot);
      table.style.setProperty("--columns", String(items.length));
      if (changed && node.nextElementSibling?.matches(".removed")) node.nextElementSibling.remove();      // other columns: the undo is over
      if (columns.size > before) node.scrollLeft = node.scrollWidth;                                      // the newest is the last
    },
  };
}
