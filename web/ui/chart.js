/** Line charts as SVG, drawn to the width they have, each with a table of the same numbers. */

import { h, svg, uniqueId } from "./dom.js";
import { showNumber } from "./numbers.js";

const HEIGHT = 260;
const LEFT = 46;
const RIGHT = 12;
const TOP = 26;
const BOTTOM = 44;
const TICKS = 5;
const LETTER = 7.2;         // about the width of a letter, for labels that must not run out of the picture
const DASHES = [null, "7 4", "2 4", "10 3 2 3"];
const KINDS = ["", " second", " third", ""];

/**
 * @typedef {object} ChartData
 * @property {string} title
 * @property {string} summary
 * @property {{label: string, from?: number, to?: number}} x
 * @property {{label: string, from?: number}} y
 * @property {{name: string, points: [x: number, y: number][]}[]} lines
 * @property {{name?: string, points: [x: number, low: number, high: number][]}} [area]
 * @property {{x: number, name: string}[]} [marks]
 * @property {{x: number, name: string}} [here]
 * @property {{y: number, name: string}} [level]
 * @property {{x: number, y: number, name: string}[]} [dots]
 * @property {HTMLElement} table the same numbers
 */

/** Round numbers across a range: 1, 2 or 5 times a power of ten apart. @param {number} low @param {number} high */
export function ticks(low, high, count = TICKS) {
  const rough = (high - low) / count || 1;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((each) => each * power >= rough) ?? 10);
  const found = [];
  for (let value = Math.ceil(low / step - 1e-9) * step; value <= high + step * 1e-9; value += step) {
    found.push(Number(value.toPrecision(12)));
  }
  return found;
}

/** @param {number[]} values */
function extent(values) {
  return [Math.min(...values), Math.max(...values)];
}

/** A figure that can be redrawn. @param {FiguresBench} bench */
export function createChart(bench) {
  const caption = h("figcaption", {});
  const picture = h("div", {});
  const summary = h("summary", {}, bench.t("chart.table"));
  const beside = h("details", { class: "folded", hidden: true }, summary);
  const node = h("figure", { class: "chart" }, caption, picture, beside);
  /** @type {ChartData | null} */
  let data = null;
  let drawn = 0;

  new ResizeObserver(() => {
    if (data && Math.abs(picture.clientWidth - drawn) > 1) redraw();
  }).observe(picture);

  function redraw() {
    drawn = picture.clientWidth;
    if (data && drawn > 0) picture.replaceChildren(drawing(data, drawn, bench.locale));
  }

  return {
    node,
    /** Hides the chart, from screen readers too, until it is drawn again; its room stays. */
    hide() { node.classList.add("gone"); },
    /** @param {ChartData} next */
    draw(next) {
      data = next;
      node.classList.remove("gone");
      beside.hidden = false;
      caption.textContent = data.title;
      beside.replaceChildren(summary, data.table);
      redraw();
    },
  };
}

/** From the numbers of a chart to places in its picture. @param {ChartData} data @param {number} width */
function scalesOf({ lines, area, marks = [], level, dots = [], ...axes }, width) {
  const points = [...lines.flatMap((line) => line.points), ...dots.map((dot) => [dot.x, dot.y])];
  const xs = [...points.map(([px]) => px), ...(area?.points ?? []).map(([px]) => px)];
  const ys = [...points.map(([, py]) => py), ...(area?.points ?? []).flatMap(([, low, high]) => [low, high]), ...(level ? [level.y] : [])];
  const [left, right] = [axes.x.from ?? extent(xs)[0], axes.x.to ?? extent(xs)[1]];
  const [lowest, highest] = extent(ys);
  const bottom = axes.y.from ?? lowest - 0.08 * (highest - lowest);
  const top = highest + 0.08 * (highest - bottom || 1);
  const x = (/** @type {number} */ value) => LEFT + (width - LEFT - RIGHT) * ((value - left) / (right - left || 1));
  const names = stacked(marks.map((mark) => ({ text: mark.name, at: x(mark.x) + 4 })), width);
  const ceiling = TOP + 16 * Math.max(0, ...names.map(({ row }) => row + 1));
  const y = (/** @type {number} */ value) => HEIGHT - BOTTOM - (HEIGHT - BOTTOM - ceiling) * ((value - bottom) / (top - bottom));
  return { x, y, names, xTicks: ticks(left, right, Math.max(3, Math.floor(width / 90))), yTicks: ticks(bottom, top) };
}

