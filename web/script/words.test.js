import assert from "node:assert/strict";
import { test } from "node:test";
import { count, fillIn, holds, moment, standing } from "./words.js";

/** @typedef {import("./queue.js").Act} Act */
/** @param {Partial<Act>} some @returns {Act} */
const act = some => /** @type {Act} */ (some);

test("a part of a sentence whose field is empty is left out", () => {
	const sentence = "{position}: {value} mm|, from {datum}|, to {to}";
	const shown = (/** @type {Record<string, string>} */ fields) => fillIn(sentence, name => fields[name] ?? "");
	assert.equal(shown({ position: "D4", value: "1795", datum: "south wall, bare" }),
		"D4: 1795 mm, from south wall, bare");
	assert.equal(shown({ position: "D4", value: "1795", datum: "a", to: "b" }), "D4: 1795 mm, from a, to b");
	assert.equal(fillIn("Photo", () => ""), "Photo");
});

test("what a phone holds is said in numbers", () => {
	const waiting = act({ state: "waiting" }), refused = act({ state: "refused" }), both = act({ state: "both" }),
		sent = act({ state: "sent" });
	const how = { line: /** @type {const} */ ("no-signal"), name: "Kit Moss" };
	assert.equal(holds([], [], how), "");
	assert.equal(holds([sent], [], how), "");
	assert.equal(holds([waiting, waiting, sent], [], how), "2 not yet sent.");
	assert.equal(holds([refused], [], how), "1 not taken: it waits for you.");
	assert.equal(holds([both, refused, refused, waiting], [], how),
		"1 not yet sent. 2 not taken: they wait for you. 1 choice to make.");
	assert.match(holds([waiting], [], { ...how, line: "signed-out" }), /Kit Moss must sign in again/);
	assert.match(holds([waiting], [], { ...how, line: "other-person" }), /Only Kit Moss can send them/);
	assert.equal(holds([], [{ name: "Ann Orr", count: 3 }, { name: "Bo", count: 1 }], how),
		"3 records of Ann Orr’s wait here; only Ann Orr can send them. 1 record of Bo’s waits here; only Bo can send it.");
});

test("how an act stands, and counts", () => {
	assert.equal(standing(act({ state: "refused", reason: "First fix is signed off." })),
		"not taken: First fix is signed off.");
	assert.equal(standing(act({ state: "refused" })), "not taken: no reason was given");
	assert.equal(standing(act({ state: "waiting" })), "not yet sent");
	assert.deepEqual([count(1, "record"), count(0, "record")], ["1 record", "0 records"]);
});

test("a moment of today is its time alone", () => {
	const now = new Date(2026, 10, 25, 16, 0);
	assert.equal(moment(new Date(2026, 10, 25, 9, 5), now), "09:05");
	assert.equal(moment(new Date(2026, 10, 24, 9, 5), now), "Tue 24 Nov, 09:05");
});

test("a moment is said as clocks show it where the firm works", () => {
	const now = new Date("2026-03-29T23:30:00Z"), before = new Date("2026-03-29T00:30:00Z");
	assert.equal(moment(now, now, "UTC"), "23:30");
	assert.equal(moment(before, now, "UTC"), "00:30");
	assert.equal(moment(now, now, "Europe/London"), "00:30"); // summer time has begun
	assert.equal(moment(before, now, "Europe/London"), "Sun 29 Mar, 00:30");
	assert.equal(moment(before, now, "Asia/Kolkata"), "Sun 29 Mar, 06:00");
	assert.equal(moment(now, now, "Europe/Atlantis"), moment(now, now));
});
