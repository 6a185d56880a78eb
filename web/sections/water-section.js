/** The water that follows the scalded share. */

import { answerOf } from "../ui/answer.js";
import { folded, h } from "../ui/dom.js";
import { figuresOf } from "../ui/figures.js";
import { section } from "../ui/layout.js";
import { waterSays } from "../ui/said.js";
import { figureList, table } from "../ui/tables.js";

/** @typedef {Answers["water"]["formula"]["lines"]} Lines */

/** The lines of two formulas side by side, in the order of the new one. @param {Lines} before @param {Lines} after */
function sideBySide(before, after) {
  /** @param {Lines} lines @returns {[string, Lines[0]][]} */
  const keyed = (lines) => {
    const seen = new Map();
    return lines.map((line) => {
      const place = `${line.part}/${line.ingredient}`;
      seen.set(place, (seen.get(place) ?? 0) + 1);
      return [`${place}/${seen.get(place)}`, line];
    });
  };
  const was = new Map(keyed(before));
  const rows = keyed(after).map(([key, line]) => {
    const old = was.get(key);
    was.delete(key);
    return { ingredient: line.ingredient, part: line.part, before: old?.mass ?? null, after: line.mass };
  });
  const gone = [...was.values()].map((line) => ({ ingredient: line.ingredient, part: line.part,
                                                  before: line.mass, after: null }));
  return [...rows, ...gone];
}

/** @param {Bench} bench @returns {Section} */
export function waterSection(bench) {
  const { t, names } = bench;
  const room = h("div", {});
  const fold = folded(t("water.more"), room);
  /** @type {Field | null} */
  let more = null;
  fold.addEventListener("toggle", async () => {
    if (!fold.open || more) return;
    const { waterMore } = await t.moreFor(import("./water-more.js"));
    more = waterMore(bench);
    room.replaceChildren(more.node);
  });

  /** @param {Answers["water"]} reply @param {Answers["formula"]} formula */
  function write(reply, formula) {
    const { figure, estimate, weight } = figuresOf(bench);
    const percent = (/** @type {number} */ value) => figure(value, "percent", 1);
    const { before, after } = reply;
    const rows = sideBySide(formula.formula.lines, reply.formula.lines);
    const tableRows = ["scald", "dough"].filter((part) => rows.some((row) => row.part === part)).flatMap((part) => [
      { group: t(`part.${part}`) },
      ...rows.filter((row) => row.part === part).map((row) => [names.label(row.ingredient), weight(row.before),
                                                                weight(row.after)]),
    ]);
    return [
      h("p", { class: "verdict" }, waterSays(bench, reply)),
      figureList([
        [t("water.hydration"), [percent(before.hydration_percent), " → ", percent(after.hydration_percent)], "main"],
        [t("water.optimum"), estimate(reply.optimum_hydration_percent, "percent", 1), "main"],
        [t("water.shareMoved"), [percent(before.scalded_share_percent), " → ", percent(after.scalded_share_percent)]],
        [t("water.yieldMoved"), [figure(before.dough_yield, "number", 1), " → ", figure(after.dough_yield, "number", 1)]],
        [t("water.crumb"), estimate(reply.crumb_moisture_change_points, "points", 1)],
      ]),
      table(t("water.formulas"), [[t("table.ingredient")], [t("table.before"), "number"], [t("table.after"), "number"]], tableRows),
    ];
  }

  const answer = answerOf(bench, "water", t("water.answer"), write);
  return {
    step: "water", beside: ["formula"], answer,
    refresh() { more?.refresh(); },
    node: section("water", t("water.title"), [fold], answer, { intro: t("water.intro") }),
  };
}
