/** How loaves keep: softness scores by day, fitted and compared by the baker's own limit. */

import { createAsker } from "../service/asker.js";
import { keepingRequest, scoredLoaves } from "../service/learn-requests.js";
import { newKey } from "../state/work.js";
import { answerOf } from "../ui/answer.js";
import { createChart, legend } from "../ui/chart.js";
import { h, keyedRows, section } from "../ui/dom.js";
import { numberField, radioField, textField } from "../ui/fields.js";
import { figuresOf, table } from "../ui/figures.js";
import { undoable } from "../ui/undo.js";

const FIRST_DAYS = [0, 1, 3];

/** @typedef {(alter: (book: Notebook) => void, rowsToo?: boolean) => void} Change rowsToo: rows come or go */

/** @param {Bench} bench @param {Loaf} loaf @param {SoftnessScore} score @param {Change} changed @param {() => void} removed */
function scoreRow(bench, loaf, score, changed, removed) {
  const { t } = bench;
  /** @param {"days" | "score"} name */
  const field = (name) => numberField(bench, {
    label: t(`keeping.${name}`), quantity: name === "days" ? "days" : "number", hideLabel: true,
    place: `keeping/${loaf.key}/${score.key}/${name}`, get: () => score[name],
    set: (value) => changed(() => { score[name] = value; }) });
  const parts = [field("days"), field("score")];
  const remove = h("button", { type: "button", class: "icon", "aria-label": t("keeping.removeScore"), title: t("keeping.removeScore"),
                               on: { click: removed } }, "×");
  return { node: h("li", { class: "score" }, parts.map((part) => part.node), remove),
           refresh() { for (const part of parts) part.refresh(); }, forget() { for (const part of parts) part.forget?.(); } };
}

/** @param {Bench} bench @param {Loaf} loaf @param {Change} changed @param {() => void} remove */
function loafRow(bench, loaf, changed, remove) {
  const { t } = bench;
  const name = textField(bench, { label: t("keeping.name"), place: `keeping/${loaf.key}/name`, get: () => loaf.name,
                                  set: (value) => changed(() => { loaf.name = value; }) });
  const list = h("ul", { class: "scores" });
  const rows = keyedRows(list, (/** @type {SoftnessScore} */ score) => scoreRow(bench, loaf, score, changed, () => removeScore(score)));
  /** @param {SoftnessScore} score */
  function removeScore(score) {
    const index = loaf.points.indexOf(score);
    changed(() => { loaf.points.splice(index, 1); }, true);
    undoable(bench, list, "", () => changed(() => { loaf.points.splice(index, 0, score); }, true));
  }
  const add = h("button", { type: "button", class: "add", on: { click: () => changed(() => {
    const last = loaf.points.at(-1)?.days;
    loaf.points.push({ key: newKey(), days: typeof last === "number" ? last + 1 : 0, score: null });
  }, true) } }, t("keeping.addScore"));
  const button = h("button", { type: "button", class: "icon", "aria-label": t("keeping.remove"), title: t("keeping.remove"),
                               on: { click: remove } }, "×");
  rows.show(loaf.points);
  return {
    node: h("li", { class: "trial" }, h("div", { class: "trial-head" }, name.node, button),
      h("div", { class: "score-heads", "aria-hidden": "true" }, h("span", {}, t("keeping.days")), h("span", {}, t("keeping.score"))),
      list, add),
    focus: () => name.input.focus(),
    refresh() { name.refresh(); rows.show(loaf.points); },
    forget() { name.forget?.(); rows.show([]); },
  };
}

/** The times to the limit and the comparisons, as nodes. @param {Bench} bench @param {Replies["keeping"]} reply */
function writeTimes(bench, reply) {
  const { t } = bench;
  const { figure, text } = figuresOf(bench);
  /** @param {Schemas["TimeToLimit"]} time */
  const band = ({ low, high }) => (low === null && high === null ? null : h("span", { class: "band" }, t("keeping.band", {
    low: low === null ? t("keeping.unknown") : text(low, "days", 1),
    high: high === null ? t("keeping.never") : text(high, "days", 1) })));
  return [
    reply.limit === null ? h("p", { class: "hint" }, t("keeping.noLimit")) : table(t("keeping.times"),
      [[t("keeping.name")], [t("keeping.time"), "number"]],
      reply.loaves.map(({ name, time_to_limit: time }) => (
        [name, [time.best === null ? t("keeping.unknown") : figure(time.best, "days", 1), band(time)]]))),
    reply.comparisons.map((pair) => h("p", {}, t(`keeping.${pair.order}`, {
      longer: pair.longer, shorter: pair.shorter, probability: text(pair.probability_percent, "percent", 0) }))),
  ];
}

