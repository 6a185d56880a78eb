/** Tonight's bake, and what it changes. */

import { keepPasting, wasPasting } from "../state/pasted.js";
import { TIN_LOAF, isExampleTin } from "../state/work.js";
import { h, setText } from "../ui/dom.js";
import { PAN_FIELDS, SAME_SHARE } from "../service/requests.js";
import { choiceField, numberField } from "../ui/fields.js";
import { doughDigits, figuresOf, pastNote, withUnit } from "../ui/figures.js";
import { showNumber } from "../ui/numbers.js";

const MOST_SHARE = 60;          // of the slider
const NARROW_REM = 14;          // of paper: text may be enlarged
/** How a loaf filled its tin, percent: what the words of the choice stand for. */
export const FILLED = { full: 100, low: 92, much: 108 };

/** One less or one more, for floury fingers. @param {string} label @param {number} by @param {(by: number) => void} step */
const stepButton = (label, by, step) =>
  h("button", { type: "button", class: by > 0 ? "step plus" : "step", "aria-label": label, on: { click: () => step(by) } });

/** The share: its field, the slider and two buttons for floury fingers. @param {Bench} bench */
function shareRow(bench) {
  const { t, state, locale } = bench;
  /** @type {number | null} */
  let exact = null;               // the share of the recipe as it is
  /** @type {number | null} */
  let own = null;                 // rounded
  /** A share as the recipe's own is written. @param {Entry} value */
  const asOwn = (value) => (exact !== null && typeof value === "number" && Math.abs(value - exact) < SAME_SHARE ? own : value);
  const isOwn = () => exact !== null && typeof state.share === "number" && Math.abs(state.share - exact) < SAME_SHARE;
  const set = (/** @type {Entry} */ value) => bench.change((work) => { work.share = value; });
  const label = t("water.share");
  const number = numberField(bench, { label, quantity: "percent", isShare: true, place: "water/scalded_share_percent",
                                      get: () => asOwn(state.share), set: (value) => { set(value); follow(); } });
  const was = h("span", { class: "was" });
  number.node.querySelector(".entry")?.before(was);
  /** @type {HTMLInputElement} */
  const slider = h("input", { type: "range", min: 0, max: MOST_SHARE, step: 1, "aria-label": label,
                              on: { input: () => move(Number(slider.value)) } });
  const mark = h("span", { class: "mark", "aria-hidden": "true" });
  const track = h("div", { class: "track" }, slider, mark);
  /** @param {number} by */
  function step(by) {
    if (typeof state.share === "number") move(Math.min(MOST_SHARE, Math.max(0, Math.round(state.share) + by)));
  }
  /** @param {number} share */
  function move(share) {
    set(share);
    number.refresh();
    follow();
  }
  function follow() {
    const now = typeof state.share === "number" ? state.share : own ?? 0;
    if (slider.value !== String(now)) slider.value = String(now);
    slider.setAttribute("aria-valuetext", withUnit(t, showNumber(Number(slider.value), locale), "percent"));
    track.style.setProperty("--now", String(Math.min(now, MOST_SHARE)));
    track.style.setProperty("--own", String(Math.min(own ?? now, MOST_SHARE)));
    const ownText = own === null ? "" : withUnit(t, showNumber(own, locale), "percent");
    const moves = own !== null && !isOwn() && own !== state.share;
    setText(was, moves ? `${ownText} →` : "");
    setText(mark, own === null ? "" : t("tonight.own", { share: ownText }));
  }
  follow();
  return {
    node: h("div", { class: "share" }, number.node, h("div", { class: "slide" }, stepButton(t("tonight.less"), -1, step), track, stepButton(t("tonight.more"), 1, step))),
    refresh() { number.refresh(); follow(); },
    focus: () => slider.focus(),
    asOwn,
    /** @param {Answers["formula"] | null} formula */
    markOwn(formula) {
      exact = formula && formula.scalded_share_percent;
      own = exact === null ? null : Number(exact.toFixed(1));
      if (isOwn()) number.refresh();
      follow();
    },
  };
}

