// The form for a reading: what it says it goes to, and how it goes on to the next.

import * as outbox from "./outbox.js";
import { about, fieldsOf, isCopy, make } from "./page.js";
import { touched } from "./redraw.js";
import { left, next } from "./steps.js";

/** Wires the page's form for a reading. */
export function readings() {
	const form = /** @type {HTMLFormElement} */ (document.querySelector("form[data-act=measure]"));
	if (!form) return;
	const pads = (/** @type {string} */ name) => fieldsOf(form).filter(i => i.name === name && i.type === "radio");
	const value = (/** @type {string} */ name) => String(new FormData(form).get(name) || "");
	const steps = () => /** @type {import("./steps.js").Step[]} */ (JSON.parse(form.dataset.steps || "[]") || []);

	/** @param {string} name @param {string} to */
	const press = (name, to) => {
		const pad = pads(name).find(p => p.value === to);
		if (!pad) return;
		pad.checked = true;
		pad.closest("details")?.setAttribute("open", "");
	};
	const says = (/** @type {string} */ name) => {
		const e = fieldsOf(form).find(f => f.name === name && (f.selectedOptions || f.checked));
		return e?.selectedOptions ? e.value && e.selectedOptions[0].label : e?.labels?.[0]?.textContent?.trim() ?? "";
	};

	/** Says at the figure and on the button what it is of. */
	const bar = () => {
		const kind = value("kind"), from = says("datum"), by = value("by");
		const of = kind === "span" ? "" : says("position"), to = kind === "span" ? says("to") : says("to_position");
		const goes = form.querySelector(".goes"), goesFor = form.querySelector(".goes-for");
		goes?.replaceChildren(": ", make("b", {}, of || "span"),
			kind === "offset" || kind === "span" ? from && ` from ${from}` : "",
			kind !== "offset" && to ? ` to ${to}` : "", by && by !== "tape" ? `, by ${by}` : "");
		if (goesFor) goesFor.textContent = of && ` for ${of}`;
	};
	/** Goes on to a reading. @param {string} position @param {string} [datum] */
	const goTo = (position, datum) => {
		press("position", position);
		if (datum) press("datum", datum);
		form.dispatchEvent(new Event("change"));
	};
	/** A position that was read from the chosen datum already is read from its next. */
	const another = () => {
		const position = value("position"), [datum] = value("datum").split("|");
		if (datum && !form.querySelector(`[data-key^="offset ${position} ${datum}|"]`)) return;
		const step = left(steps(), []).find(s => s[0] === position);
		if (step) press("datum", step[1]);
	};
	/** The readings that the page's list does not know of. @type {import("./queue.js").Act[]} */
	let taken = [];
	const load = async () => {
		taken = (await outbox.acts(about.room)).filter(a => a.kind === "measure" &&
			(a.state === "waiting" || isCopy && a.state === "sent"));
	};
	const field = (/** @type {import("./queue.js").Act} */ act, /** @type {string} */ name) => act.form[name]?.[0] ?? "";
	const goOn = () => {
		const last = taken[taken.length - 1];
		if (!last || value("value")) return;
		press("by", field(last, "by"));
		press("surface_state", field(last, "surface_state"));
		const to = next(steps(), taken.map(a => ({ position: field(a, "position"), datum: field(a, "datum") })));
		if (to && value("kind") === "offset") goTo(to[0], to[1]);
	};

	form.addEventListener("change", e => {
		if (/** @type {HTMLInputElement} */ (e.target).name === "position") another();
		bar();
	});
	form.addEventListener("kept", e => {
		const act = /** @type {CustomEvent<import("./queue.js").Act>} */ (e).detail;
		if (act.state !== "refused") taken.push(act);
		goOn();
	});
	document.addEventListener("anew", e => {
		const act = /** @type {CustomEvent<import("./queue.js").Act>} */ (e).detail;
		taken = taken.filter(a => a.id !== act.id);
		for (const name of ["kind", "by"]) press(name, field(act, name));
		goTo(field(act, "position"), field(act, "datum"));
	});
	// The field keeps the keyboard while the button is pressed.
	form.querySelector(".thumb button")?.addEventListener("mousedown", e => e.preventDefault());
	document.addEventListener("lathmark:redrawn", () => {
		bar();
		void load();
	});
	bar();
	const fresh = !/^#mend/.test(location.hash) && !fieldsOf(form).some(touched);
	void load().then(() => fresh && goOn());
}
