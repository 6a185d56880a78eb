/** An answer's frame: faults on top, the last answer, what to beware of, and the working. */

import { h } from "./dom.js";
import { faultLine } from "./fields.js";
import { workingOf } from "./working.js";

/** Cautions that several answers carry, each shown only where it matters. */
const HOME = { raw_flour: "formula", allergens: "formula", hot_scald: "weigh", scald_cooling: "weigh" };

/** answerOf(bench, step, label, write): write(reply) -> nodes of the answer; extra: nodes that stay below it;
said(): replies whose notes and cautions are read elsewhere already. */
export function answerOf(bench, step, label, write, extra = [], said = () => []) {
  const { t } = bench;
  const faults = h("div", { class: "fault" });
  const state = h("p", { class: "state" });
  const body = h("div", { class: "answer-body" }, h("p", { class: "hint" }, t("answer.waiting")));
  const notes = h("ul", { class: "short-notes", lang: "en" });
  const cautions = h("div", {});
  const working = workingOf(bench);
  const node = h("div", { class: "answer", role: "group", "aria-label": label },
    faults, state, body, extra, notes, cautions, working.node);

  bench.board.register(step, { fault(list) { faults.replaceChildren(...list.map((each) => faultLine(bench, each))); } });

  let last = null;
  return {
    node,
    show(reply) {
      last = reply;
      node.classList.remove("old");
      state.replaceChildren();
      body.replaceChildren(...[write(reply)].flat(Infinity).filter(Boolean));
      const read = said().flatMap((other) => [...(other.notes ?? []), ...other.cautions]).map((each) => each.code + each.text);
      const isNew = (each) => !read.includes(each.code + each.text);
      notes.replaceChildren(...(reply.notes ?? []).filter(isNew).map((note) => h("li", {}, note.text)));
      const cautioned = reply.cautions.filter((caution) => (HOME[caution.code] ?? step) === step && isNew(caution));
      cautions.replaceChildren(...(cautioned.length ? [cautionsOf(bench, cautioned)] : []));
      working.update(reply);
    },
    /** Writes the same answer anew, for what it is compared with has changed. */
    redraw() {
      if (last) body.replaceChildren(...[write(last)].flat(Infinity).filter(Boolean));
    },
    /** The answer no longer fits what is asked; it stays readable and says so. */
    old() {
      if (!node.classList.contains("old")) state.textContent = t("answer.old");
      node.classList.add("old");
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
