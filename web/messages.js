/** Texts of one language: t("share.title"), with {places} filled in. */

export const LANGUAGES = { en: "English", de: "Deutsch" };

/** The first language we have among those wanted. */
export function pickLanguage(wanted) {
  for (const tag of wanted) {
    const language = tag.toLowerCase().split("-")[0];
    if (language in LANGUAGES) return language;
  }
  return "en";
}

export async function loadMessages(language) {
  return (await import(`./messages/${language}.js`)).default;
}

/** The text of a dotted name; t.has(name) says whether there is one. */
export function translator(messages) {
  const find = (name) => name.split(".").reduce((node, part) => node?.[part], messages);
  const t = (name, values = {}) => {
    const text = find(name);
    if (typeof text !== "string") return name;
    return text.replace(/\{(\w+)\}/g, (place, key) => (key in values ? String(values[key]) : place));
  };
  t.has = (name) => typeof find(name) === "string";
  return t;
}
