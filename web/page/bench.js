/** Makes the bench, which every section works with. */

import { ingredientNames, localeOf, pickLanguage, sheetsOf, textsOf } from "../messages/messages.js";
import { createApi } from "../service/api.js";
import { liquidsAmong } from "../service/requests.js";
import { NOTEBOOK_KEY, OF_BAKES, STEPS, VERSION, WEIGHED, WORK_KEY, createStore, freshNotebook, signature } from "../state/kept.js";
import { TIN_LOAF, showTheMove, startingWork } from "../state/work.js";
import { h } from "../ui/dom.js";
import { createBoard } from "../ui/fields.js";
import { OWN_SYSTEM, unitsOf } from "../ui/numbers.js";

const LANGUAGE_KEY = "scaldloaf.language";
// The steps of a straight dough, to start from: name, minutes, degC.
/** @type {Record<"before" | "stages" | "after", [string, number, number?][]>} */
const WORK = { before: [["scald", 15], ["scaldCools", 120], ["mix", 20]],
               stages: [["bulk", 90, 27], ["rest", 20, 27], ["proof", 70, 32]], after: [["bake", 35], ["cool", 90]] };

/** What the answer to a step depends on, as a text: the work, and the trials without their scores where they are used.
@param {Step} step @param {Entries} entries */
export const entriesOf = (step, entries) => textsOfEntries(entries)(step);

/** The same for several steps, each text written once. @param {Entries} entries @returns {(step: Step) => string} */
function textsOfEntries({ work, trials }) {
  const plain = signature(work);
  /** @type {string | null} */
  let withTrials = null;
  return (step) => {
    if (!OF_BAKES.includes(step) && work.bread.kind !== "calibration") return plain;
    return withTrials ??= plain + JSON.stringify(trials, (name, value) => (name === "points" ? undefined : value));
  };
}

/** Holds the newest run and the last whole one: entries put back need no call.
@param {() => Entries} entries @returns {AnswersNow} */
function createAnswers(entries) {
  /** @type {Map<Step, string>} */
  const names = new Map();        // of the bread of the last answer
  /** @type {Map<Step, string>} */
  const refused = new Map();      // the entries that a step refused last
  /** @type {Run | null} */
  let newest = null;
  /** @type {Run | null} */
  let whole = null;

  /** The run that answered a step for the entries as they are now. @param {Step} step */
  const found = (step, texts = textsOfEntries(entries())) => [newest, whole].find((run) => run?.of?.[step] === texts(step));
  return {
    hold(run, step, reply) {
      newest = run;
      run.replies = Object.assign(run.replies, { [step]: reply });
      run.of = { ...run.of, [step]: entriesOf(step, run) };
      names.set(step, run.work.formula.name);
      refused.delete(step);
      // What this run does not ask about, such as the sugar at first, stays with its own entries.
      if (WEIGHED.every((each) => each in run.replies)) whole = { ...run, replies: { ...whole?.replies, ...run.replies }, of: { ...whole?.of, ...run.of } };
    },
    refuse(run, step) {
      newest = run;
      refused.set(step, entriesOf(step, run));
      if (whole?.of?.[step] === entriesOf(step, run)) whole = null;
    },
    clear() { newest = whole = null; },
    belongs: (step) => Boolean(found(step)),
    nameOf: (step) => names.get(step),
    now() {
      const texts = textsOfEntries(entries());
      return Object.fromEntries([...names.keys()].flatMap((step) => {
        const run = found(step, texts);
        return run ? [[step, run.replies[step]]] : [];
      }));
    },
    complete() {
      const texts = textsOfEntries(entries());
      return WEIGHED.every((step) => found(step, texts)) && !STEPS.some((step) => refused.get(step) === texts(step));
    },
    entries: () => entriesOf("weigh", entries()),
  };
}