/** The tin, and how many. @param {Bench} bench @param {() => void} edit */
function tinRow(bench, edit) {
  const { t, state } = bench;
  const { volume } = figuresOf(bench);
  const what = h("button", { type: "button", class: "blank", on: { click: edit } });
  const pans = numberField(bench, { label: t("fill.pans"), hideLabel: true, quantity: "number", unitText: "", place: "fill/pans",
                                    get: () => state.pans, set: (value) => bench.change((work) => { work.pans = value; }) });
  /** @param {number} by */
  function step(by) {
    if (typeof state.pans !== "number") return;
    bench.change((work) => { work.pans = Math.max(1, Number(state.pans) + by); });
    pans.refresh();
  }
  let saidOf = "";                // the tin
  function say() {
    const { fill } = bench.answers.now();
    const now = JSON.stringify([state.pan, state.lid, state.units]);
    if (!fill && now === saidOf) return;
    saidOf = fill ? now : "";
    const lid = t(state.lid === null ? "tonight.anyTin" : state.lid ? "tonight.lidded" : "tonight.open");
    setText(what, fill ? [lid, volume(fill.pan_volume)].join(t("write.list")) : lid);
  }
  say();
  return {
    node: h("div", { class: "row tin" }, h("span", { class: "label" }, t("tonight.tin")), h("p", {}, what),
      h("div", { class: "count", role: "group", "aria-label": t("fill.pans") }, stepButton(t("tonight.fewer"), -1, step), pans.node, stepButton(t("tonight.further"), 1, step))),
    refresh() { pans.refresh(); say(); },
    say,
  };
}

/** The tins before those entered now, by their benches, each with the loaf that may have been baked in it. @type {WeakMap<Bench, {pan: PanEntries, of: string}>} */
const former = new WeakMap();
const loafOf = (/** @type {Work} */ { formula, bread }) => JSON.stringify([formula.name, bread.dough_mass]);

/** @param {Bench} bench @param {PanEntries} pan */
export function keepFormerTin(bench, pan) {
  former.set(bench, { pan, of: loafOf(bench.state) });
}

/** @param {Bench} bench */
export function formerTin(bench) {
  const found = former.get(bench);
  return found?.of === loafOf(bench.state) ? found.pan : null;
}

/** A tin by its measures: those of its base behind those of its top. @param {Bench} bench @param {PanEntries} pan */
function tinText(bench, pan) {
  const { t, locale } = bench;
  const { text, volume, unitWord } = figuresOf(bench);
  const unit = bench.units().unit("length") ?? "";
  const [first, ...others] = Object.entries(PAN_FIELDS[pan.kind]).map(([name, quantity]) => ({
    name, quantity, value: bench.units().outward(Number(pan[/** @type {keyof PanFields} */ (name)]), quantity) }));
  if (first.quantity === "volume") return volume(first.value);
  if (first.quantity === "mass") return text(first.value, "mass");
  let last = first.name;
  const rest = others.map(({ name, value }) => {
    const between = last.startsWith("top") && name.startsWith("base") ? " / " : " × ";
    last = name;
    return between + showNumber(value, locale);
  });
  return withUnit(t, [showNumber(first.value, locale), ...rest].join(""), unit, unitWord(unit));
}

