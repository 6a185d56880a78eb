/** The notebook on the page: save and open breads, carry everything as a file, hand a plan on as a link. */

import { saveFile } from "../page/start.js";
import { asideRow, partOf } from "../state/aside.js";
import { LISTS, briefAnswers } from "../state/kept.js";
import { linkOf } from "../state/link.js";
import { merge, readNotebook } from "../state/notebook.js";
import { putOnBench } from "../state/put-on-bench.js";
import { newKey } from "../state/work.js";
import { h, keyedRows, section } from "../ui/dom.js";

const MOST_BYTES = 20_000_000;
const MOST_NAMED = 10;

export function notebookSection(bench) {
  const { t, notebook, state } = bench;
  const said = h("p", { role: "status", class: "said" });
  const list = h("ul", { class: "breads" });
  const rows = keyedRows(list, breadRow);
  const say = (name, values) => { said.textContent = t(`notebook.${name}`, values); };

  function breadRow(bread) {
    const when = bread.saved ? new Intl.DateTimeFormat(bench.locale, { dateStyle: "medium" }).format(new Date(bread.saved)) : "";
    const name = bread.name || t("notebook.nameless");
    return {
      node: h("li", {}, h("span", { class: "bread-name" }, name, h("small", {}, ` ${when}`)),
        h("button", { type: "button", "aria-label": t("notebook.openNamed", { name }), on: { click: () => open(bread) } }, t("notebook.open")),
        h("button", { type: "button", class: "icon", "aria-label": t("notebook.removeNamed", { name }),
                      on: { click: () => remove(bread) } }, "×")),
      refresh() {},
    };
  }

  function refresh() {
    rows.show(notebook.state.breads);
  }

  /** What is on the bench, written down. */
  function keep() {
    const bread = { key: newKey(), name: state.formula.name, saved: Date.now(), work: bench.work(),
                    answers: briefAnswers(bench.answers.now()) };
    notebook.change((book) => { book.breads.unshift(bread); });
    refresh();
    say("kept", { name: bread.name || t("notebook.nameless") });
  }

  function open(bread) {
    putOnBench(bench, bread.work, bread.answers);
    say("opened", { name: bread.name });
  }

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

  function download() {
    const { breads, trials, loaves, keeping } = notebook.state;
    saveFile({ breads, trials, loaves, keeping });
  }

  async function upload(file) {
    const text = file.size > MOST_BYTES ? "" : await file.text().catch(() => "");
    const read = readNotebook(text, bench.pattern);
    if (read.complaint) return say(read.complaint, { name: file.name });
    const book = notebook.state;
    const before = LISTS.map((list) => book[list].length);
    const added = merge(book, read.notebook);
    try {
      bench.redraw();
    } catch (error) {
      // Nothing is saved before the page has drawn it: what can't be drawn would stop every start to come.
      console.error(error);
      LISTS.forEach((list, index) => { book[list].length = before[index]; });
      bench.redraw();
      return say("damaged", { name: file.name });
    }
    bench.changeNotebook(() => {});
    say("imported", { count: added });
    if (read.unread.length) said.append(" ", unreadSaid(read));
  }

  /** How much of a file was read, and what was not. */
  function unreadSaid({ notebook: { breads, trials, loaves }, unread }) {
    const count = breads.length + trials.length + loaves.length;
    const names = unread.slice(0, MOST_NAMED).map(({ list, index, name }) => {
      const title = typeof name === "string" && name ? `“${name.slice(0, 60)}”` : index === undefined ? "" : index + 1;
      return `${partOf(t, [list])} ${title}`.trim();
    });
    return t("notebook.unread", { count, whole: count + unread.length, names: names.join(", ") + (unread.length > MOST_NAMED ? " …" : "") });
  }

  async function link() {
    const address = `${location.href.split("#")[0]}${await linkOf(bench.work())}`;
    try {
      await navigator.clipboard.writeText(address);
      say("linkCopied");
    } catch {
      said.replaceChildren(t("notebook.link"), " ", h("a", { href: address }, t("notebook.thisLink")));
    }
  }

  const file = h("input", { type: "file", accept: "application/json,.json", class: "unseen", tabindex: "-1", "aria-hidden": "true",
                            on: { change: () => { if (file.files[0]) upload(file.files[0]); file.value = ""; } } });
  const button = (name, act) => h("button", { type: "button", on: { click: act } }, t(`notebook.${name}`));
  refresh();
  return {
    refresh, say,
    node: section("notebook", t("notebook.title"),
      [h("div", { class: "buttons" }, button("keep", keep), button("linkMake", link)), list,
       h("div", { class: "buttons" }, button("export", download), button("import", () => file.click()), file), said, asideRow(bench)],
      null, { intro: t("notebook.intro") }),
  };
}
