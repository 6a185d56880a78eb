/** Cautions: one line where the hand is, with the whole text behind it. */

import { h } from "./dom.js";
import { figuresOf } from "./figures.js";

/** The step that says a caution at the hand; all of them are in the section about safety. @type {Record<string, string>} */
export const AT_HAND = { hot_scald: "weigh", overfilled_pan: "weigh", honey_infants: "weigh", allergens: "formula", scald_cooling: "plan" };

const TEMPERATURE = /(burn|from|to|low|high)$/;

/** The numbers of a caution, written. @param {FiguresBench} bench @param {Caution} caution */
export function numbersOf(bench, { values = {} }) {
  const { text } = figuresOf(bench);
  return Object.fromEntries(Object.entries(values).map(([name, value]) =>
    [name, typeof value === "number" ? text(value, TEMPERATURE.test(name) ? "temperature" : "", 0) : value]));
}

/** The words of a caution, and who decides. @param {FiguresBench} bench @param {Caution} caution */
export function cautionText(bench, caution) {
  const { t } = bench;
  const { code, text, defer_to: who } = caution;
  const own = t.has(`cautions.${code}`);
  return { lang: own ? null : "en", text: own ? t(`cautions.${code}`, numbersOf(bench, caution)) : text, who: own ? t(`cautions.${code}_who`) : who };
}

/** @param {FiguresBench} bench @param {Caution} caution */
export function careLine(bench, caution) {
  const { t } = bench;
  const whole = h("p", {});
  async function write() {
    await t.more().catch(() => {});         // without a connection the service's own words stay
    const { lang, text, who } = cautionText(bench, caution);
    whole.lang = lang ?? "";
    whole.replaceChildren(`${text} `, h("small", {}, t("caution.defer", { who })));
  }
  return h("details", { class: "care", on: { toggle: write } }, h("summary", {}, t(`care.${caution.code}`, numbersOf(bench, caution))), whole);
}
