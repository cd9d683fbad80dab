// The sums of a room on the phone: the server's own adjustment, as WebAssembly,
// with what is not yet sent. Loaded when it is first asked.

/**
 * @typedef {{value: number, says: string}} Mark an offset in mm, and from where: "from south wall, skimmed"
 * @typedef {object} Verdict what a reading gave
 * @property {string} position its name: "D4"
 * @property {string} reading "628 from south wall, bare, by tape."
 * @property {boolean} placed it has a place; from, plusMinus and checked count only then
 * @property {Mark[]} [from] the place, from today's two faces
 * @property {number} [plusMinus] mm, 19 times in 20
 * @property {boolean} [checked] a misread tape would have shown
 * @property {string} [check] from how many mm on, or that none would
 * @property {string} [owed] what the position still needs
 * @property {string} [question] asks about a reading far from what the rest says; it stands all the same
 * @property {string} [doubt] why the reading takes no part
 */
/**
 * @typedef {{position: string, name: string, marks: Mark[], plusMinus: number, checked: boolean, first: boolean,
 * says: {grade: string, says: string}[], mayCut: boolean}} Hole position: its id; says: the worst first
 */
/**
 * @typedef {object} Answer
 * @property {Verdict} [verdict] on the last act; none where it was no reading, or was not taken
 * @property {{path: string, wrong: string, mend: string}[]} [wrong] what has to be mended for it to be taken
 * @property {Hole[]} holes still to open, in order, by all that is known now
 * @property {object} setout the room's set-out, as the server sends it
 */
/**
 * @typedef {{id: string, made: string, kind: string, at: string, form: Record<string, string[]>}} Act as in the outbox
 */
/**
 * @typedef {{memory: WebAssembly.Memory, _initialize: () => void, take: (n: number) => number, work: () => number,
 * answer: () => number}} Exports
 */

/** The cache that the module is kept in, and the most that a run may hold, in bytes. */
const CACHE = "sums", MOST = 64 << 20;

/** A module that is run when there is something to work out, and run anew where a run has ended. */
export class Sums {
	/** @type {Promise<WebAssembly.Module> | undefined} */
	#module;
	/** @type {Exports | undefined} */
	#run;

	/**
	 * @param {() => Promise<WebAssembly.Module>} load
	 * @param {number} [most] bytes that a run may hold after its answer
	 */
	constructor(load, most = MOST) {
		this.load = load;
		this.most = most;
	}

	/**
	 * Answers what is asked, both as JSON. It throws the reason where there is no answer.
	 * @param {string} asked
	 */
	async work(asked) {
		this.#module ??= this.load();
		const module = await this.#module.catch(why => {
			// There may be signal the next time.
			this.#module = undefined;
			throw why;
		});
		const run = this.#run ??= await start(module);
		let length, text;
		try {
			const bytes = new TextEncoder().encode(asked);
			// Which may move the memory.
			const at = run.take(bytes.length);
			new Uint8Array(run.memory.buffer, at, bytes.length).set(bytes);
			length = run.work();
			text = new TextDecoder().decode(new Uint8Array(run.memory.buffer, run.answer(), Math.abs(length)));
		} catch (why) {
			this.#run = undefined;
			throw why;
		}
		if (run.memory.buffer.byteLength > this.most) this.#run = undefined;
		if (length < 0) throw new Error(text);
		return text;
	}
}

/** @param {WebAssembly.Module} module */
async function start(module) {
	/** @type {{memory?: WebAssembly.Memory}} */
	const at = {};
	/** @type {Record<string, Function>} */
	const asks = host(at);
	// Files, of which there are none.
	for (const { name } of WebAssembly.Module.imports(module)) asks[name] ??= () => BAD;
	const instance = await WebAssembly.instantiate(module, { wasi_snapshot_preview1: /** @type {any} */ (asks) });
	const run = /** @type {Exports} */ (/** @type {unknown} */ (instance.exports));
	at.memory = run.memory;
	run._initialize();
	return run;
}

/** WASI's word for a file that is not open. */
const BAD = 8;

