/** What to weigh: here only while the answers are for the entries. */

import { answerOf, AT_HAND, careLine, numbersOf } from "../ui/answer.js";
import { folded, h, setNodes, setText } from "../ui/dom.js";
import { figuresOf, onPoint } from "../ui/figures.js";
import { decimalsOf, showNumber } from "../ui/numbers.js";

const DONE = [90, 96];  // degC in the centre, as the caution about it says
const LONG = 14;        // lines; more of them are printed in two columns, to stay on one page
const USUAL_WHOLE = 3;   // characters before the decimal point of an amount

/** How much more a ticked line needs now; other units or roundings change nothing. @param {Units} units @param {Tick} tick @param {WeighOutLine} line
@param {number} exact */
function changeOf({ inward, outward }, tick, line, exact) {
  const more = line.mass - Number(outward(tick.weighed, "mass").toFixed(decimalsOf(line.resolution)));
  const same = Math.abs(inward(exact, "mass") - tick.exact) < inward(line.resolution, "mass") / 2;
  return same || Math.abs(more) < line.resolution / 2 ? 0 : more;
}

/** @param {Bench} bench */
function tickList(bench) {
  const { t, state, names } = bench;
  const { onScale } = figuresOf(bench);
  /** @type {Map<string, TickRow>} */
  const rows = new Map();

  /** Each bread has ticks of its own; what an older page wrote is none. @param {string} key @returns {Tick | undefined} */
  function tickOf(key) {
    return state.ticked.filter((tick) => typeof tick === "object").find((tick) => tick?.row === key
      && tick.bread === state.formula.name && Number.isFinite(tick.weighed) && Number.isFinite(tick.exact));
  }

  /** @param {string} key */
  function tick(key) {
    const { line, exact, box } = /** @type {TickRow} */ (rows.get(key));
    const grams = (/** @type {number} */ mass) => bench.units().inward(mass, "mass");
    bench.keep((work) => {
      const bread = work.formula.name;
      work.ticked = work.ticked.filter((each) => typeof each === "object" && each?.bread === bread && each.row !== key);
      if (box.checked) work.ticked.push({ bread, row: key, weighed: grams(line.mass), exact: grams(exact) });
    });
    showTick(key);
  }

  /** @param {string} key */
  function showTick(key) {
    const { line, exact, box, was } = /** @type {TickRow} */ (rows.get(key));
    const found = tickOf(key);
    const change = found && changeOf(bench.units(), found, line, exact);
    box.checked = change === 0;
    setText(was, change ? t(change > 0 ? "weigh.addMore" : "weigh.takeOut", {
      was: shown(line, line.mass - change), difference: shown(line, Math.abs(change)) }) : "");
  }
  /** @param {WeighOutLine} line @param {number} mass */
  const shown = (line, mass) => onScale(line, mass).textContent;

  /** @param {string} key @param {WeighOutLine} line @param {number} exact @returns {TickRow} */
  function newRow(key, line, exact) {
    const box = h("input", { type: "checkbox", on: {
      click: (event) => { if (!bench.answers.complete()) event.preventDefault(); }, change: () => tick(key) } });
    const [what, was, much] = ["what", "was", "much amt"].map((name) => h("span", { class: name }));
    return { line, exact, box, what, was, much, node: h("li", {}, h("label", { class: "tick" }, box, much, what, was)) };
  }

  return {
    /** @param {string} key @param {WeighOutLine} line @param {number} exact */
    lineOf(key, line, exact) {
      const row = rows.get(key) ?? newRow(key, line, exact);
      rows.set(key, Object.assign(row, { line, exact }));
      setText(row.what, names.label(line.ingredient));
      const amount = onPoint(onScale(line), bench.locale);
      row.box.setAttribute("aria-label", `${row.what.textContent} ${amount.textContent}`);
      if (!row.much.firstChild?.isEqualNode(amount)) row.much.replaceChildren(amount);
      showTick(key);
      return row.node;
    },
    show() {
      if (!bench.answers.complete()) return;
      for (const [key, { node }] of rows) if (node.isConnected) showTick(key);
    },
  };
}

/** Does what was pressed once its entries are answered. @param {AnswersNow} answers */
function createWaiting(answers) {
  /** @type {{act(): void, of: string} | null} */
  let wanted = null;
  return {
    /** @param {() => void} act */
    whenCurrent(act) {
      if (answers.complete()) act();
      else wanted = { act, of: answers.entries() };
    },
    /** @param {boolean} current */
    over(current) {
      const then = wanted;
      wanted = null;
      if (current && then?.of === answers.entries()) then.act();
    },
  };
}

