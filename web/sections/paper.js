/** What only paper needs: the steps with room for the time, and below the card, or on its back, the record of the bake. */

import { h, setText } from "../ui/dom.js";
import { doughEnds, figuresOf } from "../ui/figures.js";
import { dayOf, doneText, isUntimed } from "./weigh-section.js";

const SCORED_DAYS = [0, 1, 2, 3];
const LINES = 4;                // to write on
const PAUSE_MS = 200;

/** @param {string} head @param {string[]} columns @param {[string, ...(Element | string | null)[]][]} rows */
function ruled(head, columns, rows) {
  return h("table", {}, h("thead", {}, h("tr", {}, h("th", { scope: "col" }, head), columns.map((column) => h("th", { scope: "col" }, column)))),
    h("tbody", {}, rows.map(([name, ...cells]) => h("tr", {}, h("th", { scope: "row" }, name), cells.map((cell) => h("td", {}, cell))))));
}

/** The steps as they were entered, each with room for when it was. @param {Bench} bench @param {Answers["fill"]} fill */
function stepsOf(bench, fill) {
  const { t, state, units } = bench;
  const { text, volume } = figuresOf(bench);
  const untimed = isUntimed(bench);
  const said = (/** @type {Entry} */ value, /** @type {string} */ quantity) =>
    (typeof value === "number" && !untimed ? text(units().outward(value, quantity), quantity) : "");
  const ofTask = (/** @type {Stage} */ { name, minutes }) => /** @type {[string, string, null]} */ ([name, said(minutes, "minutes"), null]);
  const { plan, stages } = state;
  return [
    ruled(t("plan.step"), ["", t("paper.time")], [
      ...plan.before.map(ofTask),
      ...stages.map((/** @type {Stage} */ { name, minutes, temperature }) => /** @type {[string, string, null]} */ (
        [name, [said(minutes, "minutes"), said(temperature, "temperature")].filter(Boolean).join(t("write.list")), null])),
      ...plan.after.map(ofTask)]),
    h("p", {}, (fill.scalded_share_percent ?? 0) > 0 ? `${t("part.scald")}: ${t(`plan.${plan.method}`)}${t("write.end")} ` : "",
      t("paper.tin", { volume: volume(fill.pan_volume), ...doughEnds(bench, fill.dough_mass) }), `${t("folds.join")}${doneText(bench)}${t("write.end")}`),
  ];
}

/** The record of the bake, to fill in by hand and to copy into the bake log. @param {Bench} bench @param {Answers["weigh"]} weigh
@param {Answers["water"]} water @param {Answers["fill"]} fill */
function recordOf(bench, weigh, water, fill) {
  const { t, units } = bench;
  const { text, dough, unitWord } = figuresOf(bench);
  const share = text(Number(water.after.scalded_share_percent.toFixed(1)), "percent");
  const blank = (/** @type {string} */ unit) => h("span", { class: "to-fill" }, unit);
  const option = (/** @type {string} */ name) => h("span", { class: "option" }, h("i", {}), t(`paper.${name}`));
  return [
    h("header", {}, h("h2", {}, t("paper.after")), h("p", {}, [weigh.formula.name, dough(fill.dough_mass.best), share].filter(Boolean).join(t("write.list")))),
    h("div", { class: "two" },
      ruled(t("paper.loaf"), [""], [
        [t("paper.fill"), h("span", {}, ["low", "full", "much"].map(option))],
        [t("paper.cool"), blank(unitWord(units().unit("mass")))], [t("paper.proof"), blank(t("units.minutes"))]]),
      ruled(t("log.scores_falls"), SCORED_DAYS.map((days) => t("log.day", { days })), [
        [t("paper.this"), ...SCORED_DAYS.map(() => null)], [t("paper.beside"), ...SCORED_DAYS.map(() => null)]])),
    h("h3", {}, t("weigh.next")), Array.from({ length: LINES }, () => h("i", { class: "line" })),
  ];
}

/** @param {Bench} bench @param {HTMLElement} into a room on the card @returns {Section} */
export function paperSection(bench, into) {
  const steps = h("div", { class: "paper-steps" });
  const record = h("article", { class: "record" });
  into.replaceChildren(steps, record);
  addEventListener("beforeprint", () => {
    write();
    const day = into.parentElement?.querySelector(".print-foot > :last-child");
    if (day) setText(day, dayOf(bench));           // the card may be there since yesterday
  });
  /** @type {any[]} */
  let last = [];
  let timer = 0;
  function write() {
    const { weigh, water, fill } = bench.answers.now();
    if (!bench.answers.complete() || !weigh || !water || !fill) return;
    steps.replaceChildren(...stepsOf(bench, fill));
    record.replaceChildren(...recordOf(bench, weigh, water, fill).flat());
  }
  /** Nobody sees it before it is printed, so it can wait. @param {any[]} replies */
  function show(...replies) {
    if (replies.some((each, index) => each !== last[index])) for (const each of into.children) each.replaceChildren();
    last = replies;
    clearTimeout(timer);
    timer = setTimeout(write, PAUSE_MS);
  }
  return {
    step: "weigh", beside: ["water", "fill"], node: into, refresh() {},
    answer: { node: into, show, redraw: write, old() {}, say() {}, withdraw() {} },
  };
}
