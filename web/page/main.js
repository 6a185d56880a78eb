/** Puts the sections together in <main>, calls the service at every change and shows the answers. */

import { LANGUAGES } from "../messages/messages.js";
import { tonightSection } from "../sections/tonight.js";
import { weighSection } from "../sections/weigh-section.js";
import { Runner, Unreachable } from "../service/api.js";
import {
  breadAfter, breadBefore, breakdownRequest, correctionRequest, movesShare, panFillRequest, weighOutRequest,
} from "../service/requests.js";
import { ANSWERS_KEY, OF_BAKES, STEPS, browserStorage, keepAnswers } from "../state/kept.js";
import { nothingToWeigh } from "../ui/answer.js";
import { h } from "../ui/dom.js";
import { SYSTEMS } from "../ui/numbers.js";
import { createBench, entriesOf } from "./bench.js";
import { barOf, frameOf } from "./frame.js";

const RETRY_MS = 5000;
const NOTICED_MS = 150;         // then they are faint
const PATIENCE_MS = 500;        // half a number is no fault yet: faults, and taking amounts away, wait that long
const ANNOUNCE_MS = 1500;       // a screen reader hears of new answers once
const QUIET_MS = 3000;
const KEEP_MS = 200;
const SIGNS = ["pointerdown", "keydown", "scroll", "focusin", "input", "click"];

/** @type {HTMLElement} */
const root = document.querySelector("#work") ?? document.body;

export async function start() {
  try {
    await new Page(browserStorage()).open();
  } catch (error) {
    if (!(error instanceof Unreachable)) throw error;
    const starting = root.querySelector("#starting");
    if (starting) starting.textContent = root.dataset.unreachable ?? "";
    await new Promise((done) => { setTimeout(done, RETRY_MS); });
    await start();
  }
}

/** Everything in <main>. @implements {PageOfBench} @implements {Listener} */
export class Page {
  root = root;
  link = h("p", { class: "link-state", role: "status" });
  kept = h("div", { class: "link-state", role: "status" });
  later = h("div", {});         // says why parts can't be there
  /** @type {string | null} */
  unsaved = null;               // why changes can't be saved, once they can't
  /** @type {Bench} */
  bench;
  /** @type {Section[]} */
  sections = [];
  /** @type {TonightSection} */
  tonight;
  /** @type {WeighSection} */
  weigh;
  /** @type {Asking | null} */
  asking = null;                // of the parts that load later, once they are there
  /** @type {ReturnType<typeof frameOf>} */
  frame;
  /** @type {ReturnType<typeof barOf>} */
  bar;
  /** @type {ReturnType<typeof menu>} */
  units;
  #announced = h("p", { class: "unseen", role: "status" });
  #notice = h("p", { class: "link-state", role: "status" });
  /** @type {Run} */
  #run;                         // the newest
  /** @type {Runner} */
  #runner;
  /** @type {Map<Step, PlacedFault[]>} */
  #faults = new Map();          // of this run
  #mounted = false;
  /** @type {Promise<import("./after.js").After> | null} */
  #after = null;
  #waiting = false;             // for the moment to load the rest
  #timers = { faults: 0, slow: 0, withdraw: 0, rest: 0, announce: 0, keep: 0 };
  #keep = () => {};

  /** @param {Storage_} storage */
  constructor(storage) {
    this.storage = storage;
  }

