/** Rows of a list that keep their elements, and so the focus, while others come and go. */

/** keyedRows(place, make): make(item) -> {node, refresh(), forget()}; show(items) lays them out. */
export function keyedRows(place, make) {
  const rows = new Map();
  return {
    get: (key) => rows.get(key),
    show(items) {
      const kept = new Set(items.map((item) => item.key));
      for (const [key, row] of rows) {
        if (kept.has(key)) continue;
        row.forget?.();
        rows.delete(key);
      }
      for (const item of items) {
        if (rows.has(item.key)) rows.get(item.key).refresh();
        else rows.set(item.key, make(item));
      }
      const nodes = items.map((item) => rows.get(item.key).node);
      if (nodes.length !== place.children.length || nodes.some((node, index) => node !== place.children[index])) {
        place.replaceChildren(...nodes);
      }
    },
  };
}
