/** Step five: what to put on the scale. */

import { answerOf, figureList, figuresOf } from "./answer.js";
import { folded, h, section } from "./dom.js";
import { numberField } from "./fields.js";
import { decimalsOf } from "./numbers.js";

const LONG = 14;        // lines; more of them are printed in two columns, to stay on one page

export function weighSection(bench) {
  const { t, state, names } = bench;
  const number = (name, quantity, place) => numberField(bench, {
    label: t(`weigh.${name}`), quantity, place, optional: name !== "handling_percent", get: () => state.weigh[name],
    set: (value) => bench.change((work) => { work.weigh[name] = value; }),
  });
  const fields = [number("resolution", "mass", "weigh/scale/resolution"),
                  number("fine_resolution", "mass", "weigh/scale/fine_resolution"),
                  number("fine_below", "mass", "weigh/scale/fine_below"),
                  number("handling_percent", "percent", "weigh/losses/handling_percent")];
  const boxes = new Map();
  let shown = null;

  function ticked(key) {
    return state.ticked.includes(key);
  }

  function lineOf(key, line, { figure }) {
    if (!boxes.has(key)) {
      const box = h("input", { type: "checkbox", on: { change: () => bench.keep((work) => {
        work.ticked = box.checked ? [...work.ticked, key] : work.ticked.filter((each) => each !== key);
      }) } });
      const what = h("span", { class: "what" });
      const much = h("span", { class: "much" });
      boxes.set(key, { node: h("li", {}, h("label", { class: "tick" }, box, what, much)), box, what, much });
    }
    const { node, box, what, much } = boxes.get(key);
    box.checked = ticked(key);
    what.textContent = names.label(line.ingredient);
    much.replaceChildren(figure(line.mass, "mass", decimalsOf(line.resolution)));
    return node;
  }

  function write(reply) {
    const figures = figuresOf(bench);
    answer.node.classList.toggle("long", reply.weigh_out.length > LONG);
    const seen = new Map();
    const parts = { scald: [], dough: [] };
    for (const line of reply.weigh_out) {
      const stem = `${line.part}/${line.ingredient}`;
      seen.set(stem, (seen.get(stem) ?? 0) + 1);
      parts[line.part].push(lineOf(`${stem}/${seen.get(stem)}`, line, figures));
    }
    return [
      h("p", { class: "card-head" }, h("strong", {}, state.formula.name || t("weigh.title")), h("span", {}, t("weigh.head", {
        share: figures.text(bench.last.water.after.scalded_share_percent, "percent", 1), pans: bench.last.fill.pans,
        dough: figures.text(bench.last.fill.dough_mass.best, "mass") }))),
      Object.entries(parts).filter(([, lines]) => lines.length).map(([part, lines]) =>
        h("div", { class: `part part-${part}` }, h("h3", {}, t(`weigh.${part}`)), h("ul", { class: "ticks" }, lines))),
      figureList([
        [t("weigh.total"), figures.figure(reply.weigh_out_total, "mass"), "main"],
        [t("weigh.exact"), figures.figure(reply.dough_mass, "mass")],
        [t("weigh.factor"), figures.figure(reply.factor, "number", 3)],
      ]),
    ];
  }

  /** The stages go on the card as they stand, for whoever bakes from it. */
  function showStages() {
    const { text } = figuresOf(bench);
    const said = (value, quantity) => (typeof value === "number" ? text(bench.units().outward(value, quantity), quantity) : "—");
    stages.replaceChildren(...state.stages.map((stage) => h("li", {},
      `${stage.name}: ${said(stage.minutes, "minutes")}, ${said(stage.temperature, "temperature")}`)));
  }

  const again = h("button", { type: "button", on: { click: () => {
    bench.keep((work) => { work.ticked = []; });
    for (const { box } of boxes.values()) box.checked = false;
  } } }, t("weigh.untick"));
  const stages = h("ol", { class: "card-stages" });
  const answer = answerOf(bench, "weigh", t("weigh.answer"), write, [stages]);
  answer.node.classList.add("weigh-card");
  const open = h("button", { type: "button", on: { click: async () => {
    const { openCard } = await t.moreFor(import("./card.js"));
    openCard(bench, answer.node);
  } } }, t("weigh.open"));
  const print = h("button", { type: "button", on: { click: () => window.print() } }, t("weigh.print"));
  return {
    step: "weigh",
    answer: { ...answer, show(reply) {
      // The head of the card says more than the reply, so that it is written anew even when the reply is the same.
      if (reply === shown) answer.redraw();
      answer.show(reply);
      shown = reply;
      showStages();
    } },
    refresh() { for (const field of fields) field.refresh(); },
    node: section("weigh", t("weigh.title"),
      folded(t("weigh.scale"), h("div", { class: "pair" }, fields.map((field) => field.node))), answer,
      { intro: t("weigh.intro"), after: h("div", { class: "buttons" }, open, print, again) }),
  };
}
