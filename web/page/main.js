/** The page itself: the sections put together in <main>, asked again at every change, answers shown as they come. */

import { LANGUAGES } from "../messages/messages.js";
import { fillSection } from "../sections/fill-section.js";
import { formulaSection } from "../sections/formula-section.js";
import { sugarSection } from "../sections/sugar-section.js";
import { waterSection } from "../sections/water-section.js";
import { weighSection } from "../sections/weigh-section.js";
import { Unreachable, createRunner } from "../service/api.js";
import {
  breadAfter, breadBefore, breakdownRequest, correctionRequest, movesShare, panFillRequest, sugarRequest, weighOutRequest,
} from "../service/requests.js";
import { ANSWERS_KEY, STEPS, browserStorage, keepAnswers } from "../state/kept.js";
import { h } from "../ui/dom.js";
import { SYSTEMS } from "../ui/numbers.js";
import { createBench, entriesOf } from "./bench.js";
import { failed } from "./start.js";

const RETRY_MS = 5000;
const PATIENCE_MS = 500;        // a fault waits until typing pauses: half a number is no fault yet; taking the card away waits too
const TELL_MS = 1500;           // so that a screen reader is told once, not at every key
const QUIET_MS = 3000;
const KEEP_MS = 200;
const SIGNS = ["pointerdown", "keydown", "scroll", "focusin", "input", "click"];

const root = document.querySelector("#work");

/** Puts the page together, as soon as the service can be reached. */
export async function start() {
  try {
    const bench = await mount(browserStorage());
    writeAround(bench);
    keepForOffline(bench);
  } catch (error) {
    if (!(error instanceof Unreachable)) throw error;
    root.querySelector("#starting").textContent = root.dataset.unreachable;
    await new Promise((done) => { setTimeout(done, RETRY_MS); });
    await start();
  }
}

/** The texts around the work, in the language of the work. */
function writeAround({ t, language }) {
  document.documentElement.lang = language;
  document.title = t("page.title");
  for (const node of document.querySelectorAll("[data-text]")) node.textContent = t(node.dataset.text);
}

/** Once the whole page is there, so that nothing competes with it. */
function keepForOffline(bench) {
  root.addEventListener("scaldloaf-whole", async () => {
    const { workOffline } = await import("./offline.js");
    workOffline(bench);
  }, { once: true });
}

