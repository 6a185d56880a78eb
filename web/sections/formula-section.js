/** Step one: the formula, line by line in its scald and its dough, and seen whole. */

import { line as newLine } from "../state/work.js";
import { answerOf, figureList, figuresOf, table } from "../ui/answer.js";
import { folded, h, keyedRows, section, uniqueId } from "../ui/dom.js";
import { numberField, radioField, textField } from "../ui/fields.js";

const PARTS = ["scald", "dough"];

function formulaEditor(bench) {
  const { t, state, names } = bench;
  const live = h("p", { class: "unseen", role: "status" });

  /** What the amounts are: masses, or percent of flour. */
  const amounts = () => state.formula.by;
  const by = radioField(bench, {
    label: t("formula.by"), choices: [["mass", t("formula.byMass")], ["percent", t("formula.byPercent")]],
    get: amounts, set: (wanted) => rewrite(wanted),
  });

  /** The same formula in the other way of writing it; the service reckons, so a formula it refuses stays as it is. */
  async function rewrite(wanted) {
    const { rewritten } = await import("./rewrite.js");
    const done = await rewritten(bench, wanted);
    if (!done) live.textContent = t("formula.byRefused");
    refresh();
  }

  const name = textField(bench, {
    label: t("formula.name"), get: () => state.formula.name, place: "formula/name",
    set: (value) => bench.change((work) => { work.formula.name = value; }),
  });

  function lineRow(line) {
    const set = (field) => (value) => bench.change(() => { line[field] = value; });
    const ingredient = textField(bench, {
      label: t("formula.ingredient"), hideLabel: true, list: names.list.id, placeholder: t("formula.ingredient"),
      get: () => (line.ingredient === "" ? "" : names.label(line.ingredient)), place: `formula/${line.key}/ingredient`,
      set: (text) => bench.change(() => {
        line.ingredient = names.name(text);
        if (names.has(line.ingredient)) delete line.composition;
        rename();
      }),
      accept: Object.assign((value) => set("ingredient")(value), { say: names.label }),
    });
    ingredient.input.addEventListener("focus", async () => {
      await names.learn();
      const known = names.name(line.ingredient);
      if (!line.composition && known !== line.ingredient) bench.change(() => { line.ingredient = known; rename(); });
    });
    const mass = numberField(bench, {
      label: t("formula.mass"), hideLabel: true, quantity: amounts, get: () => line.amount, set: set("amount"),
      place: `formula/${line.key}/mass`,
    });
    const move = h("button", { type: "button", class: "icon", on: { click: () => moveLine(line) } });
    const remove = h("button", { type: "button", class: "icon", on: { click: () => removeLine(line) } }, "×");
    const own = h("div", { class: "own" });
    const node = h("li", { class: "line" }, ingredient.node, mass.node, move, remove, own);
    function rename() {
      const what = line.ingredient === "" ? t("formula.newLine") : names.label(line.ingredient);
      const other = line.part === "scald" ? "dough" : "scald";
      ingredient.input.setAttribute("aria-label", t("formula.ingredientIn", { part: t(`part.${line.part}`) }));
      mass.input.setAttribute("aria-label", t("formula.massOf", { ingredient: what }));
      move.setAttribute("aria-label", t(`formula.to_${other}`, { ingredient: what }));
      move.title = move.getAttribute("aria-label");
      move.textContent = other === "dough" ? "↓" : "↑";
      remove.setAttribute("aria-label", t("formula.remove", { ingredient: what }));
      remove.title = remove.getAttribute("aria-label");
      offerOwn();
    }
    /** An ingredient that the catalogue lacks can bring its composition. */
    async function offerOwn() {
      const isOwn = line.ingredient !== "" && !names.has(line.ingredient);
      if (isOwn === own.hasChildNodes()) return;
      own.replaceChildren();
      if (!isOwn) return;
      const open = h("button", { type: "button", class: "add" }, t("own.give"));
      own.append(open);
      const { ownIngredient } = await t.moreFor(import("./own-ingredient.js"));
      const fold = ownIngredient(bench, line);
      if (!own.contains(open)) return;
      own.replaceChildren(fold.node);
      fold.refresh();
    }
    rename();
    return {
      node, move, focus: () => ingredient.input.focus(),
      refresh() { ingredient.refresh(); mass.refresh(); rename(); },
      forget() { ingredient.forget(); mass.forget(); },
    };
  }

  function moveLine(line) {
    bench.change(() => { line.part = line.part === "scald" ? "dough" : "scald"; });
    refresh();
    rowOf(line).move.focus();
    live.textContent = t("formula.moved", { ingredient: names.label(line.ingredient), part: t(`part.${line.part}`) });
  }

  function removeLine(line) {
    const { lines } = state.formula;
    const index = lines.indexOf(line);
    bench.change(() => { lines.splice(index, 1); });
    refresh();
    const neighbour = lines[Math.min(index, lines.length - 1)];
    if (neighbour) rowOf(neighbour).focus();
    live.textContent = t("formula.removed", { ingredient: names.label(line.ingredient) });
  }

  function addLine(part) {
    const line = newLine("", null, part);
    bench.change((work) => { work.formula.lines.push(line); });
    refresh();
    rowOf(line).focus();
  }

  const groups = Object.fromEntries(PARTS.map((part) => [part, h("ul", { class: "lines" })]));
  const rows = Object.fromEntries(PARTS.map((part) => [part, keyedRows(groups[part], lineRow)]));
  const rowOf = (line) => rows[line.part].get(line.key);
  const evaporation = numberField(bench, {
    label: t("formula.evaporation"), quantity: amounts, optional: true, hint: t("formula.evaporationHint"),
    get: () => state.formula.scald_evaporation, place: "formula/scald_evaporation",
    set: (value) => bench.change((work) => { work.formula.scald_evaporation = value; }),
  });

  const node = h("div", { class: "formula" }, name.node, by.node,
    PARTS.map((part) => {
      const title = uniqueId("part");
      return h("div", { class: `part part-${part}`, role: "group", "aria-labelledby": title },
        h("h3", { id: title }, t(`part.${part}`)), groups[part],
        h("button", { type: "button", class: "add", on: { click: () => addLine(part) } }, t(`formula.add_${part}`)),
        part === "scald" ? evaporation.node : null);
    }), live);

  function refresh() {
    for (const part of PARTS) rows[part].show(state.formula.lines.filter((line) => line.part === part));
    name.refresh();
    by.refresh();
    evaporation.refresh();
  }
  refresh();
  return { node, refresh };
}

