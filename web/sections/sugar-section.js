/** Step four: the yeast fed to the end of proof, and what sweetness stays. */

import { stage as newStage } from "../state/work.js";
import { answerOf, figureList, figuresOf, table } from "../ui/answer.js";
import { h, keyedRows, section } from "../ui/dom.js";
import { numberField, radioField, textField } from "../ui/fields.js";

const SUGARS = ["sucrose", "glucose", "fructose", "maltose", "lactose", "total"];

function stageRow(bench, stage, remove) {
  const { t } = bench;
  const set = (field) => (value) => bench.change(() => { stage[field] = value; });
  const name = textField(bench, { label: t("sugar.stageName"), get: () => stage.name, set: set("name"),
                                  place: `sugar/${stage.key}/name` });
  const minutes = numberField(bench, { label: t("sugar.minutes"), quantity: "minutes", get: () => stage.minutes,
                                       set: set("minutes"), place: `sugar/${stage.key}/minutes` });
  const temperature = numberField(bench, { label: t("sugar.temperature"), quantity: "temperature",
                                           get: () => stage.temperature, set: set("temperature"),
                                           place: `sugar/${stage.key}/temperature` });
  const button = h("button", { type: "button", class: "icon", on: { click: remove }, title: t("sugar.removeStage"),
                               "aria-label": t("sugar.removeStage") }, "×");
  const parts = [name, minutes, temperature];
  return { node: h("li", { class: "stage" }, parts.map((part) => part.node), button),
           focus: () => name.input.focus(),
           refresh() { for (const part of parts) part.refresh(); }, forget() { for (const part of parts) part.forget(); } };
}

export function sugarSection(bench) {
  const { t, state } = bench;
  const list = h("ul", { class: "stages" });
  const rows = keyedRows(list, (stage) => stageRow(bench, stage, () => removeStage(stage)));
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
    rows.get(stage.key).focus();
  }

  function removeStage(stage) {
    bench.change((work) => { work.stages.splice(work.stages.indexOf(stage), 1); });
    refresh();
    (rows.get(state.stages[0]?.key) ?? { focus: () => add.focus() }).focus();
  }

  function refresh() {
    rows.show(state.stages);
    tolerance.refresh();
    damaged.refresh();
  }

  function write(reply) {
    const { figure, estimate } = figuresOf(bench);
    return [
      h("p", { class: "verdict" }, t(`assessment.${reply.assessment}`)),
      reply.sugar_tolerant_yeast_advised ? h("p", {}, t("sugar.advised")) : null,
      figureList([
        [t("sugar.spent"), lasts(reply), "main"],
        [t("sugar.sweetness"), estimate(reply.sweetness_percent, "percent", 1), "main"],
        [t("sugar.used"), estimate(reply.used_percent, "percent", 1)],
        [t("sugar.unmet"), figure(reply.unmet_percent, "percent", 1)],
        [t("sugar.maltoseDrawn"), reply.maltose_drawn_hours === null ? t("sugar.notDrawn")
          : figure(reply.maltose_drawn_hours, "hours", 1)],
        [t("sugar.gas"), estimate(reply.gas_per_100_g_flour, "cm3", 0)],
      ]),
      residual(reply.residual),
    ];
  }

  /** How long the free sugar lasts, with its band. */
  function lasts({ free_sugar_spent_hours: best, free_sugar_spent_range_hours: range }) {
    const { figure, text } = figuresOf(bench);
    const hours = (value) => (value === null ? t("sugar.never") : text(value, "hours", 1));
    return [best === null ? h("span", { class: "figure" }, t("sugar.never")) : figure(best, "hours", 1), " ",
      range.earliest === range.latest ? null
        : h("span", { class: "band" }, t("sugar.lasts", { earliest: hours(range.earliest), latest: hours(range.latest) }))];
  }

  function residual(left) {
    const { figure, range } = figuresOf(bench);
    const cell = (value) => [figure(value.best, "percent", 1), " ", range(value, 1)];
    return table(t("sugar.residual"), [[t("sugar.kind")], [t("table.ofFlour"), "number"], [t("sugar.ofBread"), "number"]],
      SUGARS.map((sugar) => [t(`sugars.${sugar}`), cell(left[sugar].percent_of_flour), cell(left[sugar].percent_of_bread)]));
  }

  const answer = answerOf(bench, "sugar", t("sugar.answer"), write, room);
  refresh();
  return {
    step: "sugar", answer, refresh, room,
    node: section("sugar", t("sugar.title"), [list, add, tolerance.node, damaged.node], answer, { intro: t("sugar.intro") }),
  };
}
