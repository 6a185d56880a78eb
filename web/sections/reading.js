/** How a recipe was read: what needs a decision or a look, what went where, and each line. */

import { h } from "../ui/dom.js";
import { figuresOf } from "../ui/figures.js";
import { ownWords } from "../ui/said.js";
import { table } from "../ui/tables.js";
import { checksOf, lineDecision, otherPart, valueOf, whyOf } from "./reading-checks.js";

/** @typedef {import("./reading-checks.js").ReadLine} ReadLine */
/** @typedef {import("./reading-checks.js").Decision} Decision */

/** @param {Texts} t @param {number} count */
const lineCount = (t, count) => t(count === 1 ? "import.oneLine" : "import.counts", { count });

/** How many ingredients were read, and how much there is to look at. @param {Texts} t @param {number} count @param {number} check */
const counted = (t, count, check) => [lineCount(t, count), ...(check ? [t(count === 1 ? "import.checkIt" : "import.check", { check })] : [])].join(" ");

/** Why a line is not surer, in the words of the page. @param {FieldsBench} bench @param {string | null} why @param {ReadLine} line */
function saidWhy({ t, names }, why, line) {
  return why && t(`why.${why}`, { name: line.ingredient ? names.label(line.ingredient) : "" });
}

/** Whether a bread comes of it. @param {FieldsBench} bench @param {Replies["recipe-import"]} reply */
function verdictOf(bench, { formula, usable: { verdict, reasons } }) {
  const { t } = bench;
  if (!formula) return h("p", { class: "reading-verdict" }, t("import.noFlour"));
  // Lines to look at are listed already.
  const said = reasons.filter(({ code }) => code !== "lines_unsure" && code !== "lines_missing");
  if (verdict === "usable" || !said.length) return null;
  return h("div", { class: "reading-verdict" }, h("p", {}, t(`import.${verdict}`)),
    h("ul", {}, said.map((reason) => h("li", {}, ownWords(bench, reason, "usable") ?? h("span", { lang: "en" }, reason.text)))));
}

/** Lines in a row, each once: one with an egg and milk is two readings. @param {Texts} t @param {ReadLine[]} lines */
const inARow = (t, lines) => [...new Map(lines.map(({ line, text }) => [line, text])).values()].join(t("folds.join"));

/** The button that puts a line by itself out of the dough, or into it; null where it can't. @param {FieldsBench} bench @param {ReadLine} line
@param {ReadLine[]} ingredients @param {Deciding} deciding @param {string} kind */
function placeButton({ t }, line, ingredients, deciding, kind) {
  const part = otherPart(line, ingredients);
  if (!part) return null;
  const says = t(part === "dough" ? "formula.add_dough" : "import.leave_out");
  const decision = lineDecision(line);
  return h("button", { type: "button", class: kind, "aria-label": `${says}: ${line.text}`, "data-decision": decision.key, on: { click() {
    if (!deciding.decisions.some(({ key }) => key === decision.key)) deciding.decisions = [...deciding.decisions, decision];
    deciding.decide(decision, part);
  } } }, says);
}

/** The first reading of each line. @param {ReadLine[]} lines */
const firstOfLines = (lines) => lines.filter((line, index) => lines.findIndex((each) => each.line === line.line && each.text === line.text) === index);

/** What is in the scald, and what is left out, with a button that takes it in. @param {FieldsBench} bench @param {ReadLine[]} lines
@param {Deciding} deciding */
function placesOf(bench, lines, deciding) {
  const { t } = bench;
  const { text } = figuresOf(bench);
  const [inScald, aside] = ["scald", "aside"].map((part) => lines.filter((line) => line.part === part));
  // How much of a line that the dough has a part of.
  const scald = inScald.map((line) => (lines.some((each) => each.line === line.line && each.part === "dough") && line.mass
    ? { ...line, text: `${line.text} (${text(line.mass.best, "mass")})` } : line));
  return [
    scald.length ? h("p", { class: "hint" }, `${t("import.into_scald")} `, h("span", { lang: "" }, inARow(t, scald))) : null,
    aside.length ? h("div", { class: "left-out" }, h("p", { class: "hint" }, t("import.into_aside")), h("ul", {}, firstOfLines(aside).map((line) =>
      h("li", {}, h("span", { lang: "" }, line.text), placeButton(bench, line, lines, deciding, ""))))) : null,
  ];
}

