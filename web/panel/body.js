/** What the panel shows: a head with the recipe's reading, few fields, three answers. */

import { countsOf, readingOf } from "../sections/reading.js";
import { PAN_FIELDS } from "../service/requests.js";
import { answerOf, cautionsOf, figureList, figuresOf, table } from "../ui/answer.js";
import { h, uniqueId } from "../ui/dom.js";
import { choiceField, faultLine, kindFields, numberField, sliderField } from "../ui/fields.js";
import { SYSTEMS, decimalsOf } from "../ui/numbers.js";

const SLIDER_MOST = 60;

/** The head: name, state of the line, faults of start values, how the recipe was read, the way to the full page. */
export function headOf(bench, service) {
  const { t } = bench;
  const id = uniqueId("panel");
  const title = h("h2", { id }, t("panel.title"));
  const note = h("p", { class: "hint" });
  const link = h("p", { class: "link-state", role: "status" });
  const told = h("p", { class: "unseen", role: "status" });
  const faults = h("div", { class: "fault", role: "status" });
  const plan = h("a", { href: `${service}/`, target: "_blank", rel: "noopener" }, t("panel.open"));
  const counts = h("small", {});
  const lines = h("div", { class: "folded-body" });
  const reading = h("details", { class: "folded" }, h("summary", {}, `${t("panel.reading")} `, counts), lines);
  const which = h("div", {});
  let recipe = null;
  let recipes = [];
  let number = "1";
  reading.hidden = true;
  return {
    id,
    nodes: [h("div", { class: "panel-head" }, title, h("p", { class: "panel-plan" }, plan)), link, told, note, faults, which, reading],
    name(name) { title.textContent = name || t("panel.title"); },
    say(text) { note.textContent = text; },
    link(text) { link.textContent = text; },
    told(text) { told.textContent = told.textContent ? "" : text; },
    plan(address) { plan.href = address; },
    faults(list) {
      faults.replaceChildren(...list.map((fault) => faultLine(bench, { ...fault, nearest: null, asWritten: true, detail: [
        fault.pointer, fault.detail, ...(fault.nearest ? [t("fault.use", { value: [fault.nearest].flat().join(", ") })] : []),
      ].filter(Boolean).join(" ") })));
    },
    /** Open from the start when a line of the dough was not read, or not surely: the reader should see it. */
    reading(reply, chosen, choose) {
      reading.hidden = !reply;
      which.hidden = !(reply?.recipes.length > 1);
      if (!reply) return;
      number = chosen;
      recipes = reply.recipes;
      recipe ??= choiceField(bench, { label: t("panel.recipe"), set: choose, get: () => number,
                                      choices: () => recipes.map((name, index) => [String(index + 1), name]) });
      recipe.refresh();
      if (!which.hasChildNodes()) which.append(recipe.node);
      title.textContent = reply.name || t("panel.title");
      counts.textContent = countsOf(bench, reply);
      lines.replaceChildren(...readingOf(bench, reply).slice(1).filter(Boolean));
      reading.open = !reply.formula || reply.lines.some((line) => (
        line.kind === "ingredient" && line.part !== "aside" && ["unsure", "not_read"].includes(line.sure)));
    },
  };
}

