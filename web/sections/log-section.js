/** The bake log: a column a bake with how it filled its tin and how it staled. The finding is in front, and the next dough follows. */

import { createAsker } from "../service/asker.js";
import { keepingRequest, measuredTrials, ratioTonight, scoreFaults, scoredColumns } from "../service/learn-requests.js";
import { answerOf } from "../ui/answer.js";
import { createChart } from "../ui/chart.js";
import { folded, h } from "../ui/dom.js";
import { numberField, writeFaults } from "../ui/fields.js";
import { doughEnds, figuresOf } from "../ui/figures.js";
import { createGrid } from "../ui/grid.js";
import { section } from "../ui/layout.js";
import { radioField } from "../ui/plain-fields.js";
import { undoable } from "../ui/undo.js";
import { findingOf, ratioSays, scoreChart, softFor, writeLessons, writeTimes } from "./log-answers.js";
import { FIRST_DAYS, columnsOf, isBake, logAll, logNow, otherBread, scoresOf, titlesOf } from "./log-bakes.js";
import { filledBy, logColumn } from "./log-column.js";
import { moreOf } from "./log-more.js";
import { tastingFold } from "./tasting-fold.js";

const MOST_COLUMNS = 6;         // as many loaves as one call compares
const PATIENCE_MS = 500;        // a finding that is not answered again by then is taken away

/** The logs, by their benches: other sections add bakes. @type {WeakMap<Bench, {show(key: string): void, taste(samples: string[]): void}>} */
const logs = new WeakMap();

/** Adds the bread being worked on to the log, and goes there. @param {Bench} bench */
export function logBake(bench) {
  logs.get(bench)?.show(logNow(bench).key);
}

/** Adds several breads to the log, and goes there. How many are new. @param {Bench} bench @param {Trial[]} bakes */
export function logBakes(bench, bakes) {
  const fresh = logAll(bench, bakes);
  const first = fresh[0] ?? bakes[0];
  if (first) logs.get(bench)?.show(first.key);
  return fresh.length;
}

/** Plans a blind tasting of these breads, and goes there. @param {Bench} bench @param {string[]} names */
export function tasteThese(bench, names) {
  logs.get(bench)?.taste(names);
}

/** A dough with its range. @param {Bench} bench @param {Estimate} dough */
function doughSaid(bench, dough) {
  return `${figuresOf(bench).dough(dough.best)} (${bench.t("log.range", doughEnds(bench, dough))})`;
}

/** How the scores go, and the lowest still good. @param {Bench} bench @param {() => void} changed */
function settingFields(bench, changed) {
  const { t } = bench;
  const settings = () => bench.notebook.state.keeping;
  const direction = radioField(bench, {
    label: t("log.direction"), get: () => settings().direction,
    set(value) { bench.notebook.change(() => { settings().direction = value === "rises" ? value : "falls"; }); changed(); },
    choices: [["falls", t("log.falls")], ["rises", t("log.rises")]] });
  const limit = numberField(bench, {
    label: t("log.limit"), quantity: "number", optional: true, place: "keeping/limit", get: () => settings().limit,
    set(value) { bench.notebook.change(() => { settings().limit = value; }); changed(); } });
  const or = h("span", {});
  return {
    direction, limit: h("div", { class: "lim" }, limit.node, or),
    refresh() {
      direction.refresh();
      limit.refresh();
      or.textContent = t(`log.limit_${settings().direction}`);
    },
  };
}