/** Puts the page together and asks for the first answers. */
async function mount(storage) {
  let unsaved = null;             // why changes can't be saved, once they can't
  let mounted = false;
  const bench = await createBench(storage, { reckon, redraw, mark, notSaved });
  const { t, state } = bench;
  const sections = [formulaSection, waterSection, fillSection, sugarSection, weighSection].map((make) => make(bench));
  const byStep = Object.fromEntries(sections.map((section) => [section.step, section]));
  const link = h("p", { class: "link-state", role: "status" });
  const notice = h("p", { class: "link-state", role: "status" });
  const kept = h("div", { class: "link-state", role: "status" });
  const told = h("p", { class: "unseen", role: "status" });
  const later = h("div", {});
  const faults = new Map();       // step -> its faults in this run
  let patience = null;
  let telling = null;
  let more = null;
  let waiting = false;
  let keeping = null;
  let keepNow = null;
  let run = null;                 // the entries of the newest run, and its replies
  let takingAway = null;

  const again = createRunner(bench, {
    began() {
      faults.clear();
      run = { ...entries(), units: bench.units(), replies: {} };
    },
    answered(step, reply) {
      if (reply.units.mass !== bench.units().unit("mass")) return;      // asked before the units were switched
      bench.board.show(step, []);
      hold(step, reply);
      if (step === "water" && !movesShare(reply)) hold("fill-before", null);
      draw(run.replies);
      if (step === "weigh") waitAnew();
      mark();
    },
    refused(step, list) {
      if (step === "fill-before") {
        hold(step, null);
        return draw(run.replies);
      }
      faults.set(step, list);
      bench.answers.refuse(run, step);
      mark();
      clearTimeout(patience);
      patience = setTimeout(() => {
        for (const [each, found] of faults) bench.board.show(each, found);
        mark();
      }, PATIENCE_MS);
    },
    unreachable() {
      root.dataset.state = "unreachable";
      link.textContent = t("link.lost");
      markOld();
      mark(true);
      addMore();
    },
    settled() {
      root.dataset.state = "settled";
      link.textContent = "";
      markOld();
      const last = bench.answers.now();
      root.dispatchEvent(new CustomEvent("scaldloaf-answers", { bubbles: true, composed: true, detail: last }));
      clearTimeout(telling);
      telling = setTimeout(() => {
        const text = bench.answers.complete() ? t("answer.updated") : `${why().matter} ${why().toDo}`;
        told.textContent = told.textContent === text ? "" : text;
      }, TELL_MS);
      if (bench.answers.complete()) keepSoon(entriesOf("weigh", run), { ...last, trialsOf: entriesOf("trials", run) });
      addMore();
    },
  }, (ask, allAsked) => wholeJob(bench, run, ask, allAsked));

  /** The entries as they are, their own copy: a run asks about one set of entries, whatever is typed meanwhile. */
  function entries() {
    return structuredClone({ work: state, trials: bench.notebook.state.trials });
  }

  function hold(step, reply) {
    bench.answers.hold(run, step, reply);
  }

  /** Draws what the replies to one set of entries suffice for. */
  function draw(replies) {
    if (replies.formula) byStep.water.markShareOf(replies.formula);
    for (const { step, beside = [], answer } of sections) {
      const from = [step, ...beside];
      if (from.every((name) => name in replies)) answer.show(...from.map((name) => replies[name]));
    }
  }

  /** Says of answers that stay readable that they are for other entries, and for which bread if it is another. */
  function markOld() {
    for (const { step, answer } of sections) {
      if (!step || step === "weigh" || bench.answers.belongs(step)) continue;
      const name = bench.answers.nameOf(step);
      answer.old(...(name && name !== state.formula.name ? [t("answer.oldOf", { name })] : []));
    }
  }

  /** Says whether the answers are for the entries as they are, for all that acts on them: data-answers is current, coming
  or old. Called at every change. The amounts are taken off the screen only when typing pauses, or late: at once. */
  function mark(late = false) {
    const current = bench.answers.complete();
    if (current) {
      waitAnew();
      draw(bench.answers.now());
    } else if (!late && root.dataset.answers !== "old") {
      takingAway ??= setTimeout(mark, PATIENCE_MS, true);
    }
    root.dataset.answers = current ? "current" : late || root.dataset.answers === "old" ? "old" : "coming";
    byStep.weigh.follow(root.dataset.answers, why());
  }

  function waitAnew() {
    clearTimeout(takingAway);
    takingAway = null;
  }

  /** Why there is nothing to weigh. */
  function why() {
    const count = new Set([...faults.values()].flat().map((fault) => fault.place)).size;
    const lost = root.dataset.state === "unreachable";
    return { matter: t("weigh.old"), fault: count > 0, hopeless: count > 0 || lost,
             toDo: count === 1 ? t("weigh.fixOne") : count ? t("weigh.fix", { count }) : t(lost ? "weigh.offline" : "answer.waiting") };
  }

  /** Shows answers known already: kept from the last time, or written down with a bread. */
  bench.showAnswers = (answers) => {
    run = { ...entries(), replies: {} };
    try {
      hold("fill-before", answers["fill-before"] ?? null);
      for (const step of STEPS) hold(step, answers[step]);
      if (answers.trials && answers.trialsOf === entriesOf("trials", run)) hold("trials", answers.trials);
      mark();
    } catch (error) {
      // An older page kept them, and they lack what this one shows; the service is asked in a moment.
      console.info("kept answers not shown:", error.message);
      bench.answers.clear();
      markOld();
      mark();
    }
  };
  /** Writes the answers down when the page is quiet, at the latest when it is left; the work itself is saved at once. */
  function keepSoon(of, last) {
    clearTimeout(keeping);
    keepNow = () => {
      clearTimeout(keeping);
      keepNow = null;
      keepAnswers(storage, of, last);
    };
    keeping = setTimeout(keepNow, KEEP_MS);
  }
  addEventListener("pagehide", () => keepNow?.());
  bench.notice = (...content) => notice.replaceChildren(...content);

  /** Asks anew. data-state says how far the answers are, for styles and for tests. */
  function reckon() {
    root.dataset.state = "reckoning";
    mark();
    again();
  }

  function notSaved(why = "storage") {
    if (unsaved) return;
    unsaved = why;
    if (mounted) tellKept();
  }

  /** Says what of the kept work can't be used, and that changes can't be saved. */
  async function tellKept() {
    const { keptSaid } = await t.moreFor(import("../state/aside.js"));
    kept.replaceChildren(...keptSaid(bench, unsaved));
  }

  /** Writes every field anew from the state. */
  function redraw() {
    for (const section of sections) section.refresh();
    units.value = state.units;
  }

  /** What is no part of the first load: charts, plan, trials, keeping, notebook. */
  async function addMore() {
    if (more) return (await more).draw();
    if (waiting) return;
    waiting = true;
    // After a reload, or Back to the page, the place to return to may be in the parts that are loaded later.
    if (performance.getEntriesByType("navigation")[0].type === "navigate") whenWanted(makeMore);
    else makeMore();
  }

  async function makeMore() {
    try {
      more ??= import("./later.js").then(({ makeLater }) => makeLater(bench, later, byStep, sections));
      (await more).draw();
      draw(bench.answers.now());
      (await more).place.restore();
    } catch (error) {
      more = null;
      return failed(later, error);
    }
    requestAnimationFrame(() => requestAnimationFrame(() => root.classList.add("drawn")));
    root.dispatchEvent(new CustomEvent("scaldloaf-whole", { bubbles: true, composed: true }));
  }

  /** Units of which nothing is known yet can't be written in. */
  async function useUnits(system) {
    try {
      await bench.learnTables();
      bench.board.clear();        // the values that faults offer are in the units before
      bench.keep((work) => { work.units = system; });
    } catch {
      link.textContent = t("link.lost");
    }
    redraw();
    reckon();
  }

  const choice = (label, choices, value, set) => {
    const input = h("select", { "aria-label": label, on: { change: () => set(input.value) } },
      choices.map(([each, text]) => h("option", { value: each }, text)));
    input.value = value;
    return input;
  };
  const units = choice(t("tools.units"), Object.keys(SYSTEMS).map((system) => [system, t(`tools.${system}`)]), state.units, useUnits);
  const languages = Object.keys(LANGUAGES).length > 1
    ? choice(t("tools.language"), Object.entries(LANGUAGES), bench.language, bench.switchLanguage) : null;

  root.replaceChildren(h("div", { class: "tools" }, units, languages), link, notice, kept, told,
    ...sections.map((section) => section.node), later);
  addEventListener("online", reckon);
  // The page open in two windows is one bench and one notebook: the last change counts, in both.
  addEventListener("storage", async (event) => {
    if (event.newValue === null || !await bench.takeOver(event.key, event.newValue)) return;
    mark();
    await bench.learnTables();
    redraw();
    reckon();
  });
  mounted = true;
  if (unsaved || bench.unused.length) tellKept();
  if (storage.getItem(ANSWERS_KEY) !== null) {
    const answers = (await import("../state/saved.js")).keptAnswers(storage, entriesOf("weigh", entries()), bench.units().wire);
    if (answers) bench.showAnswers(answers);
  }
  if (location.hash) await (await import("../state/open-link.js")).openLink(bench);
  reckon();
  return bench;
}

