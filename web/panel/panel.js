/** One panel: finds what to start from, calls the service at every change, and reports to the host. */

import { ingredientNames, localeOf, pickLanguage, textsOf } from "../messages/messages.js";
import { Refused, Runner, Unreachable, createApi } from "../service/api.js";
import { breadAfter, breadBefore, correctionRequest, liquidsAmong, panFillRequest, weighOutRequest } from "../service/requests.js";
import { linkOf } from "../state/link.js";
import { TIN_LOAF, fromWire, startingWork } from "../state/work.js";
import { nothingToWeigh } from "../ui/answer.js";
import { h } from "../ui/dom.js";
import { createBoard } from "../ui/fields.js";
import { unitsOf } from "../ui/numbers.js";
import { bodyOf, headOf } from "./body.js";
import { formulaOf, undecided, withDecided } from "./deciding.js";
import { BadStart, REFILLING, applyAttributes, readingOptions, wantedFormula } from "./start-values.js";

const PATIENCE_MS = 500;        // half a number is no fault yet: faults, and taking amounts away, wait for a pause in typing
const ANNOUNCE_MS = 1500;       // a screen reader hears of new answers once, not at every key
const RETRY_MS = 5000;
const VALUES = ["units", "pan", "bread", "share", "pans", "fill"];
// Parts of a work that the panel does not touch; the full page brings its own.
const LEFT_OUT = ["stages", "plan", "ticked", "units", "yeast_tolerance", "damaged_starch_percent"];

/** @typedef {(what: string, detail: object) => void} Tell reports to the host, in an event */
/** @typedef {Fault & {attribute?: string}} StartFault of an attribute, or of the formula in one */

/** The calls of a panel, first those that others wait for. @param {PanelBench} bench @returns {Job} */
const jobOf = ({ state, units, isLiquid }) => async (ask, allAsked) => {
  const wanted = units();
  const corrected = await ask("water", correctionRequest(state, wanted, isLiquid));
  if (!corrected) return;
  const [filled] = await Promise.all([
    ask("fill", panFillRequest(state, wanted, breadAfter(corrected))),
    ask("fill-before", panFillRequest(state, wanted, breadBefore(corrected)))]);
  if (!filled) return;
  const weighing = ask("weigh", weighOutRequest(state, wanted, corrected.formula, filled.total_dough_mass.best));
  allAsked();
  await weighing;
};

/** Fills the shadow root of a host element. @implements {Listener} */
export class Panel {
  #host;
  /** @type {Tell} */
  #tell;
  #base;
  #root = h("section", { class: "panel" });
  /** @type {Map<string, StartFault>} */
  #unusable = new Map();          // attribute or pointer -> what is wrong with it
  /** @type {PanelBench} */
  #bench;
  /** @type {ReturnType<typeof headOf>} */
  #head;
  /** @type {ReturnType<typeof bodyOf> | null} */
  #body = null;
  /** @type {Runner | null} */
  #runner = null;
  /** @type {Map<Step, PlacedFault[]>} */
  #faults = new Map();            // of the newest run
  #timers = { retry: 0, faults: 0, withdraw: 0, announce: 0 };
  #ready = false;
  #stopped = false;
  #fills = 0;
  #deciding = undecided("", () => {});
  /** @type {Entry} */
  #startShare = null;
  #changed = false;               // since the newest run began
  #again = () => this.again();

