/** What every part of the page works with: texts, facts, the work, the notebook, and how to change them. */

import { briefAnswers, speak } from "./answers-kept.js";
import { createApi } from "./api.js";
import { createBoard } from "./faults.js";
import { ingredientNames } from "./ingredients.js";
import { loadMessages, pickLanguage, translator } from "./messages.js";
import { NOTEBOOK_KEY, completeNotebook, freshNotebook, isNotebook } from "./notebook.js";
import { createStore } from "./store.js";
import { unitsOf } from "./units.js";
import { completed, isWork, newKey, rekeyed, startingWork } from "./work.js";

const LANGUAGE_KEY = "scaldloaf.language";
// The work of a straight dough, to start from: name, minutes, degC.
const WORK = { before: [["scald", 15], ["scaldCools", 120], ["mix", 20]],
               stages: [["bulk", 90, 27], ["rest", 20, 27], ["proof", 70, 32]], after: [["bake", 35], ["cool", 90]] };

/** page: {reckon(), redraw()}, what a change sets off. */
export async function createBench({ storage, base = "", languages = navigator.languages, formula } = {}, page) {
  const api = createApi(base);
  const language = pickLanguage([storage?.getItem(LANGUAGE_KEY), ...languages].filter(Boolean));
  const [messages, labels, units, pans] = await Promise.all([
    loadMessages(language), api.facts("labels"), api.facts("units"), api.facts("pans")]);
  const t = translator(messages);
  const pattern = startingWork(Object.fromEntries(Object.entries(WORK).map(([when, stages]) =>
    [when, stages.map(([name, ...rest]) => [t(`stages.${name}`), ...rest])])), formula);
  const store = createStore({ units: "metric", ...structuredClone(pattern) }, { storage, complete: completed,
                                                              accepts: (saved) => isWork(saved, pattern) });
  const notebook = createStore(freshNotebook(), { storage, key: NOTEBOOK_KEY, complete: completeNotebook(pattern),
                                                  accepts: (saved) => isNotebook(saved, pattern) });
  const { state } = store;
  const liquids = new Set(labels.ingredients.filter((each) => each.is_liquid).map((each) => each.name));

  const bench = {
    t, api, state, notebook, language, pattern, pans: pans.pans, board: createBoard(), last: {},
    locale: navigator.languages.find((tag) => tag.toLowerCase().startsWith(language)) ?? language,
    names: ingredientNames(t, labels.ingredients, async () => (await api.facts("ingredients")).ingredients),
    isLiquid: (name) => liquids.has(name),
    units: () => unitsOf(state.units, units.quantities),
    /** Alters the work and reckons anew. */
    change(alter) { store.change(alter); page.reckon(); },
    /** Alters what no answer depends on. */
    keep(alter) { store.change(alter); },
    changeNotebook(alter) { notebook.change(alter); page.reckon(); },
    /** The work by itself, as a notebook or a link carries it. */
    work() {
      const { version, units: chosen, ...work } = state;
      return structuredClone(work);
    },
    /** Another work in place of this one, which goes to the notebook unless it is there already. */
    putOnBench(work, answers = null) {
      bench.setAside();
      store.change((now) => Object.assign(now, rekeyed(completed(work, pattern))));
      page.redraw();
      if (speak(answers, bench.units().wire)) bench.showAnswers(answers);
      page.reckon();
    },
    setAside() {
      const now = bench.work();
      const plain = (each) => JSON.stringify({ ...each, ticked: null }).replace(/"key":"[^"]*"/g, "");
      const known = [pattern, ...notebook.state.breads.map((bread) => bread.work)].some((each) => plain(each) === plain(now));
      if (known) return;
      notebook.change((book) => book.breads.unshift({
        key: newKey(), name: t("notebook.aside", { name: now.formula.name }), saved: Date.now(), work: now, answers: briefAnswers(bench.last) }));
    },
    redraw: () => page.redraw(),
    /** Takes over what another window saved; whether it was anything of ours. */
    takeOver: (key, text) => [store, notebook].some((each) => each.key === key && each.takeOver(text)),
    switchLanguage(to) {
      storage?.setItem(LANGUAGE_KEY, to);
      location.reload();
    },
  };
  return bench;
}
