import assert from "node:assert/strict";
import { test } from "node:test";
import { awake, turned } from "./hand.js";

test("a stroke turns only when it is wide and flat", () => {
	for (const [dx, dy, want] of [[-61, 0, 1], [61, 30, -1], [59, 0, 0], [-100, 51, 0], [0, -300, 0]]) {
		assert.equal(turned(dx, dy), want, `${dx} ${dy}`);
	}
});

test("the screen's lock is asked for again when the page comes back, and its refusal is said", async () => {
	const doc = /** @type {any} */ (Object.assign(new EventTarget(), { visibilityState: "visible" }));
	/** @type {string[]} */
	const said = [];
	let asked = 0;
	const lock = { request: async () => { if (++asked === 2) throw new Error("low battery"); } };
	await awake(doc, lock, s => said.push(s));
	doc.visibilityState = "hidden";
	doc.dispatchEvent(new Event("visibilitychange"));
	assert.equal(asked, 1);
	doc.visibilityState = "visible";
	doc.dispatchEvent(new Event("visibilitychange"));
	await new Promise(r => setImmediate(r));
	assert.equal(asked, 2);
	assert.match(said[0], /stays awake/);
	assert.match(said[1], /may switch off/);
	await awake(/** @type {any} */ (Object.assign(new EventTarget(), { visibilityState: "visible" })), undefined,
		s => said.push(s));
	assert.match(said[2], /may switch off/);
});
