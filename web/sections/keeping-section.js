/** How loaves keep: scores of softness by day, fitted and compared by the baker's own limit. */

import { createAsker } from "../service/asker.js";
import { keepingRequest, scoredLoaves } from "../service/learn-requests.js";
import { newKey } from "../state/work.js";
import { answerOf, figuresOf, table } from "../ui/answer.js";
import { createChart, legend } from "../ui/chart.js";
import { h, keyedRows, section } from "../ui/dom.js";
import { numberField, radioField, textField } from "../ui/fields.js";

const FIRST_DAYS = [0, 1, 3];

function scoreRow(bench, loaf, score, changed) {
  const { t } = bench;
  const field = (name) => numberField(bench, {
    label: t(`keeping.${name}`), quantity: name === "days" ? "days" : "number", hideLabel: true,
    place: `keeping/${loaf.key}/${score.key}/${name}`, get: () => score[name],
    set: (value) => changed(() => { score[name] = value; }) });
  const parts = [field("days"), field("score")];
  const remove = h("button", { type: "button", class: "icon", "aria-label": t("keeping.removeScore"), title: t("keeping.removeScore"),
                               on: { click: () => changed(() => loaf.points.splice(loaf.points.indexOf(score), 1), true) } }, "×");
  return { node: h("li", { class: "score" }, parts.map((part) => part.node), remove),
           refresh() { for (const part of parts) part.refresh(); }, forget() { for (const part of parts) part.forget(); } };
}

function loafRow(bench, loaf, changed, remove) {
  const { t } = bench;
  const name = textField(bench, { label: t("keeping.name"), place: `keeping/${loaf.key}/name`, get: () => loaf.name,
                                  set: (value) => changed(() => { loaf.name = value; }) });
  const list = h("ul", { class: "scores" });
  const rows = keyedRows(list, (score) => scoreRow(bench, loaf, score, changed));
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
    forget() { name.forget(); rows.show([]); },
  };
}

export function keepingSection(bench) {
  const { t, notebook } = bench;
  const list = h("ul", { class: "trials" });
  const rows = keyedRows(list, (loaf) => loafRow(bench, loaf, changed, () => remove(loaf)));
  const chart = createChart(bench);
  const key = h("div", {});
  chart.node.insertBefore(key, chart.node.lastChild);
  const settings = () => notebook.state.keeping;
  const direction = radioField(bench, {
    label: t("keeping.direction"), get: () => settings().direction,
    set: (value) => changed(() => { settings().direction = value; }),
    choices: [["falls", t("keeping.falls")], ["rises", t("keeping.rises")]] });
  const limit = numberField(bench, {
    label: t("keeping.limit"), hint: t("keeping.limitHint"), quantity: "number", optional: true, place: "keeping/limit",
    get: () => settings().limit, set: (value) => changed(() => { settings().limit = value; }) });
  const add = h("button", { type: "button", class: "add", on: { click: addLoaf } }, t("keeping.add"));

  const answer = answerOf(bench, "keeping", t("keeping.answer"), write, [chart.node]);
  const ask = createAsker(bench, "keeping", { answered: (reply) => { answer.show(reply); draw(reply); }, old: answer.old });

  /** Alters the scores; rows: whether rows came or went. */
  function changed(alter, rowsToo = false) {
    notebook.change(alter);
    if (rowsToo) refresh();
    reckon();
  }

  function addLoaf() {
    const loaf = { key: newKey(), name: bench.state.formula.name,
                   points: FIRST_DAYS.map((days) => ({ key: newKey(), days, score: null })) };
    changed((book) => book.loaves.push(loaf), true);
    rows.get(loaf.key).focus();
  }

  function remove(loaf) {
    changed((book) => book.loaves.splice(book.loaves.indexOf(loaf), 1), true);
    add.focus();
  }

  function reckon() {
    const any = scoredLoaves(notebook.state.loaves).length > 0;
    answer.node.hidden = !any;
    if (any) ask(keepingRequest(notebook.state, bench.units()));
  }

  function refresh() {
    rows.show(notebook.state.loaves);
    direction.refresh();
    limit.refresh();
    direction.node.hidden = limit.node.hidden = notebook.state.loaves.length === 0;
  }

  function write(reply) {
    const { figure, text } = figuresOf(bench);
    const days = (value) => (value === null ? t("keeping.unknown") : figure(value, "days", 1));
    const band = ({ low, high }) => (low === null && high === null ? null : h("span", { class: "band" }, t("keeping.band", {
      low: low === null ? t("keeping.unknown") : text(low, "days", 1),
      high: high === null ? t("keeping.never") : text(high, "days", 1) })));
    return [
      reply.limit === null ? h("p", { class: "hint" }, t("keeping.noLimit")) : table(t("keeping.times"),
        [[t("keeping.name")], [t("keeping.time"), "number"]],
        reply.loaves.map((loaf) => [loaf.name, [days(loaf.time_to_limit.best), band(loaf.time_to_limit)]])),
      reply.comparisons.map((pair) => h("p", {}, t(`keeping.${pair.order}`, {
        longer: pair.longer, shorter: pair.shorter, probability: text(pair.probability_percent, "percent", 0) }))),
    ];
  }

  function draw(reply) {
    const fitted = reply.loaves.filter((loaf) => loaf.curve.length);
    chart.node.hidden = fitted.length === 0;
    if (!fitted.length) return;
    const { figure, text } = figuresOf(bench);
    const lines = fitted.map((loaf) => ({ name: loaf.name, points: loaf.curve.map((at) => [at.days, at.best]) }));
    chart.draw({
      title: t("keeping.chart"),
      summary: fitted.map((loaf) => t("keeping.summary", { name: loaf.name, from: text(loaf.curve[0].best), to: text(loaf.curve.at(-1).best),
                                                           days: text(loaf.curve.at(-1).days, "days", 0) })).join(" "),
      x: { label: t("keeping.days"), from: 0 }, y: { label: t("keeping.score") },
      lines, area: fitted.length === 1 ? { points: fitted[0].curve.map((at) => [at.days, at.low, at.high]) } : undefined,
      level: reply.limit === null ? undefined : { y: reply.limit, name: t("keeping.limit") },
      dots: fitted.flatMap((loaf) => loaf.residuals.map((at) => ({ x: at.days, y: at.score, name: loaf.name }))),
      table: table(t("keeping.chart"), [[t("keeping.name")], [t("keeping.days"), "number"], [t("keeping.score"), "number"], [t("keeping.fitted"), "number"]],
        fitted.flatMap((loaf) => loaf.residuals.map((at) => [loaf.name, figure(at.days), figure(at.score), figure(at.fitted)]))),
    });
    key.replaceChildren(legend(lines));
  }

  refresh();
  reckon();
  return {
    refresh() { refresh(); reckon(); },
    node: section("keeping", t("keeping.title"), [list, add, direction.node, limit.node], answer, { intro: t("keeping.intro") }),
  };
}
