/** What the baker's own bakes teach, for the work that uses them. */

import { measuredTrials, trialFitRequest } from "../service/learn-requests.js";

/** Fits the trials and puts what they teach into the work that uses it. False when the service refuses them.
@param {Bench} bench @param {Run} run @param {Units} units @param {Ask} ask */
export async function taughtBy(bench, { work, trials }, units, ask) {
  const measured = measuredTrials(trials);
  if (!measured.length) return true;
  const fit = await ask("trials", trialFitRequest(work, measured, units));
  if (fit && work.bread.kind === "calibration") {
    work.bread.calibration = fit.calibration;
    if (bench.state.bread.kind === "calibration") bench.keep((now) => { now.bread.calibration = fit.calibration; });
  }
  return fit !== null;
}
