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

/** Round numbers across a range: 1, 2 or 5 times a power of ten apart. */
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

function extent(values) {
  return [Math.min(...values), Math.max(...values)];
}

/** A figure that can be redrawn: {node, draw(data), hide()}.

data: title, summary, x {label, from, to}, y {label, from}, lines [{name, points [[x, y]]}],
area {name, points [[x, low, high]]}, marks [{x, name}], here {x, name}, level {y, name}, dots [{x, y, name}],
table: an element with the same numbers. */
export function createChart(bench) {
  const caption = h("figcaption", {});
  const picture = h("div", {});
  const beside = h("details", { class: "folded", hidden: true }, h("summary", {}, bench.t("chart.table")));
  const node = h("figure", { class: "chart" }, caption, picture, beside);
  let data = null;
  let drawn = 0;

  new ResizeObserver(() => {
    if (data && Math.abs(picture.clientWidth - drawn) > 1) redraw();
  }).observe(picture);

  function redraw() {
    drawn = picture.clientWidth;
    if (drawn > 0) picture.replaceChildren(drawing(data, drawn, bench.locale));
  }

  return {
    node,
    /** Out of sight, and out of reach of a screen reader, until the next drawing; the room it takes stays. */
    hide() { node.classList.add("gone"); },
    draw(next) {
      data = next;
      node.classList.remove("gone");
      beside.hidden = false;
      caption.textContent = data.title;
      beside.replaceChildren(beside.firstChild, data.table);
      redraw();
    },
  };
}

function drawing(data, width, locale) {
  const { lines = [], area, marks = [], here, level, dots = [] } = data;
  const xs = [...lines.flatMap((line) => line.points), ...(area?.points ?? []), ...dots.map((dot) => [dot.x])].map(([x]) => x);
  const ys = [...lines.flatMap((line) => line.points.map(([, y]) => y)),
              ...(area?.points ?? []).flatMap(([, low, high]) => [low, high]), ...dots.map((dot) => dot.y), ...(level ? [level.y] : [])];
  const [left, right] = [data.x.from ?? extent(xs)[0], data.x.to ?? extent(xs)[1]];
  const [lowest, highest] = extent(ys);
  const bottom = data.y.from ?? lowest - 0.08 * (highest - lowest);
  const top = highest + 0.08 * (highest - bottom || 1);
  const names = stacked(marks.map((mark) => ({ text: mark.name, at: LEFT + (width - LEFT - RIGHT)
    * ((mark.x - left) / (right - left || 1)) + 4 })), width);
  const ceiling = TOP + 16 * Math.max(0, ...names.map(({ row }) => row + 1));
  const x = (value) => LEFT + (width - LEFT - RIGHT) * ((value - left) / (right - left || 1));
  const y = (value) => HEIGHT - BOTTOM - (HEIGHT - BOTTOM - ceiling) * ((value - bottom) / (top - bottom));
  const path = (points) => points.map(([px, py], index) => `${index ? "L" : "M"}${x(px).toFixed(1)} ${y(py).toFixed(1)}`).join("");
  const ids = [uniqueId("chart-title"), uniqueId("chart-summary")];
  const write = (value) => showNumber(value, locale);
  /** Where a label stands without leaving the picture. */
  const anchor = (at, text) => {
    const half = (text.length * LETTER) / 2;
    return at - half < 0 ? { x: 0, "text-anchor": "start" } : at + half > width ? { x: width, "text-anchor": "end" }
      : { x: at, "text-anchor": "middle" };
  };

  return svg("svg", { viewBox: `0 0 ${width} ${HEIGHT}`, role: "img", "aria-labelledby": ids.join(" ") },
    svg("title", { id: ids[0] }, data.title), svg("desc", { id: ids[1] }, data.summary),
    ticks(bottom, top).map((value) => [
      svg("line", { class: "grid", x1: LEFT, x2: width - RIGHT, y1: y(value), y2: y(value) }),
      svg("text", { class: "faint", x: LEFT - 6, y: y(value) + 4, "text-anchor": "end" }, write(value))]),
    ticks(left, right, Math.max(3, Math.floor(width / 90))).map((value) =>
      svg("text", { class: "faint", y: HEIGHT - BOTTOM + 18, ...anchor(x(value), write(value)) }, write(value))),
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
             svg("text", { y: TOP + 2, ...anchor(x(here.x), here.name) }, here.name)],
    dots.map((dot) => svg("circle", { class: "dot", cx: x(dot.x), cy: y(dot.y), r: 5 }, svg("title", {}, dot.name))),
    names.map(({ text, at, row }) => svg("text", { class: "faint paper", x: at, y: TOP + 10 + 16 * row }, text)),
    svg("line", { class: "axis", x1: LEFT, x2: width - RIGHT, y1: HEIGHT - BOTTOM, y2: HEIGHT - BOTTOM }));
}

/** Labels in as many rows as it takes for none to run into another or out of the picture. */
function stacked(labels, width) {
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

/** A key for the lines: a stroke as drawn, and its name. */
export function legend(lines) {
  return h("ul", { class: "legend" }, lines.map((line, index) => h("li", {},
    svg("svg", { viewBox: "0 0 36 10", width: 36, height: 10, "aria-hidden": "true" },
      svg("path", { class: `line${KINDS[index % KINDS.length]}`, d: "M0 5H36", "stroke-dasharray": DASHES[index % DASHES.length] })),
    line.name)));
}
