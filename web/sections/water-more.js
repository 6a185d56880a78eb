/** Seldom used entries about the water, loaded when they are opened. */

import { h } from "../ui/dom.js";
import { followingLiquid } from "../service/requests.js";
import { numberField } from "../ui/fields.js";
import { waterTable } from "./water-table.js";
import { radioField } from "../ui/plain-fields.js";

/** Which liquids of the formula may go into the scald; at first those that are in it. @param {Bench} bench @returns {Field} */
function liquidChoice(bench) {
  const { t, state, names } = bench;
  const room = h("div", { class: "options" });
  const follows = h("small", { class: "hint" });
  /** @type {Map<string, HTMLInputElement>} */
  let boxes = new Map();          // by liquid
  function refresh() {
    const liquids = new Set(state.formula.lines.filter(({ ingredient, composition }) => (
      bench.isLiquid(ingredient) || composition?.is_liquid && !composition.stays_in_dough)).map((line) => line.ingredient));
    if ([...liquids].join() !== [...boxes.keys()].join()) {
      boxes = new Map([...liquids].map((liquid) => [liquid, h("input", { type: "checkbox", on: { change: choose } })]));
      room.replaceChildren(...[...boxes].map(([liquid, box]) => h("label", {}, box, h("span", {}, names.label(liquid)))));
    }
    follows.textContent = t("water.follows", { liquid: names.label(followingLiquid(state.formula, bench.isLiquid) ?? "water") });
    const chosen = allowed();
    for (const [liquid, box] of boxes) box.checked = chosen.includes(liquid);
  }
  /** What is chosen, or what is in the scald now. */
  function allowed() {
    const { scald_liquids: chosen } = state.water;
    return chosen.length ? chosen : state.formula.lines.filter((line) => line.part === "scald").map((line) => line.ingredient);
  }
  /** Liquids that were ticked before keep their order, in which the service uses them. */
  function choose() {
    const ticked = [...boxes].filter(([, box]) => box.checked).map(([liquid]) => liquid);
    const kept = allowed().filter((liquid) => ticked.includes(liquid));
    bench.change((work) => { work.water.scald_liquids = [...kept, ...ticked.filter((liquid) => !kept.includes(liquid))]; });
  }
  refresh();
  return { node: h("fieldset", { class: "choice" }, h("legend", {}, t("water.scald_liquids")), room,
                   h("small", { class: "hint" }, t("water.scald_liquidsHint"), " "), follows), refresh };
}

/** @param {Bench} bench @returns {Field} */
export function waterMore(bench) {
  const { t, state } = bench;
  /** @param {WaterOption} name @param {string} quantity @param {{unitText?: string}} more */
  const option = (name, quantity, more = {}) => numberField(bench, {
    label: t(`water.${name}`), hint: t(`water.${name}Hint`), quantity, optional: true, place: `water/${name}`,
    get: () => state.water[name], set: (value) => bench.change((work) => { work.water[name] = value; }), ...more,
  });
  const ofFlour = (/** @type {FlourFigure} */ name) => numberField(bench, {
    label: t(`water.${name}`), quantity: "percent", optional: true, place: `water/flour/${name}`,
    get: () => state.water.flour[name], set: (value) => bench.change((work) => { work.water.flour[name] = value; }),
  });
  const hold = radioField(bench, {
    label: t("water.hold"), get: () => state.water.hold,
    set: (value) => bench.change((work) => { work.water.hold = value; }),
    choices: [["dough_mass", t("water.holdDough")], ["flour_mass", t("water.holdFlour")]],
  });
  const first = [hold, liquidChoice(bench), option("scald_liquid_ratio", "number", { unitText: "" }),
                 option("hydration_percent", "percent"), option("gluten_percent", "percent"), waterTable(bench)];
  const flours = /** @type {FlourFigure[]} */ (
    ["absorption_percent", "base_absorption_percent", "moisture_percent", "base_moisture_percent"]).map(ofFlour);
  return {
    node: h("div", {}, first.map((part) => part.node),
      h("fieldset", {}, h("legend", {}, t("water.newFlour")), h("p", { class: "hint" }, t("water.newFlourHint")),
        h("div", { class: "pair" }, flours.map((field) => field.node)))),
    refresh() { for (const part of [...first, ...flours]) part.refresh(); },
  };
}
