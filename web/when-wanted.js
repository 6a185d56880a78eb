/** What can wait until somebody turns to the page, or it has been quiet for a while. */

const SIGNS = ["pointerdown", "keydown", "scroll", "focusin", "input"];
const QUIET_MS = 3000;

export function whenWanted(run) {
  let timer = null;
  function now() {
    clearTimeout(timer);
    for (const sign of SIGNS) removeEventListener(sign, now, true);
    run();
  }
  for (const sign of SIGNS) addEventListener(sign, now, { capture: true, passive: true });
  timer = setTimeout(now, QUIET_MS);
}
