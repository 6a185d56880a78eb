/** How an answer was calculated: steps and sources. */

import { h } from "./dom.js";
import { figuresOf } from "./figures.js";
import { showNumber } from "./numbers.js";

/** @param {FiguresBench} bench @param {Schemas["Step"][]} working */
function stepsOf(bench, working) {
  const { unitWord } = figuresOf(bench);
  return h("ol", { class: "steps", lang: "en" }, working.map((step) => h("li", {},
    h("span", { class: "step-label" }, step.label), h("span", { class: "step-expression" }, step.expression),
    h("span", { class: "step-value" }, "= ", h("data", { value: String(step.value) },
      `${showNumber(step.value, "en")}\u00a0${unitWord(step.unit)}`)))));
}

/** @param {Api} api @param {HTMLElement} into @param {string[]} ids */
async function showSources(api, into, ids) {
  try {
    const known = new Map((await api.facts("sources")).sources.map((source) => [source.id, source]));
    into.replaceChildren(...ids.map((id) => {
      const source = known.get(id);
      return h("li", { lang: "en" }, source ? [h("cite", {}, source.title), source.year ? `, ${source.year}` : "",
        source.identifier ? h("span", { class: "identifier" }, ` ${source.identifier}`) : ""] : id);
    }));
  } catch {
    into.replaceChildren(...ids.map((id) => h("li", {}, id)));
  }
}

/** @param {FieldsBench} bench @param {HTMLElement} body @param {Reply} reply */
export function writeWorking(bench, body, reply) {
  const { t } = bench;
  const list = h("ul", { class: "sources" });
  body.replaceChildren(...(t.has("foreign.working") ? [h("p", { class: "hint" }, t("foreign.working"))] : []),
    stepsOf(bench, reply.working ?? []), h("h3", { class: "minor" }, t("working.sources")), list,
    h("p", { class: "hint" }, t("working.evidence")));
  showSources(bench.api, list, reply.basis ?? []);
}
