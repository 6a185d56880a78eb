/** One panel: finds what to start from, asks the service at every change, tells the host what came of it. */

import { ingredientNames, pickLanguage, textsOf } from "../messages/messages.js";
import { Refused, Unreachable, createApi, createRunner } from "../service/api.js";
import { breadAfter, breadBefore, correctionRequest, panFillRequest, weighOutRequest } from "../service/requests.js";
import { linkOf } from "../state/link.js";
import { TIN_LOAF, fromWire, startingWork } from "../state/work.js";
import { h } from "../ui/dom.js";
import { createBoard } from "../ui/fields.js";
import { unitsOf } from "../ui/numbers.js";
import { bodyOf, headOf } from "./body.js";
import { BadStart, REFILLING, applyAttributes, readingOptions, wantedFormula } from "./start-values.js";

const PATIENCE_MS = 500;        // half a number typed is no fault yet
const TELL_MS = 1500;           // a screen reader is told once, not at every key
const RETRY_MS = 5000;
const VALUES = ["units", "pan", "bread", "share", "pans", "fill"];
// Parts of a work that the panel does not touch; the full page brings its own.
const LEFT_OUT = ["stages", "plan", "ticked", "units", "yeast_tolerance", "damaged_starch_percent"];

/** The cautions of several replies, each once. */
function cautionsIn(replies) {
  return [...new Map(replies.flatMap((reply) => reply.cautions).map((each) => [each.code, each])).values()];
}

async function job({ state, units }, ask, allAsked) {
  const wanted = units();
  const corrected = await ask("water", correctionRequest(state, wanted));
  if (!corrected) return;
  const [filled] = await Promise.all([
    ask("fill", panFillRequest(state, wanted, breadAfter(corrected))),
    ask("fill-before", panFillRequest(state, wanted, breadBefore(corrected)))]);
  if (!filled) return;
  const weighing = ask("weigh", weighOutRequest(state, wanted, corrected.formula, filled.total_dough_mass.best));
  allAsked();
  await weighing;
}

