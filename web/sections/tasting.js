/** A blind tasting: how many tasters, sheets and key to print, and what the answers show. */

import { createAsker } from "../service/asker.js";
import { readRankings, tastingPlanRequest, tastingResultRequest } from "../service/tasting-requests.js";
import { newKey } from "../state/work.js";
import { answerOf, careLine } from "../ui/answer.js";
import { folded, h, uniqueId } from "../ui/dom.js";
import { choiceField, labelled, numberField, writeFaults } from "../ui/fields.js";
import { figuresOf } from "../ui/figures.js";
import { showNumber } from "../ui/numbers.js";
import { keyedRows } from "../ui/layout.js";
import { radioField, textField } from "../ui/plain-fields.js";
import { figureList, table } from "../ui/tables.js";
import { undoable } from "../ui/undo.js";
import { printKey, printSheets } from "./tasting-sheets.js";

const TESTS = /** @type {Tasting["test"][]} */ (["triangle", "duo_trio", "paired", "ranking"]);
const MOST_SAMPLES = 12;
const LOWEST_DRAW = 10_000;     // five digits, to be read off a sheet
const DRAWS = 90_000;
const PATIENCE_MS = 500;        // figures that are not answered again by then are taken away
const LEAST_CHANCE = 0.001;     // a smaller one is not written out
const ALIKE = "alike_";

/** @typedef {ReturnType<typeof tastingPart>} TastingPart */

const anyDraw = () => LOWEST_DRAW + Math.floor(Math.random() * DRAWS);

/** @param {string} name @returns {Sample} */
const sample = (name) => ({ key: newKey(), name: name.slice(0, 60) });

/** What the recipe says of allergens, to be changed by hand. @param {Bench} bench */
function allergensOf({ t, answers }) {
  const found = answers.now().formula?.allergens ?? [];
  return found.map(({ allergen }) => (t.has(`allergens.${allergen}`) ? t(`allergens.${allergen}`) : allergen)).join(t("write.list"));
}

/** @param {Bench} bench @param {string[]} names @returns {Tasting} */
function newTasting(bench, names) {
  const samples = names.length > 1 ? names : [...names, ...["A", "B"].slice(names.length)];
  return {
    key: newKey(), test: samples.length > 2 ? "ranking" : "triangle", samples: samples.slice(0, MOST_SAMPLES).map(sample), by: "power", tasters: 12,
    discriminators_percent: 50, power_percent: null, significance_percent: null, expected: "", contains: allergensOf(bench), draw: anyDraw(),
    came: null, right: null, chosen: [], rankings: [],
  };
}

/** Keeps an answer with the request that it is for. @template {"tasting-plan" | "tasting-result"} C @param {Bench} bench @param {C} step
@param {() => ServiceRequest<C> | null} request @param {(reply: Replies[C] | null, coming: boolean) => void} draw */
function answered(bench, step, request, draw) {
  /** @type {{reply: Replies[C], of: string} | null} */
  let kept = null;
  let patience = 0;
  const textOf = () => JSON.stringify(request()?.body ?? null);
  /** @type {ReturnType<typeof createAsker<C>>} */
  const ask = createAsker(bench, step, {
    answered(reply, { body }) { kept = { reply, of: JSON.stringify(body) }; show(); },
    old() { kept = null; show(); },
  });
  const now = () => (kept && kept.of === textOf() ? kept.reply : null);
  function show() {
    clearTimeout(patience);
    draw(now(), false);
  }
  return {
    now,
    update() {
      clearTimeout(patience);
      const wanted = request();
      if (now() || !wanted) {
        ask(null);
        return show();
      }
      draw(null, true);
      patience = setTimeout(show, PATIENCE_MS);
      ask(wanted);
    },
  };
}

