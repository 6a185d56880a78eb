/** The charts of the page: dough against share, sugars over time. Loaded once the answers are there. */

import { measuredTrials } from "../service/learn-requests.js";
import { breadAfter, panFillRequest } from "../service/requests.js";
import { figuresOf, table } from "../ui/answer.js";
import { createChart, legend } from "../ui/chart.js";

const SHARES = Array.from({ length: 13 }, (_, index) => index * 5);     // 0 to 60 %, as far as the slider goes
const SUGARS = ["glucose", "fructose", "maltose", "used"];
const ROWS = 13;            // lines of the sugar table; the chart has them all

export function chartsOf(bench, rooms) {
  const share = createChart(bench);
  const sugar = createChart(bench);
  const key = legend(SUGARS.map((name) => ({ name: sugarName(bench.t, name) })));
  rooms.fill.replaceChildren(share.node);
  rooms.sugar.replaceChildren(sugar.node);
  sugar.node.insertBefore(key, sugar.node.lastChild);
  let running = null;
  const shareNearby = nearby(rooms.fill, drawShare, share.hide);
  const sugarNearby = nearby(rooms.sugar, drawSugar, sugar.hide);

  /** Asks for a dough for each share, so that it may come late or not at all: then the chart before it is not this one's. */
  async function drawShare() {
    const { water, fill } = bench.answers.now();
    if (!water || !fill) return;
    const { signal } = running;
    try {
      const data = await shareData(bench, water, fill, signal);
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
    /** Draws the answers to the entries as they are now. Without them the charts stay with the old answers they belong to. */
    draw() {
      running?.abort();
      running = new AbortController();
      const { water, fill, sugar: reply } = bench.answers.now();
      if (reply) sugarNearby();
      if (water && fill) shareNearby();
    },
  };
}

/** Draws while the place is near the window, with what is newest when it comes near: nothing is made for what nobody looks at.
wait(): what was drawn there is out of date until then. */
export function nearby(place, draw, wait) {
  let near = false;
  let waiting = false;
  new IntersectionObserver(([entry]) => {
    near = entry.isIntersecting;
    if (near && waiting) draw();
    if (near) waiting = false;
  }, { rootMargin: "600px" }).observe(place);
  return () => {
    if (near) return draw();
    waiting = true;
    wait();
  };
}

function sugarName(t, name) {
  return name === "used" ? t("chart.used") : t(`sugars.${name}`);
}

/** The dough for each share; null when too few can be asked about. */
async function shareData(bench, water, fill, signal) {
  const { t, state } = bench;
  const units = bench.units();
  const { off } = breadAfter(water);
  const calls = SHARES.map((share) => ["pan-fill", panFillRequest(state, units, { share, off }).body]);
  const replies = await bench.api.bulk(calls, signal);
  const points = SHARES.map((share, index) => [share, replies[index]?.dough_mass]).filter(([, dough]) => dough);
  if (points.length < 2) return null;
  const { text, figure } = figuresOf(bench);
  const unit = t(`units.${units.unit("mass")}`);
  const now = fill.scalded_share_percent;
  const trials = measuredTrials(bench.notebook.state.trials);
  return {
    title: t("chart.shareTitle"),
    summary: t("chart.shareSummary", {
      first: text(points[0][1].best, "mass"), from: text(points[0][0], "percent"),
      last: text(points.at(-1)[1].best, "mass"), to: text(points.at(-1)[0], "percent") }),
    x: { label: t("chart.shareX") }, y: { label: t("chart.shareY", { unit }) },
    lines: [{ name: t("chart.line"), points: points.map(([x, dough]) => [x, dough.best]) }],
    area: { name: t("chart.band"), points: points.map(([x, dough]) => [x, dough.low, dough.high]) },
    here: { x: now, name: t("chart.now", { share: text(now, "percent") }) },
    dots: trials.filter((trial) => Number.isFinite(trial.scalded_share_percent) && Number.isFinite(trial.dough_mass))
      .map((trial) => ({ x: trial.scalded_share_percent, y: units.outward(trial.dough_mass, "mass"), name: trial.name ?? "" })),
    table: table(t("chart.shareTitle"),
      [[t("chart.share")], [t("chart.low"), "number"], [t("chart.best"), "number"], [t("chart.high"), "number"]],
      points.map(([x, dough]) => [figure(x, "percent"), figure(dough.low, "mass"), figure(dough.best, "mass"),
                                  figure(dough.high, "mass")])),
  };
}

function sugarData(bench, reply) {
  const { t, state } = bench;
  const { text, figure } = figuresOf(bench);
  const { timeline } = reply;
  const end = timeline.at(-1);
  let hours = 0;
  const marks = state.stages.map((stage) => {
    const mark = { x: hours, name: stage.name };
    hours += stage.minutes / 60;
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
    lines: SUGARS.map((name) => ({ name: sugarName(t, name), points: timeline.map((at) => [at.hours, at[`${name}_percent`]]) })),
    marks,
    table: table(t("chart.sugarTitle"), [[t("chart.hours")], ...SUGARS.map((name) => [sugarName(t, name), "number"])],
      rows.map((at) => [figure(at.hours, "hours", 1), ...SUGARS.map((name) => figure(at[`${name}_percent`], "percent", 1))])),
  };
}
