/** Many calls in one request. */

import { Refused, Unreachable } from "./api.js";

/** What came of each call, in order: a reply or a refusal; null for one without an answer.
@param {ServiceRequest[]} calls @param {AbortSignal} signal @returns {Promise<(any | Refused)[]>} */
export async function bulkAnswers(calls, signal) {
  try {
    const response = await fetch("/v1/bulk?show=result", {
      method: "POST", headers: { "Content-Type": "application/x-ndjson" }, signal,
      body: calls.map(({ call, body }, id) => JSON.stringify({ id, call, body })).join("\n"),
    });
    const lines = (await response.text()).trim().split("\n").map((line) => JSON.parse(line));
    return calls.map((_, index) => {
      const { id, status, body } = lines[index] ?? {};
      if (id !== index) return null;
      return status === 200 ? body : status === 422 ? new Refused(body) : null;
    });
  } catch (error) {
    if (signal.aborted) throw error;
    throw new Unreachable(String(error));
  }
}

/** The replies in order, null for a refused call. @param {ServiceRequest[]} calls @param {AbortSignal} signal @returns {Promise<any[]>} */
export async function bulk(calls, signal) {
  return (await bulkAnswers(calls, signal)).map((answer) => (answer instanceof Refused ? null : answer));
}
