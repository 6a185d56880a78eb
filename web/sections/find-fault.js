/** Goes to the first entry that the weights wait for. */

import { closeCard } from "./card.js";

const NOT_NEEDED = ".paste, .section-compare, .section-temperatures, .section-timetable, .section-sure";

export async function findFault() {
  await closeCard();
  const first = (/** @type {string} */ what) => /** @type {HTMLElement[]} */ ([...document.querySelectorAll(`#work ${what}`)])
    .find((node) => !node.closest(NOT_NEEDED));
  const place = first("[aria-invalid=true]") ?? first(".fault p");
  if (!place) return;
  for (let fold = place.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
  if (!place.matches("input, select, textarea")) place.tabIndex = -1;
  place.scrollIntoView({ block: "center" });
  place.focus({ preventScroll: true });
}
