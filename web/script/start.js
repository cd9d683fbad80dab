// The one script that pages load: it wires up the others. Pages work without
// it; what it adds is work without signal.

import { hand } from "./hand.js";
import { listen } from "./live.js";

listen();
hand();

if (document.body.dataset.member && "serviceWorker" in navigator) {
	navigator.serviceWorker.register("/worker.js").catch(() => {
		// Without it the pages need signal, which they say themselves.
	});
}
