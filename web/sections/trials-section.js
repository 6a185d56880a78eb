/** Measured bakes: what they teach about this flour and this oven, and the dough for the next one. */

import { VOLUMES, measuredTrials } from "../service/learn-requests.js";
import { newKey } from "../state/work.js";
import { answerOf } from "../ui/answer.js";
import { h, keyedRows, section } from "../ui/dom.js";
import { choiceField, numberField, textField } from "../ui/fields.js";
import { figureList, figuresOf, table } from "../ui/figures.js";
import { undoable } from "../ui/undo.js";

/** @param {Bench} bench @param {Trial} trial @param {() => void} remove */
function trialRow(bench, trial, remove) {
  const { t } = bench;
  const at = `trials/${trial.key}`;
  const change = (/** @type {Partial<Trial>} */ values) => bench.changeNotebook(() => { Object.assign(trial, values); });
  /** @param {TrialFigure} field @param {string} quantity */
  const number = (field, quantity, optional = false) => numberField(bench, {
    label: t(`trials.${field}`), quantity, optional, place: `${at}/${field}`, get: () => trial[field],
    set: (value) => change({ [field]: value }) });
  const name = textField(bench, { label: t("trials.name"), get: () => trial.name, set: (value) => change({ name: value }), place: `${at}/name` });
  const kinds = /** @type {VolumeKind[]} */ (Object.keys(VOLUMES));
  const measured = Object.fromEntries(kinds.map((kind) => [kind, number(kind, VOLUMES[kind])]));
  const how = choiceField(bench, {
    label: t("trials.volume_by"), choices: kinds.map((kind) => [kind, t(`trials.by_${kind}`)]),
    get: () => trial.volume_by, set: (kind) => { change({ volume_by: /** @type {VolumeKind} */ (kind) }); show(); },
  });
  const fields = [number("scalded_share_percent", "percent"), number("hydration_percent", "percent", true),
                  number("dough_mass", "mass"), number("baked_mass", "mass", true), number("proof_minutes", "minutes", true)];
  const room = h("div", {});
  const note = h("p", { class: "hint" });
  function show() {
    room.replaceChildren(measured[trial.volume_by].node);
    note.textContent = trial.volume_by === "loaf_volume" ? "" : t("trials.inPan");
  }
  show();
  const button = h("button", { type: "button", class: "icon", title: t("trials.remove"), "aria-label": t("trials.remove"),
                               on: { click: remove } }, "×");
  /** @type {Field[]} */
  const parts = [name, how, ...fields, ...Object.values(measured)];
  return {
    node: h("li", { class: "trial" }, h("div", { class: "trial-head" }, name.node, button),
      h("div", { class: "pair" }, fields.slice(0, 3).map((field) => field.node), how.node, room,
        fields.slice(3).map((field) => field.node)), note),
    focus: () => name.input.focus(),
    refresh() { for (const part of parts) part.refresh(); },
    forget() { for (const part of parts) part.forget?.(); },
  };
}

/** A trial to fill in, with what is on the bench now. @param {Bench} bench @returns {Trial} */
function newTrial({ answers, locale, state, units }) {
  const { fill, water } = answers.now();
  return {
    key: newKey(), name: new Intl.DateTimeFormat(locale, { dateStyle: "medium" }).format(new Date()),
    scalded_share_percent: typeof state.share === "number" ? state.share : null,
    hydration_percent: water ? Number(water.hydration_percent.toFixed(2)) : null,
    dough_mass: fill ? Math.round(units().inward(fill.dough_mass.best, "mass")) : null,
    volume_by: "fill_percent", loaf_volume: null, fill_percent: null, crown_height: null,
    pan: { ...state.pan }, baked_mass: null, proof_minutes: null,
  };
}

