/** Calls run again at every change; only the newest run may speak. */

import { Refused, Unreachable } from "./api.js";

const PAUSE_MS = 40;        // long enough to swallow a burst of key presses, short enough not to be noticed
const RETRY_MS = 5000;

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