/** @param {ChartData} data @param {number} width @param {string} locale */
function drawing(data, width, locale) {
  const { lines, area, marks = [], here, level, dots = [] } = data;
  const { x, y, names, xTicks, yTicks } = scalesOf(data, width);
  const path = (/** @type {number[][]} */ points) =>
    points.map(([px, py], index) => `${index ? "L" : "M"}${x(px).toFixed(1)} ${y(py).toFixed(1)}`).join("");
  const ids = [uniqueId("chart-title"), uniqueId("chart-summary")];
  const write = (/** @type {number} */ value) => showNumber(value, locale);
  return svg("svg", { viewBox: `0 0 ${width} ${HEIGHT}`, role: "img", "aria-labelledby": ids.join(" ") },
    svg("title", { id: ids[0] }, data.title), svg("desc", { id: ids[1] }, data.summary),
    yTicks.map((value) => [
      svg("line", { class: "grid", x1: LEFT, x2: width - RIGHT, y1: y(value), y2: y(value) }),
      svg("text", { class: "faint", x: LEFT - 6, y: y(value) + 4, "text-anchor": "end" }, write(value))]),
    xTicks.map((value) => svg("text", { class: "faint", y: HEIGHT - BOTTOM + 18, ...anchored(x(value), write(value), width) }, write(value))),
    svg("text", { class: "faint", x: 0, y: 12 }, data.y.label),
    svg("text", { class: "faint", x: width - RIGHT, y: HEIGHT - 6, "text-anchor": "end" }, data.x.label),
    marks.map((mark) => svg("line", { class: "mark", x1: x(mark.x), x2: x(mark.x), y1: TOP, y2: HEIGHT - BOTTOM })),
    area && svg("path", { class: "area", d: `${path(area.points.map(([px, , high]) => [px, high]))}${
      path(area.points.map(([px, low]) => [px, low]).reverse()).replace("M", "L")}Z` }),
    lines.map((line, index) => svg("path", { class: `line${KINDS[index % KINDS.length]}`, d: path(line.points),
                                             "stroke-dasharray": DASHES[index % DASHES.length] })),
    level && [svg("line", { class: "here", x1: LEFT, x2: width - RIGHT, y1: y(level.y), y2: y(level.y), "stroke-dasharray": "3 3" }),
              svg("text", { x: width - RIGHT, y: y(level.y) - 5, "text-anchor": "end", class: "paper" }, level.name)],
    here && [svg("line", { class: "here", x1: x(here.x), x2: x(here.x), y1: TOP + 8, y2: HEIGHT - BOTTOM }),
             svg("text", { y: TOP + 2, ...anchored(x(here.x), here.name, width) }, here.name)],
    dots.map((dot) => svg("circle", { class: "dot", cx: x(dot.x), cy: y(dot.y), r: 5 }, svg("title", {}, dot.name))),
    names.map(({ text, at, row }) => svg("text", { class: "faint paper", x: at, y: TOP + 10 + 16 * row }, text)),
    svg("line", { class: "axis", x1: LEFT, x2: width - RIGHT, y1: HEIGHT - BOTTOM, y2: HEIGHT - BOTTOM }));
}

/** Where a label fits without leaving the picture. @param {number} at @param {string} text @param {number} width */
function anchored(at, text, width) {
  const half = (text.length * LETTER) / 2;
  if (at - half < 0) return { x: 0, "text-anchor": "start" };
  return at + half > width ? { x: width, "text-anchor": "end" } : { x: at, "text-anchor": "middle" };
}

/** Puts labels in rows so that none runs into another or out of the picture.
@param {{text: string, at: number}[]} labels @param {number} width */
function stacked(labels, width) {
  /** @type {number[]} */
  const ends = [];
  return labels.map(({ text, at }) => {
    const long = text.length * LETTER;
    const start = Math.max(0, Math.min(at, width - long));
    let row = ends.findIndex((end) => end <= start);
    if (row < 0) row = ends.length;
    ends[row] = start + long + LETTER;
    return { text, at: start, row };
  });
}

/** A key for the lines: a stroke as drawn, and its name. @param {{name: string}[]} lines */
export function legend(lines) {
  return h("ul", { class: "legend" }, lines.map((line, index) => h("li", {},
    svg("svg", { viewBox: "0 0 36 10", width: 36, height: 10, "aria-hidden": "true" },
      svg("path", { class: `line${KINDS[index % KINDS.length]}`, d: "M0 5H36", "stroke-dasharray": DASHES[index % DASHES.length] })),
    line.name)));
}
