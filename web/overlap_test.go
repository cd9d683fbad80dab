package web

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"
	"net/http"
	"net/http/httptest"
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
