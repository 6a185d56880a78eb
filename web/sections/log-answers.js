/** What the bakes and their scores show: the finding, the lessons for the next dough, the chart. */

import { ratioOfBakes, ratiosApart } from "../service/learn-requests.js";
import { h } from "../ui/dom.js";
import { figuresOf } from "../ui/figures.js";
import { showNumber } from "../ui/numbers.js";
import { figureList, table } from "../ui/tables.js";

const FRESH = 10;           // of softness

/** @typedef {Replies["keeping"]} Kept */

/** The last day with a score. @param {Schemas["KeptLoaf"]} loaf @param {LogColumn | undefined} column */
function lastDay(loaf, column) {
  return Math.max(...loaf.residuals.map(({ days }) => days), ...(column?.points ?? []).flatMap(({ days, score }) => (
    typeof days === "number" && typeof score === "number" ? [days] : [])));
}

/** How long a loaf stays soft, in words: no figure beyond the last score. @param {Bench} bench @param {Schemas["KeptLoaf"]} loaf
@param {LogColumn | undefined} column */
export function softFor({ t, ...bench }, loaf, column) {
  const { text } = figuresOf({ t, ...bench });
  const { low, best, high, beyond_last_day: beyond, reason } = loaf.time_to_limit;
  const last = lastDay(loaf, column);
  const over = beyond || reason === "limit_not_reached";
  return {
    best: over && Number.isFinite(last) ? t("log.over", { days: text(last, "days", Number.isInteger(last) ? 0 : 1) })
      : reason === "already_reached" ? t("log.below") : best === null ? t("log.tooLittle") : text(best, "days", 1),
    range: low === null ? "" : high === null ? t("log.orMore", { low: text(low, "", 1) })
      : t("log.range", { low: text(low, "", 1), high: text(high, "", 1) }),
  };
}

/** How likely, in whole percent: a few scores of a few loaves make nothing quite sure. @param {FiguresBench} bench */
const chance = (bench) => (/** @type {number} */ value) => figuresOf(bench).text(Math.min(99, Math.max(1, value)), "percent", 0);

/** The finding: which loaf stays soft longest, and how sure that is; null while the scores can't say.
@param {Bench} bench @param {Kept} reply @param {Map<string, LogColumn>} columns by their titles
@returns {{name: string | null, head: string, rest: string} | null} */
export function findingOf(bench, reply, columns) {
  const { t } = bench;
  const percent = chance(bench);
  const loaves = reply.loaves.filter((loaf) => loaf.time_to_limit.best !== null || loaf.time_to_limit.reason === "limit_not_reached");
  if (reply.limit === null || !loaves.length) return null;
  const [first] = reply.ranking;
  if (!first || loaves.length < 2) {
    const { best } = softFor(bench, loaves[0], columns.get(loaves[0].name));
    return { name: null, head: t("log.alone", { name: loaves[0].name, days: best }), rest: "" };
  }
  const pairs = reply.comparisons.filter(({ longer, shorter }) => longer === first.name || shorter === first.name)
    .sort((one, other) => other.probability_percent - one.probability_percent);
  const day = Math.floor(Math.max(...reply.loaves.map((loaf) => lastDay(loaf, columns.get(loaf.name))))) + 1;
  const sure = pairs.some(({ order, longer }) => order !== "open" && longer === first.name);
  return {
    name: first.name, head: t(sure ? "log.longest" : "log.maybe", { name: first.name }),
    rest: pairs.map(({ order, longer, shorter, probability_percent: probability }) => t(`log.${order}`, {
      shorter: longer === first.name ? shorter : longer, probability: percent(probability), day })).join(" "),
  };
}

/** What ratio the scalds of the bakes are counted with, where they don't all say the same.
@param {Bench} bench @param {Trial[]} trials @param {Entry} tonight of the scald of the bread being worked on @param {(column: LogColumn) => string} titleOf */
export function ratioSays({ t, locale }, trials, tonight, titleOf) {
  const found = ratioOfBakes(trials) ?? tonight;
  if (typeof found !== "number") return [];
  const ratio = `${t("write.toOne")}${showNumber(Number(found.toFixed(2)), locale)}`;
  return Object.entries(ratiosApart(trials, found)).flatMap(([name, bakes]) => (
    bakes.length ? [t(`log.ratio_${name}`, { ratio, bakes: bakes.map(titleOf).join(t("write.list")) })] : []));
}

/** The bake that would teach most. @param {Bench} bench @param {Schemas["TellingBake"]} bake */
function tellingBake(bench, { kind, scalded_share_percent: share, hydration_percent: hydration, narrows_dough_percent: percent }) {
  const { t } = bench;
  const { text } = figuresOf(bench);
  const said = t(`teach.${kind}`, { share: text(share, "percent", 0), hydration: hydration === null ? "" : text(hydration, "percent", 0) });
  return t("teach.narrows", { bake: said.replace(/,?\s*$/, ""), percent: text(percent, "percent", 0) });
}

