/** What the browser keeps: the work on the bench, saved at every change, the last answers to it, and the notebook. */

import { alike, completed, isObject, isWork } from "./work.js";

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

/** A saved text as a state; null when it can't be worked with. */
function read(text, complete, accepts, fresh) {
  try {
    const saved = JSON.parse(text);
    const whole = complete(saved, fresh);
    return saved.version === VERSION && accepts(whole) ? whole : null;
  } catch {
    return null;
  }
}

/** The saved state; what cannot be read is set aside and not overwritten. */
function restore(storage, key, fresh, complete, accepts) {
  const text = storage.getItem(key);
  if (text === null) return fresh;
  const whole = read(text, complete, accepts, fresh);
  if (whole) return whole;
  storage.setItem(`${key}.unreadable`, text);
  return fresh;
}

/** A state that is saved under a key. complete(saved, fresh) fills in what an older page did not save; accepts(whole) says
whether it can be worked with. */
export function createStore(fresh, { storage, key, complete, accepts }) {
  const state = restore(storage, key, { version: VERSION, ...fresh }, complete, accepts);
  const store = {
    state,
    /** change((state) => { state.share = 30 }): alter and save. */
    change(alter) {
      alter(state);
      store.save();
    },
    save() {
      try {
        storage.setItem(key, JSON.stringify(state));
      } catch { /* a full storage must not stop the work */ }
    },
    /** Takes over what another window of the page has saved. */
    takeOver(text) {
      const whole = read(text, complete, accepts, { version: VERSION, ...fresh });
      if (!whole) return false;
      for (const name of Object.keys(state)) delete state[name];
      Object.assign(state, whole);
      return true;
    },
    key,
  };
  return store;
}

const ANSWERS_KEY = "scaldloaf.answers";
export const STEPS = ["formula", "water", "fill", "sugar", "weigh"];

/** What the answers depend on, as a text to compare. */
function signature(state) {
  const { ticked, plan, ...rest } = state;
  return JSON.stringify(rest).replace(/"key":"[^"]*",?/g, "");
}

export function keepAnswers(storage, state, last) {
  try {
    storage.setItem(ANSWERS_KEY, JSON.stringify({ of: signature(state), last }));
  } catch { /* a full storage keeps the work and lets the answers go */ }
}

/** The answers kept for this very work; null when there are none. */
export function keptAnswers(storage, state) {
  try {
    const kept = JSON.parse(storage.getItem(ANSWERS_KEY) ?? "null");
    return kept?.of === signature(state) ? kept.last : null;
  } catch {
    return null;
  }
}

/** The answers without their working, as a bread in the notebook carries them; null while some are missing. */
export function briefAnswers(last) {
  if (!STEPS.every((step) => last[step])) return null;
  return Object.fromEntries(STEPS.map((step) => {
    const { working, basis, ...brief } = last[step];
    return [step, brief];
  }));
}

/** Whether answers speak the units in use. */
export function speak(answers, wire) {
  return answers !== null && typeof answers === "object" && STEPS.every((step) => {
    const units = answers[step]?.units;
    return units && Object.keys(wire).every((quantity) => units[quantity] === wire[quantity]);
  });
}

export const NOTEBOOK_KEY = "scaldloaf.notebook";
export const LISTS = ["breads", "trials", "loaves"];
const TRIAL = { key: "", name: "", scalded_share_percent: 0, hydration_percent: 0, dough_mass: 0, volume_by: "",
                loaf_volume: 0, fill_percent: 0, crown_height: 0, pan: { kind: "" }, baked_mass: 0, proof_minutes: 0 };

/** The notebook: breads, trials and days of softness. notebook.js carries it as a file. */
export function freshNotebook() {
  return { breads: [], trials: [], loaves: [], keeping: { direction: "falls", limit: null } };
}

/** A notebook with each bread completed to what today's page keeps. pattern: a fresh work. */
export function completeNotebook(value, pattern) {
  if (!Array.isArray(value?.breads)) return value;
  const complete = (bread) => (isObject(bread) ? { ...bread, work: completed(bread.work, pattern) } : bread);
  return { ...freshNotebook(), ...value, breads: value.breads.map(complete) };
}

/** Whether a notebook can be worked with. */
export function isNotebook(value, pattern) {
  const isNamed = (entry) => isObject(entry) && typeof entry.key === "string" && typeof entry.name === "string";
  return isObject(value) && LISTS.every((list) => Array.isArray(value[list]) && value[list].every(isNamed))
    && value.breads.every((bread) => isWork(bread.work, pattern))
    && value.trials.every((trial) => alike(trial, TRIAL))
    && value.loaves.every((loaf) => alike(loaf.points, []) && loaf.points.every((point) => alike(point, { key: "", days: 0, score: 0 })))
    && alike(value.keeping, freshNotebook().keeping);
}
