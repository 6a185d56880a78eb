// The main job through a client whose types are generated from the document: the Lantern Quay tin loaf from
// 20 % to 35 % scalded flour in the same tin. Prints the figures that the test compares with the service's.

import createClient from "openapi-fetch";
import type { components, paths } from "./build/schema.js";

type Schemas = components["schemas"];

declare const process: { argv: string[] };

const client = createClient<paths>({ baseUrl: process.argv[2] ?? "" });
const query = { show: "result" } as const;

function got<Data>(answer: { data?: Data; error?: Schemas["Problem"] }): Data {
  if (answer.data === undefined) throw new Error(JSON.stringify(answer.error));
  return answer.data;
}

const tinLoaf: Schemas["Formula"] = {
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

const moved = got(await client.POST("/v1/hydration-correction", {
  params: { query }, body: { formula: tinLoaf, scalded_share_percent: 35 },
}));

const filled = got(await client.POST("/v1/pan-fill", {
  params: { query },
  body: {
    formula: moved.formula,
    pan: { kind: "box", length: 19, width: 9.5, depth: 9.5 },
    pans: 3,
    bread: {
      kind: "reference_loaf", dough_mass: 440, loaf_volume: 1715, bake_loss_percent: 10, scalded_share_percent: 20,
    },
    scalded_share_percent: 35,
  },
}));

const sheet = got(await client.POST("/v1/scaling", {
  params: { query },
  body: {
    formula: filled.formula ?? moved.formula,
    target: { kind: "pieces", count: 3, mass: filled.dough_mass.best },
    losses: { handling_percent: 2 },
    scale: { resolution: 1, fine_resolution: 0.1 },
  },
}));

const budget = got(await client.POST("/v1/sugar-budget", {
  params: { query },
  body: {
    formula: sheet.formula,
    stages: [{ name: "bulk", minutes: 90, temperature: 28 }, { name: "proof", minutes: 60, temperature: 32 }],
  },
}));

// A scald too wet for the dough: the refusal has types as well.
const { error: refused } = await client.POST("/v1/hydration-correction", {
  body: { formula: tinLoaf, scalded_share_percent: 35, scald_liquid_ratio: 5 },
});
const fault = refused?.errors[0];

// What the document forbids does not compile. (Never called.)
export const misspelt = () => client.POST("/v1/pan-fill", {
  body: {
    // @ts-expect-error a box has no diameter
    pan: { kind: "box", length: 19, width: 9.5, depth: 9.5, top_diameter: 9 },
    bread: { kind: "prior" },
  },
});

// A day of orders has one type of reply, whatever else its table may be asked for in. (Never called.)
export const packsOfFlour = async () => {
  const { data } = await client.POST("/v1/order-demand", {
    params: { query },
    body: {
      formulas: [{ id: "tin", formula: tinLoaf, own: { sku: "TIN-470" } }],
      orders: [{ formula: "tin", target: { kind: "pans", count: 3, dough_mass: 470 } }],
      packs: [{ ingredient: "bread_flour", pack_mass: 25000 }],
    },
  });
  return data?.ingredients.map((row) => [row.ingredient, row.packs?.count, row.by_own?.[0]?.own["sku"]]);
};

const { data: units } = await client.GET("/v1/units");

console.log(JSON.stringify({
  hydration_percent: moved.optimum_hydration_percent.best,
  assessment: moved.assessment,
  dough_mass: filled.dough_mass.best,
  weigh_out: sheet.weigh_out.map((line) => [line.ingredient, line.part, line.mass]),
  sugar: budget.assessment,
  sweetness_percent: budget.sweetness_percent.best,
  free_sugar_spent_hours: budget.free_sugar_spent_hours,
  refused: [refused?.status, fault?.pointer, fault?.code],
  units: units !== undefined && "quantities" in units,
}));
