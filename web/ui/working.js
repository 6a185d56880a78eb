/** The way an answer was reckoned: steps and sources. */

import { figuresOf } from "./answer.js";
import { h } from "./dom.js";
import { showNumber } from "./numbers.js";

function stepsOf(bench, reply) {
  const { unitWord } = figuresOf(bench);
  return h("ol", { class: "steps", lang: "en" }, reply.working.map((step) => h("li", {},
    h("span", { class: "step-label" }, step.label), h("span", { class: "step-expression" }, step.expression),
    h("span", { class: "step-value" }, "= ", h("data", { value: String(step.value) },
      `${showNumber(step.value, "en")}\u00a0${unitWord(step.unit)}`)))));
}

async function sources(bench, into, ids) {
  try {
    const known = new Map((await bench.api.facts("sources")).sources.map((source) => [source.id, source]));
    into.replaceChildren(...ids.map((id) => {
      const source = known.get(id);
      return h("li", { lang: "en" }, source ? [h("cite", {}, source.title), source.year ? `, ${source.year}` : "",
        source.identifier ? h("span", { class: "identifier" }, ` ${source.identifier}`) : ""] : id);
    }));
  } catch {
    into.replaceChildren(...ids.map((id) => h("li", {}, id)));
  }
}

export function writeWorking(bench, body, reply) {
  const { t } = bench;
  const list = h("ul", { class: "sources" });
  body.replaceChildren(...(t.has("foreign.working") ? [h("p", { class: "hint" }, t("foreign.working"))] : []), stepsOf(bench, reply), h("h3", { class: "minor" }, t("working.sources")), list,
    h("p", { class: "hint" }, t("working.evidence")));
  sources(bench, list, reply.basis);
}
