/** Form fields and their faults. */

import { h, uniqueId } from "./dom.js";
import { readNumber, showNumber, writeNumber } from "./numbers.js";

/** Where faults are shown: each at its field, or at the nearest place above it. */
export function createBoard() {
  const places = new Map();
  const shown = new Map();        // step -> places it wrote on

  /** The registered place for a path: itself, or the nearest one above. */
  function find(place) {
    for (let path = place; path; path = path.slice(0, Math.max(0, path.lastIndexOf("/")))) {
      if (places.has(path)) return { spot: places.get(path), path, exact: path === place };
    }
    return null;
  }

  return {
    /** spot: {fault(list)}; a list entry is {detail, code, given, nearest, exact}. */
    register(place, spot) {
      places.set(place, spot);
    },
    forget(place) {
      places.delete(place);
    },
    /** Takes every fault away; the next answers bring those that are left. */
    clear() {
      for (const step of [...shown.keys()]) this.show(step, []);
    },
    /** The faults of one step, in place of those it had; the same said twice is said once. */
    show(step, faults) {
      const before = shown.get(step) ?? new Map();
      const after = new Map();
      for (const fault of faults) {
        const found = find(fault.place) ?? find(step);
        if (!found) continue;
        if (!after.has(found.path)) after.set(found.path, []);
        after.get(found.path).push({ ...fault, exact: found.exact });
      }
      shown.set(step, after);
      for (const path of new Set([...before.keys(), ...after.keys()])) {
        const all = new Map();
        for (const kept of shown.values()) for (const fault of kept.get(path) ?? []) all.set(fault.code + fault.detail, fault);
        places.get(path)?.fault([...all.values()]);
      }
    },
  };
}

/** Room below a field for what is wrong with it; describes the input while it is filled. */
export function faultRoom(bench, input, accept) {
  const id = uniqueId("fault");
  const node = h("div", { class: "fault", id });
  const described = input.getAttribute("aria-describedby");
  return {
    node,
    show(faults) {
      input.toggleAttribute("aria-invalid", false);
      if (faults.length) input.setAttribute("aria-invalid", "true");
      const ids = [described, faults.length ? id : null].filter(Boolean).join(" ");
      if (ids) input.setAttribute("aria-describedby", ids);
      else input.removeAttribute("aria-describedby");
      node.replaceChildren(...faults.map((fault) => faultLine(bench, fault, accept)));
    },
  };
}

/** Catalogue names in a fault, such as whole_milk, as the page calls the ingredients. */
function inWords({ names }, detail) {
  return detail.replace(/[a-z]+(_[a-z]+)+/g, (name) => (names?.has(name) ? names.label(name) : name));
}

/** One fault in words, with a button for each value that would work. asWritten: it is told to the author of a formula, to
whom names are those of the catalogue. */
export function faultLine(bench, fault, accept) {
  const { t } = bench;
  const nearest = fault.nearest === null || fault.nearest === undefined || !fault.exact || !accept ? []
    : [fault.nearest].flat();
  return h("p", {}, h("strong", {}, `${t("fault.look")} `), h("span", { lang: fault.lang ?? "en" },
    fault.asWritten ? fault.detail : inWords(bench, fault.detail)), " ",
    nearest.map((value) => h("button", { type: "button", class: "nearest", on: { click: () => accept(value) } },
      t("fault.use", { value: accept.say ? accept.say(value) : value }))));
}

/** A label, the input it belongs to, its unit and hint. */
export function labelled(bench, label, input, unit = null, hint = null, room = null, hideLabel = false) {
  const id = uniqueId("field");
  input.id = id;
  const described = [[unit, "unit"], [hint, "hint"]].filter(([node]) => node).map(([node, name]) => {
    node.id = `${id}-${name}`;
    return node.id;
  });
  if (described.length) input.setAttribute("aria-describedby", described.join(" "));
  return h("div", { class: "field" },
    h("label", { for: id, class: hideLabel ? "unseen" : null }, label),
    h("div", { class: "entry" }, input, unit), hint, room);
}

/** A number with its unit.

options: label, quantity ("mass", ..., "percent", "minutes", "number", or a function for one that changes), get(),
set(value), place, optional (may be empty), hint, hideLabel, unitText. */
export function numberField(bench, options) {
  const { t } = bench;
  const quantity = () => (typeof options.quantity === "function" ? options.quantity() : options.quantity);
  const input = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", class: "number", maxlength: 60,
                             required: !options.optional, placeholder: options.placeholder });
  const unit = h("span", { class: "unit" });
  const hint = options.hint ? h("small", { class: "hint" }, options.hint) : null;
  const shown = () => {
    const value = options.get();
    if (value === null || value === undefined) return "";
    return typeof value === "number" ? writeNumber(bench.units().outward(value, quantity()), bench.locale) : value;
  };
  const accept = (value) => {
    options.set(typeof value === "number" ? bench.units().inward(value, quantity()) : value);
    sent = [];
    refresh();
    input.focus();
  };
  accept.say = (value) => (typeof value === "number"
    ? `${writeNumber(value, bench.locale)}${unit.textContent ? `\u00a0${unit.textContent}` : ""}` : value);
  const node = labelled(bench, options.label, input, unit, hint, null, options.hideLabel);
  const room = faultRoom(bench, input, accept);
  node.append(room.node);

  let sent = [];
  /** What can be read in two ways is kept as typed until the baker says which it is, so that nothing is answered meanwhile. */
  const unclear = () => {
    const value = options.get();
    const read = typeof value === "string" ? readNumber(value, bench.locale) : {};
    return read.unclear ? [{ detail: t("fault.unclear", { text: value }), nearest: read.unclear, exact: true, lang: bench.locale }] : null;
  };
  const showFaults = () => room.show(unclear() ?? sent);

  input.addEventListener("input", () => {
    const read = readNumber(input.value, bench.locale);
    sent = [];              // what was wrong was wrong with the value before
    options.set(read.nothing ? null : "number" in read ? bench.units().inward(read.number, quantity()) : input.value.trim());
    showFaults();
  });
  input.addEventListener("focus", () => input.select());

  function refresh() {
    const word = options.unitText ?? (bench.units().unit(quantity()) ?? quantity());
    unit.textContent = word === "" ? "" : t.has(`units.${word}`) ? t(`units.${word}`) : word;
    if (input !== input.getRootNode().activeElement || input.value === "" || !sameNumber()) input.value = shown();
    if (unclear() || room.node.hasChildNodes()) showFaults();
  }
  /** Whether the text already means what the state holds (then it is left as it was typed). */
  function sameNumber() {
    return readNumber(input.value, bench.locale).number === readNumber(shown(), bench.locale).number;
  }
  const spot = { fault(faults) { sent = faults; showFaults(); } };
  if (options.place) bench.board.register(options.place, spot);
  refresh();
  return { node, input, refresh, forget: () => options.place && bench.board.forget(options.place) };
}

