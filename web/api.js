/** The service, asked. An answer is the reply, a Refused with its faults, or an Unreachable. */

export class Refused extends Error {
  constructor(problem) {
    super(problem.detail ?? problem.title);
    this.problem = problem;
    this.status = problem.status;
    this.faults = problem.errors ?? [];
  }
}

export class Unreachable extends Error {}

async function ask(url, options) {
  let response;
  let body;
  try {
    response = await fetch(url, options);
    body = await response.json();
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Unreachable(String(error.message));
  }
  if (response.ok) return body;
  if (response.status === 422) throw new Refused(body);
  throw new Unreachable(body.title ?? String(response.status));
}

/** The service at a base address ("" for the page's own). */
export function createApi(base = "") {
  const facts = new Map();
  return {
    /** POST /v1/<name>. */
    call(name, body, signal) {
      return ask(`${base}/v1/${name}`, {
        method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body), signal,
      });
    },
    /** Many calls in one: [[name, body]] to the replies in order, null for one that was refused. */
    async bulk(calls, signal) {
      let response;
      try {
        response = await fetch(`${base}/v1/bulk?show=result`, {
          method: "POST", headers: { "Content-Type": "application/x-ndjson" }, signal,
          body: calls.map(([call, body], id) => JSON.stringify({ id, call, body })).join("\n"),
        });
        const lines = (await response.text()).trim().split("\n").map((line) => JSON.parse(line));
        return lines.map((line) => (line.status === 200 ? line.body : null));
      } catch (error) {
        if (error.name === "AbortError") throw error;
        throw new Unreachable(String(error.message));
      }
    },
    /** GET /v1/<name>, asked once. */
    facts(name) {
      if (!facts.has(name)) {
        const answer = ask(`${base}/v1/${name}`, {});
        facts.set(name, answer);
        answer.catch(() => facts.delete(name));
      }
      return facts.get(name);
    },
  };
}
