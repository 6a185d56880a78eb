/** Calls to the service. */

export class Refused extends Error {
  /** @param {Schemas["Problem"]} problem */
  constructor(problem) {
    super(problem.detail ?? problem.title);
    this.faults = problem.errors ?? [];
  }
}

export class Unreachable extends Error {}

/** @param {string} url @param {RequestInit} options */
async function ask(url, options) {
  let response;
  let body;
  try {
    response = await fetch(url, options);
    body = await response.json();
  } catch (error) {
    if (options.signal?.aborted) throw error;
    throw new Unreachable(String(error));
  }
  if (response.ok) return body;
  if (response.status === 422) throw new Refused(body);
  throw new Unreachable(body.title ?? String(response.status));
}

/** @returns {Api} */
export function createApi(base = "") {
  /** @type {Map<string, Promise<any>>} */
  const facts = new Map();
  return {
    call(name, body, signal, show) {
      return ask(`${base}/v1/${name}${show ? `?show=${show}` : ""}`, {
        method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body), signal,
      });
    },
    facts(name) {
      const answer = facts.get(name) ?? ask(`${base}/v1/${name}`, {});
      facts.set(name, answer);
      answer.catch(() => facts.delete(name));
      return answer;
    },
  };
}

const PATIENCE_MS = 150;
const RETRY_MS = 5000;

/** Delivers the answers once the last call is in flight: drawing delays no call. */
class Delivery {
  /** @type {(() => void)[]} */
  #waiting = [];
  #timer = 0;
  #allAsked = false;
  #listener;
  #signal;

  /** @param {Listener} listener @param {AbortSignal} signal */
  constructor(listener, signal) {
    this.#listener = listener;
    this.#signal = signal;
  }

  /** @param {() => void} deliver */
  add(deliver) {
    this.#waiting.push(deliver);
    if (this.#allAsked) this.#timer ||= setTimeout(() => this.now());
  }

  allAsked() {
    this.#allAsked = true;
    this.now();
  }

  now() {
    clearTimeout(this.#timer);
    this.#timer = 0;
    if (this.#signal.aborted || !this.#waiting.length) return;
    for (const deliver of this.#waiting.splice(0)) deliver();
    this.#listener.delivered?.();
  }
}

/** Only the newest run may answer. A change waits a little for a run to end, for the sake of a dragged slider. */
export class Runner {
  #api;
  #listener;
  #job;
  /** @type {AbortController | null} */
  #running = null;
  #starting = false;
  #again = false;               // something changed during the run
  #replacing = 0;
  #retry = 0;
  /** @type {Map<Step, {asked: string, reply: any}>} */
  #known = new Map();           // the same question has the same answer, without a call

  /** @param {Api} api @param {Listener} listener @param {Job} job */
  constructor(api, listener, job) {
    this.#api = api;
    this.#listener = listener;
    this.#job = job;
  }

  again() {
    clearTimeout(this.#retry);
    if (!this.#running) return this.#start();
    if (!this.#again) this.#replacing = setTimeout(() => this.#start(), PATIENCE_MS);
    this.#again = true;
  }

  stop() {
    clearTimeout(this.#replacing);
    clearTimeout(this.#retry);
    this.#starting = this.#again = false;
    this.#running?.abort();
  }

  /** Several changes made together start one run. */
  #start() {
    if (!this.#starting) queueMicrotask(() => { if (this.#starting) this.#run(); });
    this.#starting = true;
  }

  async #run() {
    clearTimeout(this.#replacing);
    clearTimeout(this.#retry);
    this.#starting = this.#again = false;
    this.#running?.abort();
    const mine = new AbortController();
    const { signal } = mine;
    const delivery = new Delivery(this.#listener, signal);
    this.#running = mine;
    this.#listener.began();
    try {
      await this.#job((step, request) => this.#ask(step, request, delivery, signal), () => delivery.allAsked(), signal);
      delivery.now();
      if (!signal.aborted && !this.#again) this.#listener.settled();
    } catch (error) {
      if (signal.aborted) return;
      if (!(error instanceof Unreachable)) throw error;
      delivery.now();
      this.#known.clear();      // the service may be a newer one when it is back
      this.#listener.unreachable();
      this.#retry = setTimeout(() => this.#run(), RETRY_MS);
    } finally {
      if (this.#running === mine) this.#running = null;
    }
    if (this.#again && !this.#running) this.#start();
  }

  /** @template {Call} C @param {Step} step @param {ServiceRequest<C>} request @param {Delivery} delivery @param {AbortSignal} signal
  @returns {Promise<Replies[C] | null>} */
  async #ask(step, request, delivery, signal) {
    const asked = JSON.stringify([request.call, request.body, request.show]);
    const before = this.#known.get(step);
    const isNew = before?.asked !== asked;
    try {
      const reply = request.reply ?? (isNew ? await this.#api.call(request.call, request.body, signal, request.show) : before?.reply);
      if (signal.aborted) return null;
      this.#known.set(step, { asked, reply });
      delivery.add(() => this.#listener.answered(step, reply));
      return reply;
    } catch (error) {
      if (signal.aborted) return null;
      if (!(error instanceof Refused)) throw error;
      this.#listener.refused(step, placed(error, request));
      return null;
    }
  }
}

/** The faults of a refusal, each with its place on the page. @param {Refused} refused @param {ServiceRequest} request @returns {PlacedFault[]} */
export function placed(refused, request) {
  return refused.faults.map((fault) => ({ ...fault, place: request.place(fault.pointer) }));
}
