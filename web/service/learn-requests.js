/** Writes what was baked and scored as requests: trials and keeping. */

import { PAN_FIELDS, fields, wire } from "./requests.js";

/** The ways to say how large a loaf became, and what each measures. @type {Record<VolumeKind, string>} */
export const VOLUMES = { loaf_volume: "volume", fill_percent: "percent", crown_height: "length" };

const MOST_TRIALS = 40;     // as many as one call takes
const FRESH = 10;           // of softness
const [LEAST_RATIO, MOST_RATIO] = [0.3, 10];

const says = (/** @type {Entry} */ value) => value !== null && value !== "";

/** The newest measured bakes: those that say how much dough and how large the loaf became. @param {Trial[]} trials */
export function measuredTrials(trials) {
  return trials.filter((trial) => says(trial.dough_mass) && says(trial.scalded_share_percent) && says(trial[trial.volume_by]))
    .slice(-MOST_TRIALS);
}

/** The bakes with a scald, which has a ratio. @param {Trial[]} trials */
const scalded = (trials) => trials.filter(({ scalded_share_percent: share }) => share !== 0);

/** Two ratios that weighing can't tell apart are one. @param {Entry | undefined} ratio */
const rounded = (ratio) => (typeof ratio === "number" ? Math.round(ratio * 10) : ratio);

/** The ratio of the scald that most bakes had, of the newest where several had as many; undefined while none says. What is no number
comes first: the service says what is wrong with it. @param {Trial[]} trials @returns {Entry | undefined} */
export function ratioOfBakes(trials) {
  const ratios = scalded(trials).flatMap(({ scald_liquid_ratio: ratio = null }) => (says(ratio) ? [ratio] : []));
  const typed = ratios.find((ratio) => typeof ratio === "string");
  const count = (/** @type {Entry} */ ratio) => ratios.filter((each) => rounded(each) === rounded(ratio)).length;
  return typed ?? ratios.reverse().sort((one, other) => count(other) - count(one))[0];
}

/** The ratio of tonight's scald, as far as the fit takes it; null without a scald.
@param {Work} work @param {Answers["formula"] | null | undefined} formula @param {Answers["water"] | null} [water] @returns {Entry} */
export function ratioTonight(work, formula, water) {
  const assumed = water?.notes?.find(({ code }) => code === "ratio_assumed")?.values.ratio;
  const ratio = work.water.scald_liquid_ratio ?? formula?.scald.liquid_ratio ?? assumed;
  return typeof ratio === "number" ? Math.min(Math.max(ratio, LEAST_RATIO), MOST_RATIO) : null;
}

/** The bakes that don't say their ratio, and those of another: the fit takes one.
@param {Trial[]} trials @param {Entry | undefined} ratio */
export function ratiosApart(trials, ratio) {
  const all = scalded(trials);
  const missing = all.filter(({ scald_liquid_ratio: own = null }) => !says(own));
  return { missing, others: all.filter((trial) => !missing.includes(trial) && rounded(trial.scald_liquid_ratio) !== rounded(ratio)) };
}

/** @param {Work} state @param {Trial[]} trials @param {Units} units @param {Entry | undefined} ratio of the scald that they are fitted by:
of a bake of another ratio only the loaf is learnt from @returns {ServiceRequest<"trial-fit">} */
export function trialFitRequest(state, trials, units, ratio) {
  const pan = fields(PAN_FIELDS, state.pan.kind, state.pan, units);
  const keys = trials.map((trial) => trial.key);
  const { others } = ratiosApart(trials, ratio);
  const said = trials.findLast((trial) => rounded(trial.scald_liquid_ratio) === rounded(ratio));
  return {
    call: "trial-fit",
    body: {
      units: units.wire,
      trials: trials.map((trial) => ({
        name: trial.name,
        scalded_share_percent: wire(trial.scalded_share_percent, "percent", units),
        hydration_percent: others.includes(trial) ? undefined : wire(trial.hydration_percent, "percent", units),
        gluten_percent: wire(trial.gluten_percent, "percent", units),
        dough_mass: wire(trial.dough_mass, "mass", units),
        [trial.volume_by]: wire(trial[trial.volume_by], VOLUMES[trial.volume_by], units),
        pan: trial.volume_by === "loaf_volume" ? undefined : fields(PAN_FIELDS, trial.pan.kind, trial.pan, units),
        baked_mass: wire(trial.baked_mass, "mass", units),
        proof_minutes: wire(trial.proof_minutes, "minutes", units),
      })),
      scald_liquid_ratio: wire(ratio, "number", units),
      want: { pan, fill_percent: wire(state.fill_percent, "percent", units), lid: state.lid ?? undefined,
              scalded_share_percent: wire(state.share, "percent", units) },
    },
    place: (pointer) => (pointer.startsWith("/want/pan") ? `fill${pointer.slice(5)}`
      : pointer === "/want/fill_percent" ? "fill/fill_percent"
        : pointer === "/want/scalded_share_percent" ? "water/scalded_share_percent"
        : pointer === "/scald_liquid_ratio" ? (said ? `trials/${said.key}/scald_liquid_ratio` : "water/scald_liquid_ratio")
          : `trials${pointer}`.replace(/^trials\/trials\/(\d+)/, (_, /** @type {number} */ index) => `trials/${keys[index]}`)),
  };
}

