package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
)

// measured is a room: a ceiling between four walls that get board and skim, under
// joists, with 12 downlights, a pendant and a fan, each measured from every wall.
type measured struct {
	id        string
	name      string
	wide, far float64
	places    map[string][2]float64 // of the positions
	// As the program has them, where somebody measures.
	positions, walls []handle
}

type handle struct{ ID, Name string }

// newMeasured returns a room of some 4 by 3 m.
func newMeasured(chance *rand.Rand, name string) *measured {
	r := &measured{name: name, wide: 3600 + math.Round(1800*chance.Float64()),
		far:    2700 + math.Round(900*chance.Float64()),
		places: map[string][2]float64{}}
	for i := range 12 {
		r.places[fmt.Sprintf("D%d", i+1)] = [2]float64{math.Round(r.wide * (float64(i%4) + 0.5) / 4),
			math.Round(r.far * (float64(i/4) + 0.5) / 3)}
	}
	r.places["P1"] = [2]float64{math.Round(r.wide / 2), math.Round(r.far / 2)}
	r.places["F1"] = [2]float64{math.Round(r.wide) - 400, math.Round(r.far) - 300}
	return r
}

// from returns how far a position is from a wall.
func (r *measured) from(position, wall string) float64 {
	at := r.places[position]
	return map[string]float64{"south": at[1], "north": r.far - at[1], "west": at[0], "east": r.wide - at[0]}[wall]
}

// reads returns what a tape shows of it.
func reads(chance *rand.Rand, truth float64) float64 {
	return math.Round(truth + 2*chance.NormFloat64())
}

var layers = []map[string]any{{"id": "board", "thickness": 12.5, "sigma": 0.5, "stage": "boarding"},
	{"id": "skim", "thickness": 3, "sigma": 1, "stage": "plaster"}}

// sheet returns the room's room sheet.
func (r *measured) sheet(chance *rand.Rand) string {
	type all = []map[string]any
	corners := [][2]float64{{0, 0}, {r.wide, 0}, {r.wide, r.far}, {0, r.far}}
	ceiling := map[string]any{"id": "ceiling", "kind": "ceiling", "layers": layers}
	var walls, timbers, positions, measurements all
	names := []string{"south", "east", "north", "west"}
	for i, name := range names {
		walls = append(walls, map[string]any{"id": name, "kind": "face", "layers": layers,
			"line": [][2]float64{corners[i], corners[(i+1)%len(corners)]}})
	}
	for u := 300.0; u < r.wide; u += 400 {
		timbers = append(timbers, map[string]any{"id": fmt.Sprintf("J%d", len(timbers)+1), "width": 47,
			"line": [][2]float64{{u, 0}, {u, r.far}}})
	}
	for i := range len(r.places) {
		p := map[string]any{"id": fmt.Sprintf("D%d", i+1), "kind": "downlight", "cutout": 76}
		switch i {
		case 12:
			p = map[string]any{"id": "P1", "kind": "pendant", "cutout": 22}
		case 13:
			p = map[string]any{"id": "F1", "kind": "fan", "cutout": 105}
		}
		positions = append(positions, p)
		for _, wall := range names {
			of := p["id"].(string)
			measurements = append(measurements, map[string]any{"id": fmt.Sprintf("m%d", len(measurements)+1),
				"kind": "offset", "of": of, "from": wall, "state": "bare", "value": reads(chance, r.from(of, wall))})
		}
	}
	ceiling["datums"], ceiling["timbers"], ceiling["positions"], ceiling["measurements"] = walls, timbers, positions,
		measurements
	text, err := json.Marshal(map[string]any{"format": "lathmark-room/1", "room": r.name, "surfaces": all{ceiling}})
	if err != nil {
		panic(err) // there is nothing in it that JSON does not have
	}
	return string(text)
}
