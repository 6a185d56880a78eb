/** One call that stands by itself: asked again at every change, only the newest answer counts. */

import { Refused } from "./api.js";

const PAUSE_MS = 120;

/** told: {answered(reply, request), old()}; faults go to the board under the step's name. */
export function createAsker(bench, step, told) {
  let timer = null;
  let running = null;

  async function run(request) {
    running = new AbortController();
    const { signal } = running;
    try {
      const reply = await bench.api.call(request.call, request.body, signal);
      if (signal.aborted) return;
      bench.board.show(step, []);
      told.answered(reply, request);
    } catch (error) {
      if (signal.aborted) return;
      told.old();
      if (error instanceof Refused) {
        bench.board.show(step, error.faults.map((fault) => ({ ...fault, place: request.place(fault.pointer) })));
      }
    }
  }

  return function ask(request) {
    clearTimeout(timer);
    running?.abort();
    timer = setTimeout(run, PAUSE_MS, request);
  };
}
