/** The job as a chain of calls, run again at every change; only the newest run may speak. */

import { Refused, Unreachable } from "./api.js";
import {
  breadAfter, breadBefore, breakdownRequest, correctionRequest, measuredTrials, panFillRequest, sugarRequest,
  trialFitRequest, weighOutRequest,
} from "./requests.js";

const PAUSE_MS = 40;        // long enough to swallow a burst of key presses, short enough not to be noticed
const RETRY_MS = 5000;

/** A promise that is awaited later; its failure is dealt with there. */
function quiet(promise) {
  promise.catch(() => {});
  return promise;
}

/** createRunner({api}, told, job) -> run(), stop() besides. job(ask) makes the calls: ask(step, request) is the reply, or null
for one refused. told has began(), answered(step, reply), refused(step, faults), unreachable(), settled(). */
export function createRunner(bench, told, job) {
  let timer = null;
  let retry = null;
  let running = null;

  async function ask(step, request, signal) {
    try {
      const reply = await bench.api.call(request.call, request.body, signal);
      if (!signal.aborted) told.answered(step, reply);
      return signal.aborted ? null : reply;
    } catch (error) {
      if (signal.aborted) return null;
      if (!(error instanceof Refused)) throw error;
      told.refused(step, error.faults.map((fault) => ({ ...fault, place: request.place(fault.pointer) })));
      return null;
    }
  }

  async function run() {
    running?.abort();
    running = new AbortController();
    const { signal } = running;
    told.began();
    try {
      await job((step, request) => ask(step, request, signal));
      if (!signal.aborted) told.settled();
    } catch (error) {
      if (signal.aborted) return;
      if (!(error instanceof Unreachable)) throw error;
      told.unreachable(error);
      retry = setTimeout(run, RETRY_MS);
    }
  }

  function again() {
    clearTimeout(timer);
    clearTimeout(retry);
    timer = setTimeout(run, PAUSE_MS);
  }
  return Object.assign(again, {
    stop() {
      clearTimeout(timer);
      clearTimeout(retry);
      running?.abort();
    },
  });
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
