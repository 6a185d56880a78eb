/** Another work put on the bench; the one that was there goes to the notebook unless it is there already. */

import { briefAnswers } from "./kept.js";
import { completed, speak } from "./saved.js";
import { newKey } from "./work.js";

export function putOnBench(bench, work, answers = null) {
  setAside(bench);
  // Another bread: nothing of it is in the bowl yet.
  bench.keep((now) => Object.assign(now, rekeyed(completed(work, bench.pattern)), { ticked: [] }));
  bench.redraw();
  if (speak(answers, bench.units().wire)) bench.showAnswers(answers);
  bench.change(() => {});
}

function setAside({ t, pattern, notebook, answers, work: workOf }) {
  const now = workOf();
  const plain = (work) => JSON.stringify({ ...work, ticked: null }).replace(/"key":"[^"]*"/g, "");
  if ([pattern, ...notebook.state.breads.map((bread) => bread.work)].some((known) => plain(known) === plain(now))) return;
  notebook.change((book) => book.breads.unshift({ key: newKey(), name: t("notebook.aside", { name: now.formula.name }),
                                                  saved: Date.now(), work: now, answers: briefAnswers(answers.now()) }));
}

/** A work with keys of its own, so that no row of the page takes it for the one before. */
function rekeyed(work) {
  const fresh = structuredClone(work);
  for (const each of [...fresh.formula.lines, ...fresh.stages, ...fresh.plan.before, ...fresh.plan.after]) each.key = newKey();
  return fresh;
}