/** Writes the card, whose nodes stay. @param {Bench} bench @param {ReturnType<typeof tickList>} ticks */
function cardOf(bench, ticks) {
  const { t } = bench;
  const { figure, text, dough } = figuresOf(bench);
  const [head, total] = ["card-head", "total"].map((name) => h("p", { class: name }));
  const parts = (/** @type {Part[]} */ (["scald", "dough"])).map((part) => {
    const top = h("div", { class: "part-head" });
    const list = h("ul", { class: "ticks" });
    return { part, top, title: h("h3", {}, t(`weigh.${part}`)), list, node: h("div", { class: `part part-${part}` }, top, list) };
  });
  /** @type {Map<string, Element>} */
  const cares = new Map();
  /** @param {Caution} caution */
  function careOf(caution) {
    const of = JSON.stringify(caution);
    const node = cares.get(of) ?? careLine(bench, caution);
    cares.set(of, node);
    return node;
  }

  return (/** @type {Answers["weigh"]} */ reply, /** @type {Answers["water"]} */ water, /** @type {Answers["fill"]} */ fill) => {
    const seen = new Map();
    const lines = reply.weigh_out.map((line, index) => {
      const stem = `${line.part}/${line.ingredient}`;
      seen.set(stem, (seen.get(stem) ?? 0) + 1);
      return { part: line.part, node: ticks.lineOf(`${stem}/${seen.get(stem)}`, line, reply.formula.lines[index].mass) };
    });
    const share = text(Number(water.after.scalded_share_percent.toFixed(1)), "percent");
    const said = [reply, fill, water].flatMap(({ cautions }) => cautions)
      .filter(({ code }, index, all) => AT_HAND[code] === "weigh" && all.findIndex((each) => each.code === code) === index);
    const ofScald = said.filter(({ code }) => code === "hot_scald");
    const tin = said.filter((each) => !ofScald.includes(each) && (each.code !== "overfilled_pan" || bench.state.bread.kind === "prior"));
    head.replaceChildren(h("strong", {}, reply.formula.name || t("weigh.title")),
      h("span", {}, t(fill.pans > 1 ? "weigh.headMany" : "weigh.head", { share, pans: fill.pans, dough: dough(fill.dough_mass.best) })));
    total.replaceChildren(h("span", { class: "amt" }, onPoint(figure(reply.weigh_out_total, "mass", totalDigits(reply, bench.units())), bench.locale)),
      h("span", {}, t("weigh.total", { dough: dough(fill.total_dough_mass.best) })));
    return [head, tin.map(careOf), parts.map(({ part, top, title, list, node }) => {
      const own = lines.filter((line) => line.part === part);
      setNodes(top, title, part === "scald" ? ofScald.map(careOf) : null);
      setNodes(list, own.map((line) => line.node));
      return own.length > 0 && node;
    }), total];
  };
}

/** With the decimals of the finest scale used; in ounces what is weighed in grams adds none. @param {Answers["weigh"]} reply @param {Units} units */
function totalDigits({ weigh_out: lines }, { wire }) {
  return Math.min(wire.mass === "oz" ? 2 : 4, Math.max(...lines.map(({ resolution }) => decimalsOf(resolution))));
}

/** How a done loaf is known. @param {FiguresBench} bench */
export function doneText({ t, units, locale }) {
  const [low, high] = DONE.map((value) => units().outward(value, "temperature"));
  return t("care.core_temperature", { low: showNumber(low, locale, 0), high: figuresOf({ t, units, locale }).text(high, "temperature", 0) });
}

/** Without the names: those of the example are in the language that it was opened in. @param {Work} work */
const timesOf = ({ stages, plan: { before, after } }) =>
  JSON.stringify([stages, before, after].map((steps) => steps.map(({ minutes, temperature }) => [minutes, temperature])));

/** Whether its times are the example's. @param {Bench} bench */
export const isUntimed = ({ state, pattern }) => Boolean(state.untimed) && timesOf(state) === timesOf(pattern);

/** The steps as entered, to the loaf. @param {Bench} bench */
function methodOf(bench) {
  const { t, state, units } = bench;
  const { text } = figuresOf(bench);
  const said = (/** @type {Entry} */ value, /** @type {string} */ quantity) =>
    (typeof value === "number" && (value > 0 || quantity !== "minutes") ? text(units().outward(value, quantity), quantity) : "—");
  const steps = state.stages.map(({ name, minutes, temperature }) => t("weigh.stageAt", {
    name, minutes: said(minutes, "minutes"), temperature: said(temperature, "temperature") }));
  const after = state.plan.after.map(({ name, minutes }) => t("weigh.stage", { name, minutes: said(minutes, "minutes") }));
  const all = isUntimed(bench) ? [t("weigh.untimed")] : [...steps, ...after];
  return `${all.join(t("write.list"))}${t("folds.join")}${doneText(bench)}${t("write.end")}`;
}

/** @type {Intl.DateTimeFormat} */
let days;                       // making one takes long

