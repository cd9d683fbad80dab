import assert from "node:assert/strict";
import { test } from "node:test";
import { Queue } from "./queue.js";

/** @typedef {import("./queue.js").Act} Act */
/** @typedef {import("./queue.js").Answer} Answer */

/** A store that forgets with the process. */
function memory() {
	/** @type {Act[]} */
	let acts = [];
	let n = 0;
	return {
		/** @param {Omit<Act, "n">} act */
		add: async act => (acts.push({ ...act, n: ++n }), n),
		all: async () => acts.map(a => ({ ...a })),
		/** @param {Act[]} some */
		put: async some => { acts = acts.map(a => some.find(s => s.n === a.n) ?? a); },
		/** @param {number[]} ns */
		remove: async ns => { acts = acts.filter(a => !ns.includes(a.n)); },
	};
}

/** A server that keeps what it is sent; its answer can be lost on the way. */
class Server {
	/** @type {string[]} */ kept = [];
	/** @type {any[]} */ asked = [];
	/** What happens to the requests to come, one word each; then all is well. @type {string[]} */
	weather = [];
	/** Answers by id of the act, in place of "kept". @type {Record<string, Partial<Answer>>} */
	answers = {};
	member = "kit";

	/** @param {string} at @param {RequestInit} init @returns {Promise<Response>} */
	async fetch(at, init) {
		const now = this.weather.shift() ?? "fine";
		if (now === "no signal") throw new TypeError("Failed to fetch");
		if (/^\d+$/.test(now))
			return new Response("{}", { status: Number(now), headers: { "Content-Type": "application/problem+json" } });
		if (now === "portal")
			return new Response("<html>Sign in to the guests' network</html>", { headers: { "Content-Type": "text/html" } });
		const photo = init.body instanceof FormData;
		const body = init.body instanceof FormData ? Object.fromEntries(init.body) : JSON.parse(String(init.body));
		this.asked.push({ at, body });
		if (body.member !== this.member) return new Response("{}", { status: 403 });
		const acts = photo ? [body] : body.acts;
		const answers = acts.map((/** @type {Act} */ a) => {
			const answer = { id: a.id, answer: "kept", ...this.answers[a.id] };
			if (answer.answer !== "refused" && !this.kept.includes(a.id)) this.kept.push(a.id);
			return answer;
		});
		if (now === "answer lost") throw new TypeError("Failed to fetch");
		return Response.json ? Response.json(photo ? answers[0] : { answers }) :
			new Response(JSON.stringify(photo ? answers[0] : { answers }), { headers: { "Content-Type": "application/json" } });
	}
}

/** A queue with all it needs, and a clock that is moved by hand. */
function phone(member = "kit", store = memory(), server = new Server()) {
	/** @type {{ms: number, work: () => void}[]} */
	const later = [];
	let running = 0, most = 0;
	let lock = Promise.resolve();
	const queue = new Queue(store, {
		member,
		fetch: (at, init) => server.fetch(at, init),
		lock: work => {
			const mine = lock.then(async () => {
				most = Math.max(most, ++running);
				try { return await work(); } finally { running--; }
			});
			lock = mine.then(() => {}, () => {});
			return mine;
		},
		after: (ms, work) => {
			const timer = { ms, work };
			later.push(timer);
			return () => later.splice(later.indexOf(timer) >>> 0, 1);
		},
	});
	return { queue, store, server, later, mostAtOnce: () => most };
}

/** @param {string} id @param {Partial<Act>} [more] */
const act = (id, more) => ({
	id, memberName: "Kit Moss", made: "2026-11-25T09:00:00Z", kind: "snag", room: "r1", roomName: "Utility",
	at: "/rooms/r1/snags", page: "/rooms/r1/snags", copy: 7, form: { what: [id] }, says: id, ...more,
});

const ids = (/** @type {Act[]} */ acts) => acts.map(a => a.id);

test("what was done goes out in the order it was done, fifty at a time, and once", async () => {
	const { queue, server } = phone();
	const all = Array.from({ length: 120 }, (_, i) => `a${i}`);
	for (const id of all) await queue.add(act(id));
	assert.equal(await queue.send(), "clear");
	assert.deepEqual(server.kept, all);
	assert.deepEqual(server.asked.map(r => r.body.acts.length), [50, 50, 20]);
	assert.deepEqual(Object.keys(server.asked[0].body.acts[0]), ["id", "made", "kind", "room", "at", "copy", "form"]);
	await queue.send();
	assert.equal(server.asked.length, 3);
});

