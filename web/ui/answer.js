/** Answers as they are read: numbers and estimates, lists and tables of them, and the frame around. */

import { h } from "./dom.js";
import { faultLine } from "./fields.js";
import { showNumber } from "./numbers.js";

/** Cautions that several answers carry, each shown only where it matters. */
const HOME = { raw_flour: "formula", allergens: "formula", hot_scald: "weigh", scald_cooling: "weigh" };

/** answerOf(bench, step, label, write): write(reply, ...beside) -> nodes of the answer, beside being other replies to the same
entries; extra: nodes that stay below it; said(): replies whose notes and cautions are read elsewhere already. */
export function answerOf(bench, step, label, write, extra = [], said = () => []) {
  const { t } = bench;
  const faults = h("div", { class: "fault" });
  const state = h("p", { class: "state" });
  const body = h("div", { class: "answer-body" }, h("p", { class: "hint" }, t("answer.waiting")));
  const notes = h("ul", { class: "short-notes" });
  const cautions = h("div", {});
  const working = workingOf(bench);
  const node = h("div", { class: "answer", role: "group", "aria-label": label },
    faults, state, body, extra, notes, cautions, working.node);

  bench.board.register(step, { fault(list) { faults.replaceChildren(...list.map((each) => faultLine(bench, each))); } });

  let last = [];
  const writeBody = (replies) => body.replaceChildren(...[write(...replies)].flat(Infinity).filter(Boolean));
  return {
    node,
    show(...replies) {
      const [reply] = replies;
      node.classList.remove("old");
      state.replaceChildren();
      if (last.length && replies.every((each, index) => each === last[index])) return;
      writeBody(replies);
      last = replies;
      const read = said().flatMap((other) => [...(other.notes ?? []), ...other.cautions]).map((each) => each.code + each.text);
      const isNew = (each) => !read.includes(each.code + each.text);
      notes.replaceChildren(...(reply.notes ?? []).filter(isNew).map(({ code, text }) => (
        t.has(`notes.${code}`) ? h("li", {}, t(`notes.${code}`)) : h("li", { lang: "en" }, text))));
      const cautioned = reply.cautions.filter((caution) => (HOME[caution.code] ?? step) === step && isNew(caution));
      cautions.replaceChildren(...(cautioned.length ? [cautionsOf(bench, cautioned)] : []));
      working.update(reply);
    },
    /** Writes the same answer anew, for what it is compared with has changed. */
    redraw() {
      if (last.length) writeBody(last);
    },
    /** The answer no longer fits what is asked; it stays readable and says so. */
    old(...said) {
      if (!last.length) return;
      state.replaceChildren(...(said.length ? said : [t("answer.old")]));
      node.classList.add("old");
    },
    /** Says something above the answer, until the next one. */
    say(...words) { state.replaceChildren(...words); },
    /** Takes the answer away. */
    withdraw() {
      last = [];
      for (const each of [body, notes, cautions]) each.replaceChildren();
      working.update(null);
    },
  };
}

/** The way an answer was reckoned; what writes it is loaded when it is first opened. */
function workingOf(bench) {
  const body = h("div", { class: "working-body" });
  const node = h("details", { class: "working", hidden: true, on: { toggle: write } }, h("summary", {}, bench.t("working.title")), body);
  let reply = null;
  async function write() {
    if (!node.open || !reply) return;
    const { writeWorking } = await bench.t.moreFor(import("./working.js"));
    if (reply) writeWorking(bench, body, reply);
  }
  return {
    node,
    update(next) {
      reply = next;
      node.hidden = !reply?.working?.length;
      write();
    },
  };
}

/** Cautions: what to beware of and who decides. */
export function cautionsOf({ t }, cautions) {
  return h("div", { class: "cautions" }, h("strong", {}, t("caution.title")), h("ul", {}, cautions.map((caution) => {
    const own = t.has(`cautions.${caution.code}`);
    return h("li", { lang: own ? null : "en" }, own ? t(`cautions.${caution.code}`) : caution.text,
      h("small", {}, ` ${t("caution.defer", { who: own ? t(`cautions.${caution.code}_who`) : caution.defer_to })}`));
  })));
}

/** Writers of figures for one bench. */
export function figuresOf(bench) {
  const { t } = bench;
  const unitWord = (unit) => (t.has(`units.${unit}`) ? t(`units.${unit}`) : unit ?? "");
  const unitOf = (quantity) => (quantity in bench.units().wire ? bench.units().unit(quantity) : quantity ?? "");

  function text(value, quantity, digits) {
    const unit = unitWord(unitOf(quantity));
    return `${showNumber(value, bench.locale, digits)}${unit ? `\u00a0${unit}` : ""}`;
  }

  /** A number with its unit; — when there is none. */
  function figure(value, quantity, digits) {
    if (value === null || value === undefined) return h("span", { class: "figure" }, "—");
    return h("data", { class: "figure", value: String(value) }, text(value, quantity, digits));
  }

  /** An estimate: its best value, then its band and what it rests on in words. */
  function estimate(value, quantity, digits) {
    return [figure(value.best, quantity, digits), " ", band(value, quantity, digits)];
  }

  function band(value, quantity, digits) {
    const [low, high] = [value.low, value.high].map((each) => showNumber(each, bench.locale, digits));
    return h("span", { class: "band" },
      low === high ? t("estimate.sure", { evidence: t(`evidence.${value.evidence}`) })
        : t("estimate.band", { low, high: text(value.high, quantity, digits), evidence: t(`evidence.${value.evidence}`) }));
  }

  /** A mass in a table, each with the same decimals. */
  const weight = (value) => figure(value, "mass", { g: 1, oz: 2 }[bench.units().unit("mass")]);

  /** The band alone, for tables. */
  function range(value, digits) {
    const [low, high] = [value.low, value.high].map((each) => showNumber(each, bench.locale, digits));
    return low === high ? null : h("span", { class: "band" }, t("estimate.range", { low, high }));
  }

  return { text, figure, estimate, band, range, weight, unitWord };
}

/** A list of figures: [term, content, extra class]. */
export function figureList(rows) {
  return h("dl", { class: "figures" }, rows.filter(Boolean).map(([term, content, kind]) =>
    h("div", { class: kind }, h("dt", {}, term), h("dd", {}, content))));
}

/** A table with a caption and a header row; columns: [label, class]. rows: [cells], or {group: "heading"}. */
export function table(caption, columns, rows, foot = []) {
  const line = (row) => {
    if (row.group) return h("tr", { class: "group" }, h("th", { scope: "rowgroup", colspan: columns.length }, row.group));
    return h("tr", {}, row.map((cell, index) =>
      (index === 0 ? h("th", { scope: "row" }, cell) : h("td", { class: columns[index][1] }, cell))));
  };
  return h("div", { class: "table", role: "region", tabindex: "0", "aria-label": caption },
    h("table", {}, h("caption", {}, caption),
      h("thead", {}, h("tr", {}, columns.map(([label, kind]) => h("th", { scope: "col", class: kind }, label)))),
      h("tbody", {}, rows.map(line)), foot.length ? h("tfoot", {}, foot.map(line)) : null));
}
