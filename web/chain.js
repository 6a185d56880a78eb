/** The job as a chain of calls. */

import {
  breadAfter, breadBefore, breakdownRequest, correctionRequest, movesShare, panFillRequest, sugarRequest, weighOutRequest,
} from "./requests.js";
import { createRunner } from "./runner.js";

/** A promise that is awaited later; its failure is dealt with there. */
function quiet(promise) {
  promise.catch(() => {});
  return promise;
}

/** What the trials teach; null without a measured one. Their request is not loaded before there are any. */
async function taughtBy(bench, ask) {
  const { trials } = bench.notebook.state;
  if (!trials.length) return null;
  const { measuredTrials, trialFitRequest } = await import("./learn-requests.js");
  const measured = measuredTrials(trials);
  return measured.length ? ask("trials", trialFitRequest(bench.state, measured, bench.units())) : null;
}

async function wholeJob(bench, ask) {
  const { state } = bench;
  const units = bench.units();
  const taught = quiet(taughtBy(bench, ask));
  if (state.bread.kind === "calibration") {
    const fit = await taught;
    if (fit) bench.keep((work) => { work.bread.calibration = fit.calibration; });
  }
  const whole = quiet(ask("formula", breakdownRequest(state, units)));
  const corrected = await ask("water", correctionRequest(state, units));
  if (corrected) {
    const sugar = quiet(ask("sugar", sugarRequest(state, units, corrected.formula)));
    const before = movesShare(corrected)
      ? quiet(ask("fill-before", panFillRequest(state, units, breadBefore(corrected)))) : null;
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
