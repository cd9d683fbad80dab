package web

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"
	"net/http"
	"net/http/httptest"
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
// none lies outside, on a phone and on a wide screen.
func labelsAreApart(t *testing.T, ctx context.Context) {
	t.Helper()
	for _, width := range []int64{390, 1400} {
		faults, err := overlaps(ctx, width)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range faults {
			t.Errorf("at %d: %s", width, fault)
		}
	}
}

func overlaps(ctx context.Context, width int64) ([]string, error) {
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(width, 844)); err != nil {
		return nil, err
	}
	return chromedp.Run(ctx, chromedp.Evaluate[[]string](overlapping))
}

// TestDrawingsOfRandomRoomsInABrowser: the boxes of the texts as they were drawn, in 200
// rooms. The drawing's own tests compare the boxes that it reckons with.
func TestDrawingsOfRandomRoomsInABrowser(t *testing.T) {
	ctx := browser(t)
	const rooms, aPage = 200, 20
	mux := http.NewServeMux()
	for _, a := range Assets {
		mux.HandleFunc(a.Path, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", a.Type)
			_, _ = bytes.NewReader(a.Data).WriteTo(w)
		})
	}
	mux.HandleFunc("/rooms/{first}", func(w http.ResponseWriter, r *http.Request) {
		var first uint64
		_, _ = fmt.Sscan(r.PathValue("first"), &first)
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = fmt.Fprintf(w, `<!doctype html><meta name="viewport" content="width=device-width"/>`+
			`<link rel="stylesheet" href="%s"/><main class="sheet">`, assetPath("sheet.css"))
		for seed := first; seed < first+aPage; seed++ {
			p := drawingtest.Plan(seed)
			p.Title = fmt.Sprintf("room %d", seed)
			_, _ = fmt.Fprintf(w, `<figure class="plan-sheet">%s</figure>`, p.SVG())
		}
	})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	for first := 0; first < rooms; first += aPage {
		if err := chromedp.Do(ctx, chromedp.Navigate(fmt.Sprintf("%s/rooms/%d", server.URL, first))); err != nil {
			t.Fatal(err)
		}
		n, err := chromedp.Run(ctx, chromedp.Evaluate[int](`document.querySelectorAll("svg.plan text").length`))
		if err != nil || n < 100 {
			t.Fatalf("%d texts on a page, %v", n, err)
		}
		labelsAreApart(t, ctx)
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
	if faults, err := overlaps(ctx, 390); err != nil || len(faults) != 2 {
		t.Errorf("%q, %v: want two on one and three outside", faults, err)
	}
}
