/** A column of the bake log: the fields of a bake and its scores. */

import { VOLUMES } from "../service/learn-requests.js";
import { h, setText } from "../ui/dom.js";
import { faultRoom, numberField } from "../ui/fields.js";
import { isBake, newScore, otherBread, scoresOf } from "./log-bakes.js";
import { textField } from "../ui/plain-fields.js";

const FULL_PERCENT = 100;
/** What a word stands for, or where its field begins. */
const STARTS = { "": null, full: FULL_PERCENT, low: 92, over: 108 };

/** @typedef {"" | "full" | "low" | "over" | "loaf_volume" | "crown_height"} Filled */
/** @typedef {{renamed(): void, scored(): void, more(column: LogColumn): void, changedTrial(alter: () => void): void}} Actions */

/** @type {Filled[]} */
const WAYS = ["", "full", "low", "over", "loaf_volume", "crown_height"];

/** How a bake says that it filled its tin. @param {Trial} bake @returns {Filled} */
export function filledBy({ volume_by: by, fill_percent: fill }) {
  if (by !== "fill_percent") return by;
  if (fill === null || fill === "") return "";
  return fill === FULL_PERCENT ? "full" : typeof fill === "number" && fill > FULL_PERCENT ? "over" : "low";
}

/** The fault room of a field, to be written below its row. @param {Field} field */
const faultOf = (field) => /** @type {Element} */ (field.node.querySelector(".fault"));

/** @typedef {GridCell & {fields: Field[], inputs: HTMLElement[]}} Cell */

/** @param {(Field & {input: HTMLElement})[]} fields @param {string} [kind] @returns {Cell} */
function cellOf(fields, kind) {
  const faults = fields.map(faultOf);
  return { content: fields.map((field) => field.node), faults, kind, fields, inputs: fields.map((field) => field.input) };
}

/** @param {InputField} field */
function next(field) {
  field.input.setAttribute("enterkeyhint", "next");
  return field;
}

/** How the loaf filled its tin: a word, and the figure where the word needs one.
@param {Bench} bench @param {Trial} bake @param {Actions} actions @returns {Cell & {refresh(): void}} */
function filledCell(bench, bake, { changedTrial }) {
  const { t } = bench;
  let way = filledBy(bake);
  const kinds = /** @type {VolumeKind[]} */ (Object.keys(VOLUMES));
  const measured = kinds.map((kind) => next(numberField(bench, {
    label: t(`log.${kind}`), hideLabel: true, quantity: VOLUMES[kind], place: `trials/${bake.key}/${kind}`, get: () => bake[kind],
    set: (value) => changedTrial(() => { bake[kind] = value; }) })));
  for (const field of measured) field.input.addEventListener("change", refresh);
  /** @type {HTMLSelectElement} */
  const input = h("select", { on: { change: () => choose(/** @type {Filled} */ (input.value)) } },
    WAYS.map((each) => h("option", { value: each }, t(each ? `log.filled_${each}` : "log.filled_none"))));
  const room = faultRoom(bench, input, { label: t("log.filled") });

  /** @param {Filled} to */
  function choose(to) {
    way = to;
    changedTrial(() => {
      const by = to === "loaf_volume" || to === "crown_height" ? to : "fill_percent";
      bake.volume_by = by;
      if (by === "fill_percent") bake.fill_percent = STARTS[/** @type {keyof typeof STARTS} */ (to)];
    });
    draw();
  }
  function draw() {
    input.value = way;
    kinds.forEach((kind, index) => {
      measured[index].refresh();
      measured[index].node.hidden = kind !== bake.volume_by || way === "" || way === "full";
    });
  }
  function refresh() {
    way = filledBy(bake);
    draw();
  }
  draw();
  return {
    content: [input, measured.map((field) => field.node)], faults: [room.node, ...measured.map(faultOf)], kind: "filled",
    fields: measured, inputs: [input, ...measured.map((field) => field.input)], refresh,
  };
}

