/** What the page has named by itself, in another language: the example, a recipe without a name, the steps to start from. */

import { localeOf, textsOf } from "../messages/messages.js";
import { WORK_KEY } from "./kept.js";

const NAMES = ["tonight.exampleName", "tonight.nameless",
               ...["bulk", "rest", "proof", "scald", "scaldCools", "mix", "bake", "cool"].map((name) => `stages.${name}`)];

/** Names it as that language does, where the baker has not. @param {Bench} bench @param {string} language */
export async function renameIn({ t, storage, keep, notebook }, language) {
  if (storage.getItem(WORK_KEY) === null) return;
  const other = await textsOf(language, localeOf(language, navigator.languages));
  const names = new Map(NAMES.map((name) => [t(name), other(name)]));
  const named = (/** @type {string} */ name) => names.get(name) ?? name;
  keep(({ formula, stages, plan, ticked }) => {
    formula.name = named(formula.name);
    for (const step of [...stages, ...plan.before, ...plan.after]) step.name = named(step.name);
    for (const tick of ticked) if (typeof tick === "object") tick.bread = named(tick.bread);
  });
  if (notebook.state.trials.some(({ bread }) => bread)) {
    notebook.change(({ trials }) => { for (const trial of trials) if (trial.bread) trial.bread = named(trial.bread); });
  }
}
