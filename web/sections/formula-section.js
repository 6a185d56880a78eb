/** The recipe, line by line in its scald and its dough, and its analysis. */

import { line as newLine } from "../state/work.js";
import { answerOf } from "../ui/answer.js";
import { h, uniqueId } from "../ui/dom.js";
import { numberField } from "../ui/fields.js";
import { figuresOf } from "../ui/figures.js";
import { keyedRows, section } from "../ui/layout.js";
import { radioField, textField } from "../ui/plain-fields.js";
import { figureList, table } from "../ui/tables.js";

/** @type {Part[]} */
const PARTS = ["scald", "dough"];

/**
 * A line of the formula.
 * @param {Bench} bench
 * @param {Line} line
 * @param {{move(line: Line): void, remove(line: Line): void}} actions
 */
function lineRow(bench, line, actions) {
  const { t, names, state } = bench;
  const change = (/** @type {Partial<Line>} */ values) => bench.change(() => { Object.assign(line, values); });
  const ingredient = textField(bench, {
    label: t("formula.ingredient"), hideLabel: true, list: names.list.id, placeholder: t("formula.ingredient"),
    get: () => (line.ingredient === "" ? "" : names.label(line.ingredient)), place: `formula/${line.key}/ingredient`,
    set: (text) => bench.change(() => {
      line.ingredient = names.name(text);
      if (names.has(line.ingredient)) delete line.composition;
      rename();
    }),
    accept: Object.assign((/** @type {string} */ value) => change({ ingredient: value }), { say: names.label }),
  });
  ingredient.input.addEventListener("focus", async () => {
    await names.learn();
    const known = names.name(line.ingredient);
    if (!line.composition && known !== line.ingredient) bench.change(() => { line.ingredient = known; rename(); });
  });
  const mass = numberField(bench, {
    label: t("formula.mass"), hideLabel: true, quantity: () => state.formula.by, get: () => line.amount,
    set: (amount) => change({ amount }), place: `formula/${line.key}/mass`,
  });
  const move = h("button", { type: "button", on: { click: () => actions.move(line) } });
  const remove = h("button", { type: "button", on: { click: () => actions.remove(line) } });
  const does = h("div", { class: "line-actions", hidden: true }, move, remove);
  const more = h("button", { type: "button", class: "icon", "aria-expanded": "false", on: { click() {
    does.hidden = !does.hidden;
    more.setAttribute("aria-expanded", String(!does.hidden));
  } } }, "⋯");
  const own = ownRoom(bench, line);

  /** Names the controls after the ingredient. */
  function rename() {
    const what = line.ingredient === "" ? t("formula.newLine") : names.label(line.ingredient);
    const other = line.part === "scald" ? "dough" : "scald";
    ingredient.input.setAttribute("aria-label", t("formula.ingredientIn", { part: t(`part.${line.part}`) }));
    mass.input.setAttribute("aria-label", t("formula.massOf", { ingredient: what }));
    move.textContent = t(`formula.to_${other}`, { ingredient: what });
    remove.textContent = t("formula.remove", { ingredient: what });
    more.setAttribute("aria-label", t("formula.more", { ingredient: what }));
    own.refresh();
  }
  rename();
  return {
    node: h("li", { class: "line" }, ingredient.node, mass.node, more, does, own.node), move: more,
    focus: () => ingredient.input.focus(),
    refresh() { ingredient.refresh(); mass.refresh(); rename(); },
    forget() { ingredient.forget?.(); mass.forget?.(); },
  };
}

/** Room for the composition of an ingredient that the catalogue lacks. @param {Bench} bench @param {Line} line */
function ownRoom(bench, line) {
  const { t, names } = bench;
  const node = h("div", { class: "own" });
  async function refresh() {
    const isOwn = line.ingredient !== "" && !names.has(line.ingredient);
    if (isOwn === node.hasChildNodes()) return;
    node.replaceChildren();
    if (!isOwn) return;
    const open = h("button", { type: "button", class: "add" }, t("own.give"));
    node.append(open);
    const { ownIngredient } = await t.moreFor(import("./own-ingredient.js"));
    const fold = ownIngredient(bench, line);
    if (!node.contains(open)) return;
    node.replaceChildren(fold.node);
    fold.refresh();
  }
  return { node, refresh };
}

/** The lines of the formula, by part. live: says what was done. @param {Bench} bench @param {HTMLElement} live */
function lineLists(bench, live) {
  const { t, state, names } = bench;
  const lists = PARTS.map((part) => {
    const list = h("ul", { class: "lines" });
    return { part, list, rows: keyedRows(list, (/** @type {Line} */ line) => lineRow(bench, line, { move, remove })) };
  });
  const rowOf = (/** @type {Line} */ line) => lists.find(({ part }) => part === line.part)?.rows.get(line.key);

  /** @param {Line} line */
  async function move(line) {
    bench.change(() => { line.part = line.part === "scald" ? "dough" : "scald"; });
    refresh();
    rowOf(line)?.move.focus();
    await t.more();
    live.textContent = t("formula.moved", { ingredient: names.label(line.ingredient), part: t(`part.${line.part}`) });
  }

  /** @param {Line} line */
  async function remove(line) {
    const { lines } = state.formula;
    const index = lines.indexOf(line);
    bench.change(() => { lines.splice(index, 1); });
    refresh();
    const neighbour = lines[Math.min(index, lines.length - 1)];
    if (neighbour) rowOf(neighbour)?.focus();
    const place = lists.find(({ part }) => part === line.part)?.list;
    (await import("../ui/undo.js")).undoable(bench, place, names.label(line.ingredient), () => {
      bench.change(() => { lines.splice(index, 0, line); });
      refresh();
      rowOf(line)?.focus();
    });
  }

  /** @param {Part} part */
  function add(part) {
    const line = newLine("", null, part);
    bench.change((work) => { work.formula.lines.push(line); });
    refresh();
    rowOf(line)?.focus();
  }

  function refresh() {
    for (const { part, rows } of lists) rows.show(state.formula.lines.filter((line) => line.part === part));
  }
  refresh();
  return { lists, add, refresh };
}

