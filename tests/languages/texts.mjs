/** Answers of the page's own modules about its languages, as JSON. The question comes on standard input. */

import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [, , messages] = process.argv;
const { LANGUAGES, ingredientNames, localeOf, pickLanguage, textsOf } = await import(pathToFileURL(messages));

class FakeElement {
  setAttribute() {}

  append() {}
}
globalThis.document = { createElement: () => new FakeElement() };

const asked = {
  languages: () => LANGUAGES,
  picked: ({ tags, languages }) => tags.map((tag) => pickLanguage([tag], languages)),
  locale: ({ language, wanted, languages }) => localeOf(language, wanted, languages),
  /** [[name, text]] of one folder as it is, in order. */
  async folder({ language }) {
    const found = [];
    const walk = (node, path) => Object.entries(node).forEach(([name, value]) =>
      (typeof value === "string" ? found.push([`${path}${name}`, value]) : walk(value, `${path}${name}.`)));
    for (const part of ["page", "more", "series", "notes"]) {
      walk((await import(new URL(`./${language}/${part}.js`, textsFolder()))).default, "");
    }
    return found;
  },
  /** The texts that t returns for some names. */
  async said({ language, locale, names, more }) {
    const t = await textsOf(language, locale);
    if (more) await t.more();
    return names.map((name) => [t(name), t.has(name)]);
  },
  /** The words for reasons of a reading; what is to be decided of a reply, and the decisions as fields of the next request. */
  why: async () => (await readingChecks()).WHY,
  async checked({ reply, decided, alone = [] }) {
    const { checksOf, decidedFormula, fieldsOf, lineDecision, valueOf } = await readingChecks();
    const { checks, decisions } = checksOf(reply, alone.map((line) => lineDecision({ line })));
    const scald = reply.lines.filter((line) => line.part === "scald" && line.kind === "ingredient").map((line) => line.line);
    return { checks: checks.map(({ decision, lines, why }) => ({ key: decision?.key, choices: decision?.choices, why,
                                                                 value: decision && valueOf(decision, lines, {}), stands: decision && valueOf(decision, lines, decided), lines: lines.map(({ line }) => line) })),
             fields: fieldsOf(decisions, decided, scald), formula: decidedFormula(reply, decisions, decided) };
  },
  /** Where each line of a reply may be put by itself. */
  async offered({ reply }) {
    const { otherPart } = await readingChecks();
    const ingredients = reply.lines.filter(({ kind }) => kind === "ingredient");
    return ingredients.map((line) => [line.line, otherPart(line, ingredients)]);
  },
  /** The ingredients that the field reads from some spellings. */
  async named({ labels, everyName, spellings }) {
    const names = ingredientNames(labels, async () => everyName);
    await names.learn();
    return spellings.map((spelling) => names.name(spelling));
  },
};

const readingChecks = () => import(new URL("../sections/reading-checks.js", textsFolder()));

function textsFolder() {
  return pathToFileURL(`${process.env.TEXTS}/`);
}

const { what, ...given } = JSON.parse(readFileSync(0, "utf8"));
console.log(JSON.stringify(await asked[what](given)));
