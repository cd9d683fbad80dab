// The readings that are still to do, in the order in which the server's page has them.

/** @typedef {[position: string, from: string, round: number]} Step round: 0 gives a place, 1 checks it */
/** @typedef {{position: string, datum: string}} Taken */

/**
 * The steps that are left after readings. One from another datum does for the first step
 * of its position.
 * @param {Step[]} steps @param {Taken[]} taken
 */
export function left(steps, taken) {
	const out = [...steps], of = (/** @type {string} */ datum) => datum.split("|")[0];
	for (const t of taken) {
		const its = out.filter(s => s[0] === t.position);
		const done = its.find(s => of(s[1]) === of(t.datum)) ?? its[0];
		if (done) out.splice(out.indexOf(done), 1);
	}
	return out;
}

/**
 * The step that comes after readings: of the same position where it has one in the
 * round that is on, else of the next. @param {Step[]} steps @param {Taken[]} taken
 * @returns {Step | undefined}
 */
export function next(steps, taken) {
	const rest = left(steps, taken), last = taken[taken.length - 1]?.position;
	const now = rest.filter(s => s[2] === rest[0][2]);
	const at = steps.findIndex(s => s[0] === last && s[2] === now[0]?.[2]);
	return now.find(s => s[0] === last) ?? now.find(s => steps.indexOf(s) > at) ?? now[0];
}
