/** A section of the card: a number, a heading, what is asked and what is answered. */

import { h, uniqueId } from "./dom.js";

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
