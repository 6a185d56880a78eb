// A night's orders through a client whose types are generated from the document: all of them in one call, and then
// once more with the last one spoilt. Prints what the test compares with plain calls.

import { readFileSync } from "node:fs";
import createClient from "openapi-fetch";
import type { components, paths } from "./build/schema.js";

type Schemas = components["schemas"];

declare const process: { argv: string[] };

/** What the till writes. */
interface Night {
  loaves: { name: string; sku: string; lines: Schemas["Line"][] }[];
  orders: { customer: string; loaf: string; sold: "raw" | "baked" | "in pans"; count: number; mass: number }[];
}

const client = createClient<paths>({ baseUrl: process.argv[2] ?? "" });
const params = { query: { show: "result" } } as const;
const night = JSON.parse(readFileSync(process.argv[3] ?? "", "utf8")) as Night;

function target({ sold, count, mass }: Night["orders"][number]): Schemas["OrderTarget"] {
  if (sold === "baked") return { kind: "baked_pieces", count, mass };
  return sold === "in pans" ? { kind: "pans", count, dough_mass: mass } : { kind: "pieces", count, mass };
}

const request: Schemas["OrderDemandRequest"] = {
  formulas: night.loaves.map(({ name, sku, lines }) => ({
    id: name, own: { sku }, formula: { name, lines }, losses: { handling_percent: 2, bake_percent: 10 }, mixer_capacity: 20_000,
  })),
  orders: night.orders.map((order) => ({
    id: order.customer, formula: order.loaf, own: { round: order.customer.slice(-1) }, target: target(order),
  })),
  scale: { resolution: 5, fine_resolution: 0.1 },
  packs: [{ ingredient: "bread_flour", pack_mass: 25_000, stock_unit: "sack" }],
};
const { data: demand, error } = await client.POST("/v1/order-demand", { params, body: request });
if (demand === undefined || typeof demand === "string") throw new Error(JSON.stringify(error));

const last = request.orders.length - 1;
const spoilt = request.orders.map((order, at) => at < last ? order : { ...order, formula: `${order.formula}!` });
const { error: refused } = await client.POST("/v1/order-demand", { params, body: { ...request, orders: spoilt } });
const fault = refused?.errors[0];

/** A known code, or one of a later version. */
function isKnown(code: string): code is Schemas["ErrorCode"] {
  const handled: Partial<Record<Schemas["ErrorCode"], true>> = { unknown_formula: true };
  return code in handled;
}
if (!isKnown(fault?.code ?? "") || isKnown("of_a_later_version")) throw new Error(fault?.code);

// The first order as a line of bulk, in an array.
const one = { ...request, formulas: request.formulas.slice(0, 1), orders: request.orders.slice(0, 1) };
const { data: answers } = await client.POST("/v1/bulk", {
  params, body: [{ id: "night", call: "order-demand", body: one }],
});
if (answers === undefined || typeof answers === "string") throw new Error("no array");

console.log(JSON.stringify({
  stock: demand.ingredients.map((row) => [row.ingredient, row.mass, row.scald]),
  packs: demand.ingredients.flatMap(({ packs }) => packs ? [[packs.count, packs.left_over]] : []),
  batches: demand.formulas.map((made) => [made.own?.sku, made.batches, made.scald_mass]),
  orders: demand.orders.map((order) => [order.own?.round, order.dough_mass]),
  refused: [refused?.status, fault?.pointer, fault?.code, fault?.nearest],
  in_bulk: answers.map((answer) => [answer.id, answer.status])[0],
}));
