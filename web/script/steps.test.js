import assert from "node:assert/strict";
import { test } from "node:test";
import { left, next } from "./steps.js";

/** @typedef {import("./steps.js").Step} Step */
/** @type {Step[]} */
const steps = [["D1", "s|bare", 0], ["D1", "w|bare", 0], ["D2", "s|bare", 0], ["D2", "w|bare", 0], ["D1", "n|bare", 1],
	["D2", "n|bare", 1]];
/** @param {string[][]} all position, datum */
const after = (...all) => next(steps, all.map(([position, datum]) => ({ position, datum })));

test("the other wall of the same position, then the next position, then the checks", () => {
	assert.deepEqual(after(), steps[0]);
	/** @type {{position: string, datum: string}[]} */
	const taken = [];
	// Whoever stands at the last position checks it first.
	for (const step of [...steps.slice(0, 4), steps[5], steps[4]]) {
		assert.deepEqual(next(steps, taken), step);
		taken.push({ position: step[0], datum: step[1] });
	}
	assert.equal(next(steps, taken), undefined);
});

test("another datum or state does for a step, and one that was passed over comes back", () => {
	assert.deepEqual(after(["D1", "w|board"]), steps[0]);
	assert.deepEqual(after(["D1", "e|bare"], ["D1", "s|bare"]), steps[2]);
	assert.deepEqual(after(["D2", "s|bare"]), steps[3]);
	assert.deepEqual(after(["D2", "s|bare"], ["D2", "w|bare"]), steps[0]);
	assert.deepEqual(after(["D9", "s|bare"]), steps[0]);
	assert.equal(left(steps, [{ position: "D9", datum: "" }]).length, steps.length);
});
