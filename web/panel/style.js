/** The style of the panel: sheets made by script, which the content policy of a host does not stop. */

import { sheetsOf } from "../messages/messages.js";

const FILES = ["styles/look.css", "styles/answers.css", "panel/panel.css"];
const HOST = ":host { all: initial; display: block; font-size: medium; container-type: inline-size; }";
const WAITING = ".panel { visibility: hidden; }";

/** @type {Map<string, Promise<string[]>>} */
const fetched = new Map();

/** @param {string} text */
function sheet(text) {
  const made = new CSSStyleSheet();
  made.replaceSync(text);
  return made;
}

/** @param {string} base @param {string} language */
function textsFrom(base, language) {
  const files = [...FILES, ...sheetsOf(language)];
  const key = [base, ...files].join(" ");
  const texts = fetched.get(key) ?? Promise.all(files.map(async (file) => (await fetch(new URL(file, base))).text()));
  fetched.set(key, texts);
  texts.catch(() => fetched.delete(key));
  return texts;
}

/** Lengths by the text size of the panel, because hosts shrink their root. @param {string} text @param {number} size */
function bySize(text, size) {
  return text.replace(/(\d*\.?\d+)rem\b/g, (_, number) => `${Number(number) * size}px`);
}

/** One look whatever the system of the reader prefers, for hosts that have only one. @param {string} text @param {string} look */
function inLook(text, look) {
  return text.replaceAll("(prefers-color-scheme: dark)", look === "dark" ? "all" : "not all")
    .replaceAll("color-scheme: light dark", `color-scheme: ${look}`);
}

/** Dresses the shadow root of a host, without style where it can't be loaded.
@param {HTMLElement} host @param {string} base @param {string | null} look @param {string} language */
export async function dress(host, base, look, language) {
  const { shadowRoot } = host;
  if (!shadowRoot) return;
  shadowRoot.adoptedStyleSheets = [sheet(HOST + WAITING)];
  const size = parseFloat(getComputedStyle(host).fontSize);
  const texts = await textsFrom(base, language).catch(() => []);
  shadowRoot.adoptedStyleSheets = [HOST, ...texts.map((text) => bySize(text, size))
    .map((text) => (look === "light" || look === "dark" ? inLook(text, look) : text))].map(sheet);
}