/** The bake that would teach most. @param {Bench} bench @param {Schemas["TellingBake"]} bake */
function tellingBake(bench, { kind, scalded_share_percent: share, hydration_percent: hydration, narrows_dough_percent: percent }) {
  const { t } = bench;
  const { text } = figuresOf(bench);
  const said = t(`teach.${kind}`, { share: text(share, "percent", 0), hydration: hydration === null ? "" : text(hydration, "percent", 0) });
  return t("teach.narrows", { bake: said.replace(/,?\s*$/, ""), percent: text(percent, "percent", 0) });
}

/** What the trials teach, as nodes. @param {Bench} bench @param {Answers["trials"]} reply */
function writeLessons(bench, { fit, learned, next_bake: next, proof, spread_percent: spread, teach }) {
  const { t } = bench;
  const { figure, estimate, text } = figuresOf(bench);
  return [
    figureList([
      next && [t("trials.next", { share: text(next.scalded_share_percent, "percent") }), estimate(next.dough_mass, "mass"), "main"],
      next && [t("trials.bakeLoss"), estimate(next.bake_loss_percent, "percent", 1)],
      [t("trials.reference"), estimate(learned.reference_specific_volume, "specific_volume", 2)],
      [t("trials.spread"), figure(spread, "percent", 1)],
      proof?.minutes && [t("trials.proof"), estimate(proof.minutes, "minutes", 0)],
    ]),
    table(t("trials.fit"),
      [[t("trials.name")], [t("trials.expected"), "number"], [t("trials.measured"), "number"], [t("trials.off"), "number"]],
      fit.map((trial) => [[trial.name || "—", trial.flagged ? h("small", {}, ` ${t("trials.flagged")}`) : null],
        figure(trial.predicted, "volume"), figure(trial.measured, "volume"), figure(trial.residual_percent, "percent", 1)])),
    teach && teach.bakes.length > 0 && h("p", {}, h("strong", {}, `${t("trials.teach")} `), tellingBake(bench, teach.bakes[0])),
  ];
}

/** @param {Bench} bench @returns {Section} */
export function trialsSection(bench) {
  const { t, state, notebook } = bench;
  const list = h("ul", { class: "trials" });
  const rows = keyedRows(list, (/** @type {Trial} */ trial) => trialRow(bench, trial, () => remove(trial)));
  const add = h("button", { type: "button", class: "add", on: { click: addTrial } }, t("trials.add"));
  /** @type {HTMLInputElement} */
  const use = h("input", { type: "checkbox", on: { change: () => {
    bench.change((work) => { work.bread.kind = use.checked ? "calibration" : "prior"; });
    bench.redraw();
  } } });
  const useLabel = h("label", { class: "check" }, use, h("span", {}, t("trials.use")));

  function addTrial() {
    const trial = newTrial(bench);
    bench.changeNotebook((book) => { book.trials.push(trial); });
    bench.redraw();
    rows.get(trial.key)?.focus();
  }

  /** @param {Trial} trial */
  function remove(trial) {
    const { trials } = notebook.state;
    const index = trials.indexOf(trial);
    bench.changeNotebook(() => { trials.splice(index, 1); });
    bench.redraw();
    add.focus();
    undoable(bench, list, trial.name, () => {
      bench.changeNotebook(() => { trials.splice(index, 0, trial); });
      bench.redraw();
      rows.get(trial.key)?.focus();
    });
  }

  function refresh() {
    rows.show(notebook.state.trials);
    const any = measuredTrials(notebook.state.trials).length > 0;
    answer.node.hidden = !any;
    useLabel.hidden = !any;
    use.checked = state.bread.kind === "calibration";
  }

  const answer = answerOf(bench, "trials", t("trials.answer"), (reply) => writeLessons(bench, reply));
  refresh();
  return {
    step: "trials", refresh,
    answer: { ...answer, show(reply) { answer.show(reply); refresh(); } },
    node: section("trials", t("trials.title"), [list, add, useLabel], answer, { intro: t("trials.intro") }),
  };
}
