/** Numbers as bakers write and read them, and the two systems of units. */

const DIGITS = 10;

/** @type {Map<string, Intl.NumberFormat>} */
const formats = new Map();      // making one takes far longer than using it

/** @param {string} locale @param {Intl.NumberFormatOptions} options */
function formatOf(locale, options = {}) {
  const name = `${locale} ${JSON.stringify(options)}`;
  const format = formats.get(name) ?? new Intl.NumberFormat(locale, options);
  formats.set(name, format);
  return format;
}

/** @type {Map<string, {decimal: string, group: string}>} */
const signs = new Map();

/** @param {string} locale */
export function separators(locale) {
  const known = signs.get(locale);
  if (known) return known;
  const parts = formatOf(locale).formatToParts(1234567.5);
  const find = (/** @type {string} */ type) => parts.find((part) => part.type === type)?.value;
  const found = { decimal: find("decimal") ?? ".", group: find("group") ?? "," };
  signs.set(locale, found);
  return found;
}

// Digits, alone or in groups of two or three with one sign between them, and a decimal sign that is another one.
const NUMBER = /^-? ?(\d*|\d{1,3}([ '.,])(?:\d{2,3}\2)*\d{3})(?:([.,])(\d*))?$/;

/** Full-width digits and signs as plain ones, without the no-break space before a unit.
@param {string} text */
export function halfWidth(text) {
  return text.replace(/[\uff01-\uff5e]/g, (sign) => String.fromCharCode(sign.charCodeAt(0) - 0xfee0)).replace(/\u3000/g, " ").replace(/\u3002/g, ".").replace(/\u2060/g, "");
}

/** What a text means; unclear: its two readings; empty when it is no number, such as 1..5.
@param {string} text @param {string} locale @returns {Reading} */
export function readNumber(text, locale) {
  const bare = halfWidth(text).trim().replace(/\s/g, " ").replace(/’/g, "'").replace(/^\u2212/, "-");
  if (bare === "") return { nothing: true };
  const { group } = separators(locale);
  const escaped = group === "." ? "\\." : ",";
  // 1,000 is a thousand to some and one to others: ask, don't guess.
  if ((group === "," || group === ".") && new RegExp(`^-? ?[1-9]\\d{0,2}${escaped}\\d{3}$`).test(bare)) {
    return { unclear: ["", "."].map((sign) => Number(bare.replace(" ", "").replace(group, sign))) };
  }
  const [, whole, between, decimal, digits = ""] = NUMBER.exec(bare) ?? [];
  if (whole === undefined || whole + digits === "" || (decimal && decimal === between)) return {};
  return { number: Number(`${bare.startsWith("-") ? "-" : ""}${whole.replace(/\D/g, "")}.${digits}`) };
}

const TYPED_DIGITS = 6;
const SHOWN_DIGITS = 4;         // of a converted number

/** For a field: as typed, or shortened when converted; without grouping, to be read back. @param {number} value @param {string} locale */
export function writeNumber(value, locale) {
  const typed = Number(value.toPrecision(TYPED_DIGITS)) === tidy(value);
  const whole = Math.abs(value) >= 1 ? Math.floor(Math.log10(Math.abs(value))) + 1 : 1;
  const digits = typed ? TYPED_DIGITS : Math.max(SHOWN_DIGITS, Math.min(whole, 21));
  return formatOf(locale, { maximumSignificantDigits: digits, useGrouping: false }).format(value);
}

/** For reading: about four figures, or so many decimals. @param {number} value @param {string} locale @param {number} [digits] */
export function showNumber(value, locale, digits) {
  const size = Math.abs(value);
  const decimals = digits ?? (size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 || size === 0 ? 2 : 3);
  const shown = formatOf(locale, { minimumFractionDigits: digits ?? 0, maximumFractionDigits: decimals }).format(value);
  return shown.replace(/^-(?=[0.,]*$)/, "").replace("-", "\u2212");
}

/** Without the dust of conversion: 3.53 and not 3.5300000000000002. @param {number} value */
export function tidy(value) {
  return Number(value.toPrecision(DIGITS));
}

/** How many decimals a scale of this step shows. @param {number} step */
export function decimalsOf(step) {
  return Math.min(4, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));
}

/** @type {Record<System, Record<Quantity, string>>} */
export const SYSTEMS = {
  metric: { mass: "g", length: "cm", volume: "cm3", temperature: "degC" },
  us: { mass: "oz", length: "in", volume: "in3", temperature: "degF" },
};

/** @type {System} */
export const OWN_SYSTEM = "metric";       // of the state
const AS_IT_IS = { factor: 1, zero: 0 };
const DIFFERENCE = "temperature_difference";     // of two temperatures: it has a size but no zero

/** @param {System} system @param {UnitTable} [table] of GET /v1/units; our own system needs none @returns {Units} */
export function unitsOf(system, table) {
  const wire = SYSTEMS[system];
  /** @param {string} quantity */
  function row(quantity) {
    if (system === OWN_SYSTEM || !(quantity in wire || quantity === DIFFERENCE)) return AS_IT_IS;
    const of = /** @type {Quantity} */ (quantity === DIFFERENCE ? "temperature" : quantity);
    const found = table?.[of].find(({ unit }) => unit === wire[of]);
    if (!found) throw new Error(`no unit ${wire[of]}`);
    return { factor: found.factor, zero: quantity === DIFFERENCE ? 0 : found.zero };
  }
  return {
    wire,
    unit: (quantity) => wire[/** @type {Quantity} */ (quantity === DIFFERENCE ? "temperature" : quantity)],
    inward(value, quantity) {
      const { factor, zero } = row(quantity);
      return (value - zero) * factor;
    },
    outward(value, quantity) {
      const { factor, zero } = row(quantity);
      return quantity in wire || quantity === DIFFERENCE ? tidy(value / factor + zero) : value;
    },
  };
}
