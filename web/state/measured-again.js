/** A tin that is measured another way. */

import { PAN_FIELDS } from "../service/requests.js";
import { isExampleTin } from "./work.js";

/** The figures of a tin that is measured another way: those measured that way before, and of the baker's own tin what both ways
have. The others are blank: nobody has measured them. @param {() => PanEntries} tin @param {() => string} [bread] whose tin it is */
export function measuredAgain(tin, bread = () => "") {
  /** @type {Map<string, PanEntries>} */
  let known = new Map();
  let of = "";
  return (/** @type {string} */ kind) => {
    const pan = tin();
    if (of !== bread()) known = new Map();
    of = bread();
    known.set(pan.kind, { ...pan });
    const before = known.get(kind);
    const isOwn = !pan.shape && !isExampleTin(pan);
    const values = Object.keys(PAN_FIELDS[kind]).map((each) => {
      const name = /** @type {keyof PanFields} */ (each);
      const both = name in PAN_FIELDS[pan.kind] ? pan[name] : null;
      return [name, before ? before[name] : name === "temperature" ? pan.temperature : isOwn ? both : null];
    });
    return { kind, ...Object.fromEntries(values) };
  };
}