/** @param {Bench} bench @param {() => string[]} bakes what the bakes are called @param {() => void} changed
@param {string[] | null} first the breads of a new tasting to begin with */
export function tastingPart(bench, bakes, changed, first) {
  const { t, notebook, locale } = bench;
  const { text, estimate } = figuresOf(bench);
  const all = () => notebook.state.tastings ?? [];
  let shownKey = "";
  if (first) add(first);
  /** @param {string[]} names */
  function add(names) {
    const fresh = newTasting(bench, names);
    notebook.change((book) => { (book.tastings ??= []).push(fresh); });
    shownKey = fresh.key;
  }
  /** The tasting shown: the newest, or the one chosen. @returns {Tasting} */
  function shown() {
    const found = all().find(({ key }) => key === shownKey) ?? all().at(-1);
    if (found) return found;
    add(bakes());
    return shown();
  }
  /** @param {(tasting: Tasting) => void} alter */
  function change(alter) {
    const tasting = shown();
    const planned = plan.now()?.tasters;
    notebook.change(() => {
      // A result keeps its number of tasters, whatever is planned after it.
      if (tasting.right !== null && tasting.came === null && planned !== undefined) tasting.came = planned;
      alter(tasting);
    });
    refresh();
  }
  /** Another test, or other codes: the answers are not theirs. They can be put back. @param {(tasting: Tasting) => void} alter */
  function changePlan(alter) {
    const tasting = shown();
    const before = structuredClone(tasting);
    change(() => {
      alter(tasting);
      Object.assign(tasting, { came: null, right: null, chosen: [], rankings: [] });
    });
    if ([before.right, ...before.chosen, ...before.rankings].some((answer) => answer !== null && answer !== "")) {
      undoable(bench, again.parentElement ?? again, t("tasting.answers"), () => {
        notebook.change(() => Object.assign(tasting, before));
        refresh();
      });
    }
  }

  // ---- What is planned

  /** @param {TastingFigure} name @param {string} quantity @param {boolean} optional @param {string} [place] */
  const number = (name, quantity, optional, place = `tasting/${name}`) => numberField(bench, {
    label: t(`tasting.${name}`), hint: t.has(`tasting.${name}Hint`) ? t(`tasting.${name}Hint`) : null, quantity, optional, place,
    get: () => shown()[name], set: (value) => change((tasting) => { tasting[name] = value; }) });
  /** @type {HTMLSelectElement} */
  const which = h("select", { on: { change: () => { shownKey = which.value; refresh(); } } });
  const whichField = labelled(t("tasting.which"), which);
  function writeWhich() {
    whichField.hidden = all().length < 2;
    which.replaceChildren(...all().map(({ key: each, samples, test: kind, draw }) => (
      h("option", { value: each }, `${samples.map(({ name }) => name).join(t("write.list"))} (${t(`tasting.test_${kind}`)}, ${draw})`))));
    which.value = shown().key;
  }
  const test = choiceField(bench, {
    label: t("tasting.test"), choices: TESTS.map((each) => [each, t("tasting.testAsks", { test: t(`tasting.test_${each}`), asks: t(`tasting.asks_${each}`) })]),
    get: () => shown().test, set: (value) => changePlan((tasting) => {
      tasting.test = /** @type {Tasting["test"]} */ (value);
      if (value !== "ranking") tasting.samples.splice(2);
      else while (tasting.samples.length < 3) tasting.samples.push(sample(bakes()[tasting.samples.length] ?? "ABC"[tasting.samples.length]));
    }) });
  const list = h("ul", { class: "samples" });
  const rows = keyedRows(list, (/** @type {Sample} */ each) => {
    const field = textField(bench, { label: t("tasting.sample"), get: () => each.name, place: `tasting/samples/${each.key}`,
                                     set: (value) => change(() => { each.name = value; }) });
    const remove = h("button", { type: "button", class: "icon", "aria-label": t("tasting.removeSample", { name: each.name }),
                                 on: { click: () => change(({ samples }) => { samples.splice(samples.indexOf(each), 1); }) } }, "×");
    return { node: h("li", {}, field.node, remove), forget: field.forget,
             refresh() { field.refresh(); remove.hidden = shown().samples.length < 4; remove.setAttribute("aria-label", t("tasting.removeSample", { name: each.name })); } };
  });
  const samplesFault = h("div", { class: "fault" });
  const addSample = h("button", { type: "button", class: "add", on: { click: () => change(({ samples }) => {
    samples.push(sample(bakes().find((name) => samples.every((each) => each.name !== name)) ?? "ABCDEFGHIJKL"[samples.length]));
  }) } }, t("tasting.addSample"));
  const by = radioField(bench, {
    label: t("tasting.by"), choices: [["power", t("tasting.byPower")], ["tasters", t("tasting.byTasters")]], get: () => shown().by,
    set: (value) => change((tasting) => { tasting.by = value === "tasters" ? "tasters" : "power"; }) });
  const tasters = number("tasters", "number", false);
  const share = number("discriminators_percent", "percent", true);
  const expected = choiceField(bench, {
    label: t("tasting.expected"), hint: t("tasting.expectedHint"), place: "tasting/expected", get: () => shown().expected,
    choices: () => [["", t("tasting.either")], ...shown().samples.map(({ key, name }) => /** @type {[string, string]} */ ([key, name]))],
    set: (value) => change((tasting) => { tasting.expected = value; }) });
  const contains = textField(bench, { label: t("tasting.contains"), placeholder: t("tasting.containsHint"), get: () => shown().contains,
                                      set: (value) => change((tasting) => { tasting.contains = value; }) });
  const power = number("power_percent", "percent", true);
  const risk = number("significance_percent", "percent", true);
  const cares = h("div", {});
  const alike = h("ul", {});
  const drawn = h("span", {});
  const again = h("button", { type: "button", on: { click: () => changePlan((tasting) => { tasting.draw = anyDraw(); }) } }, t("tasting.again"));
  const printed = h("button", { type: "button", class: "main", on: { click: () => { const reply = plan.now(); if (reply) printSheets(t, shown(), reply); } } }, t("tasting.printSheets"));
  const key = h("button", { type: "button", on: { click: () => {
    const reply = plan.now();
    if (reply) printKey(t, shown(), reply, [...alike.children].map(({ textContent }) => textContent ?? ""));
  } } }, t("tasting.printKey"));
  const prints = h("div", { class: "buttons" }, printed, key);
  const planAnswer = answerOf(bench, "tasting-plan", t("tasting.planAnswer"), (reply) => writePlan(reply), [prints, folded(t("tasting.alike"), alike)],
    () => { const reply = plan.now(); return reply ? [{ notes: reply.notes?.filter(({ code }) => code.startsWith(ALIKE)), cautions: [] }] : []; });

  /** @param {Replies["tasting-plan"]} reply */
  function writePlan(reply) {
    const { tasters: count, fewest_right: fewest, power_percent: found, least_significant_difference: least } = reply;
    return [
      h("p", { class: "verdict" }, h("b", {}, t("tasting.need", { count }))),
      reply.test === "ranking" ? h("p", {}, t("tasting.leastDifference", { difference: showNumber(least ?? 0, locale, 1) }))
        : h("p", {}, fewest === null ? t("tasting.cannot") : t(reply.test === "paired" ? "tasting.fewestChosen" : "tasting.fewest", { fewest, count })),
      found === null ? null : h("p", {}, t("tasting.powerSays", { power: text(found, "percent", 0), share: text(Number(shown().discriminators_percent), "percent") })),
    ];
  }

  /** What to keep alike, in the language of the page. @param {Replies["tasting-plan"] | null} reply */
  function writeAlike(reply) {
    const notes = (reply?.notes ?? []).filter(({ code }) => code.startsWith(ALIKE));
    alike.replaceChildren(...notes.map(({ code, text: english }) => (t.has(`notes.${code}`) ? h("li", {}, t(`notes.${code}`)) : h("li", { lang: "en" }, english))));
    cares.replaceChildren(...(reply?.cautions ?? []).map((caution) => careLine(bench, caution)));
  }

  const plan = answered(bench, "tasting-plan", () => tastingPlanRequest(shown()), (reply, coming) => {
    planAnswer.node.classList.toggle("coming", coming);
    prints.hidden = !reply;
    if (reply) planAnswer.show(reply);
    else if (!coming) planAnswer.withdraw();
    if (reply || !coming) writeAlike(reply);
    result.update();
    changed();
  });

  // ---- What was answered

  const came = number("came", "number", true, "tasting-result/came");
  const right = number("right", "number", true, "tasting-result/right");
  const chosen = [0, 1].map((index) => {
    const field = numberField(bench, { label: t("tasting.chose", { name: "" }), quantity: "number", optional: true, place: `tasting-result/chosen/${index}`,
      get: () => shown().chosen[index] ?? null, set: (value) => change((tasting) => { tasting.chosen = [0, 1].map((each) => (each === index ? value : tasting.chosen[each] ?? null)); }) });
    return { ...field, refresh() {
      const label = field.node.querySelector("label");
      if (label) label.textContent = t("tasting.chose", { name: shown().samples[index]?.name ?? "" });
      field.refresh();
    } };
  });
  const rankings = h("textarea", { rows: 6, autocomplete: "off", spellcheck: "false", inputmode: "numeric",
                                   on: { input: () => change((tasting) => { tasting.rankings = rankings.value.split("\n"); }) } });
  const rankingsFault = h("div", { class: "fault", id: uniqueId("fault"), role: "status" });
  const rankingsField = labelled(t("tasting.rankings"), rankings, { hint: t("tasting.rankingsHint") });
  rankingsField.append(rankingsFault);
  const resultAnswer = answerOf(bench, "tasting-result", t("tasting.resultAnswer"), (reply) => writeResult(reply), null,
    () => { const reply = plan.now(); return reply ? [{ notes: reply.notes, cautions: [] }] : []; });
  const asked = h("div", { class: "asked" }, h("div", { class: "pair" }, came.node, right.node, chosen.map(({ node }) => node)), rankingsField);
  const results = h("div", { class: "tasting-result" }, h("h3", {}, t("tasting.results")), asked, resultAnswer.node);

  /** @param {Replies["tasting-result"]} reply */
  function writeResult(reply) {
    const { p_value: p, fewest_right: fewest, shown: isShown, discriminators_percent: telling } = reply;
    const chance = p < LEAST_CHANCE ? t("tasting.lessThan", { value: showNumber(LEAST_CHANCE, locale) })
      : new Intl.NumberFormat(locale, { maximumSignificantDigits: 2 }).format(p);
    return [
      h("p", { class: "verdict" }, h("b", {}, t(isShown ? "tasting.shown" : "tasting.notShown")), " ", conclusion(reply)),
      figureList([
        [t("tasting.chance"), [h("data", { class: "figure", value: String(p) }, chance)], "main"],
        fewest === null ? null : [t("tasting.fewestRight"), [h("span", { class: "figure" }, showNumber(fewest, locale))]],
        telling && !isBelow(reply) && [t("tasting.telling"), estimate(telling, "percent", 0)],
        reply.least_significant_difference !== null && [t("tasting.leastFigure"), [h("span", { class: "figure" }, showNumber(reply.least_significant_difference, locale, 1))]],
      ]),
      reply.rank_sums.length ? table(t("tasting.rankSums"), [[t("tasting.sample"), ""], [t("tasting.rankSum"), "number"]],
        reply.rank_sums.map((each) => [each.sample, showNumber(each.rank_sum, locale)])) : null,
    ];
  }

  /** Whether fewer chose right than guessing gives: nothing is to be said of those who can tell. @param {Replies["tasting-result"]} reply */
  const isBelow = ({ shown: isShown, discriminators_percent: telling }) => !isShown && telling !== null && text(telling.high, "percent", 0) === text(0, "percent", 0);

  /** What may be concluded, and what may not. @param {Replies["tasting-result"]} reply */
  function conclusion(reply) {
    const { test: kind, tasters: count, shown: isShown, discriminators_percent: telling, pairs } = reply;
    const end = isShown ? "shown" : isBelow(reply) ? "below" : "notShown";
    const { samples, right: counted, chosen: counts, expected: wanted } = shown();
    const high = telling ? text(telling.high, "percent", 0) : "";
    if (kind === "ranking") {
      const told = pairs.filter((pair) => pair.shown).map((pair) => t("tasting.apart", { first: pair.first, second: pair.second }));
      if (!isShown) return t("tasting.ranking_notShown");
      return `${t("tasting.ranking_shown")} ${told.length ? t("tasting.toldApart", { pairs: told.join(t("write.list")) }) : t("tasting.noneApart")}`;
    }
    if (kind !== "paired") return t(`tasting.right_${end}`, { right: counted, tasters: count, high });
    const index = wanted ? samples.findIndex(({ key: each }) => each === wanted) : Number(counts[1]) > Number(counts[0]) ? 1 : 0;
    return t(`tasting.chosen_${end}`, { name: samples[index]?.name ?? "", right: counts[index], tasters: count, high });
  }

  const result = answered(bench, "tasting-result", () => {
    const reply = plan.now();
    return reply && tastingResultRequest(shown(), reply);
  }, (reply, coming) => {
    resultAnswer.node.hidden = !reply && !coming;
    resultAnswer.node.classList.toggle("coming", coming);
    if (reply) resultAnswer.show(reply);
    else if (!coming) resultAnswer.withdraw();
  });

  // ---- All of it

  const removeButton = h("button", { type: "button", class: "remove", on: { click: remove } }, t("tasting.remove"));
  const begins = h("button", { type: "button", on: { click: () => begin(bakes()) } }, t("tasting.new"));
  const ends = h("div", { class: "buttons" }, begins, removeButton);

  /** @param {string[]} names */
  function begin(names) {
    add(names);
    refresh();
  }
  function remove() {
    const gone = shown();
    const index = all().indexOf(gone);
    notebook.change(() => { all().splice(index, 1); });
    shownKey = "";
    refresh();
    undoable(bench, ends, t(`tasting.test_${gone.test}`), () => {
      notebook.change((book) => { (book.tastings ??= []).splice(index, 0, gone); });
      shownKey = gone.key;
      refresh();
    });
  }

  function refresh() {
    const tasting = shown();
    const isRanking = tasting.test === "ranking";
    writeWhich();
    rows.show(tasting.samples);
    addSample.hidden = !isRanking || tasting.samples.length >= MOST_SAMPLES;
    by.node.hidden = isRanking;
    tasters.node.hidden = !isRanking && tasting.by === "power";
    share.node.hidden = isRanking;
    power.node.hidden = isRanking || tasting.by === "tasters";
    expected.node.hidden = tasting.test !== "paired";
    for (const field of [test, by, tasters, share, expected, contains, power, risk, came, right, ...chosen]) field.refresh();
    for (const field of [came, right]) field.node.hidden = isRanking || tasting.test === "paired";
    for (const field of chosen) field.node.hidden = tasting.test !== "paired";
    rankingsField.hidden = !isRanking;
    if (rankings.value !== tasting.rankings.join("\n")) rankings.value = tasting.rankings.join("\n");
    drawn.textContent = t("tasting.plan", { draw: tasting.draw });
    plan.update();
    writeRankingFaults();
  }

  function writeRankingFaults() {
    const reply = plan.now();
    const faults = reply && shown().test === "ranking" ? readRankings(reply.sheets, shown().rankings).faults : [];
    rankingsFault.replaceChildren(...faults.map(({ line, code, text: word, taster }) => (
      h("p", {}, h("strong", {}, `${t("fault.look")} `), t(`tasting.line_${code}`, { line, code: word, taster })))));
    rankings.toggleAttribute("aria-invalid", false);
    if (faults.length) rankings.setAttribute("aria-invalid", "true");
  }

  bench.board.register("tasting/samples", { fault(faults) { writeFaults(bench, samplesFault, faults); } });
  refresh();
  return {
    refresh, begin,
    /** The tasting in a line. */
    summary() {
      const reply = plan.now();
      const kind = t(`tasting.test_${shown().test}`);
      return reply ? t("tasting.says", { test: kind, count: reply.tasters }) : kind;
    },
    node: h("div", {}, h("p", { class: "intro" }, t("tasting.intro")), whichField, test.node, list, samplesFault, addSample, by.node,
      tasters.node, share.node, expected.node, contains.node, folded(t("tasting.more"), h("div", { class: "pair" }, power.node, risk.node)),
      cares, planAnswer.node, h("p", { class: "drawn" }, drawn, " ", again), results, ends),
  };
}
