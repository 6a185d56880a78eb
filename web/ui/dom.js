/** Elements. Nothing uses innerHTML, so no entry can become markup. */

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

/** @param {Child[]} children @returns {(Node | string)[]} */
const nodesOf = (children) => /** @type {any[]} */ (children).flat(Infinity).filter(Boolean);

/** @param {Element} node @param {Child[]} children */
export function append(node, children) {
  node.append(...nodesOf(children));
}

/** The same nodes stay: what is put again is laid out again. @param {Element} place @param {Child[]} content */
export function setNodes(place, ...content) {
  const [nodes, there] = [nodesOf(content), place.childNodes];
  if (nodes.length !== there.length || nodes.some((node, index) => node !== there[index])) place.replaceChildren(...nodes);
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

/** Only another text is written. @param {Node} node @param {string} text */
export function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

let count = 0;

/** @param {string} stem */
export function uniqueId(stem) {
  count += 1;
  return `${stem}-${count}`;
}

/** @param {string} title @param {Child[]} content */
export function folded(title, ...content) {
  return h("details", { class: "folded" }, h("summary", {}, title), h("div", { class: "folded-body" }, content));
}
