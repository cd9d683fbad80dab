/// <reference lib="webworker" />
// Stands between the pages and the network. The server puts what it has to know
// before the first line, as APP: {Files, Stamp, Policy, Page, NotHere, NeedsNet}.

/** @type {{Files: string[], Stamp: string, Policy: string, Page: string, NotHere: string[], NeedsNet: string[]}} */
const app = /** @type {any} */ (self).APP;
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** Caches: the app's own files, one for each version; the copy, named after whose it is. */
const FILES = "files ", COPY = "copy ";
/** How long the network has to answer, in ms, before the copy is shown. Slow signal counts as none. */
const PATIENCE = 1_000;
/** The same for a page that shows what the server has just taken: it answers, so there is signal. */
const LONG_PATIENCE = 20_000;

worker.addEventListener("install", e => e.waitUntil(install()));
worker.addEventListener("activate", e => e.waitUntil(activate()));
worker.addEventListener("message", e => {
	if (e.data === "copied") e.waitUntil(tidy());
	if (e.data === "take over") e.waitUntil(worker.clients.claim());
});
worker.addEventListener("fetch", e => {
	const { request } = e, url = new URL(request.url);
	if (url.origin !== location.origin) return;
	if (request.mode === "navigate") e.respondWith(request.method === "GET" ? page(e, url) : form(request, url));
	else if (request.method !== "GET") return;
	else if (url.pathname.startsWith("/static/")) e.respondWith(file(request));
	else if (url.pathname.endsWith("/sums.json")) e.respondWith(page(e, url));
});

async function install() {
	const files = await caches.open(FILES + app.Stamp);
	await files.addAll(app.Files);
	// The pages that are open go on with the files they have; nothing is typed away.
	await worker.skipWaiting();
}

async function activate() {
	await worker.clients.claim();
	// Copies were drawn for the files of their time, which they need until they
	// are drawn anew.
	if (!await copyName()) await tidy();
}

/** Throws away the files of other versions. */
async function tidy() {
	for (const name of await caches.keys()) {
		if (name.startsWith(FILES) && name !== FILES + app.Stamp) await caches.delete(name);
	}
}

async function copyName() {
	return (await caches.keys()).find(name => name.startsWith(COPY));
}

/** A file of ours: its address holds a hash, so what is kept is right. @param {Request} request */
async function file(request) {
	return await caches.match(request) ?? fetch(request);
}

/**
 * A page: from the network if that answers in time, else from the copy.
 * @param {FetchEvent} e @param {URL} url
 */
async function page(e, url) {
	const name = await copyName();
	const copy = name && await (await caches.open(name)).match(url.pathname);
	const network = fetch(e.request);
	if (!name || !copy) return network.catch(() => instead(app.NotHere));
	const fresh = network.then(r => keep(name, url, r), () => undefined);
	e.waitUntil(fresh);
	const patience = /[?&](done|last)=/.test(url.search) ? LONG_PATIENCE : PATIENCE;
	const late = new Promise(resolve => setTimeout(resolve, navigator.onLine ? patience : 0));
	const answer = /** @type {Response | undefined} */ (await Promise.race([fresh, late]));
	// A gateway that cannot reach the server is no answer of the server's.
	if (answer && ![502, 503, 504].includes(answer.status)) return answer;
	if (!answer) e.waitUntil(fresh.then(async r => { if (r?.ok) await tell(e.resultingClientId, url); }));
	return shown(copy);
}

/**
 * Tells a page that was drawn from the copy that the network has brought a newer one.
 * @param {string} id
 * @param {URL} url
 */
async function tell(id, url) {
	(await worker.clients.get(id))?.postMessage({ newer: url.pathname });
}

/** What was typed into a form that cannot wait here. @param {Request} request @param {URL} url */
async function form(request, url) {
	try {
		const answer = await fetch(request);
		// Somebody signs in or out: what the one before could see is not the next one's.
		if (/^\/(sign-in|sign-out|in\/)/.test(url.pathname)) await forget();
		return answer;
	} catch {
		return instead(app.NeedsNet);
	}
}

async function forget() {
	for (let name = await copyName(); name; name = await copyName()) await caches.delete(name);
}

/**
 * Puts a page that came from the network in place of its copy.
 * @param {string} name
 * @param {URL} url
 * @param {Response} r
 */
async function keep(name, url, r) {
	if (!r.ok || r.redirected || url.search || !/^text\/html/.test(r.headers.get("Content-Type") ?? "")) return r;
	const text = await r.clone().text();
	// Whoever is signed in now may not be the one whose copy it is.
	if (said(text, "member") === name.slice(COPY.length) && await caches.has(name)) {
		const headers = { "Content-Type": "text/html; charset=UTF-8", Seq: said(text, "seq"), Made: said(text, "made") };
		await (await caches.open(name)).put(url.pathname, new Response(text, { headers }));
	}
	return r;
}

/** What a page's body element says of itself. @param {string} page @param {string} name */
function said(page, name) {
	return new RegExp(`<body[^>]* data-${name}="([^"]*)"`).exec(page)?.[1] ?? "";
}

/** A page of the copy, which says that it is one. @param {Response} copy */
async function shown(copy) {
	const type = copy.headers.get("Content-Type") ?? "";
	if (!type.startsWith("text/html")) return copy;
	const made = copy.headers.get("Made") ?? "", seq = copy.headers.get("Seq") ?? "";
	const text = (await copy.text())
		.replace(/(<body[^>]*) data-seq="\d*"/, `$1 data-seq="${seq}"`)
		.replace(/(<body[^>]*) data-made="[^"]*"/, `$1 data-made="${made}"`)
		.replace("<body", `<body data-copy="${made}"`);
	return drawn(text, 200);
}

/** The page that says why there is none. @param {string[]} words */
function instead(words) {
	return drawn(app.Page.replace(/\{(\d)\}/g, (_, n) => words[n]), 503);
}

/** @param {string} text @param {number} status */
function drawn(text, status) {
	return new Response(text, { status, headers: { "Content-Type": "text/html; charset=UTF-8",
		"Content-Security-Policy": app.Policy } });
}
