// A room's outline drawn as one types: length and width, or wall by wall. The rows fill the form's own lines, which
// pages without script have in their place.

const NS = "http://www.w3.org/2000/svg";
const turns = { left: 90, right: -90, straight: 0 };
const closes = 60; // mm, as the server spreads over the walls

/** @typedef {{length: number, typed: string, turn: number, word: string, name: string}} Wall */
/** @typedef {{x: number, y: number}} Point */

/**
 * What people type as a length, in mm; NaN where it is none.
 * @param {string} text
 */
export function millimetres(text) {
	const [, figure, unit] = /^([\d., ]+?)\s*(mm|cm|m)?$/.exec(text.trim().toLowerCase()) ?? [];
	if (!figure) return NaN;
	const whole = figure.replace(/[, ](?=\d{3}\b)/g, "");
	return Number(whole) * (unit === "m" ? 1000 : unit === "cm" ? 10 : 1);
}

/** @param {string} text @returns {Wall[]} */
export function wallsOf(text) {
	return text.split("\n").map(l => l.trim()).filter(Boolean).map(line => {
		const [typed, word = "left", ...name] = line.split(/\s+/).filter(w => w !== "mm");
		const turn = turns[/** @type {keyof typeof turns} */ (word.toLowerCase())] ?? Number(word);
		return { length: millimetres(typed ?? ""), typed: typed ?? "", turn, word: word.toLowerCase(), name: name.join(" ") };
	});
}

/** @param {Wall[]} walls */
export function linesOf(walls) {
	return walls.map(w => [w.typed.replace(/\s/g, ""), w.word, w.name].filter(Boolean).join(" ")).join("\n");
}

/**
 * The corners of walls in order, the last where they end.
 * @param {Wall[]} walls @returns {Point[]}
 */
export function corners(walls) {
	const out = [{ x: 0, y: 0 }];
	let heading = 0;
	for (const w of walls) {
		const { x, y } = /** @type {Point} */ (out.at(-1)), at = heading * Math.PI / 180;
		out.push({ x: x + (w.length || 0) * Math.cos(at), y: y + (w.length || 0) * Math.sin(at) });
		heading += w.turn || 0;
	}
	return out;
}

/**
 * How the walls come round, in words.
 * @param {Wall[]} walls
 */
export function closing(walls) {
	const odd = walls.findIndex(w => !(w.length >= 20 && w.length <= 50000));
	if (odd >= 0) {
		const { length, typed } = walls[odd], metres = length * 1000;
		if (!(length > 0)) return `Wall ${odd + 1} has no length yet.`;
		return `Wall ${odd + 1}: ${typed} was read as ${length} mm` +
			(metres >= 20 && metres <= 50000 ? `: did you mean ${length} m?` : ".");
	}
	if (walls.length < 3) return "";
	const end = /** @type {Point} */ (corners(walls).at(-1)), miss = Math.round(Math.hypot(end.x, end.y));
	if (miss === 0) return "The walls close.";
	const way = [Math.round(Math.abs(end.x)) && `${Math.round(Math.abs(end.x))} mm ${end.x > 0 ? "west" : "east"}`,
		Math.round(Math.abs(end.y)) && `${Math.round(Math.abs(end.y))} mm ${end.y > 0 ? "south" : "north"}`]
		.filter(Boolean).join(" and ");
	if (miss <= closes) return `The walls close to within ${miss} mm, which is spread over them.`;
	return `The walls do not close by ${miss} mm: the first corner is ${way} of here.`;
}

/**
 * Which side of the sheet a wall lies on that is walked with the room on the left.
 * @param {number} heading degrees
 */
export function side(heading) {
	return ["south", "east", "north", "west"][Math.floor(((heading + 45) % 360 + 360) % 360 / 90) % 4];
}

/**
 * @param {string} name @param {Record<string, string | number>} attributes @param {string} [text]
 */
