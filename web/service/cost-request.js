/** Writes what tonight's bread costs as a request: what is weighed, with the prices of its ingredients. */

import { present, wire } from "./requests.js";

/** What a price is for, g. */
export const PER_G = { kg: 1000, lb: 453.59237 };

/** Null while nothing that is used has a price. @param {Work} state @param {Units} units @param {Price[]} prices
@param {Pick<Answers, "water" | "fill">} answers @returns {ServiceRequest<"scaling"> | null} */
export function costRequest(state, units, prices, { water, fill }) {
  const used = new Set(water.formula.lines.map(({ ingredient }) => ingredient));
  const given = prices.filter(({ ingredient, price }, index) => used.has(ingredient) && price !== null && price !== ""
    && prices.findIndex((each) => each.ingredient === ingredient) === index);
  if (!given.length) return null;
  return {
    call: "scaling",
    body: {
      units: units.wire, formula: water.formula, target: { kind: "pieces", count: fill.pans, mass: fill.dough_mass.best },
      losses: present({ handling_percent: wire(state.weigh.handling_percent, "percent", units) }),
      prices: given.map(({ ingredient, price, per }) => ({ ingredient, price, per: units.outward(PER_G[per], "mass") })),
    },
    show: "result",
    place: (pointer) => `cost${pointer.replace(/^\/prices\/(\d+)(\/\w+)?$/, (_, /** @type {number} */ index) => `/prices/${given[index]?.ingredient}`)}`,
  };
}
