/** The notebook: breads, trials and days of softness, kept in this browser and carried as a file. */

import { alike, isWork, newKey } from "./work.js";

export const NOTEBOOK_KEY = "scaldloaf.notebook";
const FORMAT = "scaldloaf-notebook";
const VERSION = 1;

const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);
const isNamed = (value) => isObject(value) && typeof value.key === "string" && typeof value.name === "string";
const TRIAL = { key: "", name: "", scalded_share_percent: 0, hydration_percent: 0, dough_mass: 0, volume_by: "",
                loaf_volume: 0, fill_percent: 0, crown_height: 0, pan: { kind: "" }, baked_mass: 0, proof_minutes: 0 };

export function freshNotebook() {
  return { breads: [], trials: [], loaves: [] };
}

/** What is wrong with a notebook from outside; null when nothing is. pattern: a work to compare with. */
function complaint(value, pattern) {
  if (!isObject(value) || value.format !== FORMAT) return "notOurs";
  if (value.version !== VERSION) return "otherVersion";
  for (const list of Object.keys(freshNotebook())) if (!Array.isArray(value[list])) return "damaged";
  if (!value.breads.every((bread) => isNamed(bread) && isWork(bread.work, pattern))) return "damaged";
  if (!value.trials.every((trial) => isNamed(trial) && alike(trial, TRIAL))) return "damaged";
  if (!value.loaves.every((loaf) => isNamed(loaf) && Array.isArray(loaf.points))) return "damaged";
  return null;
}

/** Whether the notebook saved in the browser can be worked with. */
export function isNotebook(value, pattern) {
  return complaint({ ...value, format: FORMAT, version: VERSION }, pattern) === null;
}

/** The notebook as a file's text. */
export function writeNotebook({ breads, trials, loaves }) {
  return JSON.stringify({ format: FORMAT, version: VERSION, breads, trials, loaves }, null, 1);
}

/** A file's text as a notebook: {notebook} or {complaint}. Nothing is changed. */
export function readNotebook(text, pattern) {
  let value;
  try {
    value = JSON.parse(text);
  } catch {
    return { complaint: "notOurs" };
  }
  const wrong = complaint(value, pattern);
  return wrong ? { complaint: wrong } : { notebook: value };
}

/** Adds what a notebook has and ours has not; returns how many entries came in. What is ours stays. */
export function merge(ours, theirs) {
  let added = 0;
  for (const list of Object.keys(freshNotebook())) {
    const known = new Map(ours[list].map((entry) => [entry.key, JSON.stringify(entry)]));
    for (const entry of theirs[list]) {
      if (known.get(entry.key) === JSON.stringify(entry)) continue;
      ours[list].push(known.has(entry.key) ? { ...entry, key: newKey() } : entry);
      added += 1;
    }
  }
  return added;
}
