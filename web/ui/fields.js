/** Form fields, each with a label, room for a fault, and refresh(): those of the first view. */

import { h, setText, uniqueId } from "./dom.js";
import { withUnit } from "./figures.js";
import { readNumber, writeNumber } from "./numbers.js";

/** @returns {Board} */
export function createBoard() {
  /** @type {Map<string, Spot>} */
  const places = new Map();
  /** @type {Map<string, Map<string, Fault[]>>} */
  const shown = new Map();        // step -> place -> its faults there

  /** @param {string} place */
  function pathOf(place) {
    let path = place;
    while (path && !places.has(path)) path = path.slice(0, Math.max(0, path.lastIndexOf("/")));
    return path;
  }

  return {
    register(place, spot) {
      places.set(place, spot);
    },
    forget(place) {
      places.delete(place);
    },
    clear() {
      for (const step of [...shown.keys()]) this.show(step, []);
    },
    show(step, faults) {
      const before = shown.get(step) ?? new Map();
      /** @type {Map<string, Fault[]>} */
      const after = new Map();
      for (const fault of faults) {
        const path = pathOf(fault.place) || pathOf(step);
        if (path) after.set(path, [...after.get(path) ?? [], { ...fault, exact: path === fault.place }]);
      }
      shown.set(step, after);
      for (const path of new Set([...before.keys(), ...after.keys()])) {
        const all = new Map();
        for (const kept of shown.values()) for (const fault of kept.get(path) ?? []) all.set(`${fault.code}${fault.detail}`, fault);
        places.get(path)?.fault([...all.values()]);
      }
    },
  };
}

/** Room for the faults that describe an input. @param {FieldsBench} bench @param {HTMLElement} input @param {AtField} [field] */
export function faultRoom(bench, input, field) {
  const id = uniqueId("fault");
  const node = h("div", { class: "fault", id });
  const described = input.getAttribute("aria-describedby");
  return {
    node,
    /** @param {Fault[]} faults */
    show(faults) {
      input.toggleAttribute("aria-invalid", false);
      if (faults.length) input.setAttribute("aria-invalid", "true");
      const ids = [described, faults.length ? id : null].filter(Boolean).join(" ");
      if (ids) input.setAttribute("aria-describedby", ids);
      else input.removeAttribute("aria-describedby");
      writeFaults(bench, node, faults, { input, ...field });
    },
  };
}

/** @type {WeakMap<Element, Fault[]>} */
const newest = new WeakMap();

/** Writes faults once the words for them are loaded. @param {FieldsBench} bench @param {Element} into @param {Fault[]} faults @param {AtField} [field] */
export async function writeFaults(bench, into, faults, field) {
  newest.set(into, faults);
  if (!faults.length) return into.replaceChildren();
  try {
    const [{ showFaults }] = await Promise.all([bench.t.moreFor(import("./faults.js")), readAmount || learnAmounts(bench).catch(() => {})]);
    if (newest.get(into) === faults) showFaults(bench, into, faults, field);
  } catch { /* offline: the entry is marked all the same */ }
}

/** @param {string} label @param {HTMLElement} input @param {{unit?: HTMLElement, hint?: string | null, hideLabel?: boolean}} more */
export function labelled(label, input, { unit, hint, hideLabel } = {}) {
  const id = uniqueId("field");
  const note = hint ? h("small", { class: "hint", id: `${id}-hint` }, hint) : null;
  input.id = id;
  if (unit) unit.id = `${id}-unit`;
  const described = [unit?.id, note?.id].filter(Boolean);
  if (described.length) input.setAttribute("aria-describedby", described.join(" "));
  return h("div", { class: "field" },
    h("label", { for: id, class: hideLabel ? "unseen" : null }, label),
    h("div", { class: "entry" }, input, unit), note);
}

/** Whether a field has the focus, also inside the panel. @param {HTMLInputElement} input */
const isActive = (input) => input === /** @type {Document | ShadowRoot} */ (input.getRootNode()).activeElement;

/** Reads units and fractions, once one is typed. @type {ReadAmount | undefined} */
let readAmount;

/** @param {FieldsBench} bench */
async function learnAmounts({ api }) {
  const [{ amountReader }, { quantities }] = await Promise.all([import("./amounts.js"), api.facts("units")]);
  readAmount = amountReader(quantities);
}

