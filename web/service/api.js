/** Calls to the service; of their runs, only the newest may speak. */

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

const PATIENCE_MS = 150;     // how long a change waits for the run before it to end
const RETRY_MS = 5000;

/** A run starts at once; changes while it is on the way are taken up by the next one, so that the answers keep up with
a slider that is dragged. A run that takes longer is given up for the next.

createRunner({api}, told, job) -> run(), stop() besides. job(ask, allAsked) makes the calls: ask(step, request) is the reply,
or null for one refused; it calls allAsked() once the last is on its way. told has began(), answered(step, reply), refused(step, faults), unreachable(), settled(). */
export function createRunner(bench, told, job) {
  let starting = false;
  let givingUp = null;
  let retry = null;
  let running = null;
  let wanted = false;
  let telling = null;
  let anyNew = false;             // in this run, as the next
  let allAsked = false;
  const untold = [];              // answers, in the order they came
  const known = new Map();        // step -> {asked, reply}: the same question again has the same answer, without a call

  async function ask(step, request, signal) {
    const asked = JSON.stringify([request.call, request.body]);
    try {
      const before = known.get(step);
      const isNew = before?.asked !== asked;
      const reply = isNew ? await bench.api.call(request.call, request.body, signal) : before.reply;
      if (signal.aborted) return null;
      known.set(step, { asked, reply });
      tell(step, reply, signal, isNew);
      return reply;
    } catch (error) {
      if (signal.aborted) return null;
      if (!(error instanceof Refused)) throw error;
      told.refused(step, error.faults.map((fault) => ({ ...fault, place: request.place(fault.pointer) })));
      return null;
    }
  }

  /** The first new answer is told once the calls that follow from it are on their way, the others together once all is asked:
  drawing holds up no call, and the page is laid out once for them all. */
  function tell(step, reply, signal, isNew) {
    untold.push(() => { if (!signal.aborted) told.answered(step, reply); });
    if (!anyNew || allAsked) tellSoon();
    anyNew ||= isNew;
  }

  function tellSoon() {
    telling ??= setTimeout(tellAll);
  }

  function tellAll() {
    clearTimeout(telling);
    telling = null;
    for (const each of untold.splice(0)) each();
  }

  async function run() {
    starting = false;
    clearTimeout(givingUp);
    clearTimeout(retry);
    running?.abort();
    const mine = new AbortController();
    const { signal } = mine;
    running = mine;
    wanted = false;
    anyNew = false;
    allAsked = false;
    told.began();
    try {
      await job((step, request) => ask(step, request, signal), () => {
        if (signal.aborted) return;
        allAsked = true;
        tellSoon();
      });
      if (!signal.aborted) tellAll();
      if (!signal.aborted && !wanted) told.settled();
    } catch (error) {
      if (signal.aborted) return;
      if (!(error instanceof Unreachable)) throw error;
      tellAll();
      known.clear();              // when it is back it may be a newer one
      told.unreachable(error);
      retry = setTimeout(run, RETRY_MS);
    } finally {
      if (running === mine) running = null;
    }
    if (wanted && !running) start();
  }

  function start() {
    if (!starting) queueMicrotask(startNow);      // changes made together are one
    starting = true;
  }

  function startNow() {
    if (starting) run();
  }

  function again() {
    clearTimeout(retry);
    if (!running) return start();
    if (!wanted) givingUp = setTimeout(start, PATIENCE_MS);
    wanted = true;
  }
  return Object.assign(again, {
    stop() {
      for (const timer of [givingUp, retry]) clearTimeout(timer);
      starting = false;
      wanted = false;
      running?.abort();
    },
  });
}
