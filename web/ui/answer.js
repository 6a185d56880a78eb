/** An answer with its faults, notes, cautions and working. */

import { h, setNodes } from "./dom.js";
import { writeFaults } from "./fields.js";
import { figuresOf } from "./figures.js";

const MOST_NOTES = 1;           // the others are folded

/** extra stays below what write() writes; said: replies whose notes and cautions are shown elsewhere.
@param {FieldsBench} bench @param {string} step @param {string} label @param {(...replies: any[]) => Child} write @param {Child} extra
@param {() => {notes?: Said[], cautions: Said[]}[]} said @returns {Answer} */
export function answerOf(bench, step, label, write, extra = null, said = () => []) {
  const { t } = bench;
  const faults = h("div", { class: "fault" });
  const state = h("p", { class: "state" });
  const body = h("div", { class: "answer-body" }, h("p", { class: "hint" }, t("answer.waiting")));
  const notes = h("ul", { class: "short-notes" });
  const furtherNotes = h("ul", { class: "short-notes" });
  const further = h("details", { class: "folded", hidden: true }, h("summary", {}), furtherNotes);
  const cautions = h("div", {});
  const working = workingOf(bench);
  const node = h("div", { class: "answer", role: "group", "aria-label": label },
    faults, state, body, extra, cautions, notes, further, working.node);
  bench.board.register(step, { fault(list) { writeFaults(bench, faults, list); } });

  /** @type {any[]} */
  let last = [];
  const writeBody = () => setNodes(body, write(...last));
  return {
    node,
    show(...replies) {
      const [reply] = replies;
      node.classList.remove("old");
      state.replaceChildren();
      if (last.length && replies.every((each, index) => each === last[index])) return false;
      last = replies;
      writeBody();
      const read = said().flatMap((other) => [...(other.notes ?? []), ...other.cautions]).map((each) => each.code + each.text);
      const isNew = (/** @type {Said} */ each) => !read.includes(each.code + each.text);
      const noted = (reply.notes ?? []).filter(isNew);
      const cautioned = reply.cautions.filter((/** @type {Caution} */ each) => AT_HAND[each.code] === step && step !== "weigh" && isNew(each));
      const again = () => { if (last[0] === reply) writeSaid(noted, cautioned); };
      writeSaid([], cautioned);
      // Without a connection the service's own words stay.
      if (noted.length) import("./said.js").then(({ sayNotes }) => sayNotes(bench, noted, again)).catch(again);
      working.update(reply);
      return true;
    },
    redraw() {
      if (last.length) writeBody();
    },
    old(...words) {
      if (!last.length) return;
      state.replaceChildren(...(words.length ? words : [t("answer.old")]));
      node.classList.add("old");
    },
    say(...words) {
      if (state.textContent !== words.map((word) => (typeof word === "string" ? word : word.textContent)).join("")) state.replaceChildren(...words);
    },
    withdraw() {
      last = [];
      for (const each of [body, notes, furtherNotes, cautions]) each.replaceChildren();
      further.hidden = true;
      working.update(null);
    },
  };

  /** @param {Said[]} noted @param {Caution[]} cautioned */
  function writeSaid(noted, cautioned) {
    notes.replaceChildren(...noted.slice(0, MOST_NOTES).map(noteOf));
    furtherNotes.replaceChildren(...noted.slice(MOST_NOTES).map(noteOf));
    further.hidden = noted.length <= MOST_NOTES;
    /** @type {Element} */ (further.firstElementChild).textContent = t("answer.notes", { count: noted.length - MOST_NOTES });
    cautions.replaceChildren(...cautioned.map((caution) => careLine(bench, caution)));
  }

  /** @param {Said} note */
  function noteOf({ text, own }) {
    return h("li", { lang: own ? null : "en" }, own ?? text);
  }
}

/** @param {FieldsBench} bench */
function workingOf(bench) {
  const body = h("div", { class: "working-body" });
  const node = h("details", { class: "working", hidden: true, on: { toggle: write } }, h("summary", {}, bench.t("working.title")), body);
  /** @type {Reply | null} */
  let reply = null;
  async function write() {
    if (!node.open || !reply) return;
    const { writeWorking } = await bench.t.moreFor(import("./working.js"));
    if (reply) writeWorking(bench, body, reply);
  }
  return {
    node,
    /** @param {Reply | null} next */
    update(next) {
      reply = next;
      node.hidden = !reply?.working?.length;
      write();
    },
  };
}

/** Why there is nothing to weigh. @param {Texts} t @param {Map<Step, PlacedFault[]>} faults @param {boolean} lost @returns {Why} */
export function nothingToWeigh(t, faults, lost) {
  const count = new Set([...faults.values()].flat().map((fault) => fault.place)).size;
  return { matter: t("weigh.old"), fault: count > 0, hopeless: count > 0 || lost,
           toDo: count === 1 ? t("weigh.fixOne") : count ? t("weigh.fix", { count }) : t(lost ? "weigh.offline" : "answer.waiting") };
}

// ---- Cautions: one line where the hand is, with the whole text behind it

/** The step beside which a caution is said; Safety has all. @type {Record<string, string>} */
export const AT_HAND = { hot_scald: "weigh", overfilled_pan: "weigh", honey_infants: "weigh", allergens: "formula", scald_cooling: "plan" };

const TEMPERATURE = /(burn|from|to|low|high)$/;

/** The numbers of a caution, written. @param {FiguresBench} bench @param {Caution} caution */
export function numbersOf(bench, { values = {} }) {
  const { text } = figuresOf(bench);
  return Object.fromEntries(Object.entries(values).map(([name, value]) =>
    [name, typeof value === "number" ? text(value, TEMPERATURE.test(name) ? "temperature" : "", 0) : value]));
}

/** The words of a caution, and who decides. @param {FiguresBench} bench @param {Caution} caution */
export function cautionText(bench, caution) {
  const { t } = bench;
  const { code, text, defer_to: who } = caution;
  const own = t.has(`cautions.${code}`);
  return { lang: own ? null : "en", text: own ? t(`cautions.${code}`, numbersOf(bench, caution)) : text, who: own ? t(`cautions.${code}_who`) : who };
}

/** @param {FiguresBench} bench @param {Caution} caution */
export function careLine(bench, caution) {
  const { t } = bench;
  const whole = h("p", {});
  async function write() {
    await t.more().catch(() => {});         // without a connection the service's own words stay
    const { lang, text, who } = cautionText(bench, caution);
    whole.lang = lang ?? "";
    whole.replaceChildren(`${text} `, h("small", {}, t("caution.defer", { who })));
  }
  return h("details", { class: "care", on: { toggle: write } }, h("summary", {}, t(`care.${caution.code}`, numbersOf(bench, caution))), whole);
}
