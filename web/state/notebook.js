/** The notebook carried as a file. */

import { LISTS, NOTEBOOK_KEY, VERSION, WORK_KEY } from "./kept.js";
import { BENCH, checked, entryShapes, readJson } from "./schema.js";
import { newKey } from "./work.js";

const FORMAT = "scaldloaf-notebook";

/** What a file has of a list: those sound as they are, and those that aren't: {list, index, name}. */
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

/** What is in the texts that a page which could not start, or could not use them, handed over: a bread for each work. */
function* keptTexts(stored, saved) {
  for (const [key, text] of Object.entries(stored)) {
    const { value } = typeof text === "string" ? readJson(text) : {};
    if (key.startsWith(NOTEBOOK_KEY)) yield value ?? { breads: null };
    if (!key.startsWith(WORK_KEY)) continue;
    const { version, units, ...work } = checked(BENCH, value).faults.length ? {} : value;
    yield { breads: [{ key: `bench-${work.formula?.lines[0]?.key}`, name: value?.formula?.name, saved, work, answers: null }] };
  }
}

/** A file's text as a notebook: {notebook, unread} or {complaint}. Entries that are not sound are left out and named; nothing is
changed. pattern: a work to complete older ones from. */
export function readNotebook(text, pattern) {
  const { value, faults } = readJson(text);
  if (value?.format !== FORMAT) return { complaint: "notOurs" };
  if (value.version !== VERSION) return { complaint: "otherVersion" };
  if (faults.length) return { complaint: "damaged" };
  const { format, version, stored, saved, keeping, ...own } = value;
  const shapes = entryShapes(pattern);
  const notebook = { breads: [], trials: [], loaves: [] };
  const unread = Object.keys(own).filter((name) => !LISTS.includes(name)).map((name) => ({ list: name }));
  for (const part of [own, ...keptTexts(stored ?? {}, saved)]) {
    for (const list of LISTS) notebook[list].push(...soundOf(shapes[list], list, part[list], unread));
  }
  return unread.length && LISTS.every((list) => !notebook[list].length) ? { complaint: "damaged" } : { notebook, unread };
}

/** Adds the entries a notebook has and ours has not; returns how many came in. What is ours stays. */
export function merge(ours, theirs) {
  let added = 0;
  for (const list of LISTS) {
    const known = new Map(ours[list].map((entry) => [entry.key, JSON.stringify(entry)]));
    for (const entry of theirs[list]) {
      if (known.get(entry.key) === JSON.stringify(entry)) continue;
      const own = known.has(entry.key) ? { ...entry, key: newKey() } : entry;
      known.set(own.key, JSON.stringify(own));
      ours[list].push(own);
      added += 1;
    }
  }
  return added;
}
