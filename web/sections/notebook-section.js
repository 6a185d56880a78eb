/** The notebook: saves and opens breads, and gives everything as a file or a plan as a link. */

import { addressOf } from "../state/address.js";
import { asideRow, partOf } from "../state/aside.js";
import { LISTS, briefAnswers, merge, readNotebook } from "../state/notebook.js";
import { putOnBench } from "../state/put-on-bench.js";
import { saveFile } from "../state/rescue.js";
import { fitting } from "../state/saved.js";
import { newKey } from "../state/work.js";
import { folded, h } from "../ui/dom.js";
import { figuresOf } from "../ui/figures.js";
import { keyedRows, section } from "../ui/layout.js";

const MOST_BYTES = 20_000_000;
const MOST_NAMED = 10;

/** @typedef {(name: string, values?: Record<string, unknown>) => void} Say */

/** The saved breads. @param {Bench} bench @param {HTMLElement} said @param {Say} say @param {() => void} changed */
function breadList(bench, said, say, changed) {
  const { t, notebook, state } = bench;
  const list = h("ul", { class: "breads" });
  const rows = keyedRows(list, breadRow);

  /** @param {SavedBread} bread */
  function breadRow(bread) {
    const when = bread.saved ? new Intl.DateTimeFormat(bench.locale, { dateStyle: "medium" }).format(new Date(bread.saved)) : "";
    const name = bread.name || t("notebook.nameless");
    const { share, pan, lid } = bread.work;
    const { text, volume } = figuresOf(bench);
    const tin = bread.answers?.fill && fitting(bread.answers, bench.units().wire) ? volume(bread.answers.fill.pan_volume)
      : pan.shape && t.has(`pans.${pan.shape}`) ? t(`pans.${pan.shape}`) : "";
    const says = [typeof share === "number" ? t("notebook.scalded", { share: text(Number(share.toFixed(1)), "percent") }) : "",
                  lid === null ? "" : t(lid ? "tonight.lidded" : "tonight.open"), tin, when].filter(Boolean).join(t("write.list"));
    return {
      node: h("li", {}, h("span", { class: "bread-name" }, name, h("small", {}, ` ${says}`)),
        h("button", { type: "button", "aria-label": t("notebook.openNamed", { name }), on: { click: () => open(bread) } }, t("notebook.open")),
        h("button", { type: "button", class: "icon", "aria-label": t("notebook.removeNamed", { name }),
                      on: { click: () => remove(bread) } }, "×")),
      refresh() {},
    };
  }

  function refresh() {
    rows.show(notebook.state.breads);
    changed();
  }

  /** Saves what is on the bench. */
  function keep() {
    const bread = { key: newKey(), name: state.formula.name, saved: Date.now(), work: bench.work(),
                    answers: briefAnswers(bench.answers.now()) };
    notebook.change((book) => { book.breads.unshift(bread); });
    refresh();
    say("kept", { name: bread.name || t("notebook.nameless") });
  }

  /** @param {SavedBread} bread */
  function open(bread) {
    const isKept = putOnBench(bench, bread.work, bread.answers);
    say(isKept ? "opened" : "openedOnly", { name: bread.name || t("notebook.nameless") });
  }

  /** @param {SavedBread} bread */
  function remove(bread) {
    const index = notebook.state.breads.indexOf(bread);
    notebook.change((book) => { book.breads.splice(index, 1); });
    refresh();
    const undo = h("button", { type: "button", on: { click: () => {
      notebook.change((book) => { book.breads.splice(index, 0, bread); });
      refresh();
      said.replaceChildren();
    } } }, t("notebook.undo"));
    said.replaceChildren(t("notebook.removed", { name: bread.name }), " ", undo);
    undo.focus();
  }

  refresh();
  return { list, refresh, keep };
}

