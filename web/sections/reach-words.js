/** How far the share can go, in words: the most, what stops it, each limit, and what would loosen one. */

import { h } from "../ui/dom.js";
import { doughDigits, figuresOf } from "../ui/figures.js";
import { showNumber } from "../ui/numbers.js";
import { figureList } from "../ui/tables.js";

/** @typedef {Replies["share-limit"]} Reach */
/** @typedef {Reach["limits"][0]} Limit */
/** @typedef {Reach["loosenings"][0]} Loosening */

const STEPS_A_PERCENT = 2;      // a share is scalded to the half percent
const ROUNDING = 1e-6;
const WORTH_POINTS = 0.05;      // less is shown as 0

/** A share that is not more than another, as bakers weigh it. @param {number} percent */
export const roundedShare = (percent) => Math.floor(percent * STEPS_A_PERCENT + ROUNDING) / STEPS_A_PERCENT;

/** A share with its band as bakers weigh it. @param {Estimate} share @returns {Estimate} */
const roundedBand = ({ low, best, high, evidence }) => ({ low: roundedShare(low), best: roundedShare(best), high: roundedShare(high), evidence });

/** The one field that a change changes, and whether that is a limit. @param {Loosening["change"]} change
@returns {{name: string, value: any, isLimit: boolean}} */
export function changed({ limits, ...own }) {
  const [[name, value]] = Object.entries(limits ?? own);
  return { name, value, isLimit: limits !== undefined };
}

/** The answer in one line. @param {FiguresBench} bench @param {Reach} reply */
export function reachSays(bench, reply) {
  const { t } = bench;
  const share = figuresOf(bench).text(roundedShare(reply.scalded_share_percent.best), "percent");
  return t(reply.binds === "bound" ? "reach.saysBound" : "reach.says", { share, limit: t(`limits.${reply.binds}`) });
}

/** @param {FieldsBench} bench @param {Loosening} loosening */
export function changeSays(bench, { change, instead_of: before }) {
  const { t, names, locale } = bench;
  const { text } = figuresOf(bench);
  const { name, value } = changed(change);
  const said = name === "scald_liquids" ? value.filter((/** @type {string} */ each) => !(/** @type {any} */ (before).scald_liquids ?? []).includes(each))
    .map(names.label).join(t("write.list"))
    : name === "dough_mass" ? text(value, "mass", doughDigits(bench.units())) : name === "proof_minutes" ? text(value, "minutes", 0)
      : name === "scald_liquid_ratio" ? showNumber(value, locale) : value === null ? "" : text(value, "percent");
  return t(`reach.change_${name}`, { value: said });
}

/** Where a limit binds, or why that is not known. @param {FieldsBench} bench @param {Limit} limit @returns {Child} */
function whereSays(bench, { limit, state, scalded_share_percent: share, needs }) {
  const { t } = bench;
  const { estimate, text } = figuresOf(bench);
  if (state === "reached" && share) return estimate(roundedBand(share), "percent");
  if (state === "not_reached") return share ? t("reach.perhaps", { share: text(roundedShare(share.low), "percent") }) : t("reach.notReached");
  const missing = needs ? `needs_${needs.replace(/^\/(limits\/)?/, "")}` : `unknown_${limit}`;
  return t(t.has(`reach.${missing}`) ? `reach.${missing}` : "reach.notKnown");
}

/** @param {FieldsBench & {state: Work}} bench @param {Reach} reply
@param {{use(loosening: Loosening): void, useShare(share: number, gluten: number | undefined): void}} act */
export function writeReach(bench, reply, { use, useShare }) {
  const { t, state, locale } = bench;
  const { text, band } = figuresOf(bench);
  const { scalded_share_percent: most, present_share_percent: present, limits, loosenings, binds, request } = reply;
  const share = roundedShare(most.best);
  const said = text(share, "percent");
  // The share needs the gluten that it was found with.
  const gluten = request.gluten_percent !== undefined && request.gluten_percent !== state.water.gluten_percent ? request.gluten_percent : undefined;
  const gains = loosenings.filter(({ gain_points: gain }) => gain >= WORTH_POINTS);
  return [
    h("p", { class: "verdict" }, reachSays(bench, reply)), h("p", {}, band(roundedBand(most), "percent")),
    reply.present_breaks.length ? h("p", {}, t("reach.beyond", {
      share: text(present, "percent"), limits: reply.present_breaks.map((each) => t(`limits.${each}`)).join(t("write.list")) })) : null,
    share > 0 && (share !== state.share || gluten !== undefined) ? h("button", { type: "button", on: { click: () => useShare(share, gluten) } },
      gluten === undefined ? t("reach.use", { share: said }) : t("reach.useWith", { share: said, gluten: text(gluten, "percent") })) : null,
    h("p", { class: "list-title" }, h("b", {}, t("reach.limits"))),
    figureList(limits.filter(({ limit }) => limit !== "bound" || binds === "bound").map((each) => [t(`limits.${each.limit}`), whereSays(bench, each)])),
    h("p", { class: "list-title" }, h("b", {}, t("reach.further"))),
    gains.length ? h("ul", { class: "loosenings" }, gains.map((each) => {
      const change = changeSays(bench, each);
      return h("li", {}, h("span", {}, t("reach.gains", { change, points: showNumber(each.gain_points, locale, 1) })),
        h("button", { type: "button", "aria-label": t("reach.useThis", { change }), on: { click: () => use(each) } }, t("compare.use")));
    })) : h("p", {}, t("reach.noFurther")),
  ];
}
