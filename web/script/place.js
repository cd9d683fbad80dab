// Plans beside forms that add to a surface: a place that is touched goes into the form and is marked, and what an
// evenly spaced form would add is drawn before it is sent. Pages without script have the fields alone.

const NS = "http://www.w3.org/2000/svg";
const STEP = 10; // mm: as near as a thumb comes
const PATIENCE = 300; // ms after the last key

/** @typedef {{x: number, y: number}} Point */

/**
 * The place of the surface, mm, at a place of the drawing.
 * @param {number[]} frame cos, sin, minX, maxY, scale, ox, oy of the drawing @param {Point} at @returns {Point}
 */
export function onSurface([cos, sin, minX, maxY, scale, ox, oy], at) {
	const x = (at.x - ox) / scale + minX, y = maxY - (at.y - oy) / scale;
	return { x: x * cos + y * sin, y: y * cos - x * sin };
}

/**
 * The place of the drawing at a place of the surface, mm.
 * @param {number[]} frame @param {Point} p @returns {Point}
 */
export function onDrawing([cos, sin, minX, maxY, scale, ox, oy], p) {
	const x = p.x * cos - p.y * sin, y = p.x * sin + p.y * cos;
	return { x: ox + (x - minX) * scale, y: oy + (maxY - y) * scale };
}

/**
 * The two lengths of a place as they are typed; undefined where they are none that a plan can show.
 * @param {string} text @returns {Point | undefined}
 */
export function placeOf(text) {
	const two = text.trim().split(/[\s;]+/).map(t => t.replace(/,$/, ""));
	if (two.length !== 2 || two.some(t => !/^-?\d+(\.\d+)?$/.test(t))) return undefined;
	return { x: Number(two[0]), y: Number(two[1]) };
}

/** A place as it goes into the form. @param {Point} p */
export function textOf(p) {
	return [p.x, p.y].map(v => Math.round(v / STEP) * STEP || 0).join(" ");
}

/** The fields that take a place, in the order in which they are filled. */
const fields = () => [...document.querySelectorAll("input")].filter(i =>
	/^(place|from|to|way_from|way_to)$/.test(i.name) && i.checkVisibility());

/** @type {HTMLInputElement | undefined} the field that was touched last */
let last;

/** The field that a touch on the plan fills: the one chosen, else the first that is empty, else the first. */
function field() {
	const all = fields(), on = last && all.includes(last) ? last : undefined;
	return on ?? all.find(i => !i.value.trim()) ?? all[0];
}

/** The plans, each with the surface that it shows. */
const plans = () => [...document.querySelectorAll("figure.planning")].filter(f => f instanceof HTMLElement);

/** @param {Element} svg */
const frameOf = svg => (svg.getAttribute("data-frame") ?? "").split(" ").map(Number);

/** Marks on the plan that is shown the places that the fields have. */
function mark() {
	document.querySelectorAll(".plan .placed").forEach(e => e.remove());
	const svg = plans().find(f => !f.hidden)?.querySelector("svg");
	for (const { value } of svg ? fields() : []) {
		const p = placeOf(value), at = p && svg && onDrawing(frameOf(svg), p);
		if (!at) continue;
		const cross = document.createElementNS(NS, "path");
		cross.setAttribute("class", "placed");
		cross.setAttribute("d", `M${at.x - 26} ${at.y}h52m-26 -26v52m17 -26a17 17 0 1 0 -34 0a17 17 0 1 0 34 0`);
		svg.append(cross);
	}
}

/** @param {MouseEvent} e */
function touched(e) {
	const svg = /** @type {Element} */ (e.target).closest(".planning svg"), into = field();
	if (!(svg instanceof SVGSVGElement) || !into) return;
	const turn = svg.getScreenCTM()?.inverse();
	if (!turn) return;
	into.value = textOf(onSurface(frameOf(svg), new DOMPoint(e.clientX, e.clientY).matrixTransform(turn)));
	last = undefined;
	into.dispatchEvent(new Event("input", { bubbles: true }));
	const says = svg.closest("figure")?.querySelector(".touched"), label = into.labels?.[0]?.textContent ?? "";
	if (says) says.textContent = `${label}: ${into.value}, along and up the sheet.`;
}

/** Shows the plan of the surface that a form has chosen. @param {Element | null} form */
function show(form) {
	const chosen = form?.querySelector("select[name$=surface]");
	if (!(chosen instanceof HTMLSelectElement) || !plans().some(f => f.dataset.surface === chosen.value)) return;
	for (const f of plans()) f.hidden = f.dataset.surface !== chosen.value;
	mark();
}

/** Draws what a form would add, as the server has it. @param {HTMLFormElement} form */
async function preview(form) {
	const typed = new URLSearchParams();
	for (const [name, value] of new FormData(form)) {
		if (name !== "token" && typeof value === "string") typed.append(name, value);
	}
	if (!typed.get(form.dataset.coming ?? "")) return;
	try {
		const answer = await fetch(location.pathname + "?" + typed, { cache: "no-cache" });
		if (!answer.ok || answer.redirected) return;
		const next = new DOMParser().parseFromString(await answer.text(), "text/html");
		for (const f of plans()) {
			const drawn = next.querySelector(`figure.planning[data-surface="${f.dataset.surface}"] svg`);
			if (drawn) f.querySelector("svg")?.replaceWith(drawn);
		}
		mark();
	} catch {
		// Without signal there is no preview: the form says the same when it is sent.
	}
}

/** Listens to the plans of the page and to the forms that they stand beside. */
export function places() {
	/** @type {ReturnType<typeof setTimeout> | undefined} */
	let soon;
	for (const f of plans()) {
		const says = f.querySelector(".touched");
		if (says && fields().length) says.textContent = "Touch the plan where it goes.";
	}
	document.addEventListener("click", touched);
	document.addEventListener("focusin", e => {
		const on = /** @type {HTMLInputElement} */ (e.target);
		if (fields().includes(on)) last = on;
		show(on.closest("form"));
	});
	for (const kind of ["input", "change"]) {
		document.addEventListener(kind, e => {
			const form = /** @type {Element} */ (e.target).closest("form");
			show(form);
			mark();
			if (!form?.dataset.coming) return;
			clearTimeout(soon);
			soon = setTimeout(() => void preview(form), PATIENCE);
		});
	}
	mark();
}
