/** How a recipe was read: how many lines for sure, and each of them. */

import { h } from "../ui/dom.js";
import { figuresOf, table } from "../ui/figures.js";

/** How many ingredients were read, and how surely. @param {FiguresBench} bench @param {Replies["recipe-import"]} reply */
export function countsOf({ t }, { counts }) {
  return t("import.counts", { sure: counts.sure, likely: counts.likely, unsure: counts.unsure, notRead: counts.not_read });
}

/** A reply of recipe-import as nodes. @param {FieldsBench} bench @param {Replies["recipe-import"]} reply */
export function readingOf(bench, reply) {
  const { t, names } = bench;
  const { figure, range } = figuresOf(bench);
  const rows = reply.lines.filter((line) => line.kind === "ingredient").map((line) => [
    h("span", { lang: "" }, line.text),
    [line.ingredient ? names.label(line.ingredient) : "—", line.part === "dough" ? null : h("small", {}, ` ${t(`import.part_${line.part}`)}`),
     // The service says why in English only.
     line.sure === "sure" ? null : h("small", { class: "why" }, h("strong", {}, t(`import.${line.sure}`)),
       line.why && !t.has("foreign.working") ? `: ${line.why}` : "")],
    line.mass ? [figure(line.mass.best, "mass"), " ", range(line.mass, 0)] : "—",
  ]);
  return [
    h("p", { class: "verdict" }, countsOf(bench, reply)),
    table(t("import.lines"), [[t("import.line")], [t("import.readAs")], [t("table.mass"), "number"]], rows),
    reply.formula ? null : h("p", {}, t("import.noFlour")),
  ];
}
