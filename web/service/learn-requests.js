/** Writes what was baked and scored as requests: trials and keeping. */

import { PAN_FIELDS, fields, wire } from "./requests.js";

/** The ways to say how large a loaf became, and what each measures. @type {Record<VolumeKind, string>} */
export const VOLUMES = { loaf_volume: "volume", fill_percent: "percent", crown_height: "length" };

const MOST_TRIALS = 40;     // as many as one call takes

const says = (/** @type {Entry} */ value) => value !== null && value !== "";

/** The newest measured bakes: those that say how much dough and how large the loaf became. @param {Trial[]} trials */
export function measuredTrials(trials) {
  return trials.filter((trial) => says(trial.dough_mass) && says(trial.scalded_share_percent) && says(trial[trial.volume_by]))
    .slice(-MOST_TRIALS);
}

/** @param {Work} state @param {Trial[]} trials @param {Units} units @returns {ServiceRequest<"trial-fit">} */
export function trialFitRequest(state, trials, units) {
  const pan = fields(PAN_FIELDS, state.pan.kind, state.pan, units);
  const keys = trials.map((trial) => trial.key);
  return {
    call: "trial-fit",
    body: {
      units: units.wire,
      trials: trials.map((trial) => ({
        name: trial.name,
        scalded_share_percent: wire(trial.scalded_share_percent, "percent", units),
        hydration_percent: wire(trial.hydration_percent, "percent", units),
        dough_mass: wire(trial.dough_mass, "mass", units),
        [trial.volume_by]: wire(trial[trial.volume_by], VOLUMES[trial.volume_by], units),
        pan: trial.volume_by === "loaf_volume" ? undefined : fields(PAN_FIELDS, trial.pan.kind, trial.pan, units),
        baked_mass: wire(trial.baked_mass, "mass", units),
        proof_minutes: wire(trial.proof_minutes, "minutes", units),
      })),
      want: { pan, fill_percent: wire(state.fill_percent, "percent", units),
              scalded_share_percent: wire(state.share, "percent", units) },
    },
    place: (pointer) => (pointer.startsWith("/want/pan") ? `fill${pointer.slice(5)}`
      : pointer === "/want/fill_percent" ? "fill/fill_percent"
        : pointer === "/want/scalded_share_percent" ? "water/scalded_share_percent"
          : `trials${pointer}`.replace(/^trials\/trials\/(\d+)/, (_, /** @type {number} */ index) => `trials/${keys[index]}`)),
  };
}

/** The columns that have a score, each with its scores in the order of days. @param {LogColumn[]} columns */
export function scoredColumns(columns) {
  return columns.map(({ key, points = [] }) => ({ key, points: inOrder(points.filter((point) => says(point.days) && says(point.score))) }))
    .filter(({ points }) => points.length);
}

/** @param {SoftnessScore[]} points */
function inOrder(points) {
  return points.every(({ days }) => typeof days === "number") ? points.sort((one, other) => Number(one.days) - Number(other.days)) : points;
}

/** @param {LogColumn[]} columns @param {Map<string, string>} titles of the columns @param {Notebook["keeping"]} keeping @param {Units} units
@returns {ServiceRequest<"keeping">} */
export function keepingRequest(columns, titles, keeping, units) {
  const scored = scoredColumns(columns);
  return {
    call: "keeping",
    body: {
      units: units.wire, direction: keeping.direction, limit: wire(keeping.limit, "number", units),
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
