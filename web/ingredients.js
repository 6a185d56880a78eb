/** Ingredient names as bakers read them, and back. */

import { h, uniqueId } from "./dom.js";

export function ingredientNames(t, catalogue) {
  const labels = new Map(catalogue.map(({ name, label }) => [name, t.has(`ingredients.${name}`) ? t(`ingredients.${name}`) : label]));
  const names = new Map();
  for (const { name, label, aliases } of catalogue) {
    for (const spelling of [...aliases, name, label, labels.get(name)]) names.set(spelling.trim().toLowerCase(), name);
  }
  const list = h("datalist", { id: uniqueId("ingredients") },
    [...labels.values()].sort((one, other) => one.localeCompare(other)).map((label) => h("option", { value: label })));
  return {
    list,
    label: (name) => labels.get(name) ?? name,
    /** The catalogue's name for a spelling; the text itself when it knows none. */
    name: (text) => names.get(text.trim().toLowerCase()) ?? text.trim(),
  };
}
