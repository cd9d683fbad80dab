// Reads OpenAPI documents, whose files are named, and prints what two linters find in each, with the rules that they
// recommend and at any severity. A document in which nothing is found has no line.
import { readFileSync } from "node:fs";
import { basename } from "node:path";
import { createConfig, lintFromString } from "@redocly/openapi-core";
import core from "@stoplight/spectral-core";
import rulesets from "@stoplight/spectral-rulesets";

const config = await createConfig({ extends: ["recommended"] });
const spectral = new core.Spectral();
spectral.setRuleset({ extends: [[rulesets.oas, "recommended"]] });

for (const file of process.argv.slice(2)) {
  const source = readFileSync(file, "utf8");
  for (const p of await lintFromString({ source, config, absoluteRef: file })) {
    console.log(`${basename(file)}: redocly ${p.ruleId}: ${p.message} ${p.location.map((l) => l.pointer).join()}`);
  }
  for (const p of await spectral.run(source)) {
    console.log(`${basename(file)}: spectral ${p.code}: ${p.message} ${p.path.join("/")}`);
  }
}
