/** Goes to the first entry that the weights wait for: not one of the plan, which they don't need. */

import { closeCard } from "./card.js";

export async function findFault() {
  await closeCard();
  const inSections = (/** @type {string} */ what) => /** @type {HTMLElement | null} */ (document.querySelector(`.section:not(.section-plan) ${what}`));
  const place = inSections("[aria-invalid=true]") ?? inSections(".fault p");
  if (!place) return;
  for (let fold = place.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
  if (!place.matches("input, select, textarea")) place.tabIndex = -1;
  place.scrollIntoView({ block: "center" });
  place.focus({ preventScroll: true });
}
