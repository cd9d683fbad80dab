package drawing_test

import (
	"encoding/xml"
	"fmt"
	"math"
	"strings"
	"testing"

	"lathmark/web/drawing"
	"lathmark/web/drawing/drawingtest"
)

// written is a text of a drawing as it is in the document.
type written struct {
	Class     string  `xml:"class,attr"`
	X         float64 `xml:"x,attr"`
	Y         float64 `xml:"y,attr"`
	Anchor    string  `xml:"text-anchor,attr"`
	Transform string  `xml:"transform,attr"`
	Said      string  `xml:",chardata"`
	More      string  `xml:"tspan"`
}

// sides are the edges of what it takes up: left, top, right, bottom.
func (w written) sides(onPhone bool) [4]float64 {
	tall, said := drawing.TextTall, w.Said
	if !onPhone {
		tall, said = drawing.Wide(w.Class), w.Said+w.More
	}
	long, part := drawing.WidthOf(w.Class, said, tall), tall/drawing.TextTall
	before := map[string]float64{"middle": long / 2, "end": long}[w.Anchor]
	up, down := drawing.Ascent*part, drawing.Descent*part
	if w.Transform == "" {
		return [4]float64{w.X - before, w.Y - up, w.X - before + long, w.Y + down}
	}
	return [4]float64{w.X - up, w.Y + before - long, w.X + down, w.Y + before}
}

// texts returns the texts of a drawing and its size.
func texts(t *testing.T, svg string) (all []written, wide, high float64) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		tok, err := d.Token()
		if err != nil {
			return all, wide, high
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		if e.Name.Local == "svg" {
			for _, a := range e.Attr {
				if a.Name.Local == "viewBox" {
					if _, err = fmt.Sscanf(a.Value, "0 0 %g %g", &wide, &high); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
		if e.Name.Local == "text" {
			var w written
			if err = d.DecodeElement(&w, &e); err != nil {
				t.Fatal(err)
			}
			all = append(all, w)
		}
	}
}

// faultsOf returns what cannot be read on a drawing: every two texts are compared.
func faultsOf(t *testing.T, svg string, onPhone bool) []string {
	t.Helper()
	all, wide, high := texts(t, svg)
	var out []string
	for i, w := range all {
		a := w.sides(onPhone)
		if a[0] < 0 || a[1] < 0 || a[2] > wide || a[3] > high {
			out = append(out, fmt.Sprintf("%q is not in the drawing: %v of %v, %v", w.Said, a, wide, high))
		}
		for _, v := range all[:i] {
			b := v.sides(onPhone)
			if math.Min(a[2], b[2])-math.Max(a[0], b[0]) > 0.05 && math.Min(a[3], b[3])-math.Max(a[1], b[1]) > 0.05 {
				out = append(out, fmt.Sprintf("%q lies on %q", w.Said, v.Said))
			}
		}
	}
	return out
}

// TestNoTwoLabelsOverlap in 300 rooms, on a phone and on a wide page, nor does one
// lie outside of the drawing. The browser's test measures what is drawn of some.
func TestNoTwoLabelsOverlap(t *testing.T) {
	for seed := range uint64(300) {
		svg := string(drawingtest.Plan(seed).SVG())
		for _, onPhone := range []bool{true, false} {
			for _, fault := range faultsOf(t, svg, onPhone) {
				t.Errorf("room %d, on a phone %v: %s", seed, onPhone, fault)
			}
		}
	}
}

// TestOverlapIsFound where there is one.
func TestOverlapIsFound(t *testing.T) {
	const svg = `<svg viewBox="0 0 800 100"><text class="label" x="20" y="50">D1</text>` +
		`<text class="label" x="60" y="60" text-anchor="end">D2</text><text class="mark" x="780" y="50">steel</text></svg>`
	if got := faultsOf(t, svg, true); len(got) != 2 {
		t.Errorf("%q, want D2 on D1 and steel not in the drawing", got)
	}
}

// TestEveryPositionIsNamed on the drawing or in its key, however crowded it is.
func TestEveryPositionIsNamed(t *testing.T) {
	for seed := range uint64(100) {
		p := drawingtest.Plan(seed)
		all, _, _ := texts(t, string(p.SVG()))
		said := map[string]bool{}
		for _, w := range all {
			name, _, _ := strings.Cut(w.Said, ", ")
			said[name] = true
		}
		for _, q := range p.Surface.Positions {
			if !said[q.ID] {
				t.Errorf("room %d: %s is not named", seed, q.ID)
			}
		}
	}
}
