/** The page itself: the work in <main>, kept in this browser. */

import { mount } from "./app.js";
import { Unreachable } from "./api.js";
import { browserStorage } from "./store.js";

const RETRY_MS = 5000;
const root = document.querySelector("#work");

async function start() {
  try {
    const bench = await mount(root, { storage: browserStorage() });
    speak(bench);
    keepForOffline(bench);
  } catch (error) {
    if (!(error instanceof Unreachable)) throw error;
    root.querySelector("#starting").textContent = root.dataset.unreachable;
    setTimeout(start, RETRY_MS);
  }
}

/** The texts around the work, in the language of the work. */
function speak({ t, language }) {
  document.documentElement.lang = language;
  document.title = t("page.title");
  for (const node of document.querySelectorAll("[data-text]")) node.textContent = t(node.dataset.text);
}

/** Once the whole page is there, so that nothing competes with it. */
function keepForOffline(bench) {
  root.addEventListener("scaldloaf-whole", async () => {
    const { workOffline } = await import("./offline.js");
    workOffline(bench);
  }, { once: true });
}

start();