/** @param {Bench} bench @param {LogColumn} column @param {Actions} actions
@returns {GridColumn & {kept: HTMLElement, softest: HTMLElement, first(): void}} */
export function logColumn(bench, column, actions) {
  const { t } = bench;
  /** @typedef {Cell & {refresh?(): void}} AnyCell */
  /** @type {Map<string, AnyCell>} */
  const cells = new Map();
  const bake = isBake(column) ? column : null;

  /** @param {TrialFigure} field @param {string} quantity */
  const number = (field, quantity, optional = true) => next(numberField(bench, {
    label: t(field === "scald_liquid_ratio" ? "compare.ratio" : `log.${field}`), hideLabel: true, quantity, optional, place: `trials/${column.key}/${field}`, get: () => bake?.[field],
    isShare: field === "scalded_share_percent",
    set(value) {
      actions.changedTrial(() => { if (bake) bake[field] = value; });
      if (field === "scalded_share_percent") actions.renamed();
    } }));
  const name = () => next(textField(bench, {
    label: t("log.baked"), hideLabel: true, get: () => column.name, place: `${bake ? "trials" : "keeping"}/${column.key}/name`,
    set(value) {
      if (bake) actions.changedTrial(() => { bake.name = value; });
      else bench.notebook.change(() => { column.name = value; });
      actions.renamed();
    } }));
  const softest = h("small", { hidden: true }, t("log.softest"));
  const head = cellOf([bake ? number("scalded_share_percent", "percent", false) : name()]);
  head.inputs[0].setAttribute("aria-label", t(bake ? "log.scalded_share_percent" : "log.loaf"));
  const more = h("button", { type: "button", class: "dots", "aria-expanded": "false", on: { click: () => actions.more(column) } }, "⋯");
  const kept = h("span", {});
  const bread = h("small", {});
  const sayBread = () => setText(bread, otherBread(bench, column));
  /** @returns {AnyCell} */
  function nameCell() {
    const cell = cellOf([name()], "date");
    sayBread();
    return { ...cell, content: [cell.content, bread], refresh: sayBread };
  }

  /** The score of a day, its first or a further one. @param {number} day @param {number} nth */
  const score = (day, nth) => cellOf([next(numberField(bench, {
    label: t("log.score"), hideLabel: true, quantity: "number", optional: true, place: `keeping/${column.key}/${day}/${nth}/score`,
    get: () => scoresOf(column, day)[nth]?.score,
    set(value) {
      bench.notebook.change(() => {
        const point = scoresOf(column, day)[nth];
        if (point) point.score = value;
        else if (value !== null) newScore(column, day, value);
      });
      actions.scored();
    } }))]);

  /** @param {string} row @returns {AnyCell | null} */
  function make(row) {
    const [kind, day, nth] = row.split("/");
    if (kind === "day") return score(Number(day), Number(nth));
    if (kind === "kept") return { content: kept, fields: [], inputs: [] };
    if (kind === "more") return { content: more, fields: [], inputs: [more] };
    if (!bake) return null;
    if (kind === "name") return nameCell();
    if (kind === "scald_liquid_ratio") return cellOf([number(kind, "number")]);
    if (kind === "filled") return filledCell(bench, bake, actions);
    return cellOf([number(/** @type {TrialFigure} */ (kind), kind === "proof_minutes" ? "minutes" : "mass", kind !== "dough_mass")]);
  }
  /** @param {string} row */
  function found(row) {
    if (!cells.has(row)) {
      const cell = make(row);
      if (!cell) return null;
      cells.set(row, cell);
    }
    return cells.get(row) ?? null;
  }
  /** @returns {AnyCell[]} */
  const all = () => [head, ...cells.values()];
  return {
    head: { ...head, content: [softest, head.content] }, cell: found, kept, softest,
    inputs: (row) => found(row)?.inputs ?? [],
    /** To the first that is to be filled in. */
    first() { (found("filled")?.inputs[0] ?? head.inputs[0]).focus(); },
    refresh() {
      for (const cell of all()) {
        for (const field of cell.fields) field.refresh();
        cell.refresh?.();
      }
    },
    drop(row) {
      for (const field of cells.get(row)?.fields ?? []) field.forget?.();
      cells.delete(row);
    },
    forget() { for (const cell of all()) for (const field of cell.fields) field.forget?.(); },
  };
}