function svg(name, attributes, text) {
	const e = document.createElementNS(NS, name);
	for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, String(v));
	if (text) e.textContent = text;
	return e;
}

/**
 * @param {Wall[]} walls @param {(wall: number, by: number) => void} drag tells by how far a wall is moved outwards, mm
 */
function sketch(walls, drag) {
	const points = corners(walls), xs = points.map(p => p.x), ys = points.map(p => -p.y);
	const wide = Math.max(...xs) - Math.min(...xs), high = Math.max(...ys) - Math.min(...ys);
	const room = Math.max(wide, high, 100), edge = room / 7, text = room / 19;
	const box = [Math.min(...xs) - edge, Math.min(...ys) - edge, wide + 2 * edge, high + 2 * edge];
	const out = svg("svg", { viewBox: box.map(Math.round).join(" "), role: "img", "aria-label": "Sketch of the outline" });
	out.append(svg("polygon", { class: "inside", points: points.map(p => `${p.x},${-p.y}`).join(" ") }));
	const end = points[points.length - 1];
	if (Math.hypot(end.x, end.y) > 1) out.append(svg("line", { class: "gap", x1: end.x, y1: -end.y, x2: 0, y2: 0 }));
	let heading = 0;
	walls.forEach((w, i) => {
		const a = points[i], b = points[i + 1], at = heading * Math.PI / 180;
		const normal = { x: Math.sin(at), y: -Math.cos(at) }; // outwards, up the sheet is y
		const line = { x1: a.x, y1: -a.y, x2: b.x, y2: -b.y };
		out.append(svg("line", { class: "wall", ...line }));
		if (w.length) {
			out.append(svg("text", { x: (a.x + b.x) / 2 + normal.x * text, y: -(a.y + b.y) / 2 - normal.y * text,
				"font-size": Math.round(text) }, String(Math.round(w.length))));
		}
		const grip = svg("line", { class: "grip", ...line });
		grip.addEventListener("pointerdown", e => {
			const from = /** @type {PointerEvent} */ (e), scale = box[2] / out.clientWidth;
			from.preventDefault();
			const move = (/** @type {PointerEvent} */ to) => drag(i, Math.round(((to.clientX - from.clientX) * normal.x -
				(to.clientY - from.clientY) * normal.y) * Math.max(scale, box[3] / out.clientHeight) / 10) * 10);
			addEventListener("pointermove", move);
			addEventListener("pointerup", () => removeEventListener("pointermove", move), { once: true });
			addEventListener("pointercancel", () => removeEventListener("pointermove", move), { once: true });
		});
		out.append(grip);
		heading += w.turn || 0;
	});
	return out;
}

/**
 * Walls with one moved outwards: those beside it that meet it squarely grow or shrink. Others cannot be moved so.
 * @param {Wall[]} walls @param {number} i @param {number} by mm
 */
export function moved(walls, i, by) {
	const n = walls.length, before = walls[(i + n - 1) % n], after = walls[i];
	if (Math.abs(before.turn) !== 90 || Math.abs(after.turn) !== 90) return walls;
	const out = walls.map(w => ({ ...w }));
	for (const [wall, turn] of [[(i + n - 1) % n, before.turn], [(i + 1) % n, after.turn]]) {
		out[wall].length += turn > 0 ? by : -by;
		out[wall].typed = String(out[wall].length);
	}
	return out.some(w => w.length < 100) ? walls : out;
}

