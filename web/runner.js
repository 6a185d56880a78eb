/** Calls run again at every change; only the newest run may speak. */

import { Refused, Unreachable } from "./api.js";

const PATIENCE_MS = 150;     // how long a change waits for the run before it to end
const RETRY_MS = 5000;

/** A run starts at once; changes while it is on the way are taken up by the next one, so that the answers keep up with
a slider that is dragged. A run that takes longer is given up for the next.

createRunner({api}, told, job) -> run(), stop() besides. job(ask) makes the calls: ask(step, request) is the reply, or null
for one refused. told has began(), answered(step, reply), refused(step, faults), unreachable(), settled(). */
export function createRunner(bench, told, job) {
  let starting = null;
  let givingUp = null;
  let retry = null;
  let running = null;
  let wanted = false;

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
    clearTimeout(givingUp);
    clearTimeout(retry);
    running?.abort();
    const mine = new AbortController();
    const { signal } = mine;
    running = mine;
    wanted = false;
    told.began();
    try {
      await job((step, request) => ask(step, request, signal));
      if (!signal.aborted && !wanted) told.settled();
    } catch (error) {
      if (signal.aborted) return;
      if (!(error instanceof Unreachable)) throw error;
      told.unreachable(error);
      retry = setTimeout(run, RETRY_MS);
    } finally {
      if (running === mine) running = null;
    }
    if (wanted && !running) start();
  }

  function start() {
    clearTimeout(starting);
    starting = setTimeout(run);      // changes made together are one
  }

  function again() {
    clearTimeout(retry);
    if (!running) return start();
    if (!wanted) givingUp = setTimeout(start, PATIENCE_MS);
    wanted = true;
  }
  return Object.assign(again, {
    stop() {
      for (const timer of [starting, givingUp, retry]) clearTimeout(timer);
      wanted = false;
      running?.abort();
    },
  });
}