/** Fields and answers. whole: the breakdown of the formula as it came. */
export function bodyOf(bench, whole) {
  const { t, state, names, last } = bench;
  const share = sliderField(bench, {
    label: t("water.share"), min: 0, max: SLIDER_MOST, step: 1, place: "water/scalded_share_percent",
    get: () => state.share, set: (value) => bench.change((work) => { work.share = value; }),
    marks: () => [Number(whole.scalded_share_percent.toPrecision(4))],
  });
  const shapes = choiceField(bench, {
    label: t("fill.title"), place: "fill/pan", get: () => state.pan.shape,
    choices: [["", t("fill.ownPan")], ...bench.pans.map(({ name, label }) => [name, t.has(`pans.${name}`) ? t(`pans.${name}`) : label])],
    set: (name) => {
      const shape = bench.pans.find((pan) => pan.name === name);
      bench.change((work) => Object.assign(work.pan, { shape: name }, shape?.pan));
      if (!shape) measures.open = true;
      pan.refresh();
    },
  });
  const own = (change) => { bench.change((work) => Object.assign(work.pan, { shape: "" }, change)); shapes.refresh(); };
  const pan = kindFields(bench, {
    label: t("fill.kind"), texts: "pan", kinds: PAN_FIELDS, place: "fill/pan", get: () => state.pan.kind,
    set: (kind) => own({ kind }), read: (name) => state.pan[name], write: (name, value) => own({ [name]: value }),
  });
  const count = (name, quantity, unitText) => numberField(bench, {
    label: t(`fill.${name}`), quantity, unitText, place: `fill/${name}`, get: () => state[name],
    set: (value) => bench.change((work) => { work[name] = value; }),
  });
  const pans = count("pans", "number", "");
  const full = count("fill_percent", "percent");
  const units = choiceField(bench, {
    label: t("tools.units"), choices: Object.keys(SYSTEMS).map((system) => [system, t(`tools.${system}`)]),
    get: () => state.units, set: (system) => { bench.change((work) => { work.units = system; }); refresh(); },
  });
  const measures = h("details", { class: "folded" }, h("summary", {}, t("panel.measures")),
    h("div", { class: "folded-body" }, pan.node, full.node, units.node));
  const parts = [share, shapes, pan, pans, full, units];

  function water(reply) {
    const { figure, estimate } = figuresOf(bench);
    const percent = (value) => figure(value, "percent", 1);
    return [
      h("p", { class: "verdict" }, t(`assessment.${reply.assessment}`)),
      figureList([
        [t("water.hydration"), [percent(reply.before.hydration_percent), " → ", percent(reply.after.hydration_percent)], "main"],
        [t("water.optimum"), estimate(reply.optimum_hydration_percent, "percent", 1)],
      ]),
    ];
  }

  function fill(reply) {
    const { estimate, text } = figuresOf(bench);
    const before = last["fill-before"];
    const share = (each) => text(each.scalded_share_percent, "percent");
    return figureList([
      [t("fill.doughPerPan"), estimate(reply.dough_mass, "mass"), "main"],
      reply.pans > 1 && [t("fill.doughInAll"), estimate(reply.total_dough_mass, "mass"), "main"],
      before && share(before) !== share(reply)
        && [t("fill.before", { share: share(before) }), estimate(before.dough_mass, "mass")],
      [t("fill.bread"), t.has(`breadKind.${state.bread.kind}`) ? t(`breadKind.${state.bread.kind}`) : state.bread.kind],
    ]);
  }

  function weigh(reply) {
    const { figure } = figuresOf(bench);
    const rows = ["scald", "dough"].filter((part) => reply.weigh_out.some((line) => line.part === part)).flatMap((part) => [
      { group: t(`weigh.${part}`) },
      ...reply.weigh_out.filter((line) => line.part === part).map((line) => [
        names.label(line.ingredient), figure(line.mass, "mass", decimalsOf(line.resolution))]),
    ]);
    return table(t("weigh.answer"), [[t("table.ingredient")], [t("table.mass"), "number"]], rows,
      [[t("weigh.total"), figure(reply.weigh_out_total, "mass")]]);
  }

  const answers = {
    water: answerOf(bench, "water", t("water.answer"), water),
    fill: answerOf(bench, "fill", t("fill.answer"), fill),
    weigh: answerOf(bench, "weigh", t("weigh.answer"), weigh),
  };

  const beware = h("div", { class: "panel-beware" });
  function refresh() {
    for (const part of parts) part.refresh();
  }
  refresh();

  return {
    node: h("div", { class: "panel-body" },
      h("div", { class: "panel-asked" }, share.node, h("div", { class: "panel-pan" }, shapes.node, pans.node), measures,
        answers.water.node, answers.fill.node),
      h("div", { class: "panel-weigh" }, answers.weigh.node), beware),
    refresh,
    answered(step, reply) {
      answers[step]?.show({ ...reply, cautions: [] });      // they stand together at the end
      if (step === "fill-before") answers.fill.redraw();
    },
    old() { for (const answer of Object.values(answers)) answer.old(); },
    beware(cautions) { beware.replaceChildren(cautionsOf(bench, cautions)); },
    /** A fault in a folded field would not be seen. */
    showFaults() { if (measures.querySelector(".fault p")) measures.open = true; },
  };
}
