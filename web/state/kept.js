/** What the browser keeps: the work on the bench, saved at every change, the last answers to it, and the notebook.
saved.js reads it again. */

export const WORK_KEY = "scaldloaf.work";
export const VERSION = 1;

/** The browser's storage; one that is empty and keeps nothing where the browser lets nothing be read. */
export function browserStorage() {
  try {
    for (const key of [WORK_KEY, NOTEBOOK_KEY, ANSWERS_KEY]) localStorage.getItem(key);
    return localStorage;
  } catch {
    return { getItem: () => null, removeItem() {}, setItem() { throw new Error("no storage"); } };
  }
}

/** A state that is saved under a key at every change. saved: what was kept there, as keptState of saved.js reads it.
notSaved(): changes can't be saved. */
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
    /** change((state) => { state.share = 30 }): alter and save. */
    change(alter) {
      alter(state);
      save();
    },
    /** What is kept is another's from now on, and not overwritten. */
    leave() { may = false; },
    /** Takes over a state that another window of the page has saved. */
    takeOver(whole) {
      for (const name of Object.keys(state)) delete state[name];
      Object.assign(state, whole);
    },
  };
}

export const ANSWERS_KEY = "scaldloaf.answers";
export const STEPS = ["formula", "water", "fill", "sugar", "weigh"];

/** What the answers depend on, as a text to compare. */
export function signature(state) {
  const { ticked, plan, ...rest } = state;
  return JSON.stringify(rest).replace(/"key":"[^"]*",?/g, "");
}

/** of: the signature of the work they belong to. */
export function keepAnswers(storage, of, last) {
  try {
    storage.setItem(ANSWERS_KEY, JSON.stringify({ of, last }));
  } catch { /* a full storage keeps the work and lets the answers go */ }
}

/** The answers without their working, as a bread in the notebook carries them; null while some are missing. */
export function briefAnswers(last) {
  if (!STEPS.every((step) => last[step])) return null;
  return Object.fromEntries(STEPS.map((step) => {
    const { working, basis, ...brief } = last[step];
    return [step, brief];
  }));
}

export const NOTEBOOK_KEY = "scaldloaf.notebook";
export const LISTS = ["breads", "trials", "loaves"];

/** The notebook: breads, trials and days of softness. notebook.js carries it as a file. */
export function freshNotebook() {
  return { breads: [], trials: [], loaves: [], keeping: { direction: "falls", limit: null } };
}