/** @param {FieldsBench} bench @param {NumberOptions} options @returns {InputField} */
export function numberField(bench, options) {
  const { t, locale } = bench;
  const input = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", class: "number", maxlength: 60,
                             required: !options.optional, placeholder: options.placeholder });
  const unit = h("span", { class: "unit" });
  const quantity = () => (typeof options.quantity === "function" ? options.quantity() : options.quantity);
  const { inward, shown } = converted(bench, options, quantity);
  /** @param {string} text @returns {Reading} */
  const read = (text) => {
    const plain = readNumber(text, locale);
    return Object.keys(plain).length || !readAmount ? plain : readAmount(text, { quantity: quantity(), locale, units: bench.units() });
  };
  /** @type {Accept} */
  const accept = (value) => {
    options.set(typeof value === "number" ? inward(value) : value);
    reported = [];
    refresh();
    input.focus();
  };
  accept.say = (value) => (typeof value === "number"
    ? withUnit(t, writeNumber(value, locale), bench.units().unit(quantity()) ?? quantity(), unit.textContent ?? "") : value);
  const node = labelled(options.label, input, { unit, hint: options.hint, hideLabel: options.hideLabel });
  const room = faultRoom(bench, input, { accept, read, say: accept.say, label: options.label, isShare: options.isShare });
  node.append(room.node);

  /** @type {Fault[]} */
  let reported = [];
  const showFaults = () => room.show(unclear(options.get(), read) ?? reported);
  function take() {
    const { nothing, number } = read(input.value);
    reported = [];              // they were about the value before
    options.set(nothing ? null : number === undefined ? input.value.trim() : inward(number));
    showFaults();
  }
  input.addEventListener("input", () => {
    const text = input.value;
    take();
    if (readAmount || typeof options.get() !== "string") return;
    learnAmounts(bench).then(() => {
      if (input.value !== text) return;
      take();
      if (!isActive(input)) write();        // it was left before its unit could be read
    }, () => {});
  });
  // Once it is left, in the unit of the field.
  function write() {
    if (readNumber(input.value, locale).number === undefined && read(input.value).number !== undefined) input.value = shown();
  }
  input.addEventListener("change", write);
  input.addEventListener("focus", () => input.select());

  function refresh() {
    const word = options.unitText ?? (bench.units().unit(quantity()) ?? quantity());
    setText(unit, word === "" ? "" : t.has(`units.${word}`) ? t(`units.${word}`) : word);
    // A text that means what is held stays as typed.
    const same = input.value !== "" && read(input.value).number === read(shown()).number;
    if (!same || !isActive(input)) input.value = shown();
    if (unclear(options.get(), read) || room.node.hasChildNodes()) showFaults();
  }
  if (options.place) bench.board.register(options.place, { fault(faults) { reported = faults; showFaults(); } });
  refresh();
  return { node, input, refresh, forget: () => { if (options.place) bench.board.forget(options.place); } };
}

/** @param {FieldsBench} bench @param {NumberOptions} options @param {() => string} quantity */
function converted(bench, { get }, quantity) {
  return {
    inward: (/** @type {number} */ value) => bench.units().inward(value, quantity()),
    shown() {
      const value = get() ?? "";
      return typeof value === "number" ? writeNumber(bench.units().outward(value, quantity()), bench.locale) : value;
    },
  };
}

/** A text with two readings stays as typed until the baker chooses one.
@param {Entry | undefined} value @param {(text: string) => Reading} read @returns {Fault[] | null} */
function unclear(value, read) {
  const readings = typeof value === "string" && read(value).unclear;
  return readings ? [{ code: "unclear", detail: "", given: value, nearest: readings, exact: true }] : null;
}

/** @param {FieldsBench} bench @param {ChoiceOptions} options */
export function choiceField(bench, { label, choices, get, set, place, hint }) {
  const options = () => (typeof choices === "function" ? choices() : choices);
  /** @type {HTMLSelectElement} */
  const input = h("select", { on: { change: () => set(input.value) } });
  const node = labelled(label, input, { hint });
  const accept = (/** @type {string} */ value) => { set(value); refresh(); };
  const room = faultRoom(bench, input, { accept, label });
  node.append(room.node);
  function refresh() {
    const list = options();
    const same = list.length === input.options.length && list.every(([value], index) => input.options[index].value === value);
    if (!same) input.replaceChildren(...list.map(([value, text]) => h("option", { value }, text)));
    input.value = get();
  }
  if (place) bench.board.register(place, { fault: room.show });
  refresh();
  return { node, input, refresh };
}
