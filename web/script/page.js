// What the page is about, and how elements are made for it.

/** What the body element says: whose page it is, of which room, as of when. */
export const about = document.body.dataset;

/** Whether the page was drawn from the copy on this phone. */
export const isCopy = about.copy !== undefined;

/**
 * An element with attributes and children. "class" and "data-x" are
 * attributes, functions are listeners.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string | (() => void)>} [attributes]
 * @param {(Node | string)[]} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function make(tag, attributes = {}, ...children) {
	const e = document.createElement(tag);
	for (const [name, value] of Object.entries(attributes)) {
		if (typeof value === "string") e.setAttribute(name, value);
		else e.addEventListener(name, value);
	}
	e.append(...children);
	return e;
}

/**
 * Puts children into an element, but only where they say something else than
 * those there: what a thumb is about to press stays under it.
 * @param {Element} e @param {Node[]} children
 */
export function fillWith(e, children) {
	const says = children.map(c => c instanceof Element ? c.outerHTML : c.textContent).join("");
	if (drawn.get(e) === says) return;
	drawn.set(e, says);
	e.replaceChildren(...children);
}

/** @type {WeakMap<Element, string>} */
const drawn = new WeakMap();

/**
 * @typedef {HTMLInputElement & Omit<HTMLSelectElement, "type">} Field a form's input, select or text area: what
 * it has not is undefined
 */

/** What can be filled in on a form, wherever it stands, and what is hidden with it. @param {HTMLFormElement} form */
export const fieldsOf = form =>
	/** @type {Field[]} */ ([...form.elements].filter(e => e.matches("input, select, textarea")));

/** Whether a field is ticked and not typed into. @param {Field} field */
export const isBox = field => /radio|checkbox/.test(field.type);

/** A button that is no form's. @param {string} words @param {() => void} press */
export function button(words, press) {
	return make("button", { type: "button", class: "quiet", click: press }, words);
}
