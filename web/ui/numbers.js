/** Numbers as bakers write and read them, in the language of the page, and the two systems of units. */

const DIGITS = 10;

const formats = new Map();      // making one takes far longer than using it

function formatOf(locale, options = {}) {
  const name = `${locale} ${JSON.stringify(options)}`;
  if (!formats.has(name)) formats.set(name, new Intl.NumberFormat(locale, options));
  return formats.get(name);
}

function separators(locale) {
  const parts = formatOf(locale).formatToParts(1234567.5);
  const find = (type) => parts.find((part) => part.type === type)?.value;
  return { decimal: find("decimal") ?? ".", group: find("group") ?? "," };
}

/** What a text means: {number}, {nothing}, {unclear: [readings]} or {wrong}. */
export function readNumber(text, locale) {
  const bare = text.trim().replace(/[\s\u00a0\u202f'’]/g, "").replace(/^\u2212/, "-");
  if (bare === "") return { nothing: true };
  const { group } = separators(locale);
  const escaped = group === "." ? "\\." : ",";
  // 1,000 is a thousand to some and one to others: ask, don't guess.
  if ((group === "," || group === ".") && new RegExp(`^-?[1-9]\\d{0,2}${escaped}\\d{3}$`).test(bare)) {
    return { unclear: [Number(bare.replace(group, "")), Number(bare.replace(group, "."))] };
  }
  const last = Math.max(bare.lastIndexOf(","), bare.lastIndexOf("."));
  const whole = last < 0 ? bare : bare.slice(0, last);
  const several = (bare.match(/[.,]/g) ?? []).length > 1;
  const sameTwice = several && new Set(bare.match(/[.,]/g)).size === 1;
  const plain = sameTwice ? bare.replace(/[.,]/g, "")
    : last < 0 ? bare : `${whole.replace(/[.,]/g, "")}.${bare.slice(last + 1)}`;
  return /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? { number: Number(plain) } : { wrong: true };
}

const TYPED_DIGITS = 6;         // what a baker may have typed
const SHOWN_DIGITS = 4;         // enough of a number that came from another unit

/** A number for a field: as typed, or shortened when it is converted; no grouping, so that it can be read back. */
export function writeNumber(value, locale) {
  const typed = Number(value.toPrecision(TYPED_DIGITS)) === tidy(value);
  const whole = Math.abs(value) >= 1 ? Math.floor(Math.log10(Math.abs(value))) + 1 : 1;
  const digits = typed ? TYPED_DIGITS : Math.max(SHOWN_DIGITS, Math.min(whole, 21));
  return formatOf(locale, { maximumSignificantDigits: digits, useGrouping: false }).format(value);
}

/** A number for reading: about four figures. digits fixes the decimals. */
export function showNumber(value, locale, digits) {
  const size = Math.abs(value);
  const decimals = digits ?? (size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 || size === 0 ? 2 : 3);
  const shown = formatOf(locale, { minimumFractionDigits: digits ?? 0, maximumFractionDigits: decimals }).format(value);
  return shown.replace(/^-(?=[0.,]*$)/, "").replace("-", "\u2212");
}

/** Without the dust that conversion leaves: 3.53 and not 3.5300000000000002. */
export function tidy(value) {
  return Number(value.toPrecision(DIGITS));
}

/** As many decimals as a scale of this step shows. */
export function decimalsOf(step) {
  return Math.min(4, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));
}

/** The two systems a baker can switch between. */
export const SYSTEMS = {
  metric: { mass: "g", length: "cm", volume: "cm3", temperature: "degC" },
  us: { mass: "oz", length: "in", volume: "in3", temperature: "degF" },
};

export const OWN_SYSTEM = "metric";       // of the service, and so of the state
const AS_IT_IS = { factor: 1, zero: 0 };
const DIFFERENCE = "temperature_difference";     // of two temperatures: it has a size but no zero

/** Conversions for one system, by the table of GET /v1/units; our own system needs none. */
export function unitsOf(system, table) {
  const wire = SYSTEMS[system];
  const row = (quantity) => (system === OWN_SYSTEM ? AS_IT_IS
    : table[quantity].find((unit) => unit.unit === wire[quantity]));
  return {
    wire,
    unit: (quantity) => wire[quantity === DIFFERENCE ? "temperature" : quantity],
    /** A number of the chosen unit in the state's. */
    inward(value, quantity) {
      if (quantity === DIFFERENCE) return value * row("temperature").factor;
      if (!(quantity in wire)) return value;
      const { factor, zero } = row(quantity);
      return (value - zero) * factor;
    },
    /** A number of the state in the chosen unit. */
    outward(value, quantity) {
      if (quantity === DIFFERENCE) return tidy(value / row("temperature").factor);
      if (!(quantity in wire)) return value;
      const { factor, zero } = row(quantity);
      return tidy(value / factor + zero);
    },
  };
}
