// What two linters say about OpenAPI documents, each by its own recommended rules: an array of lines for each file, as JSON.
//
// Usage: node lint.mjs FILE...
//
// Examples are held to their schemas by one of the two only, and by tests/contract/test_document.py. Neither linter uses
// the network.

import { readFileSync } from "node:fs";
import openapi from "@redocly/openapi-core";
import spectral from "@stoplight/spectral-core";
import parsers from "@stoplight/spectral-parsers";
import rulesets from "@stoplight/spectral-rulesets";

const first = new spectral.Spectral();
first.setRuleset({
  extends: [rulesets.oas],
  rules: { "oas3-valid-media-example": "off", "oas3-valid-schema-example": "off" },
});
// The project has no licence to name.
const config = await openapi.createConfig({ extends: ["recommended"], rules: { "info-license": "off" } });

const found = [];
for (const ref of process.argv.slice(2)) {
  const ofFirst = await first.run(new spectral.Document(readFileSync(ref, "utf8"), parsers.Json, ref));
  const ofSecond = await openapi.lint({ ref, config });
  found.push([
    ...ofFirst.map(({ code, path, message }) => `spectral ${code} ${path.join("/")}: ${message}`),
    ...ofSecond.map(({ ruleId, location, message }) => `redocly ${ruleId} ${location[0]?.pointer}: ${message}`),
  ]);
}
console.log(JSON.stringify(found));
