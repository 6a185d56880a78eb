/** Puts the plan in an address on the bench; what was there goes to the notebook. A plan that can't be used whole is refused,
because half a plan would be another bread. */

import { showNumber } from "../ui/numbers.js";
import { partOf } from "./aside.js";
import { planTextOf } from "./link.js";
import { putOnBench } from "./put-on-bench.js";
import { LINK, checked, readJson } from "./schema.js";

/** @param {Bench} bench */
export async function openLink(bench, fragment = location.hash) {
  const { t } = bench;
  const [text] = await Promise.all([planTextOf(fragment), t.more()]);
  if (text === null) return;
  history.replaceState(null, "", location.pathname + location.search);
  const { value, faults } = readJson(text ?? "");
  const plan = checked(LINK, value, bench.pattern);
  faults.push(...plan.faults);
  if (faults.length) return bench.notice(refusal(bench, faults));
  let isKept = false;
  try {
    isKept = putOnBench(bench, plan.value);
  } catch (error) {
    console.error(error);
    return bench.notice(t("notebook.badLink"));
  }
  bench.notice(t(isKept ? "notebook.opened" : "notebook.openedOnly", { name: plan.value.formula.name || t("notebook.nameless") }));
}

/** Why a plan can't be used. @param {Bench} bench @param {SchemaFault[]} faults */
function refusal({ t, locale }, faults) {
  const long = faults.find(({ code }) => code === "many");
  if (long) return t("notebook.longLink", { count: showNumber(long.count ?? 0, locale), part: partOf(t, long.at), most: long.most });
  if (faults.some(({ at, code }) => !at.length || (at.length === 1 && code === "missing"))) return t("notebook.badLink");
  if (faults.every(({ code }) => code === "unknown")) return t("notebook.newerLink");
  return t("notebook.brokenLink", { part: partOf(t, faults[0].at) });
}
