/** The job as a chain of calls. */

import { measuredTrials, trialFitRequest } from "./learn-requests.js";
import {
  breadAfter, breadBefore, breakdownRequest, correctionRequest, panFillRequest, sugarRequest, weighOutRequest,
} from "./requests.js";
import { createRunner } from "./runner.js";

/** A promise that is awaited later; its failure is dealt with there. */
function quiet(promise) {
  promise.catch(() => {});
  return promise;
}

async function wholeJob(bench, ask) {
  const { state } = bench;
  const units = bench.units();
  const trials = measuredTrials(bench.notebook.state.trials);
  const taught = trials.length ? quiet(ask("trials", trialFitRequest(state, trials, units))) : null;
  if (taught && state.bread.kind === "calibration") {
    const fit = await taught;
    if (fit) bench.keep((work) => { work.bread.calibration = fit.calibration; });
  }
  const whole = quiet(ask("formula", breakdownRequest(state, units)));
  const corrected = await ask("water", correctionRequest(state, units));
  if (corrected) {
    const sugar = quiet(ask("sugar", sugarRequest(state, units, corrected.formula)));
    const before = quiet(ask("fill-before", panFillRequest(state, units, breadBefore(corrected))));
    const filled = await ask("fill", panFillRequest(state, units, breadAfter(corrected)));
    if (filled) {
      await ask("weigh", weighOutRequest(state, units, corrected.formula, filled.total_dough_mass.best));
    }
    await Promise.all([sugar, before]);
  }
  await Promise.all([whole, taught]);
}

/** The whole job of the page, from the bench. */
export function createChain(bench, told) {
  return createRunner(bench, told, (ask) => wholeJob(bench, ask));
}
