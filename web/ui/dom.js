/** Elements, and the rows and sections they are laid out in. Nothing uses innerHTML, so no entry can become markup. */

const SVG = "http://www.w3.org/2000/svg";

/** @template {Element} E @param {E} node @param {Attributes} attributes @param {Child[]} children */
function fill(node, { on = {}, ...attributes }, children) {
  for (const [event, handler] of Object.entries(on)) node.addEventListener(event, handler);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (name === "value") Object.assign(node, { value });
    else node.setAttribute(name, value === true ? "" : String(value));
  }
  append(node, children);
  return node;
}

/** @param {Element} node @param {Child[]} children */
export function append(node, children) {
  for (const child of children) {
    if (Array.isArray(child)) append(node, child);
    else if (child !== null && child !== undefined && child !== false) node.append(child);
  }
}

/** h("p", {class: "hint"}, "text", node, [nodes])
@template {keyof HTMLElementTagNameMap} K @param {K} tag @param {Attributes} attributes @param {Child[]} children */
export function h(tag, attributes = {}, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

/** @param {string} tag @param {Attributes} attributes @param {Child[]} children */
export function svg(tag, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, tag), attributes, children);
}

/** Only another text is written: what is written is laid out again. @param {Node} node @param {string} text */
export function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

let count = 0;

/** @param {string} stem */
export function uniqueId(stem) {
  count += 1;
  return `${stem}-${count}`;
}

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

/** @param {string} title @param {Child[]} content */
export function folded(title, ...content) {
  return h("details", { class: "folded" }, h("summary", {}, title), h("div", { class: "folded-body" }, content));
}
