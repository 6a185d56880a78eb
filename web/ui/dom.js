/** Elements, and the rows and sections they are laid out in. Nothing uses innerHTML, so no entry can become markup. */

const SVG = "http://www.w3.org/2000/svg";

function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (name === "on") for (const [event, handler] of Object.entries(value)) node.addEventListener(event, handler);
    else if (name === "value") node.value = value;
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

/** h("p", {class: "hint"}, "text", node, [nodes]) -> the element. */
export function h(tag, attributes = {}, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

/** The same for SVG. */
export function svg(tag, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, tag), attributes, children);
}

let count = 0;

/** An id that no other part of the document has. */
export function uniqueId(stem) {
  count += 1;
  return `${stem}-${count}`;
}

/** Rows of a list that keep their elements, and so the focus, while others come and go.

keyedRows(place, make): make(item) -> {node, refresh(), forget()}; show(items) lays them out. A row is made
anew when its item is another object: work from the notebook or from another window has the same keys. */
export function keyedRows(place, make) {
  const rows = new Map();         // key -> {item, row}
  return {
    get: (key) => rows.get(key)?.row,
    show(items) {
      const kept = new Map(items.map((item) => [item.key, item]));
      for (const [key, { item, row }] of rows) {
        if (kept.get(key) === item) continue;
        row.forget?.();
        rows.delete(key);
      }
      for (const item of items) {
        if (rows.has(item.key)) rows.get(item.key).row.refresh();
        else rows.set(item.key, { item, row: make(item) });
      }
      const nodes = items.map((item) => rows.get(item.key).row.node);
      if (nodes.length !== place.children.length || nodes.some((node, index) => node !== place.children[index])) {
        place.replaceChildren(...nodes);
      }
    },
  };
}

/** A section of the card: a number, a heading, what is asked and what is answered. */
export function section(name, title, asked, answer, { intro, after } = {}) {
  const id = uniqueId(name);
  return h("section", { class: `section section-${name}`, "aria-labelledby": id },
    h("h2", { id, tabindex: "-1" }, title), intro ? h("p", { class: "intro" }, intro) : null,
    h("div", { class: "asked" }, asked), answer ? answer.node : null, after ?? null);
}

/** Fields that are seldom needed, folded away. */
export function folded(title, ...content) {
  return h("details", { class: "folded" }, h("summary", {}, title), h("div", { class: "folded-body" }, content));
}
