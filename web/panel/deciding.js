/** What the reader decides about the recipe of a page. The panel keeps it while it is open; the host may keep it longer. */

/** @typedef {import("../sections/reading.js").Deciding & {of: string, scald: number[] | null}} Decisions */

/** Nothing decided yet. @param {string} of the recipe, and what the host said of it @param {() => void} again reads it again @returns {Decisions} */
export function undecided(of, again) {
  /** @type {Decisions} */
  const made = { of, decisions: [], decided: {}, scald: null,
                 decide(decision, value) { made.decided[decision.key] = value; again(); } };
  return made;
}

/** What the host says of the recipe and what the reader decided, as fields of the request.
@param {Decisions} deciding @param {Record<string, any>} options @returns {Promise<Record<string, any>>} */
export async function withDecided({ decisions, decided, scald }, options) {
  if (!Object.keys(decided).length) return options;
  const { fieldsOf } = await import("../sections/reading-checks.js");
  const { sections = [], ...fields } = /** @type {Record<string, any>} */ (fieldsOf(decisions, decided, scald ?? []));
  return { ...options, ...fields, ...(sections.length ? { sections: [...(options.sections ?? []), ...sections] } : {}) };
}

/** The formula with what was decided; null where none comes of it. @param {Decisions} deciding @param {Replies["recipe-import"]} reply */
export async function formulaOf(deciding, reply) {
  deciding.scald ??= reply.lines.filter(({ part, kind }) => part === "scald" && kind === "ingredient").map(({ line }) => line);
  if (!Object.keys(deciding.decided).length) return reply.formula;
  const { decidedFormula } = await import("../sections/reading-checks.js");
  return decidedFormula(reply, deciding.decisions, deciding.decided);
}
