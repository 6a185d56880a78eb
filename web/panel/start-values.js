/** The start values a host gives as attributes. One that can't be used is told, not passed over. */

import { isPlain } from "../state/schema.js";
import { recipesOfPage } from "./page-recipe.js";

/** Those that need everything made anew, and those that need the formula found anew. */
export const RESTARTING = ["lang", "look", "service"];
export const REFILLING = ["formula", "recipe-number", "reading"];
export const ATTRIBUTES = [...RESTARTING, ...REFILLING, "share", "pan", "pans", "fill", "bread", "units"];

const MOST_BYTES = 60_000;      // the service takes 64 kB

/** A start value that can't be used: which attribute, and the message's name and values. */
export class BadStart extends Error {
  constructor(attribute, message, values = {}) {
    super(message);
    Object.assign(this, { attribute, values });
  }
}

function json(text, attribute) {
  try {
    const value = JSON.parse(text);
    if (value !== null && typeof value === "object") return value;
  } catch { /* told below */ }
  throw new BadStart(attribute, "notJson", { attribute });
}

/** A number, or the text as it is: the service says what is wrong with it. */
const numberOrText = (text) => (text.trim() !== "" && Number.isFinite(Number(text)) ? Number(text) : text);

const looksLikeRecipe = (value) => Array.isArray(value) || "@type" in value || "@graph" in value || "recipeIngredient" in value;

/** What to start from: {formula}, or {recipe} for the service to read, or {} when the page says nothing. */
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
    const value = json(holder.textContent, "formula");
    return looksLikeRecipe(value) ? { recipe: value } : { formula: value };
  }
  const value = json(text, "formula");
  return looksLikeRecipe(value) ? { recipe: value } : { formula: value };
}

/** What the page adds to the reading of its recipe. */
export function readingOptions(host) {
  const number = host.getAttribute("recipe-number");
  const reading = host.getAttribute("reading");
  return { ...(reading ? json(reading, "reading") : {}), ...(number ? { recipe_number: numberOrText(number) } : {}) };
}

/** The fields of a part as JSON gives them, and no others: what is missing must be missed, not made up. */
function given(part, text, attribute) {
  const value = json(text, attribute);
  if (!isPlain(value)) throw new BadStart(attribute, "notJson", { attribute });
  return Object.fromEntries(Object.keys(part).map((name) => [name, Object.hasOwn(value, name) ? value[name] : null]));
}

/** Put one start value into the state. pans: those of the catalogue. */
const SETTERS = {
  share(state, text) { state.share = numberOrText(text); },
  pans(state, text) { state.pans = numberOrText(text); },
  fill(state, text) { state.fill_percent = numberOrText(text); },
  pan(state, text, pans) {
    if (text.trim().startsWith("{")) {
      Object.assign(state.pan, given(state.pan, text, "pan"), { shape: "" });
      return;
    }
    const known = pans.find(({ name }) => name === text.trim());
    if (!known) throw new BadStart("pan", "noPan", { name: text.trim() });
    Object.assign(state.pan, { shape: known.name }, known.pan);
  },
  bread(state, text) { Object.assign(state.bread, given(state.bread, text, "bread")); },
  units(state, text) {
    if (!["metric", "us"].includes(text)) throw new BadStart("units", "noUnits", { name: text });
    state.units = text;
  },
};

/** Puts the attributes named into the state; returns those that could not be used. */
export function applyAttributes(host, names, state, pans) {
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