  async open() {
    const { storage } = this;
    const bench = this.bench = await createBench(storage, this);
    this.tonight = tonightSection(bench, (name) => this.openFold(name), (button) => this.bar.offer(button));
    this.weigh = weighSection(bench, (name) => this.openFold(name));
    this.sections = [this.tonight, this.weigh];
    this.#runner = new Runner(bench.api, this, (ask, allAsked, signal) => wholeJob(bench, this.#run, ask, allAsked, signal, this.asking));
    this.#mount();
    if (storage.getItem(ANSWERS_KEY) !== null) {
      const { keptAnswers } = await import("../state/saved.js");
      const answers = keptAnswers(storage, entriesOf("weigh", this.#entries()), bench.units().wire);
      if (answers) this.showAnswers(answers);
    }
    await this.#openLink();
    this.recalculate();
  }

  #mount() {
    const { t, language, state, switchLanguage, unused } = this.bench;
    document.documentElement.lang = t.lang;
    document.title = t("page.title");
    for (const node of document.querySelectorAll("[data-text]")) node.textContent = t(node.getAttribute("data-text") ?? "");
    this.units = menu(t("tools.units"), t("tools.units"), Object.keys(SYSTEMS).map((system) => [system, t(`tools.${system}`)]), state.units,
      async (system) => (await this.after())?.useUnits(system));
    const names = Object.entries(LANGUAGES);
    const own = new Map(names).get(language) ?? language;
    const languages = menu(own, `${t("tools.language")}: ${own}`, names, language, switchLanguage);
    for (const [index, button] of languages.node.querySelectorAll("button").entries()) button.lang = names[index][0];
    document.querySelector("#tools")?.replaceChildren(this.units.node, languages.node);
    const { weigh, tonight } = this;
    this.bar = barOf(this.bench, { weigh: weigh.node, bake: weigh.bake, fix: weigh.fix });
    this.frame = frameOf(this.bench, { tonight: tonight.node, bar: this.bar.node, weigh: weigh.node,
                                       said: [this.link, this.#notice, this.kept, this.#announced, this.later] });
    root.replaceChildren(...this.frame.nodes);
    // What is folded loads at the first opening.
    root.addEventListener("toggle", async () => (await this.after())?.whole(), { capture: true, once: true });
    this.frame.depth.addEventListener("toggle", () => {
      this.draw(this.bench.answers.now());
      this.#markOld();
    }, { capture: true });
    addEventListener("online", () => this.recalculate());
    addEventListener("hashchange", () => this.#openLink());
    addEventListener("pagehide", () => this.#keep());
    addEventListener("pageshow", async ({ persisted }) => { if (persisted) (await this.after())?.catchUp(); });
    addEventListener("storage", async ({ key, newValue }) => {
      if (newValue !== null) (await this.after())?.takeOver(key, newValue);
    });
    this.#mounted = true;
    if (this.unsaved || unused.length) this.#sayKept();
  }

  /** Opens a fold, if one is named, once what the folds hold is there. @param {string} [name] */
  async openFold(name = "") {
    await (await this.after())?.whole();
    this.frame.open(name);
  }

  /** A plan in the address. */
  async #openLink() {
    if (location.hash) await (await import("../state/open-link.js")).openLink(this.bench);
  }

  /** Undefined when it can't be loaded. */
  async after() {
    try {
      this.#after ??= import("./after.js").then(({ After }) => new After(this));
      return await this.#after;
    } catch (error) {
      this.#after = null;
      (await import("../state/rescue.js")).failed(this.later, error);
    }
  }

  /** A copy: what is typed meanwhile is for the next run. @returns {Entries} */
  #entries() {
    return structuredClone({ work: this.bench.state, trials: this.bench.notebook.state.trials });
  }

  recalculate() {
    root.dataset.state = "calculating";
    // What it says may have been entered in a fold; a field being filled in stays.
    if (!this.tonight.node.contains(document.activeElement)) this.tonight.refresh();
    this.mark();
    this.#runner.again();
  }

  redraw() {
    for (const section of this.sections) section.refresh();
    this.units.mark(this.bench.state.units);
  }

  mark(late = false) {
    const current = this.bench.answers.complete();
    const old = late || root.dataset.answers === "old";
    clearTimeout(this.#timers.rest);
    if (current) {
      this.#waitAgain();
      this.draw(this.bench.answers.now());
      this.#timers.rest = setTimeout(() => this.#rest(), PATIENCE_MS);      // slower answers
    } else if (!old) {
      this.#timers.slow ||= setTimeout(() => root.classList.add("slow"), NOTICED_MS);
      this.#timers.withdraw ||= setTimeout(() => this.mark(true), PATIENCE_MS);
    }
    root.dataset.answers = current ? "current" : old ? "old" : "coming";
    const why = this.#why();
    this.weigh.follow(root.dataset.answers, why);
    this.bar.follow(root.dataset.answers, why, this.bench.answers.now().fill);
    if (current ? root.dataset.state !== "calculating" : old) this.frame.sum(!current && why.fault);
  }

  /** What can come after the amounts. */
  #rest() {
    this.#markOld();
    if (root.dataset.answers === "current") this.frame.sum(false);
  }

  #waitAgain() {
    clearTimeout(this.#timers.slow);
    clearTimeout(this.#timers.withdraw);
    this.#timers.slow = this.#timers.withdraw = 0;
    root.classList.remove("slow");
  }

  notSaved(why = "storage") {
    if (this.unsaved) return;
    this.unsaved = why;
    if (this.#mounted) this.#sayKept();
  }

  async #sayKept() {
    const { keptSaid } = await this.bench.t.moreFor(import("../state/aside.js"));
    this.kept.replaceChildren(...keptSaid(this.bench, this.unsaved));
  }

  /** @param {(Node | string)[]} content */
  notice(...content) {
    this.#notice.replaceChildren(...content);
  }

  /** @param {KeptAnswers} answers */
  showAnswers(answers) {
    this.#run = { ...this.#entries(), replies: {} };
    try {
      this.#hold("fill-before", answers["fill-before"] ?? null);
      for (const step of STEPS) this.#hold(step, answers[step]);
      if (answers.taught && answers.trialsOf === entriesOf("trials", this.#run)) for (const step of OF_BAKES) this.#hold(step, answers[step]);
      this.mark();
    } catch (error) {
      // An older page kept them, without something that this one shows.
      console.info("kept answers not shown:", error);
      this.bench.answers.clear();
      this.#markOld();
      this.mark();
    }
  }

  began() {
    this.#faults.clear();
    this.#run = { ...this.#entries(), units: this.bench.units(), replies: {} };
  }

  /** @param {Step} step @param {any} reply */
  answered(step, reply) {
    if (reply.units.mass !== this.bench.units().unit("mass")) return;      // asked before the units were switched
    this.bench.board.show(step, []);
    this.#hold(step, reply);
    if (step === "water" && !movesShare(reply)) this.#hold("fill-before", null);
    if (step === "weigh") this.#waitAgain();
  }

  delivered() {
    if (!this.bench.answers.complete()) this.draw(this.#run.replies);
    this.mark();
  }

  /** @param {Step} step @param {PlacedFault[]} list */
  refused(step, list) {
    if (step === "fill-before" || step === "taught-water" || step === "taught") {
      this.#hold(step, null);
      return this.draw(this.#run.replies);
    }
    this.#faults.set(step, list);
    this.bench.answers.refuse(this.#run, step);
    this.mark();
    clearTimeout(this.#timers.faults);
    this.#timers.faults = setTimeout(() => {
      this.showFaults();
      this.mark();
    }, PATIENCE_MS);
  }

  showFaults() {
    for (const [step, found] of this.#faults) this.bench.board.show(step, found);
  }

  unreachable() {
    root.dataset.state = "unreachable";
    this.link.textContent = this.bench.t("link.lost");
    this.#markOld();
    this.mark(true);
    this.#addLater();
  }

  settled() {
    root.dataset.state = "settled";
    this.link.textContent = "";
    this.#rest();
    const { answers } = this.bench;
    const detail = answers.now();
    root.dispatchEvent(new CustomEvent("scaldloaf-answers", { bubbles: true, composed: true, detail }));
    clearTimeout(this.#timers.announce);
    this.#timers.announce = setTimeout(() => this.#announce(), ANNOUNCE_MS);
    if (answers.complete() && STEPS.every((step) => detail[step])) this.#keepSoon(entriesOf("weigh", this.#run), { ...detail, trialsOf: entriesOf("trials", this.#run) });
    this.#addLater();
  }

  #announce() {
    const { matter, toDo } = this.#why();
    const text = this.bench.answers.complete() ? this.bench.t("answer.updated") : `${matter} ${toDo}`;
    this.#announced.textContent = this.#announced.textContent === text ? "" : text;
  }

  /** Once the page is quiet, or when it is left. @param {string} of @param {KeptAnswers} last */
  #keepSoon(of, last) {
    clearTimeout(this.#timers.keep);
    this.#keep = () => {
      clearTimeout(this.#timers.keep);
      this.#keep = () => {};
      keepAnswers(this.storage, of, last);
    };
    this.#timers.keep = setTimeout(this.#keep, KEEP_MS);
  }

  /** Adds what is folded, at once when the baker comes back to a place that may be there. */
  async #addLater() {
    if (this.#after) return (await this.#after).addLater();
    if (this.#waiting) return;
    this.#waiting = true;
    const [opened] = /** @type {PerformanceNavigationTiming[]} */ (performance.getEntriesByType("navigation"));
    const add = async () => (await this.after())?.addLater();
    if (opened.type === "navigate") whenWanted(add);
    else add();
  }

  /** @param {Step} step @param {any} reply */
  #hold(step, reply) {
    this.bench.answers.hold(this.#run, step, reply);
  }

  /** Draws each answer that has its replies and can be seen. @param {Partial<Answers>} replies */
  draw(replies, all = false) {
    if (replies.formula) for (const section of this.sections) section.markShareOf?.(replies.formula);
    for (const section of this.sections) {
      const { step, beside = [], answer } = section;
      if (!step || !(all || this.frame.isOpen(section))) continue;
      const from = [step, ...beside];
      if (from.every((name) => name in replies)) answer?.show(...from.map((name) => replies[name]));
    }
  }

  /** Marks the answers that are for other entries, and names the bread if it is another. */
  #markOld() {
    const { answers, state, t } = this.bench;
    if (!answers.belongs("formula")) for (const section of this.sections) section.markShareOf?.(null);
    for (const section of this.sections) {
      const { step, beside = [], answer } = section;
      if (!step || step === "weigh" || !this.frame.isOpen(section) || [step, ...beside].every(answers.belongs)) continue;
      const name = answers.nameOf(step);
      answer?.old(...(name && name !== state.formula.name ? [t("answer.oldOf", { name })] : []));
    }
  }

  #why() {
    return nothingToWeigh(this.bench.t, this.#faults, root.dataset.state === "unreachable");
  }
}

/** A button that opens choices. @param {string} text @param {string} label @param {string[][]} choices
@param {string} value @param {(value: string) => void} set */
function menu(text, label, choices, value, set) {
  const buttons = choices.map(([each, says]) => h("button", { type: "button", on: { click() { close(); set(each); } } }, says));
  const summary = h("summary", { "aria-label": label }, text);
  const node = h("details", { class: "tool", name: "tools", on: {
    keydown({ key }) { if (key === "Escape") close(); },
    focusout({ relatedTarget: to }) { if (to && !node.contains(to)) node.open = false; },
  } }, summary, h("div", {}, buttons));
  function close() {
    node.open = false;
    summary.focus();
  }
  /** @param {string} chosen */
  function mark(chosen) {
    for (const [index, button] of buttons.entries()) button.setAttribute("aria-pressed", String(choices[index][0] === chosen));
  }
  mark(value);
  return { node, mark };
}

/** The calls of the page, first those that others wait for.
@param {Bench} bench @param {Run} run @param {Ask} askFor @param {() => void} allAsked @param {AbortSignal} signal @param {Asking | null} asking */
async function wholeJob(bench, run, askFor, allAsked, signal, asking) {
  const { work: state } = run;
  const units = run.units ?? bench.units();
  /** Working, sources and notes are asked for once the folds that show them are there. @type {Ask} */
  const ask = asking?.askerOf(state, units, askFor, signal) ?? ((step, request) => askFor(step, { ...request, show: "result" }));
  const uses = state.bread.kind === "calibration";
  /** @type {Promise<Answers["formula"] | null> | undefined} */
  let whole;
  const recipe = () => whole ??= quiet(ask("formula", breakdownRequest(state, units)));
  const taught = uses || run.trials.length
    ? quiet(import("./taught.js").then(({ taughtBy }) => taughtBy(bench, run, units, ask, recipe))) : null;
  // Work that uses the trials needs what they teach first: every answer is for it.
  const known = !uses || await taught;
  const correcting = known && ask("water", correctionRequest(state, units, bench.isLiquid));
  recipe();
  const corrected = await correcting;
  if (corrected) {
    const fills = panFillRequest(state, units, breadAfter(corrected, state));
    const filling = quiet(ask("fill", fills));
    const before = movesShare(corrected)
      ? quiet(ask("fill-before", { ...panFillRequest(state, units, breadBefore(corrected, state)), show: "result" })) : null;
    const filled = await filling;
    if (uses && filled) quiet(ask("taught", { ...fills, reply: filled }));
    const weighed = filled
      ? quiet(ask("weigh", weighOutRequest(state, units, filled.formula ?? corrected.formula, filled.total_dough_mass.best))) : null;
    const sugar = asking && quiet(asking.also(state, units, corrected, filled, ask));
    allAsked();
    await Promise.all([sugar, before, weighed]);
  }
  await Promise.all([recipe(), taught]);
}

/** Runs what can wait: at the first sign of use, or after a quiet while. @param {() => void} run */
function whenWanted(run) {
  function now() {
    clearTimeout(timer);
    for (const sign of SIGNS) removeEventListener(sign, now, true);
    run();
  }
  for (const sign of SIGNS) addEventListener(sign, now, { capture: true, passive: true });
  const timer = setTimeout(now, QUIET_MS);
}

/** A promise that is awaited later, where its failure is handled. @template T @param {Promise<T>} promise */
function quiet(promise) {
  promise.catch(() => {});
  return promise;
}
