/** The tin, and the dough that fills it. */

import { BREAD_FIELDS, PAN_FIELDS } from "../service/requests.js";
import { measuredAgain } from "../state/measured-again.js";
import { isExampleLoaf, isExampleTin } from "../state/work.js";
import { answerOf } from "../ui/answer.js";
import { h } from "../ui/dom.js";
import { choiceField, numberField } from "../ui/fields.js";
import { doughDigits, figuresOf } from "../ui/figures.js";
import { section } from "../ui/layout.js";
import { kindFields } from "../ui/more-fields.js";
import { radioField } from "../ui/plain-fields.js";
import { figureList } from "../ui/tables.js";
import { FILLED, formerTin, keepFormerTin } from "./tonight.js";

/** @param {Bench} bench @param {Answers["fill"]} reply @param {Answers["fill-before"]} before */
function writeFill(bench, reply, before) {
  const { t } = bench;
  const { figure, estimate, text } = figuresOf(bench);
  const more = reply.against_reference_loaf;
  // Its low end may be below nothing, and a dash before a minus can't be read.
  const change = (/** @type {Estimate} */ { best, low, high }, /** @type {string} */ quantity, digits = 0) => [figure(best, quantity, digits), " ",
    h("span", { class: "band" }, `${text(low, quantity, digits)} … ${text(high, quantity, digits)}`)];
  return figureList([
    [t("fill.doughPerPan"), estimate(reply.dough_mass, "mass"), "main"],
    before && [t("fill.before", { share: text(before.scalded_share_percent ?? 0, "percent") }), estimate(before.dough_mass, "mass")],
    reply.pans > 1 && [t("fill.doughInAll"), estimate(reply.total_dough_mass, "mass"), "main"],
    more && [t("fill.more"), [change(more.dough_mass, "mass", doughDigits(bench.units())), " · ", change(more.percent, "percent")]],
    [t("fill.bakedMass"), estimate(reply.baked_mass, "mass")],
    [t("fill.specificVolume"), estimate(reply.specific_volume, "specific_volume", 2)],
    [t("fill.panRatio"), estimate(reply.pan_ratio, "specific_volume", 2)],
    [t("fill.panVolume"), figure(reply.pan_volume, "volume")],
    [t("fill.loafVolume"), figure(reply.loaf_volume, "volume")],
    [t("fill.lossReckoned"), estimate(reply.bake_loss_percent, "percent", 1)],
  ]);
}

/** @param {PanEntries} pan */
const isMeasured = (pan) => Object.keys(PAN_FIELDS[pan.kind]).every((name) => typeof pan[/** @type {keyof PanFields} */ (name)] === "number");

/** Another tin tonight: the last loaf keeps the tin that it was baked in. It goes along where only its measures are new, or where
the tin was nobody's; the sentence about the loaf then offers the tin before.
@param {Bench} bench @param {object} values @param {{isMeasuredAgain?: boolean, lid?: boolean | null}} [how] */
function changeTin(bench, values, { isMeasuredAgain = false, lid = bench.state.lid } = {}) {
  bench.change((work) => {
    const { pan, bread } = work;
    const before = { ...pan };
    const isFilled = bread.kind === "reference_loaf" && bread.fill_percent !== null && !bread.pan;
    Object.assign(pan, values);
    work.lid = lid;
    if (!isFilled || formerTin(bench) || !isMeasured(before)) return;
    if (isExampleLoaf(work) || !(isMeasuredAgain || isExampleTin(before))) bread.pan = before;
    else keepFormerTin(bench, before);
  });
}

/** The fields of a kind of knowledge; the sentence about the last loaf has those that are left out here. @type {Kinds} */
const HERE = { ...BREAD_FIELDS, reference_loaf: { loaf_volume: "volume?", bake_loss_percent: "percent?" } };

