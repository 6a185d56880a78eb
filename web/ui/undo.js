/** What is removed can be put back, until other rows come or go in its list. */

import { h } from "./dom.js";

/** Says below a list what was removed from it, and how to put it back. @param {FieldsBench} bench @param {Element | undefined} list
@param {string} name @param {() => void} putBack */
export async function undoable({ t }, list, name, putBack) {
  const room = h("p", { class: "removed", role: "status" });
  list?.after(room);
  try {
    await t.more();
  } catch {
    return room.remove();       // without its words there is nothing to press
  }
  room.append(t(name ? "undo.removed" : "undo.removedEntry", { name }), " ",
    h("button", { type: "button", on: { click: () => { room.remove(); putBack(); } } }, t("undo.button")));
}
