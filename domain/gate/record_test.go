package gate

import (
	"lathmark/domain/words"
	"time"
)

// The days of the tests: a room of our own, first fix in spring.
func day(n int) time.Time { return time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC).AddDate(0, 0, n) }

var today = day(60)

// done is a utility with everything done: every rule of every stage is met.
func done() *Record {
	r := &Record{
		Room:     "Utility",
		Surfaces: []Surface{{ID: "c", Name: "ceiling", Photos: 2}},
		Datums: []Datum{
			{ID: "s", Surface: "c", Name: "South wall", Kind: words.Face, Layers: []Layer{
				{ID: "b", Name: "board", Stage: words.Boarding, AsBuilt: true, Planned: 25, Built: 27, Sigmas: 0.4},
				{ID: "k", Name: "skim", Stage: words.Plaster, AsBuilt: true, Planned: 3, Built: 3}}},
			{ID: "w", Surface: "c", Name: "West wall", Kind: words.Face, StaysBare: true},
			{ID: "f", Surface: "c", Name: "flange", Kind: words.Line},
		},
		PlasterFinished: day(20), EarliestDry: day(27), FirstProved: day(30),
	}
	for i, id := range []PositionID{"D1", "D2", "W3"} {
		kind := "downlight"
		if id == "W3" {
			kind = "waste"
		}
		r.Positions = append(r.Positions, Position{ID: id, Surface: "c", Name: string(id), Kind: kind, Cutout: 76,
			AddedAt: day(0), SeenFree: day(8), Determinate: true, Checked: true})
		for _, d := range []DatumID{"s", "w", "f"} {
			r.Measurements = append(r.Measurements, Measurement{ID: MeasurementID(string(id) + string(d)), Kind: words.Offset,
				Position: id, Ends: []End{{d, "bare"}}})
		}
		r.Openings = append(r.Openings, Opening{ID: OpeningID("o" + string(id)), Position: id, At: day(30 + i),
			Outcome: words.Found})
	}
	for _, s := range words.Stages {
		r.Gates[s] = Gate{State: words.SignedOff, SignedAt: day(7 + 10*int(s)), SignedBy: "MK"}
	}
	return r
}

// at is the room of done with everything still to do from stage s on, s being
// in the state given.
func at(s words.Stage, is words.State) *Record {
	r := done()
	r.Gates[s] = Gate{State: is}
	for _, later := range s.After() {
		r.Gates[later] = Gate{State: words.Waiting}
	}
	if s <= words.SecondFix {
		r.Openings, r.FirstProved = nil, time.Time{}
	}
	if s <= words.Plaster {
		r.PlasterFinished, r.EarliestDry = time.Time{}, time.Time{}
		r.Datums[0].Layers[1].AsBuilt = false
	}
	if s <= words.Boarding {
		r.Datums[0].Layers[0].AsBuilt = false
		for i := range r.Positions {
			r.Positions[i].SeenFree = time.Time{}
		}
	}
	return r
}
