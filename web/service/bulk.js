/** Many calls in one request. */

import { Unreachable } from "./api.js";

/** The replies in order, null for a refused call. @param {ServiceRequest[]} calls @param {AbortSignal} signal @returns {Promise<any[]>} */
export async function bulk(calls, signal) {
  try {
    const response = await fetch("/v1/bulk?show=result", {
      method: "POST", headers: { "Content-Type": "application/x-ndjson" }, signal,
      body: calls.map(({ call, body }, id) => JSON.stringify({ id, call, body })).join("\n"),
    });
    const lines = (await response.text()).trim().split("\n").map((line) => JSON.parse(line));
    return lines.map((line) => (line.status === 200 ? line.body : null));
  } catch (error) {
    if (signal.aborted) throw error;
    throw new Unreachable(String(error));
  }
}
