package web

import (
	"context"
	_ "embed"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// touching is the script that the browser runs on a page: it finds what a thumb
// would miss and an eye could not read.
//
//go:embed testdata/touch.js
var touching string

// phones lists the ways in which every page is looked at. 320 px is the width
// that WCAG 2.2 names for reflow (1.4.10), 200 % the size it names for text
// (1.4.4).
var phones = []struct {
	name  string
	width int64
	text  string
	night bool
}{
	{"390 by day", 390, "100%", false},
	{"390 by night", 390, "100%", true},
	{"320", 320, "100%", false},
	{"320 at 200 %", 320, "200%", false},
	{"390 at 200 %", 390, "200%", false},
}

// isMadeForTheHand: on the page, touch targets are at least 48 px high and
// wide and do not overlap, text has a contrast of 7:1 and drawn lines one of
// 3:1 by day and by night, and only a table's own part scrolls sideways, also
// at 320 px and with text at 200 %.
//
// The figures: 48 px is the project's own, above the 44 of WCAG 2.2, 2.5.5
// (AAA); 7:1 is 1.4.6 (AAA), here for large text as well; 3:1 is 1.4.11. Exempt
// are links within a sentence, as in 2.5.5, and the plan's symbols, which have
// their line in the schedule below.
func isMadeForTheHand(t *testing.T, ctx context.Context) {
	t.Helper()
	for _, p := range phones {
		if err := chromedp.Do(ctx, chromedp.EmulateViewport(p.width, 844), night(p.night)); err != nil {
			t.Fatal(err)
		}
		for _, fault := range touched(t, ctx, p.text) {
			t.Errorf("%s: %s", p.name, fault)
		}
	}
}

// touched returns the faults of the current page, with its text at a size.
func touched(t *testing.T, ctx context.Context, text string) []string {
	t.Helper()
	faults, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](strings.Replace(touching, "TEXT", text, 1)))
	if err != nil {
		t.Fatal(err)
	}
	return faults
}

// TestTouchFindsWhatIsWrong: each fault that is looked for above is found
// on a page that has it.
func TestTouchFindsWhatIsWrong(t *testing.T) {
	ctx := browser(t)
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(320, 844)); err != nil {
		t.Fatal(err)
	}
	const head = `<meta name="viewport" content="width=device-width">` +
		`<body style="margin:0;background:%23fff;color:%23000;font-size:16px">`
	show := func(html string) {
		if err := chromedp.Do(ctx, chromedp.Navigate("data:text/html,"+strings.ReplaceAll(html, " ", "%20"))); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ body, want string }{
		{`<a href="/x" style="display:inline-block;height:47px;width:90px">Low</a>`, "90 x 47"},
		{`<p><a href="/x">Alone</a></p>`, "is touched on"},
		{`<button style="width:47px;height:60px;border:0">N</button>`, "47 x 60"},
		{`<label style="display:block;height:30px"><input type="radio"> Pad</label>`, "is touched on"},
		{`<a href="/x" style="position:absolute;top:0;left:0;width:60px;height:60px">A</a>` +
			`<a href="/y" style="position:absolute;top:50px;left:0;width:60px;height:60px">B</a>`, "lies on"},
		{`<p style="color:%23666">Pale</p>`, "5.7:1"},
		{`<p style="background:%23000">Black</p>`, "1.0:1"},
		{`<svg width="60" height="20"><line x1="0" y1="9" x2="60" y2="9" stroke="%23bbb" class="frame-hatch"></line></svg>`,
			"a line of"},
		{`<p style="width:400px">Wide</p>`, "400 wide"},
		{`<div style="overflow-x:auto"><p style="width:400px">Wide</p></div>`, "no key reaches"},
		{`<input style="font-size:15px;height:60px">`, "zooms"},
	} {
		show(head + c.body)
		faults := touched(t, ctx, "100%")
		if !strings.Contains(strings.Join(faults, "\n"), c.want) {
			t.Errorf("%s: %q does not say %q", c.body, faults, c.want)
		}
	}
	fine := `<p>Text with <a href="/x">a link</a> in it.</p><label style="display:flex;height:48px;width:90px">` +
		`<input type="radio"> Pad</label>` +
		`<div tabindex="0" role="region" aria-label="Table" style="overflow-x:auto"><p style="width:400px">Wide</p></div>`
	show(head + fine)
	if faults := touched(t, ctx, "100%"); len(faults) > 0 {
		t.Errorf("a good page has %q", faults)
	}
}