/** @param {Bench} bench */
function formulaEditor(bench) {
  const { t, state } = bench;
  const live = h("p", { class: "unseen", role: "status" });
  const name = textField(bench, {
    label: t("formula.name"), get: () => state.formula.name, place: "formula/name",
    set: (value) => bench.change((work) => { work.formula.name = value; }),
  });
  const by = radioField(bench, {
    label: t("formula.by"), choices: [["mass", t("formula.byMass")], ["percent", t("formula.byPercent")]],
    get: () => state.formula.by, set: rewrite,
  });
  const evaporation = numberField(bench, {
    label: t("formula.evaporation"), quantity: () => state.formula.by, optional: true, hint: t("formula.evaporationHint"),
    get: () => state.formula.scald_evaporation, place: "formula/scald_evaporation",
    set: (value) => bench.change((work) => { work.formula.scald_evaporation = value; }),
  });
  const { lists, ...lines } = lineLists(bench, live);

  /** The service converts the amounts, so a formula that it refuses stays as it is. @param {string} wanted */
  async function rewrite(wanted) {
    live.textContent = "";
    try {
      const { rewritten } = await t.moreFor(import("./rewrite.js"));
      if (!await rewritten(bench, /** @type {Formula["by"]} */ (wanted))) live.textContent = t("formula.byRefused");
    } catch {
      live.textContent = t("link.lost");
    }
    refresh();
  }

  function refresh() {
    for (const part of [lines, name, by, evaporation]) part.refresh();
  }
  return {
    refresh,
    node: h("div", { class: "formula" }, name.node, by.node, lists.map(({ part, list }) => {
      const title = uniqueId("part");
      return h("div", { class: `part part-${part}`, role: "group", "aria-labelledby": title },
        h("h3", { id: title }, t(`part.${part}`)), list,
        h("button", { type: "button", class: "add", on: { click: () => lines.add(part) } }, t(`formula.add_${part}`)),
        part === "scald" ? evaporation.node : null);
    }), live),
  };
}

/** @param {Bench} bench @returns {Section} */
export function formulaSection(bench) {
  const { t, names } = bench;
  const editor = formulaEditor(bench);
  const { figure, weight } = figuresOf(bench);
  const percent = (/** @type {number | null} */ value) => figure(value, "percent", 1);

  /** @param {Answers["formula"]} reply */
  const write = (reply) => [
    figureList([
      [t("whole.dough"), figure(reply.totals.dough, "mass"), "main"],
      [t("whole.flour"), figure(reply.totals.flour, "mass"), "main"],
      [t("whole.share"), percent(reply.scalded_share_percent), "main"],
      [t("whole.hydration"), percent(reply.hydration_percent), "main"],
      [t("whole.liquid"), percent(reply.liquid_percent)],
      [t("whole.ratio"), reply.scald.liquid_ratio === null ? "—" : [t("write.toOne"), figure(reply.scald.liquid_ratio, "number")]],
      [t("whole.scaldMoisture"), percent(reply.scald.moisture_percent)],
      [t("whole.sugar"), percent(reply.sugar_percent)],
      [t("whole.fat"), percent(reply.fat_percent)],
      [t("whole.salt"), percent(reply.salt_percent)],
      [t("whole.yeast"), percent(reply.instant_yeast_percent)],
    ]),
    h("details", { class: "folded" }, h("summary", {}, t("whole.lines")), table(
      t("whole.lines"),
      [[t("table.ingredient")], [t("table.mass"), "number"], [t("table.ofFlour"), "number"], [t("table.ofDough"), "number"]],
      reply.formula.lines.map((line) => [
        [names.label(line.ingredient), line.part === "scald" ? h("small", {}, ` ${t("part.scald")}`) : null],
        weight(line.mass), percent(line.percent), percent(line.percent_of_dough)]),
      [[t("table.total"), weight(reply.totals.dough), percent(reply.total_percent), percent(100)]])),
    reply.allergens.length ? h("p", {}, h("strong", {}, `${t("whole.allergens")} `), reply.allergens.map(({ allergen, from }) =>
      t("whole.allergen", { allergen: t.has(`allergens.${allergen}`) ? t(`allergens.${allergen}`) : allergen,
                            from: from.map(names.label).join(t("write.list")) })).join(t("folds.join"))) : null,
  ];

  const answer = answerOf(bench, "formula", t("whole.title"), write);
  return {
    step: "formula", answer, refresh: editor.refresh,
    node: section("formula", t("formula.title"), [editor.node, names.list], answer, { intro: t("formula.intro") }),
  };
}
