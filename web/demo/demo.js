/** What a recipe page may do with the panel's events: here it repeats the answer in its own words. */

const said = document.querySelector("#said");

document.addEventListener("scaldloaf-answer", ({ detail }) => {
  const share = detail.scalded_share_percent.toFixed(0);
  said.textContent = `With ${share} % scalded your tin takes about ${Math.round(detail.dough_mass.best)} ${detail.units.mass} of dough.`;
});
document.addEventListener("scaldloaf-problem", ({ detail }) => {
  if (detail.kind === "refused") said.textContent = "That does not work; the panel says why.";
});
