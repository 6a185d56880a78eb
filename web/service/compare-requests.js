/** Writes the comparison as a request: the recipe as it is, and the bread at each share, with what else it has of its own. */

import { planRequest } from "./plan-request.js";
import { wire } from "./requests.js";

/** @typedef {import("./requests.js").IsLiquid} IsLiquid */

/** What a compared bread may have of its own, and what it measures. @type {Record<OwnFigure, string>} */
export const OWN_FIGURES = { hydration_percent: "percent", scald_liquid_ratio: "number", sucrose_percent: "percent", gluten_percent: "percent" };
const OWN = /** @type {OwnFigure[]} */ (Object.keys(OWN_FIGURES));

/** @param {Entry | ComparedBread} bread @returns {ComparedBread} */
export function wholeBread(bread) {
  if (bread !== null && typeof bread === "object") return bread;
  return { share: bread, hydration_percent: null, scald_liquid_ratio: null, sucrose_percent: null, gluten_percent: null };
}

/** A bread as it is kept: by its share alone where it has nothing of its own. @param {ComparedBread} bread @returns {Entry | ComparedBread} */
export function keptBread(bread) {
  return OWN.every((name) => bread[name] === null) ? bread.share : bread;
}

/** The plan without what a comparison does not show: its faults would be of no use there. What the breads differ in is each one's.
@param {Work} work @param {Units} units @param {IsLiquid} isLiquid @returns {Record<string, unknown>} */
function commonBody(work, units, isLiquid) {
  const { scald, temperatures, timetable, stages, scalded_share_percent: share, hydration_percent: hydration, scald_liquid_ratio: ratio,
    gluten_percent: gluten, ...body } = /** @type {Record<string, any>} */ (planRequest(work, units, isLiquid).body);
  return { ...body, stages: stages.length ? stages : undefined };
}

/** @param {Work} state @param {Units} units @param {IsLiquid} isLiquid @param {Answers["formula"]} recipe @param {ComparedBread[]} breads @param {string[]} names of
the recipe and of each bread @returns {ServiceRequest<"variants"> & {body: Record<string, unknown> & {variants: Record<string, unknown>[]}}} */
export function compareRequest(state, units, isLiquid, recipe, breads, names) {
  const { water } = state;
  const asItIs = { name: names[0], scalded_share_percent: recipe.scalded_share_percent, hydration_percent: recipe.hydration_percent };
  const variants = breads.map((bread, index) => {
    const own = (/** @type {OwnFigure} */ name, /** @type {Entry} */ otherwise = null) => wire(bread[name] ?? otherwise, OWN_FIGURES[name], units);
    return {
      name: names[index + 1],
      // Without a share the service keeps the formula's: an emptied field must not be answered with that.
      scalded_share_percent: wire(bread.share, "percent", units) ?? null,
      hydration_percent: own("hydration_percent", water.hydration_percent),
      scald_liquid_ratio: own("scald_liquid_ratio", water.scald_liquid_ratio),
      sucrose_percent: own("sucrose_percent"), gluten_percent: own("gluten_percent", water.gluten_percent),
    };
  });
  return {
    call: "variants", body: { ...commonBody(state, units, isLiquid), hold: "pan", variants: [asItIs, ...variants] },
    place: (pointer) => `compare${pointer.replace(/^\/variants/, "").replace(/\/scalded_share_percent$/, "")}`,
  };
}

/** The recipe with another mass of sugar, its flour held. @param {Work} state @param {Units} units metric ones @param {IsLiquid} isLiquid @param {number} percent of flour
@returns {object} */
export function sweetenedBody(state, units, isLiquid, percent) {
  return { ...commonBody(state, units, isLiquid), hold: "flour_mass", variants: [{ name: "recipe", sucrose_percent: percent }] };
}
