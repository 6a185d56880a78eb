/** Writes the columns of the comparison as requests: the plan of the bread at each share. */

import { planRequest } from "./plan-request.js";

/** The plan without what a comparison does not show: its faults would be of no use there.
@param {Work} work @param {Units} units @param {number} column @returns {ServiceRequest<"loaf-plan">} */
function comparedRequest(work, units, column) {
  const { scald, temperatures, timetable, stages, ...body } = /** @type {Record<string, any>} */ (planRequest(work, units).body);
  return {
    call: "loaf-plan", body: { ...body, stages: stages.length ? stages : undefined },
    place: (pointer) => `compare/${column}${pointer === "/scalded_share_percent" ? "" : pointer}`,
  };
}

/** The recipe as it is, and the bread at each share.
@param {Work} state @param {Units} units @param {Answers["formula"]} recipe @param {Entry[]} shares */
export function compareRequests(state, units, recipe, shares) {
  const { water } = state;
  const asItIs = {
    ...state, share: recipe.scalded_share_percent,
    water: { ...water, hydration_percent: recipe.hydration_percent, scald_liquid_ratio: null, scald_liquids: [],
             flour: { moisture_percent: null, absorption_percent: null, base_moisture_percent: null, base_absorption_percent: null } },
  };
  return [asItIs, ...shares.map((share) => ({ ...state, share }))].map((work, column) => comparedRequest(work, units, column));
}