/** What is wrong with a score of softness, which runs from 0 to 10. @param {Entry} score @param {Notebook["keeping"]["direction"]} direction
@returns {{code: string, values: Record<string, number>, nearest: number} | null} */
function wrongScore(score, direction) {
  if (direction !== "falls" || typeof score !== "number" || (score >= 0 && score <= FRESH)) return null;
  return score < 0 ? { code: "too_small", values: { minimum: 0 }, nearest: 0 } : { code: "too_large", values: { maximum: FRESH }, nearest: FRESH };
}

/** The columns that have a score, each with its scores in the order of days; without those that no softness has.
@param {LogColumn[]} columns @param {Notebook["keeping"]["direction"]} direction */
export function scoredColumns(columns, direction) {
  return columns.map(({ key, points = [] }) => ({
    key, points: inOrder(points.filter(({ days, score }) => says(days) && says(score) && !wrongScore(score, direction))) }))
    .filter(({ points }) => points.length);
}

/** The scores, and the limit, that no softness has, each at its place. @param {LogColumn[]} columns @param {Notebook["keeping"]} keeping
@returns {PlacedFault[]} */
export function scoreFaults(columns, { direction, limit }) {
  const of = (/** @type {Entry} */ given, /** @type {string} */ place) => {
    const wrong = wrongScore(given, direction);
    return wrong ? [{ ...wrong, given, detail: "", place }] : [];
  };
  return [...of(limit, "keeping/limit"), ...columns.flatMap(({ key, points = [] }) => (
    points.flatMap(({ score }, index) => of(score, `keeping/${key}${placeOf(points, index)}/score`))))];
}

/** @param {SoftnessScore[]} points */
function inOrder(points) {
  return points.every(({ days }) => typeof days === "number") ? points.sort((one, other) => Number(one.days) - Number(other.days)) : points;
}

/** @param {LogColumn[]} columns @param {Map<string, string>} titles of the columns @param {Notebook["keeping"]} keeping @param {Units} units
@returns {ServiceRequest<"keeping">} */
export function keepingRequest(columns, titles, keeping, units) {
  const scored = scoredColumns(columns, keeping.direction);
  return {
    call: "keeping",
    body: {
      units: units.wire, direction: keeping.direction, limit: wire(wrongScore(keeping.limit, keeping.direction) ? null : keeping.limit, "number", units),
      loaves: scored.map(({ key, points }) => ({ name: titles.get(key), scores: points.map(({ days, score }) => ({ days, score })) })),
    },
    place: (pointer) => `keeping${pointer}`.replace(/^keeping\/loaves\/(\d+)(?:\/scores\/(\d+))?/, (_, loaf, score) =>
      `keeping/${scored[loaf].key}${score === undefined ? "" : placeOf(scored[loaf].points, Number(score))}`),
  };
}

/** Where a score is entered: in the row of its day. @param {SoftnessScore[]} points @param {number} index */
function placeOf(points, index) {
  const { key, days } = points[index];
  if (typeof days !== "number") return `/points/${key}`;
  return `/${days}/${points.slice(0, index).filter((point) => point.days === days).length}`;
}