/** Every line, by the part it goes to, with a button that puts it elsewhere. @param {FieldsBench} bench @param {ReadLine[]} lines
@param {Deciding} deciding */
function lineByLine(bench, lines, deciding) {
  const { t, names } = bench;
  const { figure, range } = figuresOf(bench);
  /** @param {ReadLine} line @param {number} index @param {ReadLine[]} group */
  const row = (line, index, group) => {
    const why = saidWhy(bench, whyOf(line), line);
    const unsurePlace = line.section_sure !== "sure" && t("why.section") !== why ? ` ${t("why.section")}` : "";
    const isFirst = firstOfLines(group).includes(line);
    return [[h("span", { lang: "" }, line.text), isFirst ? placeButton(bench, line, lines, deciding, "quiet") : null],
      [line.ingredient ? names.label(line.ingredient) : "—", line.sure === "sure" && !unsurePlace ? null
        : h("small", { class: "why" }, line.sure === "sure" ? "" : h("strong", {}, t(`import.${line.sure}`)),
          line.sure !== "sure" && why ? `: ${why}` : "", unsurePlace)],
      line.mass ? [figure(line.mass.best, "mass"), " ", range(line.mass, 0)] : "—"];
  };
  return table(t("import.lines"), [[t("import.line")], [t("import.readAs")], [t("table.mass"), "number"]],
    ["scald", "dough", "aside"].filter((part) => lines.some((line) => line.part === part)).flatMap((part) => [
      { group: part === "aside" ? t("import.part_aside") : t(`part.${part}`) }, ...lines.filter((line) => line.part === part).map(row)]));
}

/** What a choice is called. @param {FieldsBench} bench @param {Decision} decision @param {string} value */
function choiceText({ t, names }, { field }, value) {
  if (!value && field === "place") return t("import.asRead");
  if (value && (field === "place" || field === "line")) return value === "aside" ? t("import.part_aside") : t(`part.${value}`);
  if (field === "flour" || field === "milk" || field === "instead") return names.label(value);
  return value === "" ? t("import.asSaid") : t(`import.${field}_${value}`);
}

/** @typedef {{decisions: Decision[], decided: Record<string, string>, decide(decision: Decision, value: string): void}} Deciding */

/** What needs a decision or a look, each with its select in the line. @param {FieldsBench} bench
@param {ReturnType<typeof checksOf>["checks"]} checks @param {Deciding} deciding */
function checkList(bench, checks, { decided, decide }) {
  const { t } = bench;
  return h("ul", { class: "check" }, checks.map(({ decision, lines, why }) => {
    const [line, ...others] = lines;
    const text = decision?.heading ?? line.text;
    const same = decision?.heading ? lines : others.filter((each) => each.line !== line.line);
    const says = h("span", {}, h("span", { lang: "" }, text),
      same.length ? h("small", {}, t(decision?.heading ? "import.here" : "import.same", { lines: inARow(t, same) })) : null,
      h("small", { class: "why" }, decision?.field === "decimal_comma" ? t("import.decimal_comma")
        : saidWhy(bench, why, line) ?? (line.sure === "sure" ? "" : t(`import.${line.sure}`))));
    if (!decision) return h("li", { class: "look" }, says);
    /** @type {HTMLSelectElement} */
    const select = h("select", { "aria-label": t("import.is", { line: text }), "data-decision": decision.key,
                                 on: { change: () => decide(decision, select.value) } },
      decision.choices.map((value) => h("option", { value }, choiceText(bench, decision, value))));
    select.value = valueOf(decision, lines, decided);
    return h("li", {}, says, select);
  }));
}

/** A reply of recipe-import as nodes: first what a baker is to decide.
@param {FieldsBench} bench @param {Replies["recipe-import"]} reply @param {Deciding} deciding */
export function readingOf(bench, reply, deciding) {
  const { t } = bench;
  const all = reply.lines.filter((line) => line.kind === "ingredient");
  const { checks, decisions } = checksOf(reply, deciding.decisions);
  deciding.decisions = decisions;
  return [
    h("p", { class: "verdict" }, counted(t, all.length, new Set(checks.flatMap(({ lines }) => lines)).size)),
    checks.length ? checkList(bench, checks, deciding) : null,
    verdictOf(bench, reply), ...placesOf(bench, all, deciding),
    h("details", { class: "folded all-lines" }, h("summary", {}, t("import.all")), lineByLine(bench, all, deciding)),
  ];
}

/** Writes a reading anew; the hand stays at the decision it was at, and in the list of all lines, which stays open.
@param {HTMLElement} node that holds it @param {() => void} write */
export function rewrite(node, write) {
  const linesOf = () => /** @type {HTMLDetailsElement | null} */ (node.querySelector("details.all-lines"));
  const active = /** @type {Document | ShadowRoot} */ (node.getRootNode()).activeElement;
  const at = active?.getAttribute("data-decision");
  const before = linesOf();
  const isInside = before?.contains(active);
  write();
  const lines = linesOf();
  if (lines && before) lines.open = before.open;
  /** @type {HTMLElement | null | undefined} */
  const again = at ? (isInside ? lines : node)?.querySelector(`[data-decision="${CSS.escape(at)}"]`) : null;
  again?.focus();
}
