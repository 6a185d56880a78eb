/** What is not in the first load: the parts that load later, a switch of units, the changes of another window. */

import { NOTEBOOK_KEY, WORK_KEY } from "../state/kept.js";
import { failed } from "../state/rescue.js";

/** @typedef {import("./main.js").Page} Page */

export class After {
  #page;
  /** @type {Promise<import("./later.js").Later | undefined> | null} */
  #later = null;

  /** @param {Page} page */
  constructor(page) {
    this.#page = page;
    page.root.addEventListener("scaldloaf-whole", async () => {
      const { workOffline } = await import("./offline.js");
      workOffline(page.bench);
    }, { once: true });
  }

  /** The parts that load later, once they are there. */
  async whole() {
    this.#later ??= this.#makeLater();
    return this.#later;
  }

  /** Adds what is folded at first, and draws it again from then on. */
  async addLater() {
    if (this.#later) return (await this.#later)?.draw();
    this.whole();
  }

  /** Undefined when they can't be loaded, which the page says once. */
  async #makeLater() {
    const page = this.#page;
    try {
      const { makeLater } = await import("./later.js");
      const later = await makeLater(page);
      page.asking = later.asking;
      page.recalculate();
      later.draw();
      page.draw(page.bench.answers.now(), true);
      page.showFaults();          // some may be about entries that have their fields only now
      page.frame.sum();
      later.place.restore();
      page.root.dispatchEvent(new CustomEvent("scaldloaf-whole", { bubbles: true, composed: true }));
      return later;
    } catch (error) {
      failed(page.later, error);
    }
  }

  /** Nothing can be written in units that the page has not loaded. @param {string} system */
  async useUnits(system) {
    const { bench, link } = this.#page;
    try {
      await bench.learnTables();
      bench.board.clear();         // the values that faults offer are in the old units
      bench.keep((work) => { work.units = /** @type {System} */ (system); });
    } catch {
      link.textContent = bench.t("link.lost");
    }
    this.#page.redraw();
    this.#page.recalculate();
  }

  /** Takes over what other windows saved while the browser kept this page for Back: it heard nothing of it. Work that could not
  be saved stays. */
  async catchUp() {
    const { bench, unsaved } = this.#page;
    for (const key of unsaved ? [] : [WORK_KEY, NOTEBOOK_KEY]) {
      const text = bench.storage.getItem(key);
      if (text !== null) await this.takeOver(key, text);
    }
  }

  /** Two windows of the page share one bench and one notebook: each takes over what the other saves.
  @param {string | null} key @param {string} text */
  async takeOver(key, text) {
    const { bench } = this.#page;
    if (!await bench.takeOver(key, text)) return;
    this.#page.mark();
    await bench.learnTables();
    this.#page.redraw();
    this.#page.recalculate();
  }
}
