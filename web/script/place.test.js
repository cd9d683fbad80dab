import assert from "node:assert/strict";
import { test } from "node:test";
import { onDrawing, onSurface, placeOf, textOf } from "./place.js";

// Frames as the drawing writes them: cos, sin, minX, maxY, scale, ox, oy. The second lies turned by 30 degrees.
const upright = [1, 0, 0, 2400, 0.2, 60, 41];
const turned = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6), -1200, 3879, 0.173, 41, 39];

test("a corner of the drawing is the corner of the room", () => {
	assert.deepEqual(onSurface(upright, { x: 60, y: 521 }), { x: 0, y: 0 });
	assert.deepEqual(onSurface(upright, { x: 780, y: 41 }), { x: 3600, y: 2400 });
});

test("a place comes back from the drawing, whichever way it is turned", () => {
	for (const frame of [upright, turned]) {
		for (const p of [{ x: 0, y: 0 }, { x: 900, y: 600 }, { x: -250, y: 3100 }]) {
			const back = onSurface(frame, onDrawing(frame, p));
			assert.ok(Math.hypot(back.x - p.x, back.y - p.y) < 1e-6, JSON.stringify(back));
		}
	}
});

test("a place is read and written as the form has it", () => {
	for (const text of ["900 600", " 900, 600", "900; 600"]) assert.deepEqual(placeOf(text), { x: 900, y: 600 }, text);
	for (const text of ["", "900", "900 600 1", "left 600"]) assert.equal(placeOf(text), undefined, text);
	assert.equal(textOf({ x: 903.9, y: -4 }), "900 0");
});
