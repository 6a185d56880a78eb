/** The address that opens what is on the bench, as short as a QR code wants it. */

import { linkOf } from "./link.js";

/** The same without what an empty field is anyway: a reader puts it back.
@param {any} value @param {any} fresh what a reader starts from @returns {any} */
function withoutEmpty(value, fresh) {
  if (value === null || typeof value !== "object" || Array.isArray(value)) return value;
  return Object.fromEntries(Object.entries(value).filter(([name, each]) => each !== null || fresh?.[name] !== null)
    .map(([name, each]) => [name, withoutEmpty(each, fresh?.[name])]));
}

/** @param {Bench} bench */
export async function addressOf(bench) {
  const { ticked, ...work } = bench.work();
  return `${location.href.split("#")[0]}${await linkOf(withoutEmpty(work, bench.pattern))}`;
}
