/** What the baker's own bakes teach, and the next dough by it. */

import { measuredTrials, ratioOfBakes, ratioTonight, trialFitRequest } from "../service/learn-requests.js";
import { breadAfter, correctionRequest, panFillRequest } from "../service/requests.js";

/** Fits the trials and puts what they teach into the work that uses it; for work that doesn't, asks what the same calls would answer
if it did. False when the service refuses the trials.
@param {Bench} bench @param {Run} run @param {Units} units @param {Ask} ask @param {() => Promise<Answers["formula"] | null>} recipe */
export async function taughtBy(bench, { work, trials }, units, ask, recipe) {
  const measured = measuredTrials(trials);
  if (!measured.length) return true;
  const ratio = ratioOfBakes(measured) ?? ratioTonight(work, await recipe());
  const fit = await ask("trials", trialFitRequest(work, measured, units, ratio));
  if (fit && work.bread.kind === "calibration") {
    work.bread.calibration = fit.calibration;
    if (bench.state.bread.kind === "calibration") bench.keep((now) => { now.bread.calibration = fit.calibration; });
  } else if (fit) {
    /** @type {Work} */
    const taught = { ...work, bread: { ...work.bread, kind: "calibration", calibration: fit.calibration } };
    const corrected = await ask("taught-water", { ...correctionRequest(taught, units, bench.isLiquid), show: "result" });
    if (corrected) await ask("taught", { ...panFillRequest(taught, units, breadAfter(corrected, taught)), show: "result" });
  }
  return fit !== null;
}
