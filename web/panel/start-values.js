/** The start values that a host sets as attributes. One that can't be used is reported, never ignored. */

import { isPlain } from "../state/plain.js";
import { recipesOfPage } from "./page-recipe.js";

/** Those that start everything again, and those that find the formula again. */
export const RESTARTING = ["lang", "look", "service"];
export const REFILLING = ["formula", "recipe-number", "reading"];
export const ATTRIBUTES = [...RESTARTING, ...REFILLING, "share", "pan", "pans", "fill", "bread", "units"];

const MOST_BYTES = 60_000;      // the service takes 64 kB

/** A start value that can't be used, with the name of a text about it. */
export class BadStart extends Error {
  /** @param {string} attribute @param {string} message @param {Record<string, string>} values */
  constructor(attribute, message, values = {}) {
    super(message);
    this.attribute = attribute;
    this.values = values;
  }
}

/** @param {string} text @param {string} attribute */
function json(text, attribute) {
  try {
    const value = JSON.parse(text);
    if (value !== null && typeof value === "object") return value;
  } catch { /* reported below */ }
  throw new BadStart(attribute, "notJson", { attribute });
}

/** A number, or the text as it is: the service says what is wrong with it. @param {string} text */
const numberOrText = (text) => (text.trim() !== "" && Number.isFinite(Number(text)) ? Number(text) : text);

/** @param {object} value */
const looksLikeRecipe = (value) => Array.isArray(value) || "@type" in value || "@graph" in value || "recipeIngredient" in value;

/** What to start from: a formula, a recipe for the service to read, or neither when the page says nothing.
@param {HTMLElement} host @returns {{formula?: object, recipe?: unknown}} */
export function wantedFormula(host) {
  const text = (host.getAttribute("formula") ?? "").trim();
  if (text === "" || text === "page") {
    const { recipes, unreadable } = recipesOfPage();
    if (new Blob([JSON.stringify(recipes)]).size > MOST_BYTES) throw new BadStart("formula", "longRecipe");
    if (recipes.length) return { recipe: recipes };
    if (unreadable || text) throw new BadStart("formula", unreadable ? "unreadableRecipe" : "noRecipe");
    return {};
  }
  if (text.startsWith("#")) {
    const holder = document.getElementById(text.slice(1));
    if (!holder) throw new BadStart("formula", "noElement", { id: text });
    const value = json(holder.textContent ?? "", "formula");
    return looksLikeRecipe(value) ? { recipe: value } : { formula: value };
  }
  const value = json(text, "formula");
  return looksLikeRecipe(value) ? { recipe: value } : { formula: value };
}

/** What the page adds to the reading of its recipe. @param {HTMLElement} host */
export function readingOptions(host) {
  const number = host.getAttribute("recipe-number");
  const reading = host.getAttribute("reading");
  return { ...(reading ? json(reading, "reading") : {}), ...(number ? { recipe_number: numberOrText(number) } : {}) };
}

/** The fields of a part as JSON gives them, and no others; a missing one is null, not made up.
@param {object} part @param {string} text @param {string} attribute */
function given(part, text, attribute) {
  const value = json(text, attribute);
  if (!isPlain(value)) throw new BadStart(attribute, "notJson", { attribute });
  return Object.fromEntries(Object.keys(part).map((name) => [name, Object.hasOwn(value, name) ? value[name] : null]));
}

/** Each puts one start value into the state.
@type {Record<string, (state: State, text: string, pans: Schemas["PanShape"][]) => void>} */
const SETTERS = {
  share(state, text) { state.share = numberOrText(text); },
  pans(state, text) { state.pans = numberOrText(text); },
  fill(state, text) { state.fill_percent = numberOrText(text); },
  pan(state, text, pans) {
    if (text.trim().startsWith("{")) {
      Object.assign(state.pan, given(state.pan, text, "pan"), { shape: "" });
      state.lid = null;
      return;
    }
    const known = pans.find(({ name }) => name === text.trim());
    if (!known) throw new BadStart("pan", "noPan", { name: text.trim() });
    Object.assign(state.pan, { shape: known.name }, known.pan);
    state.lid = known.lid;
  },
  bread(state, text) { Object.assign(state.bread, given(state.bread, text, "bread")); },
  units(state, text) {
    if (text !== "metric" && text !== "us") throw new BadStart("units", "noUnits", { name: text });
    state.units = text;
  },
};

/** Puts the attributes named into the state; returns those that can't be used.
@param {HTMLElement} host @param {string[]} names @param {State} state @param {Schemas["PanShape"][]} pans */
export function applyAttributes(host, names, state, pans) {
  /** @type {BadStart[]} */
  const bad = [];
  for (const name of names) {
    const text = host.getAttribute(name);
    if (text === null || !(name in SETTERS)) continue;
    try {
      SETTERS[name](state, text, pans);
    } catch (error) {
      if (!(error instanceof BadStart)) throw error;
      bad.push(error);
    }
  }
  return bad;
}
