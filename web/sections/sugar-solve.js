/** How much sugar the bread needs: the least that feeds the yeast, or as much as keeps it as sweet as the recipe. */

import { createAsker } from "../service/asker.js";
import { filledLines, wireFormula } from "../service/requests.js";
import { sugarRequest } from "../service/sugar-request.js";
import { h } from "../ui/dom.js";
import { writeFaults } from "../ui/fields.js";
import { figuresOf } from "../ui/figures.js";
import { showNumber } from "../ui/numbers.js";
import { sweeten } from "./sweeten.js";

const STEPS_A_PERCENT = 10;     // sugar is used to a tenth of a percent of the flour

/** The recipe but for its sugar: while it is the same, the sweetness it had at first is what is to be kept. @param {Formula} formula */
const withoutSugar = ({ name, by, lines }) => JSON.stringify([name, by, lines.filter(({ ingredient }) => ingredient !== "sucrose")
  .map(({ ingredient, amount, part }) => [ingredient, amount, part])]);

/** One amount to find. @param {Bench} bench @param {"least" | "same"} name @param {() => object} solve
@param {(percent: number) => void} use */
function solution(bench, name, solve, use) {
  const { t, locale, state } = bench;
  const { text } = figuresOf(bench);
  /** @type {{reply: Replies["sugar-budget"], of: string} | null} */
  let kept = null;
  const step = `sugar-${name}`;
  const says = h("span", {});
  const button = h("button", { type: "button", hidden: true }, "");
  const faults = h("div", { class: "fault" });
  let percent = 0;
  button.addEventListener("click", () => use(percent));
  bench.board.register(step, { fault(list) { writeFaults(bench, faults, list); } });
  /** @type {ReturnType<typeof createAsker<"sugar-budget">>} */
  const ask = createAsker(bench, step, {
    answered(reply, { body }) { kept = { reply, of: JSON.stringify(body) }; write(); },
    old() { kept = null; write(); },
  });
  /** @returns {ServiceRequest<"sugar-budget"> | null} */
  function request() {
    const { water, fill = null } = bench.answers.now();
    if (!water) return null;
    const { call, body } = sugarRequest(state, bench.units(), water.formula, fill);
    return { call, body: { ...body, solve: solve() }, show: "result", place: () => step };
  }
  function write() {
    const wanted = request();
    const found = wanted && kept?.of === JSON.stringify(wanted.body) ? kept.reply.solution : undefined;
    button.hidden = !found;
    if (!found) return says.replaceChildren("—");
    const { low, best, high } = found.sucrose_percent;
    percent = (name === "least" ? Math.ceil(best * STEPS_A_PERCENT - 1e-6) : Math.round(best * STEPS_A_PERCENT)) / STEPS_A_PERCENT;
    const said = text(percent, "percent", 1);
    says.replaceChildren(h("b", {}, said), " ", low === high ? "" : h("span", { class: "band" },
      t("estimate.range", { low: showNumber(low, locale, 1), high: text(high, "percent", 1) })));
    button.textContent = t("solve.use", { percent: said });
    button.hidden = Math.abs(found.before_percent - percent) < 1 / STEPS_A_PERCENT / 2;
  }
  return {
    node: h("div", { class: "solution" }, h("dt", {}, t(`solve.${name}`)), h("dd", {}, says, " ", button, faults)),
    draw() {
      write();
      const wanted = request();
      ask(wanted && kept?.of !== JSON.stringify(wanted.body) ? wanted : null);
    },
  };
}

/** @param {Bench} bench */
export function sugarSolve(bench) {
  const { t, state } = bench;
  /** @type {{formula: object, of: string} | null} */
  let before = null;            // the recipe before its sugar was changed here
  const said = h("p", { role: "status", class: "said" });
  const reference = () => (before?.of === withoutSugar(state.formula) ? before.formula : wireFormula(state.formula, bench.units()));

  /** @param {number} percent */
  async function use(percent) {
    const was = structuredClone(state.formula);
    const formula = reference();
    const done = await sweeten(bench, percent).catch(() => false);
    if (!done) {
      said.textContent = t("compare.notUsed");
      return;
    }
    before = { formula, of: withoutSugar(state.formula) };
    const after = JSON.stringify(state.formula);
    said.replaceChildren(t("solve.used", { percent: figuresOf(bench).text(percent, "percent", 1) }), " ", h("button", { type: "button", on: { click() {
      said.replaceChildren();
      if (JSON.stringify(state.formula) !== after) return;
      bench.change((work) => { work.formula = was; });
      bench.redraw();
    } } }, t("undo.button")));
  }
  const parts = [solution(bench, "least", () => ({ kind: "least_that_feeds" }), use),
                 solution(bench, "same", () => ({ kind: "same_sweetness_as", formula: reference() }), use)];
  return {
    node: h("div", {}, h("p", { class: "hint" }, t("solve.hint")), h("dl", { class: "solutions" }, parts.map(({ node }) => node)), said),
    draw() { if (filledLines(state.formula).length) for (const part of parts) part.draw(); },
  };
}
