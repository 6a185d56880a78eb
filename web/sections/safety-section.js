/** Every caution for this bread in one place, by what it is about. */

import { cautionText } from "../ui/answer.js";
import { h } from "../ui/dom.js";
import { section } from "../ui/layout.js";

/** What a caution is about; one that is not named here is about eating. */
const GROUPS = {
  hands: ["hot_scald", "hot_pan"], keeping: ["scald_cooling", "perishable_dough", "refrigerator_stales", "rope_spoilage", "no_shelf_life_claim"],
  eating: ["raw_flour", "allergens", "honey_infants", "core_temperature", "overfilled_pan", "acrylamide"],
  selling: ["net_weight", "bread_identity", "no_nutrition_claim", "allergen_contact"],
};

/** @param {Bench} bench @param {() => Caution[]} planned the cautions of the plan @returns {Section} */
export function safetySection(bench, planned) {
  const { t } = bench;
  const room = h("div", { class: "safety" });
  /** Each caution once. */
  function all() {
    const replies = Object.values(bench.answers.now()).filter((reply) => reply !== null);
    /** @type {Map<string, Caution>} */
    const found = new Map();
    for (const caution of [...replies.flatMap((reply) => reply.cautions), ...planned()]) found.set(caution.code, caution);
    return [...found.values()];
  }
  /** @param {Caution} caution */
  const itemOf = (caution) => {
    const { lang, text, who } = cautionText(bench, caution);
    return h("li", { lang, "data-code": caution.code }, text, " ", h("small", {}, who));
  };
  let written = "";
  function write() {
    const cautions = all();
    const of = cautions.map(({ code, text }) => code + text).join();
    if (of === written) return cautions.length;
    written = of;
    const named = Object.values(GROUPS).flat();
    room.replaceChildren(h("p", {}, t("safety.local")), ...Object.entries(GROUPS).flatMap(/** @returns {Element[]} */ ([group, codes]) => {
      const here = cautions.filter(({ code }) => codes.includes(code) || (group === "eating" && !named.includes(code)));
      if (!here.length) return [];
      const list = h("ul", {}, here.map(itemOf));
      return group === "selling" ? [h("details", { class: "folded" }, h("summary", {}, t("safety.selling")), list)]
        : [h("h3", {}, t(`safety.${group}`)), list];
    }));
    return cautions.length;
  }
  return {
    refresh() {},
    summary() {
      const count = write();
      return count ? t(count === 1 ? "safety.one" : "safety.some", { count }) : "";
    },
    node: section("safety", t("folds.safety"), room, null),
  };
}
