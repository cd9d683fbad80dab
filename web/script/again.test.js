import assert from "node:assert/strict";
import { test } from "node:test";
import { apart, keyOf as keyOfValues } from "./again.js";

const form = { kind: "offset", position: "p1", to_position: "p2", datum: "d1|bare", to: "d2|board", surface_state: "" };

/** @param {Record<string, string>} filled */
const keyOf = filled => keyOfValues(name => filled[name] ?? "");

test("the same thing has the same key, from whichever end and on whichever side", () => {
	assert.equal(keyOf(form), "offset p1 d1|bare ");
	assert.equal(keyOf({ ...form, surface_state: "bare" }), keyOf(form));
	assert.notEqual(keyOf({ ...form, datum: "d1|board" }), keyOf(form));
	assert.equal(keyOf({ ...form, datum: "d1|+" }), keyOf({ ...form, datum: "d1|-" }));
	const span = { ...form, kind: "span" }, apart = { ...form, kind: "distance" };
	assert.equal(keyOf(span), keyOf({ ...span, datum: span.to, to: span.datum }));
	assert.equal(keyOf(apart), keyOf({ ...apart, position: "p2", to_position: "p1" }));
});

test("two readings disagree from the limit on, and a side has a sign", () => {
	assert.deepEqual(apart("1611", "d1|bare", 611, 8.6), { mm: 1000, far: true });
	assert.deepEqual(apart(" 619.6 mm", "d1|bare", 611, 8.6), { mm: 8.6, far: false });
	assert.deepEqual(apart("611", "d1|-", 611, 8.6), { mm: 1222, far: true });
	assert.deepEqual(apart("", "d1|bare", 611, 8.6), { mm: 0, far: false });
	assert.deepEqual(apart("1,611", "d1|bare", 611, 8.6), { mm: 1000, far: true });
	assert.deepEqual(apart("6,1", "d1|bare", 611, 8.6), { mm: 0, far: false });
	assert.deepEqual(apart("6oo", "d1|bare", 611, 8.6), { mm: 0, far: false });
});
