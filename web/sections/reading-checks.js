/** What a baker has to decide of a recipe that was read, and what is only to be looked at: one decision for all lines of a kind. */

/** @typedef {Replies["recipe-import"]["lines"][0]} ReadLine */
/** A decision: `key` says which, `field` what of the request it sets. @typedef {{key: string, field: DecidedField, lines: number[],
choices: string[], heading?: string}} Decision */
/** @typedef {"flour" | "yeast" | "milk" | "egg_size" | "cup" | "decimal_comma" | "starter_hydration_percent" | "place" | "line" | "instead"} DecidedField */
/** What was decided, by the key of the decision. @typedef {Record<string, string>} Decided */
/** A decision or, without one, only why its line needs a look. @typedef {{decision?: Decision, lines: ReadLine[], why: string | null}} Check */

/** The words for each reason of the service, by its code: reasons that ask the same of a baker share them. */
export const WHY = {
  kind: ["flour_kind", "yeast_kind", "dry_yeast_kind", "milk_fat", "milk_powder_kind", "cream_fat", "malt_kind", "yeast_fresh_or_dry",
         "potato_flour_kind", "baking_malt_kind", "flour_grade", "sugar_kind", "syrup_kind", "starch_kind", "butter_fat_or_shortening",
         "cheese_or_yogurt", "fructose_or_syrup", "cream_or_butter", "beef_fat_or_butter", "yeast_or_baking_powder", "maize_flour_or_starch", "yeast_by_amount",
         "yeast_by_packet", "flour_as_other", "yeast_as_other", "glucose_kind", "cheese_kind",
         "plant_milk_kind", "brew"],
  eggs: ["egg_size"], guess: ["misspelt", "another_thing", "unknown_words"], unknown: ["not_in_catalogue", "no_name"], sourdough: ["sourdough"],
  preferment: ["preferment"], starter: ["starter_hydration"], fed: ["starter_flour"],
  several: ["several_names", "one_amount", "would_do"],
  amount: ["no_amount", "no_amount_to_weigh", "vague_amount", "no_unit", "number_not_used", "container", "no_standard_weight", "no_density"],
  glass: ["glass_size", "cc_or_spoon"],
  fruit: ["fruit_size"], loose: ["loose_measure"], cup: ["us_measure"], differ: ["amounts_differ", "more_disagree", "held_amount"],
  number: ["two_marks", "slip", "odd_marks", "other_mark", "mark_as_others", "mark_unclear", "too_much_of_unit", "odd_fraction", "no_number",
           "spaced_thousands", "no_mixed_number", "range_backwards", "range_wide", "too_many_digits", "nothing_left"],
  grams: ["bare_grams"], much: ["too_much", "more_than_dough_holds"], usual: ["unusual_amount"], long: ["too_long", "too_many_words", "too_many_words_in_all"],
  section: ["under_unknown_heading", "unknown_heading", "heading_without_flour", "of_heading", "not_of_heading", "names_scald",
            "part_for_scald", "scald_without_flour", "scald_with_all_flour", "scald_not_shown", "scald_not_listed", "dough_needs_it",
            "has_flour_and_yeast", "may_be_of_scald"],
  method: ["by_method", "only_in_method"], list: ["by_list"],
  outside: ["filling", "may_be_filling", "starts_again", "by_wash", "rest_not_dough", "part_not_dough", "brushed_on_too", "no_amount_again", "optional",
            "soaked_in"],
  twice: ["listed_twice"], of_another: ["dissolved_in"], used: ["scald_used_in_part"], left_over: ["scald_left_over"],
  dough_used: ["sponge_used_in_part"], sizes: ["other_size"],
  percent: ["only_a_percentage", "percentage_of_nothing", "percentage_too_large", "percentage_of_assumed", "percentage_of_flour"],
};
const WORDS = new Map(Object.entries(WHY).flatMap(([words, codes]) => codes.map((code) => [code, words])));

/** Doubts about where a line goes. */
const PLACES = [...WHY.section, ...WHY.method, ...WHY.list, "filling", "may_be_filling", "starts_again", "by_wash"];

/** What settles a doubt, by its code. @type {Record<string, DecidedField>} */
const FIELDS = { flour_kind: "flour", flour_as_other: "flour", yeast_kind: "yeast", yeast_by_amount: "yeast", yeast_by_packet: "yeast",
                 yeast_as_other: "yeast", milk_fat: "milk", egg_size: "egg_size", us_measure: "cup", mark_unclear: "decimal_comma",
                 starter_hydration: "starter_hydration_percent" };
