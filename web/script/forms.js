// The forms of a visit: what is filled in is kept on this phone first and then
// sent, the same way with signal and without.

import * as faults from "./faults.js";
import * as outbox from "./outbox.js";
import { about, fieldsOf, isBox, isCopy, make } from "./page.js";
import { shrink } from "./photo.js";
import { GONE, newId } from "./queue.js";
import { turn } from "./redraw.js";
import { verdict } from "./sums.js";
import { fillIn } from "./words.js";

/** @typedef {import("./page.js").Field} Field */

/** How long a form waits for its answer before it is ready for the next, in ms. */
const PATIENCE = 4_000;

/** Two presses within this time, in ms, are one. */
const TWICE = 1_000;

/** Takes the forms of the page over. */
export function listen() {
	document.addEventListener("submit", e => {
		const form = /** @type {HTMLFormElement} */ (e.target);
		if (!about.member) return;
		if (!form.dataset.act) return needsSignal(e, form);
		e.preventDefault();
		// Pressed twice.
		if (form.dataset.busy || going) return;
		const wrong = lacks(form);
		// The second press of two finds the form empty that the first has sent.
		if (wrong.length && e.timeStamp - Number(form.dataset.pressed ?? -TWICE) < TWICE) return;
		if (wrong.length) return faults.show(form, wrong);
		form.dataset.busy = "yes";
		void take(form).finally(() => delete form.dataset.busy);
	});
	// A page of the copy is drawn more than once: each time it is another form.
	if (isCopy) for (const form of document.forms) renew(form);
	void mend();
}

/**
 * Gives a form a number of its own, so that the same figures written again are
 * another record. @param {HTMLFormElement} form
 */
function renew(form) {
	for (const e of fieldsOf(form)) if (e.name === "token") e.value = e.value.replace(/^[^.]*/, newId());
}

/** A form that cannot wait here stays as it is until there is signal. @param {Event} e @param {HTMLFormElement} form */
function needsSignal(e, form) {
	if (navigator.onLine || form.method !== "post") return;
	e.preventDefault();
	say(form, "There is no signal, and this cannot wait on the phone. " +
		"What you typed stays here: send it when there is signal.");
}

/**
 * What a form lacks, by its fields' own words: it is not kept without.
 * @param {HTMLFormElement} form @returns {import("./queue.js").Field[]}
 */
function lacks(form) {
	const seen = fieldsOf(form).filter(e => e.type !== "hidden");
	const filled = (/** @type {Field} */ e) => isBox(e) ? e.checked : !!e.value.trim();
	const needed = seen.filter(e => e.dataset.needs && !isOut(e) && !filled(e));
	if (!needed.length && seen.length && !seen.some(filled))
		return [{ path: "", wrong: "Nothing is filled in", mend: "" }];
	return needed.map(e => ({ path: e.name, wrong: e.dataset.needs ?? "", mend: e.dataset.mend ?? "" }));
}

/**
 * What the sums on the phone refuse of a form, so that it is not kept until there is signal.
 * @param {Awaited<ReturnType<typeof describe>>} act
 */
async function refused(act) {
	if (navigator.onLine || act.kind !== "measure" && act.kind !== "correct") return [];
	const before = (await outbox.acts(about.room)).filter(a => a.state === "waiting");
	const given = await Promise.race([verdict(about.room ?? "", before, act),
		new Promise(resolve => setTimeout(resolve, PATIENCE))]);
	return /** @type {import("./sums.js").Answer | undefined} */ (given)?.wrong ?? [];
}

/** @param {HTMLFormElement} form */
async function take(form) {
	faults.clear(form);
	say(form, "");
	let act;
	try {
		const filled = await describe(form), wrong = await refused(filled);
		if (faults.mendable(form, wrong)) return faults.show(form, wrong);
		act = await outbox.add(filled, form.dataset.instead);
	} catch (e) {
		if (e instanceof Error && e.message === GONE) return say(form, GONE + " Correct it on the room's page.");
		return plainly(form);
	}
	delete form.dataset.instead;
	form.dataset.pressed = String(performance.now());
	// The next one may be typed already.
	if (act.kind === "measure") clear(form);
	void navigator.storage?.persist?.();
	const sent = outbox.send(true);
	if (navigator.onLine) {
		say(form, "It is on this phone, and is being sent.");
		await Promise.race([sent, new Promise(resolve => setTimeout(resolve, PATIENCE))]);
	}
	await answered(form, act.id);
}

/** Goes on by what has become of the act. @param {HTMLFormElement} form @param {string} id */
async function answered(form, id) {
	const act = await outbox.queue.get(id);
	// Pressed twice and gone back: it is on record by now, and what was typed stays.
	if (!act) return;
	const typed = fieldsOf(form).some(e => e.type !== "hidden");
	if (act.state === "sent") return go(act.go ?? location.pathname);
	if (act.state === "refused" && act.kind === "measure") fill(form, act);
	if (act.state === "both") return go("/visits#" + id);
	if (act.state === "refused" && faults.mendable(form, act.fields ?? [])) {
		await outbox.queue.remove(id);
		say(form, "");
		return faults.show(form, act.fields ?? []);
	}
	if (act.state === "refused" && !typed) {
		// Nothing is lost by asking again: the server's own page says more.
		await outbox.queue.remove(id);
		return HTMLFormElement.prototype.submit.call(form);
	}
	clear(form);
	renew(form);
	say(form, act.state === "refused" ? `Not taken: ${act.reason} It stays on this phone: see above.` : "");
	form.dispatchEvent(new CustomEvent("kept", { bubbles: true, detail: act }));
}

