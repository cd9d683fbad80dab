// What a record gave that waits on this phone, as the server's page says it.

import * as outbox from "./outbox.js";
import { verdict } from "./sums.js";
import { about, button, make } from "./page.js";
import { GONE } from "./queue.js";

/** @typedef {import("./queue.js").Act} Act */

/** @param {string} big @param {string} small */
const figure = (big, small) => make("p", { class: "big" }, big + " ", make("small", {}, small));

/** @param {...(Node | string)} words */
const line = (...words) => make("p", { class: "says" }, ...words);

/** @param {import("./sums.js").Answer | undefined} answer @returns {Node[]} */
function says(answer) {
	const v = answer?.verdict, wrong = (answer?.wrong ?? []).map(w => line(`${w.wrong}. ${w.mend}.`));
	if (!v) return answer ? wrong : [line("The position will be worked out when there is signal.")];
	return [
		line(make("b", {}, v.position), ` ${v.reading} Worked out on this phone.`), ...wrong,
		...(v.placed && v.from || []).map(m => figure("" + Math.round(m.value), m.says)),
		v.placed ? figure("± " + Math.round(v.plusMinus ?? 0), v.check ?? (v.checked ? "checked" : "not checked"))
			: figure("no place yet", ""),
		...v.question ? [line(make("b", {}, "Is that right? "), v.question)] : [],
		...v.doubt ? [line(make("b", {}, v.doubt))] : [],
		v.owed ? line(make("b", {}, "Still to do:"), " " + v.owed)
			: line(`Nothing more to measure for ${v.position}.`),
	];
}

/** Takes a reading back that is still here, and has it read anew. @param {Act} act */
function takeBack(act) {
	const says = make("p", { role: "status" });
	return make("div", {}, button("That was wrong: take it back", async () => {
		says.textContent = "One moment.";
		if (await outbox.queue.takeBack(act.id)) {
			document.getElementById("gave")?.replaceChildren(line("Taken back: ", act.says));
			document.dispatchEvent(new CustomEvent("anew", { detail: act }));
		} else {
			const sent = await outbox.queue.get(act.id);
			says.replaceChildren(`${GONE} `, make("a", { href: sent?.go ?? act.page }, "Show it"));
		}
	}), says);
}

/** Shows at the form what a record gave, once that is worked out. */
export function listen() {
	document.addEventListener("kept", async e => {
		const act = /** @type {CustomEvent<Act | undefined>} */ (e).detail, form = /** @type {Element} */ (e.target);
		if (!act || act.state === "refused" || !/^(measure|open-hole)$/.test(act.kind)) return;
		const before = (await outbox.acts(about.room)).filter(a => /waiting|sent/.test(a.state));
		const all = says(await verdict(about.room ?? "", before, act));
		document.getElementById("gave")?.remove();
		if (!all.length) return;
		if (act.kind === "measure") all.push(takeBack(act));
		(form.closest(".beside") ?? form).before(make("section", { class: "result", id: "gave", role: "status" }, ...all));
	});
}