const YEASTS = ["instant", "active_dry", "compressed"];
/** @type {Partial<Record<DecidedField, string[]>>} */
const CHOICES = { egg_size: ["small", "medium", "large", "extra_large"], cup: ["us", "metric"], decimal_comma: ["", "yes", "no"], yeast: YEASTS,
                  starter_hydration_percent: ["50", "65", "80", "100", "125"] };
/** What the service assumes. @type {Partial<Record<DecidedField, string>>} */
const ASSUMED = { egg_size: "large", cup: "us", decimal_comma: "" };
const RANK = ["sure", "likely", "unsure", "not_read"];

/** The words for the weightiest reason of a line, and null where it has none. @param {Pick<ReadLine, "doubts">} line */
export function whyOf({ doubts }) {
  const [doubt] = [...doubts].sort((one, other) => RANK.indexOf(other.level) - RANK.indexOf(one.level));
  return doubt ? WORDS.get(doubt.code) ?? null : null;
}

/** The words for what a decision settles, of several reasons that a line may have. @param {Decision} decision @param {ReadLine[]} lines */
function whyDecided(decision, lines) {
  if (decision.field === "place") return "section";
  const code = lines.flatMap(({ doubts }) => doubts).map((doubt) => doubt.code).find((each) => settles(decision, each));
  return code && WORDS.get(code);
}

/** The decisions that a reading asks for. A weighed line may be another of its kind without a new reading; of a cup of it the service
has to know. @param {ReadLine[]} lines @returns {Decision[]} */
function decisionsOf(lines) {
  /** @type {Map<string, Decision>} */
  const found = new Map();
  /** @param {string} key @param {DecidedField} field @param {ReadLine} line @param {string[]} choices @param {string} [heading] */
  const add = (key, field, line, choices, heading) => {
    const known = found.get(key);
    if (!known) found.set(key, { key, field, lines: [line.line], choices, heading });
    else if (!known.lines.includes(line.line)) known.lines.push(line.line);
  };
  for (const line of lines) {
    const { ingredient, alternatives, mass, section } = line;
    for (const { code } of line.in_formula ? line.doubts : []) {
      const field = FIELDS[code];
      if (field) add(field, field, line, CHOICES[field] ?? [ingredient ?? "", ...alternatives]);
      else if (WHY.kind.includes(code) && ingredient && alternatives.length && mass?.low === mass?.high) {
        add(`${code}/${ingredient}`, "instead", line, [ingredient, ...alternatives]);
      }
    }
    if (line.section_sure !== "sure" && line.kind === "ingredient" && line.ingredient) {
      const whole = section !== "" && lines.every((each) => each.kind !== "ingredient" || each.section !== section || each.section_sure !== "sure");
      if (whole) add(`place/${section}`, "place", line, ["scald", "dough", "aside"], section);
      else if (line.part !== "aside") add("place", "place", line, ["scald", "dough"]);
    }
  }
  return [...found.values()].map((decision) => (decision.field === "place" && isShared(decision, lines) ? asReadToo(decision) : decision));
}

/** Whether the lines of a decision are in several parts, such as flour of which the steps scald three spoons: no part says that.
@param {Decision} decision @param {ReadLine[]} lines */
function isShared(decision, lines) {
  return new Set(lines.filter(({ line, kind }) => kind === "ingredient" && decision.lines.includes(line)).map(({ part }) => part)).size > 1;
}

/** A decision about a place that can be taken back. @param {Decision} decision @returns {Decision} */
const asReadToo = (decision) => ({ ...decision, choices: ["", ...decision.choices] });

/** Where a baker may put the line of a reading by itself: out of the dough, or into it; null where it has no line to put elsewhere.
@param {ReadLine} read @param {ReadLine[]} ingredients of the recipe @returns {"dough" | "aside" | null} */
export function otherPart({ line, part, doubts }, ingredients) {
  const codes = doubts.map(({ code }) => code);
  if (codes.includes("only_in_method") || codes.includes("scald_not_listed")) return null;
  if (part !== "aside") return "aside";
  // The line of a whole recipe has a scald too; of two yeasts that do the same, one is in the dough already.
  const others = ingredients.filter((each) => each.line === line && each.part !== "aside");
  return others.some((each) => each.part === "scald") || (others.length && codes.includes("would_do")) ? null : "dough";
}

