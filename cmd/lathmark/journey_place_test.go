package main

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// touchPlan touches the plan that is shown at a place of its surface, mm.
func (p *phone) touchPlan(u, v float64) {
	p.t.Helper()
	p.taps++
	at := eval[[]float64](p, fmt.Sprintf(`(() => {
		const svg = document.querySelector("figure.planning:not([hidden]) svg");
		svg.scrollIntoView({block: "center"});
		const [cos, sin, minX, maxY, scale, ox, oy] = svg.dataset.frame.split(" ").map(Number);
		const u = %g, v = %g, x = u * cos - v * sin, y = u * sin + v * cos;
		const at = new DOMPoint(ox + (x - minX) * scale, oy + (maxY - y) * scale).matrixTransform(svg.getScreenCTM());
		return [at.x, at.y] })()`, u, v))
	p.do(chromedp.MouseClickXY(at[0], at[1]))
}

// placed waits until a field has the place that was touched, to within what a thumb on 390 px can.
func (p *phone) placed(field string, u, v float64) {
	p.t.Helper()
	p.comesTo(fmt.Sprintf(`(() => {
		const [u, v] = document.querySelector("#f-%s").value.split(" ").map(Number);
		return u %% 10 === 0 && v %% 10 === 0 && Math.hypot(u - %g, v - %g) <= 20 })()`, field, u, v))
}

// coming waits until the plan has so many positions or timbers that are not saved yet.
func (p *phone) coming(n int, what string) {
	p.t.Helper()
	p.comesTo(fmt.Sprintf(`document.querySelectorAll("figure.planning:not([hidden]) .coming.%s").length === %d`, what, n))
}

// A position is placed by touching the plan, on a phone of 390 px to within a finger; a grid and a run of joists
// are on the plan before they are saved.
func TestAPlaceIsTouchedOnThePlan(t *testing.T) {
	b := build(t)
	p := b.as(t, b.Foreman)
	at := b.bareRoom(t, 1)
	p.open(at + "/schedule")
	p.sees("Touch the plan where it goes.")
	p.fill("Name", "P1", "One position")
	p.fill("What", "pendant", "One position")
	p.touchPlan(1200, 700)
	p.placed("place", 1200, 700)
	p.comesTo(`document.querySelectorAll(".plan .placed").length === 1`)
	p.sees("Planned at: ", "along and up the sheet")
	p.touchPlan(900, 1500)
	p.placed("place", 900, 1500)
	p.press("Add the position")
	p.sees("P1", "pendant")
	p.fill("Rows", "2", "Spaced")
	p.fill("Columns", "3", "Spaced")
	p.coming(6, "position")
	p.fill("Columns", "4", "Spaced")
	p.coming(8, "position")
	p.fill("Names begin with", "L", "Spaced")
	p.comesTo(`document.querySelector("figure.planning").textContent.includes("L8")`)
	p.fill("What", "downlight", "Spaced")
	p.press("Space them")
	p.sees("L8")
	p.coming(0, "position")

	p.follow("No timbers drawn yet: add them")
	p.fill("First centre at", "400", "")
	p.fill("Centre to centre", "600", "")
	p.coming(6, "timber")
	p.must("label", "Counted from", "")
	face := eval[string](p, `document.querySelector("[data-thumb]").selectedOptions[0].label`)
	if face != "east wall" && face != "west wall" {
		t.Errorf("joists of a room 3600 by 2400 run along the %q, not along a short wall", face)
	}
	p.choose("One, by its ends")
	p.touchPlan(1500, 0)
	p.touchPlan(1500, 2400)
	p.placed("from", 1500, 0)
	p.placed("to", 1500, 2400)
	p.fill("Width", "47", "")
	p.press("Add to the timbers")
	p.sees("J1")

	p.open(at + "/schedule")
	p.follow("change P1")
	p.touchPlan(2000, 1100)
	p.press("Save the changes")
	p.follow("change P1")
	p.placed("place", 2000, 1100)
}