/** The day and a blank for the next time. @param {FiguresBench} bench */
export const dayOf = ({ t, locale }) =>
  `${(days ??= new Intl.DateTimeFormat(locale, { dateStyle: "medium" })).format(new Date())}${t("write.end")} ${t("weigh.next")} ____________________`;

/** Two lines of caution, and the day. @param {Bench} bench @param {any[]} replies */
function printFoot(bench, replies) {
  const { t } = bench;
  /** @type {Map<string, Caution>} */
  const known = new Map(replies.flatMap(({ cautions }) => cautions.map((/** @type {Caution} */ each) => [each.code, each])));
  const said = ["hot_scald", "scald_cooling"].flatMap((code) => known.get(code) ?? []);
  return [h("p", {}, said.map((each) => `${t(`care.${each.code}`, numbersOf(bench, each))}${t("write.end")} `), t("weigh.local")),
    h("p", {}, dayOf(bench))];
}

/** @param {Bench} bench @param {(fold?: string) => Promise<void>} open opens a fold, or only loads them all @returns {WeighSection} */
export function weighSection(bench, open) {
  const { t } = bench;
  const ticks = tickList(bench);
  const { whenCurrent, over } = createWaiting(bench.answers);

  async function openCard() {
    (await t.moreFor(import("./card.js"))).openCard(bench, answer.node);
  }
  async function printCode() {
    (await t.moreFor(import("./card-code.js"))).printWithCode(bench, code);
  }
  /** The card is open after Forward, and after a reload. */
  function followHistory() {
    if (history.state?.card) whenCurrent(() => { if (history.state?.card) openCard(); });
  }

  const method = h("p", { class: "method" });
  const footer = h("div", { class: "print-foot" });
  const code = h("div", { class: "card-code" });
  const paper = h("div", { class: "paper" });         // what only paper needs, filled in later
  const answer = answerOf(bench, "weigh", t("weigh.answer"),
    cardOf(bench, ticks), [code, method, footer, paper]);
  answer.node.classList.add("weigh-card");
  /** @param {string} name @param {() => void} click */
  const button = (name, click, kind = "") => h("button", { type: "button", class: kind || null, on: { click } }, t(`weigh.${name}`));
  const untick = button("untick", () => {
    bench.keep((work) => { work.ticked = []; });
    ticks.show();
    showUntick();
  }, "quiet");
  // Offered once something is ticked.
  const showUntick = () => { untick.hidden = !bench.state.ticked.length; };
  answer.node.addEventListener("change", showUntick);
  showUntick();
  const buttons = h("div", { class: "buttons" }, button("open", () => whenCurrent(openCard), "main"),
    button("print", () => whenCurrent(() => window.print())),
    button("log", () => whenCurrent(async () => {
      await open("log");
      (await import("./log-section.js")).logBake(bench);
    })),
    untick);
  // What is said of the rounding is read beside the scale.
  const scale = folded(t("weigh.scale"), h("p", { class: "hint" }, t("answer.waiting")), ...answer.node.querySelectorAll(":scope > .short-notes, :scope > details"));
  const fix = async () => {
    await open();
    (await import("./find-fault.js")).findFault();
  };
  const find = button("find", fix, "nearest");
  addEventListener("popstate", followHistory);
  followHistory();

  return {
    step: "weigh", beside: ["water", "fill"],
    answer: { ...answer, show(...replies) {
      const isNew = answer.show(...replies);
      setText(method, methodOf(bench));
      if (!isNew) return;
      answer.node.classList.toggle("ounces", bench.units().wire.mass === "oz");
      const wholes = [...answer.node.querySelectorAll(".amt data")].map(({ firstChild }) => firstChild?.textContent?.length ?? 0);
      const whole = Math.max(USUAL_WHOLE, ...wholes);
      answer.node.style.setProperty("--whole", String(whole));
      answer.node.classList.toggle("wide", whole > USUAL_WHOLE);
      answer.node.classList.toggle("long", replies[0].weigh_out.length > LONG);
      footer.replaceChildren(...printFoot(bench, replies));
    } },
    paper, scale, bake: () => whenCurrent(openCard), fix, printCode: () => whenCurrent(printCode),
    follow(how, { matter, toDo, fault, hopeless }) {
      buttons.hidden = how === "old";
      if (how !== "current") code.replaceChildren();
      if (how === "old") {
        answer.withdraw();
        method.textContent = "";
        footer.replaceChildren();
        for (const each of paper.children) each.replaceChildren();
      }
      if (how !== "current") answer.say(h("strong", {}, matter), ` ${toDo} `, fault ? find : "");
      if (how === "current" || hopeless) over(how === "current");
    },
    refresh() {
      ticks.show();
      showUntick();
    },
    node: h("section", { class: "slip section section-weigh", id: "weigh", "aria-labelledby": "weigh-title" },
      h("h2", { id: "weigh-title", tabindex: "-1" }, t("weigh.title")), answer.node, buttons, scale),
  };
}