  /** @param {HTMLElement} host @param {{service: string, tell: Tell}} options */
  constructor(host, { service, tell }) {
    this.#host = host;
    this.#tell = tell;
    this.#base = new URL(service, document.baseURI).href.replace(/\/$/, "");
    host.shadowRoot?.replaceChildren(this.#root);
    addEventListener("online", this.#again);
    this.#begin(createApi(this.#base));
  }

  stop() {
    this.#stopped = true;
    for (const timer of Object.values(this.#timers)) clearTimeout(timer);
    this.#runner?.stop();
    removeEventListener("online", this.#again);
  }

  /** Takes a start value that is set while the panel is open. @param {string} name */
  changed(name) {
    if (!this.#ready) return;       // still starting: it will be read
    if (REFILLING.includes(name)) {
      this.#fill().catch((error) => this.#failed(error));
    } else if (this.#body) {
      this.#unusable.delete(name);
      this.#badStart(applyAttributes(this.#host, [name], this.#bench.state, this.#bench.pans));
      this.#body.refresh();
      this.again();
    }
  }

  again() {
    if (this.#stopped || !this.#body) return;
    if (this.#root.dataset.state !== "unreachable") this.#root.dataset.state = "calculating";
    this.#changed = true;
    if (this.#bench.last.weigh) this.#withdrawSoon();
    this.#runner?.again();
  }

  #withdrawSoon() {
    this.#timers.withdraw ||= setTimeout(() => this.#withdraw(), PATIENCE_MS);
  }

  /** Loads the texts first, so that there is something to say; then the facts, again and again until the service is there.
  @param {Api} api */
  async #begin(api) {
    const facts = Promise.all([api.facts(`labels?language=${this.language}`), api.facts("units"), api.facts("pans")]);
    facts.catch(() => {});          // handled where it is awaited
    if (!this.#bench) await this.#makeHead(api);
    try {
      const [labels, units, { pans }] = await facts;
      const bench = this.#bench;
      bench.names = ingredientNames(labels.ingredients);
      bench.isLiquid = liquidsAmong(labels.ingredients);
      bench.units = () => unitsOf(bench.state.units, units.quantities);
      bench.pans = pans;
      this.#ready = true;
      if (!this.#stopped) await this.#fill();
    } catch (error) {
      this.#failed(error);
    }
  }

  /** @param {unknown} error */
  #failed(error) {
    if (this.#stopped) return;
    if (!(error instanceof Unreachable)) throw error;
    this.unreachable();
    clearTimeout(this.#timers.retry);
    this.#timers.retry = setTimeout(() => this.#begin(this.#bench.api), RETRY_MS);
  }

  /** The one it speaks, or will. */
  get language() {
    const /** @type {HTMLElement | null} */ around = this.#host.closest("[lang]");
    return pickLanguage([this.#root.lang, around?.lang, ...navigator.languages]);
  }

  /** @param {Api} api */
  async #makeHead(api) {
    const language = this.language;
    const /** @type {HTMLElement | null} */ around = this.#host.closest("[lang]");
    const locale = localeOf(language, navigator.languages);
    const t = await textsOf(language, localeOf(language, [around?.lang ?? "", ...navigator.languages]));
    await t.more();
    /** @type {State} */
    const state = { units: "metric", ...startingWork({ stages: [], before: [], after: [] }) };
    this.#bench = {
      t, api, state, locale, board: createBoard(), last: {}, pans: [], names: ingredientNames([]), isLiquid: () => false, units: () => unitsOf("metric"),
      change: (alter) => { alter(state); this.again(); },
    };
    this.#head = headOf(this.#bench, this.#base);
    this.#root.lang = t.lang;
    this.#root.setAttribute("aria-labelledby", this.#head.id);
    this.#root.replaceChildren(...this.#head.nodes);
  }

  /** Finds the formula to start from, then makes the fields and asks for the first answers. @param {Entry} [share] that the reader chose */
  async #fill(share = null) {
    this.#fills += 1;
    const mine = this.#fills;
    const over = () => this.#stopped || mine !== this.#fills;
    const { api } = this.#bench;
    /** @type {BadStart[]} */
    const bad = [];
    /** @type {ProblemFault[]} */
    let refused = [];
    let whole = null;
    this.#root.dataset.state = "calculating";
    this.#runner?.stop();
    try {
      const formula = await this.#formula(over);
      if (over()) return;
      if (formula) whole = await api.call("breakdown", { formula });
    } catch (error) {
      if (error instanceof BadStart) bad.push(error);
      else if (error instanceof Refused) refused = error.faults;
      else throw error;
    }
    if (over()) return;
    this.#head.link("");
    const names = this.#body ? ["share"] : VALUES;
    this.#body?.node.remove();
    this.#body = null;
    if (whole) bad.push(...this.#open(whole, names, share));
    else this.#root.dataset.state = "settled";
    this.#unusable.clear();
    this.#badStart(bad, refused);
  }

  /** The formula that the host wants; null for a recipe without one. @param {() => boolean} over */
  async #formula(over) {
    const wanted = wantedFormula(this.#host);
    const formula = wanted.recipe ? await this.#readRecipe(wanted.recipe, over) : wanted.formula ?? TIN_LOAF;
    if (over()) return null;
    this.#head.say(wanted.recipe || wanted.formula ? "" : this.#bench.t("panel.ownLoaf"));
    if (!wanted.recipe) this.#head.reading(null);
    return formula;
  }

  /** @param {unknown} recipe @param {() => boolean} over */
  async #readRecipe(recipe, over) {
    const host = this.#host;
    const said = readingOptions(host);
    const of = JSON.stringify([recipe, said]);
    if (this.#deciding.of !== of) this.#deciding = undecided(of, () => this.#decided());
    const deciding = this.#deciding;
    const { recipe_number: number, ...reading } = await withDecided(deciding, said);
    if (over()) return null;
    const reply = await this.#bench.api.call("recipe-import", { recipe, ...reading, ...(number === undefined ? {} : { recipe_number: number }) });
    if (over()) return null;
    const formula = await formulaOf(deciding, reply);
    if (over()) return null;
    this.#head.reading(reply, deciding, host.getAttribute("recipe-number") ?? "1", (choice) => host.setAttribute("recipe-number", choice));
    this.#tell("reading", { ...reply, reading });
    return formula;
  }

  /** Reads the recipe again, now that the reader has decided something about it. The share stays where the reader put it. */
  #decided() {
    const { share } = this.#bench.state;
    const moved = this.#body && share !== this.#startShare ? share : null;
    this.#fill(moved).catch((error) => this.#failed(error));
  }

  /** Makes the fields for a formula and the attributes named; returns those that can't be used.
  @param {Answers["formula"]} whole @param {string[]} names @param {Entry} share */
  #open(whole, names, share) {
    const bench = this.#bench;
    bench.state.formula = fromWire(whole.formula);
    bench.state.share = Number(whole.scalded_share_percent.toPrecision(4));
    const bad = applyAttributes(this.#host, names, bench.state, bench.pans);
    this.#startShare = bench.state.share;
    if (share !== null) bench.state.share = share;
    bench.board = createBoard();
    bench.last = {};
    this.#faults.clear();
    this.#body = bodyOf(bench, whole);
    this.#head.name(bench.state.formula.name);
    this.#root.append(this.#body.node);
    this.#runner = new Runner(bench.api, this, jobOf(bench));
    this.again();
    return bad;
  }

  /** Shows start values that can't be used, and reports them. @param {BadStart[]} bad @param {ProblemFault[]} refused */
  #badStart(bad, refused = []) {
    /** @type {StartFault[]} */
    const errors = [...bad.map(({ message, attribute, values }) => (
      { attribute, code: message, detail: this.#bench.t(`panel.${message}`, values), lang: this.#root.lang })), ...refused];
    for (const error of errors) this.#unusable.set(error.attribute ?? error.pointer ?? "", error);
    this.#head.faults([...this.#unusable.values()]);
    if (errors.length) this.#tell("problem", { kind: "start-value", errors });
  }

  began() {
    this.#changed = false;
    this.#faults.clear();
    clearTimeout(this.#timers.faults);
  }

  /** @param {Step} step @param {any} reply */
  answered(step, reply) {
    const bench = this.#bench;
    if (reply.units.mass !== bench.units().unit("mass")) return;    // asked before the units were switched
    Object.assign(bench.last, { [step]: reply });
    bench.board.show(step, []);
    this.#body?.answered(step, reply);
    if (step !== "weigh") return;
    this.#waitAgain();
    if (this.#changed) this.#withdrawSoon();
  }

  /** @param {Step} step @param {PlacedFault[]} list */
  refused(step, list) {
    if (step === "fill-before") {
      this.#bench.last[step] = null;
      return this.#body?.answered(step);
    }
    this.#faults.set(step, list);
    clearTimeout(this.#timers.faults);
    this.#timers.faults = setTimeout(() => this.#showFaults(), PATIENCE_MS);
  }

  #showFaults() {
    for (const [step, list] of this.#faults) {
      this.#bench.board.show(step, list);
      this.#tell("problem", { kind: "refused", errors: list.map(({ place, ...fault }) => fault) });
    }
    this.#body?.showFaults();
    this.#withdraw();
  }

  unreachable() {
    if (this.#root.dataset.state !== "unreachable") this.#tell("problem", { kind: "unreachable", errors: [] });
    this.#root.dataset.state = "unreachable";
    this.#head.link(this.#bench.t("link.lost"));
    this.#withdraw();
  }

  async settled() {
    this.#head.link("");
    if (this.#faults.size) this.#body?.old();
    else await this.#tellAnswer();
    if (this.#stopped) return;
    this.#root.dataset.state = "settled";
    clearTimeout(this.#timers.announce);
    this.#timers.announce = setTimeout(() => this.#announce(), ANNOUNCE_MS);
  }

  #waitAgain() {
    clearTimeout(this.#timers.withdraw);
    this.#timers.withdraw = 0;
  }

  /** Takes the amounts away: they are for other entries. */
  #withdraw() {
    this.#waitAgain();
    this.#head.plan("");
    this.#body?.old();
    this.#body?.withdraw(this.#why());
  }

  #why() {
    return nothingToWeigh(this.#bench.t, this.#faults, this.#root.dataset.state === "unreachable");
  }

  #announce() {
    const { matter, toDo } = this.#why();
    this.#head.announce(this.#faults.size ? `${matter} ${toDo}` : this.#bench.t("answer.updated"));
  }

  async #tellAnswer() {
    const { state, last: { water, fill, weigh } } = this.#bench;
    if (!water || !fill || !weigh) return;
    this.#waitAgain();
    const plan = { ...Object.fromEntries(Object.entries(state).filter(([name]) => !LEFT_OUT.includes(name))), untimed: state.formula.name !== TIN_LOAF.name };
    const address = `${this.#base}/${await linkOf(plan)}`;
    if (this.#stopped) return;
    this.#head.plan(address);
    const cautions = [...new Map([water, fill, weigh].flatMap((reply) => reply.cautions).map((each) => [each.code, each])).values()];
    this.#body?.beware(cautions);
    this.#tell("answer", {
      units: water.units, formula: weigh.formula, hydration_percent: water.hydration_percent,
      scalded_share_percent: water.after.scalded_share_percent, optimum_hydration_percent: water.optimum_hydration_percent,
      assessment: water.assessment, pans: fill.pans, dough_mass: fill.dough_mass, total_dough_mass: fill.total_dough_mass,
      weigh_out: weigh.weigh_out, weigh_out_total: weigh.weigh_out_total, cautions, plan: address,
    });
  }
}
