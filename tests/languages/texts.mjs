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
    for (const part of ["page", "more", "notes"]) {
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
  /** The ingredients that the field reads from some spellings. */
  async named({ labels, everyName, spellings }) {
    const names = ingredientNames(labels, async () => everyName);
    await names.learn();
    return spellings.map((spelling) => names.name(spelling));
  },
};

function textsFolder() {
  return pathToFileURL(`${process.env.TEXTS}/`);
}

const { what, ...given } = JSON.parse(readFileSync(0, "utf8"));
console.log(JSON.stringify(await asked[what](given)));
