// What is to be mended, shown at the fields as the server's own pages show it.

import { count } from "./words.js";
import { fieldsOf, make } from "./page.js";
import { notTaken } from "./typed.js";

/** @typedef {import("./queue.js").Field} Field */

/** The field of a form that a fault is about. @param {HTMLFormElement} form @param {Field} fault */
function fieldOf(form, fault) {
	return fieldsOf(form).find(e => e.name && e.name === fault.path && e.type !== "hidden")?.closest(".field");
}

/**
 * Whether every fault is about something that can be mended on the form.
 * @param {HTMLFormElement} form
 * @param {Field[]} faults
 */
export function mendable(form, faults) {
	return faults.length > 0 && faults.every(f => fieldOf(form, f));
}

/** Takes the faults of an earlier try away. @param {HTMLFormElement} form */
export function clear(form) {
	document.querySelectorAll(".faults").forEach(e => e.remove());
	form.querySelectorAll(".has-fault").forEach(e => e.classList.remove("has-fault"));
	form.querySelectorAll(".wrong").forEach(e => e.remove());
	form.querySelectorAll("[aria-invalid]").forEach(e => e.removeAttribute("aria-invalid"));
}

/** Shows the faults, and leads to them. @param {HTMLFormElement} form @param {Field[]} faults */
export function show(form, faults) {
	clear(form);
	if (!faults.length) return;
	notTaken();
	const list = make("ul");
	for (const fault of faults) {
		const field = fieldOf(form, fault);
		field?.classList.add("has-fault");
		const mend = fault.mend ? `. ${fault.mend}.` : ".";
		field?.append(make("span", { class: "wrong" }, fault.wrong + mend));
		field?.querySelectorAll("input, select, textarea").forEach(e => e.setAttribute("aria-invalid", "true"));
		field?.closest("details")?.setAttribute("open", "open");
		const target = field?.id || field?.querySelector("[id]")?.id;
		list.append(make("li", {}, target ? make("a", { href: "#" + target }, fault.wrong) : fault.wrong, mend));
	}
	const box = make("div", { class: "faults", role: "alert" }, make("p", {},
		`${count(faults.length, "thing")} to correct before this can be saved:`), list);
	form.before(box);
	box.scrollIntoView({ block: "center" });
}
