import assert from "node:assert/strict";
import { test } from "node:test";
import { fill, lines } from "./pack.js";

/** @param {unknown[]} all */
async function* each(all) {
	for (const one of all) yield /** @type {any} */ (one);
}

/** A cache that forgets with the process. */
function shelf() {
	/** @type {Map<string, Response>} */
	const pages = new Map();
	const path = (/** @type {any} */ at) => typeof at === "string" ? at : new URL(at.url).pathname;
	return {
		pages,
		cache: /** @type {Cache} */ (/** @type {unknown} */ ({
			match: async (/** @type {any} */ at) => pages.get(path(at))?.clone(),
			put: async (/** @type {any} */ at, /** @type {Response} */ r) => void pages.set(path(at), r),
			delete: async (/** @type {any} */ at) => pages.delete(path(at)),
			keys: async () => [...pages.keys()].map(p => ({ url: "http://site.example" + p })),
		})),
	};
}

const page = (/** @type {string} */ path, /** @type {object} */ more) => ({ path, type: "text/html", tag: "t1",
	seq: "7", made: "2026-11-25T09:00:00Z", ...more });

test("lines are whole, wherever the pieces end", async () => {
	const text = '{"path":"/a","body":"café\\n"}\n{"path":"/b"}\n{"pages":2}\n';
	for (let size = 1; size < text.length; size++) {
		const pieces = [];
		for (let i = 0; i < text.length; i += size) pieces.push(text.slice(i, i + size));
		const got = [];
		for await (const line of lines(each(pieces))) got.push(line);
		assert.deepEqual(got, [{ path: "/a", body: "café\n" }, { path: "/b" }, { pages: 2 }]);
	}
});

test("pages are put in, those unchanged are stamped anew, those that are no more go", async () => {
	const { pages, cache } = shelf();
	assert.equal(await fill(each([page("/a", { body: "A" }), page("/b", { body: "B" }), { pages: 2 }]), cache), true);
	assert.equal(await fill(each([page("/a", { seq: "9", made: "2026-11-25T10:00:00Z" }), page("/c", { body: "C" }),
		{ pages: 2 }]), cache), true);
	assert.deepEqual([...pages.keys()], ["/a", "/c"]);
	const a = pages.get("/a");
	assert.deepEqual([await a?.clone().text(), a?.headers.get("Seq"), a?.headers.get("Made")],
		["A", "9", "2026-11-25T10:00:00Z"]);
});

test("an answer that is cut short throws nothing away", async () => {
	const { pages, cache } = shelf();
	await fill(each([page("/a", { body: "A" }), page("/b", { body: "B" }), { pages: 2 }]), cache);
	assert.equal(await fill(each([page("/a", { body: "A2" })]), cache), false);
	assert.deepEqual([...pages.keys()], ["/a", "/b"]);
	assert.equal(await pages.get("/a")?.clone().text(), "A2");
});

test("a page that is said to be here and is not is left for the next time", async () => {
	const { pages, cache } = shelf();
	assert.equal(await fill(each([page("/a", {}), { pages: 1 }]), cache), true);
	assert.equal(pages.size, 0);
});
