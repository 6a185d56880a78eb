/** What is folded, loaded after the first answers: each section, the charts, their style, the place on the page. */

import { chartsOf, nearby } from "../sections/charts.js";
import { compareSection } from "../sections/compare-section.js";
import { costPart } from "../sections/cost-part.js";
import { fillSection } from "../sections/fill-section.js";
import { formulaSection } from "../sections/formula-section.js";
import { logSection } from "../sections/log-section.js";
import { notebookSection } from "../sections/notebook-section.js";
import { paperSection } from "../sections/paper.js";
import { planSections } from "../sections/plan-section.js";
import { scaleFields } from "../sections/scale-fields.js";
import { safetySection } from "../sections/safety-section.js";
import { sugarSection } from "../sections/sugar-section.js";
import { waterSection } from "../sections/water-section.js";
import { askerByPlan } from "../service/by-plan.js";
import { sugarRequest } from "../service/sugar-request.js";
import { keepPlace } from "../state/place.js";
import { h } from "../ui/dom.js";

const PAUSE_MS = 200;

/** Loads a style sheet, or gives it up. @param {string} address */
function style(address) {
  return new Promise((done) => {
    document.head.append(h("link", { rel: "stylesheet", href: address, on: { load: done, error: done } }));
  });
}

/** @typedef {Awaited<ReturnType<typeof makeLater>>} Later */

/** Fills the folds. @param {import("./main.js").Page} page */
export async function makeLater({ root, bench, sections, frame, weigh }) {
  await Promise.all([...["answers", "later", "log", "series", "paper"].map((name) => style(`styles/${name}.css`)), bench.t.more(), bench.t.more("series")]);
  const plan = planSections(bench, () => frame.sum());
  const fill = fillSection(bench);
  const sugar = sugarSection(bench);
  const compare = compareSection(bench);
  const log = logSection(bench, () => frame.sum());
  /** @type {[string, Section][]} */
  const all = [["formula", formulaSection(bench)], ["water", waterSection(bench)], ["fill", fill], ["compare", compare], ["sugar", sugar],
               ...plan.sections, ["log", log], ["notebook", notebookSection(bench, () => frame.sum(), weigh.printCode)], ["safety", safetySection(bench, plan.cautions)]];
  for (const [name, section] of all) {
    sections.push(section);
    frame.put(name, section);
  }
  sections.push(paperSection(bench, weigh.paper), scaleFields(bench, weigh.scale.lastElementChild));
  const cost = costPart(bench);
  sections.push(cost);
  weigh.node.append(cost.node);
  const charts = chartsOf(bench, { fill: fill.room, sugar: sugar.room });
  const planNearby = nearby(frame.depth, plan.recalculate, plan.old);
  let waiting = 0;
  frame.depth.addEventListener("toggle", ({ target }) => { if (/** @type {Element} */ (target).id === "compare") compare.draw(); }, { capture: true });
  const place = keepPlace(root);
  bench.place = place;
  return {
    place,
    /** @type {Asking} */
    asking: {
      askerOf: askerByPlan(bench.api, bench.isLiquid),
      also: (state, units, { formula }, filled, ask) => ask("sugar", sugarRequest(state, units, formula, filled)),
    },
    /** Draws when the browser has time for it: the next answers come first. */
    draw() {
      notThen(waiting);
      waiting = whenIdle(() => {
        if (!bench.pans.length) bench.learnTables().then(() => { for (const section of sections) section.offerPans?.(); }, () => {});
        charts.draw();
        planNearby();
        compare.draw();
        log.draw();
        cost.draw();
      }, { timeout: PAUSE_MS });
    },
  };
}

/** @type {(run: () => void, options: {timeout: number}) => number} */
const whenIdle = window.requestIdleCallback ?? ((run) => setTimeout(run, PAUSE_MS));
const notThen = window.cancelIdleCallback ?? clearTimeout;
