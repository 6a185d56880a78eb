/** <scaldloaf-panel>: scalded share, pan and weigh-out for a recipe page, from one module script.

Attributes, all optional, all watched: formula ("page": the page's own schema.org Recipe; "#id" of an element that holds
JSON; or a formula as JSON), recipe-number, reading (JSON: cup, flour, yeast ... for recipe-import), share, pan (a name of
GET /v1/pans or JSON), pans, fill, bread (JSON), units (metric, us), lang, look (light, dark), service. Masses are in g,
lengths in cm, volumes in cm3. Events, which bubble: scaldloaf-answer, scaldloaf-problem, scaldloaf-reading,
scaldloaf-height. */

import { Panel } from "./panel/panel.js";
import { ATTRIBUTES, RESTARTING } from "./panel/start-values.js";
import { dress } from "./panel/style.js";

const OWN = new URL(".", import.meta.url).href;

class ScaldloafPanel extends HTMLElement {
  static observedAttributes = ATTRIBUTES;

  /** @type {Panel | null} */
  #panel = null;
  #resizes = new ResizeObserver(() => this.#tell("height", { height: Math.ceil(this.getBoundingClientRect().height) }));
  /** @type {symbol | null} */
  #wanted = null;       // the next start: several attributes that are set together start the panel once

  connectedCallback() {
    if (!this.shadowRoot) this.attachShadow({ mode: "open" });
    this.#resizes.observe(this);
    this.#start();
  }

  disconnectedCallback() {
    this.#resizes.disconnect();
    this.#panel?.stop();
    this.#panel = null;
  }

  /** @param {string} name @param {string | null} before @param {string | null} now */
  attributeChangedCallback(name, before, now) {
    if (!this.isConnected) return;
    // A page sets the same formula again to have its recipe read again.
    if (before === now && name !== "formula") return;
    if (RESTARTING.includes(name) || !this.#panel) this.#start();
    else this.#panel.changed(name);
  }

  #start() {
    const wanted = Symbol("start");
    this.#wanted = wanted;
    queueMicrotask(async () => {
      if (this.#wanted !== wanted || !this.isConnected) return;
      this.#panel?.stop();
      this.#panel = new Panel(this, { service: this.getAttribute("service") ?? OWN, tell: (what, detail) => this.#tell(what, detail) });
      await dress(this, OWN, this.getAttribute("look"), this.#panel.language);
    });
  }

  /** @param {string} what @param {object} detail */
  #tell(what, detail) {
    this.dispatchEvent(new CustomEvent(`scaldloaf-${what}`, { bubbles: true, composed: true, detail: structuredClone(detail) }));
  }
}

if (!customElements.get("scaldloaf-panel")) customElements.define("scaldloaf-panel", ScaldloafPanel);
