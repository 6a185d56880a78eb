/** Step one: the formula, seen whole. */

import { answerOf } from "./answer.js";
import { figureList, figuresOf, table } from "./figures.js";
import { formulaEditor } from "./formula-editor.js";
import { folded, section } from "./section.js";
import { h } from "./dom.js";

export function formulaSection(bench) {
  const { t, names } = bench;
  const editor = formulaEditor(bench);
  const paste = folded(t("import.title"));
  const room = paste.lastChild;
  paste.addEventListener("toggle", async () => {
    if (!paste.open || room.childNodes.length) return;
    const { importPanel } = await import("./import-panel.js");
    room.replaceChildren(importPanel(bench, () => { paste.open = false; paste.firstChild.focus(); }));
  });

  function write(reply) {
    const { figure, weight } = figuresOf(bench);
    const percent = (value) => figure(value, "percent", 1);
    return [
      figureList([
        [t("whole.dough"), figure(reply.totals.dough, "mass"), "main"],
        [t("whole.flour"), figure(reply.totals.flour, "mass"), "main"],
        [t("whole.share"), percent(reply.scalded_share_percent), "main"],
        [t("whole.hydration"), percent(reply.hydration_percent), "main"],
        [t("whole.liquid"), percent(reply.liquid_percent)],
        [t("whole.ratio"), reply.scald.liquid_ratio === null ? "—" : ["1 : ", figure(reply.scald.liquid_ratio, "number")]],
        [t("whole.scaldMoisture"), percent(reply.scald.moisture_percent)],
        [t("whole.sugar"), percent(reply.sugar_percent)],
        [t("whole.fat"), percent(reply.fat_percent)],
        [t("whole.salt"), percent(reply.salt_percent)],
        [t("whole.yeast"), percent(reply.instant_yeast_percent)],
      ]),
      h("details", { class: "folded" }, h("summary", {}, t("whole.lines")), table(
        t("whole.lines"),
        [[t("table.ingredient")], [t("table.mass"), "number"], [t("table.ofFlour"), "number"], [t("table.ofDough"), "number"]],
        reply.formula.lines.map((line) => [
          [names.label(line.ingredient), line.part === "scald" ? h("small", {}, ` ${t("part.scald")}`) : null],
          weight(line.mass), percent(line.percent), percent(line.percent_of_dough)]),
        [[t("table.total"), weight(reply.totals.dough), percent(reply.total_percent), percent(100)]])),
      reply.allergens.length ? h("p", {}, h("strong", {}, `${t("whole.allergens")} `),
        reply.allergens.map(({ allergen, from }) => `${t.has(`allergens.${allergen}`) ? t(`allergens.${allergen}`) : allergen} (${
          from.map(names.label).join(", ")})`).join("; ")) : null,
    ];
  }

  const answer = answerOf(bench, "formula", t("whole.title"), write);
  return {
    step: "formula", answer, refresh: editor.refresh,
    node: section("formula", t("formula.title"), [paste, editor.node, names.list], answer, { intro: t("formula.intro") }),
  };
}
