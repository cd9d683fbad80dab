// What the hand is spared: the form for a reading goes on where the last one
// left off, also without signal; the leaves of the holes turn under a thumb;
// the screen stays awake on them.

/**
 * What this phone remembers of a room: how the last reading was taken, the
 * datums in the order they were last used, and from which of them each
 * position was read.
 * @typedef {{at: number, by: string, slope: string, used: string[], read: Record<string, string[]>}} Memory
 */

/** What was taken longer ago says nothing of the walls' state now: 12 hours. */
export const FORGETS = 12 * 3600 * 1000;

/** @param {Pick<Storage, "getItem">} storage @param {string} key @param {number} now @returns {Memory} */
export function recall(storage, key, now) {
	try {
		const m = /** @type {Memory} */ (JSON.parse(storage.getItem(key) || ""));
		if (now - m.at < FORGETS && m.at <= now && Array.isArray(m.used) && m.read) return m;
	} catch {
		// Nothing is remembered, or nothing that can be read.
	}
	return { at: now, by: "", slope: "", used: [], read: {} };
}

/**
 * Adds one offset to what is remembered.
 * @param {Memory} m
 * @param {{position: string, datum: string, by: string, slope: string}} reading
 * @param {number} now
 * @returns {Memory}
 */
export function remember(m, { position, datum, by, slope }, now) {
	const read = { ...m.read, [position]: [...(m.read[position] || []).filter(d => d !== datum), datum] };
	return { at: now, by, slope, used: [datum, ...m.used.filter(d => d !== datum)], read };
}

/**
 * The position and the datum of the reading that is likely to come next: two
 * datums fix a position, then comes the next one that has none yet; of the
 * datums in use the last that it was not read from, else the last.
 * @param {Memory} m
 * @param {string[]} positions in the order of the pads
 * @param {string} current
 * @returns {{position: string, datum: string}}
 */
export function next(m, positions, current) {
	const fixed = (/** @type {string} */ p) => (m.read[p] || []).length > 1;
	const from = positions.indexOf(current);
	const round = [...positions.slice(from + 1), ...positions.slice(0, from + 1)];
	const position = current && !fixed(current) ? current : round.find(p => !fixed(p)) || current;
	const read = m.read[position] || [];
	return { position, datum: m.used.find(d => !read.includes(d)) || m.used[0] || "" };
}

/**
 * Which way a thumb turned: 1 on, -1 back, 0 neither. A leaf turns by a stroke
 * of 60 px that is twice as wide as high.
 * @param {number} dx @param {number} dy
 */
export function turned(dx, dy) {
	if (Math.abs(dx) < 60 || Math.abs(dx) < 2 * Math.abs(dy)) return 0;
	return dx < 0 ? 1 : -1;
}

/**
 * Keeps the screen awake while the page is looked at, and says so.
 * @param {Document} doc
 * @param {{request(type: "screen"): Promise<unknown>} | undefined} lock
 * @param {(sentence: string) => void} say
 */
export function awake(doc, lock, say) {
	const ask = async () => {
		// It is let go when the page is hidden, and asked for again after.
		if (doc.visibilityState !== "visible") return;
		try {
			if (!lock) throw new Error("there is no such lock");
			await lock.request("screen");
			say("The screen stays awake on this page.");
		} catch {
			say("This phone lets its screen go dark on this page. Touch it now and then.");
		}
	};
	doc.addEventListener("visibilitychange", ask);
	return ask();
}

/** @param {HTMLFormElement} form @param {string} name @returns {HTMLInputElement[]} */
const pads = (form, name) => [...form.querySelectorAll("input")].filter(i => i.name === name && i.type === "radio");

/** @param {HTMLFormElement} form @param {string} name @param {string} value */
function press(form, name, value) {
	const pad = value && pads(form, name).find(p => p.value === value);
	if (!pad) return;
	pad.checked = true;
	const folded = pad.closest("details");
	if (folded) folded.open = true;
}

/** @param {HTMLFormElement} form */
function readingOf(form) {
	const value = (/** @type {string} */ name) => String(new FormData(form).get(name) || "");
	return { kind: value("kind"), position: value("position"), datum: value("datum"), by: value("by"),
		slope: value("surface_state") };
}

/**
 * The form for a reading: what is remembered is put in, and kept.
 * @param {HTMLFormElement} form
 * @param {Storage} storage
 */
function readings(form, storage) {
	const { member = "", room = "" } = document.body.dataset;
	const key = `hand ${member} ${room}`;
	const positions = pads(form, "position").map(p => p.value);
	const memory = recall(storage, key, Date.now());
	const now = readingOf(form);
	if (memory.by && !now.datum) {
		press(form, "by", memory.by);
		press(form, "surface_state", memory.slope);
		press(form, "datum", next(memory, positions, now.position).datum);
	}
	const keep = () => {
		const r = readingOf(form);
		if (r.kind === "offset" && r.position && r.datum)
			storage.setItem(key, JSON.stringify(remember(recall(storage, key, Date.now()), r, Date.now())));
	};
	form.addEventListener("submit", keep);
	form.addEventListener("kept", () => {
		const r = readingOf(form);
		if (r.kind === "offset") {
			const to = next(recall(storage, key, Date.now()), positions, r.position);
			press(form, "position", to.position);
			press(form, "datum", to.datum);
		}
	});
}

/** The leaves of the holes: strokes and keys do what the links below do. */
function leaves() {
	const turn = (/** @type {number} */ way) => {
		const leaf = [...document.querySelectorAll(".leaf")].find(l => l.checkVisibility());
		const link = leaf?.querySelector(way > 0 ? "a[rel=next]" : "a[rel=prev]");
		if (link instanceof HTMLAnchorElement) link.click();
	};
	let x = 0, y = 0;
	const typing = (/** @type {Event} */ e) => e.target instanceof Element && e.target.closest("input, select, textarea");
	document.addEventListener("touchstart", e => {
		({ clientX: x, clientY: y } = e.changedTouches[0]);
	}, { passive: true });
	document.addEventListener("touchend", e => {
		const [t, other] = e.changedTouches;
		const way = other || typing(e) ? 0 : turned(t.clientX - x, t.clientY - y);
		if (way) turn(way);
	}, { passive: true });
	document.addEventListener("keydown", e => {
		if (typing(e) || e.altKey || e.ctrlKey || e.metaKey) return;
		if (e.key === "ArrowRight") turn(1);
		if (e.key === "ArrowLeft") turn(-1);
	});
}

/** Wires all of that to the page. */
export function hand() {
	for (const form of document.querySelectorAll("form[data-act=measure]")) {
		if (form instanceof HTMLFormElement) readings(form, localStorage);
	}
	const says = document.querySelector("[data-awake]");
	if (!says) return;
	leaves();
	awake(document, navigator.wakeLock, sentence => { says.textContent = sentence; });
}
