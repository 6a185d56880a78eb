/** What is seldom needed of a bake: its hydration and gluten, its tin, scores of other days, and to remove it. */

import { PAN_FIELDS } from "../service/requests.js";
import { measuredAgain } from "../state/measured-again.js";
import { newKey } from "../state/work.js";
import { h, uniqueId } from "../ui/dom.js";
import { numberField } from "../ui/fields.js";
import { keyedRows } from "../ui/layout.js";
import { kindFields } from "../ui/more-fields.js";
import { undoable } from "../ui/undo.js";
import { isBake } from "./log-bakes.js";

/** @typedef {import("./log-column.js").Actions} Actions */

/** @param {Bench} bench @param {LogColumn} column @param {SoftnessScore} score @param {(alter: () => void) => void} change
@param {() => void} removed */
function scoreRow(bench, column, score, change, removed) {
  const { t } = bench;
  /** @param {"days" | "score"} name */
  const field = (name) => numberField(bench, {
    label: t(`log.${name}`), quantity: name === "days" ? "days" : "number", place: `keeping/${column.key}/points/${score.key}/${name}`,
    get: () => score[name], set: (value) => change(() => { score[name] = value; }) });
  const parts = [field("days"), field("score")];
  const remove = h("button", { type: "button", class: "icon", "aria-label": t("log.removeScore"), title: t("log.removeScore"),
                               on: { click: removed } }, "×");
  return { node: h("li", { class: "score" }, parts.map((part) => part.node), remove), focus: () => parts[0].input.focus(),
           refresh() { for (const part of parts) part.refresh(); }, forget() { for (const part of parts) part.forget?.(); } };
}

/** Every score of a column with its day: half days, and several of one day. @param {Bench} bench @param {LogColumn} column
@param {() => void} changed */
function scoreList(bench, column, changed) {
  const { t, notebook } = bench;
  const list = h("ul", { class: "scores" });
  const change = (/** @type {() => void} */ alter) => { notebook.change(alter); changed(); };
  const rows = keyedRows(list, (/** @type {SoftnessScore} */ score) => scoreRow(bench, column, score, change, () => remove(score)));
  const points = () => column.points ?? [];
  const refresh = () => rows.show(points());
  /** @param {SoftnessScore} score */
  function remove(score) {
    const index = points().indexOf(score);
    change(() => { points().splice(index, 1); });
    refresh();
    undoable(bench, list, "", () => { change(() => { points().splice(index, 0, score); }); refresh(); rows.get(score.key)?.focus(); });
  }
  const add = h("button", { type: "button", class: "add", on: { click: () => {
    const score = { key: newKey(), days: null, score: null };
    change(() => { (column.points ??= []).push(score); });
    refresh();
    rows.get(score.key)?.focus();
  } } }, t("log.addScore"));
  refresh();
  return { nodes: [h("h4", {}, t("log.allScores")), list, add], refresh, forget: () => rows.show([]) };
}

/** @param {Bench} bench @param {LogColumn} column @param {Actions & {close(): void, remove(): void}} actions */
export function moreOf(bench, column, actions) {
  const { t } = bench;
  const title = h("h3", { id: uniqueId("more"), tabindex: "-1" });
  /** @type {Field[]} */
  const fields = [];
  /** @type {Child[]} */
  const content = [];
  if (isBake(column)) {
    const again = measuredAgain(() => column.pan);
    const pan = kindFields(bench, {
      label: t("log.tin"), texts: "pan", kinds: PAN_FIELDS, place: `trials/${column.key}/pan`, get: () => column.pan.kind,
      set: (kind) => actions.changedTrial(() => { Object.assign(column.pan, again(kind), { shape: "" }); }),
      read: (name) => column.pan[/** @type {keyof PanFields} */ (name)],
      write: (name, value) => actions.changedTrial(() => { Object.assign(column.pan, { [name]: value, shape: "" }); }),
    });
    const hydration = numberField(bench, {
      label: t("log.hydration_percent"), quantity: "percent", optional: true, place: `trials/${column.key}/hydration_percent`,
      hint: t("log.hydrationHint"), get: () => column.hydration_percent,
      set: (value) => actions.changedTrial(() => { column.hydration_percent = value; }) });
    const gluten = numberField(bench, {
      label: t("compare.gluten"), quantity: "percent", optional: true, place: `trials/${column.key}/gluten_percent`,
      get: () => column.gluten_percent, set: (value) => actions.changedTrial(() => { column.gluten_percent = value; }) });
    fields.push(hydration, gluten, { node: h("div", {}), refresh: pan.refresh });
    content.push(h("div", { class: "pair" }, hydration.node, gluten.node), pan.nodes);
  }
  const scores = scoreList(bench, column, actions.scored);
  const remove = h("button", { type: "button", class: "remove", on: { click: actions.remove } },
    t(isBake(column) ? "log.remove" : "log.removeLoaf"));
  const close = h("button", { type: "button", on: { click: actions.close } }, t("log.close"));
  return {
    column,
    node: h("div", { class: "more-bake", role: "group", "aria-labelledby": title.id }, title, content, scores.nodes,
      h("div", { class: "buttons" }, close, remove)),
    focus: () => title.focus(),
    /** @param {string} name */
    retitle(name) { title.textContent = t("log.moreAbout", { name }); },
    refresh() {
      for (const field of fields) field.refresh();
      scores.refresh();
    },
    forget() {
      for (const field of fields) field.forget?.();
      scores.forget();
    },
  };
}
