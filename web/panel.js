/** <scaldloaf-panel>: scalded share, pan and weigh-out for a recipe page. One module script, no style of the page's.

Attributes, all optional, all watched: formula ("page": the page's own schema.org Recipe; "#id" of an element that holds
JSON; or a formula as JSON), recipe-number, reading (JSON: cup, flour, yeast ... for recipe-import), share, pan (a name of
GET /v1/pans or JSON), pans, fill, bread (JSON), units (metric, us), lang, look (light, dark), service. Masses are in g,
lengths in cm, volumes in cm3. Events, which bubble: scaldloaf-answer, scaldloaf-problem, scaldloaf-reading,
scaldloaf-height. */

import { createPanel } from "./panel/panel.js";
import { ATTRIBUTES, RESTARTING } from "./panel/start-values.js";
import { dress } from "./panel/style.js";

const OWN = new URL(".", import.meta.url).href;

class ScaldloafPanel extends HTMLElement {
  static observedAttributes = ATTRIBUTES;

  #panel = null;
  #watch = null;
  #wanted = null;       // the start that is to come, so that several attributes set at once start it once

  connectedCallback() {
    if (!this.shadowRoot) this.attachShadow({ mode: "open" });
    this.#watch = new ResizeObserver(() => this.#tell("height", { height: Math.ceil(this.getBoundingClientRect().height) }));
    this.#watch.observe(this);
    this.#start();
  }

  disconnectedCallback() {
    this.#watch.disconnect();
    this.#panel?.stop();
    this.#panel = null;
  }

  attributeChangedCallback(name, before, now) {
    if (!this.isConnected) return;
    // A page that has put its recipe in place sets the same formula again to have it read anew.
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
      this.#panel = createPanel(this, { service: this.getAttribute("service") ?? OWN, tell: (what, detail) => this.#tell(what, detail) });
      await dress(this, OWN, this.getAttribute("look"));
    });
  }

  #tell(what, detail) {
    this.dispatchEvent(new CustomEvent(`scaldloaf-${what}`, { bubbles: true, composed: true, detail: structuredClone(detail) }));
  }
}

if (!customElements.get("scaldloaf-panel")) customElements.define("scaldloaf-panel", ScaldloafPanel);
