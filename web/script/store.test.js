import assert from "node:assert/strict";
import { test } from "node:test";
import { upgrade } from "./store.js";

test("a store takes each step once, from whichever version it is", () => {
	/** @type {string[]} */
	const made = [];
	const createObjectStore = (/** @type {string} */ name) => made.push(name);
	const db = /** @type {IDBDatabase} */ (/** @type {unknown} */ ({ createObjectStore }));
	/** @type {((db: IDBDatabase) => void)[]} */
	const steps = ["one", "two", "three"].map(name => d => void d.createObjectStore(name));
	upgrade(db, 0, steps);
	assert.deepEqual(made, ["one", "two", "three"]);
	made.length = 0;
	upgrade(db, 2, steps);
	assert.deepEqual(made, ["three"], "a step that was taken already would lose what waits there");
	upgrade(db, 3, steps);
	assert.deepEqual(made, ["three"]);
});

test("the first version has the outbox, numbered in the order of adding", () => {
	/** @type {unknown[]} */
	const made = [];
	const createObjectStore = (/** @type {unknown[]} */ ...how) => made.push(how);
	const db = /** @type {IDBDatabase} */ (/** @type {unknown} */ ({ createObjectStore }));
	upgrade(db, 0);
	assert.deepEqual(made[0], ["outbox", { keyPath: "n", autoIncrement: true }]);
});
