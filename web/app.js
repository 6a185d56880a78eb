/** The page put together in any root: facts fetched, sections made, answers shown as they come. */

import { createApi } from "./api.js";
import { createChain } from "./chain.js";
import { h } from "./dom.js";
import { createBoard } from "./faults.js";
import { fillSection } from "./fill-section.js";
import { formulaSection } from "./formula-section.js";
import { ingredientNames } from "./ingredients.js";
import { LANGUAGES, loadMessages, pickLanguage, translator } from "./messages.js";
import { createStore } from "./store.js";
import { sugarSection } from "./sugar-section.js";
import { SYSTEMS, unitsOf } from "./units.js";
import { waterSection } from "./water-section.js";
import { weighSection } from "./weigh-section.js";
import { isWork, startingWork } from "./work.js";

const STAGES = [["bulk", 90, 27], ["rest", 20, 27], ["proof", 70, 32]];
const PATIENCE_MS = 500;        // a fault waits until typing pauses: half a number is no fault yet

/** Puts the page into a root. options: storage, base (the service's address), languages wanted. */
export async function mount(root, { storage, base = "", languages = navigator.languages } = {}) {
  const api = createApi(base);
  const language = pickLanguage([storage?.getItem("scaldloaf.language"), ...languages].filter(Boolean));
  const [messages, ingredients, units, pans] = await Promise.all([
    loadMessages(language), api.facts("ingredients"), api.facts("units"), api.facts("pans")]);
  const t = translator(messages);
  const fresh = { units: "metric", ...startingWork(STAGES.map(([name, ...rest]) => [t(`stages.${name}`), ...rest])) };
  const store = createStore(fresh, { storage, accepts: (saved) => isWork(saved, fresh) });
  const state = store.state;

  const bench = {
    t, api, state, language, locale: language === "en" ? navigator.languages.find((tag) => tag.startsWith("en")) ?? "en" : language,
    board: createBoard(), pans: pans.pans, names: ingredientNames(t, ingredients.ingredients),
    isLiquid: (name) => ingredients.ingredients.some((each) => each.name === name && each.is_liquid),
    units: () => unitsOf(state.units, units.quantities),
    /** Alters the work and reckons anew. */
    change(alter) { store.change(alter); reckon(); },
    /** Alters what no answer depends on. */
    keep(alter) { store.change(alter); },
  };

  const sections = [formulaSection, waterSection, fillSection, sugarSection, weighSection].map((make) => make(bench));
  const byStep = Object.fromEntries(sections.map((section) => [section.step, section]));
  const link = h("p", { class: "link-state", role: "status" });
  const told = h("p", { class: "unseen", role: "status" });

  /** Asks anew. data-state says how far the answers are, for styles and for tests. */
  function reckon() {
    root.dataset.state = "reckoning";
    again();
  }

  const faults = new Map();
  let patience = null;
  const again = createChain(bench, {
    began() { faults.clear(); },
    answered(step, reply) {
      if (step === "fill-before") return byStep.fill.compareWith(reply);
      faults.set(step, []);
      bench.board.show(step, []);
      if (step === "formula") byStep.water.compareWith(reply);
      byStep[step].answer.show(reply);
      last[step] = reply;
    },
    refused(step, list) {
      if (step === "fill-before") return;
      faults.set(step, list);
      byStep[step].answer.old();
      clearTimeout(patience);
      patience = setTimeout(() => { for (const [each, found] of faults) bench.board.show(each, found); }, PATIENCE_MS);
    },
    unreachable() {
      root.dataset.state = "unreachable";
      link.textContent = t("link.lost");
      for (const section of sections) section.answer.old();
    },
    settled() {
      root.dataset.state = "settled";
      link.textContent = "";
      for (const section of sections) if (!faults.has(section.step)) section.answer.old();
      root.dispatchEvent(new CustomEvent("scaldloaf-answers", { bubbles: true, composed: true, detail: { ...last } }));
      announce();
      draw();
    },
  });
  const last = {};
  let announcing = null;
  function announce() {
    clearTimeout(announcing);
    announcing = setTimeout(() => { told.textContent = t("answer.updated"); setTimeout(() => { told.textContent = ""; }, 1000); }, 1500);
  }

  /** Charts come after the answers: they are no part of the first load. */
  let charts = null;
  async function draw() {
    charts ??= import("./charts.js").then(({ chartsOf }) => chartsOf(bench, { fill: byStep.fill.room, sugar: byStep.sugar.room }));
    (await charts).draw(last);
  }

  function switchUnits(system) {
    store.change((work) => { work.units = system; });
    for (const section of sections) section.refresh();
    reckon();
  }
  function switchLanguage(to) {
    storage?.setItem("scaldloaf.language", to);
    location.reload();
  }

  const select = (label, choices, value, set) => {
    const input = h("select", { "aria-label": label, on: { change: () => set(input.value) } },
      choices.map(([each, text]) => h("option", { value: each }, text)));
    input.value = value;
    return input;
  };
  const tools = h("div", { class: "tools" },
    select(t("tools.units"), Object.keys(SYSTEMS).map((system) => [system, t(`tools.${system}`)]), state.units, switchUnits),
    Object.keys(LANGUAGES).length > 1 ? select(t("tools.language"), Object.entries(LANGUAGES), language, switchLanguage) : null);

  root.replaceChildren(tools, link, told, ...sections.map((section) => section.node));
  addEventListener("online", reckon);
  reckon();
  return { store, language };
}
