// Draws the changed regions of a page anew, each marked data-live with a name
// of its own, and leaves alone what somebody is at: a region with the focus or
// with something typed stays as it is, and what is typed does not move.

import { button, isBox, make } from "./page.js";

/**
 * What a page showed when the server drew it, before any script changed it.
 * @typedef {{regions: Map<string, string>, rest: string}} Drawn
 */

/**
 * @param {Document} page
 * @returns {Drawn}
 */
function record(page) {
	const main = /** @type {Element} */ (page.querySelector("main")?.cloneNode(true) ?? page.createElement("main"));
	// A form's token is another one each time, and what was just done is news only once.
	for (const token of main.querySelectorAll("input[name=token]")) token.removeAttribute("value");
	main.querySelector("p.done[role=status]")?.remove();
	/** @type {Map<string, string>} */
	const regions = new Map();
	for (const region of main.querySelectorAll("[data-live]")) {
		regions.set(region.getAttribute("data-live") ?? "", region.innerHTML);
		region.textContent = "";
	}
	return { regions, rest: main.innerHTML };
}

/** @type {Drawn} */
let drawn = record(document);
/** Faults in a form were drawn over what was typed: the address shows another page. */
const mending = document.querySelector("main .faults") !== null;
/** @type {Document | undefined} what has come and is not shown in full */
let held;

addEventListener("focusout", () => setTimeout(() => held && redraw(held), 0));

/**
 * Shows what changed.
 * @param {Document} next the page as it is now
 */
export function redraw(next) {
	const was = document.body.dataset, is = next.body.dataset;
	// An older copy.
	if ((is.made ?? "") < (was.made ?? "") || Number(is.seq ?? 0) < Number(was.seq ?? 0)) return;
	const whole = place(next, false);
	held = whole ? undefined : next;
	// A line that is there stays: somebody may be pressing its button, which is what drew this.
	if (whole) document.querySelector("main > .changed")?.remove();
	else trouble();
}

/**
 * Shows another page in the place of this one, all but an element with a class: what
 * somebody types into stays where it is, and the keyboard with it.
 * @param {Document} next @param {string} kept
 * @returns {boolean} false where one of the pages has no such element
 */
export function turn(next, kept) {
	const now = record(next), stays = document.querySelector(kept), comes = next.querySelector(kept);
	const main = document.querySelector("main"), other = next.querySelector("main");
	if (!main?.contains(stays) || !stays || !other?.contains(comes)) return false;
	let old = /** @type {Element} */ (main), fresh = /** @type {Element} */ (other);
	while (old !== stays) {
		const inner = /** @type {Element} */ ([...old.children].find(e => e.contains(stays)));
		const put = [...fresh.childNodes];
		const at = put.findIndex(e => e.contains(comes));
		for (const a of fresh.attributes) old.setAttribute(a.name, a.value);
		for (const e of [...old.childNodes]) if (e !== inner) e.remove();
		inner.before(...put.slice(0, at));
		inner.after(...put.slice(at + 1));
		old = inner;
		fresh = /** @type {Element} */ (put[at]);
	}
	drawn = now;
	held = undefined;
	asOf(next);
	document.dispatchEvent(new CustomEvent("lathmark:redrawn"));
	return true;
}

/** @param {Document} next what the page shows now */
function asOf(next) {
	for (const name of ["seq", "seqs", "made"]) {
		const value = next.body.dataset[name];
		if (value !== undefined) document.body.dataset[name] = value;
	}
}

/** Says that something changed that is not shown. */
export function trouble() {
	if (!document.querySelector("main > .changed")) line();
}

/**
 * Puts the regions that differ in their places.
 * @param {Document} next
 * @param {boolean} all also those that somebody is at
 * @returns {boolean} whether the page now shows all that next does
 */
function place(next, all) {
	const now = record(next);
	let whole = mending || now.rest === drawn.rest;
	const html = document.documentElement;
	// It is done here.
	html.style.overflowAnchor = "none";
	for (const [name, text] of now.regions) {
		if (drawn.regions.get(name) === text) continue;
		const find = `[data-live="${CSS.escape(name)}"]`;
		const old = document.querySelector(find), fresh = next.querySelector(find);
		if (!old || !fresh || (!all && inUse(old))) {
			whole = false;
			continue;
		}
		const copy = /** @type {HTMLElement} */ (document.importNode(fresh, true));
		if (all) keepTyped(old, copy);
		if (swap(old, copy) || all) drawn.regions.set(name, text);
		else whole = false;
	}
	requestAnimationFrame(() => html.style.removeProperty("overflow-anchor"));
	if (whole && !mending) asOf(next);
	document.dispatchEvent(new CustomEvent("lathmark:redrawn"));
	return whole;
}

