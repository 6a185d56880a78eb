/** Fields for words and for a few choices, of parts that load later. */

import { h, uniqueId } from "./dom.js";
import { faultRoom, labelled } from "./fields.js";

/** @param {FieldsBench} bench @param {RadioOptions} options */
export function radioField(bench, { label, choices, get, set, hint }) {
  const name = uniqueId("choice");
  const inputs = choices.map(([value]) => h("input", { type: "radio", name, value, on: { change: () => set(value) } }));
  const node = h("fieldset", { class: "choice" }, h("legend", {}, label),
    h("div", { class: "options" }, choices.map(([, text], index) => h("label", {}, inputs[index], h("span", {}, text)))),
    hint ? h("small", { class: "hint" }, hint) : null);
  function refresh() {
    for (const input of inputs) input.checked = input.value === get();
  }
  refresh();
  return { node, refresh };
}

/** @param {FieldsBench} bench @param {TextOptions} options @returns {InputField} */
export function textField(bench, { label, get, set, place, list, hideLabel, accept, placeholder }) {
  const input = h("input", { type: "text", autocomplete: "off", list, placeholder, maxlength: 120,
                             on: { input: () => { room.show([]); set(input.value); } } });
  const node = labelled(label, input, { hideLabel });
  const take = (/** @type {string} */ value) => { accept?.(value); refresh(); input.focus(); };
  const room = faultRoom(bench, input, { label, accept: accept && Object.assign(take, { say: accept.say }) });
  node.append(room.node);
  function refresh() {
    if (input.value !== get()) input.value = get();
  }
  if (place) bench.board.register(place, { fault: room.show });
  refresh();
  return { node, input, refresh, forget: () => { if (place) bench.board.forget(place); } };
}
