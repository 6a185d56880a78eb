/** Keeps the place on the page through a reload, or Back to the page: what is in the middle of the window, and which folded parts
are open. */

import { PLACE, checked, readJson } from "./schema.js";

const KEY = "scaldloaf.place";
const HOLD_MS = 3000;           // after that nothing more draws by itself
const COLUMN = 0.75;            // of the width: the column of the answers, where nothing sticks to the window
const SIGNS = ["pointerdown", "wheel", "touchstart", "keydown"];

/** The way from the root to a node, as the number of each child; empty for one outside.
@param {Element} root @param {Element | null} node */
function wayTo(root, node) {
  /** @type {number[]} */
  const way = [];
  for (let each = node; each !== root; each = each.parentElement) {
    if (!each?.parentElement) return [];
    way.unshift([...each.parentElement.children].indexOf(each));
  }
  return way;
}

/** The nodes on a way, from the root on, as far as there are any. @param {Element} root @param {number[]} way */
function nodesOn(root, way) {
  const nodes = [root];
  for (const place of way) {
    const next = nodes[nodes.length - 1].children[place];
    if (!next) break;
    nodes.push(next);
  }
  return nodes;
}

const topOf = (/** @type {Element} */ node) => node.getBoundingClientRect().top;

/** Keeps the place; restore() goes to the one kept before, and stays there while the page is completed. @param {HTMLElement} root */
export function keepPlace(root) {
  function keep() {
    if (root.querySelector("dialog[open]")) return;         // kept when it opened
    const middle = document.elementFromPoint(innerWidth * COLUMN, innerHeight / 2);
    const way = wayTo(root, middle);
    const folds = [...root.querySelectorAll("details[open]")].map((fold) => wayTo(root, fold));
    try {
      sessionStorage.setItem(KEY, JSON.stringify({ way, tops: nodesOn(root, way).map(topOf), folds }));
    } catch { /* a browser that keeps nothing opens the page at its top */ }
  }

  function kept() {
    const [{ type }] = /** @type {PerformanceNavigationTiming[]} */ (performance.getEntriesByType("navigation"));
    if (type === "navigate") return null;
    try {
      const { value, faults } = checked(PLACE, readJson(sessionStorage.getItem(KEY) ?? "").value);
      return faults.length ? null : value;
    } catch {
      return null;            // the browser shows no storage
    }
  }

  addEventListener("pagehide", keep);
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") keep(); });
  return {
    keep,
    restore() {
      const place = kept();
      if (!place) return;
      history.scrollRestoration = "manual";
      const folds = new Map(place.folds.map((/** @type {number[]} */ way) => [String(way), way]));
      const watch = new ResizeObserver(go);
      function go() {
        for (const [name, way] of folds) {
          const nodes = nodesOn(root, way);
          const fold = nodes[nodes.length - 1];
          if (nodes.length <= way.length || !(fold instanceof HTMLDetailsElement)) continue;
          fold.open = true;
          folds.delete(name);
        }
        const nodes = nodesOn(root, place.way);
        scrollBy({ top: topOf(nodes[nodes.length - 1]) - place.tops[nodes.length - 1], behavior: "instant" });
      }
      function stop() {
        watch.disconnect();
        for (const sign of SIGNS) removeEventListener(sign, stop, true);
      }
      watch.observe(root);
      for (const sign of SIGNS) addEventListener(sign, stop, { capture: true, passive: true });
      setTimeout(stop, HOLD_MS);
    },
  };
}
