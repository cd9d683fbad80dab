import assert from "node:assert/strict";
import { test } from "node:test";
import { awake, FORGETS, next, recall, remember, turned } from "./hand.js";

const noon = Date.UTC(2026, 10, 25, 12);
/** @param {string} text */
const holds = text => ({ getItem: () => text });
const nothing = recall(holds(""), "k", noon);
/** @param {string[][]} readings position, datum */
const after = (...readings) => readings.reduce((m, [position, datum]) => remember(m,
	{ position, datum, by: "laser", slope: "" }, noon), nothing);
const all = ["D1", "D2", "D3"];

test("what cannot be read, is old or comes from the future is not remembered", () => {
	const m = JSON.stringify(after(["D1", "south|bare"]));
	assert.equal(recall(holds(m), "k", noon + FORGETS - 1).by, "laser");
	for (const [text, now] of /** @type {[string, number][]} */ ([[m, noon + FORGETS], [m, noon - 1], ["{", noon],
		["{}", noon], ["null", noon]])) {
		assert.deepEqual(recall(holds(text), "k", now), { at: now, by: "", slope: "", used: [], read: {} });
	}
});

test("tail by tail round the same walls, every reading after the second is foreseen", () => {
	let m = nothing, at = "D1";
	const walls = [["south", "west"], ["west", "south"], ["south", "west"]];
	let foreseen = 0;
	for (const [i, p] of all.entries()) {
		for (const wall of walls[i]) {
			const to = next(m, all, at);
			if (to.position === p && to.datum === wall) foreseen++;
			m = remember(m, { position: p, datum: wall, by: "tape", slope: "" }, noon);
			at = p;
		}
	}
	assert.equal(foreseen, 4);
	assert.deepEqual(next(after(["D1", "south"], ["D1", "west"]), all, "D1"), { position: "D2", datum: "west" });
	assert.deepEqual(next(after(["D1", "south"], ["D1", "west"], ["D2", "west"]), all, "D2"),
		{ position: "D2", datum: "south" });
});

test("the last tail leads back to one that was passed over, and all done to none", () => {
	const m = after(["D2", "s"], ["D2", "w"], ["D3", "s"], ["D3", "w"]);
	assert.equal(next(m, all, "D3").position, "D1");
	assert.equal(next(after(["D1", "s"], ["D1", "w"]), ["D1"], "D1").position, "D1");
	assert.deepEqual(next(nothing, all, "D2"), { position: "D2", datum: "" });
});

test("the same datum again is one datum", () => {
	const m = after(["D1", "s"], ["D1", "s"]);
	assert.deepEqual(m.read, { D1: ["s"] });
	assert.equal(next(m, all, "D1").position, "D1");
});

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
	assert.match(said[1], /go dark/);
	await awake(/** @type {any} */ (Object.assign(new EventTarget(), { visibilityState: "visible" })), undefined,
		s => said.push(s));
	assert.match(said[2], /go dark/);
});
