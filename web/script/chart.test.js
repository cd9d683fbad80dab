import assert from "node:assert/strict";
import { test } from "node:test";

import { at, moved } from "./chart.js";

test("a day is moved on over months, years and the clock's change", () => {
	assert.equal(moved("2026-12-30", 3), "2027-01-02");
	assert.equal(moved("2026-03-28", 2), "2026-03-30");
	assert.equal(moved("2028-03-01", -1), "2028-02-29");
	assert.equal(moved("2026-12-10", 0), "2026-12-10");
});

test("the form's address has the piece and the day", () => {
	assert.equal(at("r|second_fix|dry_liner", "2026-12-10"), "/programme/move?piece=r%7Csecond_fix%7Cdry_liner&on=2026-12-10");
});
