/** Keeps the recipe that is being read through a reload, in this tab only. */

const KEY = "scaldloaf.pasted";

export function keptPaste() {
  try {
    return sessionStorage.getItem(KEY) ?? "";
  } catch {
    return "";            // the browser gives no storage
  }
}

/** @param {string} text empty: there is none any more */
export function keepPaste(text) {
  try {
    if (text) sessionStorage.setItem(KEY, text);
    else sessionStorage.removeItem(KEY);
  } catch { /* then a reload forgets it */ }
}