/** @param {Bench} bench @returns {FillSection} */
export function fillSection(bench) {
  const { t, state } = bench;

  const shapes = choiceField(bench, {
    label: t("fill.shape"),
    choices: () => [["", t("fill.ownPan")],
      ...bench.pans.map(({ name, label }) => /** @type {[string, string]} */ ([name, t.has(`pans.${name}`) ? t(`pans.${name}`) : label]))],
    // The name says whether the tin has a lid: with a lid on an open tin it is the baker's own.
    get: () => (bench.pans.some(({ name, lid: has }) => name === state.pan.shape && state.lid === !has) ? "" : state.pan.shape),
    set: (name) => {
      const shape = bench.pans.find((each) => each.name === name);
      changeTin(bench, { ...shape?.pan, shape: name }, { lid: shape?.lid });
      bench.redraw();
    },
  });
  const again = measuredAgain(() => state.pan, () => state.formula.name);
  const pan = kindFields(bench, {
    label: t("fill.kind"), texts: "pan", kinds: PAN_FIELDS, place: "fill/pan", get: () => state.pan.kind,
    set: (kind) => changePan(again(kind), { isMeasuredAgain: true }), write: (name, value) => changePan({ [name]: value }),
    read: (name) => state.pan[/** @type {keyof PanFields} */ (name)],
  });
  /** @param {object} values @param {{isMeasuredAgain?: boolean}} [how] */
  function changePan(values, how) {
    changeTin(bench, { ...values, shape: "" }, how);
    shapes.refresh();
  }
  /** @param {"fill_percent" | "bake_loss_percent" | "cooling_loss_percent"} name @param {string} quantity @param {string} [unitText] */
  const number = (name, quantity, unitText) => numberField(bench, {
    label: t(`fill.${name}`), hint: t.has(`fill.${name}Hint`) ? t(`fill.${name}Hint`) : null, quantity, unitText,
    optional: name !== "fill_percent", place: `fill/${name}`, get: () => state[name],
    set: (value) => bench.change((work) => { work[name] = value; }),
  });
  const bread = kindFields(bench, {
    label: t("fill.bread"), texts: "bread", kinds: HERE, place: "fill/bread", hint: t("fill.breadHint"),
    offered: (kind) => kind !== "calibration" || bench.notebook.state.trials.length > 0,
    get: () => state.bread.kind, set(kind) {
      bench.change(({ bread: known }) => {
        known.kind = kind;
        if (kind === "reference_loaf" && known.loaf_volume === null) known.fill_percent ??= FILLED.full;
      });
      bench.redraw();
    },
    // A volume that the sentence about the last loaf has replaced is not shown beside it.
    read: (name) => (name === "loaf_volume" && state.bread.fill_percent !== null ? null : state.bread[/** @type {BreadFigure} */ (name)]),
    write: (name, value) => bench.change(({ bread: known }) => {
      known[/** @type {BreadFigure} */ (name)] = value;
      if (name === "loaf_volume") known.fill_percent = value === null ? FILLED.full : null;
    }),
  });
  const numbers = [number("fill_percent", "percent"), number("bake_loss_percent", "percent"), number("cooling_loss_percent", "percent")];
  const lid = radioField(bench, {
    label: t("fill.lid"), choices: [["yes", t("tonight.lidded")], ["no", t("tonight.open")]],
    get: () => (state.lid === null ? "" : state.lid ? "yes" : "no"), set: (value) => {
      bench.change((work) => { work.lid = value === "yes"; });
      bench.redraw();
    },
  });
  const parts = [shapes, pan, lid, bread, ...numbers];

  const room = h("div", { class: "chart-room" });

  const answer = answerOf(bench, "fill", t("fill.answer"), (reply, before) => writeFill(bench, reply, before), room);
  return {
    step: "fill", beside: ["fill-before"], answer, room,
    offerPans: shapes.refresh,
    refresh() { for (const part of parts) part.refresh(); },
    node: section("fill", t("fill.title"),
      [shapes.node, pan.nodes, lid.node, h("div", { class: "pair" }, numbers.map((each) => each.node)), bread.nodes],
      answer, { intro: t("fill.intro") }),
  };
}
