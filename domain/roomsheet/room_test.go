package roomsheet

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lathmark/domain/fault"
)

// utility returns the sheet that the tests bend: every kind of record once.
func utility(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile("testdata/utility.json")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func mustRead(t *testing.T, doc string) *Room {
	t.Helper()
	r, err := Read(strings.NewReader(doc))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fields returns the faults of an error that has to be bad input.
func fields(t *testing.T, err error) []fault.Field {
	t.Helper()
	var e *fault.Error
	if !errors.As(err, &e) || e.Kind != fault.BadInput {
		t.Fatalf("want bad input, got %v", err)
	}
	return e.Fields
}

// states that a generated face can have.
var layerNames = []string{"dabs", "board", "skim", "tile"}

// drawRoom draws a room that keeps every rule. Datums are a rectangle that is
// up to two degrees out of square, a fixed line and a fixed point.
func drawRoom(t *rapid.T) *Room {
	n := rapid.IntRange(1, 2).Draw(t, "surfaces")
	r := &Room{Format: Format, Room: rapid.SampledFrom([]string{"Utility", "Küche", "Hall & stair <up>"}).Draw(t, "room")}
	for i := range n {
		r.Surfaces = append(r.Surfaces, drawSurface(t, fmt.Sprintf("s%d", i)))
	}
	return r
}

func drawLayers(t *rapid.T) []Layer {
	var out []Layer
	for _, id := range layerNames[:rapid.IntRange(0, len(layerNames)).Draw(t, "layers")] {
		out = append(out, Layer{ID: id, Thickness: rapid.Float64Range(0.5, 60).Draw(t, "thickness"),
			Sigma: drawOptional(t, 0.1, 10), Stage: rapid.SampledFrom([]string{"", "boarding", "plaster"}).Draw(t, "stage")})
	}
	return out
}

func drawOptional(t *rapid.T, low, high float64) float64 {
	if rapid.Bool().Draw(t, "left out") {
		return 0
	}
	return rapid.Float64Range(low, high).Draw(t, "given")
}

func drawState(t *rapid.T, layers []Layer) string {
	if k := rapid.IntRange(-1, len(layers)).Draw(t, "state"); k > 0 {
		return layers[k-1].ID
	} else if k == 0 {
		return Bare
	}
	return ""
}

func drawSurface(t *rapid.T, id string) Surface {
	w, h := rapid.Float64Range(800, 9000).Draw(t, "w"), rapid.Float64Range(800, 9000).Draw(t, "h")
	skew := rapid.Float64Range(-0.03, 0.03).Draw(t, "skew")
	s := Surface{ID: id, Kind: rapid.SampledFrom([]string{"ceiling", "slope", "wall", "floor"}).Draw(t, "kind"),
		Layers: drawLayers(t)}
	s.Now = drawState(t, s.Layers)
	corners := []Point{{0, 0}, {w, skew * w}, {w, h + skew*w}, {0, h}}
	for i, name := range []string{"south", "east", "north", "west"} {
		d := Datum{ID: name, Kind: "face", Line: &Line{corners[i], corners[(i+1)%4]}, Sigma: drawOptional(t, 1, 20),
			Layers: drawLayers(t), Lean: rapid.SampledFrom([]float64{0, 0, 35, -20}).Draw(t, "lean")}
		d.Now = drawState(t, d.Layers)
		s.Datums = append(s.Datums, d)
	}
	s.Datums = append(s.Datums, Datum{ID: "steel", Kind: "line", Line: &Line{{0, h / 2}, {w, h / 2}}},
		Datum{ID: "stack", Kind: "point", Point: &Point{w / 3, h / 3}, Sigma: drawOptional(t, 1, 5)})
	for i := range rapid.IntRange(0, 3).Draw(t, "timbers") {
		u := w * float64(i+1) / 4
		s.Timbers = append(s.Timbers, Timber{ID: fmt.Sprintf("J%d", i), Line: Line{{u, 0}, {u, h}}, Width: 47,
			Sigma: drawOptional(t, 1, 10)})
	}
	drawReadings(t, &s, w, h)
	return s
}

func drawReadings(t *rapid.T, s *Surface, w, h float64) {
	n := rapid.IntRange(0, 5).Draw(t, "positions")
	add := func(m Measurement) {
		m.ID = fmt.Sprintf("m%d", len(s.Measurements))
		m.Sigma = drawOptional(t, 0.5, 5)
		m.By = rapid.SampledFrom([]string{"", "tape", "laser", "rule"}).Draw(t, "by")
		s.Measurements = append(s.Measurements, m)
	}
	for i := range n {
		p := Position{ID: fmt.Sprintf("D%d", i), Kind: "downlight", Cutout: drawOptional(t, 40, 200),
			Reach: drawOptional(t, 20, 100), TailSigma: drawOptional(t, 1, 20)}
		s.Positions = append(s.Positions, p)
		u, v := rapid.Float64Range(0.1, 0.9).Draw(t, "u")*w, rapid.Float64Range(0.1, 0.9).Draw(t, "v")*h
		south, west := &s.Datums[0], &s.Datums[3]
		add(Measurement{Kind: "offset", Of: p.ID, From: "south", State: drawState(t, south.Layers),
			SurfaceState: drawState(t, s.Layers), Value: v})
		add(Measurement{Kind: "offset", Of: p.ID, From: "west", State: drawState(t, west.Layers), Value: u})
		add(Measurement{Kind: "offset", Of: p.ID, From: "steel", Value: v - h/2})
		if i > 0 {
			add(Measurement{Kind: "distance", Of: p.ID, To: "D0", Value: rapid.Float64Range(100, 5000).Draw(t, "apart")})
		}
	}
	add(Measurement{Kind: "span", From: "south", To: "north", State: drawState(t, s.Datums[0].Layers),
		ToState: drawState(t, s.Datums[2].Layers), Value: h})
	if layers := s.Datums[1].Layers; len(layers) > 0 {
		add(Measurement{Kind: "thickness", From: "east", State: layers[len(layers)-1].ID, FromState: Bare, Value: 40})
	}
}
