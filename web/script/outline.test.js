import assert from "node:assert/strict";
import { test } from "node:test";
import { closing, corners, linesOf, millimetres, moved, side, wallsOf } from "./outline.js";

test("lengths are read as people type them", () => {
	for (const [typed, mm] of /** @type {[string, number][]} */ ([["3600", 3600], ["3,600", 3600], ["3 600 mm", 3600],
		["3.6 m", 3600], ["3.6m", 3600], ["360cm", 3600], ["3.6", 3.6]])) {
		assert.equal(millimetres(typed), mm, typed);
	}
	assert.ok(Number.isNaN(millimetres("left")));
	assert.ok(Number.isNaN(millimetres("1,2")));
});

test("walls come back as the lines that they were typed as", () => {
	const lines = "3600 left south\n2400 left\n1100 right\n500 45 nib by the door";
	assert.equal(linesOf(wallsOf(lines)), lines);
});

test("it is said by how much the walls do not close, and what was read", () => {
	const box = wallsOf("3600 left\n2400 left\n3600 left\n2400 left");
	assert.equal(closing(box), "The walls close.");
	assert.match(closing(wallsOf("3600 left\n2400 left\n3630 left\n2400 left")), /within 30 mm/);
	assert.match(closing(wallsOf("3600 left\n2400 left\n3600 left\n2000 left")),
		/do not close by 400 mm: .* 400 mm south/);
	assert.match(closing(wallsOf("3.6 left\n2.4 left\n3.6 left\n2.4 left")),
		/3.6 was read as 3.6 mm: did you mean 3.6 m\?/);
});

test("a wall that is moved keeps the outline closed", () => {
	const shape = wallsOf("4000 left\n3000 left\n2000 left\n1000 right\n2000 left\n2000 left");
	for (let i = 0; i < shape.length; i++) {
		const now = moved(shape, i, 250), end = corners(now)[now.length];
		assert.ok(Math.hypot(end.x, end.y) < 1e-6, `wall ${i + 1}: ${JSON.stringify(end)}`);
		assert.notDeepEqual(now, shape);
	}
	assert.equal(moved(shape, 3, -5000), shape);
});

test("walls are named for where they lie on the sheet", () => {
	assert.deepEqual([0, 90, 180, 270, -90, 360].map(side), ["south", "east", "north", "west", "west", "south"]);
});
