// The outbox: what was done on this phone, kept in order until the server has
// answered for it. Nothing here knows of pages; store, network, lock and clock
// are given to it.

/**
 * @typedef {object} Act one thing done on site
 * @property {number} n place in the outbox, given by the store
 * @property {string} id UUID of version 7, made here; the server writes nothing twice under it
 * @property {string} member id of the person who did it
 * @property {string} memberName
 * @property {string} made when, by this phone's clock, RFC 3339 in UTC
 * @property {string} kind "measure", "see-tails", ... "photo"
 * @property {string} room
 * @property {string} roomName
 * @property {string} at address that the form posts to
 * @property {string} page address of the page that the form stood on
 * @property {number} copy number of the last diary entry that the page knew of
 * @property {Record<string, string[]>} form what was filled in, by field
 * @property {Blob} [photo]
 * @property {string} says the act in words, for lists
 * @property {"waiting" | "refused" | "both" | "sent"} state sent: kept until the copies show it
 * @property {string} [reason] why refused, or what the other one did
 * @property {string} [mine] for a choice
 * @property {string} [theirs]
 * @property {Field[]} [fields] what to mend, where it is about what was filled in
 * @property {string} [go] page to look at next
 */
/** @typedef {{path: string, wrong: string, mend: string}} Field */
/**
 * @typedef {{id: string, answer: string, says?: string, mine?: string, theirs?: string,
 * fields?: Field[], go?: string}} Answer
 */
/**
 * @typedef {object} Store
 * @property {(act: Omit<Act, "n">) => Promise<number>} add resolves once it is on the disk
 * @property {() => Promise<Act[]>} all in the order they were added
 * @property {(acts: Act[]) => Promise<void>} put
 * @property {(ns: number[]) => Promise<void>} remove
 */
/**
 * @typedef {object} Means
 * @property {string} member who is signed in; "" for nobody
 * @property {(at: string, init: RequestInit) => Promise<Response>} fetch
 * @property {<T>(work: () => Promise<T>) => Promise<T>} lock runs one work at a time on this phone
 * @property {(ms: number, work: () => void) => () => void} after runs work later, unless called off
 */
/** @typedef {"clear" | "no-signal" | "signed-out" | "other-person"} Line how sending went; clear: nothing waits */

/** The most that one request may bring. */
const BATCH = 50;
/** The first pause after a failure, and the longest, in ms. */
const PAUSE = 2_000, LONGEST = 300_000;
/** How long an answer may take, in ms. A photo goes over a bad line slowly. */
const PATIENCE = 30_000, PHOTO_PATIENCE = 180_000;

/** Why an act does not take the place of another. */
export const GONE = "It was sent meanwhile.";

export class Queue {
	/** @type {Set<() => void>} */
	#listeners = new Set();
	#pause = 0;
	#callOff = () => {};
	/** How the last sending went. @type {Line} */
	line = "clear";

	/** @param {Store} store @param {Means} means */
	constructor(store, means) {
		this.store = store;
		this.means = means;
	}

	/**
	 * Keeps an act. Once this resolves it outlives a flat battery. One that is
	 * here already is not kept twice.
	 * @param {Omit<Act, "n" | "member" | "state">} act
	 * @param {string} [instead] id of an act that this one takes the place of
	 * @returns {Promise<Act>}
	 */
	async add(act, instead) {
		const before = await this.get(act.id);
		if (before) return before;
		const kept = { ...act, member: this.means.member, state: /** @type {const} */ ("waiting") };
		const keep = async () => ({ ...kept, n: await this.store.add(kept) });
		const added = instead ? await this.#unsent(instead, keep) : await keep();
		if (!added) throw new Error(GONE);
		this.tell();
		return added;
	}

