/** How far the scalded share can go with tonight's bread: asked while its fold is open. */

import { createAsker } from "../service/asker.js";
import { measuredTrials } from "../service/learn-requests.js";
import { LIMIT_FIGURES, reachRequest } from "../service/reach-request.js";
import { filledLines } from "../service/requests.js";
import { answerOf } from "../ui/answer.js";
import { h } from "../ui/dom.js";
import { numberField } from "../ui/fields.js";
import { doughDigits, figuresOf } from "../ui/figures.js";
import { changeSays, changed, reachSays, writeReach } from "./reach-words.js";
import { sweeten } from "./sweeten.js";

/** @typedef {import("./reach-words.js").Reach} Reach */

const PATIENCE_MS = 500;        // an answer that is not there again by then is taken away
const ROWS_SAY = new Set(["limit_not_known", "present_share_breaks", "no_limit_reached"]);         // notes that the answer says itself

/** What a change does to the work, by the field that it changes. @type {Record<string, (work: Work, value: any) => void>} */
const CHANGES = {
  scald_liquid_ratio: (work, value) => { work.water.scald_liquid_ratio = value; },
  scald_liquids: (work, value) => { work.water.scald_liquids = value; },
  hydration_percent: (work, value) => { work.water.hydration_percent = value; },
};

/** @param {Work} work @param {LimitFigure} name @param {Entry} value */
function putLimit(work, name, value) {
  const limits = { dough_mass: null, proof_minutes: null, gluten_percent: null, ...work.limits, [name]: value };
  if (Object.values(limits).every((each) => each === null)) delete work.limits;
  else work.limits = limits;
}

