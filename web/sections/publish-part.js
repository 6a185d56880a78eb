/** Writes tonight's bread as a recipe for others: text, Markdown, data for a web page, a table. */

import { Refused } from "../service/api.js";
import { planRequest } from "../service/plan-request.js";
import { wire } from "../service/requests.js";
import { h } from "../ui/dom.js";
import { choiceField, numberField } from "../ui/fields.js";
import { saveText } from "./save-text.js";

/** @type {Record<string, [ending: string, type: string]>} */
const FORMATS = { text: ["txt", "text/plain"], markdown: ["md", "text/markdown"], json_ld: ["json", "application/ld+json"], csv: ["csv", "text/csv"] };
const MEASURES = ["metric", "us", "both"];

/** @param {Bench} bench */
export function publishPart(bench) {
  const { t, state, language } = bench;
  const wanted = { format: "text", measures: state.units === "us" ? "us" : "metric", oven: /** @type {Entry} */ (null) };
  const said = h("p", { role: "status", class: "said" });
  const format = choiceField(bench, { label: t("publish.format"), choices: Object.keys(FORMATS).map((each) => [each, t(`publish.${each}`)]),
                                      get: () => wanted.format, set: (value) => { wanted.format = value; } });
  const measures = choiceField(bench, { label: t("publish.measures"), choices: MEASURES.map((each) => [each, t(`publish.${each}`)]),
                                        get: () => wanted.measures, set: (value) => { wanted.measures = value; } });
  const oven = numberField(bench, { label: t("publish.oven"), hint: t("publish.ovenHint"), quantity: "temperature", optional: true, place: "publish/oven_temperature",
                                    get: () => wanted.oven, set: (value) => { wanted.oven = value; } });

  /** What the recipe says nothing of is left out: its faults would be of no use here. */
  function request() {
    const { temperatures, scald, units, ...plan } = /** @type {Record<string, any>} */ (planRequest(state, bench.units(), bench.isLiquid).body);
    return { units, plan: { ...plan, scald: scald?.method ? { method: scald.method } : undefined }, format: wanted.format, measures: wanted.measures,
             language, oven_temperature: wire(wanted.oven, "temperature", bench.units()) };
  }

  /** The recipe of the entries as they are now; null, once it is said why, where there is none. */
  async function written() {
    said.textContent = "";
    bench.board.show("publish", []);
    const asked = request();
    try {
      const { text } = await bench.api.call("recipe-export", asked, undefined, "result");
      return JSON.stringify(request()) === JSON.stringify(asked) ? text : null;
    } catch (error) {
      const isOven = error instanceof Refused && error.faults.every(({ pointer }) => pointer === "/oven_temperature");
      if (isOven) bench.board.show("publish", error.faults.map((fault) => ({ ...fault, place: "publish/oven_temperature" })));
      else said.textContent = t(error instanceof Refused ? "publish.waits" : "link.lost");
      return null;
    }
  }
  async function copy() {
    const text = await written();
    if (text === null) return;
    try {
      await navigator.clipboard.writeText(text);
      said.textContent = t("publish.copied");
    } catch {
      said.textContent = t("publish.noCopy");
    }
  }
  async function save() {
    const [ending, type] = FORMATS[wanted.format];
    const text = await written();
    if (text === null) return;
    saveText(`${state.formula.name || "scaldloaf"}.${ending}`, text, type);
    said.textContent = t("publish.saved");
  }
  return h("div", {}, h("p", { class: "hint" }, t("publish.hint")), format.node, measures.node, oven.node,
    h("div", { class: "buttons" }, h("button", { type: "button", class: "main", on: { click: copy } }, t("publish.copy")),
      h("button", { type: "button", on: { click: save } }, t("publish.save"))), said);
}