/**
 * What the module asks of the system it runs on (WASI, preview 1): a clock,
 * chance, and somewhere to say why it ends.
 * @param {{memory?: WebAssembly.Memory}} at
 */
function host(at) {
	const view = () => new DataView(/** @type {WebAssembly.Memory} */ (at.memory).buffer);
	/** @type {(a: number, b: number) => number} */
	const none = (a, b) => {
		view().setUint32(a, 0, true);
		view().setUint32(b, 0, true);
		return 0;
	};
	const said = new TextDecoder();
	let last = "";
	return {
		sched_yield: () => 0,
		/** @param {number} code */
		proc_exit: code => {
			throw new Error(`the sums ended with ${code}: ${last}`);
		},
		args_get: () => 0,
		args_sizes_get: none,
		environ_get: () => 0,
		environ_sizes_get: none,
		/** @param {number} clock @param {bigint} _ @param {number} to */
		clock_time_get: (clock, _, to) => {
			const ms = clock ? performance.now() : Date.now();
			view().setBigUint64(to, BigInt(Math.round(ms * 1e6)), true);
			return 0;
		},
		/** @param {number} from @param {number} n */
		random_get: (from, n) => {
			for (let k = 0; k < n; k += 65536)
				crypto.getRandomValues(new Uint8Array(view().buffer, from + k, Math.min(65536, n - k)));
			return 0;
		},
		/**
		 * Nothing is waited for: every sleep is over.
		 * @type {(from: number, to: number, n: number, count: number) => number}
		 */
		poll_oneoff: (from, to, n, count) => {
			for (let k = 0; k < n; k++) {
				new Uint8Array(view().buffer, to + 32 * k, 32).fill(0);
				view().setBigUint64(to + 32 * k, view().getBigUint64(from + 48 * k, true), true);
			}
			view().setUint32(count, n, true);
			return 0;
		},
		/** What it has to say before it ends. @type {(fd: number, list: number, n: number, count: number) => number} */
		fd_write: (fd, list, n, count) => {
			let sum = 0;
			for (let k = 0; k < n; k++) {
				const from = view().getUint32(list + 8 * k, true), length = view().getUint32(list + 8 * k + 4, true);
				last = (last + said.decode(new Uint8Array(view().buffer, from, length))).slice(-500);
				sum += length;
			}
			view().setUint32(count, sum, true);
			return 0;
		},
	};
}

/** Where the module is; "" where this server has none. */
const address = () => document.querySelector("meta[name=sums]")?.getAttribute("content") ?? "";

/** @type {Sums | undefined} */
let here;

/**
 * What a room gives with acts that are not yet sent, those sent meanwhile
 * counted once.
 * @param {string} room id
 * @param {Act[]} acts in order
 * @returns {Promise<Answer | undefined>} undefined where the sums come with signal
 */
export async function sums(room, acts) {
	if (!address()) return undefined;
	here ??= new Sums(async () => WebAssembly.compileStreaming(fetch(address())));
	try {
		const kept = await fetch(`/rooms/${room}/sums.json`, { credentials: "same-origin" });
		if (!kept.ok) return undefined;
		const done = acts.map(({ id, made, kind, at, form }) => ({ id, made, kind, at, form }));
		return JSON.parse(await here.work(`{"room":${await kept.text()},"acts":${JSON.stringify(done)}}`));
	} catch {
		// No signal and not kept, or another make.
		return undefined;
	}
}

/**
 * What an act gives, on top of those before it.
 * @param {string} room id
 * @param {Act[]} acts that are not yet sent, in order
 * @param {Act} act the one that is looked at; it may be among them
 */
export function verdict(room, acts, act) {
	return sums(room, [...acts.filter(a => a.id !== act.id), act]);
}

/** Keeps the module on the phone, so that the sums are there without signal. */
export async function keep() {
	const at = address();
	if (!at || !("caches" in globalThis)) return;
	const cache = await caches.open(CACHE);
	if (await cache.match(at)) return;
	await cache.add(at);
	for (const old of await cache.keys()) {
		if (new URL(old.url).pathname !== at) await cache.delete(old);
	}
}