test("a photo goes by itself, in its turn, as a form with a file", async () => {
	const { queue, server } = phone();
	await queue.add(act("a"));
	await queue.add(act("b", { kind: "photo", at: "/rooms/r1/photos", form: { on: ["position/p1"], says: ["tail"] },
		photo: new Blob(["jpeg"]) }));
	await queue.add(act("c"));
	await queue.send();
	assert.deepEqual(server.kept, ["a", "b", "c"]);
	assert.deepEqual(server.asked.map(r => r.at), ["/acts", "/rooms/r1/photos", "/acts"]);
	const { picture, ...fields } = server.asked[1].body;
	assert.deepEqual(fields, { on: "position/p1", says: "tail", id: "b", member: "kit", made: "2026-11-25T09:00:00Z",
		copy: "7" });
	assert.equal(await picture.text(), "jpeg");
	assert.equal((await queue.get("b"))?.photo, undefined, "the photo still takes room here");
});

test("a refusal stays with its reason and does not stop what comes after", async () => {
	const { queue, server } = phone();
	const fields = [{ path: "value", wrong: "no figure", mend: "Give it in digits" }];
	server.answers = { b: { answer: "refused", says: "First fix was signed off meanwhile.", fields } };
	for (const id of ["a", "b", "c"]) await queue.add(act(id));
	assert.equal(await queue.send(), "clear");
	assert.deepEqual(server.kept, ["a", "c"]);
	const b = await queue.get("b");
	assert.equal(b?.state, "refused");
	assert.equal(b?.reason, "First fix was signed off meanwhile.");
	assert.deepEqual(b?.fields, fields);
	await queue.send();
	assert.equal(server.asked.length, 1, "it was sent again without being asked to");
	server.answers = {};
	await queue.again("b");
	assert.deepEqual(server.kept, ["a", "c", "b"]);
	assert.equal((await queue.get("b"))?.reason, undefined);
});

test("both are shown until one is chosen; without signal the choice stays open", async () => {
	const { queue, server } = phone();
	server.answers = { a: { answer: "both", says: "Ines Quill measured it too.", mine: "1795", theirs: "1802" } };
	await queue.add(act("a"));
	await queue.send();
	const a = await queue.get("a");
	assert.deepEqual([a?.state, a?.mine, a?.theirs, a?.reason], ["both", "1795", "1802", "Ines Quill measured it too."]);
	server.weather = ["no signal"];
	assert.equal(await queue.choose("a", "mine"), false);
	assert.equal((await queue.get("a"))?.state, "both");
});

test("without signal everything waits, and the pause grows to five minutes", async () => {
	const { queue, server, later } = phone();
	await queue.add(act("a"));
	server.weather = Array(10).fill("no signal");
	assert.equal(await queue.send(), "no-signal");
	const pauses = [];
	while (server.weather.length) {
		const next = later.shift();
		assert.ok(next, "it does not try again");
		pauses.push(next.ms / 1000);
		next.work();
		await queue.means.lock(async () => {}); // until that try is over
	}
	assert.deepEqual(pauses, [2, 4, 8, 16, 32, 64, 128, 256, 300]);
	assert.equal((await queue.get("a"))?.state, "waiting");
	server.weather = ["no signal"];
	await queue.send(true);
	assert.equal(later.at(-1)?.ms, 2000, "signal may be back: begin with a short pause");
	later.at(-1)?.work();
	await queue.means.lock(async () => {});
	assert.deepEqual(server.kept, ["a"]);
	assert.equal(later.filter(l => l.ms > 2000).length, 0, "an older timer still runs");
});

test("where the answer was lost the same is sent again, and is there once", async () => {
	const { queue, server } = phone();
	for (const id of ["a", "b"]) await queue.add(act(id));
	server.weather = ["answer lost"];
	assert.equal(await queue.send(), "no-signal");
	assert.deepEqual((await queue.acts()).map(a => a.state), ["waiting", "waiting"]);
	assert.equal(await queue.send(), "clear");
	assert.deepEqual(server.kept, ["a", "b"]);
	assert.deepEqual(server.asked[0].body.acts, server.asked[1].body.acts);
});

test("somebody's own sign-in page for their network is no answer", async () => {
	const { queue, server } = phone();
	await queue.add(act("a"));
	server.weather = ["portal"];
	assert.equal(await queue.send(), "no-signal");
	assert.equal((await queue.get("a"))?.state, "waiting");
});

test("signed out meanwhile: all waits, and goes once the same person is back", async () => {
	const { queue, server } = phone();
	await queue.add(act("a"));
	server.weather = ["401"];
	assert.equal(await queue.send(), "signed-out");
	assert.equal((await queue.get("a"))?.state, "waiting");
	assert.equal(await queue.send(), "clear");
});

