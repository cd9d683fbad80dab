package room

import (
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// A wall that has one build-up as a face of the ceiling and another as a face of the floor differs, until both are the
// same; a wall that is drawn once, or that has nothing planned anywhere, does not.
func TestAWallWithTwoBuildUpsDiffers(t *testing.T) {
	ceiling, floor := Surface{ID: id.New[id.Surface](), Kind: "ceiling"}, Surface{ID: id.New[id.Surface](), Kind: "floor"}
	face := func(on Surface, wall int) Datum {
		return Datum{ID: id.New[id.Datum](), Surface: on.ID, Wall: wall, Kind: words.Face}
	}
	a, b, alone := face(ceiling, 1), face(floor, 1), face(ceiling, 2)
	layer := func(d Datum, thick float64) Layer {
		return Layer{Surface: d.Surface, Datum: d.ID, Name: "board", Thickness: thick, Stage: words.Boarding}
	}
	for _, c := range []struct {
		what    string
		layers  []Layer
		differs int
	}{
		{"nothing planned", nil, 0}, {"one wall alone", []Layer{layer(alone, 12.5)}, 0},
		{"in one place only", []Layer{layer(b, 12.5)}, 1},
		{"of two thicknesses", []Layer{layer(a, 12.5), layer(b, 15)}, 1},
		{"the same", []Layer{layer(a, 15), layer(b, 15)}, 0},
	} {
		r := &Record{Surfaces: []Surface{ceiling, floor}, Datums: []Datum{a, b, alone}, Layers: c.layers}
		got := r.Differing()
		if len(got) != c.differs || c.differs > 0 && (len(got[0]) != 2 || got[0][0].Datum != a.ID) {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}
