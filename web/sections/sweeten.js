/** Writes the sugar of the recipe anew, as a percentage of its flour. The service works out the amounts. */

import { sweetenedBody } from "../service/compare-requests.js";
import { filledLines } from "../service/requests.js";
import { line as newLine } from "../state/work.js";
import { SYSTEMS } from "../ui/numbers.js";

/** Puts amounts into the lines they belong to, in order; a line that is new is added, one of which nothing is left goes.
@param {Line[]} lines @param {{ingredient: string, part: Part, amount: number}[]} wanted @returns {Line[]} */
export function withAmounts(lines, wanted) {
  const left = [...lines];
  return wanted.map(({ ingredient, part, amount }) => {
    const at = left.findIndex((line) => line.ingredient === ingredient && line.part === part);
    const [found = newLine(ingredient, amount, part)] = at < 0 ? [] : left.splice(at, 1);
    found.amount = amount;
    return found;
  });
}

/** Changes the recipe so that its sugar is this much of its flour; false when the recipe has changed meanwhile.
@param {Bench} bench @param {number} percent @param {(work: Work) => void} [also] changes the work too */
export async function sweeten(bench, percent, also = () => {}) {
  const { state, api } = bench;
  const before = JSON.stringify(state);
  const metric = { ...bench.units(), wire: SYSTEMS.metric, outward: (/** @type {number} */ value) => value };
  const reply = await api.call("variants", sweetenedBody(state, metric, bench.isLiquid, percent), undefined, "result");
  const [{ request, problem }] = reply.variants;
  if (!request || problem) throw new Error(problem?.detail);
  const { formula } = await api.call("breakdown", { units: metric.wire, formula: request.formula }, undefined, "result");
  if (JSON.stringify(state) !== before) return false;
  bench.change((work) => {
    const wanted = formula.lines.map(({ ingredient, part, mass, percent: ofFlour }) => (
      { ingredient, part: /** @type {Part} */ (part), amount: work.formula.by === "percent" ? ofFlour : mass }));
    work.formula.lines = withAmounts(filledLines(work.formula), wanted);
    also(work);
  });
  bench.redraw();
  return true;
}
