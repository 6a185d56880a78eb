/** The fold that asks how far the scalded share can go; what it holds is loaded when it is opened. */

import { h } from "../ui/dom.js";

/** @param {Bench} bench @returns {{node: HTMLElement, refresh(): void, draw(): void}} */
export function reachFold(bench) {
  const { t } = bench;
  const gist = h("span", { class: "gist" });
  const room = h("div", { class: "folded-body" });
  const node = h("details", { class: "folded reach" }, h("summary", {}, t("reach.title"), " ", gist), room);
  /** @type {ReturnType<typeof import("./reach-part.js").reachPart> | null} */
  let part = null;
  node.addEventListener("toggle", async () => {
    if (!part && !node.open) return;
    const { reachPart } = await import("./reach-part.js");
    if (!part) {
      part = reachPart(bench, () => node.open, gist);
      room.append(...part.nodes);
    }
    part.draw();
  });
  return { node, refresh() { part?.refresh(); }, draw() { part?.draw(); } };
}
