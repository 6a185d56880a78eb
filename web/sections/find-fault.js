/** Takes the baker to the first entry that the weights wait for. The plan has entries of its own, which they don't. */

import { closeCard } from "./card.js";

export async function findFault() {
  await closeCard();
  const inSections = (what) => document.querySelector(`.section:not(.section-plan) ${what}`);
  const place = inSections("[aria-invalid=true]") ?? inSections(".fault p");
  if (!place) return;
  for (let fold = place.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  if (!place.matches("input, select, textarea")) place.tabIndex = -1;
  place.scrollIntoView({ block: "center" });
  place.focus({ preventScroll: true });
}
