/** Registers the service worker, and says when a newer page is available. */

import { LANGUAGES } from "../messages/messages.js";
import { h } from "../ui/dom.js";

const FACTS = [...Object.keys(LANGUAGES).map((language) => `labels?language=${language}`), "names", "units", "pans", "sources"];

/** @param {Bench} bench */
export function workOffline(bench) {
  const { t } = bench;
  if (!("serviceWorker" in navigator)) return;
  navigator.serviceWorker.addEventListener("message", (event) => {
    if (event.data !== "newer page") return;
    bench.notice(t("offline.newer"), " ", h("button", { type: "button", on: { click: () => location.reload() } }, t("offline.use")));
  });
  navigator.serviceWorker.startMessages();
  navigator.serviceWorker.register("/sw.js").catch(() => {});
  navigator.serviceWorker.controller?.postMessage("newer page?");
  // Facts that came before the worker controlled the page go through it once, so that it has them offline.
  const keepFacts = () => {
    for (const facts of FACTS) fetch(`/v1/${facts}`).catch(() => {});
  };
  if (navigator.serviceWorker.controller) keepFacts();
  else navigator.serviceWorker.addEventListener("controllerchange", keepFacts, { once: true });
}
