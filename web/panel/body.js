/** What the panel shows: how a recipe was read, fields, answers. */

import { PAN_FIELDS } from "../service/requests.js";
import { measuredAgain } from "../state/measured-again.js";
import { answerOf, careLine, cautionText } from "../ui/answer.js";
import { h, uniqueId } from "../ui/dom.js";
import { choiceField, numberField, writeFaults } from "../ui/fields.js";
import { doughEnds, figuresOf, onPoint, pastNote } from "../ui/figures.js";
import { kindFields, sliderField } from "../ui/more-fields.js";
import { SYSTEMS } from "../ui/numbers.js";
import { ownWords, waterSays } from "../ui/said.js";
import { figureList, table } from "../ui/tables.js";

const SLIDER_MOST = 60;

/** @typedef {import("./deciding.js").Decisions} Decisions */

/** How a recipe was read, and which of several it is. @param {PanelBench} bench @param {(name: string) => void} rename */
function readingPart(bench, rename) {
  const { t } = bench;
  const counts = h("small", {});
  const lines = h("div", { class: "folded-body" });
  const fold = h("details", { class: "folded", hidden: true }, h("summary", {}, `${t("panel.reading")} `, counts), lines);
  const which = h("div", {});
  /** @type {Field | null} */
  let choice = null;
  /** @type {string[]} */
  let recipes = [];
  let number = "1";
  /** @type {Replies["recipe-import"] | null} */
  let newest = null;
  return {
    nodes: [which, fold],
    /** The fold opens by itself when a line of the dough was not read, or not surely: the reader should see it.
    @param {Replies["recipe-import"] | null} reply @param {Decisions | null} deciding @param {string} chosen @param {(number: string) => void} choose */
    show(reply, deciding = null, chosen = "1", choose = () => {}) {
      newest = reply;
      fold.hidden = !reply;
      which.hidden = !reply || reply.recipes.length < 2;
      if (!reply || !deciding) return;
      number = chosen;
      recipes = reply.recipes;
      choice ??= choiceField(bench, { label: t("panel.recipe"), set: choose, get: () => number,
                                      choices: () => recipes.map((name, index) => [String(index + 1), name]) });
      choice.refresh();
      if (!which.hasChildNodes()) which.append(choice.node);
      rename(reply.name ?? "");
      import("../sections/reading.js").then(({ readingOf, rewrite }) => {
        if (reply !== newest) return;
        const [counted, ...shown] = readingOf(bench, reply, deciding).filter((node) => node !== null);
        counts.textContent = (counted.textContent ?? "").replace(/[:：]$/, "");
        for (const node of shown) if (node instanceof HTMLDetailsElement) node.open = true;
        rewrite(lines, () => lines.replaceChildren(...shown));
      }, () => {});
      if (Object.keys(deciding.decided).length) return;      // it stays as the reader left it
      fold.open = !reply.formula || reply.lines.some((line) => (
        line.kind === "ingredient" && (line.part !== "aside" || line.section_sure !== "sure") && ["unsure", "not_read"].includes(line.sure)));
    },
  };
}

/** The head: name, state of the line, faults of start values, how the recipe was read, the way to the full page.
@param {PanelBench} bench @param {string} service */
export function headOf(bench, service) {
  const { t } = bench;
  const id = uniqueId("panel");
  const title = h("h2", { id }, t("panel.title"));
  const note = h("p", { class: "hint" });
  const link = h("p", { class: "link-state", role: "status" });
  const announced = h("p", { class: "unseen", role: "status" });
  const faults = h("div", { class: "fault", role: "status" });
  const plan = h("a", { href: `${service}/`, target: "_blank", rel: "noopener" }, t("panel.open"));
  const name = (/** @type {string} */ text) => { title.textContent = text || t("panel.title"); };
  const reading = readingPart(bench, name);
  return {
    id, name, reading: reading.show,
    nodes: [h("div", { class: "panel-head" }, title, h("p", { class: "panel-plan" }, plan)), link, announced, note, faults,
            ...reading.nodes],
    /** @param {string} text */
    say(text) { note.textContent = text; },
    /** @param {string} text */
    link(text) { link.textContent = text; },
    /** @param {string} text */
    announce(text) { announced.textContent = announced.textContent ? "" : text; },
    /** @param {string} address "" while there is no plan for the entries */
    plan(address) {
      plan.hidden = !address;
      plan.href = address;
    },
    /** @param {Fault[]} list */
    faults(list) {
      writeFaults(bench, faults, list.map((fault) => ({ ...fault, nearest: null, asWritten: true, detail: [
        fault.pointer, fault.detail, ...(fault.nearest ? [t("fault.use", { value: [fault.nearest].flat().join(", ") })] : []),
      ].filter(Boolean).join(" ") })));
    },
  };
}