/** @param {Bench} bench @param {() => boolean} isOpen @param {HTMLElement} gist the answer in a line */
export function reachPart(bench, isOpen, gist) {
  const { t, state } = bench;
  /** @type {{reply: Reach, shown: Reach, of: string} | null} */
  let kept = null;
  let asked = "";               // what was asked last, answered or not
  let isAsking = false;
  let patience = 0;
  let faults = 0;
  let isShown = false;          // an answer, of these entries or of those before
  const said = h("p", { role: "status", class: "said" });
  const fields = /** @type {[LimitFigure, string][]} */ (Object.entries(LIMIT_FIGURES)).map(([name, quantity]) => numberField(bench, {
    label: t(`reach.${name}`), hint: t(`reach.${name}Hint`), quantity, optional: true, place: `reach/${name}`,
    get: () => state.limits?.[name] ?? null, set: (value) => bench.keep((work) => putLimit(work, name, value)) }));
  const answer = answerOf(bench, "reach", t("reach.answer"), (reply) => writeReach(bench, reply, { use, useShare }), null,
    () => { const { water, fill } = bench.answers.now(); return [water, fill].flatMap((each) => each ?? []); });
  /** @type {ReturnType<typeof createAsker<"share-limit">>} */
  const ask = createAsker({ ...bench, board: { ...bench.board, show: showFaults } }, "reach", {
    answered(reply, { body }) {
      isAsking = false;
      kept = { reply, shown: { ...reply, notes: reply.notes?.filter(({ code }) => !ROWS_SAY.has(code)) }, of: JSON.stringify(body) };
      follow();
    },
    old() {
      isAsking = false;
      kept = null;
      takeAway();
    },
  });

  /** What is wrong with the entries, in the words of this question. @param {string} step @param {PlacedFault[]} found */
  function showFaults(step, found) {
    const own = found.map((fault) => {
      const code = fault.code === "too_many_lines" ? "too_many_to_search" : fault.code;
      const size = 10 ** doughDigits(bench.units());
      return { ...fault, code, nearest: fault.place === "reach/dough_mass" && typeof fault.nearest === "number" ? Math.ceil(fault.nearest * size) / size : fault.nearest };
    });
    faults = own.length;
    bench.board.show(step, own);
    if (faults) takeAway();
  }

  // ---- What is asked and answered

  /** Null while what is asked depends on what the trials teach, and that is not there. */
  function request() {
    const { trials, water } = bench.answers.now();
    if (!trials && measuredTrials(bench.notebook.state.trials).length) return null;
    if (state.bread.kind === "calibration" && !state.bread.calibration) return null;
    const lines = water?.formula.lines ?? filledLines(state.formula);
    const liquids = lines.filter((line) => line.part === "dough" && bench.isLiquid(line.ingredient)).map((line) => line.ingredient);
    return reachRequest(state, bench.units(), bench.isLiquid, [...new Set(liquids)], trials?.proof);
  }

  function takeAway() {
    clearTimeout(patience);
    patience = 0;
    isShown = false;
    answer.withdraw();
    mark();
    answer.say(t(isAsking ? "answer.waiting" : faults ? "reach.faulty" : "reach.waits"));
  }
  /** An answer to the entries before can't be used. */
  function mark(isOld = false) {
    answer.node.inert = isOld;
    answer.node.classList.toggle("coming", isOld);
  }

  /** The answer is shown for the entries as they are now, and no others; what is asked already is not asked again. */
  function follow() {
    const wanted = request();
    const of = JSON.stringify(wanted?.body);
    const isThere = kept !== null && kept.of === of;
    gist.textContent = isThere && kept ? reachSays(bench, kept.reply) : "";
    mark(isShown && !isThere);
    if (isThere && kept) {
      clearTimeout(patience);
      patience = 0;
      isShown = true;
      answer.show(kept.shown);
      stop(of);
      return;
    }
    if (!wanted || !isOpen()) stop("");
    else if (asked !== of) {
      asked = of;
      isAsking = true;
      ask(wanted);
    }
    if (isShown) patience ||= setTimeout(takeAway, PATIENCE_MS);
    else takeAway();
  }

  /** Asks nothing more. @param {string} of what has its answer, or "" */
  function stop(of) {
    if (asked === of) return;
    asked = of;
    isAsking = false;
    ask(null);
  }

  /** Asks again what has no answer. */
  function draw() {
    if (!isAsking) asked = kept?.of ?? "";
    follow();
  }

  // ---- What the baker uses

  const copy = () => structuredClone({ formula: state.formula, water: state.water, share: state.share, limits: state.limits });

  /** Says what was used, and how to take it back. @param {string} words @param {ReturnType<typeof copy>} was */
  function used(words, was) {
    const after = JSON.stringify(copy());
    said.replaceChildren(words, " ", h("button", { type: "button", on: { click() {
      said.replaceChildren();
      if (JSON.stringify(copy()) !== after) return;
      bench.change((work) => {
        Object.assign(work, was);
        if (!was.limits) delete work.limits;
      });
      bench.redraw();
    } } }, t("undo.button")));
  }

  /** @param {Reach["loosenings"][0]} loosening */
  async function use(loosening) {
    const { name, value, isLimit } = changed(loosening.change);
    const was = copy();
    if (name === "sucrose_percent") {
      const done = await sweeten(bench, value).catch(() => false);
      if (!done) {
        said.textContent = t("compare.notUsed");
        return;
      }
    } else if (isLimit) {
      const limit = /** @type {LimitFigure} */ (name);
      bench.keep((work) => putLimit(work, limit, bench.units().inward(value, LIMIT_FIGURES[limit])));
      refresh();
    } else {
      bench.change((work) => CHANGES[name](work, value));
      bench.redraw();
    }
    used(t("reach.used", { change: changeSays(bench, loosening) }), was);
  }

  /** @param {number} share @param {number | undefined} gluten that it needs */
  function useShare(share, gluten) {
    const was = copy();
    const words = t("reach.usedShare", { share: figuresOf(bench).text(share, "percent") });
    bench.change((work) => {
      work.share = share;
      if (gluten !== undefined) work.water.gluten_percent = gluten;
    });
    bench.redraw();
    used(words, was);
  }

  function refresh() {
    for (const field of fields) field.refresh();
    follow();
  }

  // The page marks its answers at every change of the work and of the bake log, also of what they do not depend on.
  const main = document.querySelector("#work");
  if (main) new MutationObserver(follow).observe(main, { attributeFilter: ["data-answers"] });
  answer.say(t("answer.waiting"));
  return { nodes: [h("p", { class: "hint" }, t("reach.hint")), ...fields.map(({ node }) => node), said, answer.node], refresh, draw };
}
