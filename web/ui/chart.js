/** Line charts as SVG, drawn to the width they have, each with a table of the same numbers. What a line is stands at its end. */

import { h, svg, uniqueId } from "./dom.js";
import { showNumber } from "./numbers.js";

const HEIGHT = 270;
const RIGHT = 12;
const TOP = 30;
const BOTTOM = 44;
const TICKS = 5;
const LINE = 16;            // px, of one label above another
const GAP = 8;              // px, between a line and what is beside it
const MARK = 34;            // px, room for two digits on the axis below
const DASHES = [null, "9 5", "1.5 5", "10 4 2 4"];

/**
 * @typedef {object} ChartData
 * @property {string} title
 * @property {string} summary
 * @property {string} [note] below the picture
 * @property {{label: string, from?: number, step?: number}} x
 * @property {{label: string, from?: number, step?: number, broken?(from: string): string}} y broken: what is said where the axis
 * starts above zero
 * @property {{name: string, points: [x: number, y: number][], dash?: number, stamp?: boolean}[]} lines dash: its stroke, 0 to 3
 * @property {{low?: string, high?: string, points: [x: number, low: number, high: number][]}} [area]
 * @property {{x: number, name: string}[]} [marks]
 * @property {{x: number, y: number, name: string}} [here] the bread as it is to be
 * @property {{x: number, y: number, name: string}} [own] the bread as it was
 * @property {{y: number, name: string}} [level]
 * @property {{x: number, y: number, name: string, line?: number}[]} [dots] line: whose mark it is
 * @property {HTMLElement} table the same numbers
 */

/** Round numbers across a range, by a step, or else 1, 2 or 5 times a power of ten apart. @param {number} low @param {number} high */
export function ticks(low, high, count = TICKS, wanted = 0) {
  const rough = (high - low) / count || 1;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = wanted || power * ([1, 2, 5, 10].find((each) => each * power >= rough) ?? 10);
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

/** @type {CanvasRenderingContext2D | null} */
let ruler = null;

/** How wide a label is, in the font of an element. @param {Element} node @returns {(text: string) => number} */
function widthsIn(node) {
  ruler ??= document.createElement("canvas").getContext("2d");
  const pen = ruler;
  if (!pen) return (text) => text.length * 8;
  pen.font = `600 14px ${getComputedStyle(node).fontFamily}`;
  return (text) => pen.measureText(text).width;
}

/** A figure that can be redrawn. @param {FiguresBench} bench */
export function createChart(bench) {
  const caption = h("figcaption", {});
  const picture = h("div", {});
  const note = h("p", { class: "hint" });
  const summary = h("summary", {}, bench.t("chart.table"));
  const beside = h("details", { class: "folded", hidden: true }, summary);
  const node = h("figure", { class: "chart" }, caption, picture, note, beside);
  /** @type {ChartData | null} */
  let data = null;
  let drawn = 0;

  new ResizeObserver(() => {
    if (data && Math.abs(picture.clientWidth - drawn) > 1) redraw();
  }).observe(picture);

  function redraw() {
    drawn = picture.clientWidth;
    if (data && drawn > 0) picture.replaceChildren(drawing(data, drawn, bench.locale, widthsIn(picture)));
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
      note.textContent = data.note ?? "";
      beside.replaceChildren(summary, data.table);
      redraw();
    },
  };
}

