/** Step four: sugar for the yeast to the end of proof, and the sweetness that is left. */

import { stage as newStage } from "../state/work.js";
import { answerOf } from "../ui/answer.js";
import { folded, h } from "../ui/dom.js";
import { numberField } from "../ui/fields.js";
import { figuresOf } from "../ui/figures.js";
import { keyedRows, section } from "../ui/layout.js";
import { radioField, textField } from "../ui/plain-fields.js";
import { figureList, table } from "../ui/tables.js";
import { undoable } from "../ui/undo.js";

/** @type {(keyof Answers["sugar"]["residual"])[]} */
const SUGARS = ["sucrose", "glucose", "fructose", "maltose", "lactose", "total"];

/** @param {Bench} bench @param {Stage} stage @param {() => void} remove */
function stageRow(bench, stage, remove) {
  const { t } = bench;
  const change = (/** @type {Partial<Stage>} */ values) => bench.change(() => { Object.assign(stage, values); });
  const name = textField(bench, { label: t("sugar.stageName"), get: () => stage.name, set: (value) => change({ name: value }),
                                  place: `sugar/${stage.key}/name` });
  const minutes = numberField(bench, { label: t("sugar.minutes"), quantity: "minutes", get: () => stage.minutes,
                                       set: (value) => change({ minutes: value }), place: `sugar/${stage.key}/minutes` });
  const temperature = numberField(bench, { label: t("sugar.temperature"), quantity: "temperature",
                                           get: () => stage.temperature, set: (value) => change({ temperature: value }),
                                           place: `sugar/${stage.key}/temperature` });
  const button = h("button", { type: "button", class: "icon", on: { click: remove }, title: t("sugar.removeStage"),
                               "aria-label": t("sugar.removeStage") }, "×");
  /** @type {Field[]} */
  const parts = [name, minutes, temperature];
  return { node: h("li", { class: "stage" }, parts.map((part) => part.node), button),
           focus: () => name.input.focus(),
           refresh() { for (const part of parts) part.refresh(); }, forget() { for (const part of parts) part.forget?.(); } };
}

/** @param {Bench} bench @param {Answers["sugar"]} reply */
function writeSugar(bench, reply) {
  const { t } = bench;
  const { figure, estimate } = figuresOf(bench);
  return [
    h("p", { class: "verdict" }, t(`assessment.${reply.assessment}`)),
    reply.sugar_tolerant_yeast_advised ? h("p", {}, t("sugar.advised")) : null,
    figureList([
      [t("sugar.spent"), lasts(bench, reply), "main"],
      [t("sugar.sweetness"), estimate(reply.sweetness_percent, "percent", 1), "main"],
      [t("sugar.used"), estimate(reply.used_percent, "percent", 1)],
      [t("sugar.unmet"), figure(reply.unmet_percent, "percent", 1)],
      [t("sugar.maltoseDrawn"), reply.maltose_drawn_hours === null ? t("sugar.notDrawn")
        : figure(reply.maltose_drawn_hours, "hours", 1)],
      [t("sugar.gas"), estimate(reply.gas_per_100_g_flour, "cm3", 0)],
    ]),
    residual(bench, reply.residual),
  ];
}

/** How long the free sugar lasts, with its band. @param {Bench} bench @param {Answers["sugar"]} reply */
function lasts(bench, { free_sugar_spent_hours: best, free_sugar_spent_range_hours: range }) {
  const { t } = bench;
  const { figure, text } = figuresOf(bench);
  const hours = (/** @type {number | null} */ value) => (value === null ? t("sugar.never") : text(value, "hours", 1));
  return [best === null ? h("span", { class: "figure" }, t("sugar.never")) : figure(best, "hours", 1), " ",
    range.earliest === range.latest ? null
      : h("span", { class: "band" }, t("sugar.lasts", { earliest: hours(range.earliest), latest: hours(range.latest) }))];
}

/** @param {Bench} bench @param {Answers["sugar"]["residual"]} left */
function residual(bench, left) {
  const { t } = bench;
  const { figure, range } = figuresOf(bench);
  const cell = (/** @type {Estimate} */ value) => [figure(value.best, "percent", 1), " ", range(value, 1)];
  return table(t("sugar.residual"), [[t("sugar.kind")], [t("table.ofFlour"), "number"], [t("sugar.ofBread"), "number"]],
    SUGARS.map((sugar) => [t(`sugars.${sugar}`), cell(left[sugar].percent_of_flour), cell(left[sugar].percent_of_bread)]));
}

/** @param {Bench} bench @returns {SugarSection} */
export function sugarSection(bench) {
  const { t, state } = bench;
  const list = h("ul", { class: "stages" });
  const rows = keyedRows(list, (/** @type {Stage} */ stage) => stageRow(bench, stage, () => removeStage(stage)));
  const room = h("div", { class: "chart-room" });
  const tolerance = radioField(bench, {
    label: t("sugar.tolerance"), hint: t("sugar.toleranceHint"), get: () => state.yeast_tolerance,
    set: (value) => bench.change((work) => { work.yeast_tolerance = value; }),
    choices: [["ordinary", t("sugar.ordinary")], ["sugar_tolerant", t("sugar.sugar_tolerant")]],
  });
  const damaged = numberField(bench, {
    label: t("sugar.damaged"), hint: t("sugar.damagedHint"), quantity: "percent", optional: true,
    place: "sugar/damaged_starch_percent", get: () => state.damaged_starch_percent,
    set: (value) => bench.change((work) => { work.damaged_starch_percent = value; }),
  });
  const add = h("button", { type: "button", class: "add", on: { click: addStage } }, t("sugar.addStage"));

  function addStage() {
    const last = state.stages.at(-1);
    const stage = newStage(t("sugar.newStage"), 30, last?.temperature ?? 27);
    bench.change((work) => { work.stages.push(stage); });
    refresh();
    rows.get(stage.key)?.focus();
  }

  /** @param {Stage} stage */
  function removeStage(stage) {
    const { stages } = state;
    const index = stages.indexOf(stage);
    bench.change(() => { stages.splice(index, 1); });
    refresh();
    (rows.get(stages[0]?.key) ?? { focus: () => add.focus() }).focus();
    undoable(bench, list, stage.name, () => {
      bench.change(() => { stages.splice(index, 0, stage); });
      refresh();
      rows.get(stage.key)?.focus();
    });
  }

  function refresh() {
    rows.show(state.stages);
    tolerance.refresh();
    damaged.refresh();
  }

  const answer = answerOf(bench, "sugar", t("sugar.answer"), (reply) => writeSugar(bench, reply), room);
  const solved = folded(t("solve.title"));
  /** @type {ReturnType<typeof import("./sugar-solve.js").sugarSolve> | null} */
  let solve = null;
  solved.addEventListener("toggle", async () => {
    const { sugarSolve } = await import("./sugar-solve.js");
    if (!solve) {
      solve = sugarSolve(bench);
      solved.lastElementChild?.append(solve.node);
    }
    solve.draw();
  });
  refresh();
  return {
    step: "sugar", refresh, room,
    answer: { ...answer, show(reply) {
      answer.show(reply);
      if (solved.open) solve?.draw();
    } },
    summary() {
      const { sugar } = bench.answers.now();
      return sugar ? t("sugar.says", { fed: t(`fed.${sugar.assessment}`), sweetness: figuresOf(bench).text(sugar.sweetness_percent.best, "percent", 1) }) : "";
    },
    node: section("sugar", t("sugar.title"), [list, add, tolerance.node, damaged.node, solved], answer, { intro: t("sugar.intro") }),
  };
}
