/** The baker's own water table: the best hydration for each share. */

import { newKey } from "../state/work.js";
import { h } from "../ui/dom.js";
import { numberField, writeFaults } from "../ui/fields.js";
import { keyedRows } from "../ui/layout.js";
import { undoable } from "../ui/undo.js";

/** @param {Bench} bench @returns {Field} */
export function waterTable(bench) {
  const { t, state } = bench;
  const list = h("ul", { class: "scores" });
  const points = () => state.water.curve;
  const rows = keyedRows(list, (/** @type {WaterPoint} */ point) => {
    /** @param {"share" | "hydration"} name @param {string} label */
    const field = (name, label) => numberField(bench, {
      label: t(label), quantity: "percent", optional: true, get: () => point[name],
      set: (value) => bench.change(() => { point[name] = value; }) });
    const parts = [field("share", "water.curveShare"), field("hydration", "water.curveHydration")];
    const gone = h("button", { type: "button", class: "icon", "aria-label": t("water.curveRemove"), title: t("water.curveRemove"),
                                 on: { click: () => remove(point) } }, "×");
    return { node: h("li", { class: "score" }, parts.map((part) => part.node), gone), focus: () => parts[0].input.focus(),
             refresh() { for (const part of parts) part.refresh(); } };
  });
  /** @param {WaterPoint} point */
  function remove(point) {
    const known = points();
    const index = known.indexOf(point);
    bench.change(() => { known.splice(index, 1); });
    refresh();
    add.focus();
    undoable(bench, list, "", () => {
      bench.change(() => { known.splice(index, 0, point); });
      refresh();
      rows.get(point.key)?.focus();
    });
  }

  const add = h("button", { type: "button", class: "add", on: { click() {
    const point = { key: newKey(), share: null, hydration: null };
    bench.change(() => points().push(point));
    refresh();
    rows.get(point.key)?.focus();
  } } }, t("water.curveAdd"));
  const room = h("div", { class: "fault" });
  bench.board.register("water/water_curve", { fault(faults) {
    writeFaults(bench, room, faults);
  } });
  const refresh = () => rows.show(points());
  refresh();
  return { node: h("fieldset", {}, h("legend", {}, t("water.curve")), h("p", { class: "hint" }, t("water.curveHint")), list, add, room), refresh };
}
