/** Cautions: one line where the hand is, with the whole text behind it. */

import { h } from "./dom.js";

/** The step that says a caution at the hand; all of them are in the section about safety. @type {Record<string, string>} */
export const AT_HAND = { hot_scald: "weigh", overfilled_pan: "weigh", honey_infants: "weigh", allergens: "formula", scald_cooling: "plan" };

/** The words of a caution, and who decides. @param {Pick<FiguresBench, "t">} bench @param {Caution} caution */
export function cautionText({ t }, { code, text, defer_to: who }) {
  const own = t.has(`cautions.${code}`);
  return { lang: own ? null : "en", text: own ? t(`cautions.${code}`) : text, who: own ? t(`cautions.${code}_who`) : who };
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
  return h("details", { class: "care", on: { toggle: write } }, h("summary", {}, t(`care.${caution.code}`)), whole);
}
