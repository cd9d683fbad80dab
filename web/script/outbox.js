// The outbox of the person whose page this is.

import { Queue } from "./queue.js";
import { Store } from "./store.js";

const store = new Store();
const about = document.body.dataset;
/** @type {BroadcastChannel | undefined} */
let channel;

// A page that was left and would hear of changes is thrown away by the browser,
// with all that was typed into it: it hears nothing until somebody goes back.
function open() {
	channel = new BroadcastChannel("outbox");
	channel.onmessage = () => queue.tell();
}
addEventListener("pagehide", () => {
	channel?.close();
	channel = undefined;
});
addEventListener("pageshow", e => {
	if (!e.persisted) return;
	open();
	queue.tell();
});

/** The page's own queue. */
export const queue = new Queue(store, {
	member: about.member ?? "",
	fetch: (at, init) => fetch(at, init),
	// Without locks the server alone sees to it that nothing is written twice.
	lock: work => navigator.locks ? navigator.locks.request("send", work) : work(),
	after: (ms, work) => {
		const timer = setTimeout(work, ms);
		return () => clearTimeout(timer);
	},
});

/** Resolves when the phone can keep things; rejects where it cannot. */
export const ready = () => store.ready();

/** @param {Parameters<Queue["add"]>[0]} act @param {string} [instead] */
export async function add(act, instead) {
	const kept = await queue.add(act, instead);
	channel?.postMessage("changed");
	return kept;
}

/** @param {string} [room] */
export const acts = room => queue.acts(room);

/** @param {boolean} [fresh] */
export async function send(fresh) {
	const line = await queue.send(fresh);
	channel?.postMessage("changed");
	return line;
}

/** @param {() => void} fn */
export const changed = fn => queue.changed(fn);

/** Sends now and whenever there may be signal again. */
export function listen() {
	open();
	addEventListener("online", () => void send(true));
	document.addEventListener("visibilitychange", () => {
		if (document.visibilityState === "visible") void send(true);
	});
	return send(true);
}
