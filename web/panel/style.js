/** The panel's style: sheets made by script, which a host's content policy does not stop. */

const FILES = ["styles/look.css", "panel/panel.css"];
const HOST = ":host { all: initial; display: block; font-size: medium; container-type: inline-size; }";
const WAITING = ".panel { visibility: hidden; }";

const fetched = new Map();

function sheet(text) {
  const made = new CSSStyleSheet();
  made.replaceSync(text);
  return made;
}

function textsFrom(base) {
  if (!fetched.has(base)) {
    const wanted = Promise.all(FILES.map(async (file) => (await fetch(new URL(file, base))).text()));
    fetched.set(base, wanted);
    wanted.catch(() => fetched.delete(base));
  }
  return fetched.get(base);
}

/** Lengths by the panel's own text size: hosts shrink their root for purposes of their own. */
function bySize(text, size) {
  return text.replace(/(\d*\.?\d+)rem\b/g, (_, number) => `${Number(number) * size}px`);
}

/** One look whatever the reader's system prefers, for hosts that have only one. */
function inLook(text, look) {
  return text.replaceAll("(prefers-color-scheme: dark)", look === "dark" ? "all" : "not all")
    .replaceAll("color-scheme: light dark", `color-scheme: ${look}`);
}

/** Dresses a host element's shadow root; without style when it can't be had. */
export async function dress(host, base, look) {
  const { shadowRoot } = host;
  shadowRoot.adoptedStyleSheets = [sheet(HOST + WAITING)];
  const size = parseFloat(getComputedStyle(host).fontSize);
  const texts = await textsFrom(base).catch(() => []);
  shadowRoot.adoptedStyleSheets = [HOST, ...texts.map((text) => bySize(text, size))
    .map((text) => (["light", "dark"].includes(look) ? inLook(text, look) : text))].map(sheet);
}