	/**
	 * Does something in place of an act that was not yet sent, and takes it off the phone;
	 * nothing where it was sent meanwhile.
	 * @template T @param {string} id @param {() => Promise<T>} work @returns {Promise<T | undefined>}
	 */
	#unsent(id, work) {
		return this.means.lock(async () => {
			const act = await this.get(id);
			if (act?.state !== "waiting" && act?.state !== "refused") return undefined;
			const done = await work();
			await this.store.remove([act.n]);
			return done;
		});
	}

	/**
	 * Takes back an act that was not yet sent. @param {string} id
	 * @returns {Promise<boolean>} false where it was sent meanwhile
	 */
	async takeBack(id) {
		const done = await this.#unsent(id, async () => true);
		this.tell();
		return !!done;
	}

	/** What this person has here, of one room or of all. @param {string} [room] */
	async acts(room) {
		const all = await this.store.all();
		return all.filter(a => a.member === this.means.member && (!room || a.room === room));
	}

	/** @param {string} id @returns {Promise<Act | undefined>} */
	async get(id) {
		return (await this.acts()).find(a => a.id === id);
	}

	/** What waits here for others to come back: names and counts, no contents. */
	async others() {
		/** @type {Map<string, number>} */
		const counts = new Map();
		for (const a of await this.store.all()) {
			if (a.member !== this.means.member && a.state !== "sent")
				counts.set(a.memberName, (counts.get(a.memberName) ?? 0) + 1);
		}
		return [...counts].map(([name, count]) => ({ name, count }));
	}

	/** Takes one of this person's acts off the phone. @param {string} id */
	async remove(id) {
		await this.store.remove((await this.acts()).filter(a => a.id === id).map(a => a.n));
		this.tell();
	}

	/** Takes those off that are on record. @param {string[]} [ids] only these */
	async prune(ids) {
		const done = (await this.acts()).filter(a => a.state === "sent" && (!ids || ids.includes(a.id)));
		await this.store.remove(done.map(a => a.n));
		if (done.length) this.tell();
	}

	/** Has a refused act sent again. @param {string} id */
	async again(id) {
		const act = await this.get(id);
		if (act?.state !== "refused") return;
		await this.store.put([{ ...act, state: "waiting", reason: undefined, fields: undefined }]);
		this.tell();
		await this.send();
	}

	/**
	 * Settles a choice between this act and what somebody else did.
	 * @param {string} id
	 * @param {"mine" | "theirs" | "both"} choice
	 * @returns {Promise<boolean>} false where the server did not answer: the choice stays open
	 */
	async choose(id, choice) {
		const act = await this.get(id);
		if (!act) return false;
		const answer = await this.#ask(`/acts/${id}/choose`, {
			method: "POST", body: new URLSearchParams({ choice }), headers: { Accept: "application/json" },
		});
		if (!answer?.ok) return false;
		await this.store.put([{ ...act, state: "sent" }]);
		this.tell();
		return true;
	}

	/**
	 * Sends what waits, in order, and tries again after a growing pause where
	 * there was no answer. Two tabs do not send at once.
	 * @param {boolean} [fresh] begin with a short pause: there may be signal now
	 * @returns {Promise<Line>}
	 */
	send(fresh) {
		if (fresh) this.#pause = 0;
		this.#callOff();
		return this.means.lock(async () => {
			this.line = await this.#sendAll();
			if (this.line === "no-signal") {
				this.#pause = Math.min(Math.max(PAUSE, this.#pause * 2), LONGEST);
				this.#callOff();
				this.#callOff = this.means.after(this.#pause, () => void this.send());
			} else {
				this.#pause = 0;
			}
			this.tell();
			return this.line;
		});
	}

	/** @returns {Promise<Line>} */
	async #sendAll() {
		let most = BATCH;
		/** Ids of those over which the server broke: they wait, and are not in the way of the rest. */
		const stuck = new Set();
		for (;;) {
			const waiting = (await this.acts()).filter(a => a.state === "waiting" && !stuck.has(a.id));
			if (!waiting.length) return stuck.size ? "no-signal" : "clear";
			const batch = first(waiting, most);
			const r = await this.#ask(...request(batch, this.means.member));
			if (r?.status === 401) return "signed-out";
			if (r?.status === 403) return "other-person";
			if (batch.length > 1 && r && (isAbout(r) || r.status === 500)) {
				// It is about one of them: find out which.
				most = 1;
				continue;
			}
			if (r?.status === 500) {
				stuck.add(batch[0].id);
				continue;
			}
			const answers = r && isAbout(r) ? [{ id: batch[0].id, answer: "refused", says: await reason(r) }]
				: await answersOf(r);
			const done = batch.flatMap(act => {
				const answer = answers.find(a => a.id === act.id);
				return answer ? settled(act, answer) : [];
			});
			await this.store.put(done);
			this.tell();
			// Whatever was not answered would come round for ever.
			if (done.length < batch.length) return "no-signal";
		}
	}

	/**
	 * @param {string} at
	 * @param {RequestInit} init
	 * @returns {Promise<Response | undefined>} undefined where nobody answered
	 */
	async #ask(at, init) {
		const patience = init.body instanceof FormData ? PHOTO_PATIENCE : PATIENCE;
		try {
			return await this.means.fetch(at, {
				...init, credentials: "same-origin", redirect: "manual", signal: AbortSignal.timeout(patience),
			});
		} catch {
			return undefined;
		}
	}

	/** Has fn called after every change, whichever tab made it. @param {() => void} fn */
	changed(fn) {
		this.#listeners.add(fn);
	}

	/** Tells those who asked to hear of changes. */
	tell() {
		for (const fn of this.#listeners) fn();
	}
}