test("another person on the same phone sends nothing of it and sees only how much waits", async () => {
	const store = memory(), server = new Server();
	const kit = phone("kit", store, server);
	for (const id of ["a", "b"]) await kit.queue.add(act(id));
	server.member = "ann";
	const ann = phone("ann", store, server);
	await ann.queue.add(act("c", { memberName: "Ann Orr" }));
	assert.deepEqual(ids(await ann.queue.acts()), ["c"]);
	assert.deepEqual(await ann.queue.others(), [{ name: "Kit Moss", count: 2 }]);
	assert.equal(await ann.queue.get("a"), undefined);
	await ann.queue.remove("a");
	await ann.queue.prune();
	await ann.queue.send();
	assert.deepEqual(server.kept, ["c"]);
	assert.deepEqual(ids(await kit.queue.acts()), ["a", "b"]);
	assert.equal(await kit.queue.send(), "other-person", "the session is Ann's now");
	assert.deepEqual((await kit.queue.acts()).map(a => a.state), ["waiting", "waiting"]);
	const nobody = phone("", store, server);
	assert.equal(await nobody.queue.send(), "clear");
	assert.deepEqual((await nobody.queue.others()).map(o => o.count), [2], "what is on record waits for nobody");
});

test("two tabs do not send at once", async () => {
	const one = phone();
	for (const id of ["a", "b", "c"]) await one.queue.add(act(id));
	await Promise.all([one.queue.send(), one.queue.send(), one.queue.send()]);
	assert.equal(one.mostAtOnce(), 1);
	assert.equal(one.server.asked.length, 1);
});

test("an act that the server cannot read is found among the rest and refused", async () => {
	const { queue, server } = phone();
	for (const id of ["a", "b", "c"]) await queue.add(act(id));
	server.weather = ["400", "fine", "400", "fine"];
	assert.equal(await queue.send(), "clear");
	assert.deepEqual(server.kept, ["a", "c"]);
	assert.equal((await queue.get("b"))?.state, "refused");
});

test("an act that the server breaks over waits and is not in the way of the rest", async () => {
	const { queue, server } = phone();
	for (const id of ["a", "b", "c"]) await queue.add(act(id));
	server.weather = ["500", "500"];
	assert.equal(await queue.send(), "no-signal");
	assert.deepEqual(server.kept, ["b", "c"]);
	assert.equal(await queue.send(), "clear");
	assert.deepEqual(server.kept, ["b", "c", "a"]);
});

test("what is on record leaves the phone when the copies show it", async () => {
	const { queue } = phone();
	for (const id of ["a", "b"]) await queue.add(act(id));
	await queue.send();
	assert.deepEqual((await queue.acts()).map(a => a.state), ["sent", "sent"]);
	await queue.add(act("c"));
	await queue.prune(["a"]);
	assert.deepEqual(ids(await queue.acts()), ["b", "c"]);
	await queue.prune();
	assert.deepEqual(ids(await queue.acts()), ["c"]);
});

test("a mended act takes the place of the refused one; whoever listens hears of it", async () => {
	const { queue, server } = phone();
	server.answers = { a: { answer: "refused", says: "no figure" } };
	await queue.add(act("a"));
	await queue.send();
	let heard = 0;
	queue.changed(() => heard++);
	await queue.add(act("b"), "a");
	assert.deepEqual(ids(await queue.acts()), ["b"]);
	assert.ok(heard > 0);
	await queue.send();
	assert.deepEqual(server.kept, ["b"]);
});

test("an act that is here already is not kept twice", async () => {
	const { queue } = phone();
	await queue.add(act("a"));
	await queue.add(act("a", { says: "again" }));
	assert.deepEqual((await queue.acts()).map(a => a.says), ["a"]);
});

test("acts of one room", async () => {
	const { queue } = phone();
	await queue.add(act("a"));
	await queue.add(act("b", { room: "r2" }));
	assert.deepEqual(ids(await queue.acts("r2")), ["b"]);
});

test("an act can be taken back until it is sent, and none takes the place of one that was sent", async () => {
	const { queue, server } = phone();
	server.weather = ["no signal"];
	await queue.add(act("a"));
	await queue.send();
	assert.equal(await queue.takeBack("a"), true);
	assert.deepEqual(await queue.acts(), []);
	await queue.add(act("b"));
	await queue.send();
	assert.equal(await queue.takeBack("b"), false);
	await assert.rejects(queue.add(act("c"), "b"), /sent meanwhile/);
	assert.deepEqual([server.kept, (await queue.acts()).map(a => a.id)], [["b"], ["b"]]);
});
