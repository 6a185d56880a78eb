/** A formula written the other way: masses as percent of flour, or back. The service does the reckoning. */

import { Refused } from "../service/api.js";
import { filledLines, wireFormula } from "../service/requests.js";
import { SYSTEMS } from "../ui/numbers.js";

const HUNDRED_G = 100;          // of flour: a mass in g is then a percentage
const USUAL_FLOUR_G = 1000;     // for a formula that never had a mass

/** Rewrites the formula of the bench; false when the service refuses it. wanted: "mass" or "percent". */
export async function rewritten(bench, wanted) {
  const { formula } = bench.state;
  const before = JSON.stringify(formula);
  if (formula.by === wanted) return true;
  const metric = { wire: SYSTEMS.metric, outward: (value) => value };
  const target = wanted === "percent" ? HUNDRED_G : formula.flour ?? USUAL_FLOUR_G;
  try {
    const scaled = await bench.api.call("scaling", {
      units: metric.wire, formula: wireFormula(formula, metric), target: { kind: "flour_mass", mass: target } });
    const seen = wanted === "percent" ? await bench.api.call("breakdown", { units: metric.wire, formula: wireFormula(formula, metric) }) : null;
    // What was entered meanwhile, or another bread, is rewritten in its turn.
    if (JSON.stringify(bench.state.formula) !== before) return rewritten(bench, wanted);
    bench.change((work) => {
      filledLines(work.formula).forEach((line, index) => { line.amount = scaled.formula.lines[index].mass; });
      work.formula.scald_evaporation = scaled.formula.scald_evaporation;
      work.formula.by = wanted;
      if (seen) work.formula.flour = seen.totals.flour;
    });
    return true;
  } catch (error) {
    if (error instanceof Refused) return false;
    throw error;
  }
}
