/** Starts the page, or says what to do where it can't start. */

const root = /** @type {HTMLElement} */ (document.querySelector("#work"));

import("./main.js").then(({ start }) => start()).catch(async (error) => {
  root.dataset.state = "failed";
  try {
    const { failed } = await import("../state/rescue.js");
    failed(root, error);
  } catch {
    root.textContent = root.dataset.failed ?? "";
  }
});
