/** The papers of a blind tasting: a sheet for each taster, and the key to the codes. They are printed apart. */

import { h } from "../ui/dom.js";
import { table } from "../ui/tables.js";
import { printOnly } from "./print-only.js";

/** @typedef {Replies["tasting-plan"]} Plan */

/** A sheet for each taster, with the codes and nothing else that could say what is what.
@param {Texts} t @param {Tasting} tasting @param {Plan} plan */
export function sheetsOf(t, { test, contains, draw }, { sheets }) {
  return h("div", { class: "taster-sheets" }, sheets.map(({ taster, reference, servings }) => h("section", {},
    h("p", { class: "sheet-head" }, h("b", {}, t("tasting.taster", { number: taster })), h("span", {}, t("tasting.plan", { draw }))),
    h("p", {}, t(`tasting.do_${test}`)),
    h("p", { class: "codes" }, reference === null ? null : h("span", {}, t("tasting.reference")), servings.map(({ code }) => h("span", {}, String(code)))),
    h("p", { class: "answer-line" }, t(`tasting.answer_${test}`), test === "ranking" ? servings.map((_, index) => h("span", {}, `${index + 1}.`)) : h("span", {})),
    h("p", { class: "contains" }, t("tasting.tellBefore", { contains: contains.trim() || "______________________________" })))));
}

/** The key: which code is which bread. @param {Texts} t @param {Tasting} tasting @param {Plan} plan @param {string[]} alike */
export function keyOf(t, { test, draw, contains }, { sheets }, alike) {
  const most = Math.max(...sheets.map(({ servings }) => servings.length));
  const withReference = sheets.some(({ reference }) => reference !== null);
  const withRight = sheets.some(({ right }) => right !== null);
  const columns = [[t("tasting.tasters"), ""], ...(withReference ? [[t("tasting.reference"), ""]] : []),
    ...Array.from({ length: most }, (_, index) => [t("tasting.serving", { number: index + 1 }), ""]), ...(withRight ? [[t("tasting.keyRight"), ""]] : [])];
  return h("div", { class: "tasting-key" }, h("h1", {}, t("tasting.key")), h("p", {}, t("tasting.keyHint", { draw })),
    h("p", {}, `${t(`tasting.test_${test}`)}${t("write.end")} ${t("tasting.containsLine", { contains: contains.trim() || "—" })}`),
    h("ul", {}, alike.map((text) => h("li", {}, text))),
    table(t("tasting.key"), columns, sheets.map(({ taster, reference, servings, right }) => [
      t("tasting.taster", { number: taster }), ...(withReference ? [reference ?? ""] : []),
      ...servings.map(({ code, sample }) => [h("b", {}, String(code)), ` ${sample}`]), ...(withRight ? [right === null ? "" : String(right)] : [])])));
}

/** @param {Texts} t @param {Tasting} tasting @param {Plan} plan */
export function printSheets(t, tasting, plan) {
  printOnly(sheetsOf(t, tasting, plan));
}

/** @param {Texts} t @param {Tasting} tasting @param {Plan} plan @param {string[]} alike */
export function printKey(t, tasting, plan, alike) {
  printOnly(keyOf(t, tasting, plan, alike));
}
