/** Kept work that the page can't use: says so, saves it as a file, and deletes it when the baker says so. */

import { h } from "../ui/dom.js";
import { WORK_KEY } from "./kept.js";
import { keptIn, saveKept } from "./rescue.js";

// The part of the page that shows a field of the work or of the notebook.
/** @type {Record<string, string>} */
const PARTS = {
  formula: "formula", share: "water", water: "water", pan: "fill", pans: "fill", fill_percent: "fill", bake_loss_percent: "fill",
  bread: "fill", stages: "sugar", yeast_tolerance: "sugar", damaged_starch_percent: "sugar", plan: "plan", weigh: "weigh",
  ticked: "weigh", breads: "notebook", trials: "trials", loaves: "keeping", keeping: "keeping",
};

/** What the page calls the part where a fault is. @param {Texts} t @param {(string | number)[]} at */
export function partOf(t, [name = ""]) {
  return t(Object.hasOwn(PARTS, name) ? `${PARTS[name]}.title` : "kept.other");
}

/** Says which kept work can't be used, and why changes can't be saved. @param {Bench} bench @param {string | null} unsaved */
export function keptSaid({ t, unused, storage }, unsaved) {
  const parts = unused.map(({ key, at }) => (at.length ? partOf(t, at) : t(key === WORK_KEY ? "kept.work" : "notebook.title")));
  return [
    unused.length ? h("p", {}, t("kept.unused", { parts: [...new Set(parts)].join(", ") })) : null,
    unsaved ? h("p", {}, t(`kept.unsaved_${unsaved}`)) : null,
    unused.length ? h("button", { type: "button", on: { click: () => saveKept(storage) } }, t("kept.save")) : null,
  ].filter((each) => each !== null);
}

/** A row for the notebook while anything is set aside. @param {Bench} bench */
export function asideRow({ t, storage }) {
  const node = h("div", {});
  function refresh() {
    const aside = Object.entries(keptIn(storage));
    const back = () => {
      for (const [key, text] of aside) storage.setItem(key, text);
      refresh();
    };
    const remove = () => {
      for (const [key] of aside) storage.removeItem(key);
      const undo = h("button", { type: "button", on: { click: back } }, t("notebook.undo"));
      node.replaceChildren(h("p", { role: "status" }, t("kept.removed"), " ", undo));
      undo.focus();
    };
    node.replaceChildren(...(aside.length ? [h("p", { class: "hint" }, t("kept.aside")), h("div", { class: "buttons" },
      h("button", { type: "button", on: { click: () => saveKept(storage) } }, t("kept.save")),
      h("button", { type: "button", on: { click: remove } }, t("kept.remove")))] : []));
  }
  refresh();
  return node;
}
