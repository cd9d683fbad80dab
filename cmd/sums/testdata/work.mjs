// Reads lines of what is asked, and answers each on a line: node work.mjs
// MODULE SCRIPT MOST. A reason for there being no answer begins with "!".
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { webcrypto } from "node:crypto";
import { pathToFileURL } from "node:url";

globalThis.crypto ??= webcrypto;
const [, , file, script, most] = process.argv;
const { Sums } = await import(pathToFileURL(script).href);
const sums = new Sums(() => WebAssembly.compile(readFileSync(file)), Number(most));
for await (const line of createInterface({ input: process.stdin })) {
	console.log(await sums.work(line).catch(why => "!" + why.message.replaceAll("\n", " ")));
}