/** Adds a file to the notebook. @param {Bench} bench @param {File} file @param {HTMLElement} said @param {Say} say */
async function upload(bench, file, said, say) {
  const text = file.size > MOST_BYTES ? "" : await file.text().catch(() => "");
  const read = readNotebook(text, bench.pattern);
  if (read.complaint !== undefined) return say(read.complaint, { name: file.name });
  const book = bench.notebook.state;
  const before = LISTS.map((list) => book[list]?.length ?? 0);
  const added = merge(book, read.notebook);
  try {
    bench.redraw();
  } catch (error) {
    // Nothing is saved before the page has drawn it: what can't be drawn would stop every later start.
    console.error(error);
    LISTS.forEach((list, index) => book[list]?.splice(before[index]));
    bench.redraw();
    return say("damaged", { name: file.name });
  }
  bench.changeNotebook(() => {});
  say("imported", { count: added });
  if (read.unread.length) said.append(" ", unreadSaid(bench.t, read.notebook, read.unread));
}

/** How much of a file was read, and what was not.
@param {Texts} t @param {import("../state/notebook.js").Lists} notebook @param {import("../state/notebook.js").Unread[]} unread */
function unreadSaid(t, notebook, unread) {
  const count = LISTS.reduce((sum, list) => sum + notebook[list].length, 0);
  const names = unread.slice(0, MOST_NAMED).map(({ list, index, name }) => {
    const title = typeof name === "string" && name ? `“${name.slice(0, 60)}”` : index === undefined ? "" : index + 1;
    return `${partOf(t, [list])} ${title}`.trim();
  });
  return t("notebook.unread", { count, whole: count + unread.length, names: names.join(t("write.list")) + (unread.length > MOST_NAMED ? " …" : "") });
}

/** @param {Bench} bench @param {() => void} changed called when breads came or went @param {() => void} printCode @returns {Section & {say: Say}} */
export function notebookSection(bench, changed, printCode) {
  const { t, notebook, state } = bench;
  const said = h("p", { role: "status", class: "said" });
  /** @type {Say} */
  const say = (name, values) => { said.textContent = t(`notebook.${name}`, values); };
  const breads = breadList(bench, said, say, changed);

  function download() {
    const { version, ...book } = /** @type {Notebook & {version?: number}} */ (notebook.state);
    saveFile(book);
  }

  async function share() {
    const address = await addressOf(bench);
    try {
      await navigator.share({ title: state.formula.name || t("page.title"), url: address });
    } catch (error) {
      if (!(error instanceof DOMException && error.name === "AbortError")) await link(address);        // else: shared with nobody
    }
  }

  /** @param {string} [made] */
  async function link(made) {
    const address = made ?? await addressOf(bench);
    try {
      await navigator.clipboard.writeText(address);
      say("linkCopied");
    } catch {
      said.replaceChildren(t("notebook.link"), " ", h("a", { href: address }, t("notebook.thisLink")));
    }
  }

  /** @type {HTMLInputElement} */
  const file = h("input", { type: "file", accept: "application/json,.json", class: "unseen", tabindex: "-1", "aria-hidden": "true",
                            on: { change: () => { if (file.files?.[0]) upload(bench, file.files[0], said, say); file.value = ""; } } });
  const publish = folded(t("publish.title"));
  publish.addEventListener("toggle", async () => {
    const { publishPart } = await import("./publish-part.js");
    publish.lastElementChild?.append(publishPart(bench));
  }, { once: true });
  /** @param {string} name @param {() => void} act */
  const button = (name, act) => h("button", { type: "button", on: { click: act } }, t(`notebook.${name}`));
  return {
    summary() {
      const count = bench.notebook.state.breads.length;
      return count ? t("notebook.some", { count }) : t("notebook.none");
    },
    refresh: breads.refresh, say,
    node: section("notebook", t("notebook.title"),
      [h("div", { class: "buttons" }, button("keep", breads.keep),
        "share" in navigator ? button("share", share) : null, button("linkMake", () => link()),
        h("button", { type: "button", on: { click: printCode } }, t("code.print"))), breads.list,
       h("div", { class: "buttons" }, button("export", download), button("import", () => file.click()), file), said, publish, asideRow(bench)],
      null, { intro: t("notebook.intro") }),
  };
}