/** A choice from a few: a select. choices: [value, label]. */
export function choiceField(bench, { label, choices, get, set, place, hint }) {
  const options = () => (typeof choices === "function" ? choices() : choices);
  const input = h("select", { on: { change: () => set(input.value) } });
  const note = hint ? h("small", { class: "hint" }, hint) : null;
  const node = labelled(bench, label, input, null, note, null);
  const accept = (value) => { set(value); refresh(); };
  const room = faultRoom(bench, input, accept);
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

/** One of two or three, all seen: radio buttons in a fieldset. */
export function radioField(bench, { label, choices, get, set, hint }) {
  const name = uniqueId("choice");
  const inputs = choices.map(([value]) => h("input", { type: "radio", name, value,
                                                       on: { change: () => set(value) } }));
  inputs.forEach((input, index) => { input.value = choices[index][0]; });
  const node = h("fieldset", { class: "choice" }, h("legend", {}, label),
    h("div", { class: "options" }, choices.map(([, text], index) => h("label", {}, inputs[index], h("span", {}, text)))),
    hint ? h("small", { class: "hint" }, hint) : null);
  function refresh() {
    for (const input of inputs) input.checked = input.value === get();
  }
  refresh();
  return { node, refresh };
}

/** A text. */
export function textField(bench, { label, get, set, place, list, hideLabel, accept, placeholder }) {
  const input = h("input", { type: "text", autocomplete: "off", list, placeholder, maxlength: 120,
                             on: { input: () => { room.show([]); set(input.value); } } });
  const node = labelled(bench, label, input, null, null, null, hideLabel);
  const room = faultRoom(bench, input, accept && Object.assign((value) => { accept(value); refresh(); input.focus(); },
                                                               { say: accept.say }));
  node.append(room.node);
  function refresh() {
    if (input.value !== get()) input.value = get();
  }
  if (place) bench.board.register(place, { fault: room.show });
  refresh();
  return { node, input, refresh, forget: () => place && bench.board.forget(place) };
}

/** A slider with a number field beside it, for one value. */
export function sliderField(bench, { label, get, set, place, min, max, step, marks }) {
  const number = numberField(bench, { label, quantity: "percent", get, set: (value) => { set(value); follow(); }, place });
  const list = h("datalist", { id: uniqueId("marks") });
  const slider = h("input", { type: "range", min, max, step, list: list.id, "aria-label": label,
                              on: { input: () => { set(Number(slider.value)); number.refresh(); say(); } } });
  function say() {
    slider.setAttribute("aria-valuetext", `${showNumber(Number(slider.value), bench.locale)} %`);
  }
  function follow() {
    if (typeof get() === "number") slider.value = String(get());
    say();
  }
  return {
    node: h("div", { class: "slider" }, number.node, slider, list),
    refresh() {
      number.refresh();
      follow();
      const wanted = marks().map(String).join();
      if (list.dataset.marks !== wanted) {
        list.dataset.marks = wanted;
        list.replaceChildren(...marks().map((mark) => h("option", { value: mark })));
      }
    },
  };
}

/** A choice and, below it, the fields that belong to what is chosen. */
export function kindFields(bench, { label, texts, kinds, get, set, read, write, place, hint, offered = () => true }) {
  const { t } = bench;
  const room = h("div", { class: "pair" });
  const fields = {};
  const choice = choiceField(bench, {
    label, hint, choices: () => Object.keys(kinds).filter((kind) => offered(kind) || kind === get()).map((kind) => [kind, t(`${texts}Kind.${kind}`)]), get, place: `${place}/kind`,
    set: (kind) => { set(kind); refresh(); },
  });
  function fieldOf(name, quantity) {
    const what = quantity.replace("?", "");
    fields[name] ??= numberField(bench, {
      label: t(`${texts}Field.${name}`), quantity: what, optional: what !== quantity, get: () => read(name),
      set: (value) => write(name, value),
      place: `${place}/${name}`, unitText: what === "number" ? "cm³/g" : undefined,
    });
    fields[name].refresh();
    return fields[name].node;
  }
  function refresh() {
    choice.refresh();
    const wanted = Object.entries(kinds[get()] ?? {}).map(([name, quantity]) => fieldOf(name, quantity));
    if (wanted.length !== room.children.length || wanted.some((node, index) => node !== room.children[index])) {
      room.replaceChildren(...wanted);
    }
  }
  refresh();
  return { node: [choice.node, room], refresh };
}
