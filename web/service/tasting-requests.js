/** Writes a blind tasting as requests: its plan, and the answers. */

import { wire } from "./requests.js";

/** @typedef {Pick<Units, "wire" | "outward">} Outward */

const plain = { wire: /** @type {any} */ ({}), outward: (/** @type {number} */ value) => value };
const figure = (/** @type {Entry | undefined} */ value) => wire(value, "number", plain);

/** @param {Sample[]} samples */
const namesOf = (samples) => samples.map(({ name }) => name.trim());

/** What only one question of a paired comparison has: the bread that is expected to be chosen. @param {Tasting} tasting */
function hypothesis({ test, samples, expected }) {
  const sample = samples.find(({ key }) => key === expected);
  return test === "paired" && sample ? { hypothesis: "expected", expected: sample.name.trim() } : {};
}

/** @param {Tasting} tasting @returns {ServiceRequest<"tasting-plan">} */
export function tastingPlanRequest(tasting) {
  const { test, samples, by, draw } = tasting;
  const given = test === "ranking" ? { tasters: figure(tasting.tasters) ?? null }
    : by === "tasters" ? { tasters: figure(tasting.tasters) ?? null, discriminators_percent: figure(tasting.discriminators_percent) }
      : { discriminators_percent: figure(tasting.discriminators_percent) ?? null, power_percent: figure(tasting.power_percent) };
  return {
    call: "tasting-plan",
    body: { test, samples: namesOf(samples), draw, significance_percent: figure(tasting.significance_percent), ...hypothesis(tasting), ...given },
    place: (pointer) => `tasting${pointer.replace(/^\/samples\/(\d+)/, (_, /** @type {number} */ index) => `/samples/${samples[index]?.key}`)}`,
  };
}

/** A line of a ranking that can't be used: the code that is no code of one taster, or the taster who is there already.
@typedef {{line: number, code: string, text?: string, taster?: number}} RankingFault */

/** The rankings that tasters wrote down as codes, a line each. The codes say whose line it is: each is used once in a plan.
@param {Replies["tasting-plan"]["sheets"]} sheets @param {string[]} lines @returns {{rankings: string[][], faults: RankingFault[]}} */
export function readRankings(sheets, lines) {
  const found = new Map(sheets.flatMap((sheet) => sheet.servings.map(({ code, sample }) => [code, { sheet, sample }])));
  const seen = new Set();
  /** @type {RankingFault[]} */
  const faults = [];
  const rankings = lines.flatMap((text, index) => {
    const words = text.normalize("NFKC").split(/[^\p{L}\p{N}]+/u).filter(Boolean);
    if (!words.length) return [];
    const line = index + 1;
    const servings = words.map((word) => found.get(Number(word)));
    const unknown = words.find((_, place) => !servings[place]);
    if (unknown !== undefined) {
      faults.push({ line, code: "unknown", text: unknown });
      return [];
    }
    const known = servings.flatMap((each) => each ?? []);
    const { sheet } = known[0];
    if (known.some((each) => each.sheet !== sheet) || new Set(words).size !== sheet.servings.length || words.length !== sheet.servings.length) {
      faults.push({ line, code: "notOne" });
      return [];
    }
    if (seen.has(sheet)) {
      faults.push({ line, code: "twice", taster: sheet.taster });
      return [];
    }
    seen.add(sheet);
    return [known.map(({ sample }) => sample)];
  });
  return { rankings, faults };
}

/** Null while there are no answers to count. @param {Tasting} tasting @param {Replies["tasting-plan"]} plan
@returns {ServiceRequest<"tasting-result"> | null} */
export function tastingResultRequest(tasting, plan) {
  const { test, samples, right, came, chosen, rankings } = tasting;
  const body = { test, significance_percent: figure(tasting.significance_percent), ...hypothesis(tasting) };
  const place = (/** @type {string} */ pointer) => `tasting-result${pointer === "/tasters" ? "/came" : pointer}`;
  if (test === "ranking") {
    const read = readRankings(plan.sheets, rankings);
    return read.rankings.length && !read.faults.length ? { call: "tasting-result", body: { ...body, rankings: read.rankings }, place } : null;
  }
  if (test !== "paired") {
    return figure(right) === undefined ? null
      : { call: "tasting-result", body: { ...body, tasters: figure(came) ?? plan.tasters, right: figure(right) }, place };
  }
  const counts = samples.map((_, index) => figure(chosen[index]));
  if (counts.some((count) => count === undefined)) return null;
  const names = namesOf(samples);
  const tasters = counts.reduce((sum, count) => Number(sum) + (typeof count === "number" ? count : 0), 0);
  return {
    call: "tasting-result",
    body: { ...body, tasters, chosen: Object.fromEntries(names.map((name, index) => [name, counts[index]])) },
    place: (pointer) => {
      const index = names.findIndex((name) => pointer === `/chosen/${name.replaceAll("~", "~0").replaceAll("/", "~1")}`);
      return `tasting-result${index < 0 ? pointer : `/chosen/${index}`}`;
    },
  };
}