/** What is known of this bread: a sentence about the last loaf, which is its form. @param {Bench} bench @param {() => void} edit
@param {(value: Entry) => Entry} asOwn a share as the recipe's own is written */
function lastRow(bench, edit, asOwn) {
  const { t, state } = bench;
  /** What bakes taught somebody else came with a link, without the bakes. */
  const isSent = () => state.bread.kind === "calibration" && !bench.notebook.state.trials.length;
  const isLoaf = () => state.bread.kind === "reference_loaf" || state.bread.kind === "prior";
  const dough = numberField(bench, { label: t("tonight.dough"), hideLabel: true, quantity: "mass", optional: true, place: "fill/bread/dough_mass",
    get: () => (state.bread.kind === "reference_loaf" ? state.bread.dough_mass : null),
    set(value) {
      const { kind } = state.bread;
      bench.change((work) => {
        const known = value !== null;
        if (known && work.bread.fill_percent === null && work.bread.loaf_volume === null) work.bread.fill_percent = FILLED.full;
        // The baker's own loaf was not baked in the example's tin.
        if (work.bread.pan && isExampleTin(work.bread.pan)) work.bread.pan = null;
        Object.assign(work.bread, known ? { kind: "reference_loaf", dough_mass: value } : { kind: "prior", dough_mass: null });
      });
      if (state.bread.kind !== kind) bench.redraw();
    } });
  const then = numberField(bench, { label: t("tonight.then"), hideLabel: true, quantity: "percent", place: "fill/bread/scalded_share_percent",
    get: () => asOwn(state.bread.scalded_share_percent), set: (value) => bench.change((work) => { work.bread.scalded_share_percent = value; }) });
  const how = choiceField(bench, {
    label: t("tonight.how"),
    choices: () => [...Object.keys(FILLED), ...(state.bread.loaf_volume === null ? [] : ["measured"])]
      .map((name) => /** @type {[string, string]} */ ([name, t(`tonight.${name}`)])),
    get: chosen, set(name) {
      bench.change((work) => {
        work.bread.fill_percent = name in FILLED ? FILLED[/** @type {keyof typeof FILLED} */ (name)] : null;
      });
      bench.redraw();
    },
  });
  how.node.querySelector("label")?.classList.add("unseen");
  const part = numberField(bench, { label: t("tonight.filled"), hideLabel: true, quantity: "percent", place: "fill/bread/fill_percent",
    get: () => state.bread.fill_percent, set: (value) => bench.change((work) => { work.bread.fill_percent = value; }) });
  const which = h("span", {});
  const swap = h("button", { type: "button", class: "quiet", on: { click() {
    bench.change(({ bread }) => {
      const before = formerTin(bench);
      if (bread.pan) keepFormerTin(bench, bread.pan);
      bread.pan = bread.pan ? null : before;
    });
    show();
  } } });
  const other = h("small", {}, which, " ", swap);
  const sentence = h("div", { class: "said" }, dough.node, h("span", {}, t("tonight.at")), then.node, how.node, part.node, other);
  const known = h("button", { type: "button", class: "blank", on: { click: edit } });
  const fields = [dough, then, how, part];

  function chosen() {
    const { fill_percent: filled, loaf_volume: volume } = state.bread;
    if (filled === null && volume !== null) return "measured";
    if (filled === null || filled === FILLED.full) return "full";
    return typeof filled === "number" && filled < FILLED.full ? "low" : "much";
  }
  function show() {
    const loaf = isLoaf();
    sentence.hidden = !loaf;
    known.hidden = loaf;
    setText(known, t("tonight.known", { what: t(`breadKind.${isSent() ? "sentLog" : state.bread.kind}`) }));
    part.node.hidden = state.bread.kind !== "reference_loaf" || !["low", "much"].includes(chosen());
    const { pan } = state.bread;
    const before = formerTin(bench);
    other.hidden = !pan && !before;
    setText(which, pan ? t("tonight.other", { tin: tinText(bench, pan) }) : "");
    setText(swap, pan ? t("tonight.sameTin") : before ? t("tonight.otherTin", { tin: tinText(bench, before) }) : "");
    for (const field of fields) field.refresh();
  }
  show();
  return { node: h("div", { class: "row last" }, h("span", { class: "label" }, t("tonight.last")), sentence, known), refresh: show };
}

/** What changes with the share. @param {Bench} bench @param {Answers["fill"]} fill @param {Answers["fill-before"]} before @param {Answers["water"]} water */
function changes(bench, fill, before, water) {
  const { t, locale } = bench;
  const { figure, text } = figuresOf(bench);
  const unit = (/** @type {number} */ value, /** @type {string} */ quantity, digits = 0) => `${value > 0 ? "+" : ""}${quantity === "percent"
    ? showNumber(value, locale, digits) : text(value, quantity, digits)}`;
  /** @type {[string, string, number | undefined, number, number][]} */
  const rows = [[t("tonight.perTin"), "mass", before?.dough_mass.best, fill.dough_mass.best, doughDigits(bench.units())],
                [t("tonight.hydration"), "percent", before ? water.before.hydration_percent : undefined, water.after.hydration_percent, 1]];
  const [was, now] = [before?.scald_mass, fill.scald_mass ?? 0];
  if (was || now) rows.splice(1, 0, [t("tonight.scald"), "mass", was, now, doughDigits(bench.units())]);
  const rounded = (/** @type {number} */ value, /** @type {number} */ places) => Number(value.toFixed(places));
  const share = (/** @type {number} */ value) => text(rounded(value, 1), "percent");
  return h("table", { class: "changes" },
    h("thead", {}, h("tr", {}, h("th", { scope: "col" }, t("tonight.changes")),
      before ? h("th", { scope: "col" }, share(water.before.scalded_share_percent)) : null,
      h("th", { scope: "col" }, share(water.after.scalded_share_percent)),
      before ? h("th", { scope: "col" }, t("tonight.change")) : null)),
    h("tbody", {}, rows.map(([name, quantity, was, now, places]) => h("tr", {}, h("th", { scope: "row" }, name),
      was === undefined ? null : h("td", { class: "was" }, figure(was, quantity, places)),
      h("td", { class: "now" }, figure(now, quantity, places)),
      was === undefined ? null : h("td", {}, unit(rounded(now, places) - rounded(was, places), quantity, places))))));
}

