/** The notebook: breads, trials and days of softness, kept in this browser and carried as a file. */

import { alike, completed, isWork, newKey } from "./work.js";

export const NOTEBOOK_KEY = "scaldloaf.notebook";
const FORMAT = "scaldloaf-notebook";
const VERSION = 1;

const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);
export const completeNotebook = (pattern) => (saved, fresh) => whole({ ...fresh, ...saved }, pattern);
const isNamed = (value) => isObject(value) && typeof value.key === "string" && typeof value.name === "string";
const TRIAL = { key: "", name: "", scalded_share_percent: 0, hydration_percent: 0, dough_mass: 0, volume_by: "",
                loaf_volume: 0, fill_percent: 0, crown_height: 0, pan: { kind: "" }, baked_mass: 0, proof_minutes: 0 };

const LISTS = ["breads", "trials", "loaves"];

export function freshNotebook() {
  return { breads: [], trials: [], loaves: [], keeping: { direction: "falls", limit: null } };
}

/** What is wrong with a notebook from outside; null when nothing is. pattern: a work to compare with. */
function complaint(value, pattern) {
  if (!isObject(value) || value.format !== FORMAT) return "notOurs";
  if (value.version !== VERSION) return "otherVersion";
  for (const list of LISTS) if (!Array.isArray(value[list])) return "damaged";
  if (!value.breads.every((bread) => isNamed(bread) && isWork(bread.work, pattern))) return "damaged";
  if (!value.trials.every((trial) => isNamed(trial) && alike(trial, TRIAL))) return "damaged";
  if (!value.loaves.every((loaf) => isNamed(loaf) && Array.isArray(loaf.points)
    && loaf.points.every((point) => alike(point, { key: "", days: 0, score: 0 })))) return "damaged";
  return alike(value.keeping, freshNotebook().keeping) ? null : "damaged";
}

/** A notebook with each bread completed to what today's page keeps. */
function whole(value, pattern) {
  if (!Array.isArray(value?.breads)) return value;
  return { ...freshNotebook(), ...value, breads: value.breads.map((bread) => (isObject(bread) ? { ...bread, work: completed(bread.work, pattern) } : bread)) };
}

/** Whether the notebook saved in the browser can be worked with. */
export function isNotebook(value, pattern) {
  return complaint({ ...value, format: FORMAT, version: VERSION }, pattern) === null;
}

/** The notebook as a file's text. */
export function writeNotebook({ breads, trials, loaves, keeping }) {
  return JSON.stringify({ format: FORMAT, version: VERSION, breads, trials, loaves, keeping }, null, 1);
}

/** A file's text as a notebook: {notebook} or {complaint}. Nothing is changed. */
export function readNotebook(text, pattern) {
  let value;
  try {
    value = whole(JSON.parse(text), pattern);
  } catch {
    return { complaint: "notOurs" };
  }
  const wrong = complaint(value, pattern);
  return wrong ? { complaint: wrong } : { notebook: value };
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
