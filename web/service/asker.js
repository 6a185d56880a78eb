/** One call by itself, made again at every change; only the newest answer counts. */

import { Refused, placed } from "./api.js";

const PAUSE_MS = 120;

/**
 * Faults go to the board under the name of the step.
 * @template {Call} C
 * @param {FieldsBench} bench
 * @param {string} step
 * @param {{answered(reply: Replies[C], request: ServiceRequest<C>): void, old(): void}} listener
 */
export function createAsker(bench, step, listener) {
  let timer = 0;
  /** @type {AbortController | null} */
  let running = null;

  /** @param {ServiceRequest<C>} request */
  async function run(request) {
    running = new AbortController();
    const { signal } = running;
    try {
      const reply = await bench.api.call(request.call, request.body, signal);
      if (signal.aborted) return;
      bench.board.show(step, []);
      listener.answered(reply, request);
    } catch (error) {
      if (signal.aborted) return;
      listener.old();
      if (error instanceof Refused) {
        bench.board.show(step, placed(error, request));
      }
    }
  }

  /** Null asks nothing, and takes back the faults of the last call. */
  return function ask(/** @type {ServiceRequest<C> | null} */ request) {
    clearTimeout(timer);
    running?.abort();
    if (request) timer = setTimeout(run, PAUSE_MS, request);
    else bench.board.show(step, []);
  };
}
