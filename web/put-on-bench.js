/** Another work put on the bench; the one that was there goes to the notebook unless it is there already. */

import { briefAnswers } from "./kept.js";
import { completed, speak } from "./saved.js";
import { newKey } from "./work.js";

export function putOnBench(bench, work, answers = null) {
  setAside(bench);
  bench.keep((now) => Object.assign(now, rekeyed(completed(work, bench.pattern))));
  bench.redraw();
  if (speak(answers, bench.units().wire)) bench.showAnswers(answers);
  bench.change(() => {});
}

function setAside({ t, pattern, notebook, last, work: workOf }) {
  const now = workOf();
  const plain = (work) => JSON.stringify({ ...work, ticked: null }).replace(/"key":"[^"]*"/g, "");
  if ([pattern, ...notebook.state.breads.map((bread) => bread.work)].some((known) => plain(known) === plain(now))) return;
  notebook.change((book) => book.breads.unshift({ key: newKey(), name: t("notebook.aside", { name: now.formula.name }),
                                                  saved: Date.now(), work: now, answers: briefAnswers(last) }));
}

/** A work with keys of its own, so that no row of the page takes it for the one before. */
function rekeyed(work) {
  const fresh = structuredClone(work);
  for (const each of [...fresh.formula.lines, ...fresh.stages, ...fresh.plan.before, ...fresh.plan.after]) each.key = newKey();
  return fresh;
}
