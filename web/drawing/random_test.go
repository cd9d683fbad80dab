package drawing

import (
	"math"
	"strings"
	"testing"

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"

	"pgregory.net/rapid"
)

// TestAnyRoomDraws: rooms of any corners, with positions anywhere, give a
// well-formed drawing without stray numbers, and the same one twice.
func TestAnyRoomDraws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		mm := rapid.Float64Range(-9000, 9000)
		point := func(label string) roomsheet.Point {
			return roomsheet.Point{math.Round(mm.Draw(rt, label+" u")), math.Round(mm.Draw(rt, label+" v"))}
		}
		s := roomsheet.Surface{ID: "any", Kind: "ceiling"}
		n := rapid.IntRange(1, 7).Draw(rt, "walls")
		corners := make([]roomsheet.Point, n)
		for i := range corners {
			corners[i] = point("corner")
		}
		for i, c := range corners {
			s.Datums = append(s.Datums, roomsheet.Datum{ID: string(rune('a' + i)), Kind: "face",
				Now:  rapid.SampledFrom([]string{"", "bare", "board"}).Draw(rt, "now"),
				Line: &roomsheet.Line{c, corners[(i+1)%n]}, Layers: []roomsheet.Layer{{ID: "board",
					Thickness: rapid.Float64Range(0.1, 200).Draw(rt, "board"), Stage: "boarding"}}})
		}
		a := &geometry.Answer{}
		for i := range rapid.IntRange(0, 5).Draw(rt, "positions") {
			id, p := string(rune('A'+i)), point("position")
			s.Positions = append(s.Positions, roomsheet.Position{ID: id, Kind: "fan", Cutout: 76})
			a.Positions = append(a.Positions, geometry.PositionAnswer{Determinate: true, At: geometry.Vec{U: p[0], V: p[1]},
				Cov: geometry.Cov{UU: 9, UV: 3, VV: 4}})
			s.Measurements = append(s.Measurements, roomsheet.Measurement{ID: id, Kind: "offset", Of: id, From: "a",
				Value: mm.Draw(rt, "value")})
		}
		plan := Plan{Surface: s, Answer: a}
		svg := string(plan.SVG())
		starts(t, svg)
		if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
			rt.Fatalf("stray number in %s", svg)
		}
		if svg != string(plan.SVG()) {
			rt.Fatal("two drawings of one room differ")
		}
	})
}
