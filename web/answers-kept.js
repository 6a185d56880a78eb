/** The last answers, kept with the work they belong to, so that both are there when the service is not. */

const KEY = "scaldloaf.answers";
export const STEPS = ["formula", "water", "fill", "sugar", "weigh"];

/** What the answers depend on, as a text to compare. */
function signature(state) {
  const { ticked, plan, ...rest } = state;
  return JSON.stringify(rest).replace(/"key":"[^"]*",?/g, "");
}

export function keepAnswers(storage, state, last) {
  try {
    storage?.setItem(KEY, JSON.stringify({ of: signature(state), last }));
  } catch { /* a full storage keeps the work and lets the answers go */ }
}

/** The answers kept for this very work; null when there are none. */
export function keptAnswers(storage, state) {
  try {
    const kept = JSON.parse(storage?.getItem(KEY) ?? "null");
    return kept?.of === signature(state) ? kept.last : null;
  } catch {
    return null;
  }
}

/** The answers without their working, as a bread in the notebook carries them; null while some are missing. */
export function briefAnswers(last) {
  if (!STEPS.every((step) => last[step])) return null;
  return Object.fromEntries(STEPS.map((step) => {
    const { working, basis, ...brief } = last[step];
    return [step, brief];
  }));
}

/** Whether answers speak the units in use. */
export function speak(answers, wire) {
  return answers !== null && typeof answers === "object" && STEPS.every((step) => {
    const units = answers[step]?.units;
    return units && Object.keys(wire).every((quantity) => units[quantity] === wire[quantity]);
  });
}