/** The scores with their fitted curves; null when there is no curve.
@param {Bench} bench @param {Replies["keeping"]} reply @returns {import("../ui/chart.js").ChartData | null} */
function scoreChart(bench, { loaves, limit }) {
  const { t } = bench;
  const { figure, text } = figuresOf(bench);
  const fitted = loaves.filter((loaf) => loaf.curve.length);
  if (!fitted.length) return null;
  return {
    title: t("keeping.chart"),
    summary: fitted.map(({ name, curve }) => {
      const [first, last] = [curve[0], curve[curve.length - 1]];
      return t("keeping.summary", { name, from: text(first.best), to: text(last.best), days: text(last.days, "days", 0) });
    }).join(" "),
    x: { label: t("keeping.days"), from: 0 }, y: { label: t("keeping.score") },
    lines: fitted.map(({ name, curve }) => ({ name, points: curve.map((at) => [at.days, at.best]) })),
    area: fitted.length === 1 ? { points: fitted[0].curve.map((at) => [at.days, at.low, at.high]) } : undefined,
    level: limit === null ? undefined : { y: limit, name: t("keeping.limit") },
    dots: fitted.flatMap((loaf) => loaf.residuals.map((at) => ({ x: at.days, y: at.score, name: loaf.name }))),
    table: table(t("keeping.chart"), [[t("keeping.name")], [t("keeping.days"), "number"], [t("keeping.score"), "number"], [t("keeping.fitted"), "number"]],
      fitted.flatMap((loaf) => loaf.residuals.map((at) => [loaf.name, figure(at.days), figure(at.score), figure(at.fitted)]))),
  };
}

/** How the scores go, and the limit. @param {Bench} bench @param {Change} changed */
function settingFields(bench, changed) {
  const { t } = bench;
  const settings = () => bench.notebook.state.keeping;
  const direction = radioField(bench, {
    label: t("keeping.direction"), get: () => settings().direction,
    set: (value) => changed(() => { settings().direction = value === "rises" ? value : "falls"; }),
    choices: [["falls", t("keeping.falls")], ["rises", t("keeping.rises")]] });
  const limit = numberField(bench, {
    label: t("keeping.limit"), hint: t("keeping.limitHint"), quantity: "number", optional: true, place: "keeping/limit",
    get: () => settings().limit, set: (value) => changed(() => { settings().limit = value; }) });
  return [direction, limit];
}

/** A chart of the scores with its key. @param {Bench} bench */
function createScoreChart(bench) {
  const chart = createChart(bench);
  const key = h("div", {});
  chart.node.insertBefore(key, chart.node.lastChild);
  return {
    node: chart.node,
    /** @param {Replies["keeping"]} reply */
    draw(reply) {
      const data = scoreChart(bench, reply);
      chart.node.hidden = data === null;
      if (!data) return;
      chart.draw(data);
      key.replaceChildren(legend(data.lines));
    },
  };
}

/** @param {Bench} bench @returns {Section} */
export function keepingSection(bench) {
  const { t, notebook } = bench;
  const list = h("ul", { class: "trials" });
  const rows = keyedRows(list, (/** @type {Loaf} */ loaf) => loafRow(bench, loaf, changed, () => remove(loaf)));
  const chart = createScoreChart(bench);
  const settings = settingFields(bench, changed);
  const add = h("button", { type: "button", class: "add", on: { click: addLoaf } }, t("keeping.add"));
  const answer = answerOf(bench, "keeping", t("keeping.answer"), (reply) => writeTimes(bench, reply), [chart.node]);
  /** @type {ReturnType<typeof createAsker<"keeping">>} */
  const ask = createAsker(bench, "keeping", { answered: (reply) => { answer.show(reply); chart.draw(reply); }, old: answer.old });

  /** @type {Change} */
  function changed(alter, rowsToo = false) {
    notebook.change(alter);
    if (rowsToo) refresh();
    recalculate();
  }

  function addLoaf() {
    const loaf = { key: newKey(), name: bench.state.formula.name,
                   points: FIRST_DAYS.map((days) => ({ key: newKey(), days, score: null })) };
    changed((book) => { book.loaves.push(loaf); }, true);
    rows.get(loaf.key)?.focus();
  }

  /** @param {Loaf} loaf */
  function remove(loaf) {
    const { loaves } = notebook.state;
    const index = loaves.indexOf(loaf);
    changed(() => { loaves.splice(index, 1); }, true);
    add.focus();
    undoable(bench, list, loaf.name, () => {
      changed(() => { loaves.splice(index, 0, loaf); }, true);
      rows.get(loaf.key)?.focus();
    });
  }

  function recalculate() {
    const any = scoredLoaves(notebook.state.loaves).length > 0;
    answer.node.hidden = !any;
    if (any) ask(keepingRequest(notebook.state, bench.units()));
  }

  function refresh() {
    rows.show(notebook.state.loaves);
    for (const field of settings) {
      field.refresh();
      field.node.hidden = notebook.state.loaves.length === 0;
    }
  }

  refresh();
  recalculate();
  return {
    refresh() { refresh(); recalculate(); },
    node: section("keeping", t("keeping.title"), [list, add, settings.map((field) => field.node)], answer, { intro: t("keeping.intro") }),
  };
}
