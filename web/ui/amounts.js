/** Amounts with units and fractions: 1 1/2, ½, 100 g, 1.9 l, 1 lb 4 oz. A number without a unit is in the field's own. */

import { halfWidth, readNumber } from "./numbers.js";

/** How bakers write the units of GET /v1/units, in lower case and without dots. @type {Record<string, string[]>} */
const SPELLINGS = {
  g: ["g", "gr", "gram", "grams", "gramm", "gramme", "grammes", "グラム", "克", "公克"], kg: ["kg", "kilo", "kilos", "kilogram", "kilograms", "kilogramm", "キロ", "公斤", "千克"],
  oz: ["oz", "ounce", "ounces", "unze", "unzen"], lb: ["lb", "lbs", "pound", "pounds"],
  mm: ["mm", "ミリ", "毫米"], cm: ["cm", "センチ", "公分", "厘米"], in: ["in", "inch", "inches", "zoll", "\"", "″", "”"],
  cm3: ["cm3", "cm³", "ccm", "cc"], ml: ["ml", "milliliter", "millilitre", "millilitres", "毫升"],
  l: ["l", "liter", "liters", "litre", "litres", "リットル", "公升", "升"], in3: ["in3", "in³", "cu in"],
  degC: ["°c", "c", "celsius", "°", "℃", "度"], degF: ["°f", "f", "fahrenheit"],
};
/** Measures that are not the same in every country, as US fluid ounces: in ounces and inches, or where "US" is written beside them.
@type {Record<string, number>} */
const US_VOLUMES = {
  "fl oz": 1, floz: 1, "fl ounce": 1, "fl ounces": 1, "fluid ounce": 1, "fluid ounces": 1, cup: 8, cups: 8,
  pt: 16, pint: 16, pints: 16, qt: 32, qts: 32, quart: 32, quarts: 32,
};
const SAID_US = /^us | us$/;
const US_INCHES = "in3";
/** Units of what the table does not have, by their size. @type {Record<string, Record<string, number>>} */
const OTHERS = {
  percent: { "%": 1 }, days: { d: 1, day: 1, days: 1, tag: 1, tage: 1, 日: 1, 天: 1 },
  minutes: { 分: 1, 分鐘: 1, 分钟: 1, 時間: 60, 小時: 60, 小时: 60, min: 1, minute: 1, minutes: 1, minuten: 1, h: 60, hour: 60, hours: 60, std: 60, stunde: 60, stunden: 60 },
  hours: { 時間: 1, 小時: 1, 小时: 1, 分: 1 / 60, 分鐘: 1 / 60, 分钟: 1 / 60, h: 1, hour: 1, hours: 1, std: 1, stunde: 1, stunden: 1, min: 1 / 60, minutes: 1 / 60, minuten: 1 / 60 },
};
/** @type {Record<string, number>} */
const FRACTIONS = { "½": 1 / 2, "⅓": 1 / 3, "⅔": 2 / 3, "¼": 1 / 4, "¾": 3 / 4, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8 };
const FIGURE = /^(?:([½⅓⅔¼¾⅛⅜⅝⅞])|(\d{1,4})[/⁄](\d{1,4})(?![\d/⁄])|(-?\d[\d.,'’]*))/;
const WORD = /^[^\d\s½⅓⅔¼¾⅛⅜⅝⅞-]+(?:3(?![\d.,]))?/;       // cm3 too
const MOST = 60;            // characters: as many as a field takes

/** @typedef {{whole: string, part: number | null, unit: string}} Amount */

/** The amounts of a text, each with its unit as written; null for what is none. @param {string} text @returns {Amount[] | null} */
function amountsOf(text) {
  let rest = halfWidth(text).trim().replace(/\u2212/g, "-").replace(/\s*([/⁄])\s*/g, "$1").slice(0, MOST);
  /** @type {Amount[]} */
  const found = [];
  while (rest) {
    const last = found.at(-1);
    const [all = "", sign, above, below, whole] = FIGURE.exec(rest) ?? [];
    const part = sign ? FRACTIONS[sign] : above ? Number(above) / Number(below) : null;
    const word = all ? "" : WORD.exec(rest)?.[0] ?? "";
    if (!all && (!word || !last)) return null;
    if (word && last) last.unit = `${last.unit} ${word}`.trim();
    else if (last && !last.unit && part !== null && last.part === null) last.part = part;
    else if (last && !last.unit && whole && last.part === null) last.whole += ` ${whole}`;      // 1 000 g
    else found.push({ whole: whole ?? "", part, unit: "" });
    rest = rest.slice(all.length || word.length).trimStart();
  }
  return found;
}

/** What a number with a fraction may mean. @param {Amount} amount @param {string} locale */
function readingsOf({ whole, part }, locale) {
  const read = whole === "" ? { number: 0 } : /^\d{1,3}( \d{3})*$|^\S+$/.test(whole) ? readNumber(whole, locale) : {};
  if (part === null) return read.unclear ?? (read.number === undefined ? [] : [read.number]);
  return Number.isFinite(part) && Number.isInteger(read.number) && (read.number ?? 0) >= 0 ? [(read.number ?? 0) + part] : [];
}

/** Why a volume is none, where that can be said. @param {string[]} units as written @param {string} quantity @returns {Reading} */
function whyNot(units, quantity) {
  if (quantity !== "volume") return {};
  if (units.some((unit) => SPELLINGS.oz.includes(unit))) return { why: "ounce_for_volume" };
  return units.some((unit) => unit in US_VOLUMES) ? { why: "whose_measure" } : {};
}

/** @param {UnitTable} table @returns {ReadAmount} */
export function amountReader(table) {
  /** From a unit as written to the field's own; null where it measures something else. @param {string} unit @param {string} quantity @param {Units} units */
  function scaleOf(unit, quantity, units) {
    if (unit === "") return (/** @type {number} */ value) => value;
    const size = OTHERS[quantity]?.[unit];
    if (size !== undefined) return (/** @type {number} */ value) => value * size;
    const isDifference = quantity === "temperature_difference";
    const rows = table[/** @type {Quantity} */ (isDifference ? "temperature" : quantity)] ?? [];
    const ounces = quantity === "volume" ? US_VOLUMES[unit.replace(SAID_US, "")] : undefined;
    if (ounces !== undefined) {
      const ounce = rows.find((each) => each.unit === "fl_oz_us");
      const isUs = SAID_US.test(unit) || units.unit(quantity) === US_INCHES;
      return ounce && isUs ? (/** @type {number} */ value) => units.outward(value * ounces * ounce.factor, quantity) : null;
    }
    const row = rows.find((each) => SPELLINGS[each.unit]?.includes(unit));
    if (!row) return null;
    return (/** @type {number} */ value) => units.outward((value - (isDifference ? 0 : row.zero)) * row.factor, quantity);
  }

  return (text, { quantity, locale, units }) => {
    const amounts = amountsOf(text) ?? [];
    const written = amounts.map(({ unit }) => unit.toLowerCase().replace(/\./g, ""));
    const values = amounts.map((amount, index) => {
      const scale = scaleOf(written[index], quantity, units);
      return scale ? readingsOf(amount, locale).map(scale) : [];
    });
    if (values.length === 1 && values[0].length === 2) return { unclear: values[0] };
    const isOne = values.length === 1 || amounts.every(({ unit }) => unit);        // 1 lb 4 oz, but not 1 lb 4
    if (!values.length || !isOne || values.some((each) => each.length !== 1)) return whyNot(written, quantity);
    return { number: Number(values.reduce((total, [each]) => total + each, 0).toPrecision(10)) };
  };
}
