/** Plain data: what JSON can hold, and not too much of it. */

const MOST_CHARACTERS = 500;
const MOST_NUMBER = 1e100;              // no entry comes near: a number field holds 60 characters
const MOST_DEPTH = 10;
export const MOST_VALUES = 200_000;
const DANGEROUS = ["__proto__", "constructor", "prototype"];

/** @param {unknown} value @returns {value is Record<string, any>} */
export const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);
/** @param {unknown} value @returns {value is number} */
export const isNumber = (value) => typeof value === "number" && Math.abs(value) <= MOST_NUMBER;
/** @param {unknown} value @returns {value is string} */
export const isText = (value) => typeof value === "string" && value.length <= MOST_CHARACTERS && !/\p{Surrogate}/u.test(value);

/** Whether a value is plain data and not too much of it: such data is kept as it is, and never looked into.
@param {any} value @returns {boolean} */
export function isPlain(value, room = { left: MOST_VALUES }, depth = MOST_DEPTH) {
  room.left -= 1;
  if (room.left < 0 || depth < 0) return false;
  if (value === null || typeof value === "boolean" || isNumber(value)) return true;
  if (typeof value === "string") return value.length <= 10 * MOST_CHARACTERS && !/\p{Surrogate}/u.test(value);
  return Object.entries(value).every(([name, each]) => !DANGEROUS.includes(name) && isPlain(each, room, depth - 1));
}