/** @param {Bench} bench @param {(fold: string) => void} openFold
@param {(button: HTMLButtonElement | null) => void} offer the button that uses a recipe, while recipes are read @returns {TonightSection} */
export function tonightSection(bench, openFold, offer = () => {}) {
  const { t, state } = bench;
  const share = shareRow(bench);
  const tin = tinRow(bench, () => openFold("fill"));
  const last = lastRow(bench, () => openFold("fill"), share.asOwn);
  const name = h("button", { type: "button", class: "blank", on: { click: () => openFold("formula") } });
  const example = h("small", {}, t("tonight.example"));
  const room = h("div", { class: "paste", hidden: true });
  const said = h("p", { class: "hint", role: "status" });
  const paste = h("button", { type: "button", class: "main", "aria-expanded": "false", on: { click: toggle } }, t("tonight.paste"));

  /** @type {HTMLButtonElement | null} */
  let use = null;
  /** What the line below the button says, and of which recipe. @type {{says(): string, of: string} | null} */
  let pasted = null;
  function sayPasted() {
    if (pasted && pasted.of !== JSON.stringify(state.formula)) pasted = null;
    setText(said, pasted?.says() ?? "");
  }

  /** @param {boolean} isOpen */
  function show(isOpen) {
    paste.setAttribute("aria-expanded", String(isOpen));
    room.hidden = !isOpen;
    keepPasting(isOpen);
    pasted = null;
    if (!isOpen) offer(null);
  }
  async function open() {
    show(true);
    sayPasted();
    if (!room.hasChildNodes()) {
      const { importPanel } = await t.moreFor(import("./import-panel.js"));
      const panel = importPanel(bench, (says) => {
        show(false);
        pasted = { says, of: JSON.stringify(state.formula) };
        sayPasted();
        share.focus();
      });
      use = panel.use;
      room.replaceChildren(panel.node);
    }
    if (!room.hidden) offer(use);
  }
  async function toggle() {
    if (!room.hidden) {
      show(false);
      return sayPasted();
    }
    await open();
    room.querySelector("textarea")?.focus();
  }

  const past = h("p", { class: "past", role: "status" });
  /** @param {any[]} replies */
  async function sayPast(replies) {
    const note = pastNote(replies);
    if (!note) return setText(past, "");
    const said = await t.moreFor(import("../ui/said.js")).catch(() => null);
    if (shown === replies) setText(past, said?.ownWords(bench, note) ?? note.text);
  }

  const table = h("div", { class: "what-changes" });
  const stale = h("p", { class: "state" });
  /** @type {any[]} */
  let shown = [];
  function refresh() {
    setText(name, state.formula.name || t("tonight.nameless"));
    example.hidden = ![TIN_LOAF.name, t("tonight.exampleName")].includes(state.formula.name);
    for (const part of [share, tin, last]) part.refresh();
    sayPasted();
  }
  refresh();
  if (wasPasting()) open();
  /** @type {Answer} */
  const answer = {
    node: table,
    show(...replies) {
      if (table.classList.contains("old")) sayPast(shown);
      table.classList.remove("old");
      stale.textContent = "";
      const [fill, before, water] = replies;
      tin.say();
      if (replies.every((each, index) => each === shown[index])) return;
      shown = replies;
      sayPast(replies);
      table.replaceChildren(changes(bench, fill, before, water), stale);
    },
    redraw() {},
    old(...words) {
      tin.say();
      if (!shown.length) return;
      setText(past, "");
      table.classList.add("old");
      stale.replaceChildren(...(words.length ? words : [t("answer.old")]));
    },
    say() {},
    withdraw() {
      shown = [];
      setText(past, "");
      table.replaceChildren();
    },
  };
  const node = h("section", { class: "sheet ask", "aria-labelledby": "tonight" },
      h("h2", { class: "unseen", id: "tonight", tabindex: "-1" }, t("tonight.title")),
      h("p", { class: "lead" }, t("tonight.lead")),
      h("div", { class: "row recipe" }, h("span", { class: "label" }, t("tonight.recipe"), example), h("p", {}, name), paste),
      room, said, share.node, past, tin.node, last.node, table);
  new ResizeObserver(([{ contentRect }]) => {
    node.classList.toggle("narrow", contentRect.width <= NARROW_REM * parseFloat(getComputedStyle(document.documentElement).fontSize));
  }).observe(node);
  return {
    step: "fill", beside: ["fill-before", "water"], answer, refresh, node,
    markShareOf(formula) {
      share.markOwn(formula);
      last.refresh();
      sayPasted();
    },
  };
}
