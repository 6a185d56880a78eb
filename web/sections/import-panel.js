/** Reads a pasted or opened recipe line by line, and puts it on the bench when the baker has looked at it. */

import { Refused, Unreachable } from "../service/api.js";
import { createAsker } from "../service/asker.js";
import { wire, wireFormula } from "../service/requests.js";
import { keepPaste, keptPaste } from "../state/pasted.js";
import { putOnBench } from "../state/put-on-bench.js";
import { isExampleTin, line as newLine } from "../state/work.js";
import { answerOf } from "../ui/answer.js";
import { folded, h, uniqueId } from "../ui/dom.js";
import { choiceField, numberField } from "../ui/fields.js";
import { figuresOf } from "../ui/figures.js";
import { decidedFormula, fieldsOf, remember, remembered, scaldLines } from "./reading-checks.js";
import { readingOf, rewrite } from "./reading.js";

const COOKED_FROM = 3;          // parts of liquid: such a scald is cooked in a pan, nothing is poured on it
const COOKED_TO = 65;           // °C, until the baker measures it

/** @type {Record<Choice, string[]>} */
const CHOICES = { cup: ["us", "metric"], decimal_comma: ["auto", "yes", "no"] };
/** @typedef {"cup" | "decimal_comma"} Choice */
const MOST_CHARACTERS = 60_000;
const LISTED = ["lines_not_read", "lines_unsure", "lines_outside", "section_in_doubt"];

