/** What a recipe page may do with the events of the panel: this one repeats the answer in its own words. */

const said = /** @type {HTMLElement} */ (document.querySelector("#said"));

document.addEventListener("scaldloaf-answer", (event) => {
  const { detail } = /** @type {CustomEvent} */ (event);
  const share = detail.scalded_share_percent.toFixed(0);
  said.textContent = `With ${share} % scalded your tin takes about ${Math.round(detail.dough_mass.best)} ${detail.units.mass} of dough.`;
});
document.addEventListener("scaldloaf-problem", (event) => {
  const { detail } = /** @type {CustomEvent} */ (event);
  if (detail.kind === "refused") said.textContent = "That does not work; the panel says why.";
});
