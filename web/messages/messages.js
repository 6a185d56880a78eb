/** Texts of one language, with {places} filled in, and ingredients by their names in it. */

import { h, uniqueId } from "../ui/dom.js";

export const LANGUAGES = { en: "English", de: "Deutsch" };

/** The first language we have among those wanted. */
export function pickLanguage(wanted) {
  for (const tag of wanted) {
    const language = tag.toLowerCase().split("-")[0];
    if (Object.hasOwn(LANGUAGES, language)) return language;
  }
  return "en";
}

/** The texts of a language: t("share.title", values). t.has(name) says whether there is one; t.more() fetches the texts of
the parts that are loaded later, and t.moreFor(import(...)) is a module once its texts are there too. */
export async function textsOf(language) {
  const texts = { ...(await import(`./${language}.js`)).default };
  const find = (name) => name.split(".").reduce((node, part) => node?.[part], texts);
  const t = (name, values = {}) => {
    const text = find(name);
    if (typeof text !== "string") return name;
    return text.replace(/\{(\w+)\}/g, (place, key) => (key in values ? String(values[key]) : place));
  };
  let more = null;
  return Object.assign(t, {
    has: (name) => typeof find(name) === "string",
    more() {
      more ??= import(`./${language}-more.js`).then(({ default: further }) => {
        for (const [group, names] of Object.entries(further)) texts[group] = { ...texts[group], ...names };
      }).catch((error) => {
        more = null;
        throw error;
      });
      return more;
    },
    async moreFor(loading) {
      const [module] = await Promise.all([loading, t.more()]);
      return module;
    },
  });
}

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
