// Listens for what others do, and has the page drawn anew where it changed.
// The server says which job has changed and nothing else; the page is fetched
// again with the rights of who looks at it.

import { behind, pause, query } from "./query.js";
import { redraw, trouble } from "./redraw.js";

/** Least time between two fetches of a page, ms. */
const REST = 250;

/** @type {EventSource | undefined} */
let stream;
let over = false;
let failed = 0;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let again;

/** Begins to listen, on a page that is about what can change. */
export function listen() {
	const about = document.body.dataset;
	if (!about.member || !(about.seq || about.seqs || document.querySelector("[data-live=jobs]"))) return;
	const look = () => (document.hidden ? close() : open());
	document.addEventListener("visibilitychange", look);
	addEventListener("pageshow", look);
	addEventListener("pagehide", close);
	addEventListener("online", look);
	look();
}

// A page that nobody looks at has no stream: browsers allow few, and what it
// misses it is told when it is looked at again.
function close() {
	clearTimeout(again);
	stream?.close();
	stream = undefined;
}

function open() {
	if (stream || over || !navigator.onLine) return;
	clearTimeout(again);
	stream = new EventSource("/live?" + query(document.body.dataset));
	stream.addEventListener("open", () => {
		failed = 0;
		document.documentElement.dataset.listening = "yes";
	});
	stream.addEventListener("change", (e) => {
		if (behind(document.body.dataset, JSON.parse(e.data))) fetchAnew();
	});
	stream.addEventListener("over", () => {
		over = true;
		close();
	});
	stream.addEventListener("error", () => {
		close();
		if (!document.hidden) again = setTimeout(open, pause(failed++, Math.random()));
	});
}

let fetching = false;
let more = false;
let troubled = 0;

async function fetchAnew() {
	if (fetching) {
		more = true;
		return;
	}
	fetching = true;
	let wait = REST;
	try {
		const at = new URL(location.href);
		at.searchParams.delete("done");
		// This turns no page, so the worker lets it through to the network.
		const answer = await fetch(at, { cache: "no-cache" });
		if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
		redraw(new DOMParser().parseFromString(await answer.text(), "text/html"));
		troubled = 0;
	} catch {
		// Something changed and cannot be shown: say so, and try again.
		trouble();
		more = troubled < 5;
		wait = pause(troubled++, Math.random());
	}
	setTimeout(() => {
		fetching = false;
		if (more && !document.hidden && navigator.onLine) fetchAnew();
		more = false;
	}, wait);
}
