// Gives what cannot be read on the drawings of the page that is shown: texts that lie on
// each other, or not wholly in their drawing.
(() => {
	const faults = [];
	const slack = 0.5; // of a pixel: rounding
	for (const plan of document.querySelectorAll("svg.plan")) {
		const sheet = plan.getBoundingClientRect();
		const name = plan.getAttribute("aria-label");
		const texts = [...plan.querySelectorAll("text")].map(e => ({said: e.textContent, box: e.getBoundingClientRect()}))
			.filter(t => t.box.width > 0);
		texts.forEach(({said, box}, i) => {
			if (box.left < sheet.left - slack || box.right > sheet.right + slack || box.top < sheet.top - slack ||
				box.bottom > sheet.bottom + slack) faults.push(`${name}: "${said}" is not wholly in the drawing`);
			for (const other of texts.slice(0, i)) {
				const o = other.box;
				if (Math.min(box.right, o.right) - Math.max(box.left, o.left) > slack &&
					Math.min(box.bottom, o.bottom) - Math.max(box.top, o.top) > slack)
					faults.push(`${name}: "${said}" lies on "${other.said}"`);
			}
		});
	}
	return faults;
})()
