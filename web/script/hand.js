// What the hand is spared at the holes: the leaves turn under a thumb, and the screen
// stays awake on them.

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
			say("The screen may switch off on this page. Touch it now and then.");
		}
	};
	doc.addEventListener("visibilitychange", ask);
	return ask();
}

/** The leaves of the holes: strokes and keys do what the links below do. */
function leaves() {
	const turn = (/** @type {number} */ way) => {
		const leaf = [...document.querySelectorAll(".leaf")].find(l => l.checkVisibility());
		/** @type {HTMLElement | null | undefined} */ (leaf?.querySelector(way > 0 ? "a[rel=next]" : "a[rel=prev]"))?.click();
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
	const says = document.querySelector("[data-awake]");
	if (!says) return;
	leaves();
	awake(document, navigator.wakeLock, sentence => { says.textContent = sentence; });
}
