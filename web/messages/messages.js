/** Texts of one language, with {places} filled in, and its labels of ingredients. */

import { h, uniqueId } from "../ui/dom.js";

/** A language by its BCP 47 tag, with its name in itself. */
export const LANGUAGES = { en: "English", de: "Deutsch", ja: "日本語", "zh-Hant": "繁體中文", "zh-Hans": "简体中文" };
// Chinese by its script, which these tags leave to the region.
/** @type {Record<string, string>} */
const SCRIPTS = { zh: "zh-hans", "zh-tw": "zh-hant", "zh-hk": "zh-hant", "zh-mo": "zh-hant" };
/** Words of a region, in a file of its own over the language's. @type {[RegExp, string][]} */
const REGIONS = [[/^zh(-hant)?-(hk|mo)\b/i, "zh-HK"]];

/** The sheets of a language besides those of all. @param {string} language */
export const sheetsOf = (language) => (/^(ja|zh)\b/.test(language) ? ["styles/cjk.css"] : []);

/** The language for a tag; without a region where there is none with it. @param {string | null | undefined} tag @param {string[]} languages */
function languageFor(tag, languages) {
  const known = new Map(languages.map((language) => [language.toLowerCase(), language]));
  for (const parts = tag?.toLowerCase().split("-") ?? []; parts.length; parts.pop()) {
    const found = known.get(parts.join("-")) ?? known.get(SCRIPTS[parts.join("-")]);
    if (found) return found;
  }
}

/** The first of the tags wanted that the page has. @param {(string | null | undefined)[]} wanted */
export function pickLanguage(wanted, languages = Object.keys(LANGUAGES)) {
  for (const tag of wanted) {
    const found = languageFor(tag, languages);
    if (found) return found;
  }
  return "en";
}

/** The first of the tags wanted that is of this language: it says the region, for numbers, dates and words.
@param {string} language @param {readonly string[]} wanted */
export function localeOf(language, wanted, languages = Object.keys(LANGUAGES)) {
  return wanted.find((tag) => languageFor(tag, languages) === language) ?? language;
}

/** @typedef {Record<string, Record<string, string>>} TextGroups */

/** The texts of a language: t("share.title", values), in English where it lacks one.
@param {string} language @returns {Promise<Texts>} */
export async function textsOf(language, locale = language) {
  const [, region = ""] = REGIONS.find(([pattern]) => pattern.test(locale)) ?? [];
  /** @type {TextGroups} */
  const ofRegion = region ? (await import(`./${region}.js`)).default : {};
  /** @type {Map<string, TextGroups>} */
  const texts = new Map([[language, {}], ["en", {}]]);        // the first that has a text says it
  /** @param {"page" | "more" | "series"} part */
  async function load(part) {
    await Promise.all([...texts].map(async ([each, known]) => {
      // What the service says has texts by its codes in a file of its own.
      const files = part === "more" ? ["more", "notes"] : [part];
      const all = await Promise.all(files.map((file) => import(`./${each}/${file}.js`)));
      for (const /** @type {{default: TextGroups}} */ further of all) {
        for (const [group, names] of Object.entries(further.default)) known[group] = { ...known[group], ...names };
      }
    }));
  }
  await load("page");
  const known = [ofRegion, ...texts.values()];
  /** @param {string} name */
  function find(name) {
    const at = name.indexOf(".");
    const [group, rest] = [name.slice(0, at), name.slice(at + 1)];
    for (const each of known) if (each[group]?.[rest] !== undefined) return each[group][rest];
  }
  /** @param {string} name @param {Record<string, unknown>} values */
  const t = (name, values = {}) => {
    const text = find(name);
    return text === undefined ? name : text.replace(/\{(\w+)\}/g, (place, key) => (key in values ? String(values[key]) : place));
  };
  /** @type {Map<string, Promise<void>>} */
  const loaded = new Map();
  /** @type {Texts} */
  const found = Object.assign(t, {
    lang: region || language,
    /** @param {string} name */
    has: (name) => find(name) !== undefined,
    /** @param {"more" | "series"} [part] */
    more(part = "more") {
      const loading = loaded.get(part) ?? load(part).catch((error) => {
        loaded.delete(part);
        throw error;
      });
      loaded.set(part, loading);
      return loading;
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
