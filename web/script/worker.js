/// <reference lib="webworker" />
// Stands between the pages and the network. The server puts what it has to know
// before the first line, as APP: {Files, Stamp, Policy, Page, NotHere, NeedsNet}.

/** @type {{Files: string[], Stamp: string, Policy: string, Page: string, NotHere: string[], NeedsNet: string[]}} */
const app = /** @type {any} */ (self).APP;
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** Caches: the app's own files, one for each version; the copy, named after whose it is. */
const FILES = "files ", COPY = "copy ";
/** Stands in a copy while it is not known whether its person is still the one who is signed in. */
const DOUBT = "/doubt";
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
	if (request.mode === "navigate") e.respondWith(request.method === "GET" ? page(e, url) : form(request));
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
	const name = await copyName(), cache = name && await caches.open(name);
	const copy = cache && !await cache.match(DOUBT) && await cache.match(url.pathname);
	const network = fetch(e.request);
	if (!name) return network.catch(() => instead(app.NotHere));
	const fresh = network.then(r => keep(name, url, r), () => undefined);
	e.waitUntil(fresh);
	if (!copy) return await fresh ?? instead(app.NotHere);
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

/** What was typed into a form that cannot wait here. @param {Request} request */
async function form(request) {
	try {
		const answer = await fetch(request);
		await doubt();
		return answer;
	} catch {
		return instead(app.NeedsNet);
	}
}

/**
 * Whatever was posted, and wherever it led, somebody else may be signed in since. Nothing of
 * the copy is shown until a page from the network says whose it is.
 */
async function doubt() {
	const name = await copyName();
	if (name) await (await caches.open(name)).put(DOUBT, new Response());
}

async function forget() {
	for (let name = await copyName(); name; name = await copyName()) await caches.delete(name);
}

/**
 * Puts a page that came from the network in place of its copy. Where it is another's, or
 * nobody's, the copy is thrown away, and the pages of its person that are open are drawn anew.
 * @param {string} name
 * @param {URL} url
 * @param {Response} r
 */
async function keep(name, url, r) {
	// It leads on, perhaps from where somebody has just signed in.
	if (r.type === "opaqueredirect") await doubt();
	if (!r.ok || !/^text\/html/.test(r.headers.get("Content-Type") ?? "")) return r;
	const text = await r.clone().text(), member = said(text, "member");
	if (member === undefined) return r;
	if (member !== name.slice(COPY.length)) {
		await forget();
		for (const page of await worker.clients.matchAll()) page.postMessage({ whose: member });
	} else if (await caches.has(name)) {
		const cache = await caches.open(name);
		await cache.delete(DOUBT);
		if (url.search) return r;
		const headers = { "Content-Type": "text/html; charset=UTF-8", Seq: said(text, "seq") ?? "",
			Made: said(text, "made") ?? "" };
		await cache.put(url.pathname, new Response(text, { headers }));
	}
	return r;
}

/** What a page's body element says of itself; undefined: nothing. @param {string} page @param {string} name */
function said(page, name) {
	return new RegExp(`<body[^>]* data-${name}="([^"]*)"`).exec(page)?.[1];
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
