/** The bread at several shares side by side: what each takes to weigh, and what comes of it. */

import { Refused, placed } from "../service/api.js";
import { bulkAnswers } from "../service/bulk.js";
import { compareRequests } from "../service/compare-requests.js";
import { h, section } from "../ui/dom.js";
import { numberField, writeFaults } from "../ui/fields.js";
import { figuresOf, withUnit } from "../ui/figures.js";
import { createGrid } from "../ui/grid.js";
import { showNumber } from "../ui/numbers.js";
import { nearby } from "./charts.js";
import { compareRows } from "./compare-rows.js";
import { newBake } from "./log-bakes.js";
import { logBakes } from "./log-section.js";

const MOST = 3;                 // columns beside the recipe's own
const HIGHEST = 60;             // percent, as far as the slider goes
const PAUSE_MS = 200;           // half a number is not asked about
const PATIENCE_MS = 500;        // figures that are not answered again by then are taken away

/** @typedef {Replies["loaf-plan"]} Plan */
/** @typedef {Keyed & {index: number}} Place a column: the recipe as it is, then the shares in order */

/** Shares to begin with: the one being worked on, and one on the way to it or above. @param {number} own @param {Entry} share */
function firstShares(own, share) {
  const now = typeof share === "number" ? share : own;
  if (now === own) return [own + 10, own + 15].map((each) => (each > HIGHEST ? each - 25 : each)).filter((each) => each >= 0);
  const between = Math.round((own + now) / 10) * 5;
  return between === now || between === own ? [now] : [between, now].sort((one, other) => one - other);
}

/** The column of one share. @param {Bench} bench @param {Place} place
@param {{shareOf(index: number): Entry, change(index: number, share: Entry): void, use(index: number): void, remove(index: number): void}} act */
function shareColumn(bench, { index }, { shareOf, change, use, remove }) {
  const { t, locale, units, board, api, names } = bench;
  // Its own bench: the ways out of a fault are those of this column, not of the bread being worked on.
  const field = index === 0 ? null : numberField({ t, locale, units, board, api, names }, {
    label: t("compare.share"), hideLabel: true, quantity: "percent", isShare: true, place: `compare/${index}`,
    get: () => shareOf(index), set: (value) => change(index, value) });
  field?.input.setAttribute("aria-label", t("compare.shareOf", { number: index + 1 }));
  field?.input.setAttribute("enterkeyhint", "next");
  const own = h("span", { class: "keep" });
  const head = field ? { content: field.node, faults: [/** @type {Element} */ (field.node.querySelector(".fault"))] }
    : { content: [h("small", {}, t("compare.recipe")), own], faults: [] };
  /** @type {Map<string, HTMLElement>} */
  const figures = new Map();
  const choose = h("button", { type: "button", on: { click: () => use(index) } }, t("compare.use"));
  const inUse = h("b", {}, t("compare.inUse"));
  const gone = h("button", { type: "button", class: "icon", on: { click: () => remove(index) } }, "×");
  /** @param {string} row */
  const figureOf = (row) => {
    const node = figures.get(row) ?? h("span", {});
    figures.set(row, node);
    return node;
  };
  return {
    head,
    /** @param {string} row @returns {GridCell} */
    cell: (row) => ({ content: row === "use" ? [choose, inUse, index ? gone : null] : figureOf(row) }),
    /** @param {string} row */
    inputs: (row) => (row === "use" ? [choose] : []),
    /** Writes a figure, faint where it is that of the recipe. @param {string} row @param {string} text @param {boolean} same */
    write(row, text, same) {
      const node = figureOf(row);
      node.textContent = text;
      node.closest("td")?.classList.toggle("same", same);
    },
    /** @param {boolean} now @param {string} title */
    mark(now, title) {
      choose.hidden = now;
      inUse.hidden = !now;
      gone.setAttribute("aria-label", t("compare.remove", { share: title }));
      own.textContent = title;
    },
    refresh() { field?.refresh(); },
    drop(/** @type {string} */ row) { figures.delete(row); },
    forget() { field?.forget?.(); },
    focus() { (field?.input ?? choose).focus(); },
  };
}