/** @param {PanelBench} bench @param {Answers["formula"]} whole the formula as it came */
function fieldsOf(bench, whole) {
  const { t, state } = bench;
  const share = sliderField(bench, {
    label: t("water.share"), min: 0, max: SLIDER_MOST, step: 1, place: "water/scalded_share_percent",
    get: () => state.share, set: (value) => bench.change((work) => { work.share = value; }),
    marks: () => [Number(whole.scalded_share_percent.toPrecision(4))],
  });
  const shapes = choiceField(bench, {
    label: t("fill.title"), place: "fill/pan", get: () => state.pan.shape,
    choices: [["", t("fill.ownPan")], ...bench.pans.map(({ name, label }) => /** @type {[string, string]} */ (
      [name, t.has(`pans.${name}`) ? t(`pans.${name}`) : label]))],
    set: (name) => {
      const shape = bench.pans.find((each) => each.name === name);
      bench.change((work) => {
        Object.assign(work.pan, { shape: name }, shape?.pan);
        if (shape) work.lid = shape.lid;
      });
      if (!shape) measures.open = true;
      pan.refresh();
    },
  });
  const again = measuredAgain(() => state.pan, () => state.formula.name);
  /** @param {object} values */
  function changePan(values) {
    bench.change((work) => { Object.assign(work.pan, { shape: "" }, values); });
    shapes.refresh();
  }
  const pan = kindFields(bench, {
    label: t("fill.kind"), texts: "pan", kinds: PAN_FIELDS, place: "fill/pan", get: () => state.pan.kind,
    read: (name) => state.pan[/** @type {keyof PanFields} */ (name)],
    set: (kind) => changePan(again(kind)), write: (name, value) => changePan({ [name]: value }),
  });
  /** @param {"pans" | "fill_percent"} name @param {string} quantity @param {string} [unitText] */
  const count = (name, quantity, unitText) => numberField(bench, {
    label: t(`fill.${name}`), quantity, unitText, place: `fill/${name}`, get: () => state[name],
    set: (value) => bench.change((work) => { work[name] = value; }),
  });
  const pans = count("pans", "number", "");
  const full = count("fill_percent", "percent");
  const units = choiceField(bench, {
    label: t("tools.units"), choices: Object.keys(SYSTEMS).map((system) => [system, t(`tools.${system}`)]), get: () => state.units,
    set: (system) => { bench.change((work) => { work.units = /** @type {System} */ (system); }); refresh(); },
  });
  const measures = h("details", { class: "folded" }, h("summary", {}, t("panel.measures")),
    h("div", { class: "folded-body" }, pan.nodes, full.node, units.node));
  const parts = [share, shapes, pan, pans, full, units];
  function refresh() {
    for (const part of parts) part.refresh();
  }
  refresh();
  return { measures, refresh, nodes: [share.node, h("div", { class: "panel-pan" }, shapes.node, pans.node), measures] };
}

/** What writes the three answers. @param {PanelBench} bench */
function writersOf(bench) {
  const { t, state, names, last } = bench;
  const { figure, estimate, onScale, text } = figuresOf(bench);
  const percent = (/** @type {number} */ value) => figure(value, "percent", 1);
  const share = (/** @type {Answers["fill"]} */ each) => text(each.scalded_share_percent ?? 0, "percent");
  return {
    /** @param {Answers["water"]} reply */
    water: (reply) => [
      h("p", { class: "verdict" }, waterSays(bench, reply)),
      figureList([
        [t("water.hydration"), [percent(reply.before.hydration_percent), " → ", percent(reply.after.hydration_percent)], "main"],
        [t("water.optimum"), estimate(reply.optimum_hydration_percent, "percent", 1)],
      ]),
    ],
    /** @param {Answers["fill"]} reply */
    fill(reply) {
      const before = last["fill-before"];
      return figureList([
        [t("fill.doughPerPan"), estimate(reply.dough_mass, "mass"), "main"],
        reply.pans > 1 && [t("fill.doughInAll"), estimate(reply.total_dough_mass, "mass"), "main"],
        before && share(before) !== share(reply)
          && [t("fill.before", { share: share(before) }), estimate(before.dough_mass, "mass")],
        [t("fill.bread"), t.has(`breadKind.${state.bread.kind}`) ? t(`breadKind.${state.bread.kind}`) : state.bread.kind],
      ]);
    },
    /** @param {Answers["weigh"]} reply */
    weigh(reply) {
      const rows = ["scald", "dough"].filter((part) => reply.weigh_out.some((line) => line.part === part)).flatMap((part) => [
        { group: t(`weigh.${part}`) },
        ...reply.weigh_out.filter((line) => line.part === part).map((line) => [
          names.label(line.ingredient), onPoint(onScale(line), bench.locale)]),
      ]);
      const { dough } = figuresOf(bench);
      const filled = last.fill;         // the dough that this weighs out
      const said = filled ? t("weigh.total", { dough: dough(filled.total_dough_mass.best) }) : t("table.total");
      return [
        filled && h("p", {}, t(filled.pans > 1 ? "weigh.headMany" : "weigh.head", {
          pans: filled.pans, dough: dough(filled.dough_mass.best), share: share(filled) })),
        table(t("weigh.answer"), [[t("table.ingredient")], [t("table.mass"), "number"]], rows, [[said, onPoint(figure(reply.weigh_out_total, "mass"), bench.locale)]])];
    },
  };
}

