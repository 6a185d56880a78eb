/** The yeast's sugar as a request: asked once its section is there. */

import { wire } from "./requests.js";

/** The bread is what the tin leaves of the dough, as in a plan.
@param {Work} state @param {Units} units @param {object} formula @param {Replies["pan-fill"] | null} filled @returns {ServiceRequest<"sugar-budget">} */
export function sugarRequest(state, units, formula, filled) {
  const keys = state.stages.map((stage) => stage.key);
  return {
    call: "sugar-budget",
    body: {
      units: units.wire, formula, yeast_tolerance: state.yeast_tolerance,
      stages: state.stages.map((stage) => ({
        name: stage.name, minutes: wire(stage.minutes, "minutes", units),
        temperature: wire(stage.temperature, "temperature", units),
      })),
      bake_loss_percent: filled ? filled.bake_loss_percent.best + filled.cooling_loss_percent.best
        : wire(state.bake_loss_percent, "percent", units),
      damaged_starch_percent: wire(state.damaged_starch_percent, "percent", units),
    },
    place: (pointer) => (pointer === "/bake_loss_percent" ? "fill/bake_loss_percent"
      : `sugar${pointer}`.replace(/^sugar\/stages\/(\d+)/, (_, /** @type {number} */ index) => `sugar/${keys[index]}`)),
  };
}
