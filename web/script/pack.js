// The copy: what this phone keeps of the server's pages, so that a visit can be
// done without signal. The worker answers from it.

import { keep } from "./sums.js";

/** The copy's cache is named after whose it is: nobody else is shown it. */
const COPY = "copy ";
/** Stands in a copy that was once whole. */
const WHOLE = "/visits/whole";
/** How old the copy may be before a list asks for it again, in ms. */
const OLD = 120_000;

/**
 * @typedef {{path: string, type: string, tag: string, seq: string, made: string, body?: string, pages?: number}} Line
 */

/**
 * Takes the lines out of a text that comes in pieces, which end anywhere.
 * @param {AsyncIterable<string>} pieces
 */
export async function* lines(pieces) {
	let rest = "";
	for await (const piece of pieces) {
		const all = (rest + piece).split("\n");
		rest = all.pop() ?? "";
		for (const line of all) yield /** @type {Line} */ (JSON.parse(line));
	}
}

/**
 * Brings a cache to what the lines say: new pages put in, others stamped with
 * the newest date, and, once the last line has come, those that are no more
 * thrown away.
 * @param {AsyncIterable<Line>} all
 * @param {Cache} cache
 * @returns {Promise<boolean>} false where the answer was cut short
 */
export async function fill(all, cache) {
	const paths = new Set();
	for await (const line of all) {
		if (line.pages !== undefined) {
			for (const old of await cache.keys()) {
				if (!paths.has(new URL(old.url).pathname)) await cache.delete(old);
			}
			return true;
		}
		paths.add(line.path);
		const text = line.body ?? await (await cache.match(line.path))?.text();
		// Thrown away meanwhile: it comes the next time.
		if (text === undefined) continue;
		const headers = { "Content-Type": line.type, Tag: line.tag, Seq: line.seq, Made: line.made };
		await cache.put(line.path, new Response(text, { headers }));
	}
	return false;
}

/** Throws away the copies of everybody else. @param {string} member */
export async function only(member) {
	for (const name of await caches.keys()) {
		if (name.startsWith(COPY) && name !== COPY + member) await caches.delete(name);
	}
}

/**
 * Asks for the copy and keeps it. One tab does it at a time.
 * @param {string} member
 * @param {boolean} [lazy] not where the copy is only minutes old
 * @returns {Promise<boolean>} whether the copy is whole and new
 */
export async function pack(member, lazy) {
	if (lazy && Date.now() - Number(localStorage.getItem("copied")) < OLD) return false;
	if (!navigator.locks) return false;
	// A page that is being left may hold the lock for a moment yet: wait for it.
	return navigator.locks.request("copy", async () => {
		const cache = await caches.open(COPY + member);
		const tags = [];
		for (const page of await cache.keys()) tags.push(`"${(await cache.match(page))?.headers.get("Tag")}"`);
		const r = await fetch("/visits/copy?member=" + member,
			{ headers: { "If-None-Match": tags.join(", ") }, redirect: "manual" });
		if (!r.ok || !r.body || !/ndjson/.test(r.headers.get("Content-Type") ?? "")) return false;
		const whole = await fill(lines(read(r.body)), cache);
		if (whole) {
			// The rest is of use without the sums.
			await keep().catch(() => {});
			await cache.put(WHOLE, new Response());
			localStorage.setItem("copied", String(Date.now()));
			(await navigator.serviceWorker?.getRegistration())?.active?.postMessage("copied");
		}
		return whole;
	// No signal: what is here stays.
	}).catch(() => false);
}

/** @param {ReadableStream<Uint8Array<ArrayBuffer>>} body */
async function* read(body) {
	const reader = body.pipeThrough(new TextDecoderStream()).getReader();
	for (;;) {
		const { done, value } = await reader.read();
		if (done) return;
		yield value;
	}
}

/** When the copy of a page was drawn; undefined where there is none, or no whole one. @param {string} path */
export async function since(path) {
	if (!await caches.match(WHOLE)) return undefined;
	const made = (await caches.match(path))?.headers.get("Made");
	return made ? new Date(made) : undefined;
}
