/** Numbers as bakers write and read them, in the language of the page. */

const DIGITS = 10;

function separators(locale) {
  const parts = new Intl.NumberFormat(locale).formatToParts(1234567.5);
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
  return new Intl.NumberFormat(locale, { maximumSignificantDigits: digits, useGrouping: false }).format(value);
}

/** A number for reading: about four figures. digits fixes the decimals. */
export function showNumber(value, locale, digits) {
  const size = Math.abs(value);
  const decimals = digits ?? (size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 || size === 0 ? 2 : 3);
  const shown = new Intl.NumberFormat(locale, {
    minimumFractionDigits: digits ?? 0, maximumFractionDigits: decimals,
  }).format(value);
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
