// What a page asks to be told, and when: without a browser, so that it can be
// tested without one.

/** Most jobs that an address names; beyond, the server tells of every job once. */
const MOST_JOBS = 100;

/**
 * What the address of the stream says of a page.
 * @param {Record<string, string | undefined>} about the data of the page's body
 * @returns {string}
 */
export function query(about) {
	const says = new URLSearchParams();
	if (about.job) {
		says.set("job", `${about.job}.${about.seq ?? 0}`);
		if (about.room) says.set("room", about.room);
		return says.toString();
	}
	says.set("all", "yes");
	const seqs = Object.entries(JSON.parse(about.seqs ?? "{}"));
	if (seqs.length <= MOST_JOBS) for (const [job, seq] of seqs) says.append("job", `${job}.${seq}`);
	return says.toString();
}

/**
 * Whether a page knows less of a job than a change tells.
 * @param {Record<string, string | undefined>} about
 * @param {{job: string, seq: number}} change
 * @returns {boolean}
 */
export function behind(about, change) {
	const knows = about.job ? Number(about.seq ?? 0) : (JSON.parse(about.seqs ?? "{}")[change.job] ?? 0);
	return change.seq > knows;
}

/**
 * How long to wait before the next try, ms: longer each time, up to a minute,
 * and not the same for all, so that not all phones come at once.
 * @param {number} tries that failed
 * @param {number} chance from 0 to 1
 * @returns {number}
 */
export function pause(tries, chance) {
	return Math.min(1000 * 2 ** tries, 60_000) * (0.75 + chance / 2);
}
