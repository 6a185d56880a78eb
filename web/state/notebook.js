/** The notebook as a file, and what a bread in it carries. */

import { NOTEBOOK_KEY, STEPS, VERSION, WORK_KEY } from "./kept.js";
import { BENCH, checked, entryShapes, readJson } from "./schema.js";
import { newKey } from "./work.js";

/** @type {("breads" | "trials" | "loaves" | "tastings" | "prices")[]} */
export const LISTS = ["breads", "trials", "loaves", "tastings", "prices"];

const FORMAT = "scaldloaf-notebook";

/** @typedef {{list: string, index?: number, name?: unknown}} Unread a list or an entry that can't be read */
/** @typedef {Required<Pick<Notebook, "breads" | "trials" | "loaves" | "tastings" | "prices">>} Lists */

/** The sound entries of a list in a file; the others go into unread.
@param {any} shape @param {string} list @param {unknown} found @param {Unread[]} unread */
function soundOf(shape, list, found, unread) {
  if (!Array.isArray(found) || found.length > shape.most) {
    if (found !== undefined) unread.push({ list });
    return [];
  }
  return found.flatMap((entry, index) => {
    const { value, faults } = checked(shape.of, entry, shape.fresh);
    if (faults.length) unread.push({ list, index, name: value?.name ?? entry?.name });
    return faults.length ? [] : [value];
  });
}

/** The parts in the texts that a page saved because it could not start, or could not use them: a bread for each work.
@param {Record<string, unknown>} stored @param {number} saved @returns {Generator<any>} */
function* keptTexts(stored, saved) {
  for (const [key, text] of Object.entries(stored)) {
    const { value } = typeof text === "string" ? readJson(text) : {};
    if (key.startsWith(NOTEBOOK_KEY)) yield value ?? { breads: null };
    if (!key.startsWith(WORK_KEY)) continue;
    const { version, units, ...work } = checked(BENCH, value).faults.length ? {} : value;
    yield { breads: [{ key: `bench-${work.formula?.lines[0]?.key}`, name: value?.formula?.name, saved, work, answers: null }] };
  }
}

/** A notebook from the text of a file, or a complaint. Entries that are not sound are left out and named.
@param {string} text @param {Work} pattern a work to complete older ones from
@returns {{complaint: string} | {notebook: Lists, unread: Unread[], complaint?: undefined}} */
export function readNotebook(text, pattern) {
  const { value, faults } = readJson(text);
  if (value?.format !== FORMAT) return { complaint: "notOurs" };
  if (value.version !== VERSION) return { complaint: "otherVersion" };
  if (faults.length) return { complaint: "damaged" };
  const { format, version, stored, saved, keeping, ...own } = value;
  const shapes = entryShapes(pattern);
  /** @type {Record<string, any[]> & Lists} */
  const notebook = { breads: [], trials: [], loaves: [], tastings: [], prices: [] };
  /** @type {Unread[]} */
  const unread = Object.keys(own).filter((name) => !(name in notebook)).map((name) => ({ list: name }));
  for (const part of [own, ...keptTexts(stored ?? {}, saved)]) {
    for (const list of LISTS) notebook[list].push(...soundOf(shapes[list], list, part[list], unread));
  }
  return unread.length && LISTS.every((list) => !notebook[list].length) ? { complaint: "damaged" } : { notebook, unread };
}

/** Adds to ours the entries that only theirs has, and returns how many. @param {Notebook} ours @param {Lists} theirs */
export function merge(ours, theirs) {
  let added = 0;
  for (const list of LISTS) {
    const priced = new Set(ours.prices?.map(({ ingredient }) => ingredient));
    /** @type {(Keyed & {ingredient?: string})[]} */
    // An ingredient has one price, and ours stays.
    const given = theirs[list].filter((entry) => !("per" in entry) || (!priced.has(entry.ingredient) && priced.add(entry.ingredient)));
    if (!given.length) continue;
    /** @type {Keyed[]} */
    const mine = ours[list] ??= [];
    const known = new Map(mine.map((entry) => [entry.key, JSON.stringify(entry)]));
    for (const entry of given) {
      if (known.get(entry.key) === JSON.stringify(entry)) continue;
      const own = known.has(entry.key) ? { ...entry, key: newKey() } : entry;
      known.set(own.key, JSON.stringify(own));
      mine.push(own);
      added += 1;
    }
  }
  return added;
}

/** The answers without their working, as a bread carries them; null while some are missing. @param {Partial<Answers>} last */
export function briefAnswers(last) {
  if (!STEPS.every((step) => last[step])) return null;
  return Object.fromEntries(STEPS.map((step) => {
    const { working, basis, ...brief } = last[step] ?? {};
    return [step, brief];
  }));
}
