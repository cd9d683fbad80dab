package web

import (
	"context"
	_ "embed"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"lathmark/web/drawing/drawingtest"
)

// overlapping is the script that measures the texts of a page's drawings.
//
//go:embed testdata/overlap.js
var overlapping string

// labelsAreApart: on the drawings of the page that is shown no two labels overlap and
// none lies outside, on a phone, on a wide screen and on paper.
func labelsAreApart(t *testing.T, ctx context.Context) {
	t.Helper()
	if err := chromedp.Do(ctx, paper()); err != nil {
		t.Fatal(err)
	}
	for _, fault := range overlaps(t, ctx, 718) { // A4 within margins of 10 mm
		t.Errorf("on paper: %s", fault)
	}
	if err := chromedp.Do(ctx, night(false)); err != nil {
		t.Fatal(err)
	}
	for _, width := range []int64{390, 1400} {
		for _, fault := range overlaps(t, ctx, width) {
			t.Errorf("at %d: %s", width, fault)
		}
	}
}

func overlaps(t *testing.T, ctx context.Context, width int64) []string {
	t.Helper()
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(width, 844)); err != nil {
		t.Fatal(err)
	}
	faults, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](overlapping))
	if err != nil {
		t.Fatal(err)
	}
	return faults
}

// TestDrawingsOfRandomRoomsInABrowser: the boxes of the texts as they were drawn, in 200
// rooms on one page. The drawing's own tests compare the boxes that it reckons with.
func TestDrawingsOfRandomRoomsInABrowser(t *testing.T) {
	ctx, server := browser(t), shelf(t)
	if err := chromedp.Do(ctx, chromedp.Navigate(server.URL+"/random-rooms")); err != nil {
		t.Fatal(err)
	}
	n, err := chromedp.Run(ctx, chromedp.Evaluate[int](`document.querySelectorAll("svg.plan text").length`))
	if err != nil || n < 1000 {
		t.Fatalf("%d texts on the page, %v", n, err)
	}
	labelsAreApart(t, ctx)
}

// randomRooms writes a page of the drawings of 200 rooms.
func randomRooms(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = fmt.Fprintf(w, `<!doctype html><meta name="viewport" content="width=device-width"/>`+
		`<link rel="stylesheet" href="%s"/><main class="sheet">`, assetPath("sheet.css"))
	for seed := range uint64(200) {
		p := drawingtest.Plan(seed)
		p.Title = fmt.Sprintf("room %d", seed)
		_, _ = fmt.Fprintf(w, `<figure class="plan-sheet">%s</figure>`, p.SVG())
	}
}

// TestMarksAreTouchedOn48: what is within 24 px of a position on a phone and nearer to it than to
// another is touched as that position; and no touch of a position goes to a wall or timber.
func TestMarksAreTouchedOn48(t *testing.T) {
	ctx, server := browser(t), shelf(t)
	for _, page := range []string{"room", "measure", "set-out"} {
		if err := chromedp.Do(ctx, chromedp.EmulateViewport(390, 3000), chromedp.Navigate(server.URL+"/"+page)); err != nil {
			t.Fatal(err)
		}
		faults, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](`(() => {
			const marks = [...document.querySelectorAll(".plan .position")].map(e => {
				const b = e.querySelector(".ring").getBoundingClientRect();
				return {e, x: b.left + b.width / 2, y: b.top + b.height / 2};
			});
			if (marks.length < 3) return ["only " + marks.length + " marks"];
			scrollTo(0, marks[0].y - 300);
			const down = scrollY, out = [];
			for (const m of marks) for (let k = 0; k < 16; k++) for (const far of [4, 14, 23.5]) {
				const x = m.x + far * Math.cos(k * Math.PI / 8), y = m.y + far * Math.sin(k * Math.PI / 8) - down;
				const nearest = marks.every(o => o === m || Math.hypot(o.x - x, o.y - down - y) > far + 0.5);
				const hit = document.elementFromPoint(x, y)?.closest(".plan a");
				if (nearest && hit !== m.e && !hit?.querySelector("circle.pin"))
					out.push(m.e.id + " at " + far + ", " + k + " is " + hit?.id);
			}
			return out;
		})()`))
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range faults {
			t.Errorf("%s: %s", page, fault)
		}
	}
}

// TestTouchingThePlanChooses the position and the datum in the form beside it, and leaves the
// page as it is.
func TestTouchingThePlanChooses(t *testing.T) {
	ctx, server := browser(t), shelf(t)
	at := server.URL + "/measure"
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(390, 844), chromedp.Navigate(at)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ mark, field, want string }{
		{"#plan-ceiling-position-D4", "position", "q4"}, {"#plan-ceiling-position-D1", "position", "q1"},
		{"#plan-ceiling-datum-south", "datum", "d1|"},
	} {
		got, err := chromedp.Run(ctx, chromedp.Evaluate[string](`(() => {
			const mark = document.querySelector("`+c.mark+`");
			if (!mark) return "no mark";
			mark.querySelector(".touch").dispatchEvent(new MouseEvent("click", {bubbles: true, cancelable: true}));
			return mark.classList.contains("chosen") + " " +
				(document.querySelector("input[name=`+c.field+`]:checked")?.value ?? "") + " " + location.href;
		})()`))
		if err != nil || !strings.HasPrefix(got, "true "+c.want) || !strings.HasSuffix(got, " "+at) {
			t.Errorf("%s: %q, %v", c.mark, got, err)
		}
	}
}

// TestOverlapIsSeen where there is one.
func TestOverlapIsSeen(t *testing.T) {
	ctx := browser(t)
	const page = `data:text/html,<svg class="plan" aria-label="P" width="300" height="100"><text x="9" y="50">one</text>` +
		`<text x="12" y="55">two</text><text x="290" y="50">three</text></svg>`
	if err := chromedp.Do(ctx, chromedp.Navigate(page)); err != nil {
		t.Fatal(err)
	}
	if faults := overlaps(t, ctx, 390); len(faults) != 2 {
		t.Errorf("%q: want two on one and three outside", faults)
	}
}
