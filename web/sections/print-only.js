/** Prints something by itself, without the page around it. */

/** @param {Element} content */
export function printOnly(content) {
  for (const before of document.querySelectorAll("body > .printed")) before.remove();
  const place = document.createElement("div");
  place.className = "printed";
  place.setAttribute("aria-hidden", "true");
  place.append(content);
  document.body.append(place);
  addEventListener("afterprint", () => place.remove(), { once: true });
  window.print();
}
