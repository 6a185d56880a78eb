/** What the browser keeps: the work, the last answers to it, and the notebook. saved.js reads it. */

export const WORK_KEY = "scaldloaf.work";
export const VERSION = 1;

/** The browser's storage, or an empty one where it allows none. @returns {Storage_} */
export function browserStorage() {
  try {
    for (const key of [WORK_KEY, NOTEBOOK_KEY, ANSWERS_KEY]) localStorage.getItem(key);
    return localStorage;
  } catch {
    return { getItem: () => null, removeItem() {}, setItem() { throw new Error("no storage"); } };
  }
}

/** @template {object} S @param {string} key @param {S} fresh @param {Storage_} storage
@param {{state?: S, faults: SchemaFault[], safe: boolean} | undefined} saved @param {() => void} notSaved @returns {Store<S>} */
export function createStore(key, fresh, storage, saved, notSaved) {
  const state = saved?.state ?? fresh;
  let may = saved?.safe ?? true;
  function save() {
    try {
      if (may) return storage.setItem(key, JSON.stringify(state));
    } catch { /* a full storage must not stop the work */ }
    notSaved();
  }
  if (saved?.faults.length) save();
  return {
    key, state, fresh,
    change(alter) {
      alter(state);
      signed.clear();
      save();
    },
    leave() { may = false; },
    takeOver(whole) {
      for (const name of Object.keys(state)) Reflect.deleteProperty(state, name);
      Object.assign(state, whole);
      signed.clear();
    },
  };
}

export const ANSWERS_KEY = "scaldloaf.answers";
/** @type {("formula" | "water" | "fill" | "sugar" | "weigh")[]} */
export const STEPS = ["formula", "water", "fill", "sugar", "weigh"];
/** Those that the amounts to weigh come from. @type {("formula" | "water" | "fill" | "weigh")[]} */
export const WEIGHED = ["formula", "water", "fill", "weigh"];

/** Those that depend on the bakes of the log: what they teach, and the next dough by that. @type {Step[]} */
export const OF_BAKES = ["trials", "taught-water", "taught"];

/** @type {Map<Work, string>} */
const signed = new Map();       // in this turn, until a change: an answer compares many times

/** What the answers depend on, as a text to compare. @param {Work} state */
export function signature(state) {
  if (!signed.size) queueMicrotask(() => signed.clear());
  const { ticked, plan, compare, limits, ...rest } = state;
  signed.set(state, signed.get(state) ?? JSON.stringify(rest).replace(/"key":"[^"]*",?/g, ""));
  return signed.get(state) ?? "";
}

/** @param {Storage_} storage @param {string} of what they depend on @param {KeptAnswers} last */
export function keepAnswers(storage, of, last) {
  try {
    storage.setItem(ANSWERS_KEY, JSON.stringify({ of, last }));
  } catch { /* a full storage keeps the work and lets the answers go */ }
}

export const NOTEBOOK_KEY = "scaldloaf.notebook";

/** @returns {Notebook} */
export function freshNotebook() {
  return { breads: [], trials: [], loaves: [], keeping: { direction: "falls", limit: null } };
}