/** Older bakes, a line each. @param {Bench} bench @param {(column: LogColumn) => void} open */
function earlierList(bench, open) {
  const { t, locale } = bench;
  const { text } = figuresOf(bench);
  const list = h("ul", { class: "earlier" });
  const node = folded(t("log.earlier"), list);
  /** @param {LogColumn} column @param {string} name */
  function line(column, name) {
    const dough = isBake(column) && typeof column.dough_mass === "number" ? bench.units().outward(column.dough_mass, "mass") : null;
    const filled = isBake(column) && filledBy(column) === "full" ? t("log.filled_full") : "";
    const scores = (column.points ?? []).flatMap(({ score }) => (typeof score === "number" ? [text(score)] : []));
    const said = [name === column.name ? "" : column.name, otherBread(bench, column), dough === null ? "" : text(dough, "mass"), filled,
                  scores.length ? new Intl.ListFormat(locale, { type: "unit" }).format(scores) : ""];
    return h("li", {}, h("span", {}, h("b", {}, name), " ", h("small", {}, said.filter(Boolean).join(t("folds.join")))),
      h("button", { type: "button", "aria-label": t("log.showNamed", { name }), on: { click: () => open(column) } }, t("log.show")));
  }
  return {
    node,
    /** @param {LogColumn[]} columns @param {Map<string, string>} titles */
    show(columns, titles) {
      node.hidden = columns.length === 0;
      list.replaceChildren(...columns.map((column) => line(column, titles.get(column.key) ?? "")).reverse());
    },
  };
}

