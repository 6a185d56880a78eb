/** The bread at several shares side by side: what each takes to weigh, and what comes of it. */

import { Refused, placed } from "../service/api.js";
import { OWN_FIGURES, compareRequest, keptBread, wholeBread } from "../service/compare-requests.js";
import { SAME_SHARE } from "../service/requests.js";
import { folded, h } from "../ui/dom.js";
import { numberField, writeFaults } from "../ui/fields.js";
import { figuresOf, withUnit } from "../ui/figures.js";
import { createGrid } from "../ui/grid.js";
import { section } from "../ui/layout.js";
import { showNumber } from "../ui/numbers.js";
import { nearby } from "./charts.js";
import { compareRows } from "./compare-rows.js";
import { newBake } from "./log-bakes.js";
import { logBakes, tasteThese } from "./log-section.js";
import { reachFold } from "./reach-fold.js";

const MOST = 3;                 // columns beside the recipe's own
const HIGHEST = 60;             // percent, as far as the slider goes
const LEAST_STEP = 1;           // percent: between two shares nearer than that there is none worth a bread
const PAUSE_MS = 200;           // half a number is not asked about
const SAME_PERCENT = 0.005;
const PATIENCE_MS = 500;        // figures that are not answered again by then are taken away

/** @typedef {import("./compare-rows.js").Made} Made */
/** @typedef {Keyed & {index: number}} Place a column: the recipe as it is, then the shares in order */
/** @typedef {{breads: (Made | Refused)[], reply: Replies["variants"], asked: object, of: string}} Compared the breads, and the request
that answered those that can be asked about */

