/** The fold of the bake log for blind tastings. What it holds loads when it is opened. */

import { h } from "../ui/dom.js";

/** @param {Bench} bench @param {() => string[]} names what the bakes are called */
export function tastingFold(bench, names) {
  const { t, notebook } = bench;
  const gist = h("span", { class: "gist" });
  const room = h("div", { class: "folded-body" });
  const node = h("details", { class: "folded tasting", on: { toggle: () => { if (node.open) load(); } } },
    h("summary", {}, t("tasting.title"), " ", gist), room);
  /** @type {import("./tasting.js").TastingPart | null} */
  let part = null;
  /** @type {string[] | null} */
  let wanted = null;            // the breads of a new tasting

  async function load() {
    const { tastingPart } = await t.moreFor(import("./tasting.js"));
    const samples = wanted;
    wanted = null;
    if (part && samples) part.begin(samples);
    if (part) return;
    part = tastingPart(bench, names, sum, samples);
    room.replaceChildren(part.node);
  }

  function sum() {
    const last = notebook.state.tastings?.at(-1);
    gist.textContent = part?.summary() ?? (last ? t(`tasting.test_${last.test}`) : t("tasting.none"));
  }

  sum();
  return {
    node,
    refresh() { part?.refresh(); sum(); },
    /** Opens it for a new tasting of these. @param {string[]} samples */
    async taste(samples) {
      wanted = samples;
      node.open = true;
      await load();
      for (let fold = node.parentElement?.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
      node.scrollIntoView({ block: "start" });
      node.querySelector("summary")?.focus({ preventScroll: true });
    },
  };
}
