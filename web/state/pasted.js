/** Keeps the recipe that is being read through a reload, in this tab only. */

const KEY = "scaldloaf.pasted";
const OPEN_KEY = "scaldloaf.pasting";

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

/** @param {boolean} isOpen whether the recipe is before the baker's eyes */
export function keepPasting(isOpen) {
  try {
    if (isOpen) sessionStorage.setItem(OPEN_KEY, "1");
    else sessionStorage.removeItem(OPEN_KEY);
  } catch { /* then a reload closes it */ }
}

/** Whether a recipe was being read before the reload. */
export function wasPasting() {
  try {
    return sessionStorage.getItem(OPEN_KEY) !== null && keptPaste() !== "";
  } catch {
    return false;         // the browser gives no storage
  }
}
