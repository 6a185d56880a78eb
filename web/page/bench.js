/** What every part of the page works with: texts, facts, the work, the notebook, the answers, and how to change them. */

import { ingredientNames, pickLanguage, textsOf } from "../messages/messages.js";
import { createApi } from "../service/api.js";
import { NOTEBOOK_KEY, STEPS, VERSION, WORK_KEY, createStore, freshNotebook, signature } from "../state/kept.js";
import { startingWork } from "../state/work.js";
import { createBoard } from "../ui/fields.js";
import { OWN_SYSTEM, unitsOf } from "../ui/numbers.js";

const LANGUAGE_KEY = "scaldloaf.language";
// The work of a straight dough, to start from: name, minutes, degC.
const WORK = { before: [["scald", 15], ["scaldCools", 120], ["mix", 20]],
               stages: [["bulk", 90, 27], ["rest", 20, 27], ["proof", 70, 32]], after: [["bake", 35], ["cool", 90]] };

/** What the answer to a step depends on, as a text to compare: the work, and own bakes where they are calculated with. */
export function entriesOf(step, { work, trials }) {
  const usesTrials = step === "trials" || work.bread.kind === "calibration";
  return signature(work) + (usesTrials ? JSON.stringify(trials) : "");
}

/** The answers on the page with the entries they are for. This is the one place that knows whether answers are for the
entries as they are now: what is weighed, ticked, printed, saved or compared comes from `now()`. Kept are the newest run of
calls and the last whole one, so that entries put back as they were have their answers without the service.
entries(): {work, trials}; a run has the same, its own copy, and replies {step: reply}. */
function createAnswers(entries) {
  const names = new Map();        // step -> the bread it was answered for last
  let newest = null;
  let whole = null;

  function add(run) {
    run.of ??= {};
    newest = run;
  }
  /** The run in which a step was answered for the entries as they are now. */
  function found(step) {
    const of = entriesOf(step, entries());
    return [newest, whole].find((run) => run?.of[step] === of);
  }
  return {
    hold(run, step, reply) {
      add(run);
      run.replies[step] = reply;
      run.of[step] = entriesOf(step, run);
      names.set(step, run.work.formula.name);
      if (STEPS.every((each) => each in run.replies)) whole = run;
    },
    /** A step refused is not answered, whatever it was before. */
    refuse(run, step) {
      add(run);
      if (whole?.of[step] === entriesOf(step, run)) whole = null;
    },
    clear() { newest = whole = null; },
    belongs: (step) => Boolean(found(step)),
    nameOf: (step) => names.get(step),
    /** The replies that are for the entries as they are now; null for what does not apply to them. */
    now() {
      return Object.fromEntries([...names.keys()].map((step) => [step, found(step)]).filter(([, run]) => run)
        .map(([step, run]) => [step, run.replies[step]]));
    },
    /** Whether every step is answered for the entries as they are now: only then is there anything to weigh. */
    complete: () => STEPS.every(found),
    /** What is to be weighed depends on this. */
    entries: () => entriesOf("weigh", entries()),
  };
}

/** storage: where work is kept; page: {reckon(), redraw(), mark(), notSaved()}, what a change sets off. */
export async function createBench(storage, page) {
  const api = createApi();
  const language = pickLanguage([storage.getItem(LANGUAGE_KEY), ...navigator.languages].filter(Boolean));
  const [t, labels] = await Promise.all([textsOf(language), api.facts(`labels?language=${language}`)]);
  const pattern = startingWork(Object.fromEntries(Object.entries(WORK).map(([when, stages]) =>
    [when, stages.map(([name, ...rest]) => [t(`stages.${name}`), ...rest])])));
  const stores = [[WORK_KEY, { version: VERSION, units: OWN_SYSTEM, ...structuredClone(pattern) }],
                  [NOTEBOOK_KEY, { version: VERSION, ...freshNotebook() }]];
  const anySaved = stores.some(([key]) => storage.getItem(key) !== null);
  const { keptState } = anySaved ? await import("../state/saved.js") : {};
  const saved = stores.map(([key, fresh]) => keptState?.(storage, key, fresh, pattern));
  const [store, notebook] = stores.map(([key, fresh], index) => createStore(key, fresh, storage, saved[index], page.notSaved));
  const { state } = store;
  const liquids = new Set(labels.ingredients.filter((each) => each.is_liquid).map((each) => each.name));
  let tables = null;

  const bench = {
    t, api, state, notebook, storage, language, pattern, pans: [], board: createBoard(),
    answers: createAnswers(() => ({ work: state, trials: notebook.state.trials })),
    /** What of the kept work and notebook can't be used, as faults of the schema. */
    unused: saved.flatMap((each, index) => each?.faults.map((fault) => ({ ...fault, key: stores[index][0] })) ?? []),
    locale: navigator.languages.find((tag) => tag.toLowerCase().startsWith(language)) ?? language,
    names: ingredientNames(labels.ingredients, async () => (await api.facts("names")).ingredients),
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
    keep(alter) { store.change(alter); page.mark(); },
    changeNotebook(alter) { notebook.change(alter); page.reckon(); },
    /** The work by itself, as a notebook or a link carries it. */
    work() {
      const { version, units: chosen, ...work } = state;
      return structuredClone(work);
    },
    redraw: () => page.redraw(),
    /** Takes over what another window saved; whether it was anything of ours. What only a newer page can read stays its. */
    async takeOver(key, text) {
      const taken = [store, notebook].find((each) => each.key === key);
      if (!taken) return false;
      const { state: whole, faults } = (await import("../state/saved.js")).stateOf(key, text, taken.fresh, pattern);
      if (faults.length) {
        taken.leave();
        page.notSaved("otherWindow");
        return false;
      }
      taken.takeOver(whole);
      return true;
    },
    switchLanguage(to) {
      try {
        storage.setItem(LANGUAGE_KEY, to);
        location.reload();
      } catch {
        page.notSaved();
      }
    },
  };
  if (state.units !== OWN_SYSTEM || state.pan.shape) await bench.learnTables();
  return bench;
}
