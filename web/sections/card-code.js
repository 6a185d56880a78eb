/** The link to this bread as a QR code, on the card while it is printed. The code is drawn by the service, which keeps nothing of
it; the link goes there only when a baker asks for a code. */

import { addressOf } from "../state/address.js";
import { h } from "../ui/dom.js";

const MODULE_MM = 0.45;         // what a phone reads from paper
const TOO_LONG = 422;

/** What stands for the link on paper; undefined: the service can't be reached.
@param {Bench} bench @param {string} address @returns {Promise<(Element | string)[] | undefined>} */
async function drawn({ t }, address) {
  try {
    const reply = await fetch("/v1/link-code", { method: "POST", headers: { "Content-Type": "application/json" },
                                                 body: JSON.stringify({ link: address }) });
    if (reply.status === TOO_LONG) return [t("code.tooLong", { address: location.origin + location.pathname })];
    if (!reply.ok) return undefined;
    const svg = await reply.text();
    /** @type {HTMLImageElement} */
    const picture = h("img", { alt: t("code.alt"), src: `data:image/svg+xml,${encodeURIComponent(svg)}` });
    picture.style.width = `${Number(svg.match(/viewBox="0 0 (\d+)/)?.[1]) * MODULE_MM}mm`;
    await picture.decode();
    return [picture, h("span", {}, t("code.what"))];
  } catch {
    return undefined;
  }
}

/** Prints the card with the code of what is on the bench; nothing when that has changed meanwhile.
@param {Bench} bench @param {HTMLElement} place on the card; empty but while it is printed */
export async function printWithCode(bench, place) {
  const { answers, t } = bench;
  const plan = () => JSON.stringify(bench.work());
  const asked = plan();
  const found = await drawn(bench, await addressOf(bench));
  if (!answers.complete() || plan() !== asked) return;
  if (!found) return bench.notice(t("code.away"));
  place.replaceChildren(...found);
  addEventListener("afterprint", () => place.replaceChildren(), { once: true });
  window.print();
}
