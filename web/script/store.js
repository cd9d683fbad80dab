// What outlives a closed tab and a flat battery: the outbox in IndexedDB.

/** @typedef {import("./queue.js").Act} Act */

const NAME = "lathmark", OUTBOX = "outbox";

/**
 * The steps from one version of the store to the next. A step that a phone has
 * taken is not edited; acts that wait there live through it.
 * @type {((db: IDBDatabase) => void)[]}
 */
const STEPS = [
	db => db.createObjectStore(OUTBOX, { keyPath: "n", autoIncrement: true }),
];

/** Brings a store from a version to the newest. @param {IDBDatabase} db @param {number} from */
export function upgrade(db, from, steps = STEPS) {
	for (const step of steps.slice(from)) step(db);
}

/** The store of this phone. Every call rejects where it cannot be opened or is full. */
export class Store {
	/** @type {Promise<IDBDatabase> | undefined} */
	#db;

	/** Resolves when the store can be used. */
	async ready() {
		await this.#open();
	}

	#open() {
		return this.#db ??= open(() => (this.#db = undefined)).catch(fault => {
			this.#db = undefined;
			throw fault;
		});
	}

	/**
	 * Runs work in one transaction and resolves once it is on the disk, not
	 * merely handed to the system.
	 * @template T
	 * @param {IDBTransactionMode} mode
	 * @param {(box: IDBObjectStore) => IDBRequest<T> | void} work
	 * @returns {Promise<T>}
	 */
	async #run(mode, work) {
		const db = await this.#open();
		return new Promise((resolve, reject) => {
			const tx = db.transaction(OUTBOX, mode, { durability: "strict" });
			const asked = work(tx.objectStore(OUTBOX));
			tx.oncomplete = () => resolve(/** @type {T} */ (asked?.result));
			tx.onabort = tx.onerror = () => reject(tx.error ?? new Error("not kept"));
		});
	}

	/** @param {Omit<Act, "n">} act @returns {Promise<number>} */
	async add(act) {
		return Number(await this.#run("readwrite", box => box.add(act)));
	}

	/** @returns {Promise<Act[]>} */
	all() {
		return this.#run("readonly", box => box.getAll());
	}

	/** @param {Act[]} acts @returns {Promise<void>} */
	async put(acts) {
		if (acts.length) await this.#run("readwrite", box => acts.forEach(a => box.put(a)));
	}

	/** @param {number[]} ns @returns {Promise<void>} */
	async remove(ns) {
		if (ns.length) await this.#run("readwrite", box => ns.forEach(n => box.delete(n)));
	}
}

/** @param {() => void} lost called when the store closes by itself @returns {Promise<IDBDatabase>} */
function open(lost) {
	return new Promise((resolve, reject) => {
		const asked = indexedDB.open(NAME, STEPS.length);
		asked.onupgradeneeded = e => upgrade(asked.result, e.oldVersion);
		asked.onblocked = () => reject(new Error("another page holds an older store"));
		asked.onerror = () => reject(asked.error);
		asked.onsuccess = () => {
			const db = asked.result;
			// Another tab brings a newer store: do not stand in its way.
			db.onversionchange = () => { db.close(); lost(); };
			db.onclose = lost;
			resolve(db);
		};
	});
}
