// The one script that pages load: it wires up the others. Pages work without
// it; what it adds is work without signal. What one page alone needs, that page alone loads.

import { again } from "./again.js";
import { choose } from "./choose.js";
import * as forms from "./forms.js";
import * as gave from "./gave.js";
import { listen } from "./live.js";
import { about } from "./page.js";
import * as phone from "./phone.js";
import { typed } from "./typed.js";

typed();
forms.listen();
gave.listen();
void phone.listen();
listen();
if (document.querySelector("[data-awake]")) void import("./hand.js").then(m => m.hand());
again();
if (document.querySelector(".outline-sketch")) void import("./outline.js").then(m => m.outline());
if (document.querySelector(".planning")) void import("./place.js").then(m => m.places());
choose();
if (document.querySelector("[data-move]")) void import("./chart.js").then(m => m.chart());
if (document.querySelector("[data-steps]")) void import("./reading.js").then(m => m.readings());
if (document.querySelector("[data-passkey]")) void import("./passkey.js").then(m => m.passkeys());

if (about.member && "serviceWorker" in navigator) {
	navigator.serviceWorker.register("/worker.js").catch(() => {
		// Without it the pages need signal, which they say themselves.
	});
	// A page that was on its way while the worker took over has none yet.
	void navigator.serviceWorker.ready.then(r => navigator.serviceWorker.controller ?? r.active?.postMessage("take over"));
}
