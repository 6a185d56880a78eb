/** What was saved, read again: made whole where an older page saved fewer fields, and checked before it is worked with. */

import { ANSWERS_KEY, LISTS, NOTEBOOK_KEY, STEPS, VERSION, WORK_KEY, freshNotebook } from "./kept.js";

const isList = Array.isArray;
const isObject = (value) => value !== null && typeof value === "object" && !isList(value);
const isAny = (pattern) => pattern === null;      // may be a number, a text, or an object the service made
const isScalar = (value) => value === null || ["number", "string", "boolean"].includes(typeof value);

/** A saved value with what it lacks taken from a fresh one: an older page saved fewer fields. */
export function completed(value, fresh) {
  if (!isObject(value) || !isObject(fresh)) return value === undefined ? structuredClone(fresh) : value;
  const whole = { ...value };
  for (const key of Object.keys(fresh)) whole[key] = completed(value[key], fresh[key]);
  return whole;
}

/** Whether a value has the shape of another: objects hold what the pattern's hold, lists are lists. */
function alike(value, pattern) {
  if (isList(pattern)) return isList(value);
  if (isObject(pattern)) return isObject(value) && Object.keys(pattern).every((key) => alike(value[key], pattern[key]));
  return isAny(pattern) || isScalar(value);
}

/** Whether a saved state can be worked with. */
export function isWork(value, pattern) {
  return alike(value, pattern)
    && value.formula.lines.every((each) => isObject(each) && typeof each.key === "string"
      && ["scald", "dough"].includes(each.part) && isScalar(each.amount) && typeof each.ingredient === "string")
    && [...value.stages, ...value.plan.before, ...value.plan.after].every((each) => isObject(each) && typeof each.key === "string");
}

const TRIAL = { key: "", name: "", scalded_share_percent: 0, hydration_percent: 0, dough_mass: 0, volume_by: "",
                loaf_volume: 0, fill_percent: 0, crown_height: 0, pan: { kind: "" }, baked_mass: 0, proof_minutes: 0 };

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

/** How the text under each key of the browser's storage is read: (text, fresh) to a state, null when it can't be worked
with. pattern: a fresh work. */
export function readersOf(pattern) {
  const reader = (complete, accepts) => (text, fresh) => {
    try {
      const saved = JSON.parse(text);
      const whole = complete(saved, fresh);
      return saved.version === VERSION && accepts(whole, pattern) ? whole : null;
    } catch {
      return null;
    }
  };
  return {
    [WORK_KEY]: reader(completed, isWork),
    [NOTEBOOK_KEY]: reader((saved, fresh) => completeNotebook({ ...fresh, ...saved }, pattern), isNotebook),
  };
}

/** The answers kept for these very entries, in these units; null when there are none. */
export function keptAnswers(storage, of, wire) {
  try {
    const kept = JSON.parse(storage.getItem(ANSWERS_KEY) ?? "null");
    return kept?.of === of && speak(kept.last, wire) ? kept.last : null;
  } catch {
    return null;
  }
}

/** Whether answers speak the units in use. */
export function speak(answers, wire) {
  return answers !== null && typeof answers === "object" && STEPS.every((step) => {
    const units = answers[step]?.units;
    return units && Object.keys(wire).every((quantity) => units[quantity] === wire[quantity]);
  });
}
