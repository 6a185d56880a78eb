/** The weigh-out card by itself: it fills the screen and keeps it on. The open card is an entry of the browser's history: Back
closes it, Forward opens it again, and a reload keeps it open. */

import { h } from "../ui/dom.js";

/** Keeps the screen on where the browser can; returns how to stop. */
function keepAwake() {
  /** @type {WakeLockSentinel | null} */
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

/** @type {{dialog: HTMLDialogElement, putBack(): void} | null} */
let open = null;                // the card shown
/** @type {Promise<unknown> | null} */
let leaving = null;             // the history on its way back

/** Shows the card in a dialog and puts it back in its place when that closes. @param {Bench} bench @param {HTMLElement} card */
export async function openCard({ t, place: page }, card) {
  await leaving;
  if (open) return;
  page?.keep();
  if (!history.state?.card) {
    history.scrollRestoration = "manual";       // the page behind stays where it is
    history.pushState({ card: true }, "");
  }
  const place = h("div");
  place.style.height = `${card.offsetHeight}px`;        // so that the page behind keeps its length
  const says = h("p", {});
  const bar = h("i", { "aria-hidden": "true" });
  /** How many are in the bowl. */
  function count() {
    const boxes = [...card.querySelectorAll("input[type=checkbox]")];
    const done = boxes.filter((box) => /** @type {HTMLInputElement} */ (box).checked).length;
    says.textContent = t("weigh.progress", { done, all: boxes.length });
    bar.style.setProperty("--done", String(boxes.length ? done / boxes.length : 0));
  }
  const dialog = h("dialog", { class: "bench-card", "aria-label": t("weigh.answer"), on: { close: putBack, change: count } },
    h("header", {}, says, h("button", { type: "button", class: "close", on: { click: closeCard } }, t("weigh.close")), bar),
    navigator.wakeLock ? h("p", { class: "hint" }, t("weigh.awake")) : null);
  const letGo = keepAwake();
  open = { dialog, putBack };
  addEventListener("popstate", follow);
  card.replaceWith(place);
  dialog.append(card);
  place.closest("main")?.append(dialog);
  dialog.showModal();
  count();
  const watch = new MutationObserver(count);          // another answer has other lines
  watch.observe(card, { childList: true, characterData: true, subtree: true });

  function follow() {
    if (!history.state?.card) closeCard();
  }

  function putBack() {
    if (open?.dialog !== dialog) return;
    open = null;
    removeEventListener("popstate", follow);
    letGo();
    watch.disconnect();
    place.replaceWith(card);
    dialog.remove();
    leaveHistory();
  }
}

/** A card that is closed by hand leaves the history too, so that the next Back leaves the page. */
function leaveHistory() {
  if (!history.state?.card) return;
  leaving = new Promise((left) => addEventListener("popstate", left, { once: true }));
  history.back();
}

/** Closes the card; resolves once the history is as it was before. */
export async function closeCard() {
  open?.dialog.close();
  open?.putBack();
  await leaving;
}