/** From the numbers of a chart to places in its picture. @param {ChartData} data @param {number} width @param {string} locale
@param {(text: string) => number} wide */
function scalesOf({ lines, area, marks = [], level, dots = [], ...axes }, width, locale, wide) {
  const points = [...lines.flatMap((line) => line.points), ...dots.map((dot) => [dot.x, dot.y])];
  const xs = [...points.map(([px]) => px), ...(area?.points ?? []).map(([px]) => px)];
  const ys = [...points.map(([, py]) => py), ...(area?.points ?? []).flatMap(([, low, high]) => [low, high]), ...(level ? [level.y] : [])];
  const [left, right] = [axes.x.from ?? extent(xs)[0], extent(xs)[1]];
  const [lowest, highest] = extent(ys);
  // From one tick to another, so that the axis begins with a round number.
  const inside = ticks(axes.y.from ?? lowest, highest, TICKS, axes.y.step);
  const step = axes.y.step ?? (inside.length > 1 ? inside[1] - inside[0] : 1);
  const bottom = axes.y.from ?? Math.floor(lowest / step + 1e-9) * step;
  const top = Math.max(Math.ceil(highest / step - 1e-9) * step, bottom + step);
  const yTicks = ticks(bottom, top, TICKS, axes.y.step && axes.y.step * Math.ceil((top - bottom) / axes.y.step / 6));
  // Names at the ends of the lines, where there is more than one.
  const ends = lines.length > 1 || area?.high ? [...lines.map((line) => line.name), area?.high ?? "", area?.low ?? ""] : [];
  const start = GAP + Math.max(...yTicks.map((value) => wide(showNumber(value, locale))));
  const edge = width - Math.max(RIGHT, ...ends.filter(Boolean).map((text) => wide(text) + GAP));
  const x = (/** @type {number} */ value) => start + (edge - start) * ((value - left) / (right - left || 1));
  const names = stacked(marks.map((mark) => ({ text: mark.name, at: x(mark.x) + 4 })), width, wide);
  const ceiling = TOP + LINE * Math.max(0, ...names.map(({ row }) => row + 1));
  const y = (/** @type {number} */ value) => HEIGHT - BOTTOM - (HEIGHT - BOTTOM - ceiling) * ((value - bottom) / (top - bottom));
  const room = Math.max(3, Math.floor((edge - start) / MARK));
  const xTicks = ticks(left, right, room, axes.x.step && axes.x.step * Math.ceil((right - left) / axes.x.step / room));
  return { x, y, start, edge, names, ceiling, bottom, xTicks, yTicks, ends, wide };
}

/** Moves labels apart, so that none lies on another. @param {{text: string, at: number, kind: string}[]} labels @param {number} low the
lowest place @param {number} high */
function apart(labels, low, high) {
  const inOrder = labels.filter(({ text }) => text).sort((one, other) => one.at - other.at);
  inOrder.forEach((label, index) => { label.at = Math.max(label.at, high, index ? inOrder[index - 1].at + LINE : high); });
  for (let index = inOrder.length - 1; index >= 0; index -= 1) {
    inOrder[index].at = Math.min(inOrder[index].at, index === inOrder.length - 1 ? low : inOrder[index + 1].at - LINE);
  }
  return inOrder;
}

/** The marks of the lines after the first, whose mark is a circle: square, triangle, diamond. */
const CORNERS = [[[-4.5, -4.5], [4.5, -4.5], [4.5, 4.5], [-4.5, 4.5]], [[0, -6], [6, 5], [-6, 5]], [[0, -6.5], [6.5, 0], [0, 6.5], [-6.5, 0]]];

/** A mark of its own for each line, so that they differ without colour.
@param {number} line @param {number} x @param {number} y @param {Child[]} inside */
function markOf(line, x, y, ...inside) {
  const shape = line % (CORNERS.length + 1);
  if (shape === 0) return svg("circle", { class: "dot", cx: x.toFixed(1), cy: y.toFixed(1), r: 5 }, ...inside);
  const corners = CORNERS[shape - 1].map(([dx, dy]) => `${(x + dx).toFixed(1)} ${(y + dy).toFixed(1)}`);
  return svg("path", { class: "dot", d: `M${corners.join("L")}Z` }, ...inside);
}

/** A point with its name on a line of its own. @param {ReturnType<typeof scalesOf>} scales @param {{x: number, y: number, name: string}} point
@param {number} at the height of the name @param {string} kind */
function named({ x, y, start, edge, wide }, point, at, kind) {
  const [px, py] = [x(point.x), y(point.y)];
  const above = at < py;
  return [svg("line", { class: `lead ${kind}`, x1: px, x2: px, y1: above ? at + 5 : at - 12, y2: py + (above ? -6 : 6) }),
          svg("circle", { class: `point ${kind}`, cx: px.toFixed(1), cy: py.toFixed(1), r: 6 }),
          svg("text", { class: `halo ${kind}`, y: at, ...anchored(px, wide(point.name), start, edge) }, point.name)];
}

