/** Step four: the yeast fed to the end of proof, and what sweetness stays. */

import { answerOf } from "./answer.js";
import { h } from "./dom.js";
import { numberField, radioField, textField } from "./fields.js";
import { figureList, figuresOf, table } from "./figures.js";
import { section } from "./section.js";
import { stage as newStage } from "./work.js";

const SUGARS = ["sucrose", "glucose", "fructose", "maltose", "lactose"];

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
  const rows = new Map();
  const list = h("ul", { class: "stages" });
  const tolerance = radioField(bench, {
    label: t("sugar.tolerance"), hint: t("sugar.toleranceHint"), get: () => state.yeast_tolerance,
    set: (value) => bench.change((work) => { work.yeast_tolerance = value; }),
    choices: [["ordinary", t("sugar.ordinary")], ["sugar_tolerant", t("sugar.sugar_tolerant")]],
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
    const kept = new Set(state.stages.map((stage) => stage.key));
    for (const [key, row] of rows) if (!kept.has(key)) { row.forget(); rows.delete(key); }
    const nodes = state.stages.map((stage) => {
      if (!rows.has(stage.key)) rows.set(stage.key, stageRow(bench, stage, () => removeStage(stage)));
      return rows.get(stage.key).node;
    });
    if (nodes.length !== list.children.length || nodes.some((node, index) => node !== list.children[index])) {
      list.replaceChildren(...nodes);
    }
    for (const row of rows.values()) row.refresh();
    tolerance.refresh();
  }

  function write(reply) {
    const { figure, estimate } = figuresOf(bench);
    const either = (value, quantity, digits) => (value !== null && typeof value === "object"
      ? estimate(value, quantity, digits) : figure(value, quantity, digits));
    const hours = (value) => (value === null ? t("sugar.never") : either(value, "hours", 1));
    const end = reply.timeline.at(-1);
    return [
      h("p", { class: "verdict" }, t.has(`assessment.${reply.assessment}`) ? t(`assessment.${reply.assessment}`) : reply.assessment),
      figureList([
        [t("sugar.spent"), hours(reply.free_sugar_spent_hours), "main"],
        [t("sugar.sweetness"), either(reply.sweetness_percent, "percent", 1), "main"],
        [t("sugar.used"), figure(end.used_percent, "percent", 1)],
        [t("sugar.unmet"), figure(end.unmet_percent, "percent", 1)],
        [t("sugar.maltoseDrawn"), hours(reply.maltose_drawn_hours)],
        [t("sugar.gas"), either(reply.gas_volume, "volume")],
      ]),
      residual(reply.residual, either),
    ];
  }

  function residual(left, either) {
    const rows = SUGARS.filter((sugar) => sugar in left).map((sugar) => [
      t(`sugars.${sugar}`), either(left[sugar].percent_of_flour, "percent", 2), either(left[sugar].percent_of_bread, "percent", 2)]);
    return table(t("sugar.residual"), [[t("sugar.kind")], [t("table.ofFlour"), "number"], [t("sugar.ofBread"), "number"]], rows);
  }

  const answer = answerOf(bench, "sugar", t("sugar.answer"), write);
  refresh();
  return {
    step: "sugar", answer, refresh,
    node: section("sugar", t("sugar.title"), [list, add, tolerance.node], answer, { intro: t("sugar.intro") }),
  };
}