/** createPanel(host, {service, tell}): fills the host's shadow root; stop() ends it, changed(attribute) takes a new value. */
export function createPanel(host, { service, tell }) {
  const base = new URL(service, document.baseURI).href.replace(/\/$/, "");
  const api = createApi(base);
  const state = { units: "metric", ...startingWork({ stages: [], before: [], after: [] }) };
  const bench = { api, state, board: null, last: {}, change(alter) { alter(state); again(); } };
  const root = h("section", { class: "panel" });
  const unusable = new Map();       // attribute or pointer -> what is wrong with it
  let head = null;
  let body = null;
  let reckon = null;
  let retry = null;
  let stopped = false;
  let fills = 0;
  host.shadowRoot.replaceChildren(root);
  addEventListener("online", again);
  begin();

  /** Texts first, so that there is something to say; then the tables, again and again until the service is there. */
  async function begin() {
    const language = root.lang || pickLanguage([host.closest("[lang]")?.lang, ...navigator.languages].filter(Boolean));
    const facts = Promise.all([`labels?language=${language}`, "units", "pans"].map((name) => api.facts(name)));
    facts.catch(() => {});          // dealt with where it is awaited
    if (!head) await makeHead(language);
    try {
      const [labels, units, pans] = await facts;
      bench.names = ingredientNames(labels.ingredients);
      bench.units = () => unitsOf(state.units, units.quantities);
      bench.pans = pans.pans;
      if (!stopped) await fill();
    } catch (error) {
      failed(error);
    }
  }

  function failed(error) {
    if (stopped) return;
    if (!(error instanceof Unreachable)) throw error;
    lost();
    clearTimeout(retry);
    retry = setTimeout(begin, RETRY_MS);
  }

  async function makeHead(language) {
    bench.t = await textsOf(language);
    await bench.t.more();
    bench.locale = navigator.languages.find((tag) => tag.toLowerCase().startsWith(language)) ?? language;
    root.lang = language;
    head = headOf(bench, base);
    root.setAttribute("aria-labelledby", head.id);
    root.replaceChildren(...head.nodes);
  }

  /** The formula to start from, then the fields and the first answers. */
  async function fill() {
    fills += 1;
    const mine = fills;
    const over = () => stopped || mine !== fills;
    const bad = [];
    let whole = null;
    let refused = [];
    root.dataset.state = "reckoning";
    reckon?.stop();
    try {
      const wanted = wantedFormula(host);
      const formula = wanted.recipe ? await readRecipe(wanted.recipe, over) : wanted.formula ?? TIN_LOAF;
      if (over()) return;
      head.say(wanted.recipe || wanted.formula ? "" : bench.t("panel.ownLoaf"));
      if (!wanted.recipe) head.reading(null);
      if (formula) whole = await api.call("breakdown", { formula });
    } catch (error) {
      if (error instanceof BadStart) bad.push(error);
      else if (error instanceof Refused) refused = error.faults;
      else throw error;
    }
    if (over()) return;
    head.link("");
    const first = !body;
    body?.node.remove();
    body = null;
    if (whole) {
      state.formula = fromWire(whole.formula);
      state.share = Number(whole.scalded_share_percent.toPrecision(4));
      bad.push(...applyAttributes(host, first ? VALUES : ["share"], state, bench.pans));
      bench.board = createBoard();
      bench.last = {};
      body = bodyOf(bench, whole);
      head.name(state.formula.name);
      root.append(body.node);
      reckon = createRunner(bench, told(), (ask, allAsked) => job(bench, ask, allAsked));
      again();
    } else {
      root.dataset.state = "settled";
    }
    unusable.clear();
    badStart(bad, refused);
  }

  /** The page's recipe as the service reads it: how each line was read stands on the panel. */
  async function readRecipe(recipe, over) {
    const reply = await api.call("recipe-import", { recipe, ...readingOptions(host) });
    if (over()) return null;
    head.reading(reply, host.getAttribute("recipe-number") ?? "1", (number) => host.setAttribute("recipe-number", number));
    tell("reading", reply);
    return reply.formula;
  }

  /** Start values that could not be used stand on the panel and are told to the host. */
  function badStart(bad, refused = []) {
    const errors = [...bad.map(({ message, attribute, values }) => (
      { attribute, code: message, detail: bench.t(`panel.${message}`, values), lang: root.lang })), ...refused];
    for (const error of errors) unusable.set(error.attribute ?? error.pointer, error);
    head.faults([...unusable.values()]);
    if (errors.length) tell("problem", { kind: "start-value", errors });
  }

  function lost() {
    if (root.dataset.state !== "unreachable") tell("problem", { kind: "unreachable", errors: [] });
    root.dataset.state = "unreachable";
    head.link(bench.t("link.lost"));
    body?.old();
  }

  function told() {
    const faults = new Map();
    let patience = null;
    let telling = null;
    const show = () => {
      for (const [step, list] of faults) {
        bench.board.show(step, list);
        tell("problem", { kind: "refused", errors: list.map(({ place, ...fault }) => fault) });
      }
      body.showFaults();
    };
    return {
      began() { faults.clear(); clearTimeout(patience); },
      answered(step, reply) {
        if (reply.units.mass !== bench.units().unit("mass")) return;    // asked before the units were switched
        bench.last[step] = reply;
        bench.board.show(step, []);
        body.answered(step, reply);
      },
      refused(step, list) {
        if (step === "fill-before") {
          bench.last[step] = null;
          return body.answered(step);
        }
        faults.set(step, list);
        clearTimeout(patience);
        patience = setTimeout(show, PATIENCE_MS);
      },
      unreachable: lost,
      async settled() {
        head.link("");
        if (faults.size) body.old();
        else await answered();
        if (stopped) return;
        root.dataset.state = "settled";
        clearTimeout(telling);
        telling = setTimeout(() => head.told(bench.t("answer.updated")), TELL_MS);
      },
    };
  }

  async function answered() {
    const { last } = bench;
    const plan = Object.fromEntries(Object.entries(state).filter(([name]) => !LEFT_OUT.includes(name)));
    const address = `${base}/${await linkOf(plan)}`;
    if (stopped) return;
    head.plan(address);
    const cautions = cautionsIn([last.water, last.fill, last.weigh]);
    body.beware(cautions);
    tell("answer", {
      units: last.water.units, formula: last.weigh.formula, hydration_percent: last.water.hydration_percent,
      scalded_share_percent: last.water.after.scalded_share_percent,
      optimum_hydration_percent: last.water.optimum_hydration_percent, assessment: last.water.assessment,
      pans: last.fill.pans, dough_mass: last.fill.dough_mass, total_dough_mass: last.fill.total_dough_mass,
      weigh_out: last.weigh.weigh_out, weigh_out_total: last.weigh.weigh_out_total, cautions, plan: address,
    });
  }

  function again() {
    if (stopped || !body) return;
    if (root.dataset.state !== "unreachable") root.dataset.state = "reckoning";
    reckon();
  }

  return {
    stop() {
      stopped = true;
      clearTimeout(retry);
      reckon?.stop();
      removeEventListener("online", again);
    },
    /** A start value set anew while the panel is open. */
    changed(name) {
      if (!bench.pans) return;        // still starting: it will be read
      if (REFILLING.includes(name)) fill().catch(failed);
      else if (body) {
        unusable.delete(name);
        badStart(applyAttributes(host, [name], state, bench.pans));
        body.refresh();
        again();
      }
    },
  };
}
