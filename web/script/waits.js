// Shows what is not yet on record in the lists that it belongs to.

import * as outbox from "./outbox.js";
import { about, button, isCopy, make } from "./page.js";
import { standing } from "./words.js";

/** @typedef {import("./queue.js").Act} Act */

/** What the lines that are there say, and they themselves. */
let drawn = "";
/** @type {Element[]} */
let lines = [];
/** The lines that no list of the page is for. @type {HTMLElement} */
let rest;

/**
 * Draws the lines of the page's room, anew only where they say something else:
 * what a thumb is about to press stays under it.
 * @returns {Promise<HTMLElement | undefined>} those that no list of the page is for
 */
export async function draw() {
	if (!about.room) return;
	const acts = (await outbox.acts(about.room)).filter(a => a.state !== "sent" || isCopy);
	const says = JSON.stringify(acts);
	if (drawn !== says || lines.some(e => !e.isConnected)) {
		drawn = says;
		rest = make("ul", { class: "waits" });
		lines.forEach(e => e.remove());
		lines = acts.map(put);
	}
	return rest.childElementCount ? rest : undefined;
}

/** Puts an act's line in its place. @param {Act} act @returns {Element} */
function put(act) {
	const place = placeOf(act) ?? rest, e = row(place, act);
	place[place instanceof HTMLFormElement ? "before" : "append"](e);
	return e;
}

/**
 * Where an act belongs: an element whose data-waits names its kind and, where
 * it names more ("patch-filled /rooms/…"), the form's address; else before the
 * form on its own page.
 * @param {Act} act @returns {Element | undefined}
 */
function placeOf(act) {
	const list = (/** @type {string} */ words) => document.querySelector(`[data-waits="${CSS.escape(words)}"]`);
	return list(`${act.kind} ${act.at}`) ?? list(act.kind) ??
		[...document.forms].find(f => f.dataset.act === act.kind && new URL(f.action).pathname === act.at);
}

/** @param {Element} place @param {Act} act */
function row(place, act) {
	const said = line(act);
	switch (place.tagName) {
	case "TBODY": return make("tr", { class: "waits" }, make("td", { colspan: "9" }, ...said));
	case "TABLE": return make("tbody", { class: "waits" }, make("tr", {}, make("td", { colspan: "9" }, ...said)));
	case "UL": case "OL": return make("li", { class: "waits" }, ...said);
	}
	return make("p", { class: "waits" }, ...said);
}

/** @param {Act} act @returns {(Node | string)[]} */
export function line(act) {
	const state = make("b", { class: act.state === "refused" ? "hard" : "" }, standing(act));
	return [act.says + " ", state, ...act.state === "both" ? choice(act) : act.state === "sent" ? [] : unsent(act)];
}

/** What can be done about an act that is not on record. @param {Act} act @returns {Node[]} */
function unsent(act) {
	const box = make("span", { class: "waits-do" });
	const ask = () => box.replaceChildren(make("p", {}, `This deletes it for good: ${act.says}.`),
		button("Remove it", () => void outbox.queue.takeBack(act.id)), button("Keep it", offer));
	const offer = () => {
		box.replaceChildren(button("Remove it…", ask));
		if (act.state === "refused") box.prepend(button("Try again", () => void outbox.queue.again(act.id)));
		if (!act.photo && Object.keys(act.form).length > 1)
			box.prepend(make("a", { class: "edit", href: `${act.page}#mend-${act.id}` }, "Correct it"));
	};
	offer();
	return [box];
}

/** Both records, and which is to stand. @param {Act} act @returns {Node[]} */
function choice(act) {
	const says = make("p", { role: "status" });
	const [, who] = /\. (\S+)[^.,]*, [A-Z]\w+ \d[^.]*\.$/.exec(act.theirs ?? "") ?? [];
	const choose = (/** @type {"mine" | "theirs" | "both"} */ which) => async () => {
		if (!await outbox.queue.choose(act.id, which))
			says.textContent = "You need signal for that. Both stay until then.";
	};
	return [make("p", {}, act.reason ?? ""), make("ul", {}, make("li", {}, "Yours: ", act.mine ?? ""),
		make("li", {}, who ? who + "’s: " : "The other: ", act.theirs ?? "")),
		make("span", { class: "waits-do" }, button("Keep mine", choose("mine")),
			button(`Keep ${who ? who + "’s" : "the other"}`, choose("theirs")),
			...act.kind === "measure" || act.kind === "put-on" ? [button("Keep both", choose("both"))] : []), says];
}
