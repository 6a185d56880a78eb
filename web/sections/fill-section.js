/** Step three: the pan, and the dough that fills it. */

import { BREAD_FIELDS, PAN_FIELDS } from "../service/requests.js";
import { answerOf, figureList, figuresOf } from "../ui/answer.js";
import { h, section } from "../ui/dom.js";
import { choiceField, kindFields, numberField } from "../ui/fields.js";

export function fillSection(bench) {
  const { t, state } = bench;

  const shapes = choiceField(bench, {
    label: t("fill.shape"),
    choices: () => [["", t("fill.ownPan")],
      ...bench.pans.map(({ name, label }) => [name, t.has(`pans.${name}`) ? t(`pans.${name}`) : label])],
    get: () => state.pan.shape,
    set: (name) => {
      const shape = bench.pans.find((pan) => pan.name === name);
      bench.change((work) => Object.assign(work.pan, { shape: name }, shape?.pan));
      pan.refresh();
    },
  });
  const pan = kindFields(bench, {
    label: t("fill.kind"), texts: "pan", kinds: PAN_FIELDS, place: "fill/pan", get: () => state.pan.kind,
    set: (kind) => { bench.change((work) => Object.assign(work.pan, { kind, shape: "" })); shapes.refresh(); },
    read: (name) => state.pan[name],
    write: (name, value) => { bench.change((work) => Object.assign(work.pan, { [name]: value, shape: "" })); shapes.refresh(); },
  });
  const number = (name, quantity, unitText) => numberField(bench, {
    label: t(`fill.${name}`), hint: t.has(`fill.${name}Hint`) ? t(`fill.${name}Hint`) : null, quantity, unitText,
    optional: name === "bake_loss_percent", place: `fill/${name}`, get: () => state[name], set: (value) => bench.change((work) => { work[name] = value; }),
  });
  const bread = kindFields(bench, {
    label: t("fill.bread"), texts: "bread", kinds: BREAD_FIELDS, place: "fill/bread", hint: t("fill.breadHint"),
    offered: (kind) => kind !== "calibration" || bench.notebook.state.trials.length > 0,
    get: () => state.bread.kind, set: (kind) => bench.change((work) => { work.bread.kind = kind; }),
    read: (name) => state.bread[name], write: (name, value) => bench.change((work) => { work.bread[name] = value; }),
  });
  const numbers = [number("pans", "number", ""), number("fill_percent", "percent"), number("bake_loss_percent", "percent")];
  const parts = [shapes, pan, bread, ...numbers];

  const room = h("div", { class: "chart-room" });

  /** before: the same pan at the formula's own share; null when the share does not move. */
  function write(reply, before) {
    const { figure, estimate, text } = figuresOf(bench);
    const more = reply.against_reference_loaf;
    return figureList([
      [t("fill.doughPerPan"), estimate(reply.dough_mass, "mass"), "main"],
      before && [t("fill.before", { share: text(before.scalded_share_percent, "percent") }), estimate(before.dough_mass, "mass")],
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

  const answer = answerOf(bench, "fill", t("fill.answer"), write, room);
  return {
    step: "fill", beside: ["fill-before"], answer, room,
    /** The pans to start from, once they are known. */
    offerPans: shapes.refresh,
    refresh() { for (const part of parts) part.refresh(); },
    node: section("fill", t("fill.title"),
      [shapes.node, pan.node, h("div", { class: "pair" }, numbers.map((each) => each.node)), bread.node],
      answer, { intro: t("fill.intro") }),
  };
}
