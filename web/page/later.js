/** What comes after the first answers: charts, plan, trials, keeping, notebook, their style, and the place on the page. */

import { chartsOf, nearby } from "../sections/charts.js";
import { keepingSection } from "../sections/keeping-section.js";
import { notebookSection } from "../sections/notebook-section.js";
import { planSection } from "../sections/plan-section.js";
import { trialsSection } from "../sections/trials-section.js";
import { keepPlace } from "../state/place.js";
import { h } from "../ui/dom.js";

const PAUSE_MS = 200;

/** A style sheet, there or given up. */
function style(address) {
  return new Promise((done) => {
    document.head.append(h("link", { rel: "stylesheet", href: address, on: { load: done, error: done } }));
  });
}

export async function makeLater(bench, place, byStep, sections) {
  await Promise.all([style("styles/later.css"), bench.t.more()]);
  const plan = planSection(bench);
  const trials = trialsSection(bench);
  byStep.weigh.node.before(plan.node);
  sections.push(plan);
  const notebook = notebookSection(bench);
  for (const section of [trials, keepingSection(bench), notebook]) {
    if (section.step) byStep[section.step] = section;
    sections.push(section);
    place.append(section.node);
  }
  const charts = chartsOf(bench, { fill: byStep.fill.room, sugar: byStep.sugar.room });
  const planNearby = nearby(plan.node, plan.reckon, plan.answer.old);
  const whenIdle = window.requestIdleCallback ?? ((run) => setTimeout(run, PAUSE_MS));
  const notThen = window.cancelIdleCallback ?? clearTimeout;
  let waiting = null;
  return {
    place: bench.place = keepPlace(document.querySelector("#work")),
    /** Not before the browser has time for it: the next answers come first. */
    draw() {
      notThen(waiting);
      waiting = whenIdle(() => {
        if (!bench.pans.length) bench.learnTables().then(byStep.fill.offerPans, () => {});
        charts.draw();
        planNearby();
      }, { timeout: PAUSE_MS });
    },
  };
}