/** The work and the notebook as the browser saved them, or fresh ones. @param {Storage_} storage @param {Work} pattern @param {() => void} notSaved */
async function storesIn(storage, pattern, notSaved) {
  /** @type {State} */
  const work = { version: VERSION, units: OWN_SYSTEM, ...structuredClone(pattern) };
  const book = { version: VERSION, ...freshNotebook() };
  const anySaved = [WORK_KEY, NOTEBOOK_KEY].some((key) => storage.getItem(key) !== null);
  const { keptState } = anySaved ? await import("../state/saved.js") : {};
  /** @type {SchemaFault[]} */
  const unused = [];
  /** @template {object} S @param {string} key @param {S} fresh */
  const open = (key, fresh) => {
    const saved = keptState?.(storage, key, fresh, pattern);
    unused.push(...(saved?.faults ?? []).map((fault) => ({ ...fault, key })));
    return createStore(key, fresh, storage, saved, notSaved);
  };
  const stores = { store: open(WORK_KEY, work), notebook: open(NOTEBOOK_KEY, book), unused };
  if (storage.getItem(WORK_KEY) === null) showTheMove(stores.store.state);
  return stores;
}

/** @param {Texts} t */
function patternIn(t) {
  /** @param {keyof typeof WORK} when @returns {[string, number, number?][]} */
  const named = (when) => WORK[when].map(([name, ...rest]) => [t(`stages.${name}`), ...rest]);
  return startingWork({ stages: named("stages"), before: named("before"), after: named("after") }, { ...TIN_LOAF, name: t("tonight.exampleName") });
}

/** @param {Storage_} storage @param {PageOfBench} page @returns {Promise<Bench>} */
export async function createBench(storage, page) {
  const api = createApi();
  const language = pickLanguage([storage.getItem(LANGUAGE_KEY), ...navigator.languages]);
  const locale = localeOf(language, navigator.languages);
  document.head.append(...sheetsOf(language).map((href) => h("link", { rel: "stylesheet", href })));
  const [t, labels] = await Promise.all([textsOf(language, locale), api.facts(`labels?language=${language}`)]);
  const pattern = patternIn(t);
  const { store, notebook, unused } = await storesIn(storage, pattern, () => page.notSaved());
  const { state } = store;
  /** @type {UnitTable | undefined} */
  let tables;

  /** @type {Bench} */
  const bench = {
    t, api, state, notebook, storage, language, locale, pattern, unused, pans: [], place: null, board: createBoard(),
    answers: createAnswers(() => ({ work: state, trials: notebook.state.trials })),
    names: ingredientNames(labels.ingredients, async () => (await api.facts("names")).ingredients),
    isLiquid: liquidsAmong(labels.ingredients),
    units: () => unitsOf(state.units, tables),
    async learnTables() {
      const [units, pans] = await Promise.all([api.facts("units"), api.facts("pans")]);
      tables = units.quantities;
      bench.pans = pans.pans;
    },
    change(alter) { store.change(alter); page.recalculate(); },
    keep(alter) { store.change(alter); page.mark(); },
    changeNotebook(alter) { notebook.change(alter); page.recalculate(); },
    work() {
      const { version, units, ...work } = state;
      return structuredClone(work);
    },
    redraw() { page.redraw(); },
    notice(...content) { page.notice(...content); },
    showAnswers(answers) { page.showAnswers(answers); },
    async takeOver(key, text) {
      const { takeOver } = await import("../state/saved.js");
      return takeOver([store, notebook], key, text, pattern, () => page.notSaved("otherWindow"));
    },
    async switchLanguage(to) {
      try {
        storage.setItem(LANGUAGE_KEY, to);
        await import("../state/renamed.js").then(({ renameIn }) => renameIn(bench, to)).catch(() => {});     // offline: the names stay
        location.reload();
      } catch {
        page.notSaved();
      }
    },
  };
  if (state.units !== OWN_SYSTEM || state.pan.shape) await bench.learnTables();
  return bench;
}
