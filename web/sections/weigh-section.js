/** Step five: what to weigh. Bakers weigh what they see here, so it is here only while the answers are for the entries. */

import { answerOf } from "../ui/answer.js";
import { folded, h, section } from "../ui/dom.js";
import { numberField } from "../ui/fields.js";
import { figureList, figuresOf } from "../ui/figures.js";
import { decimalsOf } from "../ui/numbers.js";

const LONG = 14;        // lines; more of them are printed in two columns, to stay on one page

/** How much a ticked line needs now; 0 where it is in the bowl as it is to be weighed. Other units, another scale, or a step of the
scale that only evens out the rounding change nothing. @param {Units} units @param {Tick} tick @param {WeighOutLine} line
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
    was.textContent = change ? t(change > 0 ? "weigh.addMore" : "weigh.takeOut", {
      was: shown(line, line.mass - change), difference: shown(line, Math.abs(change)) }) : "";
  }
  /** @param {WeighOutLine} line @param {number} mass */
  const shown = (line, mass) => onScale(line, mass).textContent;

  /** @param {string} key @param {WeighOutLine} line @param {number} exact @returns {TickRow} */
  function newRow(key, line, exact) {
    const box = h("input", { type: "checkbox", on: {
      click: (event) => { if (!bench.answers.complete()) event.preventDefault(); }, change: () => tick(key) } });
    const [what, was, much] = ["what", "was", "much"].map((name) => h("span", { class: name }));
    return { line, exact, box, what, was, much, node: h("li", {}, h("label", { class: "tick" }, box, what, much, was)) };
  }

  return {
    /** @param {string} key @param {WeighOutLine} line @param {number} exact */
    lineOf(key, line, exact) {
      const row = rows.get(key) ?? newRow(key, line, exact);
      rows.set(key, Object.assign(row, { line, exact }));
      row.what.textContent = names.label(line.ingredient);
      row.much.replaceChildren(onScale(line));
      showTick(key);
      return row.node;
    },
    show() {
      if (!bench.answers.complete()) return;
      for (const [key, { node }] of rows) if (node.isConnected) showTick(key);
    },
  };
}

/** Does what was pressed once these entries are answered; another change cancels it. @param {AnswersNow} answers */
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

/** @param {Bench} bench */
function scaleFields(bench) {
  const { t, state } = bench;
  /** @param {keyof Work["weigh"]} name @param {string} quantity @param {string} place */
  const number = (name, quantity, place) => numberField(bench, {
    label: t(`weigh.${name}`), quantity, place, optional: name !== "handling_percent", get: () => state.weigh[name],
    set: (value) => bench.change((work) => { work.weigh[name] = value; }),
  });
  return [number("resolution", "mass", "weigh/scale/resolution"),
          number("fine_resolution", "mass", "weigh/scale/fine_resolution"),
          number("fine_below", "mass", "weigh/scale/fine_below"),
          number("handling_percent", "percent", "weigh/losses/handling_percent")];
}

/** @param {Bench} bench @param {ReturnType<typeof tickList>} ticks
@param {Answers["weigh"]} reply @param {Answers["water"]} water @param {Answers["fill"]} fill */
function writeCard(bench, ticks, reply, water, fill) {
  const { t } = bench;
  const { figure, text } = figuresOf(bench);
  const seen = new Map();
  /** @type {Record<Part, Element[]>} */
  const parts = { scald: [], dough: [] };
  for (const [index, line] of reply.weigh_out.entries()) {
    const stem = `${line.part}/${line.ingredient}`;
    seen.set(stem, (seen.get(stem) ?? 0) + 1);
    parts[line.part].push(ticks.lineOf(`${stem}/${seen.get(stem)}`, line, reply.formula.lines[index].mass));
  }
  return [
    h("p", { class: "card-head" }, h("strong", {}, reply.formula.name || t("weigh.title")), h("span", {}, t("weigh.head", {
      share: text(water.after.scalded_share_percent, "percent", 1), pans: fill.pans, dough: text(fill.dough_mass.best, "mass") }))),
    Object.entries(parts).filter(([, lines]) => lines.length).map(([part, lines]) =>
      h("div", { class: `part part-${part}` }, h("h3", {}, t(`weigh.${part}`)), h("ul", { class: "ticks" }, lines))),
    figureList([
      [t("weigh.total"), figure(reply.weigh_out_total, "mass"), "main"],
      [t("weigh.exact"), figure(reply.dough_mass, "mass")],
      [t("weigh.factor"), figure(reply.factor, "number", 3)],
    ]),
  ];
}

/** The stages as entered. @param {Bench} bench */
function stageItems(bench) {
  const { text } = figuresOf(bench);
  /** @param {Entry} value @param {string} quantity */
  const said = (value, quantity) => (typeof value === "number" ? text(bench.units().outward(value, quantity), quantity) : "—");
  return bench.state.stages.map((stage) => h("li", {},
    `${stage.name}: ${said(stage.minutes, "minutes")}, ${said(stage.temperature, "temperature")}`));
}

/** @param {Bench} bench @returns {WeighSection} */
export function weighSection(bench) {
  const { t } = bench;
  const fields = scaleFields(bench);
  const ticks = tickList(bench);
  const { whenCurrent, over } = createWaiting(bench.answers);

  async function openCard() {
    (await t.moreFor(import("./card.js"))).openCard(bench, answer.node);
  }
  /** The card is open where the history of the browser says so: after Forward, and after a reload. */
  function followHistory() {
    if (history.state?.card) whenCurrent(() => { if (history.state?.card) openCard(); });
  }

  const stages = h("ol", { class: "card-stages" });
  const answer = answerOf(bench, "weigh", t("weigh.answer"),
    (reply, water, fill) => writeCard(bench, ticks, reply, water, fill), [stages]);
  answer.node.classList.add("weigh-card");
  /** @param {string} name @param {() => void} click */
  const button = (name, click, kind = "") => h("button", { type: "button", class: kind || null, on: { click } }, t(`weigh.${name}`));
  const buttons = h("div", { class: "buttons" }, button("open", () => whenCurrent(openCard)),
    button("print", () => whenCurrent(() => window.print())),
    button("untick", () => {
      bench.keep((work) => { work.ticked = []; });
      ticks.show();
    }));
  const find = button("find", async () => (await import("./find-fault.js")).findFault(), "nearest");
  addEventListener("popstate", followHistory);
  followHistory();

  return {
    step: "weigh", beside: ["water", "fill"],
    answer: { ...answer, show(...replies) {
      answer.show(...replies);
      answer.node.classList.toggle("long", replies[0].weigh_out.length > LONG);
      stages.replaceChildren(...stageItems(bench));
    } },
    follow(how, { matter, toDo, fault, hopeless }) {
      buttons.hidden = how === "old";
      if (how === "old") {
        answer.withdraw();
        stages.replaceChildren();
      }
      if (how !== "current") answer.say(h("strong", {}, matter), ` ${toDo} `, fault ? find : "");
      if (how === "current" || hopeless) over(how === "current");
    },
    refresh() {
      for (const field of fields) field.refresh();
      ticks.show();
    },
    node: section("weigh", t("weigh.title"),
      folded(t("weigh.scale"), h("div", { class: "pair" }, fields.map((field) => field.node))), answer,
      { intro: t("weigh.intro"), after: buttons }),
  };
}
