/** How far the scalded share can go, as a request: tonight's plan, and the most that there may be of what a larger share takes. */

import { planRequest } from "./plan-request.js";
import { present, wire } from "./requests.js";

/** What the baker may limit, and what it measures. @type {Record<LimitFigure, string>} */
export const LIMIT_FIGURES = { dough_mass: "mass", proof_minutes: "minutes", gluten_percent: "percent" };

/** What only the search says, and no entry of the plan. */
const OF_SEARCH = new Set(["", "/formula/lines", "/stages"]);

/** How the scald is made, what it weighs now and the timetable limit no share.
@param {Work} state @param {Units} units @param {import("./requests.js").IsLiquid} isLiquid @param {string[]} liquids those of the dough that are brought to one temperature
@param {object | undefined} proof of the newest fit of the trials @returns {ServiceRequest<"share-limit">} */
export function reachRequest(state, units, isLiquid, liquids, proof) {
  const plan = planRequest(state, units, isLiquid, liquids);
  const { scald, timetable, stages, scalded_share_percent: share, ...body } = /** @type {Record<string, any>} */ (plan.body);
  const limits = Object.entries(LIMIT_FIGURES).map(([name, quantity]) => (
    [name, wire(state.limits?.[/** @type {LimitFigure} */ (name)], quantity, units)]));
  return {
    call: "share-limit",
    // Without a share the service keeps the formula's: an emptied field must not be answered with that.
    body: { ...body, scalded_share_percent: share ?? null, stages: stages.length ? stages : undefined,
            limits: present(Object.fromEntries(limits)), proof },
    place: (pointer) => (OF_SEARCH.has(pointer) || pointer.startsWith("/proof") ? "reach"
      : pointer.startsWith("/limits") ? `reach${pointer.slice("/limits".length)}` : plan.place(pointer)),
  };
}
