/** A recipe pasted or opened, read by the service line by line, looked over, and put on the bench. */

import { createAsker } from "../service/asker.js";
import { wire } from "../service/requests.js";
import { putOnBench } from "../state/put-on-bench.js";
import { line as newLine } from "../state/work.js";
import { answerOf } from "../ui/answer.js";
import { h, uniqueId } from "../ui/dom.js";
import { choiceField, numberField } from "../ui/fields.js";
import { readingOf } from "./reading.js";

const CHOICES = { cup: ["us", "metric"], flour: ["bread_flour", "plain_flour"], yeast: ["instant", "active_dry", "compressed"],
                  egg_size: ["small", "medium", "large", "extra_large"], decimal_comma: ["auto", "yes", "no"] };
const MOST_CHARACTERS = 60_000;

const STRUCTURED = /<script\b[^>]*\btype\s*=\s*["']?application\/ld\+json\b[^>]*>([\s\S]*?)<\/script/gi;

/** The structured recipes in a page's source; the page itself is neither built nor run. */
function recipesOfPage(text) {
  return [...text.matchAll(STRUCTURED)].flatMap(([, script]) => {
    try {
      return [JSON.parse(script)];
    } catch {
      return [];
    }
  });
}

/** What was pasted, as the request takes it: structured data, or plain lines. */
export function recipeOf(text) {
  const page = recipesOfPage(text);
  if (page.length) return { recipe: page };
  if (/^\s*[[{]/.test(text)) {
    try {
      return { recipe: JSON.parse(text) };
    } catch { /* then it is lines that begin with a bracket */ }
  }
  return { text };
}

export function importPanel(bench, done) {
  const { t, names } = bench;
  const wanted = { text: "", cup: "", flour: "", yeast: "", egg_size: "", decimal_comma: "", egg_mass: null };
  const id = uniqueId("paste");
  const area = h("textarea", { id, rows: 8, spellcheck: "false", maxlength: MOST_CHARACTERS,
                               on: { input: () => { wanted.text = area.value; read(); } } });
  const file = h("input", { type: "file", accept: ".txt,.json,.html,text/*,application/json", class: "unseen", tabindex: "-1",
                            "aria-hidden": "true", on: { change: open } });
  const choices = Object.entries(CHOICES).map(([name, values]) => choiceField(bench, {
    label: t(`import.${name}`), place: `import/${name}`, get: () => wanted[name],
    set: (value) => { wanted[name] = value; read(); },
    choices: [["", t("import.asSaid")], ...values.map((value) => [value, name === "flour" ? names.label(value) : t(`import.${name}_${value}`)])],
  }));
  const egg = numberField(bench, { label: t("import.egg_mass"), quantity: "mass", optional: true, place: "import/egg_mass",
                                   get: () => wanted.egg_mass, set: (value) => { wanted.egg_mass = value; read(); } });
  const accept = h("button", { type: "button", class: "nearest", hidden: true, on: { click: put } }, t("import.put"));
  let last = null;                // the reading of what is pasted: {formula, units}
  let asked = null;               // the units of the newest question

  async function open() {
    const [chosen] = file.files;
    if (!chosen) return;
    area.value = (await chosen.text()).slice(0, MOST_CHARACTERS);
    wanted.text = area.value;
    file.value = "";
    read();
  }

  function read() {
    const any = wanted.text.trim() !== "";
    answer.node.hidden = !any;
    if (!any) { accept.hidden = true; return; }
    const options = Object.fromEntries(Object.keys(CHOICES).filter((name) => wanted[name]).map((name) => [name, wanted[name]]));
    const units = bench.units();
    accept.disabled = true;         // until this very text is read
    asked = units;
    ask({ call: "recipe-import",
          body: { units: units.wire, ...recipeOf(wanted.text), ...options, egg_mass: wire(wanted.egg_mass, "mass", units) },
          place: (pointer) => `import${pointer}` });
  }

  /** The formula goes on the bench; what was there goes to the notebook. */
  function put() {
    const { formula: { name, lines, scald_evaporation: evaporation }, units } = last;
    const work = bench.work();
    work.formula = {
      name, scald_evaporation: units.inward(evaporation ?? 0, "mass"),
      lines: lines.map((each) => newLine(each.ingredient, Number(units.inward(each.mass, "mass").toPrecision(6)), each.part, each.composition)),
    };
    putOnBench(bench, work);
    area.value = wanted.text = "";
    read();
    done();
  }

  const answer = answerOf(bench, "import", t("import.answer"), (reply) => readingOf(bench, reply));
  answer.node.hidden = true;
  const ask = createAsker(bench, "import", {
    answered(reply) {
      last = { formula: reply.formula, units: asked };
      answer.show(reply);
      accept.hidden = !reply.formula;
      accept.disabled = false;
    },
    old() { answer.old(); accept.hidden = true; },
  });
  return h("div", {}, h("p", { class: "hint" }, t("import.intro")),
    h("div", { class: "field" }, h("label", { for: id }, t("import.label")), area),
    h("div", { class: "buttons" }, h("button", { type: "button", on: { click: () => file.click() } }, t("import.open")), file),
    h("div", { class: "pair" }, choices.map((choice) => choice.node), egg.node), answer.node, accept);
}
