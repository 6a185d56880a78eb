/** The frame of the page: tonight's bake, the bar, the card, and the folds with their summaries. */

import { h, setText } from "../ui/dom.js";
import { doughEnds, figuresOf } from "../ui/figures.js";
import { showNumber } from "../ui/numbers.js";

/** The folds, by group. */
export const GROUPS = { bread: ["formula", "water", "fill", "compare"], day: ["sugar", "temperatures", "timetable"],
                        record: ["log", "notebook"], know: ["safety", "sure"] };

/** The summaries that are there before the folds have loaded. @param {Bench} bench @param {Partial<Answers>} replies */
function firstGists(bench, { formula, water, fill }) {
  const { t, locale, state } = bench;
  const { text, volume } = figuresOf(bench);
  const ratio = typeof state.water.scald_liquid_ratio === "number" ? state.water.scald_liquid_ratio : formula?.scald.liquid_ratio;
  return {
    formula: formula && t("folds.formulaSays", { count: formula.formula.lines.length, flour: text(formula.totals.flour, "mass") }),
    water: water && [t("folds.waterSays", { hydration: text(water.after.hydration_percent, "percent", 1) }),
      ...(ratio ? [t("folds.ratio", { ratio: showNumber(ratio, locale) })] : [])].join(t("folds.join")),
    fill: fill && t("folds.fillSays", { volume: volume(fill.pan_volume), ...doughEnds(bench, fill.dough_mass) }),
  };
}

/** @param {Bench} bench @param {{tonight: Element, bar: Element, weigh: Element, said: Element[]}} parts */
export function frameOf(bench, { tonight, bar, weigh, said }) {
  const { t } = bench;
  /** @type {Map<string, {node: HTMLDetailsElement, body: Element, gist: Element, section?: Section}>} */
  const folds = new Map(Object.values(GROUPS).flat().map((name) => {
    const gist = h("span", { class: "gist" });
    const body = h("div", { class: "fold-body" }, h("p", { class: "hint" }, t("answer.waiting")));
    const node = h("details", { class: "fold", id: name },
      h("summary", {}, h("h2", {}, t(`folds.${name}`)), gist), body);
    return [name, { node, body, gist }];
  }));
  const depth = h("div", { class: "sheet more" }, Object.entries(GROUPS).map(([group, names]) =>
    [h("p", {}, t(`folds.${group}`)), names.map((name) => folds.get(name)?.node)]));

  let hasFault = false;
  return {
    depth, nodes: [h("div", { class: "said-above" }, said), tonight, bar, weigh, depth],
    /** @param {string} name @param {Section} section */
    put(name, section) {
      const fold = folds.get(name);
      if (!fold) return;
      fold.section = section;
      fold.body.replaceChildren(section.node);
    },
    /** Whether a section can be seen: what is folded is drawn when it is opened. @param {Section} section */
    isOpen: (section) => [...folds.values()].every((fold) => fold.section !== section || fold.node.open),
    /** Opens a fold and goes to it. @param {string} name */
    open(name) {
      const node = folds.get(name)?.node;
      if (!node) return;
      node.open = true;
      node.scrollIntoView({ block: "start" });
      node.querySelector("summary")?.focus({ preventScroll: true });
    },
    /** Writes the answers into the summaries. @param {boolean} [fault] whether the entries have one; as before when not given */
    sum(fault = hasFault) {
      hasFault = fault;
      const replies = bench.answers.now();
      const first = firstGists(bench, replies);
      for (const [name, { gist, section }] of folds) {
        const says = section?.summary?.() ?? first[/** @type {keyof typeof first} */ (name)] ?? "";
        setText(gist, says || !fault || !(name in first) ? says : t("folds.waits"));
      }
    },
  };
}

/** The bar with the answer: at the foot of the window above the card to weigh from, then its head.
@param {Bench} bench @param {{weigh: HTMLElement, bake(): void, fix(): void}} does */
export function barOf(bench, { weigh, bake, fix }) {
  const { t } = bench;
  const says = h("p", {});
  const go = h("button", { type: "button", on: { click: act } });
  const node = h("div", { class: "bar" }, says, go);
  let isThere = false;            // the card is in view
  /** @type {Answers["fill"] | undefined} */
  let said;                       // by the bar
  let isStopped = false;
  let isWaiting = false;          // there is nothing to weigh, and nothing to do about it
  /** @type {HTMLButtonElement | null} */
  let use = null;                 // of the recipe that is being read
  const seen = new MutationObserver(name);
  const isNarrow = matchMedia("(max-width: 61.99rem)");
  const offers = () => isNarrow.matches && use !== null && !use.hidden;

  function act() {
    if (offers()) use?.click();
    else if (isStopped) fix();
    else if (isThere) bake();
    else {
      weigh.scrollIntoView({ block: "start" });
      weigh.querySelector("h2")?.focus({ preventScroll: true });
    }
  }
  function name() {
    go.disabled = offers() && Boolean(use?.disabled);
    go.hidden = isWaiting && !offers();
    says.hidden = offers();         // of another bread
    setText(go, offers() ? use?.textContent ?? "" : t(isStopped ? "bar.fix" : isThere ? "bar.baking" : "bar.weigh"));
  }
  new IntersectionObserver((entries) => {
    isThere = entries[entries.length - 1].isIntersecting;
    name();
  }, { rootMargin: "-30% 0px -30% 0px" }).observe(weigh);
  name();

  /** @param {Estimate} mass */
  function range({ low, best, high }) {
    if (low === high) return t("bar.sure");
    const tick = h("i", { "aria-hidden": "true" });
    tick.style.setProperty("--at", `${((best - low) / (high - low)) * 100}%`);
    const ends = doughEnds(bench, { low, high });
    return [h("span", { class: "unseen" }, `${t("bar.range")} `), ends.low, tick, h("span", { class: "unseen" }, "–"), ends.high];
  }
  isNarrow.addEventListener("change", name);
  return {
    node,
    /** Hides while another button can be seen in a narrow window. @param {HTMLButtonElement | null} button */
    offer(button) {
      seen.disconnect();
      use = button;
      if (button) seen.observe(button, { attributes: true, attributeFilter: ["hidden", "disabled"] });
      name();
    },
    /** @param {string} how data-answers of the page @param {Why} why @param {Answers["fill"] | undefined} fill */
    follow(how, { matter, toDo, fault }, fill) {
      isStopped = how === "old" && fault;
      node.classList.toggle("stop", isStopped);
      isWaiting = how === "old" && !fault;
      name();
      if (how === "current" && fill === said) return;
      said = how === "current" ? fill : undefined;
      if (how === "current" && fill) {
        says.replaceChildren(h("b", {}, figuresOf(bench).dough(fill.dough_mass.best)), ` ${t("bar.perTin")}`,
          h("span", { class: "range" }, range(fill.dough_mass)));
      } else if (how === "old") says.replaceChildren(h("b", {}, matter), ` ${toDo}`);
    },
  };
}
