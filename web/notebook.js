/** The notebook carried as a file. */

import { LISTS, VERSION } from "./kept.js";
import { completeNotebook, isNotebook } from "./saved.js";
import { newKey } from "./work.js";

const FORMAT = "scaldloaf-notebook";

/** The notebook as a file's text. */
export function writeNotebook({ breads, trials, loaves, keeping }) {
  return JSON.stringify({ format: FORMAT, version: VERSION, breads, trials, loaves, keeping }, null, 1);
}

/** A file's text as a notebook: {notebook} or {complaint}. Nothing is changed. pattern: a work to compare with. */
export function readNotebook(text, pattern) {
  let notebook;
  try {
    notebook = completeNotebook(JSON.parse(text), pattern);
  } catch {
    return { complaint: "notOurs" };
  }
  if (notebook?.format !== FORMAT) return { complaint: "notOurs" };
  if (notebook.version !== VERSION) return { complaint: "otherVersion" };
  return isNotebook(notebook, pattern) ? { notebook } : { complaint: "damaged" };
}

/** Adds the entries a notebook has and ours has not; returns how many came in. What is ours stays. */
export function merge(ours, theirs) {
  let added = 0;
  for (const list of LISTS) {
    const known = new Map(ours[list].map((entry) => [entry.key, JSON.stringify(entry)]));
    for (const entry of theirs[list]) {
      if (known.get(entry.key) === JSON.stringify(entry)) continue;
      ours[list].push(known.has(entry.key) ? { ...entry, key: newKey() } : entry);
      added += 1;
    }
  }
  return added;
}
