/** Step three: the pan, and the dough that fills it. */

import { BREAD_FIELDS, PAN_FIELDS } from "../service/requests.js";
import { answerOf } from "../ui/answer.js";
import { h, section } from "../ui/dom.js";
import { choiceField, kindFields, numberField } from "../ui/fields.js";
import { figureList, figuresOf } from "../ui/figures.js";

/** @param {Bench} bench @param {Answers["fill"]} reply @param {Answers["fill-before"]} before */
function writeFill(bench, reply, before) {
  const { t } = bench;
  const { figure, estimate, text } = figuresOf(bench);
  const more = reply.against_reference_loaf;
  return figureList([
    [t("fill.doughPerPan"), estimate(reply.dough_mass, "mass"), "main"],
    before && [t("fill.before", { share: text(before.scalded_share_percent ?? 0, "percent") }), estimate(before.dough_mass, "mass")],
    reply.pans > 1 && [t("fill.doughInAll"), estimate(reply.total_dough_mass, "mass"), "main"],
    more && [t("fill.more"), [estimate(more.dough_mass, "mass"), " · ", estimate(more.percent, "percent", 1)]],
    [t("fill.bakedMass"), estimate(reply.baked_mass, "mass")],
    [t("fill.specificVolume"), estimate(reply.specific_volume, "specific_volume", 2)],
    [t("fill.panRatio"), estimate(reply.pan_ratio, "specific_volume", 2)],
    [t("fill.panVolume"), figure(reply.pan_volume, "volume")],
    [t("fill.loafVolume"), figure(reply.loaf_volume, "volume")],
    [t("fill.lossReckoned"), estimate(reply.bake_loss_percent, "percent", 1)],
  ]);
}

/** @param {Bench} bench @returns {FillSection} */
export function fillSection(bench) {
  const { t, state } = bench;

  const shapes = choiceField(bench, {
    label: t("fill.shape"),
    choices: () => [["", t("fill.ownPan")],
      ...bench.pans.map(({ name, label }) => /** @type {[string, string]} */ ([name, t.has(`pans.${name}`) ? t(`pans.${name}`) : label]))],
    get: () => state.pan.shape,
    set: (name) => {
      const shape = bench.pans.find((pan) => pan.name === name);
      bench.change((work) => { Object.assign(work.pan, { shape: name }, shape?.pan); });
      pan.refresh();
    },
  });
  const pan = kindFields(bench, {
    label: t("fill.kind"), texts: "pan", kinds: PAN_FIELDS, place: "fill/pan", get: () => state.pan.kind,
    set: (kind) => changePan({ kind }), write: (name, value) => changePan({ [name]: value }),
    read: (name) => state.pan[/** @type {keyof PanFields} */ (name)],
  });
  /** @param {object} values */
  function changePan(values) {
    bench.change((work) => { Object.assign(work.pan, values, { shape: "" }); });
    shapes.refresh();
  }
  /** @param {"pans" | "fill_percent" | "bake_loss_percent"} name @param {string} quantity @param {string} [unitText] */
  const number = (name, quantity, unitText) => numberField(bench, {
    label: t(`fill.${name}`), hint: t.has(`fill.${name}Hint`) ? t(`fill.${name}Hint`) : null, quantity, unitText,
    optional: name === "bake_loss_percent", place: `fill/${name}`, get: () => state[name],
    set: (value) => bench.change((work) => { work[name] = value; }),
  });
  const bread = kindFields(bench, {
    label: t("fill.bread"), texts: "bread", kinds: BREAD_FIELDS, place: "fill/bread", hint: t("fill.breadHint"),
    offered: (kind) => kind !== "calibration" || bench.notebook.state.trials.length > 0,
    get: () => state.bread.kind, set: (kind) => bench.change((work) => { work.bread.kind = kind; }),
    read: (name) => state.bread[/** @type {BreadFigure} */ (name)],
    write: (name, value) => bench.change((work) => { work.bread[/** @type {BreadFigure} */ (name)] = value; }),
  });
  const numbers = [number("pans", "number", ""), number("fill_percent", "percent"), number("bake_loss_percent", "percent")];
  const parts = [shapes, pan, bread, ...numbers];

  const room = h("div", { class: "chart-room" });

  const answer = answerOf(bench, "fill", t("fill.answer"), (reply, before) => writeFill(bench, reply, before), room);
  return {
    step: "fill", beside: ["fill-before"], answer, room,
    offerPans: shapes.refresh,
    refresh() { for (const part of parts) part.refresh(); },
    node: section("fill", t("fill.title"),
      [shapes.node, pan.nodes, h("div", { class: "pair" }, numbers.map((each) => each.node)), bread.nodes],
      answer, { intro: t("fill.intro") }),
  };
}
