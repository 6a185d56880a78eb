/** Step five: what to put on the scale. What is here is weighed, so it is there only while the answers are for the entries. */

import { answerOf, figureList, figuresOf } from "../ui/answer.js";
import { folded, h, section } from "../ui/dom.js";
import { numberField } from "../ui/fields.js";
import { decimalsOf } from "../ui/numbers.js";

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
  const rows = new Map();         // which line -> its row
  let wanted = null;              // what was pressed while the answer was on its way, and for which entries

  /** A tick says how much of a line is in the bowl: {bread, row, weighed, exact}, in g. Each bread has ticks of its own; what
  an older page or another program wrote is no tick. */
  function tickOf(key) {
    return state.ticked.find((tick) => tick?.row === key && tick.bread === state.formula.name
      && Number.isFinite(tick.weighed) && Number.isFinite(tick.exact));
  }

  function tick(key, { line, exact }, ticked) {
    const grams = (mass) => bench.units().inward(mass, "mass");
    bench.keep((work) => {
      work.ticked = work.ticked.filter((each) => each?.bread === work.formula.name && each.row !== key);
      if (ticked) work.ticked.push({ bread: work.formula.name, row: key, weighed: grams(line.mass), exact: grams(exact) });
    });
    showTick(key);
  }

  /** A line is ticked while it is in the bowl as it is to be weighed. The same amount in other units or on another scale is no
  change, nor is a step of the scale that only evens out the rounding. */
  function showTick(key) {
    const { line, exact, box, was } = rows.get(key);
    const found = tickOf(key);
    box.checked = false;
    was.textContent = "";
    if (!found) return;
    const units = bench.units();
    const digits = decimalsOf(line.resolution);
    const before = Number(units.outward(found.weighed, "mass").toFixed(digits));
    const more = line.mass - before;
    const step = units.inward(line.resolution, "mass");
    if (Math.abs(units.inward(exact, "mass") - found.exact) < step / 2 || Math.abs(more) < line.resolution / 2) {
      box.checked = true;
      return;
    }
    const { text } = figuresOf(bench);
    was.textContent = t(more > 0 ? "weigh.addMore" : "weigh.takeOut", {
      was: text(before, "mass", digits), difference: text(Math.abs(more), "mass", digits) });
  }

  /** exact: the amount before it was rounded for the scale. */
  function lineOf(key, line, exact, { figure }) {
    if (!rows.has(key)) {
      const box = h("input", { type: "checkbox", on: {
        click: (event) => { if (!bench.answers.complete()) event.preventDefault(); },
        change: () => tick(key, rows.get(key), box.checked) } });
      const what = h("span", { class: "what" });
      const was = h("span", { class: "was" });
      const much = h("span", { class: "much" });
      rows.set(key, { node: h("li", {}, h("label", { class: "tick" }, box, what, much, was)), box, what, was, much });
    }
    const row = Object.assign(rows.get(key), { line, exact });
    row.what.textContent = names.label(line.ingredient);
    row.much.replaceChildren(figure(line.mass, "mass", decimalsOf(line.resolution)));
    showTick(key);
    return row.node;
  }

  function write(reply, water, fill) {
    const figures = figuresOf(bench);
    answer.node.classList.toggle("long", reply.weigh_out.length > LONG);
    const seen = new Map();
    const parts = { scald: [], dough: [] };
    for (const [index, line] of reply.weigh_out.entries()) {
      const stem = `${line.part}/${line.ingredient}`;
      seen.set(stem, (seen.get(stem) ?? 0) + 1);
      parts[line.part].push(lineOf(`${stem}/${seen.get(stem)}`, line, reply.formula.lines[index].mass, figures));
    }
    return [
      h("p", { class: "card-head" }, h("strong", {}, reply.formula.name || t("weigh.title")), h("span", {}, t("weigh.head", {
        share: figures.text(water.after.scalded_share_percent, "percent", 1), pans: fill.pans,
        dough: figures.text(fill.dough_mass.best, "mass") }))),
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
    showTicks();
  } } }, t("weigh.untick"));
  const stages = h("ol", { class: "card-stages" });
  const answer = answerOf(bench, "weigh", t("weigh.answer"), write, [stages]);
  answer.node.classList.add("weigh-card");
  const open = h("button", { type: "button", on: { click: () => whenCurrent(openCard) } }, t("weigh.open"));
  const print = h("button", { type: "button", on: { click: () => whenCurrent(() => window.print()) } }, t("weigh.print"));
  const buttons = h("div", { class: "buttons" }, open, print, again);
  const find = h("button", { type: "button", class: "nearest", on: { click: async () => {
    const { findFault } = await import("./find-fault.js");
    findFault();
  } } }, t("weigh.find"));

  async function openCard() {
    (await t.moreFor(import("./card.js"))).openCard(bench, answer.node);
  }

  /** Does what was pressed as soon as there is an answer to these entries; after another change it is forgotten. */
  function whenCurrent(act) {
    if (bench.answers.complete()) act();
    else wanted = { act, of: bench.answers.entries() };
  }

  /** The card is open where the browser's history says so: after Forward, and when the page is loaded anew. */
  function followHistory() {
    if (history.state?.card) whenCurrent(() => { if (history.state?.card) openCard(); });
  }
  addEventListener("popstate", followHistory);
  followHistory();

  function showTicks() {
    if (!bench.answers.complete()) return;
    for (const [key, { node }] of rows) if (node.isConnected) showTick(key);
  }

  return {
    step: "weigh", beside: ["water", "fill"],
    answer: { ...answer, show(...replies) {
      answer.show(...replies);
      showStages();
    } },
    /** Takes over how far the answers are: current, coming or old. why: {matter, toDo, fault, hopeless}. */
    follow(how, { matter, toDo, fault, hopeless }) {
      buttons.hidden = how === "old";
      if (how === "old") {
        answer.withdraw();
        stages.replaceChildren();
      }
      if (how !== "current") answer.say(h("strong", {}, matter), ` ${toDo} `, fault ? find : "");
      if (how !== "current" && !hopeless) return;
      const then = wanted;
      wanted = null;
      if (how === "current" && then?.of === bench.answers.entries()) then.act();
    },
    refresh() {
      for (const field of fields) field.refresh();
      showTicks();
    },
    node: section("weigh", t("weigh.title"),
      folded(t("weigh.scale"), h("div", { class: "pair" }, fields.map((field) => field.node))), answer,
      { intro: t("weigh.intro"), after: buttons }),
  };
}