/**
 * Puts fresh in the place of old. What somebody is at stays where it is on the
 * screen; where scrolling cannot keep it there, old is put back.
 * @param {Element} old
 * @param {HTMLElement} fresh
 * @returns {boolean} whether fresh is in its place
 */
function swap(old, fresh) {
	const busy = typing(), anchor = busy ?? inSight();
	const top = anchor?.getBoundingClientRect().top ?? 0;
	const moved = () => {
		const at = anchor?.isConnected ? anchor : anchor?.id ? document.getElementById(anchor.id) : null;
		return at ? at.getBoundingClientRect().top - top : 0;
	};
	const scrolled = scrollY, link = old.contains(document.activeElement) && document.activeElement?.getAttribute("href");
	old.replaceWith(fresh);
	if (link)
		/** @type {HTMLElement | null} */ (fresh.querySelector(`a[href="${CSS.escape(link)}"]`))
			?.focus({ preventScroll: true });
	if (moved()) scrollBy({ top: moved(), behavior: "instant" });
	if (!busy || Math.abs(moved()) < 1) return true;
	fresh.replaceWith(old);
	scrollTo({ top: scrolled, behavior: "instant" });
	return false;
}

/** @returns {Element | undefined} the control that somebody types into or has typed into */
function typing() {
	const at = document.activeElement;
	if (at && at.matches("input, select, textarea")) return at;
	return controls().find(touched);
}

/** @returns {Element | undefined} something that can be found again, at the top of the screen */
function inSight() {
	if (scrollY === 0) return undefined;
	return [...document.querySelectorAll("main [id]")].find((e) => {
		const box = e.getBoundingClientRect();
		return box.height > 0 && box.top >= 0 && box.top < innerHeight;
	});
}

/** @typedef {import("./page.js").Field} Field */

/** @returns {Field[]} */
export function controls() {
	return [...document.querySelectorAll("main :is(input:not([type=hidden]), select, textarea)")].map(e =>
		/** @type {Field} */ (e));
}

/**
 * Whether a control says something else than the server drew.
 * @param {Field} control
 * @returns {boolean}
 */
export function touched(control) {
	if (control.options)
		return control.selectedIndex !== Math.max([...control.options].findIndex(o => o.defaultSelected), 0);
	return isBox(control) ? control.checked !== control.defaultChecked : control.value !== control.defaultValue;
}

/**
 * Whether somebody is at a region. A link with the focus is no hindrance: the
 * focus goes to the same link of what comes in its place.
 * @param {Element} region
 * @returns {boolean}
 */
function inUse(region) {
	const at = document.activeElement;
	return (at !== null && region.contains(at) && !at.matches("a, summary")) ||
		controls().some((c) => region.contains(c) && touched(c));
}

/**
 * Takes what was typed over into what comes in its place.
 * @param {Element} old
 * @param {Element} fresh
 */
function keepTyped(old, fresh) {
	for (const from of controls()) {
		if (!old.contains(from) || !touched(from)) continue;
		const same = `[name="${CSS.escape(from.name)}"]`;
		for (const to of /** @type {NodeListOf<HTMLInputElement>} */ (fresh.querySelectorAll(same))) {
			if (!isBox(from)) to.value = from.value;
			else if (to.value === from.value) to.checked = from.checked;
		}
	}
}

/** Says at the foot of the screen that there is something that is not shown. */
function line() {
	const { room, job } = document.body.dataset;
	document.querySelector("main")?.append(make("p", { class: "changed", role: "status" },
		`Something changed ${room ? "in this room" : job ? "on this job" : "on your jobs"}. `, button("Show it", show)));
}

function show() {
	if (held && place(held, true)) {
		held = undefined;
		document.querySelector("main > .changed")?.remove();
	} else if (mending) location.assign(location.href);
	// Browsers keep what was typed.
	else location.reload();
}