/** The decision about a line by itself; "" leaves it as it is read. @param {ReadLine} read @returns {Decision} */
export function lineDecision({ line }) {
  return { key: `line/${line}`, field: "line", lines: [line], choices: ["", "dough", "aside"] };
}

/** Whether a decision about a line settles a doubt of it. @param {Decision} decision @param {string} code */
function settles({ key, field }, code) {
  if (field === "place" || field === "line") return PLACES.includes(code);
  return field === "instead" ? key.startsWith(`${code}/`) : FIELDS[code] === field;
}

/** What is to be decided or looked at, in the order of the lines. Decisions that were asked stay, so that they can be changed.
@param {Replies["recipe-import"]} reply @param {Decision[]} before @returns {{checks: Check[], decisions: Decision[]}} */
export function checksOf({ lines }, before) {
  const known = new Set(before.map(({ key }) => key));
  const decisions = [...before, ...decisionsOf(lines).filter(({ key }) => !known.has(key))];
  const ingredients = lines.filter((line) => line.kind === "ingredient");
  const inOrder = (/** @type {number[]} */ numbers) => ingredients.filter((line) => numbers.includes(line.line));
  /** @type {Check[]} */
  const checks = decisions.map((decision) => {
    const of = inOrder(decision.lines);
    return { decision, lines: of, why: whyDecided(decision, of) ?? of.map(whyOf).find((words) => words) ?? null };
  });
  /** What no decision settles, lines of one reason together. @type {Map<string, Check>} */
  const looks = new Map();
  for (const line of ingredients) {
    // What is left out may weigh what it likes.
    const harmless = line.part === "aside" && line.sure === "likely";
    if (line.sure === "sure" || harmless) continue;
    const deciding = decisions.filter((decision) => decision.lines.includes(line.line));
    if (line.part === "aside" && deciding.some(({ field }) => field === "line")) continue;
    const doubts = line.doubts.filter((doubt) => doubt.level !== "sure" && !deciding.some((decision) => settles(decision, doubt.code)));
    if (deciding.length && !doubts.length) continue;
    const why = whyOf({ doubts });
    const known = why && looks.get(why);
    if (known) {
      known.lines.push(line);
      continue;
    }
    const look = { lines: [line], why };
    if (why) looks.set(why, look);
    checks.push(look);
  }
  return { decisions, checks: checks.filter((check) => check.lines.length).sort((one, other) => one.lines[0].line - other.lines[0].line) };
}

/** What a decision stands at. @param {Decision} decision @param {ReadLine[]} lines @param {Decided} decided */
export function valueOf({ key, field, choices }, [line], decided) {
  if (key in decided) return decided[key];
  if (field === "line") return "";
  if (field === "place") return choices.includes("") ? "" : line.part;
  if (field === "yeast") return YEASTS.find((yeast) => line.ingredient === `${yeast}_yeast`) ?? YEASTS[0];
  if (field === "starter_hydration_percent") return String(line.doubts.find(({ code }) => FIELDS[code] === field)?.values.percent ?? "");
  return ASSUMED[field] ?? line.ingredient ?? "";
}

/** The lines of the scald of a reading. @param {Replies["recipe-import"]} reply */
export function scaldLines({ lines }) {
  return lines.filter(({ part, kind }) => part === "scald" && kind === "ingredient").map(({ line }) => line);
}

/** The decisions as fields of the request. @param {Decision[]} decisions @param {Decided} decided
@param {number[]} scald the lines of the scald as they were read before anything was decided */
export function fieldsOf(decisions, decided, scald) {
  /** @type {Record<string, any>} */
  const fields = {};
  /** @type {{heading: string, part: string}[]} */
  const sections = [];
  /** @type {Record<string, number[]>} */
  const said = { dough: [], aside: [] };
  for (const { key, field, lines, heading } of decisions) {
    const value = decided[key];
    if (value === undefined || (field === "place" && value === "")) continue;
    if (field === "place" && heading !== undefined) sections.push({ heading, part: value });
    else if (field === "place") fields.scald_lines = [...scald.filter((line) => !lines.includes(line)), ...(value === "scald" ? lines : [])];
    else if (field === "line") said[value]?.push(...lines);
    else if (field === "starter_hydration_percent") fields[field] = Number(value);
    else if (field !== "instead" && value !== "") fields[field] = value;
  }
  if (sections.length) fields.sections = sections;
  for (const [part, lines] of Object.entries(said)) if (lines.length) fields[`${part}_lines`] = lines;
  // A line is in one place only.
  if (fields.scald_lines) fields.scald_lines = fields.scald_lines.filter((/** @type {number} */ line) => !Object.values(said).flat().includes(line));
  return fields;
}

