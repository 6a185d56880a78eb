/** The parts that load after the first answers: the sugar of the yeast, charts, plan, trials, keeping, notebook, their style, the place on the page. */

import { chartsOf, nearby } from "../sections/charts.js";
import { keepingSection } from "../sections/keeping-section.js";
import { notebookSection } from "../sections/notebook-section.js";
import { planSection } from "../sections/plan-section.js";
import { sugarSection } from "../sections/sugar-section.js";
import { trialsSection } from "../sections/trials-section.js";
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

/** Adds the parts that load later to the page. @param {import("./main.js").Page} page */
export async function makeLater({ root, bench, sections, fill, weigh, later }) {
  await Promise.all([style("styles/later.css"), bench.t.more()]);
  const sugar = sugarSection(bench);
  const plan = planSection(bench);
  weigh.node.before(sugar.node, plan.node);
  sections.push(sugar, plan);
  for (const section of [trialsSection(bench), keepingSection(bench), notebookSection(bench)]) {
    sections.push(section);
    later.append(section.node);
  }
  const charts = chartsOf(bench, { fill: fill.room, sugar: sugar.room });
  const planNearby = nearby(plan.node, plan.recalculate, plan.answer.old);
  let waiting = 0;
  const place = keepPlace(root);
  bench.place = place;
  return {
    place,
    /** Draws when the browser has time for it: the next answers come first. */
    draw() {
      notThen(waiting);
      waiting = whenIdle(() => {
        if (!bench.pans.length) bench.learnTables().then(fill.offerPans, () => {});
        charts.draw();
        planNearby();
      }, { timeout: PAUSE_MS });
    },
  };
}

/** @type {(run: () => void, options: {timeout: number}) => number} */
const whenIdle = window.requestIdleCallback ?? ((run) => setTimeout(run, PAUSE_MS));
const notThen = window.cancelIdleCallback ?? clearTimeout;
