/** What was saved, read again by the schema. What does not fit it is never overwritten: it is set aside first. */

import { setAside } from "../page/start.js";
import { ANSWERS_KEY, NOTEBOOK_KEY, STEPS, VERSION, WORK_KEY } from "./kept.js";
import { ANSWERS, BENCH, checked, isPlain, notebookShape, readJson } from "./schema.js";

const isOtherVersion = (value) => Number.isInteger(value?.version) && value.version !== VERSION;

/** The state in a text kept under a key: {state, faults}. What an older page did not save is taken from fresh; state is
undefined when nothing can be used. pattern: a fresh work. */
export function stateOf(key, text, fresh, pattern) {
  const { value, faults } = readJson(text);
  if (value === undefined) return { faults };
  if (isOtherVersion(value)) return { faults: [{ at: [], code: "version" }] };
  const found = checked({ [WORK_KEY]: BENCH, [NOTEBOOK_KEY]: notebookShape(pattern) }[key], value, fresh);
  return { state: found.value && { ...found.value, version: VERSION }, faults: [...faults, ...found.faults] };
}

/** The state kept under a key, null when there is none; safe: whether the text may be overwritten, because all of it was read
or it is set aside. */
export function keptState(storage, key, fresh, pattern) {
  const text = storage.getItem(key);
  if (text === null) return null;
  const { state, faults } = stateOf(key, text, fresh, pattern);
  return { state, faults, safe: !faults.length || setAside(storage, key, text) };
}

/** The answers kept for these very entries, in these units; null when there are none. */
export function keptAnswers(storage, of, wire) {
  const { value } = readJson(storage.getItem(ANSWERS_KEY) ?? "null");
  return value?.of === of && speak(value.last, wire) ? value.last : null;
}

/** Whether answers can be shown and speak the units in use. */
export function speak(answers, wire) {
  return isPlain(answers) && !checked(ANSWERS, answers).faults.length
    && answers.weigh.weigh_out.length === answers.weigh.formula.lines.length && STEPS.every((step) => (
    Object.keys(wire).every((quantity) => answers[step].units[quantity] === wire[quantity])));
}
