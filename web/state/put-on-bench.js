/** Puts another work on the bench; the one that was there goes to the notebook unless it is there already. */

import { briefAnswers } from "./notebook.js";
import { isObject } from "./plain.js";
import { fitting } from "./saved.js";
import { LINK, checked } from "./schema.js";
import { newKey, showTheMove } from "./work.js";

/** Saves nothing before the page has drawn it: what can't be drawn would stop every later start.
Whether it did.
@param {Bench} bench @param {Work} work @param {Partial<Answers> | null} answers */
export function putOnBench(bench, work, answers = null) {
  const { state } = bench;
  const before = { ...state };
  const [now, last] = [bench.work(), bench.answers.now()];
  try {
    // Another bread: nothing of it is in the bowl yet, and it has limits of its own or none.
    delete state.limits;
    Object.assign(state, rekeyed(checked(LINK, work, bench.pattern).value), { ticked: [] });
    bench.redraw();
  } catch (error) {
    Object.assign(state, before);
    bench.redraw();
    throw error;
  }
  const isKept = setAside(bench, now, last);
  if (isKept) bench.redraw();
  if (answers && fitting(answers, bench.units().wire)) bench.showAnswers(answers);
  bench.change(() => {});
  return isKept;
}

/** @param {Bench} bench @param {Work} now @param {Partial<Answers>} last */
function setAside({ t, pattern, notebook }, now, last) {
  // Without ticks and keys, and the fields in one order: work that an older page saved has them in another.
  const plain = (/** @type {Work} */ work) => JSON.stringify({ ...work, ticked: null }, (name, value) => (
    name === "key" ? undefined : isObject(value) ? Object.fromEntries(Object.entries(value).sort()) : value));
  const untouched = structuredClone(pattern);
  showTheMove(untouched);
  if ([pattern, untouched, ...notebook.state.breads.map((bread) => bread.work)].some((known) => plain(known) === plain(now))) return false;
  notebook.change((book) => {
    book.breads.unshift({ key: newKey(), name: t("notebook.aside", { name: now.formula.name }), saved: Date.now(), work: now,
                          answers: briefAnswers(last) });
  });
  return true;
}

/** A work with new keys, so that no row of the page takes it for the one before. @param {any} work */
function rekeyed({ version, units, ...work }) {
  const fresh = structuredClone(work);
  const { formula, water, stages, plan } = fresh;
  for (const each of [...formula.lines, ...water.curve, ...stages, ...plan.before, ...plan.after]) each.key = newKey();
  return fresh;
}
