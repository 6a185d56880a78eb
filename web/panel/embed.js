/** The panel in a frame. Start values come in the address; all that goes to the page around is the height.

It reads nothing the full page keeps, and hears nothing the page around says. */

import { ATTRIBUTES } from "./start-values.js";

// Whose service is asked is not for the page around to say.
const TAKEN = ATTRIBUTES.filter((name) => name !== "service");
const panel = document.createElement("scaldloaf-panel");

/** Start values by name: those after # before those after ?, which a server may write down. */
function startValues() {
  const given = [location.search, location.hash].map((part) => new URLSearchParams(part.slice(1)));
  return new Map([["lang", navigator.language], ...given.flatMap((values) => [...values].filter(([name]) => TAKEN.includes(name)))]);
}

function apply() {
  const values = startValues();
  for (const name of TAKEN) {
    if (!values.has(name)) panel.removeAttribute(name);
    else if (panel.getAttribute(name) !== values.get(name)) panel.setAttribute(name, values.get(name));
  }
}

panel.addEventListener("scaldloaf-height", ({ detail }) => {
  if (parent !== window) parent.postMessage({ type: "scaldloaf-height", height: detail.height }, "*");
});
addEventListener("hashchange", apply);
apply();
document.querySelector("main").append(panel);
