package roomsheet

import (
	"encoding/json"
	"testing"

	"pgregory.net/rapid"
)

// Whatever keeps the rules can be set out: every number that goes out is one,
// however far the figures are from those of any real room.
func TestExtremesCanBeSetOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := drawRoom(t)
		pick := func(into *float64, extremes ...float64) {
			if rapid.IntRange(0, 2).Draw(t, "bend") == 0 {
				*into = rapid.SampledFrom(extremes).Draw(t, "extreme")
			}
		}
		for i := range room.Surfaces {
			s := &room.Surfaces[i]
			for k := range s.Datums {
				d := &s.Datums[k]
				pick(&d.Sigma, 0.001, 100_000)
				if d.Kind == "face" {
					pick(&d.Lean, 79.999, -79.999, 0)
				}
				for l := range d.Layers {
					pick(&d.Layers[l].Thickness, 0.01, 100_000)
					pick(&d.Layers[l].Sigma, 0.001, 100_000)
				}
			}
			for k := range s.Timbers {
				pick(&s.Timbers[k].Width, 1, 100_000)
				pick(&s.Timbers[k].Sigma, 0.001, 100_000)
			}
			for k := range s.Positions {
				pick(&s.Positions[k].Cutout, 0.001, 1000)
				pick(&s.Positions[k].Reach, 0.001, 100_000)
				pick(&s.Positions[k].TailSigma, 0.001, 100_000)
			}
			for k := range s.Measurements {
				pick(&s.Measurements[k].Value, 0, 1, 100_000)
				pick(&s.Measurements[k].Sigma, 0.001, 100_000)
			}
		}
		if err := Check(room); err != nil {
			t.Fatal(err)
		}
		if _, err := json.Marshal(SetOut(room)); err != nil {
			t.Fatal(err)
		}
	})
}
