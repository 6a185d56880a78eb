/** How a recipe was read: how many lines for sure, and each of them. */

import { h } from "../ui/dom.js";
import { figuresOf, table } from "../ui/figures.js";

/** How many ingredients were read, and how many of them need a look. @param {FiguresBench} bench @param {Replies["recipe-import"]} reply */
export function countsOf({ t }, { counts: { sure, likely, unsure, not_read: notRead } }) {
  const check = likely + unsure + notRead;
  return [t("import.counts", { count: sure + check }), ...(check ? [t("import.check", { check })] : [])].join(" ");
}

/** A reply of recipe-import as nodes. @param {FieldsBench} bench @param {Replies["recipe-import"]} reply @param {boolean} whole shows all lines at once */
export function readingOf(bench, reply, whole = false) {
  const { t, names } = bench;
  const { figure, range } = figuresOf(bench);
  /** @param {string} caption @param {typeof reply.lines} lines */
  const tableOf = (caption, lines) => table(caption, [[t("import.line")], [t("import.readAs")], [t("table.mass"), "number"]], lines.map((line) => [
    h("span", { lang: "" }, line.text),
    [line.ingredient ? names.label(line.ingredient) : "—", line.part === "dough" ? null : h("small", {}, ` ${t(`import.part_${line.part}`)}`),
     // The service says why in English only.
     line.sure === "sure" ? null : h("small", { class: "why" }, h("strong", {}, t(`import.${line.sure}`)),
       line.why && !t.has("foreign.working") ? `: ${line.why}` : "")],
    line.mass ? [figure(line.mass.best, "mass"), " ", range(line.mass, 0)] : "—",
  ]));
  const all = reply.lines.filter((line) => line.kind === "ingredient");
  const check = all.filter((line) => line.sure !== "sure");
  // Those that need a look first; the others are folded.
  return [
    h("p", { class: "verdict" }, t("import.counts", { count: all.length })),
    check.length && !whole ? tableOf(t("import.check", { check: check.length }), check) : null,
    whole ? tableOf(t("import.lines"), all)
      : h("details", { class: "folded" }, h("summary", {}, t("import.all")), tableOf(t("import.lines"), all)),
    reply.formula ? null : h("p", {}, t("import.noFlour")),
  ];
}
