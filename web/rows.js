/** Rows of a list that keep their elements, and so the focus, while others come and go. */

/** keyedRows(place, make): make(item) -> {node, refresh(), forget()}; show(items) lays them out. A row is made
anew when its item is another object: work from the notebook or from another window has the same keys. */
export function keyedRows(place, make) {
  const rows = new Map();         // key -> {item, row}
  return {
    get: (key) => rows.get(key)?.row,
    show(items) {
      const kept = new Map(items.map((item) => [item.key, item]));
      for (const [key, { item, row }] of rows) {
        if (kept.get(key) === item) continue;
        row.forget?.();
        rows.delete(key);
      }
      for (const item of items) {
        if (rows.has(item.key)) rows.get(item.key).row.refresh();
        else rows.set(item.key, { item, row: make(item) });
      }
      const nodes = items.map((item) => rows.get(item.key).row.node);
      if (nodes.length !== place.children.length || nodes.some((node, index) => node !== place.children[index])) {
        place.replaceChildren(...nodes);
      }
    },
  };
}
