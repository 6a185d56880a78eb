// What the programs use of Node.
declare module "node:fs" {
  export function readFileSync(path: string, encoding: "utf8"): string;
}