const STRUCTURED = /<script\b[^>]*\btype\s*=\s*["']?application\/ld\+json\b[^>]*>([\s\S]*?)<\/script/gi;

/** The structured recipes in the source of a page, which is neither built nor run. @param {string} text */
function recipesOfPage(text) {
  return [...text.matchAll(STRUCTURED)].flatMap(([, script]) => {
    try {
      return [JSON.parse(script)];
    } catch {
      return [];
    }
  });
}

/** The paste as the request takes it: structured data, or plain lines. @param {string} text */
function recipeOf(text) {
  const page = recipesOfPage(text);
  if (page.length) return { recipe: page };
  if (/^\s*[[{]/.test(text)) {
    try {
      return { recipe: JSON.parse(text) };
    } catch { /* then it is lines that begin with a bracket */ }
  }
  return { text };
}

/** @typedef {{text: string, egg_mass: Entry} & Record<Choice, string>} Wanted */
/** @typedef {import("./reading.js").Deciding & {text: string, scald: number[] | null}} Reading */

/** What is seldom to be said; the rest is decided in the line that asks for it. @param {Bench} bench @param {Wanted} wanted @param {() => void} read */
function readingFields(bench, wanted, read) {
  const { t } = bench;
  const choices = /** @type {Choice[]} */ (Object.keys(CHOICES)).map((name) => choiceField(bench, {
    label: t(`import.${name}`), place: `import/${name}`, get: () => wanted[name],
    set: (value) => { wanted[name] = value; read(); },
    choices: [["", t("import.asSaid")], ...CHOICES[name].map((value) => /** @type {[string, string]} */ (
      [value, t(`import.${name}_${value}`)]))],
  }));
  const egg = numberField(bench, { label: t("import.egg_mass"), quantity: "mass", optional: true, place: "import/egg_mass",
                                   get: () => wanted.egg_mass, set: (value) => { wanted.egg_mass = value; read(); } });
  return [...choices, egg];
}

/** @param {Wanted} wanted @param {Units} units @param {Record<string, unknown>} decided
@returns {ServiceRequest<"recipe-import">} */
function importRequest({ text, egg_mass: egg, ...choices }, units, decided) {
  const made = Object.fromEntries(Object.entries(choices).filter(([, choice]) => choice));
  return { call: "recipe-import", body: { units: units.wire, ...recipeOf(text), ...made, ...decided, egg_mass: wire(egg, "mass", units) },
           place: (pointer) => `import${pointer}` };
}

/** The formula that was read as the bench keeps it. @param {Bench} bench @param {Schemas["Formula"]} formula
@param {Units} units in which it was read @returns {Formula} */
function keptFormula(bench, { name, lines, scald_evaporation: evaporation }, units) {
  return {
    name: name || bench.t("import.nameless"), by: "mass", flour: null, scald_evaporation: units.inward(evaporation ?? 0, "mass"),
    lines: lines.map((each) => newLine(each.ingredient, Number(units.inward(each.mass ?? 0, "mass").toPrecision(6)),
      each.part ?? "dough", each.composition)),
  };
}

/** A work with this formula, at the share and with the scald that it has itself.
@param {Bench} bench @param {Formula} formula @param {Answers["formula"]} whole of that formula and no other */
function workOf(bench, formula, whole) {
  const work = bench.work();
  work.share = whole.scalded_share_percent;       // not rounded: a little less would need less water than the milk brings
  work.untimed = true;
  // A last loaf, and bakes, were of another bread; one of this bread was baked as the recipe is.
  work.bread = { ...structuredClone(bench.pattern.bread), scalded_share_percent: work.share };
  const { liquid_ratio: ratio } = whole.scald;
  work.plan.method = ratio !== null && ratio >= COOKED_FROM ? "cooked" : "pour_over";
  if (work.plan.method === "cooked") work.plan.core_temperature ??= COOKED_TO;
  Object.assign(work.water, { scald_liquid_ratio: null, hydration_percent: null, scald_liquids: [] });
  return Object.assign(work, { formula });
}

/** What scald a recipe has, until a share is chosen where it has none, and that the tin is not its own yet.
@param {Bench} bench @param {Answers["formula"]} whole */
function saidOf(bench, { scalded_share_percent: share, scald: { liquid_ratio: ratio } }) {
  const { t, state } = bench;
  const { text } = figuresOf(bench);
  const scald = ratio === null ? (Number(state.share) > 0 ? "" : t("import.noScald"))
    : t("import.scald", { share: text(share, "percent", 1), ratio: text(ratio, "") });
  return [scald, isExampleTin(state.pan) ? t("import.tin") : ""].filter(Boolean).join(" ");
}

/** @param {Bench} bench @param {(says: () => string) => void} done called when the recipe is on the bench, with what is to be said of it */
export function importPanel(bench, done) {
  const { t } = bench;
  /** @type {Wanted} */
  const wanted = { text: "", cup: "", decimal_comma: "", egg_mass: null };
  /** What was decided about this text, and the lines of the scald as they were read at first. @type {Reading} */
  let reading = fresh("");
  const id = uniqueId("paste");
  /** @type {HTMLTextAreaElement} */
  const area = h("textarea", { id, rows: 6, spellcheck: "false", maxlength: MOST_CHARACTERS,
                               on: { input: () => take(area.value) } });
  const file = h("input", { type: "file", accept: ".txt,.json,.html,text/*,application/json", class: "unseen", tabindex: "-1",
                            "aria-hidden": "true", on: { change: open } });
  const fields = readingFields(bench, wanted, read);
  const accept = h("button", { type: "button", class: "main", hidden: true, on: { click: put } }, t("import.put"));
  /** @type {{reply: Replies["recipe-import"], units: Units} | null} */
  let last = null;                // the newest reading
  let asked = bench.units();      // the units of the newest call

  async function open() {
    const text = await file.files?.[0]?.text();
    if (text === undefined) return;
    area.value = text.slice(0, MOST_CHARACTERS);
    file.value = "";
    take(area.value);
  }

  /** @param {string} text */
  function take(text) {
    wanted.text = text;
    keepPaste(text);
    read();
  }

  function read() {
    answer.node.hidden = wanted.text.trim() === "";
    accept.hidden ||= answer.node.hidden;
    if (answer.node.hidden) return;
    accept.disabled = true;         // until this very text is read
    asked = bench.units();
    if (reading.text !== wanted.text) reading = fresh(wanted.text);
    ask(importRequest(wanted, asked, fieldsOf(reading.decisions, reading.decided, reading.scald ?? [])));
  }

  /** @param {string} text @returns {Reading} */
  function fresh(text) {
    const { decisions = [], decided = {}, scald = null } = remembered(bench.storage, text) ?? {};
    return { text, decisions, decided, scald, decide };
  }

  /** @param {import("./reading-checks.js").Decision} decision @param {string} value */
  function decide(decision, value) {
    reading.decided[decision.key] = value;
    keepDecided();
    if (decision.field !== "instead") return read();
    accept.hidden = !formulaNow();
  }

  function keepDecided() {
    remember(bench.storage, wanted.text, reading.decisions, reading.decided, reading.scald ?? []);
  }

  /** The formula with what was decided. */
  function formulaNow() {
    return last && decidedFormula(last.reply, reading.decisions, reading.decided);
  }

  async function put() {
    const found = formulaNow();
    if (!last || !found) return;
    const { reply, units } = last;
    const formula = keptFormula(bench, found, units);
    accept.disabled = true;
    try {
      const whole = await bench.api.call("breakdown", { units: units.wire, formula: wireFormula(formula, units) });
      if (reply !== last?.reply) return;          // another recipe was pasted meanwhile
      keepDecided();
      putOnBench(bench, workOf(bench, formula, whole));
      take(area.value = "");
      done(() => saidOf(bench, whole));
    } catch (error) {
      if (error instanceof Refused) bench.board.show("import", error.faults.map((fault) => ({ ...fault, place: "import" })));
      else if (error instanceof Unreachable) answer.say(t("link.lost"));
      else throw error;
    } finally {
      accept.disabled = false;
    }
  }

  const answer = answerOf(bench, "import", t("import.answer"), (reply) => readingOf(bench, reply, reading), h("div", { class: "buttons" }, accept));
  answer.node.hidden = true;
  /** @type {ReturnType<typeof createAsker<"recipe-import">>} */
  const ask = createAsker(bench, "import", {
    answered(reply) {
      last = { reply, units: asked };
      reading.scald ??= scaldLines(reply);
      // The list says these.
      const notes = (reply.notes ?? []).filter(({ code }) => !LISTED.includes(code));
      rewrite(answer.node, () => answer.show({ ...reply, notes }));
      accept.hidden = !formulaNow();
      accept.disabled = false;
    },
    old() { answer.old(); accept.hidden = true; },
  });
  const node = h("div", {}, h("p", { class: "hint" }, t("import.intro")),
    h("div", { class: "field" }, h("label", { for: id }, t("import.label")), area),
    h("div", { class: "buttons" }, h("button", { type: "button", on: { click: () => file.click() } }, t("import.open")), file),
    answer.node, folded(t("import.options"), h("div", { class: "pair" }, fields.map((field) => field.node))));
  area.value = keptPaste();
  if (area.value) take(area.value);
  return { node, use: accept };
}
