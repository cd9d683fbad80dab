// How the phone speaks. Pure, so that it can be tested away from pages.

/** "1 record", "3 records". @param {number} n @param {string} noun */
export function count(n, noun) {
	return `${n} ${noun}${n === 1 ? "" : "s"}`;
}

/**
 * A moment as one says it where the firm works: "14:05" today, else "Wed 25 Nov, 14:05".
 * @param {Date} t @param {Date} now
 * @param {string} [zone] the firm's, an IANA name; without one, or where the phone does not know it, the phone's own
 * @returns {string}
 */
export function moment(t, now, zone) {
	try {
		const day = new Intl.DateTimeFormat("en-GB", { weekday: "short", day: "numeric", month: "short", timeZone: zone });
		const clock = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", timeZone: zone }).format(t);
		// Some browsers put a comma there.
		const on = day.format(t).replace(/^(\w+), /, "$1 ");
		return day.format(t) === day.format(now) ? clock : `${on}, ${clock}`;
	} catch (e) {
		if (!zone) throw e;
		return moment(t, now);
	}
}

/**
 * Fills in a sentence: "{position}: {value} mm|, from {datum}". A part between
 * bars that names an empty field is left out. "{*}" is all that is filled in.
 * @param {string} sentence
 * @param {(field: string) => string} shown what a field shows; "" for nothing
 */
export function fillIn(sentence, shown) {
	return sentence.split("|").map(part => {
		let empty = false;
		const text = part.replace(/\{(\w+|\*)\}/g, (_, name) => {
			const value = shown(name);
			empty ||= value === "";
			return value;
		});
		return empty ? "" : text;
	}).join("");
}

/** @typedef {import("./queue.js").Act} Act */

/** How an act stands, in words. @param {Act} act */
export function standing(act) {
	switch (act.state) {
	case "waiting": return "not yet sent";
	case "refused": return `not taken: ${act.reason || "no reason was given"}`;
	case "both": return "two records: choose";
	case "sent": return "saved since this copy was made";
	}
}

/**
 * What a phone has to say on every page about what it holds; "" for nothing.
 * @param {Act[]} acts of whoever is signed in
 * @param {{name: string, count: number}[]} others
 * @param {{line: import("./queue.js").Line, name: string}} how
 */
export function holds(acts, others, how) {
	const number = (/** @type {string} */ state) => acts.filter(a => a.state === state).length;
	const waiting = number("waiting"), refused = number("refused"), both = number("both");
	const says = [];
	if (waiting) says.push(`${waiting} not yet sent.`);
	if (waiting && how.line === "signed-out")
		says.push(`You are no longer signed in here. ${how.name} must sign in again; then they are sent.`);
	if (waiting && how.line === "other-person")
		says.push(`Somebody else is signed in here now. Only ${how.name} can send them.`);
	if (refused) says.push(`${refused} not taken: ${refused === 1 ? "it waits" : "they wait"} for you.`);
	if (both) says.push(`${count(both, "choice")} to make.`);
	for (const { name, count: n } of others) {
		const one = n === 1;
		says.push(`${count(n, "record")} of ${name}’s ${one ? "waits" : "wait"} here; ` +
			`only ${name} can send ${one ? "it" : "them"}.`);
	}
	return says.join(" ");
}
