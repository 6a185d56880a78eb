/** Texts of one language, with {places} filled in, and ingredients by their labels in it. */

import { h, uniqueId } from "../ui/dom.js";

export const LANGUAGES = { en: "English", de: "Deutsch" };

/** The first language that the page has among the tags wanted; without a region where it has none with it.
@param {(string | null | undefined)[]} wanted */
export function pickLanguage(wanted) {
  const known = new Map(Object.keys(LANGUAGES).map((language) => [language.toLowerCase(), language]));
  for (const tag of wanted) {
    const parts = tag?.toLowerCase().split("-") ?? [];
    while (parts.length && !known.has(parts.join("-"))) parts.pop();
    const found = known.get(parts.join("-"));
    if (found) return found;
  }
  return "en";
}

/** @typedef {Record<string, Record<string, string>>} TextGroups */

/** The texts of a language: t("share.title", values), in English where it lacks one.
@param {string} language @returns {Promise<Texts>} */
export async function textsOf(language) {
  /** @type {Map<string, TextGroups>} */
  const texts = new Map([[language, {}], ["en", {}]]);        // the first that has a text says it
  /** @param {"page" | "more"} part */
  async function load(part) {
    await Promise.all([...texts].map(async ([each, known]) => {
      const /** @type {TextGroups} */ further = (await import(`./${each}/${part}.js`)).default;
      for (const [group, names] of Object.entries(further)) known[group] = { ...known[group], ...names };
    }));
  }
  await load("page");
  /** @param {string} name */
  const find = (name) => {
    const [group, ...path] = name.split(".");
    return [...texts.values()].map((known) => known[group]?.[path.join(".")]).find((text) => text !== undefined);
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
      more ??= load("more").catch((error) => {
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

/** labels: of GET /v1/labels. everyName(): of GET /v1/names, in every language, asked for when somebody types.
@param {{name: string, label: string}[]} labels
@param {() => Promise<{name: string, names: {label: string, spellings: string[]}[]}[]>} everyName @returns {Names} */
export function ingredientNames(labels, everyName = async () => []) {
  const shown = new Map(labels.map(({ name, label }) => [name, label]));
  /** @type {Map<string, string>} */
  const names = new Map();
  const folded = (/** @type {string} */ spelling) => spelling.trim().toLowerCase().replaceAll("ß", "ss");
  const learn = (/** @type {string} */ name, /** @type {string[]} */ ...spellings) => { for (const spelling of spellings) names.set(folded(spelling), name); };
  for (const { name, label } of labels) learn(name, name, label);
  const list = h("datalist", { id: uniqueId("ingredients") },
    [...shown.values()].sort((one, other) => one.localeCompare(other)).map((label) => h("option", { value: label })));
  /** @type {Promise<void> | null} */
  let learning = null;
  return {
    list,
    label: (name) => shown.get(name) ?? name,
    name: (text) => names.get(folded(text)) ?? text.trim(),
    has: (name) => shown.has(name),
    learn() {
      learning ??= everyName().then((ingredients) => {
        for (const { name, names: called } of ingredients) for (const { label, spellings } of called) learn(name, label, ...spellings);
      }, () => { learning = null; });
      return learning;
    },
  };
}
