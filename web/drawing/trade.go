package drawing

import (
	"html/template"

	"lathmark/domain/words"
)

// tradeHatches are one hatching for each trade, in the manner of section drawings (ISO 128)
// and our own choice: each shows in print, in a photocopy and by night which trade it is.
var tradeHatches = map[words.Trade]struct {
	size float64
	body string
}{
	words.Electrician: {8, `<path class="hatch" d="M-1 1L1 -1M-1 9L9 -1M7 9L9 7"/>`},
	words.Plumber:     {10, `<path class="hatch" d="M-1 -1L11 11M3 -1L11 7M-1 3L7 11M-1 7L3 11M7 -1L11 3"/>`},
	words.DryLiner:    {9, `<path class="hatch" d="M-1 -1L10 10M-1 10L10 -1"/>`},
	words.Plasterer: {7, `<circle class="stipple" cx="2" cy="2" r="1"/>` +
		`<circle class="stipple" cx="5.5" cy="5.5" r="1"/>`},
	words.Tiler:     {8, `<path class="hatch" d="M0 4H8M4 0V8"/>`},
	words.Joiner:    {6, `<path class="hatch" d="M3 0V6"/>`},
	words.Decorator: {6, `<path class="hatch" d="M0 3H6"/>`},
	words.Foreman:   {12, `<path class="hatch" d="M0 6H4M8 6H12"/>`},
}

// tradeHatch returns the id of a trade's hatching.
func tradeHatch(t words.Trade) string {
	if _, known := tradeHatches[t]; !known {
		t = words.Foreman
	}
	return "trade-" + string(t)
}

// TradeHatchings returns the hatchings that the charts and swatches of a page refer to; they
// stand once on a page.
func TradeHatchings() template.HTML {
	w := &writer{}
	w.put(`<svg xmlns="http://www.w3.org/2000/svg" class="defs" width="0" height="0" aria-hidden="true"><defs>`)
	for _, t := range words.Trades {
		if h, known := tradeHatches[t]; known {
			w.put(`<pattern id="%s" width="%s" height="%s" patternUnits="userSpaceOnUse">%s</pattern>`, tradeHatch(t),
				num(h.size), num(h.size), h.body)
		}
	}
	w.put(`</defs></svg>`)
	return template.HTML(w.b.String())
}

// TradeSwatch draws a trade's hatching as a key does.
func TradeSwatch(t words.Trade) template.HTML {
	return swatch(`<rect class="box" x="1" y="1" width="42" height="20" fill="url(#` + tradeHatch(t) + `)"/>`)
}

// ChartKey draws one of the marks of a chart: "critical", "pinned", "promised", "danger",
// "dries", "today" or "off".
func ChartKey(mark string) template.HTML { return swatch(chartKeys[mark]) }

var chartKeys = map[string]string{
	"critical": `<g class="bar critical"><rect class="box" x="2" y="2" width="40" height="18" fill="none"/></g>`,
	"pinned": `<rect class="box" x="6" y="4" width="36" height="17" fill="none"/>` +
		`<path class="pinned" d="M5 1` + pinShape + `"/>`,
	"promised": `<g class="promised"><path d="M22 0V22"/><path class="lozenge" d="M22 3` + lozenge + `"/></g>`,
	"danger": `<g class="promised danger"><path d="M22 0V22"/><path class="lozenge" d="M22 3` + lozenge + `"/>` +
		`<path d="M18 7` + crossed + `"/></g>`,
	"dries": `<g class="dries"><path d="M2 11q3 -5 6 0q3 5 6 0q3 -5 6 0q3 5 6 0q3 -5 6 0q3 5 6 0"/>` +
		`<path d="M40 4v14"/></g>`,
	"today": `<path class="today" d="M22 0V22"/>`,
	"off":   `<rect class="off" x="1" y="1" width="42" height="20"/>`,
}

// Shapes of the marks, from where they are put.
const (
	pinShape = "h12l-6 11z"
	lozenge  = "l8 8l-8 8l-8 -8z"
	crossed  = "l8 8m0 -8l-8 8"
)

func swatch(body string) template.HTML {
	return template.HTML(`<svg xmlns="http://www.w3.org/2000/svg" class="chart swatch" viewBox="0 0 44 22" width="44" ` +
		`height="22" aria-hidden="true">` + body + `</svg>`)
}