/** Shares to begin with: the one being worked on, and one on the way to it or above. @param {number} own @param {Entry} share */
export function firstShares(own, share) {
  const now = typeof share === "number" ? share : own;
  if (Math.abs(now - own) < SAME_SHARE) return [own + 10, own + 15].map((each) => (each > HIGHEST ? each - 25 : each)).filter((each) => each >= 0);
  const between = Math.round((own + now) / 10) * 5;
  return [own, now].some((each) => Math.abs(each - between) < LEAST_STEP) ? [now] : [between, now].sort((one, other) => one - other);
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

/** The answer of each column. A bread whose entries can't be read has its faults, and the others are asked about without it.
@param {Api} api @param {ReturnType<typeof compareRequest>} request @param {AbortSignal} signal
@returns {Promise<Omit<Compared, "of">>} */
async function answersTo(api, { body }, signal) {
  const { variants } = body;
  /** @type {(Made | Refused)[]} */
  const breads = [];
  const indexOf = (/** @type {string} */ pointer) => Number(/^\/variants\/(\d+)\//.exec(pointer)?.[1] ?? NaN);
  for (let left = variants.map((_, index) => index); ;) {
    const asked = { ...body, variants: left.map((index) => variants[index]) };
    try {
      const reply = await api.call("variants", asked, signal, "result");
      reply.variants.forEach((each, place) => {
        const own = (/** @type {string} */ pointer) => pointer.replace(/^\/variants\/\d+/, `/variants/${left[place]}`);
        breads[left[place]] = each.problem ? new Refused(/** @type {any} */ ({ ...each.problem, errors: each.problem.errors.map((fault) => (
          { ...fault, pointer: own(fault.pointer) })) })) : /** @type {Made} */ (each);
      });
      return { breads, reply, asked };
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      const places = error.faults.map(({ pointer }) => indexOf(pointer));
      const faulty = new Set(places.filter((place) => place > 0));
      if (!faulty.size || places.some((place) => !faulty.has(place))) throw error;       // wrong for all
      for (const place of faulty) {
        breads[left[place]] = new Refused(/** @type {any} */ ({ errors: error.faults.filter(({ pointer }) => indexOf(pointer) === place)
          .map((fault) => ({ ...fault, pointer: fault.pointer.replace(/^\/variants\/\d+/, `/variants/${left[place]}`) })) }));
      }
      left = left.filter((_, place) => !faulty.has(place));
    }
  }
}

/** What is folded below the table, loaded when it is opened. @param {Bench} bench
@param {import("./compare-more.js").Given} given */
function moreFolds(bench, given) {
  const { t } = bench;
  /** @type {import("./compare-more.js").More | null} */
  let loaded = null;
  async function load() {
    const { compareMore } = await t.moreFor(import("./compare-more.js"));
    loaded ??= compareMore(bench, given, rooms);
    loaded.write();
  }
  const rooms = { own: h("div", {}), differences: h("div", { class: "compared-more" }), together: h("div", { class: "compared-more" }) };
  const nodes = Object.entries(rooms).map(([name, node]) => {
    const fold = folded(t(`compare.${name}`), node);
    fold.addEventListener("toggle", load, { once: true });
    return fold;
  });
  return {
    nodes,
    write() { loaded?.write(); },
    mark(/** @type {boolean} */ coming) { for (const node of [rooms.differences, rooms.together]) node.classList.toggle("coming", coming); },
  };
}

/** @param {Bench} bench @returns {Section & {draw(): void}} */
export function compareSection(bench) {
  const { t, state } = bench;
  /** @type {Compared | null} */
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
  const taste = h("button", { type: "button", on: { click: () => tasteThese(bench, bakeNames()) } }, t("compare.taste"));
  const more = moreFolds(bench, { current, places: () => places.slice(0, shares().length + 1), titles, breadOf,
                                  change: (index, name, value) => keep((list) => list.map((each, place) => (place === index - 1 ? { ...each, [name]: value } : each))) });
  const room = h("div", { class: "compared" }, hint, waits, faults, grid.node);
  const ask = nearby(room, run, () => {});
  bench.board.register("compare", { fault(list) { writeFaults(bench, faults, list); } });

  const recipe = () => bench.answers.now().formula ?? null;
  /** @returns {ComparedBread[]} */
  const shares = () => (state.compare ?? firstShares(ownShare(), state.share)).map(wholeBread);
  const ownShare = () => recipe()?.scalded_share_percent ?? 0;
  /** @param {number} index */
  function shareOf(index) {
    return index === 0 ? ownShare() : breadOf(index)?.share ?? null;
  }
  /** @param {number} index */
  function breadOf(index) {
    return shares()[index - 1];
  }

  // ---- What the baker does

  /** @param {(breads: ComparedBread[]) => ComparedBread[]} alter */
  function keep(alter) {
    const next = alter([...shares()]).map(keptBread);
    bench.keep((work) => { work.compare = next; });
    draw();
  }
  /** @param {number} index @param {Entry} share */
  function change(index, share) {
    keep((list) => list.map((each, place) => (place === index - 1 ? { ...each, share } : each)));
  }
  function addShare() {
    const last = Math.max(ownShare(), ...shares().map(({ share }) => Number(share) || 0));
    keep((list) => [...list, wholeBread(last + 5 > HIGHEST ? Math.max(0, last - 5) : Math.round(last + 5))]);
    grid.column(String(shares().length))?.focus();
  }
  /** @param {number} index */
  function remove(index) {
    keep((list) => list.filter((_, place) => place !== index - 1));
    grid.column(String(Math.min(index, shares().length)))?.focus();
  }
  /** @param {number} index */
  async function use(index) {
    const share = shareOf(index);
    if (typeof share !== "number") return;
    if (!state.compare) bench.keep((work) => { work.compare = shares().map(keptBread); });        // they stay as they are, whatever is in use
    const bread = breadOf(index);
    const put = (/** @type {Work} */ work) => {
      work.share = share;
      for (const name of /** @type {WaterOption[]} */ (["hydration_percent", "scald_liquid_ratio", "gluten_percent"])) {
        if (typeof bread?.[name] === "number") work.water[name] = bread[name];
      }
    };
    if (typeof bread?.sucrose_percent === "number") {
      const { sweeten } = await import("./sweeten.js");
      const done = await sweeten(bench, bread.sucrose_percent, put).catch(() => false);
      said.textContent = done ? "" : t("compare.notUsed");
      return;
    }
    bench.change(put);
    bench.redraw();
  }
  /** Puts the columns into the bake log, as soon as they are answered. */
  function bakeThese() {
    const breads = current()?.breads;
    const asked = request();
    wanted = breads || !asked ? null : textOf(asked);
    if (!breads) return;
    const { inward } = bench.units();
    const bakes = breads.flatMap((made, index) => (made instanceof Refused ? [] : [newBake(bench, {
      share: made.scalded_share_percent, ratio: made.scald_liquid_ratio, gluten: made.gluten_percent, hydration: made.hydration_percent, dough: inward(made.dough_mass.best, "mass"), of: ownOf(index) })]));
    const count = logBakes(bench, bakes);
    said.textContent = t(count === 1 ? "compare.logged" : count ? "compare.loggedMany" : "compare.loggedBefore", { count });
  }

  // ---- What is asked and answered

  function request() {
    const own = recipe();
    return own && compareRequest(state, bench.units(), bench.isLiquid, own, shares(), [...titles().values()].slice(0, shares().length + 1));
  }
  /** @param {ServiceRequest | null} asked */
  const textOf = (asked) => JSON.stringify(asked?.body);

  /** The answer to the entries as they are now; null while it is not there. */
  function current() {
    const asked = request();
    return asked && answered?.of === textOf(asked) ? answered : null;
  }

  function run() {
    clearTimeout(timers.ask);
    running?.abort();
    if (!current()) timers.ask = setTimeout(call, PAUSE_MS);
  }

  async function call() {
    const asked = request();
    if (!asked) return;
    running = new AbortController();
    const { signal } = running;
    try {
      const found = await answersTo(bench.api, asked, signal);
      if (signal.aborted) return;
      answered = { ...found, of: textOf(asked) };
      const faulty = found.breads.flatMap((each) => (each instanceof Refused ? placed(each, asked) : []));
      bench.board.show("compare", found.breads[0] instanceof Refused ? [] : faulty);
    } catch {
      if (signal.aborted) return;
      answered = null;
      bench.board.show("compare", []);
    }
    clearTimeout(timers.withdraw);
    write();
    if (wanted && wanted === answered?.of) bakeThese();
    wanted = null;
  }

  // ---- What is shown

  /** What each column is called: its share, with a number where an earlier one has the same. */
  function titles() {
    const plain = places.map(({ index }) => {
      const share = shareOf(index);
      return typeof share === "number" ? withUnit(t, showNumber(share, bench.locale), "percent") : t("compare.shareOf", { number: index + 1 });
    });
    return new Map(places.map(({ key, index }) => {
      const before = plain.slice(0, index).filter((each) => each === plain[index]).length;
      return [key, before ? `${plain[index]} (${before + 1})` : plain[index]];
    }));
  }

  /** What a bread has of its own beside its share, in words. @param {number} index */
  function ownOf(index) {
    const { text } = figuresOf(bench);
    return Object.entries(OWN_FIGURES).flatMap(([name, quantity]) => {
      const value = breadOf(index)?.[/** @type {OwnFigure} */ (name)];
      return typeof value === "number" ? [`${t(`compare.own_${name}`)} ${text(value, quantity)}`] : [];
    }).join(t("write.list"));
  }

  /** What each column is called where nothing else says what it is. */
  function bakeNames() {
    return [...titles().values()].slice(0, shares().length + 1).map((title, index) => [title, ownOf(index)].filter(Boolean).join(t("write.list")));
  }

  /** Figures of before are faint until their answer comes, and taken away when it does not. While they are folded nothing is asked. */
  function draw() {
    if (room.closest("details:not([open])")) {
      room.classList.add("coming");
      return;
    }
    const now = current();
    room.classList.toggle("coming", !now);
    more.mark(!now);
    clearTimeout(timers.withdraw);
    if (now) write();
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
      const now = shareOf(index) === state.share && isInUse(index);
      grid.column(key)?.mark(now, named.get(key) ?? "");
      for (const cell of grid.cells(key)) cell.classList.toggle("use", now);
    }
    add.hidden = shares().length >= MOST;
  }

  /** Whether what a bread has of its own is that of tonight's bread. @param {number} index */
  function isInUse(index) {
    const bread = breadOf(index);
    const first = current()?.breads[0];
    const sugar = first && !(first instanceof Refused) ? first.sucrose_percent : null;
    return !bread || (["hydration_percent", "scald_liquid_ratio", "gluten_percent"].every((name) => (
      [null, state.water[/** @type {WaterOption} */ (name)]].includes(bread[/** @type {WaterOption} */ (name)])))
      && (bread.sucrose_percent === null || (sugar !== null && Math.abs(sugar - Number(bread.sucrose_percent)) < SAME_PERCENT)));
  }

  function write() {
    const breads = current()?.breads;
    room.classList.remove("coming");
    const usable = breads && !(breads[0] instanceof Refused) ? breads : null;
    taste.hidden = !usable;
    more.mark(false);
    more.write();
    grid.node.hidden = !recipe();
    waits.textContent = usable ? "" : recipe() ? t("compare.unanswered") : waitsFor();
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

  /** Why there is no recipe to compare with: a fault in it, or no answer yet. */
  function waitsFor() {
    const { state: how } = /** @type {HTMLElement | null} */ (document.querySelector("#work"))?.dataset ?? {};
    return t(how === "calculating" ? "answer.waiting" : how === "unreachable" ? "link.noAnswer" : "compare.waits");
  }

  /** The shares side by side, in a line. */
  function summary() {
    if (!recipe()) return waitsFor();
    const named = titles();
    const all = [...new Set(places.slice(0, shares().length + 1).map(({ key }) => named.get(key) ?? ""))];
    return t("compare.summary", { shares: new Intl.ListFormat(bench.locale).format(all) });
  }

  write();
  const reach = reachFold(bench);
  return {
    summary,
    draw() {
      draw();
      reach.draw();
    },
    refresh() {
      draw();
      reach.refresh();
    },
    node: section("compare", t("compare.title"),
      [room, h("div", { class: "buttons" }, bake, add, taste), said, more.nodes, reach.node, h("p", { class: "hint" }, t("compare.note"))], null),
  };
}
