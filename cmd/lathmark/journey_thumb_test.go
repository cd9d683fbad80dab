package main

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"github.com/chromedp/chromedp"
)

// nth marks the n-th element that a selector returns.
func (p *phone) nth(selector string, n int) {
	p.t.Helper()
	eval[bool](p, fmt.Sprintf(`(() => {
		document.querySelectorAll("[data-thumb]").forEach(e => e.removeAttribute("data-thumb"));
		document.querySelectorAll(%q)[%d].setAttribute("data-thumb", "");
		return true})()`, selector, n))
}

// finder finds what can be seen and said: of several that fit, one whose words are just
// those. It marks what it finds, so that it can be touched.
const finder = `(selector, words, within) => {
	const said = e => (e.textContent || "").replace(/\s+/g, " ").trim();
	const shown = e => e.checkVisibility();
	let root = document.querySelector("main");
	if (within) {
		const head = [...root.querySelectorAll("h2, legend, caption")].find(h => said(h).startsWith(within));
		root = head && head.closest("section, fieldset, table");
	}
	document.querySelectorAll("[data-thumb]").forEach(e => e.removeAttribute("data-thumb"));
	if (!root) return "";
	const all = [...root.querySelectorAll(selector)].filter(e => shown(e) && said(e).includes(words));
	const found = all.find(e => said(e) === words) || all.find(e => said(e).startsWith(words)) || all[0];
	if (!found) return "";
	const control = found.control || found.parentElement.querySelector("[id='" + (found.htmlFor || "") + "']") || found;
	control.setAttribute("data-thumb", "");
	return control.tagName + " " + (control.type || "");
}`

// find marks what fits and returns its tag and type; "" for nothing.
func (p *phone) find(selector, words, within string) string {
	p.t.Helper()
	args := make([]string, 3)
	for i, a := range []string{selector, words, within} {
		quoted, err := json.Marshal(a)
		if err != nil {
			p.t.Fatal(err)
		}
		args[i] = string(quoted)
	}
	return eval[string](p, "("+finder+")("+strings.Join(args, ", ")+")")
}

// must is find for what has to be there.
func (p *phone) must(selector, words, within string) string {
	p.t.Helper()
	got := p.find(selector, words, within)
	if got == "" {
		p.t.Fatalf("%s has no %s %q %s: %.1200s", p.at(), selector, words, within, p.text())
	}
	return got
}

// press touches a button and waits for the page that it leads to.
func (p *phone) press(words string) {
	p.t.Helper()
	p.must("button", words, "")
	p.turns(p.touch(1))
}

// saves touches the button of the form for a reading and waits until the form is ready for
// the next; the page stays.
func (p *phone) saves(words string) {
	p.t.Helper()
	p.must("button", words, "")
	p.saved(p.touch(1))
}

func (p *phone) saved(do chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	token := eval[string](p, `document.querySelector("form.reading [name=token]").value`)
	p.do(do)
	p.comesTo(fmt.Sprintf(`!document.querySelector("[data-busy]") &&
		![undefined, %q].includes((document.querySelector("form.reading [name=token]") || {}).value)`, token))
}

// follow touches a link.
func (p *phone) follow(words string) {
	p.t.Helper()
	p.must("a", words, "")
	p.turns(p.touch(1))
}

// goTo touches a link of the strip at the head of every page.
func (p *phone) goTo(words string) {
	p.t.Helper()
	p.nth(".strip a", eval[int](p, fmt.Sprintf(
		`[...document.querySelectorAll(".strip a")].findIndex(a => a.textContent.trim() === %q)`, words)))
	p.turns(p.touch(1))
}

// unfold touches the heading of a part of the page that is folded.
func (p *phone) unfold(words string) {
	p.t.Helper()
	p.must("summary", words, "")
	p.do(p.touch(1))
}

// offers reports whether there is such a button.
func (p *phone) offers(words string) bool { return p.find("button", words, "") != "" }

