/** Notes in the language of the page, by their codes and values; the service sends them in English. */

import { showNumber } from "./numbers.js";

/** Writes them at once, and again when a text of theirs is among those that load later.
@param {FieldsBench} bench @param {Said[]} noted @param {Caution[]} cautioned @param {() => void} write */
export async function sayNotes({ t, names, locale }, noted, cautioned, write) {
  const say = () => {
    for (const note of noted) {
      const values = Object.fromEntries(Object.entries(note.values ?? {}).map(([name, value]) => [name, typeof value === "number"
        ? showNumber(value, locale) : value.split(", ").map((each) => (/^limits?$/.test(name) ? t(`limits.${each}`) : names.label(each))).join(t("write.list"))]));
      if (t.has(`notes.${note.code}`)) note.own = t(`notes.${note.code}`, values);
    }
    write();
  };
  say();
  if (noted.every(({ own }) => own) && cautioned.every(({ code }) => t.has(`cautions.${code}`))) return;
  await t.more();
  say();
}
