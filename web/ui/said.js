/** Notes in the words of the page, by their codes and values; the service writes them for programs, in English. */

import { figuresOf, judgedWater } from "./figures.js";

/** The values of a note that are not plain numbers, by its code. @type {Record<string, Record<string, string>>} */
const MEASURES = {
  dough_large: { dough: "mass" }, dough_small: { dough: "mass" }, mixer_cools: { low: "temperature", best: "temperature", high: "temperature" },
  evaporation_not_written: { mass: "mass" }, percentages: { flour: "mass" }, reckoned_on_100: { flour: "mass" }, scald_sweetens_itself: { low: "temperature", high: "temperature" },
  scald_used_in_part: { used: "mass", made: "mass" }, scale_assumed: { coarse: "mass", fine: "mass" },
  starch_swollen: { start: "temperature", end: "temperature" }, temperature_extrapolated: { low: "temperature", high: "temperature" },
};

/** An ingredient, or a line of a formula such as "water (dough)", by its label. @param {FieldsBench} bench @param {string} name */
function named({ t, names }, name) {
  const [, of = name, part] = /^(\w+) \((scald|dough)\)$/.exec(name) ?? [];
  return part ? t("part.of", { name: names.label(of), part: t(`part.${part}`) }) : names.label(name);
}

/** The values of a note, written. @param {FieldsBench} bench @param {Pick<Said, "code" | "values">} note */
export function written(bench, { code, values = {} }) {
  const { t } = bench;
  const { text } = figuresOf(bench);
  const words = Object.fromEntries(Object.entries(values).map(([name, value]) => [name, typeof value === "number"
    ? text(value, MEASURES[code]?.[name] ?? "") : value.split(", ").map((each) => (/^limits?$/.test(name) ? t(`limits.${each}`) : named(bench, each)))
      .join(t("write.list"))]));
  // A bake without a name is known by its number.
  if ("trial" in values) words.trial = words.name || `${t("log.bake")} ${words.trial}`;
  return words;
}

/** A note in the words of the page, if it has any; a reason of the verdict on a recipe is in a group of its own.
@param {FieldsBench} bench @param {Pick<Said, "code" | "values">} note */
export function ownWords(bench, note, group = "notes") {
  const { t } = bench;
  const name = `${group}.${note.code}`;
  return t.has(name) ? t(name, written(bench, note)) : undefined;
}

/** How the water is judged; where something known contradicts that, what it is. @param {FieldsBench} bench @param {Answers["water"]} reply */
export function waterSays(bench, reply) {
  const against = reply.uncertain && reply.notes?.find(({ code }) => code === "unusual_water" || code === "base_off_absorption");
  return against ? ownWords(bench, against) ?? against.text : judgedWater(bench.t, reply);
}

/** Writes them at once, and again when a text of theirs is among those that load later.
@param {FieldsBench} bench @param {Said[]} noted @param {() => void} write */
export async function sayNotes(bench, noted, write) {
  await bench.t.more();
  for (const note of noted) note.own = ownWords(bench, note);
  write();
}
