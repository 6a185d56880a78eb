/** How a recipe was read: how many lines how surely, and each of them. */

import { figuresOf, table } from "../ui/answer.js";
import { h } from "../ui/dom.js";

/** How many ingredients were read how, in words. */
export function countsOf({ t }, { counts }) {
  return t("import.counts", { sure: counts.sure, likely: counts.likely, unsure: counts.unsure, notRead: counts.not_read });
}

/** A reply of recipe-import as nodes. */
export function readingOf(bench, reply) {
  const { t, names } = bench;
  const { figure, range } = figuresOf(bench);
  const rows = reply.lines.filter((line) => line.kind === "ingredient").map((line) => [
    h("span", { lang: "" }, line.text),
    [line.ingredient ? names.label(line.ingredient) : "—", line.part === "dough" ? null : h("small", {}, ` ${t(`import.part_${line.part}`)}`),
     line.sure === "sure" ? null : h("small", { class: "why", lang: "en" }, h("strong", {}, t(`import.${line.sure}`)), line.why ? `: ${line.why}` : "")],
    line.mass ? [figure(line.mass.best, "mass"), " ", range(line.mass, 0)] : "—",
  ]);
  return [
    h("p", { class: "verdict" }, countsOf(bench, reply)),
    table(t("import.lines"), [[t("import.line")], [t("import.readAs")], [t("table.mass"), "number"]], rows),
    reply.formula ? null : h("p", {}, t("import.noFlour")),
  ];
}
