/** The page put together in any root: sections made, answers shown as they come. */

import { STEPS, keepAnswers, keptAnswers, speak } from "./answers-kept.js";
import { createBench } from "./bench.js";
import { createChain } from "./chain.js";
import { h } from "./dom.js";
import { fillSection } from "./fill-section.js";
import { formulaSection } from "./formula-section.js";
import { LANGUAGES } from "./messages.js";
import { movesShare } from "./requests.js";
import { sugarSection } from "./sugar-section.js";
import { SYSTEMS } from "./units.js";
import { waterSection } from "./water-section.js";
import { weighSection } from "./weigh-section.js";
import { whenWanted } from "./when-wanted.js";

const PATIENCE_MS = 500;        // a fault waits until typing pauses: half a number is no fault yet
const TELL_MS = 1500;           // so that a screen reader is told once, not at every key

/** Puts the page into a root. options: storage, base (the service's address), languages wanted, work to start with. */
export async function mount(root, options = {}) {
  const bench = await createBench(options, { reckon, redraw });
  const { t, state } = bench;
  const sections = [formulaSection, waterSection, fillSection, sugarSection, weighSection].map((make) => make(bench));
  const byStep = Object.fromEntries(sections.map((section) => [section.step, section]));
  const link = h("p", { class: "link-state", role: "status" });
  const notice = h("p", { class: "link-state", role: "status" });
  const told = h("p", { class: "unseen", role: "status" });
  const later = h("div", {});
  const faults = new Map();
  let patience = null;
  let telling = null;
  let more = null;
  let waiting = false;

  const again = createChain(bench, {
    began() { faults.clear(); },
    answered(step, reply) {
      if (step === "fill-before") return byStep.fill.compareWith(reply);
      faults.set(step, []);
      bench.last[step] = reply;
      bench.board.show(step, []);
      if (step === "formula") byStep.water.compareWith(reply);
      if (step === "water" && !movesShare(reply)) byStep.fill.compareWith(null);
      byStep[step]?.answer.show(reply);
    },
    refused(step, list) {
      if (step === "fill-before") return;
      faults.set(step, list);
      byStep[step]?.answer.old();
      clearTimeout(patience);
      patience = setTimeout(() => { for (const [each, found] of faults) bench.board.show(each, found); }, PATIENCE_MS);
    },
    unreachable() {
      root.dataset.state = "unreachable";
      link.textContent = t("link.lost");
      if (!keptAnswers(options.storage, state)) for (const section of sections) section.answer?.old();
      addMore();
    },
    settled() {
      root.dataset.state = "settled";
      if (sections.every((section) => !faults.get(section.step)?.length)) keepAnswers(options.storage, state, bench.last);
      link.textContent = "";
      for (const section of sections) if (section.answer && !faults.has(section.step)) section.answer.old();
      root.dispatchEvent(new CustomEvent("scaldloaf-answers", { bubbles: true, composed: true, detail: { ...bench.last } }));
      clearTimeout(telling);
      telling = setTimeout(() => { told.textContent = told.textContent ? "" : t("answer.updated"); }, TELL_MS);
      addMore();
    },
  });

  /** Shows answers known already: kept from the last time, or written down with a bread. */
  bench.showAnswers = (answers) => {
    try {
      Object.assign(bench.last, answers);
      byStep.water.compareWith(answers.formula);
      for (const step of STEPS) byStep[step].answer.show(answers[step]);
    } catch (error) {
      // An older page kept them, and they lack what this one shows; the service is asked in a moment.
      console.info("kept answers not shown:", error.message);
      for (const step of STEPS) byStep[step].answer.old();
    }
  };
  bench.notice = (...content) => notice.replaceChildren(...content);

  /** Asks anew. data-state says how far the answers are, for styles and for tests. */
  function reckon() {
    root.dataset.state = "reckoning";
    again();
  }

  /** Writes every field anew from the state. */
  function redraw() {
    for (const section of sections) section.refresh();
    units.value = state.units;
  }

  /** What is no part of the first load: charts, plan, trials, keeping, notebook. */
  async function addMore() {
    if (more) return (await more).draw();
    if (!waiting) whenWanted(makeMore);
    waiting = true;
  }

  async function makeMore() {
    more ??= import("./later.js").then(({ makeLater }) => makeLater(bench, later, byStep, sections));
    (await more).draw();
    root.dispatchEvent(new CustomEvent("scaldloaf-whole", { bubbles: true, composed: true }));
  }

  const choice = (label, choices, value, set) => {
    const input = h("select", { "aria-label": label, on: { change: () => set(input.value) } },
      choices.map(([each, text]) => h("option", { value: each }, text)));
    input.value = value;
    return input;
  };
  const units = choice(t("tools.units"), Object.keys(SYSTEMS).map((system) => [system, t(`tools.${system}`)]), state.units,
    (system) => { bench.keep((work) => { work.units = system; }); redraw(); reckon(); });
  const languages = Object.keys(LANGUAGES).length > 1
    ? choice(t("tools.language"), Object.entries(LANGUAGES), bench.language, bench.switchLanguage) : null;

  root.replaceChildren(h("div", { class: "tools" }, units, languages), link, notice, told,
    ...sections.map((section) => section.node), later);
  addEventListener("online", reckon);
  // The page open in two windows is one bench and one notebook: the last change counts, in both.
  addEventListener("storage", (event) => {
    if (event.newValue === null || !bench.takeOver(event.key, event.newValue)) return;
    redraw();
    reckon();
  });
  const kept = keptAnswers(options.storage, state);
  if (speak(kept, bench.units().wire)) bench.showAnswers(kept);
  if (location.hash) await (await import("./open-link.js")).openLink(bench);
  reckon();
  return bench;
}
