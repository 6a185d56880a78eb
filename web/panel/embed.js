/** The panel in a frame. Start values come in the address, and only the height goes to the page around. The frame reads nothing
that the full page keeps, and hears nothing from the page around. */

import { ATTRIBUTES } from "./start-values.js";

// The page around does not choose the service.
const TAKEN = ATTRIBUTES.filter((name) => name !== "service");
const panel = document.createElement("scaldloaf-panel");

/** Start values by name: those after # before those after ?, which a server may write down. */
function startValues() {
  const given = [location.search, location.hash].map((part) => new URLSearchParams(part.slice(1)));
  return new Map(/** @type {[string, string][]} */ ([["lang", navigator.language], ...given.flatMap((values) => [...values].filter(([name]) => TAKEN.includes(name)))]));
}

function apply() {
  const values = startValues();
  for (const name of TAKEN) {
    const value = values.get(name);
    if (value === undefined) panel.removeAttribute(name);
    else if (panel.getAttribute(name) !== value) panel.setAttribute(name, value);
  }
}

panel.addEventListener("scaldloaf-height", (event) => {
  const { detail } = /** @type {CustomEvent} */ (event);
  // Not the height of nothing, at first: WebKit draws no frame without a height, and so would never find another.
  if (parent !== window && detail.height > 0) parent.postMessage({ type: "scaldloaf-height", height: detail.height }, "*");
});
addEventListener("hashchange", apply);
apply();
document.querySelector("main")?.append(panel);
