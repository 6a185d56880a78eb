/** Reads what was saved by the schema. What does not fit is never overwritten: it is set aside first. */

import { ANSWERS_KEY, STEPS, VERSION, WORK_KEY } from "./kept.js";
import { isPlain } from "./plain.js";
import { setAside } from "./rescue.js";
import { ANSWERS, BENCH, checked, notebookShape, readJson } from "./schema.js";

/** @param {any} value */
const isOtherVersion = (value) => typeof value?.version === "number" && value.version !== VERSION;

/** The state in a text kept under a key. What an older page did not save is taken from fresh; state is undefined when nothing can
be used. @template {object} S @param {string} key @param {string} text @param {S} fresh @param {Work} pattern a fresh work
@returns {{state?: S, faults: SchemaFault[]}} */
export function stateOf(key, text, fresh, pattern) {
  const { value, faults } = readJson(text);
  if (value === undefined) return { faults };
  if (isOtherVersion(value)) return { faults: [{ at: [], code: "version" }] };
  const found = checked(key === WORK_KEY ? BENCH : notebookShape(pattern), value, fresh);
  return { state: found.value && { ...found.value, version: VERSION }, faults: [...faults, ...found.faults] };
}

/** The state kept under a key, undefined when there is none; safe: whether the text may be overwritten, because all of it was read
or it is set aside. @template {object} S @param {Storage_} storage @param {string} key @param {S} fresh @param {Work} pattern */
export function keptState(storage, key, fresh, pattern) {
  const text = storage.getItem(key);
  if (text === null) return undefined;
  const { state, faults } = stateOf(key, text, fresh, pattern);
  return { state, faults, safe: !faults.length || setAside(storage, key, text) };
}

/** Takes over what another window saved. False when it is not ours, or has parts that only a newer page can read: those stay.
@param {Store<any>[]} stores @param {string | null} key @param {string} text @param {Work} pattern @param {() => void} notSaved */
export function takeOver(stores, key, text, pattern, notSaved) {
  const store = stores.find((each) => each.key === key);
  if (!store) return false;
  const { state, faults } = stateOf(store.key, text, store.fresh, pattern);
  if (faults.length) {
    store.leave();
    notSaved();
    return false;
  }
  store.takeOver(state);
  return true;
}

/** The answers kept for these very entries, in these units; null when there are none.
@param {Storage_} storage @param {string} of @param {Units["wire"]} wire @returns {KeptAnswers | null} */
export function keptAnswers(storage, of, wire) {
  const { value } = readJson(storage.getItem(ANSWERS_KEY) ?? "null");
  return value?.of === of && fitting(value.last, wire) ? value.last : null;
}

/** Whether answers are whole and in the units in use. @param {any} answers @param {Units["wire"]} wire */
export function fitting(answers, wire) {
  return isPlain(answers) && !checked(ANSWERS, answers).faults.length
    && answers.weigh.weigh_out.length === answers.weigh.formula.lines.length && STEPS.every((step) => (
    Object.entries(wire).every(([quantity, unit]) => answers[step].units[quantity] === unit)));
}
