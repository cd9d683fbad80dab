import assert from "node:assert/strict";
import test from "node:test";

import { behind, pause, query } from "./query.js";

test("the address says what the page has", () => {
	assert.equal(query({ job: "j1", room: "r1", seq: "41" }), "job=j1.41&room=r1");
	assert.equal(query({ job: "j1", seq: "41" }), "job=j1.41");
	assert.equal(query({ job: "j1" }), "job=j1.0");
	assert.equal(query({ seqs: '{"j1":41,"j2":7}' }), "all=yes&job=j1.41&job=j2.7");
	assert.equal(query({}), "all=yes");
});

test("more jobs than an address takes are left out, and the server tells of all", () => {
	const many = Object.fromEntries(Array.from({ length: 101 }, (_, i) => ["j" + i, i]));
	assert.equal(query({ seqs: JSON.stringify(many) }), "all=yes");
});

test("a page is behind where a change is newer than what it shows", () => {
	assert.equal(behind({ job: "j1", seq: "41" }, { job: "j1", seq: 41 }), false);
	assert.equal(behind({ job: "j1", seq: "41" }, { job: "j1", seq: 42 }), true);
	assert.equal(behind({ seqs: '{"j1":41}' }, { job: "j1", seq: 40 }), false);
	assert.equal(behind({ seqs: '{"j1":41}' }, { job: "j2", seq: 1 }), true);
	assert.equal(behind({}, { job: "j1", seq: 1 }), true);
});

test("each try waits longer, up to a minute, and not all the same", () => {
	for (const chance of [0, 0.5, 1]) {
		let last = 0;
		for (let tries = 0; tries < 6; tries++) {
			const wait = pause(tries, chance);
			assert.ok(wait > last && wait >= 750 * 2 ** tries && wait <= 1250 * 2 ** tries, `${tries}: ${wait}`);
			last = wait;
		}
		assert.ok(pause(40, chance) <= 75_000);
	}
	assert.notEqual(pause(3, 0), pause(3, 1));
});