/** What the bakes teach about flour and oven. @param {Bench} bench @param {Answers["trials"]} reply @param {Answers["taught"]} next */
export function writeLessons(bench, { fit, learned, proof, spread_percent: spread, teach }, next) {
  const { t } = bench;
  const { figure, estimate, text } = figuresOf(bench);
  return [
    figureList([
      next && [t("log.next", { share: text(next.scalded_share_percent ?? 0, "percent") }), estimate(next.dough_mass, "mass"), "main"],
      next && [t("log.bakeLoss"), estimate(next.bake_loss_percent, "percent", 1)],
      [t("log.reference"), estimate(learned.reference_specific_volume, "specific_volume", 2)],
      [t("log.spread"), figure(spread, "percent", 1)],
      proof?.minutes && [t("log.proofNext"), estimate(proof.minutes, "minutes", 0)],
    ]),
    table(t("log.fit"),
      [[t("log.bake")], [t("log.expected"), "number"], [t("log.measured"), "number"], [t("log.off"), "number"]],
      fit.map((bake) => [[[bake.name, text(bake.scalded_share_percent, "percent")].filter(Boolean).join(t("write.list")), bake.flagged ? h("small", {}, ` ${t("log.flagged")}`) : null],
        figure(bake.predicted, "volume"), figure(bake.measured, "volume"), figure(bake.residual_percent, "percent", 1)])),
    teach && teach.bakes.length > 0 && h("p", {}, h("strong", {}, `${t("log.teach")} `), tellingBake(bench, teach.bakes[0])),
  ];
}

/** The days of each loaf and the comparisons, in figures. @param {Bench} bench @param {Kept} reply */
export function writeTimes(bench, reply) {
  const { t } = bench;
  const { figure, text } = figuresOf(bench);
  /** @param {Schemas["TimeToLimit"]} time */
  const band = ({ low, high }) => (low === null && high === null ? null : h("span", { class: "band" }, t("estimate.range", {
    low: low === null ? t("log.tooLittle") : text(low, "days", 1), high: high === null ? t("log.never") : text(high, "days", 1) })));
  return [
    reply.limit !== null && table(t("log.times"), [[t("log.loaf")], [t("log.softFor"), "number"]],
      reply.loaves.map(({ name, time_to_limit: time }) => (
        [name, [time.best === null ? t("log.tooLittle") : figure(time.best, "days", 1),
                time.beyond_last_day ? h("small", {}, ` ${t("log.beyond")}`) : null, band(time)]]))),
    reply.comparisons.map((pair) => h("p", {}, t("log.pair", {
      longer: pair.longer, shorter: pair.shorter, probability: chance(bench)(pair.probability_percent) }))),
  ];
}

/** The scores with their fitted curves; null when there is no curve.
@param {Bench} bench @param {Kept} reply @returns {import("../ui/chart.js").ChartData | null} */
export function scoreChart(bench, { loaves, limit, direction }) {
  const { t } = bench;
  const { figure, text } = figuresOf(bench);
  const fitted = loaves.filter((loaf) => loaf.curve.length);
  // No loaf is softer than a fresh one.
  const within = (/** @type {number} */ score) => (direction === "falls" ? Math.min(Math.max(score, 0), FRESH) : score);
  if (!fitted.length) return null;
  return {
    title: t("log.chart"), note: t("log.chartNote"),
    summary: fitted.map(({ name, curve }) => {
      const [first, last] = [curve[0], curve[curve.length - 1]];
      return t("log.summary", { name, from: text(first.best), to: text(last.best), days: text(last.days, "days", 0) });
    }).join(" "),
    x: { label: t("log.chartX"), from: 0, step: 1 }, y: { label: t(`log.scores_${direction}`), step: 2 },
    lines: fitted.map(({ name, curve }, line) => ({ name, dash: fitted.length - 1 - line, points: curve.map((at) => [at.days, within(at.best)]) })),
    area: fitted.length === 1 ? { points: fitted[0].curve.map((at) => [at.days, within(at.low), within(at.high)]) } : undefined,
    level: limit === null ? undefined : { y: limit, name: t("log.limitLine", { limit: text(limit) }) },
    dots: fitted.flatMap((loaf, line) => loaf.residuals.map((at) => ({ x: at.days, y: at.score, name: loaf.name, line }))),
    table: table(t("log.chart"), [[t("log.loaf")], [t("log.days"), "number"], [t("log.score"), "number"], [t("log.fitted"), "number"]],
      fitted.flatMap((loaf) => loaf.residuals.map((at) => [loaf.name, figure(at.days), figure(at.score), figure(at.fitted)]))),
  };
}