/** @param {ChartData} data @param {number} width @param {string} locale @param {(text: string) => number} wide */
function drawing(data, width, locale, wide) {
  const { lines, area, marks = [], here, own, level, dots = [] } = data;
  const scales = scalesOf(data, width, locale, wide);
  const { x, y, start, edge, names, ceiling, bottom, xTicks, yTicks } = scales;
  const path = (/** @type {number[][]} */ points) =>
    points.map(([px, py], index) => `${index ? "L" : "M"}${x(px).toFixed(1)} ${y(py).toFixed(1)}`).join("");
  const ids = [uniqueId("chart-title"), uniqueId("chart-summary")];
  const write = (/** @type {number} */ value) => showNumber(value, locale);
  const base = HEIGHT - BOTTOM;
  const last = area?.points.at(-1);
  const ends = scales.ends.length ? apart([
    ...lines.map(({ name, points, stamp }) => ({ text: name, at: y(points[points.length - 1][1]) + 5, kind: stamp ? "name stamp" : "name" })),
    { text: area?.high ?? "", at: last ? y(last[2]) + 5 : 0, kind: "faint" }, { text: area?.low ?? "", at: last ? y(last[1]) + 5 : 0, kind: "faint" },
  ], base, ceiling + 4) : [];
  return svg("svg", { viewBox: `0 0 ${width} ${HEIGHT}`, role: "img", "aria-labelledby": ids.join(" ") },
    svg("title", { id: ids[0] }, data.title), svg("desc", { id: ids[1] }, data.summary),
    yTicks.map((value) => [
      svg("line", { class: "grid", x1: start, x2: edge, y1: y(value), y2: y(value) }),
      svg("text", { class: "faint", x: start - 6, y: y(value) + 5, "text-anchor": "end" }, write(value))]),
    xTicks.map((value) => svg("text", { y: base + 18, ...anchored(x(value), wide(write(value)), 0, width) }, write(value))),
    svg("text", { class: "faint", x: 0, y: 14 }, bottom > 0 && data.y.broken ? `${data.y.label} ${data.y.broken(write(bottom))}` : data.y.label),
    svg("text", { class: "faint", x: edge, y: HEIGHT - 6, "text-anchor": "end" }, data.x.label),
    marks.map((mark) => svg("line", { class: "mark", x1: x(mark.x), x2: x(mark.x), y1: TOP, y2: base })),
    area && svg("path", { class: "area", d: `${path(area.points.map(([px, , high]) => [px, high]))}${
      path(area.points.map(([px, low]) => [px, low]).reverse()).replace("M", "L")}Z` }),
    level && svg("line", { class: "level", x1: start, x2: edge, y1: y(level.y), y2: y(level.y) }),
    lines.map((line, index) => svg("path", { class: line.stamp ? "line stamp" : "line", d: path(line.points), "stroke-linecap": "round",
                                             "stroke-dasharray": DASHES[(line.dash ?? index) % DASHES.length] })),
    svg("line", { class: "axis", x1: start, x2: edge, y1: base, y2: base }),
    level && svg("text", { class: "stamp halo", x: start + 6, y: y(level.y) + (y(level.y) + 20 < base ? 18 : -6) }, level.name),
    dots.map((dot) => markOf(dot.line ?? 0, x(dot.x), y(dot.y), svg("title", {}, dot.name))),
    own && named(scales, own, base - 10, "own"),
    here && named(scales, here, ceiling + 14, "stamp"),
    names.map(({ text, at, row }) => svg("text", { class: "faint halo", x: at, y: TOP + 10 + LINE * row }, text)),
    ends.map(({ text, at, kind }) => svg("text", { class: kind, x: edge + GAP, y: at }, text)));
}

/** Where a label fits without leaving its room. @param {number} at @param {number} wide @param {number} from @param {number} to */
function anchored(at, wide, from, to) {
  if (at - wide / 2 < from) return { x: from, "text-anchor": "start" };
  return at + wide / 2 > to ? { x: to, "text-anchor": "end" } : { x: at, "text-anchor": "middle" };
}

/** Puts labels in rows so that none runs into another or out of the picture.
@param {{text: string, at: number}[]} labels @param {number} width @param {(text: string) => number} wide */
function stacked(labels, width, wide) {
  /** @type {number[]} */
  const ends = [];
  return labels.map(({ text, at }) => {
    const start = Math.max(0, Math.min(at, width - wide(text)));
    let row = ends.findIndex((end) => end <= start);
    if (row < 0) row = ends.length;
    ends[row] = start + wide(text) + GAP;
    return { text, at: start, row };
  });
}