/** @param {Bench} bench @returns {Section & {draw(): void}} */
export function compareSection(bench) {
  const { t, state } = bench;
  /** @type {{answers: (Plan | Refused | null)[], of: string} | null} */
  let answered = null;
  /** @type {string | null} */
  let wanted = null;            // what is to be logged once it is answered
  const timers = { ask: 0, withdraw: 0 };
  /** @type {AbortController | null} */
  let running = null;
  /** @type {Place[]} */
  const places = Array.from({ length: MOST + 1 }, (_, index) => ({ key: String(index), index }));

  const grid = createGrid(t("compare.table"), t("compare.scalded"),
    (/** @type {Place} */ place) => shareColumn(bench, place, { shareOf, change, use, remove }));
  const hint = h("p", { class: "hint" });
  const waits = h("p", {});
  const faults = h("div", { class: "fault" });
  const said = h("p", { role: "status", class: "said" });
  const bake = h("button", { type: "button", class: "main", on: { click: bakeThese } }, t("compare.bake"));
  const add = h("button", { type: "button", on: { click: addShare } }, t("compare.add"));
  const room = h("div", { class: "compared" }, hint, waits, faults, grid.node);
  const ask = nearby(room, run, () => {});
  bench.board.register("compare", { fault(list) { writeFaults(bench, faults, list); } });

  const recipe = () => bench.answers.now().formula ?? null;
  /** @returns {Entry[]} */
  const shares = () => state.compare ?? firstShares(ownShare(), state.share);
  const ownShare = () => recipe()?.scalded_share_percent ?? 0;
  /** @param {number} index */
  function shareOf(index) {
    return index === 0 ? ownShare() : shares()[index - 1] ?? null;
  }

  // ---- What the baker does

  /** @param {(shares: Entry[]) => Entry[]} alter */
  function keep(alter) {
    const next = alter([...shares()]);
    bench.keep((work) => { work.compare = next; });
    draw();
  }
  /** @param {number} index @param {Entry} share */
  function change(index, share) {
    keep((list) => list.map((each, place) => (place === index - 1 ? share : each)));
  }
  function addShare() {
    const last = Math.max(ownShare(), ...shares().map((each) => Number(each) || 0));
    keep((list) => [...list, last + 5 > HIGHEST ? Math.max(0, last - 5) : Math.round(last + 5)]);
    grid.column(String(shares().length))?.focus();
  }
  /** @param {number} index */
  function remove(index) {
    keep((list) => list.filter((_, place) => place !== index - 1));
    grid.column(String(Math.min(index, shares().length)))?.focus();
  }
  /** @param {number} index */
  function use(index) {
    const share = shareOf(index);
    if (typeof share !== "number") return;
    if (!state.compare) bench.keep((work) => { work.compare = shares(); });        // they stay as they are, whatever is in use
    bench.change((work) => { work.share = share; });
    bench.redraw();
  }
  /** Puts the columns into the bake log, as soon as they are answered. */
  function bakeThese() {
    const plans = current();
    const asked = requests();
    wanted = plans || !asked ? null : textOf(asked);
    if (!plans) return;
    const { inward } = bench.units();
    const bakes = plans.flatMap((plan) => (plan && !(plan instanceof Refused) ? [newBake(bench, {
      share: plan.scalded_share_percent, hydration: plan.hydration_percent, dough: inward(plan.dough_mass.best, "mass") })] : []));
    const count = logBakes(bench, bakes);
    said.textContent = t(count === 1 ? "compare.logged" : count ? "compare.loggedMany" : "compare.loggedBefore", { count });
  }

  // ---- What is asked and answered

  function requests() {
    const own = recipe();
    return own && compareRequests(state, bench.units(), own, shares());
  }
  /** @param {ServiceRequest[] | null} asked */
  const textOf = (asked) => JSON.stringify(asked?.map(({ body }) => body));

  /** The answers to the entries as they are now, of each column; null while they are not there. */
  function current() {
    const asked = requests();
    return asked && answered?.of === textOf(asked) ? answered.answers : null;
  }

  function run() {
    clearTimeout(timers.ask);
    running?.abort();
    if (!current()) timers.ask = setTimeout(call, PAUSE_MS);
  }

  async function call() {
    const asked = requests();
    if (!asked) return;
    running = new AbortController();
    const { signal } = running;
    try {
      const answers = await bulkAnswers(asked, signal);
      if (signal.aborted) return;
      answered = answers.some((each) => each === null) ? null : { answers, of: textOf(asked) };
      const faulty = answers.flatMap((each, index) => (each instanceof Refused ? placed(each, asked[index]) : []));
      bench.board.show("compare", answers[0] instanceof Refused ? [] : faulty);
    } catch {
      if (signal.aborted) return;
      answered = null;
    }
    clearTimeout(timers.withdraw);
    write();
    if (wanted && wanted === answered?.of) bakeThese();
    wanted = null;
  }

  // ---- What is shown

  function titles() {
    return new Map(places.map(({ key, index }) => {
      const share = shareOf(index);
      return [key, typeof share === "number" ? withUnit(t, showNumber(share, bench.locale), "percent") : t("compare.shareOf", { number: index + 1 })];
    }));
  }

  /** Figures of before are faint until their answer comes, and taken away when it does not. While they are folded nothing is asked. */
  function draw() {
    if (room.closest("details:not([open])")) {
      room.classList.add("coming");
      return;
    }
    const plans = current();
    room.classList.toggle("coming", !plans);
    clearTimeout(timers.withdraw);
    if (plans) write();
    else {
      timers.withdraw = setTimeout(write, PATIENCE_MS);
      show();
      ask();
    }
  }

  /** @type {import("./compare-rows.js").ComparedRow[]} */
  let rows = [];
  function show() {
    const named = titles();
    const columns = places.slice(0, shares().length + 1);
    grid.show(columns, [...rows, { name: "use", label: t("compare.choose"), foot: true, kind: "choose" }],
      named);
    for (const { key, index } of columns) {
      const now = shareOf(index) === state.share;
      grid.column(key)?.mark(now, named.get(key) ?? "");
      for (const cell of grid.cells(key)) cell.classList.toggle("use", now);
    }
    add.hidden = shares().length >= MOST;
  }

  function write() {
    const plans = current();
    room.classList.remove("coming");
    const usable = plans && !(plans[0] instanceof Refused) ? plans : null;
    grid.node.hidden = !recipe();
    waits.textContent = usable ? "" : recipe() ? t("compare.unanswered") : t("compare.waits");
    rows = usable ? compareRows(bench, usable.map((each) => (each instanceof Refused ? null : each))) : [];
    show();
    const { text } = figuresOf(bench);
    const { handling_percent: waste } = state.weigh;
    hint.textContent = t(Number(state.pans) === 1 ? "compare.hintOne" : "compare.hint", {
      pans: String(state.pans ?? ""), waste: typeof waste === "number" ? text(waste, "percent") : "—" });
    for (const row of rows) {
      if (row.group) continue;
      places.slice(0, shares().length + 1).forEach(({ key, index }) => {
        const [text, same] = [row.texts[index], row.texts[index] === row.texts[0]];
        grid.column(key)?.write(row.name, text ?? "—", text === null || (same && (index > 0 || new Set(row.texts).size === 1)));
      });
    }
  }

  /** The shares side by side, in a line. */
  function summary() {
    if (!recipe()) return t("compare.waits");
    const named = titles();
    const all = [...new Set(places.slice(0, shares().length + 1).map(({ key }) => named.get(key) ?? ""))];
    return t("compare.summary", { shares: new Intl.ListFormat(bench.locale).format(all) });
  }

  write();
  return {
    summary, draw,
    refresh: draw,
    node: section("compare", t("compare.title"),
      [room, h("div", { class: "buttons" }, bake, add), said, h("p", { class: "hint" }, t("compare.note"))], null),
  };
}
