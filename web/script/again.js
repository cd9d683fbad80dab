// What is on record already of the thing that a form for a reading is about: it is
// shown before the reading is taken, and asked what becomes of it.

/**
 * What a reading is of, as the lines on the page have it (room.Thing.Key).
 * @param {(field: string) => string} value what a field of the form says
 */
export function keyOf(value) {
	// A line has no state: what stands there is the side.
	const end = (/** @type {string} */ name) => value(name).replace(/\|[+-]$/, "|");
	const kind = value("kind"), position = value("position"), slope = value("surface_state").replace(/^bare$/, "");
	const ends = kind === "distance" ? [position, value("to_position")].sort()
		: kind === "span" ? [...[end("datum"), end("to")].sort(), slope] : [position, end("datum"), slope];
	return [kind, ...ends].join(" ");
}

/**
 * How far a typed reading is from one on record, and whether they disagree.
 * @param {string} typed @param {string} datum @param {number} value @param {number} limit
 */
export function apart(typed, datum, value, limit) {
	const length = Number(typed.trim().replace(/[, ](?=\d{3}\b)/g, "").replace(/ *mm$/, ""));
	if (!typed.trim() || !Number.isFinite(length)) return { mm: 0, far: false };
	const off = Math.abs((datum.endsWith("|-") ? -Math.abs(length) : length) - value);
	const mm = Math.round(off * 10) / 10;
	return { mm, far: mm > limit };
}

/** @param {HTMLFormElement} form */
function ask(form) {
	const value = (/** @type {string} */ name) => String(new FormData(form).get(name) || "");
	const choices = () => [...form.querySelectorAll("input")].filter(i => i.name === "again");
	const look = () => {
		const part = /** @type {HTMLElement | null} */ (form.querySelector(".again"));
		if (!part) return;
		const lines = [...part.querySelectorAll("li")], says = part.querySelector("[role=status]");
		const datum = value("datum"), key = keyOf(value);
		const here = lines.filter(l => l.dataset.key === key);
		for (const l of lines) {
			l.hidden = !here.includes(l);
			for (const shown of l.querySelectorAll("input")) shown.disabled = l.hidden;
		}
		part.hidden = !here.length;
		for (const c of choices()) {
			const may = c.value !== "replace" || here.every(l => !l.dataset.frozen);
			c.required = !part.hidden;
			c.disabled = part.hidden || !may;
			if (c.disabled) c.checked = false;
		}
		let words = "";
		for (const l of here) {
			const { mm, far } = apart(value("value"), datum, Number(l.dataset.value), Number(l.dataset[value("by")]));
			if (far) words = l.querySelector("span")?.textContent +
				(part.dataset.differs ?? "").replace("{value}", value("value").trim()).replace("{mm}", String(mm));
		}
		if (says && says.textContent !== words) says.textContent = words;
	};
	form.addEventListener("input", look);
	form.addEventListener("change", look);
	form.addEventListener("kept", () => {
		for (const c of choices()) c.checked = false;
		look();
	});
	document.addEventListener("lathmark:redrawn", look);
	look();
}

/** Wires that to the page's form for a reading. */
export function again() {
	/** @type {NodeListOf<HTMLFormElement>} */ (document.querySelectorAll("form[data-act=measure]")).forEach(ask);
}
