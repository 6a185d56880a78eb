/** What the reader decides about the recipe of a page. The panel keeps it while it is open; the host may keep it longer. */

/** With the reading before anything was decided. @typedef {import("../sections/reading.js").Deciding & {of: string, first: Replies["recipe-import"] | null}} Decisions */

/** Nothing decided yet. @param {string} of the recipe, and what the host said of it @param {() => void} again reads it again @returns {Decisions} */
export function undecided(of, again) {
  /** @type {Decisions} */
  const made = { of, decisions: [], decided: {}, first: null,
                 decide(decision, value) { made.decided[decision.key] = value; again(); } };
  return made;
}

/** What the host says of the recipe and what the reader decided, as fields of the request.
@param {Decisions} deciding @param {Record<string, any>} options @returns {Promise<Record<string, any>>} */
export async function withDecided({ decisions, decided, first }, options) {
  if (!Object.keys(decided).length) return options;
  const { fieldsOf, optionsWith, scaldLines } = await import("../sections/reading-checks.js");
  return optionsWith(options, fieldsOf(decisions, decided, first ? scaldLines(first) : []));
}

/** The formula with what was decided; null where none comes of it. @param {Decisions} deciding @param {Replies["recipe-import"]} reply */
export async function formulaOf(deciding, reply) {
  deciding.first ??= reply;
  if (!Object.keys(deciding.decided).length) return reply.formula;
  const { decidedFormula } = await import("../sections/reading-checks.js");
  return decidedFormula(reply, deciding.decisions, deciding.decided);
}
