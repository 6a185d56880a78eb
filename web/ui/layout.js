/** Rows that come and go, and the body of a section. */

import { h } from "./dom.js";

/** Rows keep their elements, and so the focus, while others come and go. A row is made again when its item is another object:
work from the notebook or another window has the same keys.
@template {Keyed} I @template {Row} R @param {HTMLElement} place @param {(item: I) => R} make */
export function keyedRows(place, make) {
  /** @type {Map<string, {item: I, row: R}>} */
  const rows = new Map();
  return {
    /** @param {string} [key] */
    get: (key = "") => rows.get(key)?.row,
    /** @param {I[]} items */
    show(items) {
      const kept = new Map(items.map((item) => [item.key, item]));
      for (const [key, { item, row }] of rows) {
        if (kept.get(key) === item) continue;
        row.forget?.();
        rows.delete(key);
      }
      for (const item of items) {
        const known = rows.get(item.key);
        if (known) known.row.refresh();
        else rows.set(item.key, { item, row: make(item) });
      }
      const nodes = items.flatMap((item) => rows.get(item.key)?.row.node ?? []);
      if (nodes.length !== place.children.length || nodes.some((node, index) => node !== place.children[index])) {
        place.replaceChildren(...nodes);
        if (place.nextElementSibling?.matches(".removed")) place.nextElementSibling.remove();     // other rows: the undo is over
      }
    },
  };
}

/** The body of a section. @param {string} name @param {string} title @param {Child} asked the fields @param {{node: Child} | null} answer
@param {{intro?: string, after?: Child}} more */
export function section(name, title, asked, answer, { intro, after } = {}) {
  return h("section", { class: `section section-${name}`, "aria-label": title },
    intro ? h("p", { class: "intro" }, intro) : null,
    h("div", { class: "asked" }, asked), answer ? answer.node : null, after ?? null);
}
