/** What the browser keeps: the work on the bench, saved at every change, the last answers to it, and the notebook.
saved.js reads it again. */

export const WORK_KEY = "scaldloaf.work";
export const VERSION = 1;

/** A storage that forgets. */
function noStorage() {
  const kept = new Map();
  return { getItem: (key) => kept.get(key) ?? null, setItem: (key, value) => kept.set(key, value),
           removeItem: (key) => kept.delete(key) };
}

/** The browser's storage, or one that forgets where the browser refuses it. */
export function browserStorage() {
  try {
    const probe = "scaldloaf.probe";
    localStorage.setItem(probe, "1");
    localStorage.removeItem(probe);
    return localStorage;
  } catch {
    return noStorage();
  }
}

/** A state that is saved under a key at every change. read(text, fresh): what was saved; what can't be read is set aside and
not overwritten. */
export function createStore(fresh, storage, key, read) {
  const text = storage.getItem(key);
  const saved = text === null ? null : read(text, { version: VERSION, ...fresh });
  if (text !== null && !saved) storage.setItem(`${key}.unreadable`, text);
  const state = saved ?? { version: VERSION, ...fresh };
  return {
    key, state, fresh,
    /** change((state) => { state.share = 30 }): alter and save. */
    change(alter) {
      alter(state);
      try {
        storage.setItem(key, JSON.stringify(state));
      } catch { /* a full storage must not stop the work */ }
    },
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