// fill returns the field with a label its value: typed, chosen or ticked. within names the
// part of the page by its heading; "" is the whole page.
func (p *phone) fill(label, value, within string) {
	p.t.Helper()
	switch kind := p.must("label", label, within); {
	case strings.HasPrefix(kind, "SELECT"):
		p.taps += 2 // it opens, and one is touched
		if !eval[bool](p, fmt.Sprintf(`(() => {
			const e = document.querySelector("[data-thumb]");
			const o = [...e.options].find(o => o.textContent.trim().startsWith(%q));
			if (o) { e.value = o.value; e.dispatchEvent(new Event("change", {bubbles: true})); }
			return !!o})()`, value)) {
			p.t.Fatalf("%s: %q does not offer %q: %s", p.at(), label, value,
				eval[string](p, `[...document.querySelector("[data-thumb]").options].map(o => o.textContent.trim()).join("; ")`))
		}
	case strings.HasSuffix(kind, "radio"), strings.HasSuffix(kind, "checkbox"):
		p.do(p.touch(1))
	case strings.HasSuffix(kind, "date"):
		p.taps += 2 // it opens, and a day is touched
		eval[bool](p, fmt.Sprintf(`(document.querySelector("[data-thumb]").value = %q) !== ""`, value))
	default:
		p.write(value)
	}
}

func (p *phone) do(act chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patienceOfAThumb)
	defer cancel()
	if err := chromedp.Do(ctx, act); err != nil {
		p.t.Fatalf("%s: %v", p.at(), err)
	}
}

// choose touches a radio button or a box by its own words.
func (p *phone) choose(words string) { p.t.Helper(); p.fill(words, "", "") }

// pad touches a pad, unless it is pressed already, and first opens the part of the page
// that it is folded into. It counts the touches.
func (p *phone) pad(words string) (touches int) {
	p.t.Helper()
	switch eval[string](p, fmt.Sprintf(`(() => {
		const pad = [...document.querySelectorAll(".pad")].find(e => e.textContent.trim() === %q);
		return !pad ? "none" : pad.control.checked ? "pressed" : pad.checkVisibility() ? "there"
			: pad.closest("details").querySelector("summary").textContent})()`, words)) {
	case "none":
		p.t.Fatalf("%s has no pad %q: %.1200s", p.at(), words, p.text())
	case "pressed":
		return 0
	case "there":
	default:
		eval[bool](p, fmt.Sprintf(`(() => {
			document.querySelectorAll("[data-thumb]").forEach(e => e.removeAttribute("data-thumb"));
			const pad = [...document.querySelectorAll(".pad")].find(e => e.textContent.trim() === %q);
			pad.closest("details").querySelector("summary").setAttribute("data-thumb", "");
			return true})()`, words))
		p.do(p.touch(1))
		touches++
	}
	p.choose(words)
	return touches + 1
}

// typed returns what stands in the field with a label.
func (p *phone) typed(label string) string {
	p.t.Helper()
	p.must("label", label, "")
	return eval[string](p, `document.querySelector("[data-thumb]").value`)
}

// write types text into the field that find has marked, in place of what is there. To touch it is
// a tap, where it is not typed into already.
func (p *phone) write(text string) {
	p.t.Helper()
	if !eval[bool](p, `(() => { const e = document.querySelector("[data-thumb]"), there = document.activeElement === e;
		e.focus(); e.value = ""; return there })()`) {
		p.taps++
	}
	p.do(chromedp.KeyEvent(text))
}

// paste puts text into the field that find has marked.
func (p *phone) paste(text string) {
	p.t.Helper()
	p.taps++
	quoted, err := json.Marshal(text)
	if err != nil {
		p.t.Fatal(err)
	}
	eval[bool](p, `(document.querySelector("[data-thumb]").value = `+string(quoted)+`) !== ""`)
}
