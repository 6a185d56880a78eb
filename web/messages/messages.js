/** Texts of one language, with {places} filled in, and ingredients by their labels in it. */

import { h, uniqueId } from "../ui/dom.js";

export const LANGUAGES = { en: "English", de: "Deutsch" };

/** The first language we have among the tags wanted; without a region where we have none with it. */
export function pickLanguage(wanted) {
  const known = new Map(Object.keys(LANGUAGES).map((language) => [language.toLowerCase(), language]));
  for (const tag of wanted) {
    const parts = tag.toLowerCase().split("-");
    while (parts.length && !known.has(parts.join("-"))) parts.pop();
    if (parts.length) return known.get(parts.join("-"));
  }
  return "en";
}

/** The texts of a language: t("share.title", values), in English where it lacks one. t.has(name) says whether there is one;
t.more() fetches the texts of the parts that are loaded later, and t.moreFor(import(...)) is a module once its texts are
there too. */
export async function textsOf(language) {
  const texts = new Map([[language, {}], ["en", {}]]);        // the first that has a text says it
  async function load(part) {
    const parts = await Promise.all([...texts.keys()].map((each) => import(`./${each}/${part}.js`)));
    [...texts.values()].forEach((known, at) => {
      for (const [group, names] of Object.entries(parts[at].default)) known[group] = { ...known[group], ...names };
    });
  }
  await load("page");
  const find = (name) => [...texts.values()].map((known) => name.split(".").reduce((node, part) => node?.[part], known))
    .find((text) => typeof text === "string");
  const t = (name, values = {}) => {
    const text = find(name);
    if (text === undefined) return name;
    return text.replace(/\{(\w+)\}/g, (place, key) => (key in values ? String(values[key]) : place));
  };
  let more = null;
  return Object.assign(t, {
    has: (name) => find(name) !== undefined,
    more() {
      more ??= load("more").catch((error) => {
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

/** labels: of GET /v1/labels. everyName(): of GET /v1/names, those of other languages too, asked when somebody types. */
export function ingredientNames(labels, everyName = async () => []) {
  const shown = new Map(labels.map(({ name, label }) => [name, label]));
  const names = new Map();
  const folded = (spelling) => spelling.trim().toLowerCase().replaceAll("ß", "ss");
  const learn = (name, ...spellings) => { for (const spelling of spellings) names.set(folded(spelling), name); };
  for (const { name, label } of labels) learn(name, name, label);
  const list = h("datalist", { id: uniqueId("ingredients") },
    [...shown.values()].sort((one, other) => one.localeCompare(other)).map((label) => h("option", { value: label })));
  let learning = null;
  return {
    list,
    label: (name) => shown.get(name) ?? name,
    /** The catalogue's name for a spelling; the text itself when it knows none. */
    name: (text) => names.get(folded(text)) ?? text.trim(),
    /** Whether the catalogue has an ingredient of that name. */
    has: (name) => shown.has(name),
    /** Learns every name in every language too; a promise. */
    learn() {
      learning ??= everyName().then((ingredients) => {
        for (const { name, names: called } of ingredients) for (const { label, spellings } of called) learn(name, label, ...spellings);
      }, () => { learning = null; });
      return learning;
    },
  };
}
