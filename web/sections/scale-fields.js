/** The scale, and what handling loses: fields in the fold below the card. */

import { h } from "../ui/dom.js";
import { numberField } from "../ui/fields.js";

/** @param {Bench} bench @param {Element | null} into a fold, in the place of what says that they load @returns {Section} */
export function scaleFields(bench, into) {
  const { t, state } = bench;
  /** @param {keyof Work["weigh"]} name @param {string} quantity @param {string} place */
  const number = (name, quantity, place) => numberField(bench, {
    label: t(`weigh.${name}`), quantity, place, optional: name !== "handling_percent", get: () => state.weigh[name],
    set: (value) => bench.change((work) => { work.weigh[name] = value; }),
  });
  const fields = [number("resolution", "mass", "weigh/scale/resolution"),
                  number("fine_resolution", "mass", "weigh/scale/fine_resolution"),
                  number("fine_below", "mass", "weigh/scale/fine_below"),
                  number("handling_percent", "percent", "weigh/losses/handling_percent")];
  const node = h("div", { class: "pair" }, fields.map((field) => field.node));
  into?.firstElementChild?.replaceWith(node);
  return { node, refresh() { for (const field of fields) field.refresh(); } };
}