/** Every caution in full. @param {FiguresBench} bench @param {Caution[]} cautions */
function cautionsOf(bench, cautions) {
  const { t } = bench;
  return h("div", { class: "cautions" }, h("strong", {}, t("caution.title")), h("ul", {}, cautions.map((caution) => {
    const { lang, text, who } = cautionText(bench, caution);
    return h("li", { lang, "data-code": caution.code }, text, h("small", {}, ` ${t("caution.defer", { who })}`));
  })));
}

/** Fields and answers. @param {PanelBench} bench @param {Answers["formula"]} whole the formula as it came */
export function bodyOf(bench, whole) {
  const { t } = bench;
  const fields = fieldsOf(bench, whole);
  const write = writersOf(bench);
  const water = answerOf(bench, "water", t("water.answer"), write.water);
  const fill = answerOf(bench, "fill", t("fill.answer"), write.fill);
  const past = h("p", { class: "hint past", role: "status" });
  /** @type {Partial<Record<Step, any>>} */
  let newest = {};
  async function sayPast() {
    const note = pastNote([newest.water, newest.fill]);
    await t.more().catch(() => {});
    if (note === pastNote([newest.water, newest.fill])) past.textContent = note ? ownWords(bench, note) ?? note.text : "";
  }
  const weigh = answerOf(bench, "weigh", t("weigh.answer"), write.weigh);
  /** @type {Partial<Record<Step, Answer>>} */
  const answers = { water, fill, weigh };
  const beware = h("div", { class: "panel-beware" });
  const says = { water: h("span", {}), fill: h("span", {}) };
  /** What a fold says while it is closed; only its name while its answer is not for the entries. @param {"water" | "fill"} step @param {any} [reply] */
  function sum(step, reply) {
    const { text } = figuresOf(bench);
    const percent = (/** @type {number} */ value) => text(value, "percent", 1);
    says[step].textContent = step === "water" ? [t("water.hydration"), reply && `${percent(reply.before.hydration_percent)} → ${percent(reply.after.hydration_percent)}`]
      .filter(Boolean).join(" ")
      : reply ? t("panel.perTin", { dough: figuresOf(bench).dough(reply.dough_mass.best), ...doughEnds(bench, reply.dough_mass) })
        : t("fill.doughPerPan");
  }
  sum("water");
  sum("fill");
  /** It opens by itself when it has a fault, which would not be seen. @param {"water" | "fill"} step */
  function foldOf(step) {
    const fold = h("details", { class: "folded" }, h("summary", {}, says[step]), answers[step]?.node);
    new MutationObserver(() => { if (fold.querySelector(".fault > p")) fold.open = true; }).observe(fold, { childList: true, subtree: true });
    return fold;
  }
  return {
    node: h("div", { class: "panel-body" }, h("div", { class: "panel-asked" }, fields.nodes, past),
      h("div", { class: "panel-weigh" }, weigh.node), h("div", { class: "panel-more" }, foldOf("water"), foldOf("fill")), beware),
    refresh: fields.refresh,
    /** The cautions stand together at the end. @param {Step} step @param {Reply} [reply] */
    answered(step, reply) {
      if (reply) answers[step]?.show({ ...reply, cautions: [] });
      if (step === "water" || step === "fill") {
        sum(step, reply);
        newest = { ...newest, [step]: reply };
        sayPast();
      }
      if (step === "fill-before") fill.redraw();
    },
    old() {
      for (const answer of [water, fill]) answer.old();
      newest = {};
      past.textContent = "";
      sum("water");
      sum("fill");
    },
    /** Takes the amounts away and says why. @param {Why} why */
    withdraw({ matter, toDo }) {
      weigh.withdraw();
      weigh.say(h("strong", {}, matter), ` ${toDo}`);
    },
    /** @param {Caution[]} cautions */
    beware(cautions) {
      const hot = cautions.filter(({ code }) => code === "hot_scald" || code === "honey_infants");
      beware.replaceChildren(...hot.map((caution) => careLine(bench, caution)),
        h("details", { class: "folded" }, h("summary", {}, t("panel.safety", { count: cautions.length })), cautionsOf(bench, cautions)));
    },
    /** A fault in a folded field would not be seen. */
    showFaults() { if (fields.measures.querySelector("[aria-invalid=true]")) fields.measures.open = true; },
  };
}
