/** Registers the service worker, and tells when a newer page is at hand. */

import { LANGUAGES } from "../messages/messages.js";
import { h } from "../ui/dom.js";

const FACTS = [...Object.keys(LANGUAGES).map((language) => `labels?language=${language}`), "names", "units", "pans", "sources"];

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
  // What was fetched before the worker was there is fetched through it once, so that it is kept for offline use.
  const keepFacts = () => {
    for (const facts of FACTS) fetch(`/v1/${facts}`).catch(() => {});
  };
  if (navigator.serviceWorker.controller) keepFacts();
  else navigator.serviceWorker.addEventListener("controllerchange", keepFacts, { once: true });
}