export function formulaSection(bench) {
  const { t, names } = bench;
  const editor = formulaEditor(bench);
  const paste = folded(t("import.title"));
  const room = paste.lastChild;
  paste.addEventListener("toggle", async () => {
    if (!paste.open || room.childNodes.length) return;
    const { importPanel } = await t.moreFor(import("./import-panel.js"));
    room.replaceChildren(importPanel(bench, () => { paste.open = false; paste.firstChild.focus(); }));
  });

  function write(reply) {
    const { figure, weight } = figuresOf(bench);
    const percent = (value) => figure(value, "percent", 1);
    return [
      figureList([
        [t("whole.dough"), figure(reply.totals.dough, "mass"), "main"],
        [t("whole.flour"), figure(reply.totals.flour, "mass"), "main"],
        [t("whole.share"), percent(reply.scalded_share_percent), "main"],
        [t("whole.hydration"), percent(reply.hydration_percent), "main"],
        [t("whole.liquid"), percent(reply.liquid_percent)],
        [t("whole.ratio"), reply.scald.liquid_ratio === null ? "—" : ["1 : ", figure(reply.scald.liquid_ratio, "number")]],
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
      reply.allergens.length ? h("p", {}, h("strong", {}, `${t("whole.allergens")} `),
        reply.allergens.map(({ allergen, from }) => `${t.has(`allergens.${allergen}`) ? t(`allergens.${allergen}`) : allergen} (${
          from.map(names.label).join(", ")})`).join("; ")) : null,
    ];
  }

  const answer = answerOf(bench, "formula", t("whole.title"), write);
  return {
    step: "formula", answer, refresh: editor.refresh,
    node: section("formula", t("formula.title"), [paste, editor.node, names.list], answer, { intro: t("formula.intro") }),
  };
}
