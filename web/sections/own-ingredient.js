/** The composition of an ingredient that the catalogue lacks. */

import { h } from "../ui/dom.js";
import { numberField } from "../ui/fields.js";

const PARTS = ["water_percent", "fat_percent", "protein_percent", "salt_percent", "sucrose_percent", "glucose_percent",
               "fructose_percent", "maltose_percent", "lactose_percent"];
/** What a tick says of it; nothing is said without one. @type {[string, boolean][]} */
const FLAGS = [["is_flour", true], ["is_liquid", true], ["is_white_wheat", false], ["stays_in_dough", true]];

/** @param {Bench} bench @param {Line} line @returns {Field} */
export function ownIngredient(bench, line) {
  const { t } = bench;
  /** @param {string} name @param {Entry | boolean} value */
  const set = (name, value) => bench.change(() => {
    const { [name]: before, ...others } = line.composition ?? {};
    line.composition = value === null ? others : { ...others, [name]: value };
  });
  const fields = PARTS.map((name) => numberField(bench, {
    label: t(`own.${name}`), quantity: "percent", optional: true, place: `formula/${line.key}/composition/${name}`,
    get: () => /** @type {Entry} */ (line.composition?.[name] ?? null), set: (value) => set(name, value) }));
  const flags = FLAGS.map(([name, says]) => {
    /** @type {HTMLInputElement} */
    const box = h("input", { type: "checkbox", on: { change: () => set(name, box.checked ? says : null) } });
    return { box, name, says, node: h("label", {}, box, h("span", {}, t(`own.${name}`))) };
  });
  const room = h("div", { class: "folded-body", hidden: !line.composition },
    h("p", { class: "hint" }, `${t("own.title")}. ${t("own.hint")}`), h("div", { class: "pair" }, fields.map((field) => field.node)),
    h("div", { class: "options" }, flags.map((flag) => flag.node)));
  const give = h("button", { type: "button", class: "add", hidden: Boolean(line.composition), on: { click() {
    bench.change(() => { line.composition = {}; });
    room.hidden = false;
    give.hidden = true;
    fields[0].input.focus();
  } } }, t("own.give"));
  return {
    node: h("div", {}, give, room),
    refresh() {
      for (const field of fields) field.refresh();
      for (const flag of flags) flag.box.checked = line.composition?.[flag.name] === flag.says;
    },
  };
}
