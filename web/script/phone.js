// What the phone has to say on every page: what it holds, and how old the page is.

import * as outbox from "./outbox.js";
import { about, button, fillWith, isCopy, make } from "./page.js";
import { only, pack, since } from "./pack.js";
import * as waits from "./waits.js";
import { holds, moment } from "./words.js";

const main = document.querySelector("main");
const line = make("div", { class: "phone", role: "status" });

/** Begins to speak. */
export async function listen() {
	stand();
	// At once, so that nothing moves under a quick thumb.
	fillWith(line, kept());
	outbox.changed(() => void draw());
	document.addEventListener("lathmark:redrawn", () => {
		if (!line.isConnected) stand();
		void draw();
	});
	navigator.serviceWorker?.addEventListener("message", e => {
		// Somebody else has signed in here, or nobody is: what this page shows is not theirs.
		if (about.member && e.data?.whose !== undefined && e.data.whose !== about.member) location.reload();
		if (e.data?.newer === location.pathname) newer = true;
		void draw();
	});
	try {
		await outbox.ready();
	} catch {
		if (about.member)
			line.append(make("p", {}, "This phone cannot store anything (a private window, or no space left): " +
				"what you enter is saved only while you have signal."));
		return;
	}
	if (about.member) await only(about.member);
	await draw();
	await outbox.listen();
	await copyAll(location.pathname !== "/visits");
}

/** Puts the phone's line in its place. */
const stand = () => (main?.querySelector(".title-block") ?? main?.firstElementChild)?.after(line);

let newer = false;

/** Takes the copy along where it is wanted, and when something has just been sent. @param {boolean} lazy */
async function copyAll(lazy) {
	const sent = (await outbox.acts()).filter(a => a.state === "sent").map(a => a.id);
	const wanted = sent.length || ["/visits", "/tasks", "/"].includes(location.pathname);
	if (!about.member || !wanted || isCopy && !sent.length) return;
	if (await pack(about.member, lazy && !sent.length)) await outbox.queue.prune(sent);
	await draw();
}

/** Says since when the page is a copy. */
const kept = () => isCopy ? [make("p", {},
	`Stored on this phone, as it was at ${moment(new Date(about.copy ?? ""), new Date(), about.zone)}.`)] : [];

/** Draws all that the phone says on this page. */
async function draw() {
	const acts = await outbox.acts(), others = await outbox.queue.others();
	const says = holds(acts, others, { line: outbox.queue.line, name: about.memberName ?? "" });
	const parts = kept();
	if (newer) parts.push(make("p", {}, "There is a newer version. ", make("a", { href: location.href }, "Show it")));
	if (says) parts.push(held(says, acts));
	const rest = await waits.draw();
	fillWith(line, rest ? [...parts, rest] : parts);
	await visits(acts);
}

/** @param {string} says @param {import("./queue.js").Act[]} acts */
function held(says, acts) {
	const p = make("p", {}, make("b", {}, says), " ");
	if (outbox.queue.line === "signed-out") p.append(make("a", { href: "/sign-in" }, "Sign in"));
	else if (acts.some(a => a.state === "waiting")) p.append(button("Send now", () => void outbox.send(true)));
	if (acts.some(a => a.state !== "sent") && location.pathname !== "/visits")
		p.append(" ", make("a", { href: "/visits" }, "See them"));
	return p;
}

/** The phone's part of the page of visits. @param {import("./queue.js").Act[]} acts */
async function visits(acts) {
	for (const e of document.querySelectorAll("[data-kept]")) {
		const made = await since(e.getAttribute("data-kept") ?? "");
		e.textContent = made ? "as of " + moment(made, new Date(), about.zone) : "not yet";
	}
	const box = document.querySelector("[data-outbox]");
	if (!box) return;
	const list = make("ul", { class: "choices" });
	for (const act of acts.filter(a => a.state !== "sent")) {
		list.append(make("li", { id: act.id }, make("small", {},
			`${act.roomName}, ${moment(new Date(act.made), new Date(), about.zone)}: `), ...waits.line(act)));
	}
	fillWith(box, list.childElementCount ? [make("h2", {}, "On this phone, not yet sent"), list]
		: [make("p", {}, "Nothing is waiting on this phone: everything you entered is saved.")]);
}
