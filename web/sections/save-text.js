/** Saves a text as a file. */

/** @param {string} name @param {string} text @param {string} type */
export function saveText(name, text, type) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: `${type};charset=utf-8` }));
  link.download = name.replace(/[\\/:*?"<>|]+/g, " ").trim();
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
