/** Kept work that the page can't use: says so, saves it as a file, and deletes it when the baker says so. */

import { h } from "../ui/dom.js";
import { WORK_KEY } from "./kept.js";
import { keptIn, saveKept } from "./rescue.js";

// The part of the page that shows a field of the work or of the notebook.
/** @type {Record<string, string>} */
const PARTS = {
  formula: "folds.formula", share: "tonight.title", water: "folds.water", pan: "folds.fill", pans: "tonight.title", lid: "folds.fill",
  fill_percent: "folds.fill", bake_loss_percent: "folds.fill", bread: "folds.fill", stages: "folds.sugar", yeast_tolerance: "folds.sugar",
  damaged_starch_percent: "folds.sugar", plan: "folds.temperatures", weigh: "weigh.title", ticked: "weigh.title", compare: "folds.compare", limits: "folds.compare",
  breads: "folds.notebook", trials: "folds.log", loaves: "folds.log", keeping: "folds.log", tastings: "folds.log", prices: "weigh.title",
};
const OF_TIMETABLE = ["ready_at", "before", "after"];          // of the plan

/** What the page calls the part where a fault is. @param {Texts} t @param {(string | number)[]} at */
export function partOf(t, [name = "", field]) {
  if (name === "plan" && OF_TIMETABLE.includes(String(field))) return t("folds.timetable");
  return t(Object.hasOwn(PARTS, name) ? PARTS[name] : "kept.other");
}

/** Says which kept work can't be used, and why changes can't be saved. @param {Bench} bench @param {string | null} unsaved */
export function keptSaid({ t, unused, storage }, unsaved) {
  const parts = unused.map(({ key, at }) => (at.length ? partOf(t, at) : t(key === WORK_KEY ? "kept.work" : "notebook.title")));
  return [
    unused.length ? h("p", {}, t("kept.unused", { parts: [...new Set(parts)].join(t("write.list")) })) : null,
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
