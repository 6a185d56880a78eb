/** The plan in three sections: temperatures of scald and dough, the timetable, and how sure it all is. */

import { createAsker } from "../service/asker.js";
import { planRequest } from "../service/plan-request.js";
import { stage as newTask } from "../state/work.js";
import { answerOf } from "../ui/answer.js";
import { h } from "../ui/dom.js";
import { faultRoom, labelled, numberField } from "../ui/fields.js";
import { figuresOf } from "../ui/figures.js";
import { keyedRows, section } from "../ui/layout.js";
import { radioField, textField } from "../ui/plain-fields.js";
import { figureList, table } from "../ui/tables.js";
import { timesOf } from "./evening.js";
import { undoable } from "../ui/undo.js";

/** @type {Record<PlanFigure, string>} */
const FIELDS = { flour_temperature: "temperature", liquid_temperature: "temperature", room_temperature: "temperature?",
                 core_temperature: "temperature", scald_mass: "mass?", container_mass: "mass?", holding_hours: "hours?",
                 holding_temperature: "temperature?", target: "temperature", temperature_rise: "temperature_difference",
                 scald_temperature: "temperature", others_temperature: "temperature?", tap_temperature: "temperature?" };
/** @type {Partial<Record<PlanFigure, string>>} */
const HINTS = { room_temperature: "roomHint", others_temperature: "othersHint", tap_temperature: "tapHint" };
/** @type {Record<Work["plan"]["method"], PlanFigure[]>} */
const SCALD = { pour_over: ["flour_temperature", "liquid_temperature", "room_temperature"], cooked: ["flour_temperature", "core_temperature"] };
/** @type {PlanFigure[]} */
const AFTER = ["scald_mass", "container_mass", "holding_hours", "holding_temperature"];
/** @type {PlanFigure[]} */
const DOUGH = ["target", "temperature_rise", "scald_temperature", "others_temperature", "tap_temperature"];

