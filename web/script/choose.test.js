import assert from "node:assert/strict";
import test from "node:test";

import { meant } from "./choose.js";

const radio = (/** @type {string} */ name, /** @type {string} */ value, folded = false) => ({ name, value, folded });

test("a mark chooses its own position", () => {
	const all = [radio("position", "p1"), radio("position", "p2"), radio("datum", "p2|")];
	assert.equal(meant(all, "position", "p2"), all[1]);
	assert.equal(meant(all, "position", "p3"), undefined);
});

test("a datum is chosen in the state that shows", () => {
	const all = [radio("datum", "d1|bare", true), radio("datum", "d1|board"), radio("datum", "d12|bare")];
	assert.equal(meant(all, "datum", "d1"), all[1]);
	assert.equal(meant(all.slice(0, 1), "datum", "d1"), all[0]);
	assert.equal(meant(all, "datum", "d"), undefined);
});
