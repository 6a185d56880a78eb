/** The work on the bench: kept in memory, saved at every change, told to whoever listens. */

export const WORK_KEY = "scaldloaf.work";
export const VERSION = 1;

/** A storage that forgets; for hosts that allow none. */
export function noStorage() {
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

export function createStore(fresh, { storage = noStorage(), key = WORK_KEY, complete = (saved) => saved,
                                       accepts = () => true } = {}) {
  const listeners = new Set();
  const state = restore(storage, key, { version: VERSION, ...fresh }, complete, accepts);
  const store = {
    state,
    /** change((state) => { state.share = 30 }, "share"): alter, save, tell. */
    change(alter, what = "") {
      alter(state);
      store.save();
      for (const listener of listeners) listener(what);
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
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
  return store;
}
