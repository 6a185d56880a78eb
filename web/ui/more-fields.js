/** Fields made of others, of parts that load later. */

import { h, uniqueId } from "./dom.js";
import { choiceField, numberField } from "./fields.js";
import { withUnit } from "./figures.js";
import { showNumber } from "./numbers.js";

/** @param {FieldsBench} bench @param {SliderOptions} options */
export function sliderField(bench, { label, get, set, place, min, max, step, marks }) {
  const number = numberField(bench, { label, quantity: "percent", isShare: true, get, set: (value) => { set(value); follow(); }, place });
  const list = h("datalist", { id: uniqueId("marks") });
  const slider = h("input", { type: "range", min, max, step, list: list.id, "aria-label": label,
                              on: { input: () => { set(Number(slider.value)); number.refresh(); say(); } } });
  function say() {
    slider.setAttribute("aria-valuetext", withUnit(bench.t, showNumber(Number(slider.value), bench.locale), "percent"));
    slider.style.setProperty("--now", slider.value);
    slider.style.setProperty("--own", String(marks()[0] ?? slider.value));
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
      const [now, next] = [list.dataset.marks, marks().join()];
      if (now !== next) list.replaceChildren(...marks().map((mark) => h("option", { value: String(mark) })));
      list.dataset.marks = next;
    },
  };
}

/** @param {FieldsBench} bench @param {KindOptions} options */
export function kindFields(bench, { label, texts, kinds, get, set, read, write, place, hint, offered = () => true }) {
  const { t } = bench;
  const room = h("div", { class: "pair" });
  /** @type {Record<string, Field>} */
  const fields = {};
  const choice = choiceField(bench, {
    label, hint, get, place: `${place}/kind`,
    choices: () => Object.keys(kinds).filter((kind) => offered(kind) || kind === get()).map((kind) => [kind, t(`${texts}Kind.${kind}`)]),
    set: (kind) => { set(kind); refresh(); },
  });
  /** @param {string} name @param {string} quantity */
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
  return { nodes: [choice.node, room], refresh };
}
