/** The weigh-out card by itself, filling the screen, which stays on while the card is open. */

import { h } from "./dom.js";

/** Keeps the screen on; answers with how to let go. A browser that can't keeps its habits. */
function keepAwake() {
  let lock = null;
  let open = true;
  async function ask() {
    if (!open || document.visibilityState !== "visible" || !navigator.wakeLock) return;
    try {
      lock = await navigator.wakeLock.request("screen");
      if (!open) lock.release();
    } catch { /* refused, on a low battery for one */ }
  }
  document.addEventListener("visibilitychange", ask);
  ask();
  return () => {
    open = false;
    document.removeEventListener("visibilitychange", ask);
    lock?.release();
  };
}

/** Shows the card in a dialog and puts it back in its place when that closes. */
export function openCard({ t }, card) {
  const place = document.createComment("card");
  card.replaceWith(place);
  const close = h("button", { type: "button", class: "close", on: { click: () => dialog.close() } }, t("weigh.close"));
  const dialog = h("dialog", { class: "bench-card", "aria-label": t("weigh.answer") }, close,
    navigator.wakeLock ? h("p", { class: "hint" }, t("weigh.awake")) : null, card);
  const letGo = keepAwake();
  dialog.addEventListener("close", () => {
    letGo();
    place.replaceWith(card);
    dialog.remove();
  });
  place.parentNode.closest(".card, .panel").append(dialog);
  dialog.showModal();
}
