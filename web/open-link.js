/** A plan brought by the address goes on the bench; what was there goes to the notebook. */

import { workOf } from "./link.js";
import { putOnBench } from "./put-on-bench.js";
import { completed, isWork } from "./saved.js";

export async function openLink(bench) {
  const { t } = bench;
  const [work] = await Promise.all([workOf(location.hash), t.more()]);
  if (work === null) return;
  history.replaceState(null, "", location.pathname + location.search);
  const whole = work && completed(work, bench.pattern);
  if (!whole || !isWork(whole, bench.pattern)) return bench.notice(t("notebook.badLink"));
  putOnBench(bench, whole);
  bench.notice(t("notebook.opened", { name: whole.formula.name }));
}
