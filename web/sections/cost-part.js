/** What tonight's bread costs, by prices of the baker's own. What has no price is named. */

import { createAsker } from "../service/asker.js";
import { costRequest } from "../service/cost-request.js";
import { newKey } from "../state/work.js";
import { h } from "../ui/dom.js";
import { numberField, writeFaults } from "../ui/fields.js";
import { figuresOf } from "../ui/figures.js";
import { showNumber } from "../ui/numbers.js";
import { keyedRows } from "../ui/layout.js";
import { radioField } from "../ui/plain-fields.js";
import { figureList, table } from "../ui/tables.js";

const DECIMALS = 2;
const PATIENCE_MS = 500;        // figures that are not answered again by then are taken away

/** @param {Bench} bench @returns {Section & {draw(): void}} */
export function costPart(bench) {
  const { t, notebook, names, locale, state } = bench;
  const gist = h("span", { class: "gist" });
  const list = h("ul", { class: "prices" });
  const faults = h("div", { class: "fault" });
  const body = h("div", { class: "answer", role: "group", "aria-label": t("cost.answer") });
  /** @type {{reply: Replies["scaling"], of: string} | null} */
  let kept = null;
  let patience = 0;

  const prices = () => notebook.state.prices ?? [];
  const priceOf = (/** @type {string} */ ingredient) => prices().find((each) => each.ingredient === ingredient);
  const usualUnit = () => (prices()[0]?.per ?? (state.units === "us" ? "lb" : "kg"));
  /** @param {string} ingredient @param {Entry} value */
  function setPrice(ingredient, value) {
    notebook.change((book) => {
      const found = priceOf(ingredient);
      if (value === null) book.prices = prices().filter((each) => each !== found);
      else if (found) found.price = value;
      else book.prices = [...prices(), { key: newKey(), ingredient, price: value, per: usualUnit() }];
    });
    draw();
  }
  const rows = keyedRows(list, (/** @type {Keyed} */ { key: ingredient }) => {
    const field = numberField(bench, {
      label: names.label(ingredient), quantity: "number", optional: true, place: `cost/prices/${ingredient}`,
      get: () => priceOf(ingredient)?.price ?? null, set: (value) => setPrice(ingredient, value) });
    return { node: h("li", {}, field.node), refresh: field.refresh, forget: field.forget };
  });
  const per = radioField(bench, {
    label: t("cost.per"), choices: [["kg", t("cost.kg")], ["lb", t("cost.lb")]], get: usualUnit,
    set(value) {
      const unit = value === "lb" ? "lb" : "kg";
      notebook.change((book) => {
        for (const each of prices()) each.per = unit;
        if (!prices().length) book.prices = [];
      });
      draw();
    } });
  /** @type {ReturnType<typeof createAsker<"scaling">>} */
  const ask = createAsker(bench, "cost", {
    answered(reply, { body: asked }) { kept = { reply, of: JSON.stringify(asked) }; write(); },
    old() { kept = null; write(); },
  });
  bench.board.register("cost", { fault(found) { writeFaults(bench, faults, found); } });

  function request() {
    const { water, fill } = bench.answers.now();
    return water && fill && bench.answers.complete() ? costRequest(state, bench.units(), prices(), { water, fill }) : null;
  }
  /** The cost of the entries as they are now. */
  function now() {
    const wanted = request();
    return wanted && kept?.of === JSON.stringify(wanted.body) ? kept.reply : null;
  }

  const money = (/** @type {number} */ value) => new Intl.NumberFormat(locale, { minimumFractionDigits: DECIMALS, maximumFractionDigits: DECIMALS }).format(value);

  function write() {
    clearTimeout(patience);
    const reply = now();
    const cost = reply && "cost" in reply ? reply.cost : null;
    const { text } = figuresOf(bench);
    body.classList.remove("coming");
    body.hidden = !cost;
    if (!reply || !cost) {
      body.replaceChildren();
      gist.textContent = prices().length ? "" : t("cost.none");
      return;
    }
    const pans = bench.answers.now().fill?.pans ?? 1;
    const perTin = money(cost.per_piece ?? cost.total);
    const { without_price: without } = cost;
    gist.textContent = t(without.length ? "cost.saysPart" : "cost.says", { cost: perTin, count: without.length });
    const missing = without.map(names.label).join(t("write.list"));
    body.replaceChildren(
      figureList([[t("cost.perTin"), [h("span", { class: "figure" }, perTin)], "main"],
                  pans > 1 && [t("cost.batch", { pans: showNumber(pans, locale) }), [h("span", { class: "figure" }, money(cost.total))], "main"]]),
      missing ? h("p", { class: "missing" }, t("cost.missing", { names: missing })) : "",
      table(t("cost.lines"), [[t("table.ingredient"), ""], [t("table.mass"), "number"], [t("cost.cost"), "number"]],
        cost.lines.map((line) => [names.label(line.ingredient), text(line.mass, "mass"), line.cost === null ? "—" : money(line.cost)])));
  }

  function draw() {
    const { water } = bench.answers.now();
    if (water) {
      const used = [...new Set(water.formula.lines.map(({ ingredient }) => ingredient))];
      const known = new Map(items.map((each) => [each.key, each]));
      items = used.map((key) => known.get(key) ?? { key });
      rows.show(items);
    }
    per.refresh();
    const wanted = request();
    if (now() || !wanted) {
      ask(null);
      return write();
    }
    body.classList.add("coming");
    gist.textContent = "";
    clearTimeout(patience);
    patience = setTimeout(write, PATIENCE_MS);
    ask(wanted);
  }
  /** @type {Keyed[]} */
  let items = [];

  return {
    refresh: draw, draw,
    node: h("details", { class: "folded cost" }, h("summary", {}, t("cost.title"), " ", gist),
      h("div", { class: "folded-body" }, h("p", { class: "hint" }, t("cost.hint")), per.node, list, faults, body)),
  };
}
