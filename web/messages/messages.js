/** Texts of one language, with {places} filled in, and ingredients by their names in it. */

import { h, uniqueId } from "../ui/dom.js";

export const LANGUAGES = { en: "English", de: "Deutsch" };

/** The first of these languages that the page has. @param {(string | null | undefined)[]} wanted */
export function pickLanguage(wanted) {
  for (const tag of wanted) {
    const [language] = tag?.toLowerCase().split("-") ?? [];
    if (language && Object.hasOwn(LANGUAGES, language)) return language;
  }
  return "en";
}

/** The texts of a language: t("share.title", values). @param {string} language @returns {Promise<Texts>} */
export async function textsOf(language) {
  /** @type {Record<string, Record<string, string>>} */
  const texts = { ...(await import(`./${language}.js`)).default };
  /** @param {string} name */
  const find = (name) => {
    const [group, ...path] = name.split(".");
    return texts[group]?.[path.join(".")];
  };
  /** @param {string} name @param {Record<string, unknown>} values */
  const t = (name, values = {}) => {
    const text = find(name);
    return text === undefined ? name : text.replace(/\{(\w+)\}/g, (place, key) => (key in values ? String(values[key]) : place));
  };
  /** @type {Promise<void> | null} */
  let more = null;
  /** @type {Texts} */
  const found = Object.assign(t, {
    /** @param {string} name */
    has: (name) => find(name) !== undefined,
    more() {
      more ??= import(`./${language}-more.js`).then(({ default: further }) => {
        for (const [group, names] of Object.entries(/** @type {typeof texts} */ (further))) texts[group] = { ...texts[group], ...names };
      }).catch((error) => {
        more = null;
        throw error;
      });
      return more;
    },
    /** @template M @param {Promise<M>} loading */
    async moreFor(loading) {
      const [module] = await Promise.all([loading, found.more()]);
      return module;
    },
  });
  return found;
}

/** @param {Texts} t @param {{name: string, label: string}[]} labels
@param {() => Promise<{name: string, aliases: string[]}[]>} fullCatalogue @returns {Names} */
export function ingredientNames(t, labels, fullCatalogue = async () => []) {
  const shown = new Map(labels.map(({ name, label }) => [name, t.has(`ingredients.${name}`) ? t(`ingredients.${name}`) : label]));
  /** @type {Map<string, string>} */
  const names = new Map();
  const learn = (/** @type {string} */ name, /** @type {string[]} */ ...spellings) => { for (const spelling of spellings) names.set(spelling.trim().toLowerCase(), name); };
  for (const { name, label } of labels) learn(name, name, label, shown.get(name) ?? label);
  const list = h("datalist", { id: uniqueId("ingredients") },
    [...shown.values()].sort((one, other) => one.localeCompare(other)).map((label) => h("option", { value: label })));
  /** @type {Promise<void> | null} */
  let learning = null;
  return {
    list,
    label: (name) => shown.get(name) ?? name,
    name: (text) => names.get(text.trim().toLowerCase()) ?? text.trim(),
    has: (name) => shown.has(name),
    learn() {
      learning ??= fullCatalogue().then((catalogue) => {
        for (const { name, aliases } of catalogue) for (const alias of aliases) if (!names.has(alias.toLowerCase())) learn(name, alias);
      }, () => { learning = null; });
      return learning;
    },
  };
}
