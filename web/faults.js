/** Where faults are shown: each at its field, or at the nearest place above it. */

export function createBoard() {
  const places = new Map();
  const shown = new Map();        // step -> places it wrote on

  /** The registered place for a path: itself, or the nearest one above. */
  function find(place) {
    for (let path = place; path; path = path.slice(0, Math.max(0, path.lastIndexOf("/")))) {
      if (places.has(path)) return { spot: places.get(path), path, exact: path === place };
    }
    return null;
  }

  return {
    /** spot: {fault(list)}; a list entry is {detail, code, given, nearest, exact}. */
    register(place, spot) {
      places.set(place, spot);
    },
    forget(place) {
      places.delete(place);
    },
    /** The faults of one step, in place of those it had; the same said twice is said once. */
    show(step, faults) {
      const before = shown.get(step) ?? new Map();
      const after = new Map();
      for (const fault of faults) {
        const found = find(fault.place) ?? find(step);
        if (!found) continue;
        if (!after.has(found.path)) after.set(found.path, []);
        after.get(found.path).push({ ...fault, exact: found.exact });
      }
      shown.set(step, after);
      for (const path of new Set([...before.keys(), ...after.keys()])) {
        const all = new Map();
        for (const kept of shown.values()) for (const fault of kept.get(path) ?? []) all.set(fault.code + fault.detail, fault);
        places.get(path)?.fault([...all.values()]);
      }
    },
    /** Whether any field has a fault of its own (a number that can't be read). */
    any() {
      return [...shown.values()].some((step) => step.size > 0);
    },
  };
}
