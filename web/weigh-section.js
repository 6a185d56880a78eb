/** Step five: what to put on the scale. */

import { answerOf } from "./answer.js";
import { h } from "./dom.js";
import { numberField } from "./fields.js";
import { figureList, figuresOf } from "./figures.js";
import { folded, section } from "./section.js";

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

  /** As many decimals as the scale it is weighed on shows. */
  function decimalsOf(step) {
    return Math.min(4, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));
  }

  function write(reply) {
    const figures = figuresOf(bench);
    const seen = new Map();
    const parts = { scald: [], dough: [] };
    for (const line of reply.weigh_out) {
      const stem = `${line.part}/${line.ingredient}`;
      seen.set(stem, (seen.get(stem) ?? 0) + 1);
      parts[line.part].push(lineOf(`${stem}/${seen.get(stem)}`, line, figures));
    }
    return [
      Object.entries(parts).filter(([, lines]) => lines.length).map(([part, lines]) =>
        h("div", { class: `part part-${part}` }, h("h3", {}, t(`weigh.${part}`)), h("ul", { class: "ticks" }, lines))),
      figureList([
        [t("weigh.total"), figures.figure(reply.weigh_out_total, "mass"), "main"],
        [t("weigh.exact"), figures.figure(reply.dough_mass, "mass")],
        [t("weigh.factor"), figures.figure(reply.factor, "number", 3)],
      ]),
    ];
  }

  const again = h("button", { type: "button", class: "add", on: { click: () => {
    bench.keep((work) => { work.ticked = []; });
    for (const { box } of boxes.values()) box.checked = false;
  } } }, t("weigh.untick"));
  const answer = answerOf(bench, "weigh", t("weigh.answer"), write);
  return {
    step: "weigh", answer,
    refresh() { for (const field of fields) field.refresh(); },
    node: section("weigh", t("weigh.title"),
      folded(t("weigh.scale"), h("div", { class: "pair" }, fields.map((field) => field.node))), answer,
      { intro: t("weigh.intro"), after: again }),
  };
}