const LISTS = ["scald_lines", "dough_lines", "aside_lines"];

/** What a host page says of its recipe with what its reader decided, who has the last word on a line.
@param {Record<string, any>} options @param {Record<string, any>} fields of what was decided @returns {Record<string, any>} */
export function optionsWith(options, fields) {
  const said = LISTS.flatMap((name) => fields[name] ?? []);
  const lists = LISTS.filter((name) => Array.isArray(options[name])).map((name) => [name, name === "scald_lines" && fields[name] ? fields[name]
    : [...options[name].filter((/** @type {unknown} */ line) => !said.includes(line)), ...(fields[name] ?? [])]]);
  return { ...options, ...fields, ...Object.fromEntries(lists),
           ...(fields.sections ? { sections: [...(options.sections ?? []), ...fields.sections] } : {}) };
}

/** The formula with what was decided of weighed lines; null where its lines are not those that were read.
@param {Replies["recipe-import"]} reply @param {Decision[]} decisions @param {Decided} decided */
export function decidedFormula({ formula, lines }, decisions, decided) {
  const swaps = decisions.filter(({ key, field }) => field === "instead" && key in decided);
  if (!formula || !swaps.length) return formula;
  const read = lines.filter((line) => line.in_formula);
  if (read.length !== formula.lines.length || read.some(({ ingredient, part }, index) =>
    ingredient !== formula.lines[index].ingredient || part !== formula.lines[index].part)) return null;
  return { ...formula, lines: formula.lines.map((line, index) => {
    const swap = swaps.find((each) => each.lines.includes(read[index].line) && each.choices[0] === line.ingredient);
    return swap ? { ...line, ingredient: decided[swap.key] } : line;
  }) };
}

const READINGS_KEY = "scaldloaf.readings";
const MOST_READINGS = 20;

/** A recipe's text as a short key. @param {string} text */
function keyOf(text) {
  let hash = 5381;
  // Blank lines before the first count: lines are decided by their numbers.
  for (const letter of text.trimEnd().replace(/\s+/g, " ")) hash = ((hash * 33) ^ (letter.codePointAt(0) ?? 0)) >>> 0;
  return `${text.trimEnd().length}-${hash}`;
}

/** The readings that the browser keeps, newest first; what can't be read is none. @param {Storage_} storage
@returns {{of: string, decisions: Decision[], decided: Decided, scald: number[]}[]} */
function readings(storage) {
  try {
    const kept = JSON.parse(storage.getItem(READINGS_KEY) ?? "[]");
    const texts = (/** @type {unknown} */ list) => Array.isArray(list) && list.every((each) => typeof each === "string");
    const numbers = (/** @type {unknown} */ list) => Array.isArray(list) && list.every(Number.isInteger);
    return kept.filter((/** @type {any} */ each) => typeof each?.of === "string" && numbers(each.scald)
      && Object.values(each.decided).every((value) => typeof value === "string")
      && each.decisions.every((/** @type {any} */ one) => texts([one.key, one.field]) && texts(one.choices) && numbers(one.lines)));
  } catch {
    return [];
  }
}

/** What was decided about this text before. An older page could not take back where lines go. @param {Storage_} storage @param {string} text */
export function remembered(storage, text) {
  const found = readings(storage).find(({ of }) => of === keyOf(text));
  const isStuck = (/** @type {Decision} */ { key, field, choices }) => field === "place" && key in (found?.decided ?? {}) && !choices.includes("");
  return found && { ...found, decisions: found.decisions.map((each) => (isStuck(each) ? asReadToo(each) : each)) };
}

/** Keeps what was decided about a text. @param {Storage_} storage @param {string} text
@param {Decision[]} decisions @param {Decided} decided @param {number[]} scald */
export function remember(storage, text, decisions, decided, scald) {
  if (!Object.keys(decided).length) return;
  const of = keyOf(text);
  try {
    storage.setItem(READINGS_KEY, JSON.stringify([{ of, decisions, decided, scald },
      ...readings(storage).filter((each) => each.of !== of)].slice(0, MOST_READINGS)));
  } catch { /* a full storage forgets them */ }
}
