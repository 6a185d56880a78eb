/** What every part of the page works with: texts, facts, the work, the notebook, and how to change them. */

import { createApi } from "./api.js";
import { createBoard } from "./fields.js";
import {
  NOTEBOOK_KEY, WORK_KEY, briefAnswers, completeNotebook, createStore, freshNotebook, isNotebook, speak,
} from "./kept.js";
import { ingredientNames, pickLanguage, textsOf } from "./messages.js";
import { OWN_SYSTEM, unitsOf } from "./numbers.js";
import { completed, isWork, newKey, rekeyed, startingWork } from "./work.js";

const LANGUAGE_KEY = "scaldloaf.language";
// The work of a straight dough, to start from: name, minutes, degC.
const WORK = { before: [["scald", 15], ["scaldCools", 120], ["mix", 20]],
               stages: [["bulk", 90, 27], ["rest", 20, 27], ["proof", 70, 32]], after: [["bake", 35], ["cool", 90]] };

/** storage: where work is kept; page: {reckon(), redraw()}, what a change sets off. */
export async function createBench(storage, page) {
  const api = createApi();
  const language = pickLanguage([storage.getItem(LANGUAGE_KEY), ...navigator.languages].filter(Boolean));
  const [t, labels] = await Promise.all([textsOf(language), api.facts("labels")]);
  const pattern = startingWork(Object.fromEntries(Object.entries(WORK).map(([when, stages]) =>
    [when, stages.map(([name, ...rest]) => [t(`stages.${name}`), ...rest])])));
  const store = createStore({ units: OWN_SYSTEM, ...structuredClone(pattern) }, {
    storage, key: WORK_KEY, complete: completed, accepts: (saved) => isWork(saved, pattern) });
  const notebook = createStore(freshNotebook(), {
    storage, key: NOTEBOOK_KEY, complete: (saved, fresh) => completeNotebook({ ...fresh, ...saved }, pattern),
    accepts: (saved) => isNotebook(saved, pattern) });
  const { state } = store;
  const liquids = new Set(labels.ingredients.filter((each) => each.is_liquid).map((each) => each.name));
  let tables = null;

  const bench = {
    t, api, state, notebook, language, pattern, pans: [], board: createBoard(), last: {},
    locale: navigator.languages.find((tag) => tag.toLowerCase().startsWith(language)) ?? language,
    names: ingredientNames(t, labels.ingredients, async () => (await api.facts("ingredients")).ingredients),
    isLiquid: (name) => liquids.has(name),
    units: () => unitsOf(state.units, tables?.quantities),
    /** The table of units and the pans to start from: not needed for the first answers of most. */
    async learnTables() {
      const [units, pans] = await Promise.all([api.facts("units"), api.facts("pans")]);
      tables = units;
      bench.pans = pans.pans;
    },
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
      storage.setItem(LANGUAGE_KEY, to);
      location.reload();
    },
  };
  if (state.units !== OWN_SYSTEM) await bench.learnTables();
  return bench;
}
