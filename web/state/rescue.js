/** What a page that can't start still offers: to save what the browser keeps as a file, and to begin again with that set aside.
Imports nothing, because whatever it imported could be what fails. */

/** @type {Record<string, string[]>} */
const TEXTS = {
  en: ["Something on this page didn't start", "Reload the page. If that doesn't help, download your breads, then start again. "
    + "Nothing is deleted: your saved work is set aside.", "Download my breads", "Start again", "There is nothing to save."],
  de: ["Etwas auf dieser Seite ist nicht gestartet", "Bitte die Seite neu laden. Hilft das nicht: die Brote herunterladen, "
    + "dann neu beginnen. Nichts wird gelöscht, nur beiseitegelegt.", "Meine Brote herunterladen", "Neu beginnen",
  "Es gibt nichts zu sichern."],
  ja: ["ページの一部が始まりませんでした", "ページを再読み込みしてください。直らないときは、保存したレシピをファイルに保存してから、新しく始めてください。"
    + "何も削除せず、別に取っておきます。", "レシピをファイルに保存", "新しく始める", "保存するものがありません。"],
  "zh-Hant": ["頁面有一部分沒有載入", "請重新整理頁面。如果還是不行，請先把已存配方下載成檔案，再重新開始。不會刪除任何資料，只是先移到一旁。",
    "下載已存配方", "重新開始", "沒有可以下載的資料。"],
  "zh-Hans": ["页面有一部分没有加载", "请刷新页面。如果仍不行，请先把已存配方下载成文件，再重新开始。不会删除任何数据，只是先移到一旁。",
    "下载已存配方", "重新开始", "没有可下载的数据。"],
};
/** @param {string} tag */
const languageOf = (tag) => (/^zh/i.test(tag) ? `zh-${/hant|tw|hk|mo/i.test(tag) ? "Hant" : "Hans"}` : tag.slice(0, 2));
const OURS = /^scaldloaf\.(work|notebook)/;
const LOOSE = /^scaldloaf\.(?!work|notebook|language)/;      // of no worth but to start quickly
const ASIDE = ".unreadable";

/** What act() returns; undefined where the browser refuses. @template T @param {() => T} act */
function attempt(act) {
  try {
    return act();
  } catch {
    return undefined;
  }
}

/** @typedef {Storage_ | undefined} Kept */

/** @param {Kept} storage @param {RegExp} pattern */
const keysOf = (storage, pattern) => attempt(() => Object.keys(storage ?? {}).filter((key) => pattern.test(key))) ?? [];

/** @param {Kept} storage @param {RegExp} pattern */
const forget = (storage, pattern) => { for (const key of keysOf(storage, pattern)) attempt(() => storage?.removeItem(key)); };

/** What a storage keeps for the baker, or only what was set aside. @param {Kept} storage @returns {Record<string, string>} */
export function keptIn(storage, pattern = /\.unreadable/) {
  return Object.fromEntries(keysOf(storage, OURS).filter((key) => pattern.test(key))
    .map((key) => [key, attempt(() => storage?.getItem(key))]).filter(([, text]) => typeof text === "string"));
}

/** Keeps a text that can't be used under a key of its own; false when the browser doesn't. @param {Storage_} storage @param {string} key @param {string} text */
export function setAside(storage, key, text) {
  const aside = Object.entries(keptIn(storage)).filter(([name]) => name.startsWith(key));
  if (aside.some(([, there]) => there === text)) return true;
  const free = storage.getItem(key + ASIDE) === null ? key + ASIDE : `${key}${ASIDE}.${Date.now().toString(36)}`;
  const put = () => { storage.setItem(free, text); return true; };
  return attempt(put) ?? (forget(storage, LOOSE), attempt(put)) ?? false;
}

/** False when there is nothing to save. @param {Kept} storage */
export function saveKept(storage) {
  const stored = keptIn(storage, OURS);
  const any = Object.keys(stored).length > 0;
  if (any) saveFile({ stored, saved: Date.now() });
  return any;
}

/** @param {object} content */
export function saveFile(content) {
  const text = JSON.stringify({ format: "scaldloaf-notebook", version: 1, ...content }, null, 1);
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  link.download = `scaldloaf-${new Date().toISOString().slice(0, 10)}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

function beginAnew() {
  const storage = attempt(() => localStorage);
  for (const [key, text] of Object.entries(keptIn(storage, /\.(work|notebook)$/))) {
    attempt(() => storage?.removeItem(key));           // makes room
    if (!attempt(() => storage && setAside(storage, key, text))) attempt(() => storage?.setItem(key, text));
  }
  forget(storage, LOOSE);
  forget(attempt(() => sessionStorage), LOOSE);
  location.replace(location.pathname);
}

/** Says what to do now, in the place of what could not start; what waited for it waits no longer. @param {HTMLElement} place @param {unknown} error */
export function failed(place, error) {
  console.error(error);
  for (const waiting of document.querySelectorAll(".fold-body > .hint, .folded-body > .hint")) waiting.remove();
  const wanted = [attempt(() => localStorage.getItem("scaldloaf.language")), ...navigator.languages].map((tag) => languageOf(tag ?? ""));
  const lang = wanted.find((tag) => Object.hasOwn(TEXTS, tag)) ?? "en";
  const [title, advice, save, anew, nothing] = TEXTS[lang];
  /** @param {string} tag @param {object} attributes @param {(Node | string)[]} children */
  const make = (tag, attributes, ...children) => {
    const node = Object.assign(document.createElement(tag), attributes);
    node.append(...children);
    return node;
  };
  const said = make("p", { role: "status" });
  /** @param {string} text @param {() => void} onclick */
  const button = (text, onclick) => make("button", { type: "button", onclick }, text);
  place.replaceChildren(make("div", { lang, role: "alert" }, make("h2", {}, title), make("p", {}, advice),
    make("p", { className: "buttons" },
      button(save, () => { said.textContent = saveKept(attempt(() => localStorage)) ? "" : nothing; }), button(anew, beginAnew)), said));
}