/** 460 minutes as 7:40. @param {number} minutes */
function hoursAndMinutes(minutes) {
  const whole = Math.round(minutes);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** Date and time. @param {FieldsBench} bench
@param {{label: string, get(): string, set(value: string): void, place: string}} options @returns {Field} */
function momentField(bench, { label, get, set, place }) {
  /** @type {HTMLInputElement} */
  const input = h("input", { type: "datetime-local", on: { input: () => set(input.value) } });
  const node = labelled(label, input);
  const room = faultRoom(bench, input);
  node.append(room.node);
  const refresh = () => { input.value = get(); };
  bench.board.register(place, { fault: room.show });
  refresh();
  return { node, refresh };
}

/** A step with its minutes. @param {Bench} bench @param {Stage} task @param {string} at its place @param {() => void} remove */
function taskRow(bench, task, at, remove) {
  const { t } = bench;
  const change = (/** @type {Partial<Stage>} */ values) => bench.change(() => { Object.assign(task, values); });
  const parts = [textField(bench, { label: t("plan.task"), get: () => task.name, set: (name) => change({ name }), place: `${at}/name` }),
                 numberField(bench, { label: t("sugar.minutes"), quantity: "minutes", get: () => task.minutes,
                                      set: (minutes) => change({ minutes }), place: `${at}/minutes` })];
  const button = h("button", { type: "button", class: "icon", "aria-label": t("plan.removeTask"), title: t("plan.removeTask"),
                               on: { click: remove } }, "×");
  return { node: h("li", { class: "task" }, parts.map((part) => part.node), button), focus: () => parts[0].input.focus(),
           refresh() { for (const part of parts) part.refresh(); }, forget() { for (const part of parts) part.forget?.(); } };
}

/** A list of steps. @param {Bench} bench @param {"before" | "after"} when @param {string} label @returns {Field} */
function taskList(bench, when, label) {
  const { t, state } = bench;
  const list = h("ul", { class: "tasks" });
  const tasks = () => state.plan[when];
  const rows = keyedRows(list, (/** @type {Stage} */ task) => taskRow(bench, task, `plan/${when}/${task.key}`, () => {
    const known = tasks();
    const index = known.indexOf(task);
    bench.change(() => { known.splice(index, 1); });
    refresh();
    add.focus();
    undoable(bench, list, task.name, () => {
      bench.change(() => { known.splice(index, 0, task); });
      refresh();
      rows.get(task.key)?.focus();
    });
  }));
  const add = h("button", { type: "button", class: "add", on: { click: () => {
    const task = newTask(t("plan.newTask"), 15);
    bench.change(() => { tasks().push(task); });
    refresh();
    rows.get(task.key)?.focus();
  } } }, t("plan.addTask"));
  const refresh = () => rows.show(tasks());
  refresh();
  return { node: h("fieldset", {}, h("legend", {}, label), list, add), refresh };
}

/** The fields of the plan. @param {Bench} bench */
function planFields(bench) {
  const { t, state } = bench;
  const names = /** @type {PlanFigure[]} */ (Object.keys(FIELDS));
  /** @type {Record<string, Field>} */
  const fields = Object.fromEntries(names.map((name) => [name, numberField(bench, {
    label: t(`plan.${name}`), hint: name in HINTS ? t(`plan.${HINTS[name]}`) : null, quantity: FIELDS[name].replace("?", ""),
    optional: FIELDS[name].endsWith("?"), place: `plan/${name}`, get: () => state.plan[name],
    set: (value) => bench.change((work) => { work.plan[name] = value; }),
  })]));
  const method = radioField(bench, {
    label: t("plan.method"), choices: [["pour_over", t("plan.pour_over")], ["cooked", t("plan.cooked")]],
    get: () => state.plan.method, set: (kind) => {
      bench.change((work) => { work.plan.method = kind === "cooked" ? kind : "pour_over"; });
      show();
    },
  });
  const stirred = radioField(bench, {
    label: t("plan.stirred"), choices: [["hand", t("plan.by_hand")], ["mixer", t("plan.by_mixer")]],
    get: () => state.plan.stirred, set: (how) => bench.change((work) => { work.plan.stirred = how; }),
  });
  const ready = momentField(bench, { label: t("plan.ready_at"), place: "plan/ready_at", get: () => state.plan.ready_at,
                                     set: (value) => bench.change((work) => { work.plan.ready_at = value; }) });
  const lists = [taskList(bench, "before", t("plan.before")), taskList(bench, "after", t("plan.after"))];
  const ofScald = h("div", { class: "pair" });
  const pair = (/** @type {PlanFigure[]} */ pairs) => h("div", { class: "pair" }, pairs.map((name) => fields[name].node));
  function show() {
    ofScald.replaceChildren(...SCALD[state.plan.method].map((name) => fields[name].node));
  }
  show();
  return {
    ofTemperatures: [h("h3", {}, t("plan.scald")), method.node, ofScald, stirred.node, pair(AFTER), h("h3", {}, t("plan.temperatures")), pair(DOUGH)],
    ofTimes: [ready.node, lists.map((list) => list.node)],
    refresh() {
      for (const part of [...Object.values(fields), method, stirred, ready, ...lists]) part.refresh();
      show();
    },
  };
}

/** The temperatures as nodes. @param {Bench} bench @param {Replies["loaf-plan"]} reply */
function writeTemperatures(bench, reply) {
  const { t } = bench;
  const { figure, estimate, text } = figuresOf(bench);
  const { scald_preparation: scald, dough_temperature: dough } = reply.parts;
  const found = scald?.gelatinisation;
  const { ice } = dough ?? {};
  const { top_up: topUp } = scald ?? {};
  return [
    figureList([
      reply.water_temperature && [t("plan.water"), estimate(reply.water_temperature, "temperature", 0), "main"],
      ice && ice.percent > 0 && [t("plan.ice"), figure(ice.mass, "mass")],
      ice && ice.percent > 0 && [t("plan.tapWater"), figure(ice.tap_water, "mass")],
      scald && [t("plan.core"), estimate(scald.core_temperature, "temperature", 0), "main"],
      scald && [t("plan.swollen"), estimate(scald.swollen_percent, "percent", 0)],
      scald?.mixed_temperature && [t("plan.mixed"), estimate(scald.mixed_temperature, "temperature", 0)],
      topUp && [t("plan.evaporated"), figure(topUp.evaporated, "mass")],
      topUp && [t("plan.topUp"), figure(topUp.water_to_add, "mass")],
      topUp && topUp.still_to_evaporate > 0 && [t("plan.tooMuch"), figure(topUp.still_to_evaporate, "mass")],
      ...(scald?.cooling ?? []).map((limit) => [t("plan.coolWithin", {
        from: text(limit.from_temperature, "temperature", 0), to: text(limit.to_temperature, "temperature", 0) }),
      figure(limit.allowed_hours, "hours")]),
      scald?.holding && [t("plan.holding"), t(`plan.${scald.holding.assessment}`)],
    ]),
    found?.assessment === "not_gelatinised" && h("p", { class: "verdict" }, t(`plan.${found.assessment}`), found.liquid_temperature_needed === null ? null
      : ` ${t("plan.gelatinisedWithHotter", { temperature: text(found.liquid_temperature_needed, "temperature", 0) })}`),
  ];
}

/** What an uncertain number does to the loaf, and how a baker makes it surer with this page.
@param {Bench} bench @param {Schemas["LeastCertain"]} doubt */
function doubtOf(bench, { name, effect, tighten, least_percent: least, most_percent: most }) {
  const { t, state } = bench;
  const { text } = figuresOf(bench);
  // Less than half a percent is nothing to name.
  const known = least !== null && most !== null && (Math.round(least) || Math.round(most)) && t.has(`doubts.${name}`)
    && t(`doubts.${name}`, { least: text(least, "percent", 0), most: `${Math.round(most) > 0 ? "+" : ""}${text(most, "percent", 0)}` });
  const how = [`plan.tighten_${name}_${state.bread.kind}`, `plan.tighten_${name}`].find(t.has);
  return h("li", {}, known || (t.has(`doubts.${name}_any`) ? t(`doubts.${name}_any`) : h("span", { lang: "en" }, effect)), " ",
    h("small", { lang: how ? null : "en" }, how ? t(how) : tighten));
}

/** A moment as day and time. @param {Bench} bench */
function clockOf({ locale }) {
  const format = new Intl.DateTimeFormat(locale, { weekday: "short", hour: "2-digit", minute: "2-digit" });
  return (/** @type {string} */ moment) => format.format(new Date(moment));
}

/** @param {Bench} bench @param {Replies["loaf-plan"]["timetable"]} rows */
function timetable(bench, rows) {
  const { t } = bench;
  const clock = clockOf(bench);
  /** @param {string | null} moment @param {number} minutes */
  const when = (moment, minutes) => (moment === null ? t("plan.before_out", { time: hoursAndMinutes(minutes) }) : clock(moment));
  const whole = table(t("plan.times"), [[t("plan.step")], [t("plan.starts"), "number"], [t("plan.ends"), "number"]],
    rows.map((row) => [row.name, when(row.starts_at, row.starts_minutes_before), when(row.ends_at, row.ends_minutes_before)]));
  return timesOf(bench, rows, whole, clock);
}

/** What folded sections say of the plan. @param {Bench} bench @param {Replies["loaf-plan"]} reply */
function gistsOf(bench, { parts: { scald_preparation: scald }, water_temperature: water, timetable: rows, least_certain: doubts }) {
  const { t } = bench;
  const { text } = figuresOf(bench);
  const [first] = rows;
  return {
    temperatures: [scald && t("plan.reaches", { temperature: text(scald.core_temperature.best, "temperature", 0) }),
      water && t("plan.liquidsAt", { temperature: text(water.best, "temperature", 0) })].filter(Boolean).join(t("folds.join")),
    timetable: first ? t(first.starts_at === null ? "plan.length" : "plan.begins", { time: hoursAndMinutes(first.starts_minutes_before),
      at: first.starts_at === null ? "" : clockOf(bench)(first.starts_at) }) : "",
    sure: t(doubts.length === 1 ? "plan.oneDoubt" : "plan.someDoubts", { count: doubts.length }),
  };
}

/** @param {Bench} bench @param {() => void} changed called when the plan has an answer or none
@returns {PlanSections} */
export function planSections(bench, changed) {
  const { t, state } = bench;
  const fields = planFields(bench);
  const elsewhere = () => Object.values(bench.answers.now()).filter((reply) => reply !== null);
  const temperatures = answerOf(bench, "plan", t("plan.answer"), (reply) => writeTemperatures(bench, reply), [], elsewhere);
  const times = answerOf(bench, "timetable", t("plan.timetable"), (reply) => (reply.timetable.length ? timetable(bench, reply.timetable) : null));
  const sure = answerOf(bench, "sure", t("plan.doubts"), (reply) =>
    h("ol", { class: "doubts" }, reply.least_certain.map((/** @type {Schemas["LeastCertain"]} */ doubt) => doubtOf(bench, doubt))));
  const answers = [temperatures, times, sure];
  /** @type {{reply: Replies["loaf-plan"], of: string} | null} */
  let last = null;
  const old = () => {
    last = null;
    for (const answer of answers) answer.old();
    changed();
  };
  /** @type {ReturnType<typeof createAsker<"loaf-plan">>} */
  const ask = createAsker(bench, "plan", {
    answered(reply, { body }) {
      const bare = { ...reply, notes: [], cautions: [], working: [] };
      temperatures.show(reply);
      times.show(bare);
      sure.show(bare);
      last = { reply, of: JSON.stringify(body) };
      if (!now()) return old();         // something was entered meanwhile
      changed();
    },
    old,
  });

  /** The plan of the entries as they are now; null while their water is not answered. */
  function request() {
    const { water } = bench.answers.now();
    if (!water) return null;
    // Every liquid of the dough is chilled or warmed, once the share has moved.
    const liquids = water.formula.lines.filter((line) => line.part === "dough" && bench.isLiquid(line.ingredient));
    return planRequest(state, bench.units(), bench.isLiquid, [...new Set(liquids.map((line) => line.ingredient))]);
  }
  /** The answer to the entries as they are now. */
  function now() {
    return last && last.of === JSON.stringify(request()?.body) ? last.reply : undefined;
  }
  /** @param {"temperatures" | "timetable" | "sure"} name */
  const says = (name) => () => {
    const reply = now();
    return reply ? gistsOf(bench, reply)[name] : "";
  };
  const refresh = fields.refresh;
  const wait = () => {
    ask(null);
    old();
  };
  return {
    old: wait,
    cautions: () => now()?.cautions ?? [],
    recalculate() {
      const wanted = request();
      if (wanted) ask(wanted);
      else wait();
    },
    sections: [
      ["temperatures", { refresh, summary: says("temperatures"),
                         node: section("temperatures", t("folds.temperatures"), fields.ofTemperatures, temperatures) }],
      ["timetable", { refresh() {}, summary: says("timetable"), node: section("timetable", t("folds.timetable"), fields.ofTimes, times) }],
      ["sure", { refresh() {}, summary: says("sure"),
                 node: section("sure", t("folds.sure"), null, sure, { after: h("p", { class: "hint" }, t("working.evidence")) }) }],
    ],
  };
}
