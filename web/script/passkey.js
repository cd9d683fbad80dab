// Passkeys: a key pair on this device signs its owner in (WebAuthn Level 2). The
// buttons are hidden until it is known that the browser can.

import { only } from "./pack.js";

/** @param {string} text */
const unpack = text => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), c => c.charCodeAt(0));

/** @param {ArrayBuffer | null} bytes */
const pack = bytes => bytes && btoa(String.fromCharCode(...new Uint8Array(bytes)))
	.replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");

/** Thrown where somebody has to sign in again first. */
class Stale extends Error {}

/** @param {string} to @param {unknown} [body] @returns {Promise<any>} */
async function post(to, body) {
	const r = await fetch(to, { method: "POST", headers: { Accept: "application/json",
		"Content-Type": "application/json" }, body: JSON.stringify(body ?? {}) });
	const answer = await r.json();
	if (r.status === 401) throw new Stale("Sign in again first.");
	if (!r.ok) throw new Error(answer.detail ?? "That didn't work. Try again.");
	return answer;
}

/** @param {any} c a credential @param {object} response its own fields */
const answerOf = (c, response) => ({ id: c.id, rawId: pack(c.rawId), type: c.type,
	response: { clientDataJSON: pack(c.response.clientDataJSON), ...response } });

/** @param {string} name */
async function add(name) {
	const { publicKey: o } = await post("/passkeys/begin");
	o.challenge = unpack(o.challenge);
	o.user.id = unpack(o.user.id);
	for (const c of o.excludeCredentials ?? []) c.id = unpack(c.id);
	/** @type {any} */
	const c = await navigator.credentials.create({ publicKey: o });
	return post("/passkeys?name=" + encodeURIComponent(name), answerOf(c,
		{ attestationObject: pack(c.response.attestationObject) }));
}

/** @param {string} query */
async function comeIn(query) {
	const { publicKey: o } = await post("/sign-in/passkey/begin");
	o.challenge = unpack(o.challenge);
	/** @type {any} */
	const c = await navigator.credentials.get({ publicKey: o });
	const r = c.response;
	const answer = await post("/sign-in/passkey" + query, answerOf(c, { authenticatorData: pack(r.authenticatorData),
		signature: pack(r.signature), userHandle: pack(r.userHandle) }));
	// The worker does not see it: the copy may be that of the one before.
	await only("");
	return answer;
}

export function passkeys() {
	for (const box of document.querySelectorAll("[data-passkey]")) {
		const button = box.querySelector("button"), says = box.querySelector("[role=status]"),
			name = box.querySelector("input");
		if (!(box instanceof HTMLElement) || !button || !says || !("PublicKeyCredential" in window)) continue;
		box.hidden = false;
		button.addEventListener("click", async () => {
			button.disabled = true;
			says.textContent = "";
			try {
				const { go } = await (name ? add(name.value) : comeIn(box.dataset.passkey === "again" ? "?again=yes" : ""));
				const on = document.querySelector("#goes-on");
				if (on instanceof HTMLFormElement) on.requestSubmit();
				else location.href = go;
			} catch (e) {
				if (e instanceof Stale && name) {
					location.href = "/sign-in/again?called=" + encodeURIComponent(name.value);
					return;
				}
				// The browser's own words are about its workings: nobody touched, or it timed out.
				says.textContent = e instanceof DOMException ? "No passkey was chosen on this device." : e instanceof Error
					? e.message : "";
				button.disabled = false;
			}
		});
	}
}
