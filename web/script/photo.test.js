import assert from "node:assert/strict";
import { test } from "node:test";
import { fit, shrink } from "./photo.js";

test("a photo keeps its proportion, and one that is small enough its size", () => {
	for (const [w, h, want] of /** @type {[number, number, [number, number]][]} */ ([
		[4032, 3024, [2048, 1536]], [3024, 4032, [1536, 2048]], [2048, 2048, [2048, 2048]], [2049, 2, [2048, 2]],
		[640, 480, [640, 480]], [50000, 1, [2048, 1]], [1, 1, [1, 1]],
	])) {
		assert.deepEqual(fit(w, h), want, `${w} by ${h}`);
	}
});

test("fitting twice is fitting once, and no side grows", () => {
	for (let w = 1; w < 9000; w += 617) {
		for (let h = 1; h < 9000; h += 431) {
			const [a, b] = fit(w, h);
			assert.ok(a >= 1 && b >= 1 && a <= w && b <= h && Math.max(a, b) <= 2048, `${w} by ${h}: ${a} by ${b}`);
			assert.deepEqual(fit(a, b), [a, b]);
		}
	}
});

test("what the phone cannot read is sent as it is", async () => {
	const file = new Blob(["no picture"]);
	assert.equal(await shrink(file), file);
});