/** @param {HTMLElement} place */
function draw(place) {
	const form = place.closest("form");
	const field = (/** @type {string} */ name) => /** @type {HTMLInputElement} */ (form?.elements.namedItem(name));
	const lines = field(place.dataset.outline ?? ""), own = lines?.closest(".field");
	if (!form || !(own instanceof HTMLElement)) return;
	for (const e of own.querySelectorAll("textarea, label, small")) if (e instanceof HTMLElement) e.hidden = true;
	const rows = document.createElement("div"), says = document.createElement("p"), sheet = document.createElement("div");
	own.before(rows);
	place.append(sheet, says);
	const square = () => String(new FormData(form).get("shape")) === "rectangle";
	const rectangle = () => wallsOf([field("length").value, field("width").value, field("length").value,
		field("width").value].map(v => (v.replace(/\s/g, "") || "0") + " left").join("\n"));
	const walls = () => square() ? rectangle() : wallsOf(lines.value);
	const show = () => {
		const now = walls(), typed = now.filter(w => w.length > 0).length;
		says.textContent = typed > (square() ? 3 : 0) ? closing(now) : "";
		sheet.replaceChildren();
		if (typed < 2) return;
		sheet.append(sketch(now, (i, by) => put(moved(now, i, by))));
	};
	const put = (/** @type {Wall[]} */ now) => {
		if (square()) [field("length").value, field("width").value] = [now[0].typed, now[1].typed];
		else lines.value = linesOf(now), list();
		show();
	};
	const list = () => {
		let heading = 0;
		const now = wallsOf(lines.value);
		rows.replaceChildren(...now.map((w, i) => {
			const row = wallRow(w, i, side(heading));
			heading += w.turn || 0;
			return row;
		}), another(now.length));
	};
	const another = (/** @type {number} */ n) => {
		const b = document.createElement("button");
		b.type = "button";
		b.className = "quiet";
		b.textContent = "Add a wall";
		b.addEventListener("click", () => {
			lines.value = (lines.value.trimEnd() + "\n0 left").trim();
			list();
			/** @type {HTMLInputElement | null} */ (rows.querySelectorAll("input.wall-length")[n])?.select();
			show();
		});
		return b;
	};
	rows.addEventListener("input", () => {
		lines.value = [...rows.querySelectorAll(".wall-row")].map(row => [...row.querySelectorAll("input, select")]
			.map(e => /** @type {HTMLInputElement} */ (e).value.trim()).map((v, k) => k ? v : v.replace(/\s/g, "") || "0")
			.filter(Boolean).join(" ")).join("\n");
		show();
	});
	rows.addEventListener("click", e => {
		const at = e.target instanceof HTMLElement ? e.target.dataset.remove : undefined;
		if (at === undefined) return;
		lines.value = linesOf(wallsOf(lines.value).filter((_, i) => i !== Number(at)));
		list();
		show();
	});
	if (!lines.value.trim()) lines.value = "0 left\n0 left\n0 left\n0 left";
	form.addEventListener("input", show);
	form.addEventListener("change", show);
	list();
	show();
}

/** @param {Wall} w @param {number} i @param {string} compass */
function wallRow(w, i, compass) {
	const row = document.createElement("div");
	row.className = "wall-row";
	const number = document.createElement("b"), length = document.createElement("input");
	number.textContent = String(i + 1);
	length.value = w.typed === "0" ? "" : w.typed;
	length.inputMode = "decimal";
	length.className = "wall-length";
	length.setAttribute("aria-label", `Wall ${i + 1}: length, mm`);
	const turn = document.createElement("select");
	turn.setAttribute("aria-label", `Wall ${i + 1}: turn at its end`);
	for (const word of [...new Set(["left", "right", "45", "-45", "straight", w.word])]) {
		const label = Number.isFinite(Number(word)) ? `${word}°` : word;
		turn.append(new Option(label, word, false, word === w.word));
	}
	const name = document.createElement("input");
	name.value = w.name;
	name.placeholder = compass;
	name.setAttribute("aria-label", `Wall ${i + 1}: name`);
	const away = document.createElement("button");
	away.type = "button";
	away.className = "quiet";
	away.dataset.remove = String(i);
	away.setAttribute("aria-label", `Remove wall ${i + 1}`);
	away.textContent = "×";
	row.append(number, length, turn, name, away);
	return row;
}

/** Draws the outline of every form that has one. */
export function outline() {
	for (const place of document.querySelectorAll(".outline-sketch")) if (place instanceof HTMLElement) draw(place);
}
