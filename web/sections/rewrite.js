/** Writes a formula the other way: masses as percent of flour, or back. The service calculates it. */

import { Refused } from "../service/api.js";
import { filledLines, wireFormula } from "../service/requests.js";
import { SYSTEMS } from "../ui/numbers.js";

const HUNDRED_G = 100;          // of flour: a mass in g is then a percentage
const USUAL_FLOUR_G = 1000;     // for a formula that never had a mass

/** Rewrites the formula of the bench. False when the service refuses it.
@param {Bench} bench @param {Formula["by"]} wanted @returns {Promise<boolean>} */
export async function rewritten(bench, wanted) {
  const { formula } = bench.state;
  const before = JSON.stringify(formula);
  if (formula.by === wanted) return true;
  const metric = { wire: SYSTEMS.metric, outward: (/** @type {number} */ value) => value };
  const target = wanted === "percent" ? HUNDRED_G : formula.flour ?? USUAL_FLOUR_G;
  try {
    const scaled = await bench.api.call("scaling", {
      units: metric.wire, formula: wireFormula(formula, metric), target: { kind: "flour_mass", mass: target } });
    const breakdown = wanted === "percent" ? await bench.api.call("breakdown", { units: metric.wire, formula: wireFormula(formula, metric) }) : null;
    // Something was entered meanwhile, or another bread opened: that is rewritten instead.
    if (JSON.stringify(bench.state.formula) !== before) return rewritten(bench, wanted);
    bench.change((work) => {
      filledLines(work.formula).forEach((line, index) => { line.amount = scaled.formula.lines[index].mass; });
      work.formula.scald_evaporation = scaled.formula.scald_evaporation;
      work.formula.by = wanted;
      if (breakdown) work.formula.flour = breakdown.totals.flour;
    });
    return true;
  } catch (error) {
    if (error instanceof Refused) return false;
    throw error;
  }
}