/** The next request's acts: a photo goes by itself. @param {Act[]} acts @param {number} most */
function first(acts, most) {
	if (acts[0].photo) return acts.slice(0, 1);
	const photo = acts.findIndex(a => a.photo);
	return acts.slice(0, Math.min(photo < 0 ? acts.length : photo, most));
}

/** @param {Act[]} acts @param {string} member @returns {[string, RequestInit]} */
function request(acts, member) {
	const [act] = acts;
	if (act.photo) {
		const body = new FormData();
		for (const [name, values] of Object.entries(act.form)) for (const v of values) body.append(name, v);
		body.set("id", act.id);
		body.set("member", member);
		body.set("made", act.made);
		body.set("copy", String(act.copy));
		body.set("picture", act.photo, "photo");
		return [act.at, { method: "POST", body, headers: { Accept: "application/json" } }];
	}
	const sent = acts.map(({ id, made, kind, room, at, copy, form }) => ({ id, made, kind, room, at, copy, form }));
	const body = JSON.stringify({ member, acts: sent });
	return ["/acts", { method: "POST", body, headers: { "Content-Type": "application/json",
		Accept: "application/json" } }];
}

/**
 * The answers in a response; none where it is not ours: somebody's sign-in page
 * for their own network also says 200.
 * @param {Response | undefined} r @returns {Promise<Answer[]>}
 */
async function answersOf(r) {
	if (!r?.ok || !isJSON(r)) return [];
	try {
		const body = await r.json();
		return Array.isArray(body.answers) ? body.answers : body.answer ? [body] : [];
	} catch {
		return [];
	}
}

/**
 * Whether a response speaks of what was sent, and not of how the line or the
 * server is. @param {Response} r
 */
function isAbout(r) {
	return [400, 413, 415, 422].includes(r.status) || [404, 409].includes(r.status) && isJSON(r);
}

/** @param {Response} r */
function isJSON(r) {
	return /json/.test(r.headers.get("Content-Type") ?? "");
}

/** What a problem (RFC 9457) says. @param {Response} r */
async function reason(r) {
	try {
		const problem = await r.json();
		return String(problem.detail || problem.title);
	} catch {
		return "The server could not read it. Enter it again.";
	}
}

/**
 * The act after its answer; none where the answer is no word we know.
 * @param {Act} act
 * @param {Answer} a
 * @returns {Act[]}
 */
function settled(act, a) {
	const { says: reason, mine, theirs, fields, go } = a;
	switch (a.answer) {
	case "kept": return [{ ...act, state: "sent", go, photo: undefined }];
	case "both": return [{ ...act, state: "both", reason, mine, theirs, go, photo: undefined }];
	case "refused": return [{ ...act, state: "refused", reason, fields }];
	}
	return [];
}

/**
 * Makes a maker of ids: UUIDs of version 7 (RFC 9562, section 5.7). Those that
 * one maker makes sort in that order, even within a millisecond and when the
 * clock is set back: the twelve bits after the version count up from a random
 * start (section 6.2, method 1), and a full count borrows from the future.
 * @param {() => number} clock milliseconds since 1970, whole
 * @param {(bytes: Uint8Array<ArrayBuffer>) => Uint8Array<ArrayBuffer>} chance fills bytes at random
 * @returns {() => string}
 */
export function maker(clock, chance) {
	let time = 0, count = 0;
	return () => {
		const bytes = chance(new Uint8Array(16));
		const now = clock();
		if (now > time) {
			time = now;
			// The top bit of the start is 0: at least 2048 ids fit into its millisecond.
			count = ((bytes[6] & 0x07) << 8) | bytes[7];
		} else if (count < 0xfff) {
			count++;
		} else {
			time++;
			count = 0;
		}
		for (let i = 0; i < 6; i++) bytes[i] = Math.floor(time / 2 ** (40 - 8 * i)) & 0xff;
		bytes[6] = 0x70 | (count >> 8);
		bytes[7] = count & 0xff;
		bytes[8] = 0x80 | (bytes[8] & 0x3f);
		const hex = Array.from(bytes, b => b.toString(16).padStart(2, "0")).join("");
		return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
	};
}

/** Makes the ids of what is done on this phone: the server is out of reach. */
export const newId = maker(Date.now, bytes => crypto.getRandomValues(bytes));
