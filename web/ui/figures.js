/** Figures for reading: numbers and estimates with their units. */

import { h } from "./dom.js";
import { decimalsOf, separators, showNumber } from "./numbers.js";

const FINEST_OUNCES = 0.01;     // finer amounts are weighed in grams
const BAND_STEP = 5;            // g

const SIGNS = new Set(["percent", "degC", "degF"]);       // some languages write them right behind the number

/** A number, as it is written, with its unit. @param {Texts} t @param {string} value @param {string} unit @param {string} word */
export function withUnit(t, value, unit, word = t(`units.${unit}`)) {
  return word ? t(SIGNS.has(unit) ? "write.sign" : "write.word", { value, unit: word }) : value;
}

/** How the water is judged, and whether that is a close call. @param {Texts} t @param {Answers["water"]} reply */
export const judgedWater = (t, { assessment, uncertain }) => t(`assessment.${assessment}`)
  + (uncertain && assessment !== "not_judged" ? ` ${t("assessment.uncertain")}` : "");

const PAST = ["share_extrapolated", "share_beyond_range"];

/** The note that the share is past what was measured, if one says so. @param {({notes?: Said[]} | null | undefined)[]} replies */
export const pastNote = (replies) => replies.flatMap((reply) => reply?.notes ?? []).find(({ code }) => PAST.includes(code));

/** A dough is weighed to the gram, or to the tenth of an ounce. @param {Pick<Units, "wire">} units */
export const doughDigits = ({ wire }) => (wire.mass === "oz" ? 1 : 0);

/** The ends of a range of dough, the last with its unit and as a number only. In grams they go out to the next 5 g: no estimate is
finer. @param {FiguresBench} bench @param {Band} mass */
export function doughEnds(bench, { low, high }) {
  const digits = doughDigits(bench.units());
  const step = digits === 0 && low < high ? BAND_STEP : null;
  const [from, to] = step ? [Math.floor(low / step) * step, Math.ceil(high / step) * step] : [low, high];
  return { low: showNumber(from, bench.locale, digits), high: figuresOf(bench).dough(to), highNumber: showNumber(to, bench.locale, digits) };
}

/** An amount on its decimal point: 4.6 can't be read as 46. @param {HTMLElement} amount @param {string} locale */
export function onPoint(amount, locale) {
  const [, number = "", unit] = /^(.*\d)(\D*)$/u.exec(amount.textContent ?? "") ?? [];
  if (unit === undefined) return amount;
  const at = number.lastIndexOf(separators(locale).decimal);
  const whole = at < 0 ? number.length : at;
  amount.replaceChildren(number.slice(0, whole), h("i", {}, number.slice(whole), h("small", {}, unit)));
  return amount;
}

/** @param {FiguresBench} bench @returns {Figures} */
export function figuresOf({ t, locale, units }) {
  /** @param {Band} value @param {number} [digits] */
  const ends = ({ low, high }, digits) => [low, high].map((each) => showNumber(each, locale, digits));

  /** @type {Figures} */
  const figures = {
    unitWord: (unit = "") => (t.has(`units.${unit}`) ? t(`units.${unit}`) : unit),
    text(value, quantity = "", digits) {
      const unit = /** @type {Record<string, string>} */ (units().wire)[quantity] ?? quantity;
      return withUnit(t, showNumber(value, locale, digits), unit, figures.unitWord(unit));
    },
    volume(value) {
      return units().wire.volume === "cm3" && value >= 1000 ? withUnit(t, showNumber(value / 1000, locale, 1), "l") : figures.text(value, "volume");
    },
    dough: (value) => figures.text(value, "mass", doughDigits(units())),
    figure(value, quantity, digits) {
      if (value === null || value === undefined) return h("span", { class: "figure" }, "—");
      return h("data", { class: "figure", value: String(value) }, figures.text(value, quantity, digits));
    },
    estimate: (value, quantity, digits) => [figures.figure(value.best, quantity, digits), " ", figures.band(value, quantity, digits)],
    band(value, quantity, digits) {
      const [low, high] = ends(value, digits);
      const evidence = t(`evidence.${value.evidence}`);
      return h("span", { class: "band" }, low === high ? "" : t("estimate.range", { low, high: figures.text(value.high, quantity, digits) }),
        h("span", { class: "tag" }, low === high ? t("estimate.sure", { evidence }) : ` ${t("estimate.tag", { evidence })}`));
    },
    range(value, digits) {
      const [low, high] = ends(value, digits);
      return low === high ? null : h("span", { class: "band" }, t("estimate.range", { low, high }));
    },
    onScale({ mass, resolution }, of = mass) {
      const { wire, inward } = units();
      const inGrams = wire.mass !== "g" && resolution < FINEST_OUNCES;
      const [amount, step] = inGrams ? [inward(of, "mass"), inward(resolution, "mass")] : [of, resolution];
      return h("data", { class: "figure", value: String(amount) }, figures.text(amount, inGrams ? "g" : "mass", decimalsOf(step)));
    },
    weight: (value) => figures.figure(value, "mass", units().wire.mass === "oz" ? 2 : 1),
  };
  return figures;
}
