// The wall chart: a piece of work is dragged to another day, or moved by the arrow keys, and the form opens that shows
// what this does to the rest. Nothing is kept here: without script the same form is where the piece's link leads.

const DAY = 86400000;

/**
 * A day so many days on. @param {string} day as 2026-12-10 @param {number} days @returns {string}
 */
export function moved(day, days) {
	return new Date(Date.parse(day + "T00:00:00Z") + days * DAY).toISOString().slice(0, 10);
}

/**
 * Where the form for a piece on a day is. @param {string} piece @param {string} day
 */
export function at(piece, day) {
	return "/programme/move?" + new URLSearchParams({ piece, on: day });
}

/** @param {Element} bar @param {number} days @param {number} wide of a day, in the chart's units */
function show(bar, days, wide) {
	bar.classList.toggle("dragged", days !== 0);
	bar.setAttribute("transform", `translate(${days * wide} 0)`);
}

/**
 * How wide a day is, in the chart's units and on the screen. @param {Element} bar
 */
function widths(bar) {
	const svg = bar.closest("svg"), days = Number(bar.closest("[data-days]")?.getAttribute("data-days"));
	const wide = svg?.viewBox.baseVal.width ?? 0, px = svg?.getBoundingClientRect().width ?? 0;
	return { unit: wide / days, px: px / days };
}

/** Listens to the chart of the page. */
export function chart() {
	/** @type {{bar: Element, x: number, unit: number, px: number, days: number} | undefined} */
	let held;
	let dragged = false; // then the click that follows opens nothing
	/** @param {EventTarget | null} on */
	const barAt = on => on instanceof Element ? on.closest("a[data-move]") : null;
	/** @param {Element} bar @param {number} days */
	const open = (bar, days) => {
		const piece = bar.getAttribute("data-move") ?? "", day = bar.getAttribute("data-on") ?? "";
		location.assign(at(piece, moved(day, days)));
	};
	document.addEventListener("pointerdown", e => {
		const bar = barAt(e.target);
		if (!bar || e.button !== 0) return;
		dragged = false;
		held = { bar, x: e.clientX, days: 0, ...widths(bar) };
		bar.setPointerCapture(e.pointerId);
	});
	document.addEventListener("pointermove", e => {
		if (!held || !held.px) return;
		held.days = Math.round((e.clientX - held.x) / held.px);
		show(held.bar, held.days, held.unit);
	});
	document.addEventListener("pointerup", () => {
		const was = held;
		held = undefined;
		dragged = Boolean(was?.days);
		if (was && dragged) open(was.bar, was.days);
	});
	document.addEventListener("click", e => { if (dragged && barAt(e.target)) e.preventDefault(); });
	document.addEventListener("pointercancel", () => {
		if (held) show(held.bar, 0, held.unit);
		held = undefined;
	});
	document.addEventListener("dragstart", e => { if (barAt(e.target)) e.preventDefault(); });
	document.addEventListener("keydown", e => {
		const bar = barAt(document.activeElement), step = { ArrowLeft: -1, ArrowRight: 1 }[e.key];
		if (!bar || e.ctrlKey || e.altKey || e.metaKey) return;
		const days = Number(bar.getAttribute("data-days-on") ?? 0);
		if (step) {
			e.preventDefault();
			bar.setAttribute("data-days-on", String(days + step));
			show(bar, days + step, widths(bar).unit);
		} else if (e.key === "Enter" && days) {
			e.preventDefault();
			open(bar, days);
		} else if (e.key === "Escape" && days) {
			bar.removeAttribute("data-days-on");
			show(bar, 0, 0);
		}
	});
}
