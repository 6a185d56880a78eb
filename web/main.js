/** The page itself: the work in <main>, kept in this browser. */

import { mount } from "./app.js";
import { Unreachable } from "./api.js";
import { browserStorage } from "./store.js";

const RETRY_MS = 5000;
const root = document.querySelector("#work");

async function start() {
  try {
    const { language } = await mount(root, { storage: browserStorage() });
    document.documentElement.lang = language;
  } catch (error) {
    if (!(error instanceof Unreachable)) throw error;
    root.querySelector("#starting").textContent = root.dataset.unreachable;
    setTimeout(start, RETRY_MS);
  }
}

start();
