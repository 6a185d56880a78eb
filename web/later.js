/** What comes after the first answers: charts, plan, trials, keeping, notebook, a plan brought by a link. */

import { chartsOf } from "./charts.js";
import { keepingSection } from "./keeping-section.js";
import { workOf } from "./link.js";
import { notebookSection } from "./notebook-section.js";
import { planSection } from "./plan-section.js";
import { trialsSection } from "./trials-section.js";
import { completed, isWork } from "./work.js";

export async function makeLater(bench, place, byStep, sections) {
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
  if (bench.last.trials) trials.answer.show(bench.last.trials);
  const charts = chartsOf(bench, { fill: byStep.fill.room, sugar: byStep.sugar.room });
  await openLink(bench, notebook);
  return {
    draw() {
      charts.draw(bench.last);
      plan.reckon();
    },
  };
}

/** A plan in the address's fragment goes on the bench; what was there goes to the notebook. */
async function openLink(bench, notebook) {
  const work = await workOf(location.hash);
  if (work === null) return;
  history.replaceState(null, "", location.pathname + location.search);
  const whole = work && completed(work, bench.pattern);
  if (!whole || !isWork(whole, bench.pattern)) return notebook.say("badLink");
  bench.putOnBench(whole);
  notebook.say("opened", { name: whole.formula.name });
}
