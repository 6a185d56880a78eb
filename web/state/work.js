/** The work at the start, in g, cm, cm3 and degC. */

import { PAN_FIELDS } from "../service/requests.js";

let last = 0;

/** A key that no other line or stage has. */
export function newKey() {
  last += 1;
  return `${Date.now().toString(36)}${last.toString(36)}`;
}

/** @param {string} ingredient @param {Entry} mass @param {Part} part @param {Composition} [composition] @returns {Line} */
export function line(ingredient, mass, part = "dough", composition) {
  return { key: newKey(), ingredient, amount: mass, part, ...(composition ? { composition } : {}) };
}

/** @param {string} name @param {Entry} minutes @param {Entry} temperature @returns {Stage} */
export function stage(name, minutes, temperature = null) {
  return { key: newKey(), name, minutes, temperature };
}

/** @param {WireFormula} formula @returns {Formula} */
export function fromWire(formula) {
  return {
    name: formula.name ?? "",
    lines: formula.lines.map((each) => line(each.ingredient, each.mass, each.part ?? "dough", each.composition)),
    scald_evaporation: formula.scald_evaporation ?? 0,
    by: "mass",
    flour: null,
  };
}

/** @type {WireFormula} */
export const TIN_LOAF = {
  name: "Lantern Quay tin loaf",
  lines: [
    { ingredient: "bread_flour", mass: 100, part: "scald" },
    { ingredient: "water", mass: 100, part: "scald" },
    { ingredient: "bread_flour", mass: 400 },
    { ingredient: "whole_milk", mass: 150 },
    { ingredient: "water", mass: 95 },
    { ingredient: "sucrose", mass: 30 },
    { ingredient: "butter", mass: 30 },
    { ingredient: "skim_milk_powder", mass: 10 },
    { ingredient: "salt", mass: 9 },
    { ingredient: "instant_yeast", mass: 5 },
  ],
};

/** The example's tin, with a figure for every other way to measure one. @type {PanEntries} */
const EXAMPLE_TIN = { shape: "", kind: "box", length: 19, width: 9.5, depth: 9.5, top_length: 21, top_width: 11,
                      base_length: 19, base_width: 9, top_diameter: 18, base_diameter: 17, volume: 1700, mass: 1700, temperature: 20 };

/** Whether nobody has said what tin it is. @param {PanEntries} pan */
export const isExampleTin = (pan) => ["shape", "kind", ...Object.keys(PAN_FIELDS[EXAMPLE_TIN.kind])].every((name) => (
  pan[/** @type {keyof PanEntries} */ (name)] === EXAMPLE_TIN[/** @type {keyof PanEntries} */ (name)]));

/** @param {Record<"stages" | "before" | "after", [name: string, minutes: number, temperature?: number][]>} steps @returns {Work} */
export function startingWork({ stages, before, after }, formula = TIN_LOAF) {
  return {
    formula: fromWire(formula),
    share: 20,
    water: { hold: "dough_mass", scald_liquid_ratio: null, hydration_percent: null, gluten_percent: null, scald_liquids: [], curve: [],
             flour: { moisture_percent: null, absorption_percent: null,
                      base_moisture_percent: null, base_absorption_percent: null } },
    pan: { ...EXAMPLE_TIN },
    pans: 1,
    lid: null,
    fill_percent: 100,
    bake_loss_percent: null,
    cooling_loss_percent: null,
    bread: { kind: "prior", dough_mass: null, fill_percent: null, pan: null, loaf_volume: null, bake_loss_percent: null,
             scalded_share_percent: 20, specific_volume: 4.2, pan_ratio: 3.8, calibration: null },
    stages: stages.map((each) => stage(...each)),
    yeast_tolerance: "ordinary",
    damaged_starch_percent: null,
    plan: {
      method: "pour_over", stirred: "", flour_temperature: 21, liquid_temperature: 98, room_temperature: null, core_temperature: null,
      scald_mass: null, container_mass: null, holding_hours: null, holding_temperature: null,
      target: 27, temperature_rise: 5, scald_temperature: 22, others_temperature: null, tap_temperature: null,
      ready_at: "", before: before.map((each) => stage(...each)), after: after.map((each) => stage(...each)),
    },
    weigh: { handling_percent: 2, resolution: null, fine_resolution: null, fine_below: null },
    ticked: [],
  };
}

const EXAMPLE_LOAF = { kind: "reference_loaf", dough_mass: 440, fill_percent: 100, scalded_share_percent: 20 };

/** Tonight's bake as a newcomer sees it: the share has moved, and the last loaf says how much fills the tin. @param {Work} work */
export function showTheMove(work) {
  work.share = 35;
  work.lid = true;
  Object.assign(work.bread, EXAMPLE_LOAF);
}

/** Whether the last loaf is the example's, which was baked in the example's tin. @param {Work} work */
export const isExampleLoaf = ({ bread }) => Object.entries(EXAMPLE_LOAF).every(([name, value]) => (
  bread[/** @type {keyof typeof EXAMPLE_LOAF} */ (name)] === value));
