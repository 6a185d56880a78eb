/** One plan answers four single calls: the three that lead to the amounts, in one round trip, and the yeast's sugar. */

import { Refused } from "./api.js";
import { planRequest } from "./plan-request.js";

/** Whether the parts of a plan are what the single calls answer. A plan holds the dough, and counts the loss while cooling and added
gluten for water and loaf; what trials teach is only known once they are fitted.
@param {Work} work */
function agrees({ water, bread, cooling_loss_percent: cooling }) {
  return water.hold === "dough_mass" && water.gluten_percent === null && cooling === null && bread.kind !== "calibration";
}

/** @typedef {Replies["loaf-plan"]["parts"]} Parts */

/** @param {Api} api @param {(ingredient: string) => boolean} isLiquid */
export function askerByPlan(api, isLiquid) {
  /** @type {{asked: string, parts: Parts | null}} */
  let last = { asked: "", parts: null };

  /** Null when it is refused: the single calls say what is wrong, and where.
  @param {Work} work @param {Units} units @param {AbortSignal} signal @returns {Promise<Parts | null>} */
  async function partsOf(work, units, signal) {
    const { scald, temperatures, timetable, ...body } = /** @type {Record<string, unknown>} */ (planRequest(work, units, isLiquid).body);
    // Without a share the service keeps the formula's: an emptied field must not be answered with that.
    const wanted = { ...body, scalded_share_percent: body.scalded_share_percent ?? null };
    const asked = JSON.stringify(wanted);
    if (asked === last.asked) return last.parts;
    last = { asked: "", parts: null };
    let parts = null;
    try {
      ({ parts } = await api.call("loaf-plan", wanted, signal));
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
    }
    last = { asked, parts };
    return parts;
  }

  /** The service may be a newer one when it is back. @param {unknown} error @returns {never} */
  function forget(error) {
    last = { asked: "", parts: null };
    throw error;
  }

  /** The asking of one run. @type {Asking["askerOf"]} */
  return (work, units, askFor, signal) => {
    /** @type {Partial<Record<Step, any>>} */
    let known = {};
    const planned = agrees(work) && partsOf(work, units, signal).then((parts) => {
      known = parts ? { water: parts.hydration_correction, fill: parts.pan_fill, weigh: parts.scaling, sugar: parts.sugar_budget } : {};
    });
    if (planned) planned.catch(() => {});         // handled where it is awaited
    /** An answer of the plan is kept as such, so that a single call never takes it for its own: its dough is tonight's, not the recipe's.
    @type {Ask} */
    const ask = (step, request) => {
      const reply = known[step];
      return askFor(step, reply ? { ...request, call: /** @type {any} */ ("loaf-plan"), reply } : request).catch(forget);
    };
    // The water comes first: once it is known, so are the others.
    return (step, request) => (planned && step === "water" ? planned.then(() => ask(step, request)) : ask(step, request));
  };
}