/** The job of the page as a chain of calls; what an answer is made from is asked first. */
async function wholeJob(bench, run, ask, allAsked) {
  const { work: state, units } = run;
  const taught = quiet(taughtBy(run, ask));
  const whole = quiet(ask("formula", breakdownRequest(state, units)));
  const corrected = await trusted(bench, state, taught) && await ask("water", correctionRequest(state, units));
  if (corrected) {
    // First what the last call waits for.
    const filling = quiet(ask("fill", panFillRequest(state, units, breadAfter(corrected))));
    const before = movesShare(corrected)
      ? quiet(ask("fill-before", panFillRequest(state, units, breadBefore(corrected)))) : null;
    const sugar = quiet(ask("sugar", sugarRequest(state, units, corrected.formula)));
    const filled = await filling;
    const weighed = filled
      ? quiet(ask("weigh", weighOutRequest(state, units, corrected.formula, filled.total_dough_mass.best))) : null;
    allAsked();
    await Promise.all([sugar, before, weighed]);
  }
  await Promise.all([whole, taught]);
}

/** What the trials teach: null when the service refuses it, undefined without a measured one. Their request is not loaded
before there are any. */
async function taughtBy({ work, trials, units }, ask) {
  if (!trials.length) return undefined;
  const { measuredTrials, trialFitRequest } = await import("../service/learn-requests.js");
  const measured = measuredTrials(trials);
  return measured.length ? ask("trials", trialFitRequest(work, measured, units)) : undefined;
}

/** Whether the work can be asked about: one that calculates with the trials takes what they teach first. */
async function trusted(bench, work, taught) {
  if (work.bread.kind !== "calibration") return true;
  const fit = await taught;
  if (fit) {
    work.bread.calibration = fit.calibration;
    if (bench.state.bread.kind === "calibration") bench.keep((now) => { now.bread.calibration = fit.calibration; });
  }
  return fit !== null;
}

/** A promise that is awaited later; its failure is dealt with there. */
function quiet(promise) {
  promise.catch(() => {});
  return promise;
}

/** Runs what can wait until somebody turns to the page, or it has been quiet for a while. */
function whenWanted(run) {
  let timer = null;
  function now() {
    clearTimeout(timer);
    for (const sign of SIGNS) removeEventListener(sign, now, true);
    run();
  }
  for (const sign of SIGNS) addEventListener(sign, now, { capture: true, passive: true });
  timer = setTimeout(now, QUIET_MS);
}
