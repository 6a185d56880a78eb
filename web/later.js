/** What comes after the first answers: charts, plan, trials, keeping, notebook. */

import { chartsOf } from "./charts.js";
import { keepingSection } from "./keeping-section.js";
import { notebookSection } from "./notebook-section.js";
import { planSection } from "./plan-section.js";
import { trialsSection } from "./trials-section.js";

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
  return {
    draw() {
      charts.draw(bench.last);
      plan.reckon();
    },
  };
}