/** Whether the next page is on its way: going there twice would lose this one. */
let going = false;
addEventListener("pagehide", () => going = false);

/**
 * Goes on to a page. Between two readings it comes in the place of this one, round the
 * field that is typed into. @param {string} to
 */
async function go(to) {
	const at = new URL(to, location.href);
	if (at.pathname === location.pathname && at.search && document.querySelector(".thumb") && await turned(at)) return;
	going = true;
	if (at.pathname + at.search === location.pathname + location.search) {
		location.hash = at.hash;
		location.reload();
	} else {
		location.assign(at);
	}
}

/** @param {URL} at @returns {Promise<boolean>} whether the page is there now */
async function turned(at) {
	try {
		const answer = await fetch(at, { cache: "no-cache" });
		const next = answer.ok && !answer.redirected && new DOMParser().parseFromString(await answer.text(), "text/html");
		if (!next || !turn(next, ".thumb")) return false;
	} catch {
		return false;
	}
	history.replaceState(null, "", at);
	document.querySelector("main")?.scrollIntoView();
	return true;
}

/** Without a store of its own the phone can only do what a page without script does. @param {HTMLFormElement} form */
function plainly(form) {
	if (navigator.onLine) return HTMLFormElement.prototype.submit.call(form);
	say(form, "This phone cannot keep it (a private window, or no room left), and there is no signal. " +
		"What you typed stays on this page: leave it open and press again when there is signal.");
}

/** @param {HTMLFormElement} form */
async function describe(form) {
	/** @type {Record<string, string[]>} */
	const fields = {};
	/** @type {File | undefined} */
	let file;
	for (const [name, value] of new FormData(form)) {
		if (value instanceof File) file = value.size ? value : file;
		else (fields[name] ??= []).push(value);
	}
	// Whoever goes back and presses again means the same record, not a second one.
	const at = new URL(form.action).pathname;
	const same = "act " + at + JSON.stringify(fields) + (file ? [file.name, file.size, file.lastModified].join() : "");
	const id = sessionStorage.getItem(same) ?? newId();
	sessionStorage.setItem(same, id);
	const photo = file && await shrink(file);
	return {
		id, made: new Date().toISOString(), kind: form.dataset.act ?? "",
		memberName: about.memberName ?? "", room: about.room ?? "", roomName: about.roomName ?? "",
		at, page: location.pathname + location.search, copy: Number(about.seq ?? 0),
		form: fields, says: fillIn(form.dataset.says ?? button(form), name => shown(form, name)),
		...photo && { photo },
	};
}

/** @param {HTMLFormElement} form */
function button(form) {
	return form.querySelector("button:not([type=button])")?.textContent?.trim() ?? "";
}

/**
 * What a field shows, a label's words rather than a value; "*": all that is typed.
 * @param {HTMLFormElement} form
 * @param {string} name
 */
function shown(form, name) {
	return fieldsOf(form).flatMap(e => {
		if (name !== "*" && e.name !== name || isOut(e)) return [];
		const typed = e.value.trim(), label = e.labels?.[0]?.textContent?.trim() ?? "";
		if (name === "*") return e.matches("input:not([type=hidden])") && typed ? [`${label} ${typed}`] : [];
		if (e.selectedOptions) return typed ? [e.selectedOptions[0].label] : [];
		return isBox(e) ? e.checked ? [label] : [] : [typed];
	}).join(", ");
}

/**
 * Whether the stylesheet has taken a field out, since the form's other choices do not ask for it.
 * @param {Element} e
 */
function isOut(e) {
	const part = e.closest("[class*=not-], [class*=only-]");
	return !!part && getComputedStyle(part).display === "none";
}

/** Makes the form ready for the next: figures and words go, what was chosen stays. @param {HTMLFormElement} form */
function clear(form) {
	for (const e of fieldsOf(form)) {
		if (e.type === "checkbox") e.checked = false;
		else if (!/hidden|radio|date|select/.test(e.type)) e.value = "";
	}
}

/** Says something at a form's button; "" takes it back. @param {HTMLFormElement} form @param {string} words */
function say(form, words) {
	let line = form.querySelector(".form-says");
	if (!line && words) form.append(line = make("p", { class: "form-says", role: "status" }));
	if (line) line.textContent = words;
}

/** Fills a form with what was refused, so that it can be mended: the address ends in "#mend-" and the act's id. */
async function mend() {
	const id = /^#mend-(.+)$/.exec(location.hash)?.[1];
	const act = id && await outbox.queue.get(id);
	if (!act) return;
	const form = [...document.querySelectorAll("form")].find(f => f.dataset.act === act.kind &&
		new URL(f.action).pathname === act.at);
	if (!form) return;
	fill(form, act);
	form.dataset.instead = act.id;
	faults.show(form, act.fields?.length ? act.fields : act.reason ? [{ path: "", wrong: act.reason, mend: "" }] : []);
}

/** Fills a form with what was filled in. @param {HTMLFormElement} form @param {import("./queue.js").Act} act */
function fill(form, act) {
	for (const e of fieldsOf(form)) {
		const values = act.form[e.name] ?? [];
		if (isBox(e)) e.checked = values.includes(e.value);
		else if (!/hidden|file/.test(e.type)) e.value = values[0] ?? "";
	}
	form.dispatchEvent(new Event("change"));
}