/** @param {Bench} bench @param {() => void} [changed] called when the finding is another one @returns {Section & {draw(): void}} */
export function logSection(bench, changed = () => {}) {
  const { t, state, notebook } = bench;
  /** @type {string[]} */
  let opened = [];              // older bakes that are shown all the same
  let days = [...FIRST_DAYS];   // that have a row
  /** @type {{reply: Replies["keeping"], of: string} | null} */
  let kept = null;
  let patience = 0;
  /** @type {string | null} */
  let otherwise = null;         // what was known of the bread before the bakes were used
  /** @type {ReturnType<typeof moreOf> | null} */
  let more = null;

  const finding = h("div", { class: "verdict" });
  const faults = h("div", { class: "fault" });
  const grid = createGrid(t("log.table"), t("log.scalded"), (/** @type {LogColumn} */ column) => logColumn(bench, column, actions));
  const moreRoom = h("div", {});
  const settings = settingFields(bench, refresh);
  const chart = createChart(bench);
  const notSafe = h("p", { class: "hint" }, t("log.notSafe"));
  const addDay = h("button", { type: "button", on: { click: nextDay } });
  const addBake = h("button", { type: "button", on: { click: () => logBake(bench) } }, t("log.add"));
  /** @type {HTMLInputElement} */
  const use = h("input", { type: "checkbox", on: { change: () => {
    const { kind, dough_mass: dough, fill_percent: filled, loaf_volume: volume } = state.bread;
    if (kind !== "calibration") otherwise = kind;
    const known = dough !== null && (filled !== null || volume !== null);
    bench.change(({ bread }) => { bread.kind = use.checked ? "calibration" : otherwise ?? (known ? "reference_loaf" : "prior"); });
    bench.redraw();
  } } });
  const useWords = h("span", {});
  const useLabel = h("label", { class: "tog" }, use, useWords);
  const scoring = folded(t("log.scoring"), settings.direction.node);
  const earlier = earlierList(bench, ({ key }) => show(key));
  const ratios = h("div", { class: "hint" });
  const lessons = answerOf(bench, "trials", t("log.lessons"), (reply, next) => writeLessons(bench, reply, next));
  const times = answerOf(bench, "keeping", t("log.times"), (reply) => writeTimes(bench, reply));
  const worked = folded(t("log.worked"), lessons.node, times.node);
  const scores = [settings.limit, notSafe, chart.node];
  const tasting = tastingFold(bench, () => {
    const titles = titlesOf(bench, columnsOf(notebook.state));
    return shown().map(({ key }) => titles.get(key) ?? "");
  });
  /** @type {ReturnType<typeof createAsker<"keeping">>} */
  const ask = createAsker(bench, "keeping", {
    answered(reply, { body }) {
      kept = { reply, of: JSON.stringify(body) };
      times.show(reply);
      drawKept();
    },
    old() {
      kept = null;
      drawKept();
    },
  });
  for (const step of ["trials", "keeping"]) {
    bench.board.register(step, { fault(list) {
      writeFaults(bench, faults, list);
      reveal(list);
    } });
  }

  /** @type {import("./log-column.js").Actions} */
  const actions = {
    changedTrial(alter) {
      bench.changeNotebook(alter);
      drawLessons();
    },
    renamed() {
      const titles = titlesOf(bench, columnsOf(notebook.state));
      grid.retitle(titles);
      if (more) more.retitle(titles.get(more.column.key) ?? "");
      recalculate();
    },
    scored: refresh,
    more(column) { openMore(more?.column === column ? null : column); },
  };

  // ---- What is shown

  /** The columns of the table: the newest, and older ones that were opened. */
  function shown() {
    const all = columnsOf(notebook.state);
    const extra = all.filter(({ key }) => opened.includes(key)).length;
    const from = all.length - Math.max(0, MOST_COLUMNS - extra);
    return all.filter(({ key }, index) => index >= from || opened.includes(key)).slice(-MOST_COLUMNS);
  }

  /** The rows of the days, more than one where a day has several scores. @param {LogColumn[]} columns @returns {GridRow[]} */
  function dayRows(columns) {
    const given = columns.flatMap(({ points = [] }) => points.flatMap((point) => (typeof point.days === "number" ? [point.days] : [])));
    const all = [...new Set([...days, ...given])].sort((one, other) => one - other);
    const { text } = figuresOf(bench);
    return all.flatMap((day) => {
      const most = Math.max(1, ...columns.map((column) => scoresOf(column, day).length));
      return Array.from({ length: most }, (_, nth) => ({ name: `day/${day}/${nth}`, kind: "day",
                                                         label: t(nth ? "log.dayAgain" : day === 0 ? "log.dayZero" : "log.day", { days: text(day), count: nth + 1 }) }));
    });
  }

  /** @param {LogColumn[]} columns @returns {GridRow[]} */
  function rowsOf(columns) {
    const { unitWord } = figuresOf(bench);
    const mass = unitWord(bench.units().unit("mass"));
    const bakes = columns.some(isBake);
    return [
      ...(bakes ? [
        { name: "name", label: t("log.baked") }, { name: "scald_liquid_ratio", label: t("compare.ratio") }, { name: "dough_mass", label: t("log.dough_mass"), unit: mass },
        { name: "filled", label: t("log.filled") }, { name: "baked_mass", label: t("log.baked_mass"), unit: mass },
        { name: "proof_minutes", label: t("log.proof_minutes"), unit: t("units.minutes") },
      ] : []),
      { name: "scores", label: t(`log.scores_${notebook.state.keeping.direction}`), group: true },
      ...dayRows(columns),
      { name: "kept", label: t("log.softFor"), foot: true, kind: "kept" },
      { name: "more", label: t("log.more"), foot: true, kind: "more" },
    ];
  }

  function refresh() {
    const all = columnsOf(notebook.state);
    const columns = shown();
    const titles = titlesOf(bench, all);
    const any = columns.length > 0;
    grid.node.hidden = !any;
    grid.show(columns, any ? rowsOf(columns) : [], titles);
    addDay.hidden = !any;
    addDay.textContent = t("log.addDay", { day: nextDayIs(columns) });
    scoring.hidden = !any;
    settings.refresh();
    if (more && !all.includes(more.column)) openMore(null);
    if (more) {
      more.retitle(titles.get(more.column.key) ?? "");
      more.refresh();
    }
    earlier.show(all.filter((column) => !columns.includes(column)), titles);
    tasting.refresh();
    recalculate();
    drawLessons();
  }

  /** @param {LogColumn[]} columns */
  function nextDayIs(columns) {
    return Math.floor(Math.max(...days, ...columns.flatMap(({ points = [] }) => points.map((point) => Number(point.days) || 0)))) + 1;
  }

  function nextDay() {
    const day = nextDayIs(shown());
    days = [...days, day];
    refresh();
    grid.column(shown()[0]?.key)?.inputs(`day/${day}/0`)[0]?.focus();
  }

  /** Brings a column into the table, and goes there. @param {string} key */
  function show(key) {
    if (!shown().some((column) => column.key === key)) opened = [...opened, key].slice(-MOST_COLUMNS);
    refresh();
    const fold = grid.node.closest("details");
    if (fold) fold.open = true;
    grid.node.scrollIntoView?.({ block: "nearest" });
    grid.column(key)?.first();
  }

  /** Shows the older bakes that faults are about. @param {Fault[]} list */
  function reveal(list) {
    const seen = shown().map(({ key }) => key);
    const hidden = columnsOf(notebook.state).filter(({ key }) => !seen.includes(key)
      && list.some(({ place }) => place?.startsWith(`trials/${key}`)));
    if (!hidden.length) return;
    opened = [...opened, ...hidden.map(({ key }) => key)].slice(-MOST_COLUMNS);
    refresh();
  }

  /** @param {LogColumn | null} column */
  function openMore(column) {
    more?.forget();
    const before = more?.column;
    more = column && moreOf(bench, column, { ...actions, close: () => openMore(null), remove: () => remove(column) });
    moreRoom.replaceChildren(...(more ? [more.node] : []));
    for (const each of [before, column]) {
      const button = each && grid.column(each.key)?.inputs("more")[0];
      button?.setAttribute("aria-expanded", String(each === column));
      if (each === before && !column) button?.focus();
    }
    if (!more || !column) return;
    more.retitle(titlesOf(bench, columnsOf(notebook.state)).get(column.key) ?? "");
    more.focus();
  }

  /** @param {LogColumn} column */
  function remove(column) {
    /** @type {LogColumn[]} */
    const list = isBake(column) ? notebook.state.trials : notebook.state.loaves;
    const index = list.indexOf(column);
    const name = titlesOf(bench, columnsOf(notebook.state)).get(column.key) ?? "";
    openMore(null);
    bench.changeNotebook(() => { list.splice(index, 1); });
    bench.redraw();
    addBake.focus();
    undoable(bench, grid.node, name, () => {
      bench.changeNotebook(() => { list.splice(index, 0, column); });
      bench.redraw();
      grid.column(column.key)?.inputs("filled")[0]?.focus();
    });
  }

  // ---- The scores

  function request() {
    const columns = shown();
    return keepingRequest(columns, titlesOf(bench, columnsOf(notebook.state)), notebook.state.keeping, bench.units());
  }

  /** The answer to the scores as they are now; null while there is none. */
  function keptNow() {
    return kept?.of === JSON.stringify(request().body) ? kept.reply : null;
  }

  function recalculate() {
    clearTimeout(patience);
    bench.board.show("scores", scoreFaults(shown(), notebook.state.keeping));
    const any = scoredColumns(shown(), notebook.state.keeping.direction).length > 0;
    for (const node of scores) node.hidden = !any;
    times.node.hidden = !any;
    worked.hidden = !any && lessons.node.hidden;
    const wanted = request();
    const current = any && keptNow() !== null;
    grid.node.classList.toggle("coming", any && !current);
    finding.classList.toggle("coming", any && !current);
    if (any && !current) {
      ask(wanted);
      patience = setTimeout(drawKept, PATIENCE_MS);
    } else drawKept();
  }

  function byTitle() {
    const titles = titlesOf(bench, columnsOf(notebook.state));
    return new Map(shown().map((column) => [titles.get(column.key) ?? "", column]));
  }

  function drawKept() {
    const reply = keptNow();
    const titled = byTitle();
    const found = reply && findingOf(bench, reply, titled);
    grid.node.classList.remove("coming");
    finding.classList.remove("coming");
    for (const [title, column] of titled) {
      const loaf = reply?.loaves.find(({ name }) => name === title);
      const said = loaf && reply?.limit !== null ? softFor(bench, loaf, column) : null;
      const words = said ? [h("b", {}, said.best), said.range ? h("small", {}, said.range) : ""] : ["—"];
      grid.column(column.key)?.kept.replaceChildren(...words);
      const softest = found?.name === title;
      for (const cell of grid.cells(column.key)) cell.classList.toggle("use", softest);
      const label = grid.column(column.key)?.softest;
      if (label) label.hidden = !softest;
    }
    if (!reply) times.withdraw();
    const data = reply && scoreChart(bench, reply);
    if (data) chart.draw(data);
    else chart.hide();
    chart.node.hidden = !data;
    drawFinding();
  }

  /** What the scores show, or else the next dough. */
  function drawFinding() {
    if (finding.classList.contains("coming")) return;
    const reply = keptNow();
    const found = reply && findingOf(bench, reply, byTitle());
    const noLimit = reply !== null && reply.limit === null;
    const { text } = figuresOf(bench);
    const next = bench.answers.now().taught;
    const dough = next && t("log.nextHead", { share: text(next.scalded_share_percent ?? 0, "percent"), dough: doughSaid(bench, next.dough_mass) });
    const head = found?.head ?? dough ?? "";
    const begin = () => t(columnsOf(notebook.state).length ? "log.begun" : "log.intro");
    const rest = found ? found.rest : noLimit ? t("log.noLimit") : head ? "" : begin();
    finding.replaceChildren(...(head ? [h("b", {}, head), " "] : []), rest);
    changed();
  }

  // ---- The next dough

  function drawLessons() {
    const measured = measuredTrials(notebook.state.trials);
    const any = measured.length > 0;
    const { fill, formula, taught: next } = bench.answers.now();
    const titles = titlesOf(bench, columnsOf(notebook.state));
    const said = ratioSays(bench, measured, ratioTonight(state, formula), ({ key }) => titles.get(key) ?? "");
    ratios.replaceChildren(...said.map((each) => h("p", {}, each)));
    lessons.node.hidden = !any;
    worked.hidden = !any && times.node.hidden;
    useLabel.hidden = !any;
    use.checked = state.bread.kind === "calibration";
    const parts = [next ? t("log.use") : t("log.useAny"), next && h("b", { class: "keep" }, doughSaid(bench, next.dough_mass))];
    if (next && fill && !use.checked) parts.push(` ${t("log.instead", { dough: doughSaid(bench, fill.dough_mass) })}`);
    const others = [...new Set(measuredTrials(notebook.state.trials).map((bake) => otherBread(bench, bake)))].filter(Boolean);
    if (others.length) parts.push(` ${t("log.ofOthers", { breads: others.join(t("write.list")) })}`);
    useWords.replaceChildren(...parts.flatMap((part) => part ?? []));
    drawFinding();
  }

  function summary() {
    const all = columnsOf(notebook.state).length;
    if (!all) return t("log.none");
    const { text } = figuresOf(bench);
    const bakes = t(all === 1 ? "log.one" : "log.many", { count: all });
    const next = bench.answers.now().taught;
    if (next) return t("log.summaryNext", { bakes, dough: text(next.dough_mass.best, "mass", bench.units().wire.mass === "g" ? 0 : 1) });
    const reply = keptNow();
    const first = reply && findingOf(bench, reply, new Map())?.name;
    return first ? t("log.summarySoftest", { bakes, name: first }) : bakes;
  }

  logs.set(bench, { show, taste: tasting.taste });
  refresh();
  return {
    step: "trials", beside: ["taught"], refresh, summary,
    /** Asks again for what has no answer, once the service can be reached again. */
    draw() { if (scoredColumns(shown(), notebook.state.keeping.direction).length && !keptNow()) recalculate(); },
    answer: { ...lessons,
              show(reply, next) { lessons.show(reply, next); drawLessons(); },
              old(...words) { lessons.old(...words); drawLessons(); } },
    node: section("log", t("log.title"),
      [finding, faults, grid.node, moreRoom, settings.limit, h("div", { class: "buttons" }, addDay, addBake), useLabel, ratios, chart.node, notSafe,
       scoring, earlier.node, worked, tasting.node], null),
  };
}
