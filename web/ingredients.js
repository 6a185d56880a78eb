/** Ingredient names as bakers read them, and back. */

import { h, uniqueId } from "./dom.js";

/** labels: GET /v1/labels. fullCatalogue(): GET /v1/ingredients, for the spellings, asked when somebody types. */
export function ingredientNames(t, labels, fullCatalogue = async () => []) {
  const shown = new Map(labels.map(({ name, label }) => [name, t.has(`ingredients.${name}`) ? t(`ingredients.${name}`) : label]));
  const names = new Map();
  const learn = (name, ...spellings) => { for (const spelling of spellings) names.set(spelling.trim().toLowerCase(), name); };
  for (const { name, label } of labels) learn(name, name, label, shown.get(name));
  const list = h("datalist", { id: uniqueId("ingredients") },
    [...shown.values()].sort((one, other) => one.localeCompare(other)).map((label) => h("option", { value: label })));
  let learning = null;
  return {
    list,
    label: (name) => shown.get(name) ?? name,
    /** The catalogue's name for a spelling; the text itself when it knows none. */
    name: (text) => names.get(text.trim().toLowerCase()) ?? text.trim(),
    /** Whether the catalogue has an ingredient of that name. */
    has: (name) => shown.has(name),
    /** Learns the other spellings too; a promise. */
    learn() {
      learning ??= fullCatalogue().then((catalogue) => {
        for (const { name, aliases } of catalogue) for (const alias of aliases) if (!names.has(alias.toLowerCase())) learn(name, alias);
      }, () => { learning = null; });
      return learning;
    },
  };
}
