/** The frame of an answer: its faults, notes, cautions and working around what a section writes. */

import { append, h } from "./dom.js";
import { writeFaults } from "./fields.js";

/** The one answer that shows a caution which several carry. @type {Record<string, string>} */
const HOME = { raw_flour: "formula", allergens: "formula", hot_scald: "weigh", scald_cooling: "weigh" };

/** extra stays below what write() writes; said: replies whose notes and cautions are shown elsewhere.
@param {FieldsBench} bench @param {string} step @param {string} label @param {(...replies: any[]) => Child} write @param {Child} extra
@param {() => {notes?: Said[], cautions: Said[]}[]} said @returns {Answer} */
export function answerOf(bench, step, label, write, extra = null, said = () => []) {
  const { t } = bench;
  const faults = h("div", { class: "fault" });
  const state = h("p", { class: "state" });
  const body = h("div", { class: "answer-body" }, h("p", { class: "hint" }, t("answer.waiting")));
  const notes = h("ul", { class: "short-notes" });
  const cautions = h("div", {});
  const working = workingOf(bench);
  const node = h("div", { class: "answer", role: "group", "aria-label": label },
    faults, state, body, extra, notes, cautions, working.node);
  bench.board.register(step, { fault(list) { writeFaults(bench, faults, list); } });

  /** @type {any[]} */
  let last = [];
  const writeBody = () => { body.replaceChildren(); append(body, [write(...last)]); };
  return {
    node,
    show(...replies) {
      const [reply] = replies;
      node.classList.remove("old");
      state.replaceChildren();
      if (last.length && replies.every((each, index) => each === last[index])) return;
      last = replies;
      writeBody();
      const read = said().flatMap((other) => [...(other.notes ?? []), ...other.cautions]).map((each) => each.code + each.text);
      const isNew = (/** @type {Said} */ each) => !read.includes(each.code + each.text);
      const noted = (reply.notes ?? []).filter(isNew);
      const cautioned = reply.cautions.filter((/** @type {Caution} */ each) => (HOME[each.code] ?? step) === step && isNew(each));
      const isForeign = t.has("foreign.working");
      writeSaid(isForeign ? [] : noted, cautioned);
      const again = () => { if (last[0] === reply) writeSaid(noted, cautioned); };
      if (isForeign) import("./said.js").then(({ sayNotes }) => sayNotes(bench, noted, cautioned, again)).catch(again);
      working.update(reply);
    },
    redraw() {
      if (last.length) writeBody();
    },
    old(...words) {
      if (!last.length) return;
      state.replaceChildren(...(words.length ? words : [t("answer.old")]));
      node.classList.add("old");
    },
    say(...words) { state.replaceChildren(...words); },
    withdraw() {
      last = [];
      for (const each of [body, notes, cautions]) each.replaceChildren();
      working.update(null);
    },
  };

  /** @param {Said[]} noted @param {Caution[]} cautioned */
  function writeSaid(noted, cautioned) {
    notes.replaceChildren(...noted.map(noteOf));
    cautions.replaceChildren(...(cautioned.length ? [cautionsOf(bench, cautioned)] : []));
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

/** @param {FiguresBench} bench @param {Caution[]} cautions */
export function cautionsOf({ t }, cautions) {
  return h("div", { class: "cautions" }, h("strong", {}, t("caution.title")), h("ul", {}, cautions.map((caution) => {
    const own = t.has(`cautions.${caution.code}`);
    return h("li", { lang: own ? null : "en" }, own ? t(`cautions.${caution.code}`) : caution.text,
      h("small", {}, ` ${t("caution.defer", { who: own ? t(`cautions.${caution.code}_who`) : caution.defer_to })}`));
  })));
}

/** Why there is nothing to weigh. @param {Texts} t @param {Map<Step, PlacedFault[]>} faults @param {boolean} lost @returns {Why} */
export function nothingToWeigh(t, faults, lost) {
  const count = new Set([...faults.values()].flat().map((fault) => fault.place)).size;
  return { matter: t("weigh.old"), fault: count > 0, hopeless: count > 0 || lost,
           toDo: count === 1 ? t("weigh.fixOne") : count ? t("weigh.fix", { count }) : t(lost ? "weigh.offline" : "answer.waiting") };
}
