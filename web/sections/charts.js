/** The charts of the page: dough against share, sugars over time. */

import { bulk } from "../service/bulk.js";
import { measuredTrials } from "../service/learn-requests.js";
import { breadAfter, panFillRequest } from "../service/requests.js";
import { createChart } from "../ui/chart.js";
import { figuresOf } from "../ui/figures.js";
import { table } from "../ui/tables.js";

const SHARES = Array.from({ length: 13 }, (_, index) => index * 5);     // 0 to 60 %, as far as the slider goes
/** @type {("glucose" | "fructose" | "maltose" | "used")[]} */
const SUGARS = ["glucose", "fructose", "maltose", "used"];
const DASHES = { maltose: 0, fructose: 1, glucose: 2, used: 0 };
const ROWS = 13;            // lines of the sugar table; the chart has them all

/** @param {Bench} bench @param {{fill: HTMLElement, sugar: HTMLElement}} rooms */
export function chartsOf(bench, rooms) {
  const share = createChart(bench);
  const sugar = createChart(bench);
  rooms.fill.replaceChildren(share.node);
  rooms.sugar.replaceChildren(sugar.node);
  /** @type {AbortController | null} */
  let running = null;
  const shareNearby = nearby(rooms.fill, drawShare, share.hide);
  const sugarNearby = nearby(rooms.sugar, drawSugar, sugar.hide);

  /** Calls the service for each share. When no answer comes, the chart before is not for these entries, and hides. */
  async function drawShare() {
    const { water, fill, "fill-before": before } = bench.answers.now();
    if (!water || !fill || !running) return;
    const { signal } = running;
    try {
      const data = await shareData(bench, { water, fill, before }, signal);
      if (signal.aborted) return;
      if (data) share.draw(data);
      else share.hide();
    } catch {
      if (!signal.aborted) share.hide();
    }
  }

  function drawSugar() {
    const { sugar: reply } = bench.answers.now();
    if (reply) sugar.draw(sugarData(bench, reply));
  }

  return {
    /** Draws the answers to the entries as they are now. Without them the charts stay with the old answers. */
    draw() {
      running?.abort();
      running = new AbortController();
      const { water, fill, sugar: reply } = bench.answers.now();
      if (reply) sugarNearby();
      if (water && fill) shareNearby();
    },
  };
}

/** Draws only while the place is near the window, and then the newest. wait(): the old drawing is out of date until then.
@param {HTMLElement} place @param {() => void} draw @param {() => void} wait */
export function nearby(place, draw, wait) {
  let near = false;
  let waiting = false;
  new IntersectionObserver((entries) => {
    near = entries[entries.length - 1].isIntersecting;          // the newest of them
    if (near && waiting) draw();
    if (near) waiting = false;
  }, { rootMargin: "600px" }).observe(place);
  return () => {
    if (near) return draw();
    waiting = true;
    wait();
  };
}

/** @param {Texts} t @param {string} name */
function sugarName(t, name) {
  return name === "used" ? t("chart.used") : t(`sugars.${name}`);
}

/** The dough for each share; null when too few have an answer.
@param {Bench} bench @param {{water: Answers["water"], fill: Answers["fill"], before?: Answers["fill-before"]}} now
@param {AbortSignal} signal
@returns {Promise<import("../ui/chart.js").ChartData | null>} */
async function shareData(bench, { water, fill, before }, signal) {
  const { t, state } = bench;
  const units = bench.units();
  const calls = SHARES.map((share) => panFillRequest(state, units, { ...breadAfter(water, state), share }));
  const replies = await bulk(calls, signal);
  const points = SHARES.flatMap((share, index) => {
    /** @type {Estimate | undefined} */
    const dough = replies[index]?.dough_mass;
    return dough ? [{ share, dough }] : [];
  });
  if (points.length < 2) return null;
  const [first, last] = [points[0], points[points.length - 1]];
  const { text, figure } = figuresOf(bench);
  const unit = t(`units.${units.unit("mass")}`);
  const trials = measuredTrials(bench.notebook.state.trials);
  /** @param {number} share @param {Estimate} dough @param {string} name */
  const point = (share, dough, name) => ({
    x: share, y: dough.best, name: t(`chart.${name}`, { share: text(share, "percent"), dough: text(dough.best, "mass") }) });
  return {
    title: t("chart.shareTitle"),
    summary: t("chart.shareSummary", {
      first: text(first.dough.best, "mass"), from: text(first.share, "percent"),
      last: text(last.dough.best, "mass"), to: text(last.share, "percent") }),
    x: { label: t("chart.shareX"), step: 10 }, y: { label: t("chart.shareY", { unit }), broken: (from) => t("chart.broken", { from }) },
    lines: [{ name: t("chart.line"), points: points.map(({ share, dough }) => [share, dough.best]) }],
    area: { low: t("chart.bandLow"), high: t("chart.bandHigh"), points: points.map(({ share, dough }) => [share, dough.low, dough.high]) },
    here: point(water.after.scalded_share_percent, fill.dough_mass, before ? "now" : "recipe"),
    own: before ? point(water.before.scalded_share_percent, before.dough_mass, "recipe") : undefined,
    dots: trials.flatMap(({ scalded_share_percent: x, dough_mass: mass, name }) => (
      typeof x === "number" && typeof mass === "number" ? [{ x, y: units.outward(mass, "mass"), name }] : [])),
    table: table(t("chart.shareTitle"),
      [[t("chart.share")], [t("chart.low"), "number"], [t("chart.best"), "number"], [t("chart.high"), "number"]],
      points.map(({ share, dough }) => [figure(share, "percent"), figure(dough.low, "mass"), figure(dough.best, "mass"),
                                  figure(dough.high, "mass")])),
  };
}

/** @param {Bench} bench @param {Answers["sugar"]} reply @returns {import("../ui/chart.js").ChartData} */
function sugarData(bench, reply) {
  const { t, state } = bench;
  const { text, figure } = figuresOf(bench);
  const { timeline } = reply;
  const end = timeline[timeline.length - 1];
  let hours = 0;
  const marks = state.stages.map((stage) => {
    const mark = { x: hours, name: stage.name };
    hours += Number(stage.minutes) / 60;
    return mark;
  });
  const step = Math.max(1, Math.ceil((timeline.length - 1) / (ROWS - 1)));
  const rows = timeline.filter((_, index) => index % step === 0 || index === timeline.length - 1);
  return {
    title: t("chart.sugarTitle"),
    summary: t("chart.sugarSummary", {
      hours: text(end.hours, "hours"), used: text(end.used_percent, "percent", 1),
      ...Object.fromEntries(SUGARS.slice(0, 3).map((name) => [name, text(end[`${name}_percent`], "percent", 1)])) }),
    x: { label: t("chart.sugarX") }, y: { label: t("chart.sugarY"), from: 0 },
    lines: SUGARS.map((name) => ({ name: name === "used" ? t("chart.usedShort") : sugarName(t, name), stamp: name === "used", dash: DASHES[name],
                                   points: timeline.map((at) => [at.hours, at[`${name}_percent`]]) })),
    marks,
    table: table(t("chart.sugarTitle"), [[t("chart.hours")], ...SUGARS.map((name) => [sugarName(t, name), "number"])],
      rows.map((at) => [figure(at.hours, "hours", 1), ...SUGARS.map((name) => figure(at[`${name}_percent`], "percent", 1))])),
  };
}
