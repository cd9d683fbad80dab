// Gives the faults of the page that is shown: what a thumb would miss, what an
// eye would not read, what scrolls sideways. TEXT is the size of the root's text.
(() => {
	document.documentElement.style.fontSize = "TEXT";
	const faults = [];
	const least = 48, slack = 0.51; // half a pixel of rounding
	const said = e => (e.getAttribute("aria-label") || e.textContent.trim() || e.querySelector("img")?.alt || e.name || "").replace(/\s+/g, " ").trim().slice(0, 30);
	const name = e => `<${e.localName}${e.className && e.className.baseVal === undefined ? "." + e.className.split(" ").join(".") : ""}> "${said(e)}"`;
	const shown = e => e.checkVisibility({visibilityProperty: true}) && !e.closest(".sr") && e.getBoundingClientRect().width > 1;

	// In a sentence: the line has words besides the link's.
	const inSentence = a => {
		if (a.localName !== "a" || getComputedStyle(a).display !== "inline") return false;
		const near = [...a.parentNode.childNodes].filter(n => n.nodeType === 3);
		return near.some(n => /\p{L}/u.test(n.textContent));
	};
	const target = e => e.matches("input[type=radio], input[type=checkbox]") && e.closest("label") || e;
	const seen = new Set();
	const targets = [];
	for (const e of document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0'][role=button]")) {
		const t = target(e);
		if (seen.has(t) || !shown(t) || t.closest("svg") || inSentence(t)) continue;
		seen.add(t);
		targets.push(t);
	}
	const boxes = targets.map(t => t.getBoundingClientRect());
	targets.forEach((t, i) => {
		const b = boxes[i];
		if (b.width < least - slack || b.height < least - slack) faults.push(`${name(t)} is touched on ${Math.round(b.width)} x ${Math.round(b.height)}`);
		for (let k = 0; k < i; k++) {
			const o = boxes[k];
			const wide = Math.min(b.right, o.right) - Math.max(b.left, o.left), high = Math.min(b.bottom, o.bottom) - Math.max(b.top, o.top);
			if (wide > 1 && high > 1 && !t.contains(targets[k]) && !targets[k].contains(t) && !t.closest(".thumb, .leaf-turn") && !targets[k].closest(".thumb, .leaf-turn"))
				faults.push(`${name(t)} lies on ${name(targets[k])}`);
		}
	});
	for (const e of document.querySelectorAll("input:not([type=hidden], [type=radio], [type=checkbox]), select, textarea"))
		if (parseFloat(getComputedStyle(e).fontSize) < 16) faults.push(`${name(e)} zooms the page: its text is below 16 px`);

	// Contrast, as WCAG 2.2 defines it.
	const probe = document.createElement("canvas").getContext("2d", {willReadFrequently: true});
	const known = new Map();
	const rgba = colour => {
		if (!known.has(colour)) {
			probe.clearRect(0, 0, 1, 1);
			probe.fillStyle = colour;
			probe.fillRect(0, 0, 1, 1);
			const d = probe.getImageData(0, 0, 1, 1).data;
			known.set(colour, [d[0], d[1], d[2], d[3] / 255]);
		}
		return known.get(colour);
	};
	const over = (top, under) => [0, 1, 2].map(i => top[i] * top[3] + under[i] * (1 - top[3])).concat(1);
	const behind = e => {
		const stack = [];
		for (let p = e; p; p = p.parentElement) {
			if (p instanceof SVGElement && p.localName !== "svg") continue;
			const c = rgba(getComputedStyle(p).backgroundColor);
			stack.push(c);
			if (c[3] === 1) break;
		}
		return stack.reverse().reduce((under, c) => over(c, under), [255, 255, 255, 1]);
	};
	const light = c => {
		const [r, g, b] = c.map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
		return 0.2126 * r + 0.7152 * g + 0.0722 * b;
	};
	const contrast = (a, b) => {
		const [low, high] = [light(a), light(b)].sort((x, y) => x - y);
		return (high + 0.05) / (low + 0.05);
	};
	const told = new Set();
	const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	for (let n = words.nextNode(); n; n = words.nextNode()) {
		const e = n.parentElement;
		if (!n.textContent.trim() || !shown(e) || e.closest("option, optgroup, script, .frame-initials")) continue;
		const style = getComputedStyle(e), ground = behind(e);
		const ink = rgba(e instanceof SVGElement ? style.fill : style.color);
		const ratio = contrast(over(ink, ground), ground);
		const key = e.className + style.color + ground;
		if (ratio < 7 && !told.has(key)) {
			told.add(key);
			faults.push(`${name(e)} has a contrast of ${ratio.toFixed(1)}:1`);
		}
	}
	// Lines that tell something: frames, hatchings, the edges of what is touched.
	const line = (e, colour, what) => {
		const ground = behind(e.parentElement), ratio = contrast(over(rgba(colour), ground), ground);
		const key = "line" + e.getAttribute("class") + colour;
		if (ratio < 3 && !told.has(key)) {
			told.add(key);
			faults.push(`${name(e)}: ${what} of ${ratio.toFixed(1)}:1`);
		}
	};
	for (const e of document.querySelectorAll(".frame-edge, .frame-hatch, .hatch, .face, .sym, .plan .chain, .plan .hidden, .plan .dim, .plan .lead, .plan .sure"))
		if (shown(e) && getComputedStyle(e).stroke !== "none") line(e, getComputedStyle(e).stroke, "a line");
	for (const e of document.querySelectorAll(".pad, input:not([type=radio], [type=checkbox], [type=hidden]), select, textarea, button.quiet"))
		if (shown(e)) line(e, getComputedStyle(e).borderBottomColor, "an edge");

	// Sideways: never the page; a part of it only where keys can reach it.
	const wide = document.documentElement.scrollWidth;
	if (wide > document.documentElement.clientWidth) {
		const out = [...document.body.querySelectorAll("*")].filter(e => shown(e) && e.getBoundingClientRect().right > document.documentElement.clientWidth + 1);
		faults.push(`the page is ${wide} wide: ${out.slice(-3).map(name).join(", ")}`);
	}
	for (const e of document.body.querySelectorAll("*")) {
		if (!shown(e) || e instanceof SVGElement || e.scrollWidth <= e.clientWidth + 1) continue;
		const x = getComputedStyle(e).overflowX;
		if ((x === "auto" || x === "scroll") && e.tabIndex < 0) faults.push(`${name(e)} scrolls sideways and no key reaches it`);
		if ((x === "hidden" || x === "clip") && e.clientWidth > 1) faults.push(`${name(e)} cuts off ${e.scrollWidth - e.clientWidth} px`);
	}
	return faults;
})()
