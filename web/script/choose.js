// A plan beside a form: what is touched on it is chosen in the form, and what is chosen
// there is marked on the plan. Without script its marks are links.

/** @typedef {{name: string, value: string, folded: boolean}} Choice */

/**
 * The choice that a mark stands for: its field's radio with its value or, where that has
 * more than one part (a datum and its state), the first that begins with it and is
 * not folded away.
 * @template {Choice} T
 * @param {T[]} radios
 * @param {string} field @param {string} value
 */
export function meant(radios, field, value) {
	const own = radios.filter(r => r.name === field && (r.value === value || r.value.startsWith(value + "|")));
	return own.find(r => !r.folded) ?? own[0];
}

/** Every radio of the page. */
const radios = () => [...document.querySelectorAll("input")].filter(i => i.type === "radio").map(input =>
	({ input, name: input.name, value: input.value, folded: !!input.closest("details:not([open])") }));

/** @param {Element} mark */
const told = mark => ({ field: mark.getAttribute("data-field") ?? "", value: mark.getAttribute("data-value") ?? "" });

/** Marks on the plan what the form has chosen. */
function show() {
	const all = radios();
	for (const mark of document.querySelectorAll(".plan [data-field]")) {
		const { field, value } = told(mark);
		const chosen = all.some(r => r.input.checked && r.name === field && r.value.split("|")[0] === value);
		mark.classList.toggle("chosen", chosen);
	}
}

/** @param {MouseEvent} e */
function touched(e) {
	const mark = /** @type {Element} */ (e.target).closest(".plan a[data-field]");
	if (!mark || e.ctrlKey || e.metaKey || e.shiftKey) return;
	const { field, value } = told(mark);
	const found = meant(radios(), field, value);
	// Not in this form: the link leads on.
	if (!found) return;
	e.preventDefault();
	const { input } = found;
	input.closest("details")?.setAttribute("open", "");
	input.checked = true;
	for (const kind of ["input", "change"]) input.dispatchEvent(new Event(kind, { bubbles: true }));
}

/** Listens for touches on plans that stand beside a form. */
export function choose() {
	document.addEventListener("click", touched);
	document.addEventListener("change", show);
	show();
}
