// What was typed comes back with Back. Browsers keep no page of ours, as each is somebody's own,
// and so nothing that was typed into one: it goes with the page's place in the history.

import { about, isBox } from "./page.js";
import { controls, touched } from "./redraw.js";

/** @typedef {import("./page.js").Field} Field */
/** @typedef {{name: string, at: number, value: string, ticked: boolean}} Typed at: which of several of that name */

/** What people type into, with which of several of a name each is. @returns {[Field, string, number][]} */
function numbered() {
	/** @type {Map<string, number>} */
	const seen = new Map();
	return controls().filter(c => c.type !== "file").map(c => {
		const at = seen.get(c.name) ?? 0;
		seen.set(c.name, at + 1);
		return [c, c.name, at];
	});
}

/** @param {Typed[]} all */
function put(all) {
	for (const [control, name, at] of numbered()) {
		const was = all.find(t => t.name === name && (isBox(control) ? t.value === control.value : t.at === at));
		if (!was) continue;
		if (isBox(control)) control.checked = was.ticked;
		else control.value = was.value;
		control.closest("details")?.setAttribute("open", "");
	}
}

/** Whether what was typed is on its way, so that it must not be sent again by going back. */
let sent = false;

/** What was sent was not taken: it is what somebody has typed once more. */
export function notTaken() {
	sent = false;
	keep();
}

function keep() {
	const all = sent ? [] : numbered().filter(([c]) => touched(c))
		.map(([c, name, at]) => ({ name, at, value: c.value, ticked: c.checked }));
	try {
		history.replaceState({ ...history.state, typed: { member: about.member, all } }, "");
	} catch {
		// Some browsers allow so many in half a minute; the next one tells the same and more.
	}
}

/** Fills in what its person had typed when the page was left, and has it kept from now on. */
export function typed() {
	if (!about.member) return;
	const was = history.state?.typed;
	if (was?.member === about.member) put(was.all);
	for (const event of ["input", "change"]) {
		addEventListener(event, () => {
			sent = false;
			keep();
		});
	}
	addEventListener("submit", () => {
		sent = true;
		keep();
	}, true);
	addEventListener("pagehide", keep);
}
