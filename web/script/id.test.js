import assert from "node:assert/strict";
import { randomFillSync } from "node:crypto";
import { test } from "node:test";
import { maker } from "./queue.js";

/** @typedef {(b: Uint8Array<ArrayBuffer>) => Uint8Array<ArrayBuffer>} Chance */
/** @type {Chance} */
const chance = b => randomFillSync(b);

test("an id has the fields that RFC 9562, section 5.7, gives version 7", () => {
	for (const byte of [0x00, 0xff, 0x5a]) {
		const id = maker(() => 1645557742000, b => b.fill(byte))();
		assert.match(id, /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
	}
});

test("the example of RFC 9562, appendix A.6, comes out bit for bit", () => {
	// rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F; but our count starts with a 0 bit,
	// so 0x4C3 stands for 0xCC3.
	const bytes = [0, 0, 0, 0, 0, 0, 0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f];
	const id = maker(() => 0x017f22e279b0, b => (b.set(bytes), b))();
	assert.equal(id, "017f22e2-79b0-74c3-98c4-dc0c0c07398f");
});

test("ids sort in the order they were made, whatever the clock does", () => {
	const clock = [100, 100, 101, 20, 20, 102, 101];
	let i = 0;
	const next = maker(() => clock[i++], chance);
	const made = clock.map(next);
	assert.deepEqual([...made].sort(), made);
});

test("ten thousand in one millisecond are all different and in order", () => {
	const made = Array.from({ length: 10000 }, maker(() => 1e12, chance));
	assert.equal(new Set(made).size, made.length);
	assert.deepEqual([...made].sort(), made);
});
